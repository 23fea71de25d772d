package conform

import (
	"strings"

	"philtrum/templates/pdf/read"
)

// standard are the structure types of 32000 14.8.4.
var standard = names(`Document Part Art Sect Div BlockQuote Caption TOC TOCI Index NonStruct Private
	P H H1 H2 H3 H4 H5 H6 L LI Lbl LBody Table TR TH TD THead TBody TFoot
	Span Quote Note Reference BibEntry Code Link Annot Ruby RB RT RP Warichu WT WP Figure Formula Form`)

func names(s string) map[read.Name]bool {
	set := make(map[read.Name]bool)
	for _, n := range strings.Fields(s) {
		set[read.Name(n)] = true
	}
	return set
}

// element is a structure element as the checks see it.
type element struct {
	ref  read.Ref
	dict read.Dict
	kind read.Name // standard type, roles followed
	kids []*element
	page read.Object
}

// structure checks the structure tree and gathers which element owns which mark.
func (c *checker) structure() {
	c.owners = make(map[markAt][]read.Ref)
	c.elements = make(map[read.Ref]read.Name)
	c.objectOf = make(map[read.Ref][]read.Ref)
	rootRef, _ := c.f.Catalog()["StructTreeRoot"].(read.Ref)
	root := c.f.Dict(rootRef)
	if root == nil {
		c.fail(RuleTree, "catalog")
		return
	}
	t := treeWalk{c: c, roles: c.f.Dict(root["RoleMap"]), pages: make(map[read.Ref]int), ids: make(map[string]bool)}
	t.checkRoles()
	for i, p := range c.f.Pages() {
		t.pages[p.Ref] = i
	}
	top := &element{ref: rootRef, dict: root}
	t.kids(top, root["K"], 0)
	if len(top.kids) == 0 {
		c.fail(RuleTree, "catalog")
	}
	t.headings()
	for at := range c.owners {
		if at.page >= len(c.content) || !c.content[at.page][at.mark] {
			c.fail(RuleMark, "page %d mark %d has no content", at.page+1, at.mark)
		}
	}
	for page, marks := range c.content {
		for mark := range marks {
			if n := len(c.owners[markAt{page, mark}]); n != 1 {
				c.fail(RuleMark, "page %d mark %d has %d elements", page+1, mark, n)
			}
		}
	}
}

// treeWalk is one walk over the structure tree in reading order.
type treeWalk struct {
	c     *checker
	roles read.Dict
	pages map[read.Ref]int
	order []*element // headings
	ids   map[string]bool
}

func (t *treeWalk) checkRoles() {
	for name := range t.roles {
		if standard[name] || !standard[t.role(name)] {
			t.c.fail(RuleRole, "%s", name)
		}
	}
}

// role follows the role map to its end.
func (t *treeWalk) role(name read.Name) read.Name {
	for range maxNest {
		next := t.c.f.Name(t.roles[name])
		if next == "" || standard[name] {
			return name
		}
		name = next
	}
	return ""
}

func (t *treeWalk) kids(e *element, k read.Object, depth int) {
	if depth > maxNest {
		t.c.fail(RuleTree, "element %d", e.ref.Number)
		return
	}
	for _, o := range t.list(k) {
		t.kid(e, o, depth)
	}
}

// list gives the members of an array or the one value instead of it.
func (t *treeWalk) list(o read.Object) read.Array {
	if o == nil {
		return nil
	}
	if a := t.c.f.Array(o); a != nil {
		return a
	}
	return read.Array{o}
}

func (t *treeWalk) kid(e *element, o read.Object, depth int) {
	switch v := t.c.f.Resolve(o).(type) {
	case int:
		t.mark(e, e.page, v)
	case read.Dict:
		switch t.c.f.Name(v["Type"]) {
		case "MCR":
			page := v["Pg"]
			if page == nil {
				page = e.page
			}
			if n, ok := t.c.f.Int(v["MCID"]); ok {
				t.mark(e, page, n)
			}
		case "OBJR":
			if ref, ok := v["Obj"].(read.Ref); ok {
				t.c.objectOf[ref] = append(t.c.objectOf[ref], e.ref)
			}
		default:
			t.element(e, o, v, depth)
		}
	default:
		t.c.fail(RuleTree, "element %d", e.ref.Number)
	}
}

func (t *treeWalk) mark(e *element, page read.Object, mark int) {
	ref, _ := page.(read.Ref)
	i, ok := t.pages[ref]
	if !ok {
		t.c.fail(RuleMark, "element %d names no page", e.ref.Number)
		return
	}
	at := markAt{i, mark}
	t.c.owners[at] = append(t.c.owners[at], e.ref)
}

func (t *treeWalk) element(parent *element, o read.Object, d read.Dict, depth int) {
	ref, ok := o.(read.Ref)
	if !ok || t.c.elements[ref] != "" {
		t.c.fail(RuleTree, "element %d", parent.ref.Number)
		return
	}
	e := &element{ref: ref, dict: d, kind: t.role(t.c.f.Name(d["S"])), page: d["Pg"]}
	t.c.elements[ref] = e.kind
	if up, ok := d["P"].(read.Ref); !ok || up != parent.ref {
		t.c.fail(RuleTree, "element %d", ref.Number)
	}
	if !standard[e.kind] {
		t.c.fail(RuleRole, "element %d", ref.Number)
		t.c.elements[ref] = "?"
	}
	t.c.language(d["Lang"], "element "+itoa(ref.Number))
	parent.kids = append(parent.kids, e)
	if len(e.kind) > 0 && e.kind[0] == 'H' && (len(e.kind) == 1 || e.kind[1] >= '1' && e.kind[1] <= '6') {
		t.order = append(t.order, e)
	}
	t.kids(e, d["K"], depth+1)
	t.judge(parent, e)
}

// headings checks the levels in reading order.
func (t *treeWalk) headings() {
	last, plain, levelled := 0, false, false
	for _, e := range t.order {
		if e.kind == "H" {
			plain = true
			continue
		}
		levelled = true
		level := int(e.kind[1] - '0')
		if level > last+1 {
			t.c.fail(RuleHeading, "element %d", e.ref.Number)
		}
		last = level
	}
	if plain && levelled {
		t.c.fail(RuleHeading, "mixed")
	}
}
