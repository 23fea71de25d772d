package layout

import "fmt"

func (w *docWriter) questions(v *Questions) {
	w.open("questions", &v.Meta)
	w.deeper(func() {
		for i := range v.Items {
			w.asked(&v.Items[i])
		}
	})
}

func (w *docWriter) asked(q *Asked) {
	w.line("asked %s level %d %s%s", spans(q.Number), q.Level, spans(q.Text), noted(q.Listed, " listed"))
	w.deeper(func() {
		if !blank(q.Within) {
			w.line("within %s", spans(q.Within))
		}
		if !blank(q.Note) {
			w.line("note %s", spans(q.Note))
		}
		for i := range q.Parts {
			p := &q.Parts[i]
			w.line("part %s signs %d%s", spans(p.Label), p.Signs, p.Field.dump())
			for _, sign := range p.Value {
				w.deeper(func() { w.line("%s", spans(sign)) })
			}
		}
		if q.Lines > 0 {
			w.line("lines %d %s%s", q.Lines, spans(q.Value), q.Field.dump())
		}
		for i := range q.Boxes {
			b := &q.Boxes[i]
			w.line("box %s%s%s", spans(b.Label), noted(b.Ticked, " ticked"), b.Field.dump())
		}
	})
}

// dump writes a field: its name, what a tick means, what is read aloud.
func (f *Field) dump() string {
	if f == nil {
		return ""
	}
	return fmt.Sprintf(" field %s kind %d state %q tip %q", f.Name, f.Kind, f.State, f.Tip)
}
