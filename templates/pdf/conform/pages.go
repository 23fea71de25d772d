package conform

import (
	"fmt"

	"philtrum/templates/pdf/read"
)

// pages checks the pages and their content, and gathers marks and shown codes.
func (c *checker) pages() {
	c.codes = make(map[read.Ref]map[int]bool)
	for i, p := range c.f.Pages() {
		where := fmt.Sprintf("page %d", i+1)
		c.content = append(c.content, make(map[int]bool))
		// Only pages with annotations need it, and the PDF of part 1 does not know it; else it is our rule.
		if (p.Dict["Annots"] != nil || c.part != "1") && c.f.Name(p.Dict["Tabs"]) != "S" {
			c.fail(RuleTabs, "%s", where)
		}
		if p.Dict["AA"] != nil {
			c.fail(RuleAction, "%s", where)
		}
		if p.Dict["Group"] != nil {
			c.fail(RuleTransparent, "%s", where)
		}
		b, err := c.f.Content(p)
		if err != nil {
			c.fail(RuleContent, "%s", where)
			continue
		}
		w := walker{c: c, where: where, marks: c.content[i]}
		w.walk(b, p.Resources, 0)
		if len(w.open) > 0 || w.saved != 0 {
			c.fail(RuleContent, "%s", where)
		}
	}
}

// walker follows the content of one page.
type walker struct {
	c     *checker
	where string
	marks map[int]bool
	open  []sequence
	fonts []read.Ref // font in force, one for each saved state
	font  read.Ref
	saved int
}

// sequence is an open marked-content sequence.
type sequence struct {
	artifact bool
	numbered bool
}

// inside says what the place in the content is part of.
func (w *walker) inside() (tagged, artifact bool) {
	for _, s := range w.open {
		tagged = tagged || s.numbered
		artifact = artifact || s.artifact
	}
	return tagged, artifact
}

const maxSaved = 28 // A 6.1.13

func (w *walker) walk(content []byte, resources read.Dict, depth int) {
	ops, err := read.Operations(content)
	if err != nil || depth > maxSaved {
		w.c.fail(RuleContent, "%s", w.where)
		return
	}
	for _, op := range ops {
		switch op.Operator {
		case "q":
			w.fonts = append(w.fonts, w.font)
			if w.saved++; w.saved > maxSaved {
				w.c.fail(RuleLimit, "%s", w.where)
			}
		case "Q":
			if w.saved--; w.saved < 0 {
				w.c.fail(RuleContent, "%s", w.where)
				w.saved = 0
				continue
			}
			w.font = w.fonts[len(w.fonts)-1]
			w.fonts = w.fonts[:len(w.fonts)-1]
		case "BMC", "BDC":
			w.begin(op, resources)
		case "EMC":
			if len(w.open) == 0 {
				w.c.fail(RuleContent, "%s", w.where)
				continue
			}
			w.open = w.open[:len(w.open)-1]
		case "Tf":
			w.setFont(op, resources)
		case "gs":
			w.state(op, resources)
		case "S", "s", "f", "F", "f*", "B", "B*", "b", "b*", "sh", "BI":
			w.painted()
		case "Tj", "TJ", "'", "\"":
			w.painted()
			w.text(op)
		case "Do":
			w.object(op, resources, depth)
		}
	}
}

func (w *walker) painted() {
	if tagged, artifact := w.inside(); !tagged && !artifact {
		w.c.fail(RuleUnmarked, "%s", w.where)
	}
}

// begin opens a marked-content sequence.
func (w *walker) begin(op read.Operation, resources read.Dict) {
	var s sequence
	if len(op.Operands) > 0 {
		s.artifact = op.Operands[0] == read.Name("Artifact")
	}
	tagged, artifact := w.inside()
	if s.artifact && tagged {
		w.c.fail(RuleArtifactIn, "%s", w.where)
	}
	if op.Operator == "BDC" && len(op.Operands) == 2 {
		properties := w.c.f.Dict(op.Operands[1])
		if name, ok := op.Operands[1].(read.Name); ok {
			properties = w.c.f.Dict(w.c.f.Dict(resources["Properties"])[name])
		}
		w.c.language(properties["Lang"], w.where)
		if mark, ok := w.c.f.Int(properties["MCID"]); ok {
			s.numbered = true
			if artifact || s.artifact {
				w.c.fail(RuleTagIn, "%s", w.where)
			}
			if tagged {
				w.c.fail(RuleNested, "%s", w.where)
			}
			if w.marks[mark] {
				w.c.fail(RuleRepeated, "%s", w.where)
			}
			w.marks[mark] = true
		}
	}
	w.open = append(w.open, s)
}

func (w *walker) setFont(op read.Operation, resources read.Dict) {
	w.font = read.Ref{}
	if len(op.Operands) == 2 {
		if name, ok := op.Operands[0].(read.Name); ok {
			if ref, ok := w.c.f.Dict(resources["Font"])[name].(read.Ref); ok {
				w.font = ref
			}
		}
	}
	if w.font == (read.Ref{}) {
		w.c.fail(RuleFontKind, "%s", w.where)
	}
}

// text notes the codes that are shown. All fonts here have two bytes to a code; the others are refused
// by another rule.
func (w *walker) text(op read.Operation) {
	if w.font == (read.Ref{}) {
		w.c.fail(RuleFontKind, "%s", w.where)
		return
	}
	codes := w.c.codes[w.font]
	if codes == nil {
		codes = make(map[int]bool)
		w.c.codes[w.font] = codes
	}
	for _, o := range op.Operands {
		parts, ok := o.(read.Array)
		if !ok {
			parts = read.Array{o}
		}
		for _, part := range parts {
			s, _ := part.(read.String)
			if len(s)%2 != 0 {
				w.c.fail(RuleContent, "%s", w.where)
			}
			for i := 0; i+1 < len(s); i += 2 {
				codes[int(s[i])<<8|int(s[i+1])] = true
			}
		}
	}
}

func (w *walker) state(op read.Operation, resources read.Dict) {
	if len(op.Operands) != 1 {
		return
	}
	name, _ := op.Operands[0].(read.Name)
	if d := w.c.f.Dict(w.c.f.Dict(resources["ExtGState"])[name]); d != nil {
		w.c.graphicsState(d, 0)
		if d["SMask"] != nil && w.c.f.Name(d["SMask"]) != "None" {
			w.c.fail(RuleTransparent, "%s", w.where)
		}
	}
}

// object follows a form into its content; an image is painted.
func (w *walker) object(op read.Operation, resources read.Dict, depth int) {
	w.painted()
	var s *read.Stream
	if len(op.Operands) == 1 {
		name, _ := op.Operands[0].(read.Name)
		s, _ = w.c.f.Resolve(w.c.f.Dict(resources["XObject"])[name]).(*read.Stream)
	}
	if s == nil {
		w.c.fail(RuleXObject, "%s", w.where)
		return
	}
	switch w.c.f.Name(s.Dict["Subtype"]) {
	case "Image":
	case "Form":
		if s.Dict["Ref"] != nil || s.Dict["PS"] != nil || s.Dict["OPI"] != nil || s.Dict["Subtype2"] != nil {
			w.c.fail(RuleXObject, "%s", w.where)
		}
		if s.Dict["Group"] != nil {
			w.c.fail(RuleTransparent, "%s", w.where)
		}
		b, err := s.Data()
		if err != nil {
			w.c.fail(RuleContent, "%s", w.where)
			return
		}
		if own := w.c.f.Dict(s.Dict["Resources"]); own != nil {
			resources = own
		}
		font, open, saved := w.font, len(w.open), w.saved
		w.walk(b, resources, depth+1)
		if len(w.open) != open || w.saved != saved {
			w.c.fail(RuleContent, "%s", w.where)
		}
		w.font = font
	default:
		w.c.fail(RuleXObject, "%s", w.where)
	}
}
