package desk

import (
	"errors"
	"maps"
	"slices"
	"strconv"
	"strings"

	"philtrum/cmd/philtrum/folder"
	"philtrum/forms/source"
	"philtrum/forms/visit"
	"philtrum/templates/code"
)

// Scanned is a file of evidence, with what was found on its pages.
type Scanned struct {
	Data      []byte
	Extension string // pdf, jpg, png, tif; bin for other kinds
	Leaves    []Leaf // none: the file could not be opened, and Fault says why
	Fault     Why
}

// Leaf is a page of a file.
type Leaf struct {
	Found      []code.Page
	Resolution int // dots per inch; 0: not known
	Fault      Why // why nothing could be looked for
}

// Why is the reason for which something waits in the tray.
type Why string

// Reasons to wait in the tray.
const (
	NoCode       Why = "no_code"       // no code of ours that can be read
	SeveralCodes Why = "several_codes" // pages of several papers on one picture
	UnknownPaper Why = "unknown_paper" // of a paper that was not issued here
	DoublePage   Why = "double"        // the page is there already, from another scan
	AsIssued     Why = "as_issued"     // the paper as it was issued: nobody has written on it
	ReadingCopy  Why = "reading_copy"  // a copy for reading, which nobody can sign
	WrongCount   Why = "wrong_count"   // the paper has another number of pages
	UnreadVisit  Why = "unread_visit"  // its visit's file has problems
	NoAgreement  Why = "no_agreement"  // a photograph to which the patient has not agreed

	FaultKind    Why = "kind"      // no PDF, JPEG, PNG or TIFF
	FaultBroken  Why = "broken"    // cannot be read
	FaultLocked  Why = "locked"    // is encrypted
	FaultLarge   Why = "too_large" // has too many pages or pixels
	FaultPicture Why = "picture"   // holds a picture of a kind that cannot be read
	FaultTime    Why = "too_long"  // took too long or too much memory to read
)

// Attached is what became of a page: it is with its paper, or waits in the tray.
type Attached struct {
	File, Leaf int // numbers in what was given, from 0 and 1
	Visit      string
	Kind       string // of the paper
	Page       code.Page
	Before     bool   // it was attached before; nothing was written
	Item       string // in the tray
	Why        Why
	Superseded bool // a later paper has taken the place of this one
}

// Attach puts every page of the files to its paper and the rest into the tray. Nothing is refused: what cannot be
// read at all is kept as a whole. All of it is written, or nothing.
func (d *Desk) Attach(files []Scanned, by string) ([]Attached, error) {
	a := &attaching{desk: d, by: by, visits: map[string]*gathered{}}
	for i := range files {
		a.file(i, &files[i])
	}
	if a.err != nil {
		return nil, a.err
	}
	return a.all, a.write(files)
}

// attaching is one run of Attach.
type attaching struct {
	desk    *Desk
	by      string
	visits  map[string]*gathered // by id
	papers  map[string]string    // visit of a document
	all     []Attached
	waiting []trayItem
	err     error
}

// gathered is a visit to which pages are attached.
type gathered struct {
	visit    visit.Visit
	readable bool
	sheets   []visit.Sheet // new ones
}

func (a *attaching) file(number int, f *Scanned) {
	name := digest(f.Data) + "." + f.Extension
	if len(f.Leaves) == 0 {
		a.wait(Attached{File: number, Why: f.Fault}, name)
		return
	}
	if a.asIssued(f, name) {
		a.wait(Attached{File: number, Why: AsIssued}, name)
		return
	}
	for i, leaf := range f.Leaves {
		at := Attached{File: number, Leaf: i + 1}
		switch {
		case len(leaf.Found) == 1:
			at.Page = leaf.Found[0]
			a.page(at, name, leaf)
			continue
		case len(leaf.Found) > 1:
			at.Why = SeveralCodes
		case leaf.Fault != "":
			at.Why = leaf.Fault
		default:
			at.Why = NoCode
		}
		a.wait(at, name)
	}
}

// page puts a page whose code was read to its paper.
func (a *attaching) page(at Attached, file string, leaf Leaf) {
	g, id := a.visitOf(at.Page.Document)
	if a.err != nil {
		return
	}
	if at.Visit = id; g == nil {
		at.Why = UnknownPaper
		a.wait(at, file)
		return
	}
	paper, known := g.paper(at.Page.Document)
	at.Kind, at.Superseded = paper.Kind, superseded(g.visit, paper)
	sheet := visit.Sheet{
		Document: at.Page.Document, Page: at.Page.Number, Of: at.Page.Of, File: file, Leaf: at.Leaf,
		At: a.desk.now(), By: a.by, Via: "code", Resolution: leaf.Resolution,
	}
	at.Before = slices.ContainsFunc(g.visit.Sheets, func(s visit.Sheet) bool {
		return s.Document == sheet.Document && s.Page == sheet.Page && s.File == file && s.Leaf == at.Leaf
	})
	switch at.Why = a.unfit(g, sheet, paper, known); {
	case at.Before:
		at.Why = ""
		a.all = append(a.all, at)
	case at.Why != "":
		a.wait(at, file)
	default:
		g.sheets = append(g.sheets, sheet)
		a.all = append(a.all, at)
	}
}

// unfit says why a page cannot be put to its paper, or is empty.
func (a *attaching) unfit(g *gathered, sheet visit.Sheet, paper visit.Paper, known bool) Why {
	here := func(s visit.Sheet) bool { return s.Document == sheet.Document && s.Page == sheet.Page }
	other := func(s visit.Sheet) bool { return s.Document == sheet.Document && s.Of != sheet.Of }
	switch {
	case !g.readable:
		return UnreadVisit
	case !known:
		return UnknownPaper
	case paper.Reading:
		return ReadingCopy
	case slices.ContainsFunc(g.visit.Sheets, other), slices.ContainsFunc(g.sheets, other):
		return WrongCount
	case slices.ContainsFunc(g.visit.Sheets, here), slices.ContainsFunc(g.sheets, here):
		return DoublePage
	}
	return ""
}

// asIssued says whether a file is an issued paper itself, to the byte.
func (a *attaching) asIssued(f *Scanned, name string) bool {
	if len(f.Leaves[0].Found) != 1 {
		return false
	}
	document := f.Leaves[0].Found[0].Document
	if _, id := a.visitOf(document); id != "" {
		paper, err := a.desk.folder.PaperFile(id, document)
		if err != nil {
			return false
		}
		data, err := a.desk.folder.Read(paper)
		return err == nil && strings.HasPrefix(name, digest(data)+".")
	}
	return false
}

// visitOf is the visit that a document was issued for.
func (a *attaching) visitOf(document string) (*gathered, string) {
	id, known := a.papers[document]
	if !known {
		found, err := a.desk.folder.FindPaper(document)
		if err != nil {
			a.err = err
			return nil, ""
		}
		if a.papers == nil {
			a.papers = map[string]string{}
		}
		id, a.papers[document] = found, found
	}
	if id == "" {
		return nil, ""
	}
	return a.gather(id), id
}

func (a *attaching) gather(id string) *gathered {
	if g := a.visits[id]; g != nil {
		return g
	}
	v, problems, err := a.desk.readVisit(id)
	if err != nil {
		a.err = err
		return nil
	}
	g := &gathered{visit: v, readable: len(problems) == 0}
	g.visit.ID = id
	a.visits[id] = g
	return g
}

func (g *gathered) paper(document string) (visit.Paper, bool) {
	for _, p := range g.visit.Papers {
		if p.Document == document {
			return p, true
		}
	}
	return visit.Paper{}, false
}

func superseded(v visit.Visit, p visit.Paper) bool {
	return slices.ContainsFunc(v.Papers, func(q visit.Paper) bool { return q.Supersedes == p.Document && p.Document != "" })
}

// wait puts a page or a whole file into the tray; one that waits there already stays as it is.
func (a *attaching) wait(at Attached, file string) {
	item := trayItem{
		ID: itemID(file, at.Leaf), File: file, Leaf: at.Leaf, Why: at.Why, At: a.desk.now(), By: a.by,
		Document: at.Page.Document, Page: at.Page.Number, Of: at.Page.Of,
	}
	at.Item = item.ID
	if name, err := a.desk.folder.TrayFile(item.ID); err != nil {
		a.err = errors.Join(a.err, err)
	} else if at.Before = a.desk.folder.Has(name); !at.Before && !slices.ContainsFunc(a.waiting, item.same) {
		a.waiting = append(a.waiting, item)
	}
	a.all = append(a.all, at)
}

// itemID names an item of the tray: a page of a file, or the whole of it.
func itemID(file string, leaf int) string {
	id := file[:16]
	if leaf > 0 {
		id += "-" + strconv.Itoa(leaf)
	}
	return id
}

// write keeps the files, the visits' new pages, the items of the tray and their entries in the journal.
func (a *attaching) write(files []Scanned) error {
	batch := a.desk.folder.Batch(a.desk.at)
	for i := range files {
		if err := a.keep(batch, i, &files[i]); err != nil {
			return err
		}
	}
	for _, id := range slices.Sorted(maps.Keys(a.visits)) {
		if err := a.desk.addTo(batch, id, "attached", "scans", sheetNodes(a.visits[id].sheets)); err != nil {
			return err
		}
	}
	for _, item := range a.waiting {
		name, err := a.desk.folder.TrayFile(item.ID)
		if err != nil {
			return err
		}
		batch.Create(name, item.text())
		batch.Enter("tray", item.ID, item.File[:64])
	}
	return batch.Commit()
}

// keep keeps a file byte for byte: with a visit if every page of it is of that visit, else with those of several.
func (a *attaching) keep(batch *folder.Batch, number int, f *Scanned) error {
	owner, fresh := "", false
	for i, at := range slices.DeleteFunc(slices.Clone(a.all), func(at Attached) bool { return at.File != number }) {
		fresh = fresh || !at.Before
		switch {
		case at.Item != "", i > 0 && owner != at.Visit:
			owner = ""
		case i == 0:
			owner = at.Visit
		}
	}
	sum := digest(f.Data)
	name, err := a.desk.folder.EvidenceFile(owner, sum, f.Extension)
	if err != nil || !fresh {
		return err
	}
	if _, err := a.desk.folder.FindEvidence(owner, sum+"."+f.Extension); err == nil || batch.Creates(name) {
		return nil
	}
	batch.Create(name, f.Data)
	batch.Enter("kept", sum[:32], sum)
	return nil
}

func sheetNodes(sheets []visit.Sheet) []*source.Node {
	var nodes []*source.Node
	for _, s := range sheets {
		nodes = append(nodes, s.Node())
	}
	return nodes
}

// addTo appends entries to a list of a visit's file, with an entry in the journal.
func (d *Desk) addTo(batch *folder.Batch, id, what, key string, nodes []*source.Node) error {
	if len(nodes) == 0 {
		return nil
	}
	name, err := d.folder.VisitFile(id)
	if err != nil {
		return err
	}
	var changes []source.Change
	for _, n := range nodes {
		changes = append(changes, source.Change{Path: []string{key}, Append: true, Value: n})
	}
	batch.Update(name, func(old []byte) ([]byte, error) {
		edited, problems := source.Edit(name, old, changes...)
		return edited, problems.Err()
	})
	batch.EnterFile(what, id, name)
	return nil
}
