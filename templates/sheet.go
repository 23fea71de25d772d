package templates

import (
	"sort"
	"strconv"
	"strings"

	"philtrum/forms/source"
	"philtrum/templates/layout"
)

// Looks and pages, as sheets.yaml names them.
var (
	looks = []string{"patient", "large", "record", "emergency", "card"}
	pages = []string{"A4", "Letter"}
)

// sheets are the sheets by name.
type sheets map[string]layout.Sheet

// SheetName is the name of a look on a page: "large-A4". An unknown page is A4.
func SheetName(look, page string) string {
	if !contains(pages, page) {
		page = pages[0]
	}
	return look + "-" + page
}

// SheetNames lists the sheets that a template can be set on.
func (t *Template) SheetNames() []string {
	var names []string
	for name := range t.sheets {
		names = append(names, name)
	}
	sort.Strings(names)
	return names
}

// sheets reads sheets.yaml.
func (l *loader) sheets() sheets {
	out := sheets{}
	f := l.r.Fields(l.file("sheets.yaml"), "inks", "pages", "looks")
	inks := l.r.Fields(f.Need("inks"), "text", "quiet", "accent")
	pageFields := l.r.Fields(f.Need("pages"), pages...)
	lookFields := l.r.Fields(f.Need("looks"), looks...)
	for _, look := range looks {
		n := lookFields.Need(look)
		for _, page := range pages {
			s := l.look(n)
			s.Name = SheetName(look, page)
			p := l.r.Fields(pageFields.Need(page), "width", "height")
			s.Width, s.Height = l.mm(p.Need("width")), l.mm(p.Need("height"))
			s.TextInk, s.QuietInk, s.Accent = l.ink(inks.Need("text")), l.ink(inks.Need("quiet")), l.ink(inks.Need("accent"))
			out[s.Name] = s
		}
	}
	return out
}

func (l *loader) look(n *source.Node) layout.Sheet {
	f := l.r.Fields(n, "margins", "gutter", "indent", "rule", "heavy_rule", "bar", "tint", "pen_row", "box", "sign", "code", "least_lines", "stack_rows", "styles")
	m := l.r.Fields(f.Need("margins"), "top", "bottom", "inner", "outer")
	sign := l.r.Fields(f.Need("sign"), "width", "height")
	s := layout.Sheet{
		Top: l.mm(m.Need("top")), Bottom: l.mm(m.Need("bottom")), Inner: l.mm(m.Need("inner")), Outer: l.mm(m.Need("outer")),
		Mirror: true,
		Styles: map[layout.Role]layout.TextStyle{},
		Gutter: l.mm(f.Need("gutter")), Indent: l.mm(f.Need("indent")),
		Rule: l.pt(f.Need("rule")), HeavyRule: l.pt(f.Need("heavy_rule")), Bar: l.pt(f.Need("bar")),
		Tint:   uint8(l.r.Int(f.Need("tint"), 0, 20)),
		PenRow: l.mm(f.Need("pen_row")), Box: l.mm(f.Need("box")),
		SignWidth: l.mm(sign.Need("width")), SignHeight: l.mm(sign.Need("height")),
		CodeSide: l.mm(f.Need("code")), MinLines: l.r.Int(f.Need("least_lines"), 1, 4),
		StackRows: l.r.YesNo(f.Get("stack_rows")),
	}
	styles := l.r.Fields(f.Need("styles"), roleNames()...)
	for _, role := range roles {
		s.Styles[role] = l.style(styles.Need(string(role)))
	}
	return s
}

var roles = []layout.Role{layout.RoleTitle, layout.RoleH1, layout.RoleH2, layout.RoleH3, layout.RoleLead, layout.RoleBody,
	layout.RoleSmall, layout.RoleLabel, layout.RoleTable, layout.RoleNumber, layout.RoleFoot}

func roleNames() []string {
	var names []string
	for _, r := range roles {
		names = append(names, string(r))
	}
	return names
}

func (l *loader) style(n *source.Node) layout.TextStyle {
	f := l.r.Fields(n, "size", "leading", "weight", "before", "after")
	s := layout.TextStyle{Size: l.pt(f.Need("size")), Leading: l.pt(f.Need("leading")),
		Before: l.pt(f.Need("before")), After: l.pt(f.Need("after"))}
	if l.r.OneOf(f.Need("weight"), "regular", "bold") == "bold" {
		s.Weight = layout.Bold
	}
	return s
}

func (l *loader) pt(n *source.Node) layout.Length { return layout.Length(l.thousandths(n)) }

// mm rounds to the thousandth of a point: an inch is 25.4 mm and 72 points.
func (l *loader) mm(n *source.Node) layout.Length {
	return layout.Length((l.thousandths(n)*720 + 127) / 254)
}

// thousandths reads a number from 0 to 2000 with at most three decimals.
func (l *loader) thousandths(n *source.Node) int64 {
	whole, part, _ := strings.Cut(l.r.Text(n), ".")
	part += "000"
	v, err := strconv.ParseUint(whole+part[:3], 10, 31)
	if err != nil || len(part) > 6 || v > 2_000_000 {
		if n != nil {
			l.r.Report(n, "problem.length", nil)
		}
		return 0
	}
	return int64(v)
}

func (l *loader) ink(n *source.Node) [3]uint8 {
	text := l.r.Text(n)
	var out [3]uint8
	if len(text) != 7 || text[0] != '#' {
		if n != nil {
			l.r.Report(n, "problem.ink", nil)
		}
		return out
	}
	for i := range out {
		hi, a := nibble(text[1+2*i])
		lo, b := nibble(text[2+2*i])
		if !a || !b {
			l.r.Report(n, "problem.ink", nil)
			return out
		}
		out[i] = hi<<4 | lo
	}
	return out
}

func nibble(c byte) (uint8, bool) {
	switch {
	case c >= '0' && c <= '9':
		return c - '0', true
	case c >= 'a' && c <= 'f':
		return c - 'a' + 10, true
	}
	return 0, false
}
