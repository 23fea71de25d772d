package sign

import (
	"bytes"
	"encoding/hex"
	"strconv"
	"time"
)

// Bounds of what is looked at in a file.
const (
	maxSignatures = 64
	maxSignature  = 1 << 20 // bytes of one signature
	maxDictionary = 4 << 10 // bytes of its dictionary, the signature aside
)

// signedRange is a signature's place in a file: it covers everything before open, and from shut to end.
type signedRange struct {
	open, shut, end int
	der             []byte
	subFilter       string
	claimed         time.Time
	broken          bool // it is written otherwise than a signature is
}

// ranges finds the signatures by their ranges. A range that does not begin with the file, or leaves out more
// than the signature itself, is given as broken: it would let bytes be changed unseen.
func ranges(file []byte) []signedRange {
	var all []signedRange
	for at := 0; len(all) < maxSignatures; {
		next := bytes.Index(file[at:], []byte(byteRangeKey))
		if next < 0 {
			return all
		}
		at += next + len(byteRangeKey)
		if r, ok := rangeAt(file, at); ok {
			all = append(all, r)
		}
	}
	return all
}

// rangeAt reads the range behind its key; ok is false where none stands there.
func rangeAt(file []byte, at int) (r signedRange, ok bool) {
	head := file[at:min(at+128, len(file))]
	open := bytes.IndexByte(head, '[')
	shut := bytes.IndexByte(head, ']')
	if open < 0 || shut < open || len(bytes.Trim(head[:open], " \t\r\n\x00\f")) > 0 {
		return r, false
	}
	fields := bytes.Fields(head[open+1 : shut])
	if len(fields) != 4 {
		return r, false
	}
	var n [4]int
	for i, f := range fields {
		v, err := strconv.ParseUint(string(f), 10, 40)
		if err != nil {
			return r, false
		}
		n[i] = int(v)
	}
	r = signedRange{open: n[1], shut: n[2], end: n[2] + n[3]}
	r.broken = n[0] != 0 || n[1] <= 0 || n[2] < n[1]+2 || r.end > len(file) || n[2]-n[1] > 2*maxSignature ||
		at < n[1]-maxDictionary || at > n[2]+maxDictionary
	if r.broken {
		return r, true
	}
	gap := file[r.open:r.shut]
	der := make([]byte, hex.DecodedLen(len(gap)-2))
	if gap[0] != '<' || gap[len(gap)-1] != '>' {
		r.broken = true
		return r, true
	}
	if _, err := hex.Decode(der, gap[1:len(gap)-1]); err != nil {
		r.broken = true
		return r, true
	}
	r.der = der
	r.describe(file)
	return r, true
}

// describe reads what the signature's dictionary says beside it.
func (r *signedRange) describe(file []byte) {
	before := file[max(0, r.open-maxDictionary):r.open]
	if i := bytes.LastIndex(before, []byte(" obj")); i >= 0 {
		before = before[i:]
	}
	after := file[r.shut:min(len(file), r.shut+maxDictionary)]
	if i := bytes.Index(after, []byte("endobj")); i >= 0 {
		after = after[:i]
	}
	for _, part := range [][]byte{before, after} {
		if i := bytes.Index(part, []byte("/SubFilter")); i >= 0 {
			name := bytes.TrimLeft(part[i+len("/SubFilter"):], " \t\r\n/")
			if end := bytes.IndexAny(name, " \t\r\n/<>[]()"); end >= 0 {
				name = name[:end]
			}
			r.subFilter = string(name)
		}
		if i := bytes.Index(part, []byte("/M(D:")); i >= 0 {
			r.claimed = pdfTime(part[i+len("/M(D:"):])
		} else if i := bytes.Index(part, []byte("/M (D:")); i >= 0 {
			r.claimed = pdfTime(part[i+len("/M (D:"):])
		}
	}
}

// pdfTime reads a date of ISO 32000-1, 7.9.4 behind its D:; the zero time of anything else.
func pdfTime(b []byte) time.Time {
	text, _, ok := bytes.Cut(b[:min(len(b), 32)], []byte(")"))
	if !ok {
		return time.Time{}
	}
	text = bytes.ReplaceAll(text, []byte("'"), nil)
	for _, form := range []string{"20060102150405Z0700", "20060102150405Z", "20060102150405"} {
		if t, err := time.Parse(form, string(text)); err == nil {
			return t
		}
	}
	return time.Time{}
}
