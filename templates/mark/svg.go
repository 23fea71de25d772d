package mark

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"strconv"
	"strings"

	"philtrum/forms/source"
	"philtrum/templates/layout"
)

// errTooMuch and errShape end the reading of a file; an outside names what the subset does not hold.
var (
	errTooMuch = errors.New("more than a mark may hold")
	errShape   = errors.New("not to be read")
)

type outside struct{ name string }

func (o outside) Error() string { return "outside of the subset: " + o.name }

// height of every drawing read from SVG, in points; the layout scales it.
const height = 40

// style is what elements hand down.
type style struct {
	fill, stroke paint
	width        float64
	evenOdd      bool
	at           matrix
}

// paint is a colour, or none.
type paint struct {
	none   bool
	colour [3]uint8
}

type svgReader struct {
	out             *layout.Drawing
	elements, steps int
	bottom, right   float64
}

// readSVG reads elements in the order in which they are painted.
func readSVG(file string, data []byte) (*layout.Drawing, source.Problems) {
	r := svgReader{out: &layout.Drawing{}}
	err := r.read(data)
	var o outside
	switch {
	case errors.As(err, &o):
		return nil, refused(file, "mark.outside", "part", o.name)
	case errors.Is(err, errTooMuch):
		return nil, refused(file, "mark.too_many_steps", "elements", MaxElements, "steps", MaxSteps)
	case err != nil || r.out.Width <= 0 || r.out.Height <= 0 || len(r.out.Shapes) == 0:
		return nil, refused(file, "mark.unreadable")
	}
	return r.out, nil
}

func (r *svgReader) read(data []byte) error {
	d := xml.NewDecoder(bytes.NewReader(data))
	d.Strict = true
	d.CharsetReader = func(charset string, in io.Reader) (io.Reader, error) { return nil, outside{charset} }
	stack := []style{{fill: paint{}, stroke: paint{none: true}, width: 1, at: matrix{1, 0, 0, 1, 0, 0}}}
	skip := 0 // depth inside words that nobody sees: title, desc, metadata
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return errShape
		}
		switch t := token.(type) {
		case xml.Directive:
			return outside{"<!" + firstWord(string(t)) + ">"}
		case xml.StartElement:
			if skip > 0 || t.Name.Local == "title" || t.Name.Local == "desc" || t.Name.Local == "metadata" {
				skip++
				continue
			}
			if r.elements++; r.elements > MaxElements || len(stack) > maxDepth {
				return errTooMuch
			}
			s, err := r.element(t, stack[len(stack)-1], len(stack) == 1)
			if err != nil {
				return err
			}
			stack = append(stack, s)
		case xml.EndElement:
			if skip > 0 {
				skip--
				continue
			}
			stack = stack[:len(stack)-1]
		}
	}
}

func firstWord(s string) string {
	word, _, _ := strings.Cut(strings.TrimSpace(s), " ")
	if len(word) > 20 {
		word = word[:20]
	}
	return word
}

// attributes that say nothing of the look.
var ignored = map[string]bool{
	"id": true, "xmlns": true, "version": true, "width": true, "height": true, "viewBox": true, "class": true, "d": true, "x": true,
	"y": true, "x1": true, "x2": true, "y1": true, "y2": true, "cx": true, "cy": true, "r": true, "rx": true, "ry": true, "points": true,
	"space": true, "preserveAspectRatio": true, "stroke-linecap": true, "stroke-linejoin": true, "stroke-miterlimit": true,
	"role": true, "aria-label": true, "focusable": true, "baseProfile": true, "enable-background": true, "clip-rule": true, "data-name": true,
}

// element reads one element: what it paints, and what it hands down.
func (r *svgReader) element(t xml.StartElement, s style, first bool) (style, error) {
	at := map[string]string{}
	for _, a := range t.Attr {
		at[a.Name.Local] = strings.TrimSpace(a.Value)
	}
	name := t.Name.Local
	if first != (name == "svg") {
		return s, outside{"<" + name + ">"}
	}
	if err := s.take(t.Attr); err != nil {
		return s, err
	}
	if first {
		err := r.frame(at, &s)
		return s, err
	}
	var path []step
	var err error
	switch name {
	case "g":
		return s, nil
	case "path":
		path, err = parsePath(at["d"])
	default:
		path, err = basic(name, at)
	}
	if err != nil {
		return s, err
	}
	return s, r.paint(path, s)
}

// frame reads the size of the drawing; the first element of a file gives it.
func (r *svgReader) frame(at map[string]string, s *style) error {
	box, err := numbers(at["viewBox"])
	if err != nil || len(box) != 4 {
		w, e1 := number(strings.TrimSuffix(at["width"], "px"))
		h, e2 := number(strings.TrimSuffix(at["height"], "px"))
		if e1 != nil || e2 != nil {
			return errShape
		}
		box = []float64{0, 0, w, h}
	}
	if box[2] <= 0 || box[3] <= 0 || box[2] > 20*box[3] || box[3] > 20*box[2] {
		return errShape
	}
	scale := height / box[3]
	s.at = s.at.times(matrix{scale, 0, 0, scale, -scale * box[0], -scale * box[1]})
	r.out.Width, r.out.Height = length(scale*box[2]), length(height)
	r.right, r.bottom = scale*box[2], height
	return nil
}

// take reads how an element looks; attributes of style come as a list too.
func (s *style) take(attrs []xml.Attr) error {
	for _, a := range attrs {
		if a.Name.Local == "style" {
			for _, part := range strings.Split(a.Value, ";") {
				k, v, ok := strings.Cut(part, ":")
				if !ok {
					continue
				}
				if err := s.set(strings.TrimSpace(k), strings.TrimSpace(v)); err != nil {
					return err
				}
			}
			continue
		}
		if a.Name.Space == "xmlns" || a.Name.Space != "" && a.Name.Space != "http://www.w3.org/2000/svg" && a.Name.Local != "href" {
			continue // of an editor
		}
		if err := s.set(a.Name.Local, strings.TrimSpace(a.Value)); err != nil {
			return err
		}
	}
	return nil
}

func (s *style) set(name, value string) error {
	var err error
	switch name {
	case "fill":
		s.fill, err = s.fill.read(value)
	case "stroke":
		s.stroke, err = s.stroke.read(value)
	case "stroke-width":
		s.width, err = number(strings.TrimSuffix(value, "px"))
	case "fill-rule":
		s.evenOdd = value == "evenodd"
	case "transform":
		var m matrix
		if m, err = parseTransform(value); err == nil {
			s.at = s.at.times(m)
		}
	case "opacity", "fill-opacity", "stroke-opacity":
		if v, e := number(value); e != nil || v != 1 {
			return outside{name}
		}
	default:
		if !ignored[name] && !strings.HasPrefix(name, "-") {
			return outside{name}
		}
	}
	return err
}

// read reads a colour: #rgb, #rrggbb, rgb(r, g, b), none, black, white.
func (p paint) read(v string) (paint, error) {
	switch v {
	case "none", "transparent":
		return paint{none: true}, nil
	case "black":
		return paint{}, nil
	case "white":
		return paint{colour: [3]uint8{255, 255, 255}}, nil
	case "inherit":
		return p, nil
	}
	var out paint
	if inner, ok := strings.CutPrefix(v, "rgb("); ok {
		n, err := numbers(strings.TrimSuffix(inner, ")"))
		if err != nil || len(n) != 3 {
			return p, outside{"colour"}
		}
		for i := range out.colour {
			out.colour[i] = uint8(max(min(n[i], 255), 0))
		}
		return out, nil
	}
	hex, ok := strings.CutPrefix(v, "#")
	if len(hex) == 3 {
		hex = string([]byte{hex[0], hex[0], hex[1], hex[1], hex[2], hex[2]})
	}
	n, err := strconv.ParseUint(hex, 16, 32)
	if !ok || err != nil || len(hex) != 6 {
		return p, outside{"colour"}
	}
	out.colour = [3]uint8{uint8(n >> 16), uint8(n >> 8), uint8(n)}
	return out, nil
}
