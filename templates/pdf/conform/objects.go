package conform

import (
	"philtrum/templates/pdf/read"
)

// forbidden are the actions of A 6.5.1 and of UA.
var forbidden = map[read.Name]bool{
	"JavaScript": true, "Launch": true, "Sound": true, "Movie": true, "ResetForm": true, "ImportData": true,
	"Hide": true, "SetOCGState": true, "Rendition": true, "Trans": true, "GoTo3DView": true,
	"SetState": true, "NOP": true, "set-state": true, "no-op": true,
}

// objects checks every object of the file by itself.
func (c *checker) objects() {
	for _, n := range c.f.Numbers() {
		o := c.f.Resolve(read.Ref{Number: n})
		if s, ok := o.(*read.Stream); ok {
			c.streamFilters(s, n)
		}
		c.value(o, n, 0)
	}
	names := c.f.Dict(c.f.Catalog()["Names"])
	if names["JavaScript"] != nil {
		c.fail(RuleAction, "catalog")
	}
	if names["EmbeddedFiles"] != nil && c.part != "3" {
		c.fail(RuleEmbed, "catalog")
	}
}

func (c *checker) streamFilters(s *read.Stream, n int) {
	filters := c.f.Array(s.Dict["Filter"])
	if filters == nil {
		filters = read.Array{s.Dict["Filter"]}
	}
	for _, o := range filters {
		if name := c.f.Name(o); name == "LZWDecode" || name == "Crypt" {
			c.fail(RuleStream, "object %d", n)
		}
	}
	if s.Dict["F"] != nil || s.Dict["FFilter"] != nil || s.Dict["FDecodeParms"] != nil {
		c.fail(RuleStream, "object %d", n)
	}
}

// Limits of A 6.1.13, in bytes.
const (
	maxString = 32767
	maxName   = 127
	maxNest   = 64
)

// value walks a value of object n without following references.
func (c *checker) value(o read.Object, n, depth int) {
	if depth > maxNest {
		c.fail(RuleLimit, "object %d", n)
		return
	}
	switch v := o.(type) {
	case read.String:
		if len(v) > maxString {
			c.fail(RuleLimit, "object %d", n)
		}
	case read.Name:
		if len(v) > maxName {
			c.fail(RuleLimit, "object %d", n)
		}
	case read.Array:
		for _, e := range v {
			c.value(e, n, depth+1)
		}
	case *read.Stream:
		c.dictionary(v.Dict, n, depth)
	case read.Dict:
		c.dictionary(v, n, depth)
	}
}

func (c *checker) dictionary(d read.Dict, n, depth int) {
	for k, e := range d {
		c.value(k, n, depth+1)
		c.value(e, n, depth+1)
	}
	if d["AA"] != nil || forbidden[c.f.Name(d["S"])] || d["JS"] != nil {
		c.fail(RuleAction, "object %d", n)
	}
	switch c.f.Name(d["Type"]) {
	case "Filespec":
		if d["EF"] == nil {
			break
		}
		if c.part != "3" || d["F"] == nil || d["UF"] == nil || d["AFRelationship"] == nil || !c.associated(n) || !c.typed(d) {
			c.fail(RuleEmbed, "object %d", n)
		}
	case "OCG":
		if name, ok := c.f.Text(d["Name"]); !ok || name == "" {
			c.fail(RuleLayer, "object %d", n)
		}
	case "ExtGState":
		c.graphicsState(d, n)
	}
	if d["Interpolate"] == true || d["SMask"] != nil && c.f.Name(d["SMask"]) != "None" {
		c.fail(RuleTransparent, "object %d", n)
	}
}

// associated says whether the document names an attached file as one that belongs to it (ISO 19005-3, 6.8);
// files of a page or a part of one are unknown here.
func (c *checker) associated(n int) bool {
	for _, o := range c.f.Array(c.f.Catalog()["AF"]) {
		if r, ok := o.(read.Ref); ok && r.Number == n {
			return true
		}
	}
	return false
}

// typed says whether an attached file names its media type.
func (c *checker) typed(spec read.Dict) bool {
	s, ok := c.f.Resolve(c.f.Dict(spec["EF"])["F"]).(*read.Stream)
	return ok && c.f.Name(s.Dict["Subtype"]) != ""
}

// graphicsState finds transparency, which no paper needs.
func (c *checker) graphicsState(d read.Dict, n int) {
	for _, key := range []read.Name{"CA", "ca"} {
		if v, ok := c.f.Number(d[key]); ok && v != 1 {
			c.fail(RuleTransparent, "object %d", n)
		}
	}
	if mode := c.f.Name(d["BM"]); mode != "" && mode != "Normal" && mode != "Compatible" {
		c.fail(RuleTransparent, "object %d", n)
	}
}
