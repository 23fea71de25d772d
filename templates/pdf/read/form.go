package read

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"slices"
	"strings"
)

// Form is the fields of a file with what was filled in. Nothing in it is trusted: it may come from anybody.
type Form struct {
	Fields []FormField
	Pages  []string       // SHA-256 of the content of each page
	PageOf map[string]int // page of each field, from 1; of one with several boxes the first
	Active bool           // the file holds scripts, actions or another kind of form beside the fields
}

// FormField is one field. Boxes that share a name are one field with several States.
type FormField struct {
	Name, Kind string   // Kind is Tx, Btn, Ch or Sig
	Tip        string   // its name for people
	States     []string // of boxes, in order: what their ticks mean
	Options    []string // of a choice
	Values     []string // what was typed or chosen; of boxes every state that is set or shown
}

// ErrNoForm says that a file has no fields.
var ErrNoForm = errors.New("read: no form")

// Bounds of a form. Ours has some 300 fields; no answer is longer than the form's checks allow.
const (
	maxFields     = 4000
	maxFieldDepth = 16
	maxFormPages  = 300
	maxValue      = 1 << 16 // bytes
	maxContent    = 8 << 20 // bytes of a page
)

var errForm = errors.New("read: a form beyond all bounds")

// FormOf reads the form of an opened file.
func (f *File) FormOf() (form Form, err error) {
	defer rescue(&err)
	acro := f.Dict(f.Catalog()["AcroForm"])
	if acro == nil || len(f.Array(acro["Fields"])) == 0 {
		return Form{}, ErrNoForm
	}
	if len(f.pages) > maxFormPages {
		return Form{}, errForm
	}
	w := formWalk{f: f, seen: map[Ref]bool{}, at: map[string]int{}, pages: f.pagesOfAnnotations()}
	w.form.PageOf = map[string]int{}
	names := f.Dict(f.Catalog()["Names"])
	w.form.Active = acro["XFA"] != nil || f.Catalog()["OpenAction"] != nil || f.Catalog()["AA"] != nil || names["JavaScript"] != nil
	for _, o := range f.Array(acro["Fields"]) {
		if err := w.field(o, FormField{}, nil, 0); err != nil {
			return Form{}, err
		}
	}
	for _, p := range f.pages {
		content, err := f.Content(p)
		if err != nil || len(content) > maxContent {
			return Form{}, errForm
		}
		w.form.Active = w.form.Active || p.Dict["AA"] != nil
		sum := sha256.Sum256([]byte(strings.TrimRight(string(content), " \r\n")))
		w.form.Pages = append(w.form.Pages, hex.EncodeToString(sum[:]))
	}
	return w.form, nil
}

type formWalk struct {
	f     *File
	form  Form
	seen  map[Ref]bool
	at    map[string]int // field by name
	pages map[Ref]int    // page of each annotation
}

// field takes in a node of the tree of fields. value is what its parents hold.
func (w *formWalk) field(o Object, from FormField, value Object, depth int) error {
	if r, ok := o.(Ref); ok {
		if w.seen[r] {
			return errForm
		}
		w.seen[r] = true
	}
	d := w.f.Dict(o)
	if d == nil {
		return nil
	}
	if depth > maxFieldDepth || len(w.seen) > maxFields {
		return errForm
	}
	own := from
	if t, ok := w.f.formText(d["T"]); ok {
		if own.Name != "" {
			own.Name += "."
		}
		own.Name += t
		if tip, ok := w.f.formText(d["TU"]); ok {
			own.Tip = tip
		}
	}
	if kind := w.f.Name(d["FT"]); kind != "" {
		own.Kind = string(kind)
	}
	if d["V"] != nil {
		value = d["V"]
	}
	if d["A"] != nil || d["AA"] != nil {
		w.form.Active = true
	}
	for _, option := range w.f.Array(d["Opt"]) {
		if len(own.Options) > maxFields {
			return errForm
		}
		if pair := w.f.Array(option); len(pair) > 0 {
			option = pair[0]
		}
		text, _ := w.f.formText(option)
		own.Options = append(slices.Clip(own.Options), text)
	}
	if kids := w.f.Array(d["Kids"]); len(kids) > 0 {
		for _, k := range kids {
			if err := w.field(k, own, value, depth+1); err != nil {
				return err
			}
		}
		return nil
	}
	if r, ok := o.(Ref); ok && w.form.PageOf[own.Name] == 0 && w.pages[r] > 0 {
		w.form.PageOf[own.Name] = w.pages[r]
	}
	return w.leaf(d, own, value)
}

// pagesOfAnnotations is the page on which each annotation stands.
func (f *File) pagesOfAnnotations() map[Ref]int {
	out := map[Ref]int{}
	for i, p := range f.pages {
		for _, o := range f.Array(p.Dict["Annots"]) {
			if r, ok := o.(Ref); ok && len(out) <= maxFields {
				out[r] = i + 1
			}
		}
	}
	return out
}

// leaf takes in a field without parts, or one of its boxes.
func (w *formWalk) leaf(d Dict, own FormField, value Object) error {
	i, known := w.at[own.Name]
	if !known {
		i = len(w.form.Fields)
		w.at[own.Name] = i
		w.form.Fields = append(w.form.Fields, own)
		if err := w.values(&w.form.Fields[i], value); err != nil {
			return err
		}
	}
	field := &w.form.Fields[i]
	if known && field.Kind != "Btn" {
		field.Values = append(field.Values, "") // the same name twice: no value is sure
	}
	if own.Kind != "Btn" {
		return nil
	}
	var states []string
	for state := range w.f.Dict(w.f.Dict(d["AP"])["N"]) {
		if state != "Off" {
			states = append(states, string(state))
		}
	}
	slices.Sort(states)
	field.States = append(field.States, states...)
	if shown := string(w.f.Name(d["AS"])); shown != "" && shown != "Off" {
		field.set(shown)
	}
	return nil
}

func (f *FormField) set(value string) {
	if !slices.Contains(f.Values, value) {
		f.Values = append(f.Values, value)
	}
}

// values takes in what a field holds: a name, a text, a stream of text, or several choices.
func (w *formWalk) values(field *FormField, o Object) error {
	switch v := w.f.Resolve(o).(type) {
	case Name:
		if v != "Off" {
			field.set(string(v))
		}
	case String:
		text, _ := w.f.formText(v)
		if len(text) > maxValue {
			return errForm
		}
		if text != "" {
			field.set(text)
		}
	case *Stream:
		data, err := v.Data()
		if err != nil || len(data) > maxValue {
			return errForm
		}
		text, _ := w.f.formText(String(data))
		field.set(text)
	case Array:
		for _, one := range v {
			if len(field.Values) > maxFields {
				return errForm
			}
			if text, ok := w.f.formText(one); ok && text != "" {
				field.set(text)
			}
		}
	}
	return nil
}

// formText reads a text string as [File.Text] does, bytes without a mark by PDFDocEncoding.
func (f *File) formText(o Object) (string, bool) {
	s, ok := f.Resolve(o).(String)
	if !ok || strings.HasPrefix(string(s), "\xFE\xFF") || strings.HasPrefix(string(s), "\xEF\xBB\xBF") {
		return f.Text(o)
	}
	if strings.HasPrefix(string(s), "\xFF\xFE") { // some writers turn the bytes round
		swapped := make([]byte, 0, len(s))
		for i := 2; i+1 < len(s); i += 2 {
			swapped = append(swapped, s[i+1], s[i])
		}
		return utf16Text(String(swapped)), true
	}
	runes := make([]rune, len(s))
	for i := range len(s) {
		runes[i] = documentRune(s[i])
	}
	return string(runes), true
}

// documentRune is a byte of PDFDocEncoding (ISO 32000-1, annex D.3). What it leaves open is a replacement sign.
func documentRune(b byte) rune {
	switch {
	case b >= 0x18 && b <= 0x1F:
		return [...]rune{0x02D8, 0x02C7, 0x02C6, 0x02D9, 0x02DD, 0x02DB, 0x02DA, 0x02DC}[b-0x18]
	case b >= 0x80 && b <= 0xA0:
		return [...]rune{
			0x2022, 0x2020, 0x2021, 0x2026, 0x2014, 0x2013, 0x0192, 0x2044, 0x2039, 0x203A, 0x2212, 0x2030, 0x201E, 0x201C, 0x201D,
			0x2018, 0x2019, 0x201A, 0x2122, 0xFB01, 0xFB02, 0x0141, 0x0152, 0x0160, 0x0178, 0x017D, 0x0131, 0x0142, 0x0153, 0x0161,
			0x017E, 0xFFFD, 0x20AC,
		}[b-0x80]
	}
	return rune(b)
}
