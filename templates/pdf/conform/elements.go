package conform

import (
	"strconv"

	"philtrum/templates/pdf/read"
)

func itoa(n int) string { return strconv.Itoa(n) }

// within lists, for types that stand only in some others, those others.
var within = map[read.Name]map[read.Name]bool{
	"TR": names("Table THead TBody TFoot"), "THead": names("Table"), "TBody": names("Table"), "TFoot": names("Table"),
	"TH": names("TR"), "TD": names("TR"), "LI": names("L"), "LBody": names("LI"),
}

// holds lists, for types that hold only some others, those others.
var holds = map[read.Name]map[read.Name]bool{
	"Table": names("TR THead TBody TFoot Caption"), "THead": names("TR"), "TBody": names("TR"), "TFoot": names("TR"),
	"TR": names("TH TD"), "L": names("L LI Caption"), "LI": names("Lbl LBody"),
}

// listKinds are the types whose nesting the list rule judges; the others are the table rule's.
var listKinds = names("L LI Lbl LBody")

// judge checks an element whose kids are known.
func (t *treeWalk) judge(parent, e *element) {
	where := "element " + itoa(e.ref.Number)
	rule := RuleTable
	if listKinds[e.kind] {
		rule = RuleList
	}
	if allowed, ok := within[e.kind]; ok && !allowed[parent.kind] {
		t.c.fail(rule, "%s", where)
	}
	if allowed, ok := holds[e.kind]; ok {
		for _, k := range e.kids {
			if !allowed[k.kind] {
				t.c.fail(rule, "%s", where)
			}
		}
		if t.ownText(e) {
			t.c.fail(rule, "%s", where)
		}
	}
	switch e.kind {
	case "Figure":
		t.figure(e, where)
	case "Formula":
		if !t.hasText(e, "Alt") && !t.hasText(e, "ActualText") {
			t.c.fail(RuleFigureAlt, "%s", where)
		}
	case "TH":
		scope := t.c.f.Name(t.attribute(e, "Table", "Scope"))
		if scope != "Row" && scope != "Column" && scope != "Both" && t.attribute(e, "Table", "Headers") == nil {
			t.c.fail(RuleHeaderScope, "%s", where)
		}
	case "Table":
		t.grid(e, where)
	case "Note":
		id, _ := t.c.f.Text(e.dict["ID"])
		if id == "" || t.ids[id] {
			t.c.fail(RuleNote, "%s", where)
		}
		t.ids[id] = true
	}
}

// ownText says whether e has content of its own, outside its kids.
func (t *treeWalk) ownText(e *element) bool {
	for _, o := range t.list(e.dict["K"]) {
		switch v := t.c.f.Resolve(o).(type) {
		case int:
			return true
		case read.Dict:
			if t.c.f.Name(v["Type"]) == "MCR" {
				return true
			}
		}
	}
	return false
}

func (t *treeWalk) hasText(e *element, key read.Name) bool {
	s, ok := t.c.f.Text(e.dict[key])
	return ok && s != ""
}

func (t *treeWalk) figure(e *element, where string) {
	if !t.hasText(e, "Alt") && !t.hasText(e, "ActualText") {
		t.c.fail(RuleFigureAlt, "%s", where)
	}
	box := t.c.f.Array(t.attribute(e, "Layout", "BBox"))
	var v [4]float64
	ok := len(box) == 4
	for i := 0; ok && i < 4; i++ {
		v[i], ok = t.c.f.Number(box[i])
	}
	if !ok || v[2] <= v[0] || v[3] <= v[1] {
		t.c.fail(RuleFigureBox, "%s", where)
	}
}

// attribute finds an attribute of an owner among those of e and of its classes.
func (t *treeWalk) attribute(e *element, owner, key read.Name) read.Object {
	all := t.list(e.dict["A"])
	classes := t.c.f.Dict(t.c.f.Dict(t.c.f.Catalog()["StructTreeRoot"])["ClassMap"])
	for _, o := range t.list(e.dict["C"]) {
		all = append(all, t.list(classes[t.c.f.Name(o)])...)
	}
	for _, o := range all {
		if d := t.c.f.Dict(o); t.c.f.Name(d["O"]) == owner && d[key] != nil {
			return t.c.f.Resolve(d[key])
		}
	}
	return nil
}

// rows lists the rows of a table, those of its parts included.
func rows(e *element) []*element {
	var all []*element
	for _, k := range e.kids {
		switch k.kind {
		case "TR":
			all = append(all, k)
		case "THead", "TBody", "TFoot":
			all = append(all, rows(k)...)
		}
	}
	return all
}

// grid lays the cells out and wants every row to have the width of the first, without gaps or overlaps.
func (t *treeWalk) grid(e *element, where string) {
	const limit = 1000 // columns and rows that a cell may span
	var held []int     // for each column, how many further rows a cell from above takes
	for n, row := range rows(e) {
		column := 0
		next := make([]int, len(held))
		for i, h := range held {
			next[i] = max(h-1, 0)
		}
		for _, cell := range row.kids {
			for column < len(held) && held[column] > 0 {
				column++
			}
			across, down := t.span(cell, "ColSpan"), t.span(cell, "RowSpan")
			if across < 1 || down < 1 || across > limit || down > limit {
				t.c.fail(RuleGrid, "%s", where)
				return
			}
			for i := column; i < column+across; i++ {
				if i < len(held) && held[i] > 0 || n > 0 && i >= len(held) {
					t.c.fail(RuleGrid, "%s", where)
					return
				}
				if i >= len(next) {
					next = append(next, 0)
				}
				next[i] = down - 1
			}
			column += across
		}
		for column < len(held) && held[column] > 0 {
			column++
		}
		if n > 0 && column != len(held) {
			t.c.fail(RuleGrid, "%s", where)
			return
		}
		held = next
	}
	for _, h := range held {
		if h > 0 {
			t.c.fail(RuleGrid, "%s", where)
			return
		}
	}
}

// span is the number of columns or rows that a cell takes.
func (t *treeWalk) span(e *element, key read.Name) int {
	o := t.attribute(e, "Table", key)
	if o == nil {
		return 1
	}
	n, _ := o.(int)
	return n
}
