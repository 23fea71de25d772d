package pdf

import (
	"crypto/sha256"
	"errors"
	"math"
	"strconv"
)

// assembler puts numbered objects into a file. Where the profile allows it, objects that are no streams
// go into object streams (ISO 32000-1, 7.5.7), as few as hold them.
type assembler struct {
	press  *Press
	out    *scratch
	packed *scratch // bodies of the object streams; nil: none are made
	places []place  // by object number
	order  []int    // numbers of the packed objects
}

// place says where an object stands: at an offset of the file, or at an offset of the packed bodies, and once those
// are written at an index of the object stream with the number holder.
type place struct {
	set, packed    bool
	offset, holder int
}

const (
	// packAtMost is what one object stream holds here: the cross-reference gives an index two bytes.
	packAtMost = 1<<16 - 1
	// objectsAtMost is the bound that ISO 32000-1, annex C, names for a file.
	objectsAtMost = 8_388_607
)

func (a *assembler) reserve() int {
	a.places = append(a.places, place{})
	return len(a.places) - 1
}

// object writes an object that is no stream; write appends its body.
func (a *assembler) object(num int, write func(dst []byte) []byte) {
	if a.packed != nil {
		a.places[num] = place{set: true, packed: true, offset: len(a.packed.b)}
		a.order = append(a.order, num)
		a.packed.b = append(write(a.packed.b), '\n')
		return
	}
	a.open(num)
	a.out.b = append(write(a.out.b), "\nendobj\n"...)
}

func (a *assembler) open(num int) {
	a.places[num] = place{set: true, offset: len(a.out.b)}
	a.out.b = strconv.AppendInt(a.out.b, int64(num), 10)
	a.out.b = append(a.out.b, " 0 obj\n"...)
}

// stream writes a stream whose data are already encoded as dict says. dict holds the entries without
// brackets and without Length.
func (a *assembler) stream(num int, dict string, data []byte) {
	a.open(num)
	b := append(a.out.b, "<<"...)
	b = append(b, dict...)
	b = append(b, "/Length "...)
	b = strconv.AppendInt(b, int64(len(data)), 10)
	b = append(b, ">>\nstream\n"...)
	b = append(b, data...)
	a.out.b = append(b, "\nendstream\nendobj\n"...)
}

// deflated writes a stream and compresses its data.
func (a *assembler) deflated(num int, dict string, data []byte) error {
	s := a.press.buffer()
	defer a.press.release(s)
	if err := a.press.deflate(s, data); err != nil {
		return err
	}
	a.stream(num, dict+"/Filter/FlateDecode", s.b)
	return nil
}

// end writes the cross-reference and the trailer; info is 0 where the file says nothing of itself. The
// identifier is made from every byte before it.
func (a *assembler) end(root, info int) error {
	if a.packed == nil {
		a.classic(root, info)
		return nil
	}
	most := a.press.packAtMost
	if most == 0 {
		most = packAtMost
	}
	for start := 0; start < len(a.order); start += most {
		if err := a.pack(start, min(start+most, len(a.order))); err != nil {
			return err
		}
	}
	return a.crossReferenceStream(root, info)
}

// pack writes an object stream of the packed objects from start to end in their order.
func (a *assembler) pack(start, end int) error {
	holder := a.reserve()
	from, to := a.places[a.order[start]].offset, len(a.packed.b)
	if end < len(a.order) {
		to = a.places[a.order[end]].offset
	}
	s := a.press.buffer()
	defer a.press.release(s)
	for i, n := range a.order[start:end] {
		s.b = strconv.AppendInt(s.b, int64(n), 10)
		s.b = append(s.b, ' ')
		s.b = strconv.AppendInt(s.b, int64(a.places[n].offset-from), 10)
		s.b = append(s.b, ' ')
		a.places[n].offset, a.places[n].holder = i, holder
	}
	first := len(s.b)
	s.b = append(s.b, a.packed.b[from:to]...)
	dict := "/Type/ObjStm/N " + strconv.Itoa(end-start) + "/First " + strconv.Itoa(first)
	return a.deflated(holder, dict, s.b)
}

// crossReferenceStream writes the table in six or seven bytes an entry. It is not compressed: for a paper's few
// hundred objects that would save some hundred bytes and cost a tenth of the time of the whole file.
func (a *assembler) crossReferenceStream(root, info int) error {
	num := a.reserve()
	start := len(a.out.b)
	if start > math.MaxUint32 || num > objectsAtMost {
		return errors.New("pdf: a file beyond 4 GB or 8,388,607 objects")
	}
	width := 3 // bytes of an offset
	if start >= 1<<24 {
		width = 4 // it holds scans
	}
	a.places[num] = place{set: true, offset: start}
	s := a.press.buffer()
	defer a.press.release(s)
	s.b = append(s.b, make([]byte, width+3)...)
	for n := 1; n < len(a.places); n++ {
		kind, second, third := 1, a.places[n].offset, 0
		if a.places[n].packed {
			kind, second, third = 2, a.places[n].holder, second
		}
		s.b = append(s.b, byte(kind))
		for i := width - 1; i >= 0; i-- {
			s.b = append(s.b, byte(second>>(8*i)))
		}
		s.b = append(s.b, byte(third>>8), byte(third))
	}
	a.stream(num, "/Type/XRef/W[1 "+strconv.Itoa(width)+" 2]"+a.trailer(root, info), s.b)
	a.tail(start)
	return nil
}

func (a *assembler) classic(root, info int) {
	start := len(a.out.b)
	trailer := a.trailer(root, info)
	b := append(a.out.b, "xref\n0 "...)
	b = strconv.AppendInt(b, int64(len(a.places)), 10)
	b = append(b, "\n0000000000 65535 f \n"...)
	for n := 1; n < len(a.places); n++ {
		digits := strconv.Itoa(a.places[n].offset)
		b = append(b, "0000000000"[len(digits):]...)
		b = append(b, digits...)
		b = append(b, " 00000 n \n"...)
	}
	b = append(b, "trailer\n<<"...)
	b = append(b, trailer...)
	a.out.b = append(b, ">>\n"...)
	a.tail(start)
}

func (a *assembler) trailer(root, info int) string {
	sum := sha256.Sum256(a.out.b)
	b := append([]byte(nil), "/Size "...)
	b = strconv.AppendInt(b, int64(len(a.places)), 10)
	b = appendRef(append(b, "/Root "...), root)
	if info != 0 {
		b = appendRef(append(b, "/Info "...), info)
	}
	b = append(b, "/ID["...)
	for range 2 {
		b = append(b, '<')
		for i := 0; i < 16; i += 2 {
			b = appendHex16(b, uint16(sum[i])<<8|uint16(sum[i+1]))
		}
		b = append(b, '>')
	}
	return string(append(b, ']'))
}

func (a *assembler) tail(start int) {
	b := append(a.out.b, "startxref\n"...)
	b = strconv.AppendInt(b, int64(start), 10)
	a.out.b = append(b, "\n%%EOF\n"...)
}
