package layout

// Card is a small paper to cut out: faces of one size side by side, with marks to cut at and a line to fold at
// between two faces. A face whose text does not fit grows, and with it the card: nothing is cut off.
type Card struct {
	Meta
	Width, Height Length // of a face
	Faces         [][]Block
}

// Air of a card; common practice, no source.
var (
	cardPad  = MM(3.2) // inside a face
	cutReach = MM(4)   // room for the marks around the card
)

func (b *builder) card(v *Card, parent *Element, width Length) []strip {
	n := Length(len(v.Faces))
	if n == 0 {
		return nil
	}
	face := min(v.Width, width/n)
	start := (width - n*face) / 2
	var sides []side
	tall := v.Height
	for i, blocks := range v.Faces {
		flow := b.within(func() []strip { return b.flow(blocks, add(parent, "Sect"), face-2*cardPad) })
		if len(flow) == 0 {
			continue
		}
		tall = max(tall, height(flow)+2*cardPad)
		flow = append([]strip{{block: v.ID, height: cutReach + cardPad}}, air(flow, 0, 0)...)
		sides = append(sides, side{x: start + face*Length(i) + cardPad, flow: flow})
	}
	s := beside(v.ID, b.free(), tall+2*cutReach, sides...)
	frame := cardFrame(face, tall, int(n))
	s.frags = append(s.frags, frag{item: Item{Kind: ItemDrawing, Drawing: frame,
		Rect: Rect{X: start - cutReach, Width: frame.Width, Height: frame.Height}}})
	return air([]strip{s}, b.spaced(partAir), b.spaced(partAir))
}

// cardFrame draws where to cut and where to fold.
func cardFrame(face, tall Length, n int) *Drawing {
	wide := face * Length(n)
	d := &Drawing{Width: wide + 2*cutReach, Height: tall + 2*cutReach}
	line := func(x1, y1, x2, y2, dash Length) {
		d.Shapes = append(d.Shapes, Shape{Stroke: Pt * 4 / 10, Grey: 60, Dash: dash, Path: []Segment{
			{Verb: MoveTo, Points: [3]Point{{X: x1, Y: y1}}}, {Verb: LineTo, Points: [3]Point{{X: x2, Y: y2}}}}})
	}
	left, right, top, foot := cutReach, cutReach+wide, cutReach, cutReach+tall
	for _, y := range []Length{top, foot} {
		line(left, y, right, y, 0)
		line(0, y, cutReach/2, y, 0)
		line(right+cutReach/2, y, right+cutReach, y, 0)
	}
	for i := range n + 1 {
		x := left + face*Length(i)
		fold := Length(0)
		if i > 0 && i < n {
			fold = MM(1)
		}
		line(x, top, x, foot, fold)
		line(x, 0, x, cutReach/2, 0)
		line(x, foot+cutReach/2, x, foot+cutReach, 0)
	}
	return d
}
