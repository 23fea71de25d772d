package read

import (
	"fmt"
	"unicode/utf16"

	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/types"
)

// Object is nil, bool, int, float64, [Name], [String], [Array], [Dict], [Ref] or [*Stream].
type Object any

type (
	// Name is a name without its slash.
	Name string
	// String is the bytes of a string, unescaped.
	String string
	// Array is an array.
	Array []Object
	// Dict is a dictionary.
	Dict map[Name]Object
	// Ref is an indirect reference.
	Ref struct{ Number int }
)

// Stream is a dictionary with data.
type Stream struct {
	Dict Dict
	sd   *types.StreamDict
}

// Data gives the decoded data. It fails for filters that the library does not know and for data that
// decode to more than the library's bound.
func (s *Stream) Data() (b []byte, err error) {
	defer rescue(&err)
	if err := s.sd.Decode(); err != nil {
		return nil, fmt.Errorf("read: stream: %w", err)
	}
	return s.sd.Content, nil
}

// Dict resolves o to a dictionary, that of a stream included; nil if it is none.
func (f *File) Dict(o Object) Dict {
	switch v := f.Resolve(o).(type) {
	case Dict:
		return v
	case *Stream:
		return v.Dict
	}
	return nil
}

// Array resolves o to an array; nil if it is none.
func (f *File) Array(o Object) Array {
	a, _ := f.Resolve(o).(Array)
	return a
}

// Name resolves o to a name; empty if it is none.
func (f *File) Name(o Object) Name {
	n, _ := f.Resolve(o).(Name)
	return n
}

// Int resolves o to a whole number.
func (f *File) Int(o Object) (int, bool) {
	n, ok := f.Resolve(o).(int)
	return n, ok
}

// Number resolves o to a number.
func (f *File) Number(o Object) (float64, bool) {
	switch v := f.Resolve(o).(type) {
	case int:
		return float64(v), true
	case float64:
		return v, true
	}
	return 0, false
}

// Text resolves o to a text string and decodes it: UTF-16 or UTF-8 with a byte order mark; else its
// bytes are taken as Latin letters, which holds for the ASCII part of PDFDocEncoding.
func (f *File) Text(o Object) (string, bool) {
	s, ok := f.Resolve(o).(String)
	if !ok {
		return "", false
	}
	switch {
	case len(s) >= 2 && s[:2] == "\xFE\xFF":
		return utf16Text(s[2:]), true
	case len(s) >= 3 && s[:3] == "\xEF\xBB\xBF":
		return string(s[3:]), true
	}
	runes := make([]rune, len(s))
	for i := range len(s) {
		runes[i] = rune(s[i])
	}
	return string(runes), true
}

func utf16Text(s String) string {
	units := make([]uint16, 0, len(s)/2)
	for i := 0; i+1 < len(s); i += 2 {
		units = append(units, uint16(s[i])<<8|uint16(s[i+1]))
	}
	return string(utf16.Decode(units))
}
