package templates

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"hash"
	"io/fs"
	"path"
	"strings"

	"philtrum/forms/source"
	"philtrum/templates/layout"
)

// Template is one kind of paper as its file describes it.
type Template struct {
	Name    string // of its file: the kind, or the kind and what it is a form of
	Kind    string
	Version string
	Look    string // a look of sheets.yaml: patient or record
	// Digest is of every file that the template was read from, the sheets included.
	Digest string

	audience   string
	blocks     []*block
	closing    []*block // at the foot of the text of every page
	head, foot furniture
	sheets     sheets
}

// Audiences of papers.
const (
	forPatient = "patient"
	forClinic  = "clinic"
)

// ForPatient says whether the paper is written in the patient's language and carries what every
// patient's paper carries; other papers are the clinic's own.
func (t *Template) ForPatient() bool { return t.audience == forPatient }

// Load reads papers/<name>.yaml with the parts that it includes, and sheets.yaml. The problems are every
// unknown key, fact, list, value and style, each with its place; with any of them the template is nil.
// Messages are proved by [Template.Prove], which has the words.
func Load(fsys fs.FS, name string) (*Template, source.Problems) { return NewShelf(fsys).Load(name) }

// Shelf holds files of templates, each read once: papers share parts and sheets. It is not safe for
// concurrent use.
type Shelf struct {
	fsys  fs.FS
	files map[string]*shelved
}

// shelved is a file as it was read.
type shelved struct {
	data     []byte
	node     *source.Node
	problems source.Problems
	err      error
}

// NewShelf reads nothing yet.
func NewShelf(fsys fs.FS) *Shelf { return &Shelf{fsys: fsys, files: map[string]*shelved{}} }

func (s *Shelf) file(name string) *shelved {
	f := s.files[name]
	if f == nil {
		f = &shelved{}
		if f.data, f.err = fs.ReadFile(s.fsys, name); f.err == nil {
			f.node, f.problems = packed().Parse(name, f.data)
		}
		s.files[name] = f
	}
	return f
}

// Load reads a template as [Load] does.
func (s *Shelf) Load(name string) (*Template, source.Problems) {
	l := &loader{shelf: s, r: &source.Reader{}, hash: sha256.New()}
	t := &Template{Name: name}
	n := l.file("papers/" + name + ".yaml")
	f := l.r.Fields(n, "paper", "version", "look", "for", "furniture", "blocks", "closing")
	t.Kind = l.r.Text(f.Need("paper"))
	t.Version = l.r.Text(f.Need("version"))
	t.Look = l.r.OneOf(f.Need("look"), looks...)
	t.audience = l.r.OneOf(f.Need("for"), forPatient, forClinic)
	if t.Kind != name && !strings.HasPrefix(name, t.Kind+"-") && n != nil {
		l.r.Report(f.Get("paper"), "problem.paper_name", map[string]any{"name": name})
	}
	if n := f.Need("furniture"); n != nil {
		furniture := l.part(n)
		ff := l.r.Fields(furniture, "head", "foot")
		t.head = l.furniture(ff.Need("head"))
		t.foot = l.furniture(ff.Need("foot"))
	}
	if n := f.Need("blocks"); n != nil {
		t.blocks = l.blocks(n, "", nil)
	}
	if n := f.Get("closing"); n != nil {
		t.closing = l.blocks(n, "closing", nil)
	}
	t.sheets = l.sheets()
	t.Digest = hex.EncodeToString(l.hash.Sum(nil))
	if problems := l.problems(); len(problems) > 0 {
		return nil, problems
	}
	return t, nil
}

// Clauses are the ids of the clauses that the template's blocks say they serve, in the order of blocks.
func (t *Template) Clauses() []string {
	seen := map[string]bool{}
	var ids []string
	walk(t.blocks, func(b *block) {
		for _, id := range b.clauses {
			if !seen[id] {
				seen[id] = true
				ids = append(ids, id)
			}
		}
	})
	return ids
}

// loader reads files and gathers what is wrong with them.
type loader struct {
	shelf  *Shelf
	r      *source.Reader
	syntax source.Problems
	hash   hash.Hash // of what was read
	depth  int
}

func (l *loader) file(name string) *source.Node {
	f := l.shelf.file(name)
	if f.err != nil {
		l.r.ReportAt(source.Span{File: name}, "problem.no_template", map[string]any{"file": name})
		return nil
	}
	_, _ = l.hash.Write([]byte(name + "\x00")) // a hash takes everything
	_, _ = l.hash.Write(f.data)
	l.syntax = append(l.syntax, f.problems...)
	return f.node
}

// part reads the file papers/parts/<name>.yaml that n names.
func (l *loader) part(n *source.Node) *source.Node {
	name := l.r.Text(n)
	if name == "" || name != path.Base(name) {
		l.r.Report(n, "problem.part_name", nil)
		return nil
	}
	return l.file("papers/parts/" + name + ".yaml")
}

func (l *loader) problems() source.Problems {
	all := append(source.Problems{}, l.syntax...)
	all = append(all, l.r.Problems()...)
	all.Sort()
	return all
}

// furniture is a running line: texts joined by a middle dot, at the start and the end of the line. over and
// under are lines of their own above and below the start.
type furniture struct {
	start, end           []words
	over, under          []words
	firstStart, firstEnd []words
	rule                 bool
}

func (l *loader) furniture(n *source.Node) furniture {
	f := l.r.Fields(n, "start", "end", "over", "under", "first_start", "first_end", "rule")
	return furniture{
		start: l.wordsList(f.Get("start"), nil), end: l.wordsList(f.Get("end"), nil),
		over: l.wordsList(f.Get("over"), nil), under: l.wordsList(f.Get("under"), nil),
		firstStart: l.wordsList(f.Get("first_start"), nil), firstEnd: l.wordsList(f.Get("first_end"), nil),
		rule: l.r.YesNo(f.Get("rule")),
	}
}

// block is one entry of a template. Only the body of its kind is set.
type block struct {
	id      string
	when    *condition
	each    string // a list: the block stands once for each of its items
	clauses []string
	keep    bool
	body    body
	span    source.Span
}

// body is what a kind of block holds: how it becomes blocks of a document, and what it is made of.
type body interface {
	build(s *scope, m layout.Meta) []layout.Block
	texts(visit func(words, string)) // with the list in scope, if any
	inner() []*block
}

func walk(blocks []*block, visit func(*block)) {
	for _, b := range blocks {
		visit(b)
		walk(b.body.inner(), visit)
	}
}

// blocks reads a sequence of blocks. at is the id of the block that holds them.
func (l *loader) blocks(n *source.Node, at string, lists []string) []*block {
	var out []*block
	for i, item := range l.r.List(n) {
		id := fmt.Sprintf("%d", i+1)
		if at != "" {
			id = at + "." + id
		}
		out = append(out, l.block(item, id, lists)...)
	}
	return out
}

var blockKinds = []string{"title", "heading", "paragraph", "list", "grid", "table", "panel", "choices",
	"signature", "dated", "figure", "columns", "card", "timeline", "questions", "group", "break", "space", "include"}

// maxDepth bounds parts that include parts.
const maxDepth = 4

func (l *loader) block(n *source.Node, id string, lists []string) []*block {
	f := l.r.Fields(n, append([]string{"id", "when", "each", "clauses", "keep"}, blockKinds...)...)
	b := &block{id: id, keep: l.r.YesNo(f.Get("keep"))}
	if n != nil {
		b.span = n.Span
	}
	if name := l.r.Text(f.Get("id")); name != "" {
		b.id = name
	}
	for _, c := range l.r.Texts(f.Get("clauses")) {
		if !isClause(c) {
			l.r.Report(f.Get("clauses"), "problem.clause", nil)
		}
		b.clauses = append(b.clauses, c)
	}
	if e := f.Get("each"); e != nil {
		b.each = l.list(e)
		lists = with(lists, b.each)
	}
	b.when = l.when(f.Get("when"), lists)
	kind := ""
	for _, key := range f.Order() {
		if contains(blockKinds, key) {
			if kind != "" {
				l.r.Report(n, "problem.two_kinds", map[string]any{"first": kind, "second": key})
			}
			kind = key
		}
	}
	switch kind {
	case "":
		l.r.Report(n, "problem.no_kind", nil)
		return nil
	case "include":
		return l.include(f.Get(kind), b, lists)
	}
	b.body = l.body(kind, f.Get(kind), b.id, lists)
	return []*block{b}
}

func (l *loader) include(n *source.Node, b *block, lists []string) []*block {
	if l.depth == maxDepth {
		l.r.Report(n, "problem.parts_too_deep", nil)
		return nil
	}
	l.depth++
	defer func() { l.depth-- }()
	inner := l.blocks(l.part(n), b.id, lists)
	b.body = &groupBody{blocks: inner, bare: !b.keep}
	return []*block{b}
}
