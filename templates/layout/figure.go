package layout

// figure scales its drawing to the width asked for, the measure at most, and to what a page can hold.
// It is never mirrored; its labels keep their size. It stands in the middle of the
// measure, its caption below it.
func (b *builder) figure(v *Figure, parent *Element, width Length) []strip {
	if v.Drawing == nil || v.Drawing.Width <= 0 || v.Drawing.Height <= 0 {
		return b.para(v.ID, v.Caption, manner{role: RoleSmall}, width, add(parent, "Caption"))
	}
	el := add(parent, "Figure")
	el.Alt = v.Alt
	caption := b.para(v.ID, v.Caption, manner{role: RoleSmall}, width, add(parent, "Caption"))
	w := width
	if v.Width > 0 {
		w = min(v.Width, width)
	}
	st := b.style(RoleBody)
	gap := b.spaced(MM(1.5))
	h := scaled(v.Drawing.Height, int64(w), int64(v.Drawing.Width))
	most := b.free() - height(caption) - gap
	if below := most - b.above; below > most/3 {
		most = below
	}
	if h > most && most > 0 {
		h = most
		w = min(scaled(v.Drawing.Width, int64(h), int64(v.Drawing.Height)), w)
	}
	f := b.drawn(v.Drawing, Rect{X: (width - w) / 2, Width: w, Height: h}, width, el)
	flow := []strip{{block: v.ID, height: h, frags: []frag{f}}}
	flow = append(flow, air(caption, gap, 0)...)
	return b.unit(v.ID, air(flow, max(st.After, b.spaced(partAir)), max(st.After, b.spaced(partAir))))
}

// drawn scales a drawing into a rectangle and sets its labels. The labels' places count from the left
// and top of the rectangle; none leaves the column, whatever its length.
func (b *builder) drawn(d *Drawing, r Rect, width Length, el *Element) frag {
	f := frag{el: el, item: Item{Kind: ItemDrawing, Drawing: d, Rect: r}}
	left, right := -r.X, width-r.X
	if b.doc.Direction == RightToLeft {
		left, right = r.X+r.Width-width, r.X+r.Width
	}
	for i := range d.Labels {
		l := &d.Labels[i]
		x, y := scaled(l.At.X, int64(r.Width), int64(d.Width)), scaled(l.At.Y, int64(r.Height), int64(d.Height))
		st := TextStyle{Size: l.Size, Leading: l.Size, Weight: Regular}
		lines := b.set.lines(l.Text, st, manner{whole: true}, b.labelRoom(d, i, st, r.Width))
		for k, line := range lines {
			at := x
			switch l.Align {
			case AlignEnd:
				at -= line.Width
			case AlignCentre:
				at -= line.Width / 2
			}
			at = max(min(at, right-line.Width), left)
			f.item.Labels = append(f.item.Labels, PlacedLabel{At: Point{X: at, Y: y + Length(2*k-len(lines)+1)*l.Size*3/5}, Line: line})
		}
	}
	return f
}

// labelRoom is the width that a label may take: half of the drawing where one line does not hold it and the label at
// the other end, which would run into one another; else 0, any.
func (b *builder) labelRoom(d *Drawing, i int, st TextStyle, width Length) Length {
	own := &d.Labels[i]
	for k := range d.Labels {
		other := &d.Labels[k]
		if k == i || other.At.Y != own.At.Y || own.Align == AlignCentre || other.Align == AlignCentre || other.Align == own.Align {
			continue
		}
		both := b.set.natural(own.Text, st, manner{}) + b.set.natural(other.Text, st, manner{})
		if both+textGap > width {
			return (width - textGap) / 2
		}
	}
	return 0
}
