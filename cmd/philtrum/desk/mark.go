package desk

import (
	"philtrum/forms/source"
	"philtrum/templates/layout"
	"philtrum/templates/mark"
)

// clinicMark is the clinic's mark as it was read, once for a run.
type clinicMark struct {
	drawing  *layout.Drawing
	problems source.Problems
}

// mark is the clinic's mark, for the title of its papers. One that cannot be read holds nothing up: papers are
// made without it, and the problems are told.
func (d *Desk) mark() (*layout.Drawing, source.Problems) {
	file := d.clinic.Look.Mark
	if file == "" || d.folder == nil {
		return nil, nil
	}
	p := d.printer()
	if p.mark == nil {
		p.mark = &clinicMark{}
		data, err := d.folder.Read(file)
		if err != nil {
			p.mark.problems = one("mark.missing", "file", file)
		} else if p.mark.drawing, p.mark.problems = mark.Read(file, data); p.mark.drawing != nil {
			p.mark.drawing.Name = "mark " + digest(data)
		}
	}
	return p.mark.drawing, p.mark.problems
}
