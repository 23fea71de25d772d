package pdf

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strconv"

	"github.com/klauspost/compress/zlib"
)

// finished is a file of the finisher, read again. Like [drawn] it knows one way of writing only, that of the
// assembler with object streams, and refuses whatever departs from it.
type finished struct {
	b      []byte
	places []place          // by object number
	bodies map[int][][]byte // of packed objects, by the number of their object stream
	root   int
}

// object is one object of a file: its body, or the dictionary and the data of a stream.
type object struct {
	body   []byte // of a stream: the entries without brackets and without Length
	data   []byte
	stream bool
}

var errFinished = errors.New("not a file of this writer")

func readFinished(b []byte) (*finished, error) {
	at := bytes.LastIndex(b, []byte("startxref\n"))
	if at < 0 {
		return nil, errFinished
	}
	start, ok := numberAfter(b[at:], "startxref\n")
	if !ok || start >= at {
		return nil, errFinished
	}
	table, err := streamIn(b[start:at])
	if err != nil {
		return nil, err
	}
	size, sized := numberAfter(table.body, "/Size ")
	width, wide := numberAfter(table.body, "/Type/XRef/W[1 ")
	f := &finished{b: b, bodies: map[int][][]byte{}}
	if f.root, ok = numberAfter(table.body, "/Root "); !ok || !sized || !wide || len(table.data) != size*(width+3) {
		return nil, errFinished
	}
	f.readPlaces(table.data, width)
	for _, p := range f.places {
		if p.packed && f.bodies[p.holder] == nil {
			if f.bodies[p.holder], err = f.unpack(p.holder); err != nil {
				return nil, err
			}
		}
	}
	return f, nil
}

// readPlaces reads the cross-reference.
func (f *finished) readPlaces(table []byte, width int) {
	f.places = make([]place, len(table)/(width+3))
	for n := range f.places {
		entry := table[n*(width+3):]
		second := 0
		for _, digit := range entry[1 : 1+width] {
			second = second<<8 | int(digit)
		}
		switch entry[0] {
		case 1:
			f.places[n] = place{set: true, offset: second}
		case 2:
			f.places[n] = place{set: true, packed: true, offset: int(entry[1+width])<<8 | int(entry[2+width]), holder: second}
		}
	}
}

// unpack reads an object stream, which holds one object at least.
func (f *finished) unpack(holder int) ([][]byte, error) {
	o, err := f.object(holder)
	if err != nil {
		return nil, err
	}
	count, counted := numberAfter(o.body, "/N ")
	first, found := numberAfter(o.body, "/First ")
	z, err := zlib.NewReader(bytes.NewReader(o.data))
	if err != nil || !counted || !found {
		return nil, errors.Join(errFinished, err)
	}
	packed, err := io.ReadAll(z)
	if err != nil || first > len(packed) {
		return nil, errors.Join(errFinished, err)
	}
	fields, packed := bytes.Fields(packed[:first]), packed[first:]
	if count == 0 || len(fields) != 2*count {
		return nil, errFinished
	}
	bodies := make([][]byte, count)
	end := len(packed)
	for i := count - 1; i >= 0; i-- {
		start, err := strconv.Atoi(string(fields[2*i+1]))
		if err != nil || start < 0 || start > end {
			return nil, errFinished
		}
		bodies[i], end = bytes.TrimSuffix(packed[start:end], []byte("\n")), start
	}
	return bodies, nil
}

// object finds object n.
func (f *finished) object(n int) (object, error) {
	if n <= 0 || n >= len(f.places) || !f.places[n].set {
		return object{}, fmt.Errorf("%w: no object %d", errFinished, n)
	}
	switch p := f.places[n]; {
	case p.packed && p.offset < len(f.bodies[p.holder]):
		return object{body: f.bodies[p.holder][p.offset]}, nil
	case !p.packed && p.offset < len(f.b):
		return streamIn(f.b[p.offset:])
	}
	return object{}, fmt.Errorf("%w: no object %d", errFinished, n)
}

// pages are the numbers of the pages, in order. The finisher writes their tree flat.
func (f *finished) pages() ([]int, error) {
	catalog, err := f.object(f.root)
	if err != nil {
		return nil, err
	}
	number, ok := numberAfter(catalog.body, "/Pages ")
	if !ok {
		return nil, errFinished
	}
	tree, err := f.object(number)
	if err != nil {
		return nil, err
	}
	_, rest, _ := bytes.Cut(tree.body, []byte("/Kids["))
	kids, _, closed := bytes.Cut(rest, []byte("]"))
	if !closed {
		return nil, errFinished
	}
	var pages []int
	for _, one := range references(kids) {
		pages = append(pages, one.number)
	}
	return pages, nil
}

// streamIn reads the stream whose object begins b. Its length is in its dictionary.
func streamIn(b []byte) (object, error) {
	_, body, _ := bytes.Cut(b, []byte(" 0 obj\n<<"))
	dict, data, found := bytes.Cut(body, []byte(">>\nstream\n"))
	at := bytes.LastIndex(dict, []byte("/Length "))
	if !found || at < 0 {
		return object{}, errFinished
	}
	length, ok := numberAfter(dict[at:], "/Length ")
	if !ok || length > len(data) || !bytes.HasPrefix(data[length:], []byte("\nendstream\n")) {
		return object{}, errFinished
	}
	return object{body: dict[:at], data: data[:length], stream: true}, nil
}

// numberAfter reads the number that follows the first key in b.
func numberAfter(b []byte, key string) (n int, ok bool) {
	_, rest, ok := bytes.Cut(b, []byte(key))
	digits := 0
	for digits < len(rest) && rest[digits] >= '0' && rest[digits] <= '9' {
		digits++
	}
	n, err := strconv.Atoi(string(rest[:digits]))
	return n, ok && err == nil
}

// reference is where a body refers to another object: the bytes from start to end, such as "12 0 R".
type reference struct{ start, end, number int }

// references finds what a body refers to. Strings are passed over: they may say "12 0 R" of their own.
func references(body []byte) []reference {
	var all []reference
	for i := 0; i < len(body); {
		switch c := body[i]; {
		case c == '(':
			i = endOfString(body, i)
		case c == 'R' && i > 0 && body[i-1] == ' ':
			if start, number, ok := numbersBefore(body, i-1); ok {
				all = append(all, reference{start: start, end: i + 1, number: number})
			}
			i++
		default:
			i++
		}
	}
	return all
}

// endOfString is the index behind the literal string that opens at i.
func endOfString(body []byte, i int) int {
	depth := 0
	for ; i < len(body); i++ {
		switch body[i] {
		case '\\':
			i++
		case '(':
			depth++
		case ')':
			if depth--; depth == 0 {
				return i + 1
			}
		}
	}
	return i
}

// numbersBefore reads back over "12 0" that ends at end: generations of this writer are always 0.
func numbersBefore(body []byte, end int) (start, number int, ok bool) {
	head, ok := bytes.CutSuffix(body[:end], []byte(" 0"))
	start = len(head)
	for start > 0 && head[start-1] >= '0' && head[start-1] <= '9' {
		start--
	}
	number, err := strconv.Atoi(string(head[start:]))
	return start, number, ok && err == nil
}
