package pdf

import (
	"bytes"
	"errors"
	"fmt"
	"strconv"
)

// drawn is what the finisher takes from the page writer's output: the page dictionaries and contents.
type drawn struct {
	objects [][]byte // bodies by object number, without "obj" and "endobj"
	pages   []int    // object numbers, in order
	content [][]byte // content of each page
}

// Numbers that gofpdf gives to objects, pinned by a test.
const (
	pagesObject     = 1
	resourcesObject = 2
)

// readDrawn reads gofpdf's own cross-reference table. It knows that writer's one way of writing and
// refuses whatever departs from it, so that a change there is an error here and never a broken file.
func readDrawn(b []byte) (*drawn, error) {
	offsets, err := crossReference(b)
	if err != nil {
		return nil, err
	}
	d := &drawn{objects: make([][]byte, len(offsets))}
	for n := 1; n < len(offsets); n++ {
		if d.objects[n], err = objectAt(b, offsets[n], n); err != nil {
			return nil, err
		}
	}
	if len(d.objects) <= resourcesObject {
		return nil, errors.New("no resources")
	}
	if want := "<<\n/ProcSet [/PDF /Text /ImageB /ImageC /ImageI]\n/Font <<\n>>\n/XObject <<\n>>\n/ColorSpace <<\n>>\n>>"; string(d.objects[resourcesObject]) != want {
		return nil, errors.New("unexpected resources")
	}
	return d, d.collectPages()
}

func crossReference(b []byte) ([]int, error) {
	at := bytes.LastIndex(b, []byte("startxref\n"))
	if at < 0 {
		return nil, errors.New("no startxref")
	}
	start, _, _ := bytes.Cut(b[at+len("startxref\n"):], []byte("\n"))
	pos, err := strconv.Atoi(string(start))
	if err != nil || pos < 0 || pos >= len(b) {
		return nil, errors.New("bad startxref")
	}
	table, ok := bytes.CutPrefix(b[pos:], []byte("xref\n0 "))
	if !ok {
		return nil, errors.New("no cross-reference table")
	}
	count, table, _ := bytes.Cut(table, []byte("\n"))
	n, err := strconv.Atoi(string(count))
	const entry = 20
	if err != nil || n < 1 || len(table) < n*entry {
		return nil, errors.New("bad cross-reference table")
	}
	offsets := make([]int, n)
	for i := 1; i < n; i++ {
		if offsets[i], err = strconv.Atoi(string(table[i*entry : i*entry+10])); err != nil || offsets[i] >= len(b) {
			return nil, fmt.Errorf("bad cross-reference entry %d", i)
		}
	}
	return offsets, nil
}

// objectAt gives the body of object n. Streams are the contents of pages; their length is in their
// dictionary, so that an "endobj" in binary text does not end them.
func objectAt(b []byte, offset, n int) ([]byte, error) {
	body, ok := bytes.CutPrefix(b[offset:], []byte(strconv.Itoa(n)+" 0 obj\n"))
	if !ok {
		return nil, fmt.Errorf("no object %d where it should be", n)
	}
	if rest, ok := bytes.CutPrefix(body, []byte("<</Length ")); ok {
		digits, data, _ := bytes.Cut(rest, []byte(">>\nstream\n"))
		length, err := strconv.Atoi(string(digits))
		if err != nil || length < 0 || length > len(data) {
			return nil, fmt.Errorf("bad stream in object %d", n)
		}
		if !bytes.HasPrefix(data[length:], []byte("\nendstream\nendobj\n")) {
			return nil, fmt.Errorf("stream of object %d has another length", n)
		}
		return data[:length], nil
	}
	end := bytes.Index(body, []byte("\nendobj\n"))
	if end < 0 {
		return nil, fmt.Errorf("object %d has no end", n)
	}
	return body[:end], nil
}

// collectPages follows the page tree, which gofpdf writes flat.
func (d *drawn) collectPages() error {
	_, rest, ok := bytes.Cut(d.objects[pagesObject], []byte("/Kids ["))
	kids, _, closed := bytes.Cut(rest, []byte("]"))
	if !ok || !closed {
		return errors.New("no page tree")
	}
	fields := bytes.Fields(kids)
	for i := 0; i+2 < len(fields); i += 3 {
		n, err := strconv.Atoi(string(fields[i]))
		if err != nil || n < 1 || n+1 >= len(d.objects) {
			return errors.New("bad page tree")
		}
		want := fmt.Sprintf("<</Type /Page\n/Parent 1 0 R\n/Resources 2 0 R\n/Contents %d 0 R>>", n+1)
		if string(d.objects[n]) != want {
			return fmt.Errorf("unexpected page dictionary in object %d", n)
		}
		d.pages = append(d.pages, n)
		d.content = append(d.content, d.objects[n+1])
	}
	if len(d.pages) == 0 {
		return errors.New("no pages")
	}
	return nil
}

// restore puts what was held back in the places that are marked for it. The contents then lie in dst.
func (d *drawn) restore(own *held, dst *scratch) error {
	ends := make([]int, len(d.content))
	next, from := 0, 0
	for i, content := range d.content {
		for {
			before, after, found := bytes.Cut(content, []byte(heldMark+"\n"))
			dst.b = append(dst.b, before...)
			if !found {
				break
			}
			if next == len(own.ends) {
				return errors.New("more marks than pieces")
			}
			dst.b = append(dst.b, own.b[from:own.ends[next]]...)
			content, from = after, own.ends[next]
			next++
		}
		ends[i] = len(dst.b)
	}
	if next != len(own.ends) {
		return errors.New("fewer marks than pieces")
	}
	start := 0
	for i, end := range ends { // only now, since dst may have moved while it grew
		d.content[i], start = dst.b[start:end], end
	}
	return nil
}
