package desk

import (
	"bytes"
	"encoding/csv"
	"errors"
	"strings"

	"philtrum/forms/measure"
	"philtrum/locales/release"
)

// PackRow is a line of a revision pack: one form of a message in both languages.
type PackRow struct{ Portion, ID, Form, Source, Target, Note, Remark string }

// Pack is what a translator and a reviser get: the texts of a language that nobody has signed for yet.
type Pack struct {
	Language string
	Rows     []PackRow
	Digests  map[string]string // by portion
}

// Pack gathers the portions of a language that are drafts; with all, every portion.
func (d *Desk) Pack(tag string, all bool) (Pack, error) {
	language, states, err := d.LanguageState(tag)
	if err != nil {
		return Pack{}, err
	}
	p := Pack{Language: language.Tag, Digests: map[string]string{}}
	for _, s := range states {
		if s.State == release.Released && !all {
			continue
		}
		rows, err := d.packed(language.Tag, s.Portion)
		if err != nil {
			return Pack{}, err
		}
		p.Rows = append(p.Rows, rows...)
		if p.Digests[s.Portion], err = d.textDigest(language.Tag, s.Portion); err != nil {
			return Pack{}, err
		}
	}
	return p, nil
}

// columns of the list, as its first line names them.
var packColumns = []string{"part", "id", "form", "source", "target", "note", "remark"}

// signRows are the lines at the head of a list in which the two persons name themselves.
var signRows = []string{"method", "translator.name", "translator.qualification", "translator.date", "reviser.name",
	"reviser.qualification", "reviser.date"}

// signPart is the part of those lines.
const signPart = "sign"

// List is the pack as a list for a spreadsheet (RFC 4180, UTF-8 with a byte order mark, by which spreadsheets
// know it). prompt gives the words beside a line to be filled in. A text that a spreadsheet would take for a
// formula stands behind an apostrophe.
func (p Pack) List(prompt func(row string) string) ([]byte, error) {
	var out bytes.Buffer
	out.WriteString(byteOrderMark)
	w := csv.NewWriter(&out)
	w.UseCRLF = true
	if err := w.Write(packColumns); err != nil {
		return nil, err
	}
	for _, row := range signRows {
		if err := w.Write(guarded([]string{signPart, row, "", prompt(row), "", "", ""})); err != nil {
			return nil, err
		}
	}
	for _, r := range p.Rows {
		if err := w.Write(guarded([]string{r.Portion, r.ID, r.Form, r.Source, r.Target, r.Note, ""})); err != nil {
			return nil, err
		}
	}
	w.Flush()
	return out.Bytes(), w.Error()
}

const byteOrderMark = "\ufeff"

// formulaSigns begin what spreadsheets compute (OWASP, CSV Injection; from memory).
const formulaSigns = "=+-@\t\r"

func guarded(cells []string) []string {
	for i, c := range cells {
		if c != "" && strings.ContainsRune(formulaSigns, rune(c[0])) {
			cells[i] = "'" + c
		}
	}
	return cells
}

func unguarded(c string) string {
	if len(c) > 1 && c[0] == '\'' && strings.ContainsRune(formulaSigns, rune(c[1])) {
		return c[1:]
	}
	return c
}

// ErrNoPack says that a file is no list of a revision pack.
var ErrNoPack = errors.New("not a revision pack")

// returned is a pack as it came back.
type returned struct {
	signed map[string]string
	rows   []PackRow
}

// readPack reads a list that came back, whichever sign the spreadsheet parts cells with.
func readPack(data []byte) (returned, error) {
	text := strings.TrimPrefix(string(data), byteOrderMark)
	head, _, _ := strings.Cut(text, "\n")
	r := csv.NewReader(strings.NewReader(text))
	r.FieldsPerRecord, r.LazyQuotes = -1, true
	for _, sign := range []rune{';', '\t'} {
		if strings.Count(head, string(sign)) >= len(packColumns)-1 {
			r.Comma = sign
		}
	}
	records, err := r.ReadAll()
	if err != nil || len(records) == 0 {
		return returned{}, ErrNoPack
	}
	at := map[string]int{}
	for i, name := range records[0] {
		at[strings.ToLower(strings.TrimSpace(name))] = i
	}
	for _, name := range packColumns {
		if _, ok := at[name]; !ok {
			return returned{}, ErrNoPack
		}
	}
	back := returned{signed: map[string]string{}}
	for _, record := range records[1:] {
		cell := func(name string) string {
			if i := at[name]; i < len(record) {
				return unguarded(strings.ReplaceAll(record[i], "\r\n", "\n"))
			}
			return ""
		}
		if cell("part") == signPart {
			row := strings.TrimSpace(cell("id"))
			if _, twice := back.signed[row]; twice {
				return returned{}, ErrNoPack // nobody could say which of the two counts
			}
			back.signed[row] = strings.TrimSpace(cell("target"))
			continue
		}
		back.rows = append(back.rows, PackRow{Portion: strings.TrimSpace(cell("part")), ID: strings.TrimSpace(cell("id")), Form: strings.TrimSpace(cell("form")),
			Source: cell("source"), Target: cell("target"), Remark: strings.TrimSpace(cell("remark"))})
	}
	return back, nil
}

// dateOf reads a day that a person has written into a list.
func dateOf(text string) (measure.Date, bool) {
	day, err := measure.ParseDate(text)
	return day, err == nil
}
