package templates

import "philtrum/templates/layout"

// boxless says whether blocks have nothing that a pen fills in, so that they may stand once in each language.
func boxless(blocks []layout.Block) bool {
	for _, b := range blocks {
		switch v := b.(type) {
		case *layout.Choices, *layout.Questions, *layout.Signature, *layout.Grid, *layout.Figure, *layout.Card:
			return false
		case *layout.Panel:
			if !boxless(v.Blocks) {
				return false
			}
		case *layout.Group:
			if !boxless(v.Blocks) {
				return false
			}
		case *layout.Columns:
			return false
		}
	}
	return true
}

// turned is a block of the second language that stands by itself, in its own direction.
func (p *pairing) turned(b layout.Block) layout.Block {
	p.speak([]layout.Block{b})
	return &layout.Columns{Shares: []int{1}, Columns: [][]layout.Block{{b}}, Langs: []string{p.lang}}
}

// speak marks every text of blocks as the second language's.
func (p *pairing) speak(blocks []layout.Block) {
	for _, b := range blocks {
		switch v := b.(type) {
		case *layout.Heading:
			v.Text = p.own(v.Text)
		case *layout.Paragraph:
			v.Text = p.own(v.Text)
		case *layout.List:
			for i := range v.Items {
				v.Items[i].Text = p.own(v.Items[i].Text)
				p.speak(v.Items[i].Blocks)
			}
		case *layout.Dated:
			p.speakDated(v)
		case *layout.Table:
			p.speakTable(v)
		case *layout.Grid:
			for i := range v.Items {
				v.Items[i].Label, v.Items[i].Value = p.own(v.Items[i].Label), p.own(v.Items[i].Value)
			}
		case *layout.Figure:
			p.speakFigure(v)
		case *layout.Card:
			for _, face := range v.Faces {
				p.speak(face)
			}
		case *layout.Panel:
			p.speak(v.Blocks)
		case *layout.Group:
			p.speak(v.Blocks)
		}
	}
}

func (p *pairing) speakDated(v *layout.Dated) {
	for i := range v.Items {
		item := &v.Items[i]
		item.When, item.Note = p.own(item.When), p.own(item.Note)
		for k := range item.Texts {
			item.Texts[k] = p.own(item.Texts[k])
		}
	}
}

func (p *pairing) speakFigure(v *layout.Figure) {
	v.Caption = p.own(v.Caption)
	if v.Drawing == nil {
		return
	}
	for i := range v.Drawing.Labels {
		v.Drawing.Labels[i].Text = p.own(v.Drawing.Labels[i].Text)
	}
}

func (p *pairing) speakTable(v *layout.Table) {
	v.Caption = p.own(v.Caption)
	for i := range v.Columns {
		v.Columns[i].Head = p.own(v.Columns[i].Head)
	}
	for _, row := range v.Rows {
		for k := range row.Cells {
			row.Cells[k].Text = p.own(row.Cells[k].Text)
		}
	}
}

// questions joins the words of questions; their places for answers are the same.
func (p *pairing) questions(v, w *layout.Questions) {
	if p.differ(len(v.Items), len(w.Items)) {
		return
	}
	for i := range v.Items {
		a, b := &v.Items[i], &w.Items[i]
		a.Text, a.Note = p.stack(a.Text, b.Text), p.inline(a.Note, b.Note)
		if p.differ(len(a.Boxes), len(b.Boxes)) || p.differ(len(a.Parts), len(b.Parts)) {
			continue
		}
		for k := range a.Boxes {
			a.Boxes[k].Label = p.inline(a.Boxes[k].Label, b.Boxes[k].Label)
		}
		for k := range a.Parts {
			a.Parts[k].Label = p.inline(a.Parts[k].Label, b.Parts[k].Label)
		}
	}
}
