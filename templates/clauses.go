package templates

import (
	"fmt"
	"io/fs"
	"slices"
	"strconv"
	"strings"

	"philtrum/forms/source"
)

// ClauseTable is clauses.yaml: what papers have to say, where that comes from, and which paper says it.
type ClauseTable struct {
	order   []string // ids of clauses as the file lists them
	clauses map[string][]string
	sources map[string]ClauseSource
	papers  map[string]duties
}

// duties are the clauses that a paper serves, and those that it leaves out with the reason for each.
type duties struct {
	serves  []string
	leftOut map[string]string
}

// ClauseSource is what a clause rests on. Its title is the message "clause.source.<Key>".
type ClauseSource struct{ Key, Standing, Trust string }

// Clause is a clause beside a paper. Its words are the message "clause.<ID>"; LeftOut is the reason for which
// the paper does without it: the message "clause.left.<LeftOut>".
type Clause struct {
	ID      string
	Sources []ClauseSource
	Places  []ClausePlace
	LeftOut string
}

// Open says that the paper neither serves the clause nor says why not.
func (c Clause) Open() bool { return len(c.Places) == 0 && c.LeftOut == "" }

// ClausePlace is a block that serves a clause. Heading is the message of the heading above it, empty at the
// head of the paper; Conditional says that the block stands only where it applies.
type ClausePlace struct {
	Block, Heading string
	Conditional    bool
}

// Standings and trusts that sources may have.
var (
	clauseStandings = []string{"law", "duty", "guidance", "standard", "benchmark", "practice"}
	clauseTrusts    = []string{"read", "secondary", "memory", "practice"}
)

// LoadClauses reads clauses.yaml. Problems name what it has wrong with its place.
func LoadClauses(fsys fs.FS) (*ClauseTable, source.Problems) {
	const name = "clauses.yaml"
	data, err := fs.ReadFile(fsys, name)
	if err != nil {
		return nil, source.Problems{{ID: "problem.no_template", Args: map[string]any{"file": name}, Span: source.Span{File: name}}}
	}
	root, problems := packed().Parse(name, data)
	if len(problems) > 0 {
		return nil, problems
	}
	r := &source.Reader{}
	t := &ClauseTable{clauses: map[string][]string{}, sources: map[string]ClauseSource{}, papers: map[string]duties{}}
	f := r.Fields(root, "sources", "clauses", "papers")
	for _, key := range r.Entries(f.Need("sources")) {
		g := r.Fields(key.Value, "standing", "trust")
		t.sources[key.Name] = ClauseSource{key.Name, r.OneOf(g.Need("standing"), clauseStandings...), r.OneOf(g.Need("trust"), clauseTrusts...)}
	}
	for _, key := range r.Entries(f.Need("clauses")) {
		t.readClause(r, key)
	}
	for _, key := range r.Entries(f.Need("papers")) {
		t.readPaper(r, key)
	}
	if problems := r.Problems(); len(problems) > 0 {
		return nil, problems
	}
	return t, nil
}

func (t *ClauseTable) readClause(r *source.Reader, key source.Key) {
	if !isClause(key.Name) {
		r.Report(key.Value, "problem.clause", nil)
	}
	for _, item := range r.List(key.Value) {
		s := r.Text(item)
		if _, known := t.sources[s]; !known {
			r.Report(item, "problem.clause_source", map[string]any{"name": s})
		}
		t.clauses[key.Name] = append(t.clauses[key.Name], s)
	}
	t.order = append(t.order, key.Name)
}

func (t *ClauseTable) readPaper(r *source.Reader, key source.Key) {
	f := r.Fields(key.Value, "serves", "left_out")
	d := duties{leftOut: map[string]string{}}
	known := func(n *source.Node, id string) bool {
		_, ok := t.clauses[id]
		if !ok {
			r.Report(n, "problem.clause_unknown", map[string]any{"name": id})
		}
		return ok
	}
	for _, item := range r.List(f.Need("serves")) {
		for _, id := range clauseRange(r.Text(item)) {
			if known(item, id) {
				d.serves = append(d.serves, id)
			}
		}
	}
	for _, left := range r.Entries(f.Get("left_out")) {
		if known(left.Value, left.Name) {
			d.leftOut[left.Name] = r.Text(left.Value)
		}
	}
	t.papers[key.Name] = d
}

// clauseRange reads "C-04" or "C-04 to C-14".
func clauseRange(text string) []string {
	first, last, isRange := strings.Cut(text, " to ")
	if !isRange || !isClause(first) || !isClause(last) || first[0] != last[0] {
		return []string{text}
	}
	from, _ := strconv.Atoi(first[2:]) // isClause has seen two digits
	to, _ := strconv.Atoi(last[2:])
	var ids []string
	for n := from; n <= to; n++ {
		ids = append(ids, fmt.Sprintf("%c-%02d", first[0], n))
	}
	return ids
}

// isClause says whether an id is of a clause: C consent, T treatment record, A aftercare, L language, R the
// fields that a recall or report needs, E the common specifications for fillers of the European Union.
func isClause(id string) bool {
	return len(id) == 4 && strings.ContainsRune("CTALRE", rune(id[0])) && id[1] == '-' &&
		id[2] >= '0' && id[2] <= '9' && id[3] >= '0' && id[3] <= '9'
}

// Messages are the words that the table needs.
func (t *ClauseTable) Messages() []string {
	var ids []string
	for _, id := range t.order {
		ids = append(ids, "clause."+id)
	}
	for key := range t.sources {
		ids = append(ids, "clause.source."+key)
	}
	for _, s := range clauseStandings {
		ids = append(ids, "clause.standing."+s)
	}
	for _, d := range t.papers {
		for _, why := range d.leftOut {
			ids = append(ids, "clause.left."+why)
		}
	}
	slices.Sort(ids)
	return slices.Compact(ids)
}

// Of are the clauses that concern a paper, in the order of the table: those that it has to serve, those that
// it leaves out, and those that its blocks name besides.
func (t *ClauseTable) Of(tpl *Template) []Clause {
	places := tpl.clausePlaces()
	d := t.papers[tpl.Name]
	var all []Clause
	for _, id := range t.order {
		why, left := d.leftOut[id]
		if !left && !slices.Contains(d.serves, id) && len(places[id]) == 0 {
			continue
		}
		c := Clause{ID: id, Places: places[id]}
		if len(c.Places) == 0 {
			c.LeftOut = why
		}
		for _, s := range t.clauses[id] {
			c.Sources = append(c.Sources, t.sources[s])
		}
		all = append(all, c)
	}
	return all
}

// Unknown are the clauses that a paper's blocks name and the table does not have.
func (t *ClauseTable) Unknown(tpl *Template) []string {
	var ids []string
	for _, id := range tpl.Clauses() {
		if _, ok := t.clauses[id]; !ok {
			ids = append(ids, id)
		}
	}
	return ids
}

// clausePlaces are the blocks that name each clause, in the order of the paper.
func (t *Template) clausePlaces() map[string][]ClausePlace {
	places := map[string][]ClausePlace{}
	heading := ""
	var visit func(blocks []*block, conditional bool)
	visit = func(blocks []*block, conditional bool) {
		for _, b := range blocks {
			if h, ok := b.body.(*headingBody); ok {
				heading = h.text.last()
			}
			at := conditional || b.when != nil || b.each != ""
			for _, id := range b.clauses {
				p := ClausePlace{Block: b.id, Heading: heading, Conditional: at}
				if n := len(places[id]); n > 0 && places[id][n-1].Heading == heading {
					// One line a heading: what always stands says more than what may stand.
					if places[id][n-1].Conditional && !at {
						places[id][n-1] = p
					}
					continue
				}
				places[id] = append(places[id], p)
			}
			above := heading
			visit(b.body.inner(), at)
			if _, aside := b.body.(*panelBody); aside {
				heading = above // a panel's heading is of what stands in it alone
			}
		}
	}
	visit(t.blocks, false)
	return places
}

// last is the message of the alternative that stands if no other does.
func (w words) last() string {
	for i := len(w) - 1; i >= 0; i-- {
		if w[i].message != "" {
			return w[i].message
		}
	}
	return ""
}
