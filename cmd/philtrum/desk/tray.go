package desk

import (
	"slices"
	"strings"
	"time"

	"philtrum/cmd/philtrum/folder"
	"philtrum/forms"
	"philtrum/forms/source"
	"philtrum/forms/visit"
	"philtrum/templates/pdf/read"
)

// trayItem is tray/<id>.yaml: a page or a whole file that nobody has put to its paper yet.
type trayItem struct {
	ID, File string // File: SHA-256 and extension
	Leaf     int    // page of the file; 0: the whole file
	Why      Why
	At       time.Time
	By       string
	Document string // what its code said, where one was read
	Page, Of int
	Original string // of a photograph: SHA-256 and extension of the file as it came
	Bound    *bound
}

// bound says where an item went: by hand, or in the case of a photograph once it was allowed.
type bound struct {
	Visit, Document string
	Page            int
	By, Why         string
	At              time.Time
}

func (t trayItem) same(other trayItem) bool { return t.ID == other.ID }

func (t trayItem) node() *source.Node {
	value := func(s string) *source.Node {
		if s == "" {
			return nil
		}
		return source.Text(s)
	}
	return source.Map("id", value(t.ID), "file", value(t.File), "leaf", value(count(t.Leaf)), "reason", value(string(t.Why)),
		"at", value(t.At.Format(time.RFC3339)), "by", value(t.By), "document", value(t.Document), "page", value(count(t.Page)), "of", value(count(t.Of)), "original", value(t.Original))
}

func (t trayItem) text() []byte { return source.Write(t.node()) }

func (b bound) node() *source.Node {
	return source.Map("visit", source.Text(b.Visit), "document", source.Text(b.Document), "page", source.Text(count(b.Page)),
		"by", source.Text(b.By), "at", source.Text(b.At.Format(time.RFC3339)), "why", source.Text(b.Why))
}

// readItem reads an item of the tray.
func (d *Desk) readItem(id string) (trayItem, source.Problems, error) {
	name, err := d.folder.TrayFile(id)
	if err != nil {
		return trayItem{}, nil, err
	}
	data, err := d.folder.Read(name)
	if err != nil {
		return trayItem{}, nil, err
	}
	node, problems := source.Parse(name, data)
	if len(problems) > 0 {
		return trayItem{}, problems, nil
	}
	v := forms.Values{Reader: &source.Reader{}, Private: true, Zone: d.clinic.Zone}
	f := v.Fields(node, "id", "file", "leaf", "reason", "at", "by", "document", "page", "of", "original", "bound")
	whole := func(n *source.Node) int {
		if n == nil {
			return 0
		}
		return v.Int(n, 0, 1<<20)
	}
	t := trayItem{
		ID: v.ID(f.Need("id")), File: v.Text(f.Need("file")), Leaf: whole(f.Get("leaf")), Why: Why(v.Text(f.Need("reason"))),
		At: v.Time(f.Need("at")), By: v.Text(f.Get("by")), Document: v.Text(f.Get("document")), Page: whole(f.Get("page")), Of: whole(f.Get("of")),
		Original: v.Text(f.Get("original")),
	}
	if n := f.Get("bound"); n != nil {
		g := v.Fields(n, "visit", "document", "page", "by", "at", "why")
		t.Bound = &bound{Visit: v.Text(g.Need("visit")), Document: v.Text(g.Get("document")), Page: whole(g.Get("page")),
			By: v.Text(g.Need("by")), Why: v.Text(g.Get("why")), At: v.Time(g.Need("at"))}
	}
	return t, v.Problems(), nil
}

// Waiting is an item of the tray as a list shows it.
type Waiting struct {
	Item     string    `json:"item"`
	Leaf     int       `json:"page_of_file,omitempty"`
	Why      Why       `json:"reason"`
	At       time.Time `json:"at"`
	By       string    `json:"by,omitempty"`
	Document string    `json:"document,omitempty"`
	Page     int       `json:"page,omitempty"`
	Of       int       `json:"of,omitempty"`
	File     string    `json:"file"` // in the clinic folder
}

// Tray lists what waits, oldest first. Problems are of items whose files were damaged; they do not hide others.
func (d *Desk) Tray() ([]Waiting, source.Problems, error) {
	ids, err := d.folder.Tray()
	if err != nil {
		return nil, nil, err
	}
	var all []Waiting
	var problems source.Problems
	for _, id := range ids {
		item, found, err := d.readItem(id)
		if err != nil {
			return nil, nil, err
		}
		if problems = append(problems, found...); len(found) > 0 || item.Bound != nil {
			continue
		}
		w := Waiting{Item: item.ID, Leaf: item.Leaf, Why: item.Why, At: item.At, By: item.By, Document: item.Document, Page: item.Page, Of: item.Of}
		if name, err := d.folder.FindEvidence("", item.File); err == nil {
			w.File = name
		}
		all = append(all, w)
	}
	slices.SortStableFunc(all, func(a, b Waiting) int { return a.At.Compare(b.At) })
	return all, problems, nil
}

// Binding is where a person puts an item of the tray.
type Binding struct {
	Visit string
	Paper string // kind or document id; empty: evidence of the visit that is no page of an issued paper
	Page  int
	By    string
	Why   string
}

// Bind puts an item of the tray to its paper by hand; who, when and why are recorded with the page.
func (d *Desk) Bind(id string, b Binding) (source.Problems, error) {
	item, problems, err := d.readItem(id)
	if err != nil || len(problems) > 0 {
		return problems, err
	}
	v, problems, err := d.readVisit(b.Visit)
	if err != nil || len(problems) > 0 {
		return problems, err
	}
	sheet, problems, err := d.bindable(item, v, b)
	if err != nil || len(problems) > 0 {
		return problems, err
	}
	batch := d.folder.Batch(d.at)
	if err := d.addTo(batch, v.ID, "bound", "scans", []*source.Node{sheet.Node()}); err != nil {
		return nil, err
	}
	return nil, d.settle(batch, item, bound{Visit: v.ID, Document: sheet.Document, Page: sheet.Page, By: b.By, Why: b.Why, At: d.now()})
}

// bindable is the page that an item becomes; problems say why it cannot.
func (d *Desk) bindable(item trayItem, v visit.Visit, b Binding) (visit.Sheet, source.Problems, error) {
	sheet := visit.Sheet{File: item.File, Leaf: item.Leaf, At: d.now(), By: b.By, Via: "hand", Why: b.Why}
	switch {
	case item.Bound != nil:
		return sheet, one("attach.bound_already", "item", item.ID), nil
	case item.Why == NoAgreement:
		return sheet, one("attach.photograph_waits", "item", item.ID), nil
	case strings.TrimSpace(b.Why) == "":
		return sheet, one("attach.no_binding_reason"), nil
	case len(d.isStaff(b.By)) > 0:
		return sheet, d.isStaff(b.By), nil
	case b.Paper == "":
		return sheet, nil, nil
	}
	paper, ok := paperOf(v, b.Paper)
	if !ok {
		return sheet, one("attach.no_such_paper", "paper", b.Paper), nil
	}
	pages, err := d.pagesOf(v.ID, paper.Document)
	if err != nil {
		return sheet, nil, err
	}
	if b.Page < 1 || b.Page > pages {
		return sheet, one("attach.no_such_page", "pages", pages), nil
	}
	sheet.Document, sheet.Page, sheet.Of = paper.Document, b.Page, pages
	if slices.ContainsFunc(v.Sheets, func(s visit.Sheet) bool { return s.Document == sheet.Document && s.Page == sheet.Page }) {
		return sheet, one("attach.page_is_there", "page", b.Page), nil
	}
	return sheet, nil, nil
}

// paperOf finds a paper by its document id, or the newest of a kind that can be signed.
func paperOf(v visit.Visit, word string) (visit.Paper, bool) {
	for _, p := range slices.Backward(v.Papers) {
		if p.Document == word || p.Kind == word && !p.Reading {
			return p, true
		}
	}
	return visit.Paper{}, false
}

// pagesOf is how many pages an issued paper has.
func (d *Desk) pagesOf(id, document string) (int, error) {
	name, err := d.folder.PaperFile(id, document)
	if err != nil {
		return 0, err
	}
	data, err := d.folder.Read(name)
	if err != nil {
		return 0, err
	}
	f, err := read.Open(data)
	if err != nil {
		return 0, err
	}
	return len(f.Pages()), nil
}

// settle notes in an item of the tray where it went, and does the batch.
func (d *Desk) settle(batch *folder.Batch, item trayItem, to bound) error {
	name, err := d.folder.TrayFile(item.ID)
	if err != nil {
		return err
	}
	batch.Update(name, func(old []byte) ([]byte, error) {
		edited, problems := source.Edit(name, old, source.Change{Path: []string{"bound"}, Value: to.node()})
		return edited, problems.Err()
	})
	batch.EnterFile("settled", item.ID, name)
	return batch.Commit()
}
