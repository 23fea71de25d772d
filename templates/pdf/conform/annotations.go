package conform

import (
	"fmt"

	"philtrum/templates/pdf/read"
)

// annotationKinds are those that A 6.3.1 allows and papers may need.
var annotationKinds = names("Text Link FreeText Line Square Circle Polygon PolyLine Highlight Underline Squiggly StrikeOut Stamp Caret Ink Popup Widget")

// Flags of annotations, 32000 12.5.3.
const (
	flagInvisible = 1 << 0
	flagHidden    = 1 << 1
	flagPrint     = 1 << 2
	flagNoView    = 1 << 5
	flagToggle    = 1 << 8
)

// annotations checks the annotations of every page.
func (c *checker) annotations() {
	for i, p := range c.f.Pages() {
		for n, o := range c.f.Array(p.Dict["Annots"]) {
			ref, _ := o.(read.Ref)
			if d := c.f.Dict(o); d != nil {
				c.annotation(d, ref, fmt.Sprintf("page %d annotation %d", i+1, n+1))
			}
		}
	}
}

func (c *checker) annotation(d read.Dict, ref read.Ref, where string) {
	kind := c.f.Name(d["Subtype"])
	if !annotationKinds[kind] {
		c.fail(RuleAnnotKind, "%s", where)
	}
	if kind == "Popup" {
		return
	}
	flags, _ := c.f.Int(d["F"])
	if flags&flagPrint == 0 || flags&(flagInvisible|flagHidden|flagNoView|flagToggle) != 0 {
		c.fail(RuleAnnotFlags, "%s", where)
	}
	look := c.f.Dict(d["AP"])
	if kind != "Link" && (look["N"] == nil || look["R"] != nil || look["D"] != nil) {
		c.fail(RuleAnnotLook, "%s", where)
	}
	owners := c.objectOf[ref]
	var owner read.Dict
	if len(owners) == 1 {
		owner = c.f.Dict(owners[0])
	}
	tag := read.Name("Annot")
	switch kind {
	case "Link":
		tag = "Link"
	case "Widget":
		tag = "Form"
	}
	if owner == nil || c.elements[owners[0]] != tag || d["StructParent"] == nil {
		c.fail(RuleAnnotTag, "%s", where)
	}
	contents, _ := c.f.Text(d["Contents"])
	alt, _ := c.f.Text(owner["Alt"])
	if kind == "Widget" {
		if d["A"] != nil {
			c.fail(RuleAction, "%s", where)
		}
		if c.fieldName(d) == "" && alt == "" {
			c.fail(RuleFieldName, "%s", where)
		}
		return
	}
	if contents == "" && (alt == "" || kind == "Link") {
		c.fail(RuleAnnotText, "%s", where)
	}
}

// fieldName is the name for people of a widget's field, which its parents may hold.
func (c *checker) fieldName(d read.Dict) string {
	for range maxNest {
		if d == nil {
			return ""
		}
		if s, ok := c.f.Text(d["TU"]); ok && s != "" {
			return s
		}
		d = c.f.Dict(d["Parent"])
	}
	return ""
}
