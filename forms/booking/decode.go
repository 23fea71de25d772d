package booking

import (
	"bytes"
	"errors"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/htmlindex"
	"golang.org/x/text/encoding/unicode"
)

// What keeps a list from being read at all.
var (
	ErrTooLarge = errors.New("booking: the list is too large")
	ErrEncoding = errors.New("booking: unknown encoding")
	ErrWorkbook = errors.New("booking: the workbook cannot be opened")
	ErrNoList   = errors.New("booking: no headings found")
)

// guessed is the encoding of bytes that say nothing of themselves.
const guessed = "?"

// decode makes text of bytes. Order of the evidence: what a person says, a byte order mark, the zeros of
// UTF-16, UTF-8; what is left is read as windows-1252, which has to be confirmed.
func decode(data []byte, named string) (text, name string, err error) {
	if named != "" {
		known, err := htmlindex.Get(named)
		if err != nil {
			return "", named, ErrEncoding
		}
		return with(known, data, named)
	}
	switch {
	case bytes.HasPrefix(data, []byte("\xef\xbb\xbf")):
		return string(data[3:]), "UTF-8", nil
	case bytes.HasPrefix(data, []byte("\xff\xfe")), wide(data, 1):
		return with(unicode.UTF16(unicode.LittleEndian, unicode.UseBOM), data, "UTF-16LE")
	case bytes.HasPrefix(data, []byte("\xfe\xff")), wide(data, 0):
		return with(unicode.UTF16(unicode.BigEndian, unicode.UseBOM), data, "UTF-16BE")
	case utf8.Valid(data):
		return string(data), "UTF-8", nil
	}
	western, err := htmlindex.Get("windows-1252")
	if err != nil {
		return "", "", err
	}
	return with(western, data, guessed)
}

func with(e encoding.Encoding, data []byte, name string) (string, string, error) {
	text, err := e.NewDecoder().Bytes(data)
	return strings.TrimPrefix(string(text), "\ufeff"), name, err
}

// wide says whether every second byte is mostly zero, as in UTF-16 without a mark. zero is the place of the
// zero in a pair.
func wide(data []byte, zero int) bool {
	sample := data[:min(len(data), 512)&^1]
	zeros := 0
	for i := zero; i < len(sample); i += 2 {
		if sample[i] == 0 {
			zeros++
		}
	}
	return len(sample) >= 8 && zeros*2 > len(sample)/2
}
