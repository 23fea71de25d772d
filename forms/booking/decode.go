package booking

import (
	"bytes"
	"errors"
	"maps"
	"slices"
	"strings"
	unicodes "unicode"
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
// UTF-16, UTF-8; what is left is [guessed].
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
	return "", guessed, nil
}

// candidates are the encodings that spreadsheets write where they write no Unicode: the one of western Europe
// first, which holds where headings show nothing better.
var candidates = []string{
	"windows-1252", "windows-1250", "windows-1251", "windows-1253", "windows-1254", "windows-1255", "windows-1256", "windows-1257",
	"iso-8859-2", "gb18030", "big5", "shift_jis", "euc-kr", "windows-874", "macintosh",
}

// guess takes the encoding under which most headings are known, and of several the one that spells most of them as
// they are known, marks included.
func guess(data []byte, words *words, named map[Field]string) (text, name string, err error) {
	head := data[:min(len(data), 64<<10)]
	if end := bytes.LastIndexByte(head, '\n'); end > 0 {
		head = head[:end]
	}
	most := -1
	for _, candidate := range candidates {
		e, err := htmlindex.Get(candidate)
		if err != nil {
			return "", "", err
		}
		text, err := e.NewDecoder().Bytes(head)
		if err != nil {
			continue
		}
		_, known, grid, err := best(string(text), words, named)
		if err != nil {
			continue
		}
		if at, _, _ := headingLine(grid, words, named); at >= 0 {
			known = known*mostCells + words.spelled(grid[at])
		}
		if known > most {
			most, name = known, candidate
		}
	}
	e, err := htmlindex.Get(name)
	if err != nil {
		return "", "", err
	}
	return with(e, data, name)
}

// letters are the letters and signs of a text that ASCII does not have, each once in the order of their numbers:
// a person sees by them whether the encoding is right, and reads nobody's name. Of scripts in which a sign is half
// a name, only those of the first line are given, where the headings stand.
func letters(text string) string {
	const enough = 40
	seen := map[rune]bool{}
	first := strings.IndexByte(text+"\n", '\n')
	for at, c := range text {
		if at > first && unicodes.In(c, unicodes.Han, unicodes.Hangul, unicodes.Hiragana, unicodes.Katakana) {
			continue
		}
		if c > 127 && !unicodes.IsSpace(c) {
			seen[c] = true
		}
	}
	all := slices.Sorted(maps.Keys(seen))
	return string(all[:min(len(all), enough)])
}

// foreign knows files that are no text, whatever their name says: workbooks of the old kind (a compound file), PDF,
// and pages and sheets in mark-up, which some systems call XLS.
func foreign(data []byte) bool {
	if bytes.HasPrefix(data, []byte("\xd0\xcf\x11\xe0")) {
		return true
	}
	start := bytes.ToLower(bytes.TrimLeft(bytes.TrimPrefix(data[:min(len(data), 512)], []byte("\xef\xbb\xbf")), " \t\r\n"))
	for _, mark := range []string{"%pdf-", "<html", "<!doctype", "<table", "<?xml", "{\\rtf"} {
		if bytes.HasPrefix(start, []byte(mark)) {
			return true
		}
	}
	return false
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
