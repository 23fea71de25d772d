package read

import (
	"bytes"
	"encoding/binary"
	"slices"
	"time"
)

// Strip gives a photograph without what the camera wrote into it (place, owner, device, serial numbers, small
// pictures, films behind it): only the pixels, their colour profile, which way up they are, and the time remain.
// The pixels are not touched. The time is as the camera's clock had it, zero if it is not known. It knows JPEG and
// PNG; ErrKind otherwise, ErrBroken for what is not whole.
func Strip(data []byte) (stripped []byte, taken time.Time, err error) {
	switch Kind(data) {
	case JPEG:
		return stripJPEG(data)
	case PNG:
		return stripPNG(data)
	}
	return nil, time.Time{}, ErrKind
}

// Markers of a JPEG file (ITU-T T.81, table B.1).
const (
	startOfScan = 0xda
	endOfImage  = 0xd9
	app0        = 0xe0 // JFIF
	app1        = 0xe1 // Exif, XMP
	app2        = 0xe2 // colour profile, several pictures
	app14       = 0xee // how colours are written
	comment     = 0xfe
)

func stripJPEG(data []byte) ([]byte, time.Time, error) {
	out := []byte{0xff, 0xd8}
	var note cameraNote
	rest := data[2:]
	for {
		for len(rest) > 1 && rest[0] == 0xff && rest[1] == 0xff { // fill bytes
			rest = rest[1:]
		}
		if len(rest) < 4 || rest[0] != 0xff {
			return nil, time.Time{}, ErrBroken
		}
		marker, size := rest[1], int(binary.BigEndian.Uint16(rest[2:]))
		if size < 2 || size+2 > len(rest) {
			return nil, time.Time{}, ErrBroken
		}
		segment := rest[:size+2]
		if marker == startOfScan {
			end := endOf(rest)
			if end < 0 {
				return nil, time.Time{}, ErrBroken
			}
			out = append(out, rest[:end]...)
			break
		}
		if body, ok := bytes.CutPrefix(segment[4:], []byte("Exif\x00\x00")); ok && marker == app1 {
			note = readNote(body)
		}
		if keepsSegment(marker, segment[4:]) {
			out = append(out, segment...)
		}
		rest = rest[size+2:]
	}
	return slices.Insert(out, 2, note.segment()...), note.taken, nil
}

// keepsSegment says which segments are needed to show the picture.
func keepsSegment(marker byte, body []byte) bool {
	switch {
	case marker == app0:
		return bytes.HasPrefix(body, []byte("JFIF\x00"))
	case marker == app2:
		return bytes.HasPrefix(body, []byte("ICC_PROFILE\x00"))
	case marker == app14:
		return bytes.HasPrefix(body, []byte("Adobe"))
	case marker > app0 && marker <= 0xef, marker == comment:
		return false
	}
	return true
}

// endOf is where the picture ends, scans of a progressive one included; what follows it is another one, or a film.
func endOf(data []byte) int {
	for i := 0; i+1 < len(data); i++ {
		if data[i] == 0xff && data[i+1] == endOfImage {
			return i + 2
		}
	}
	return -1
}

// cameraNote is what is kept of the note that a camera writes (Exif 2.32, section 4.6).
type cameraNote struct {
	orientation uint16 // 1 to 8; 0: not said
	taken       time.Time
}

// Tags of the note.
const (
	tagOrientation = 0x0112
	tagDateTime    = 0x0132
	tagDetails     = 0x8769
	tagTaken       = 0x9003
	timeForm       = "2006:01:02 15:04:05"
)

func readNote(b []byte) cameraNote {
	var n cameraNote
	var order binary.ByteOrder = binary.LittleEndian
	if len(b) < 8 {
		return n
	}
	if b[0] == 'M' {
		order = binary.BigEndian
	}
	n.directory(b, order, order.Uint32(b[4:]), true)
	return n
}

// directory reads the entries of a directory; the first one leads to the details.
func (n *cameraNote) directory(b []byte, order binary.ByteOrder, at uint32, first bool) {
	if uint64(at)+2 > uint64(len(b)) {
		return
	}
	count := int(order.Uint16(b[at:]))
	for entry := b[at+2:]; count > 0 && len(entry) >= 12; entry, count = entry[12:], count-1 {
		switch order.Uint16(entry) {
		case tagOrientation:
			if v := order.Uint16(entry[8:]); v >= 1 && v <= 8 {
				n.orientation = v
			}
		case tagDetails:
			if first {
				n.directory(b, order, order.Uint32(entry[8:]), false)
			}
		case tagTaken, tagDateTime:
			where := uint64(order.Uint32(entry[8:]))
			if where+19 > uint64(len(b)) || order.Uint16(entry) == tagDateTime && !n.taken.IsZero() {
				continue
			}
			if t, err := time.Parse(timeForm, string(b[where:where+19])); err == nil {
				n.taken = t
			}
		}
	}
}

// segment writes a note with nothing else in it; none if nothing is known.
func (n cameraNote) segment() []byte {
	if n.orientation == 0 && n.taken.IsZero() {
		return nil
	}
	order := binary.BigEndian
	body := []byte("Exif\x00\x00MM\x00*\x00\x00\x00\x08")
	var entries, late []byte
	count := 0
	if n.orientation != 0 {
		entries = order.AppendUint16(entries, tagOrientation)
		entries = append(entries, 0, 3, 0, 0, 0, 1, 0, byte(n.orientation), 0, 0)
		count++
	}
	if !n.taken.IsZero() {
		count++
		entries = order.AppendUint16(entries, tagDateTime)
		entries = append(entries, 0, 2, 0, 0, 0, 20)
		entries = order.AppendUint32(entries, uint32(8+2+12*count+4))
		late = append([]byte(n.taken.Format(timeForm)), 0)
	}
	body = order.AppendUint16(body, uint16(count))
	body = append(append(append(body, entries...), 0, 0, 0, 0), late...)
	return append(order.AppendUint16([]byte{0xff, app1}, uint16(len(body)+2)), body...)
}

// keptChunks are those that show the picture (PNG, second edition, section 11).
var keptChunks = []string{"IHDR", "PLTE", "IDAT", "IEND", "tRNS", "gAMA", "cHRM", "sRGB", "iCCP", "sBIT", "pHYs"}

func stripPNG(data []byte) ([]byte, time.Time, error) {
	out := bytes.Clone(data[:8])
	var note cameraNote
	for rest := data[8:]; ; {
		if len(rest) < 12 {
			return nil, time.Time{}, ErrBroken
		}
		size := uint64(binary.BigEndian.Uint32(rest)) + 12
		if size > uint64(len(rest)) {
			return nil, time.Time{}, ErrBroken
		}
		name := string(rest[4:8])
		if name == "eXIf" {
			note = readNote(rest[8 : size-4])
		}
		if slices.Contains(keptChunks, name) {
			out = append(out, rest[:size]...)
		}
		if name == "IEND" {
			return out, note.taken, nil
		}
		rest = rest[size:]
	}
}
