package locales

import (
	"fmt"
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"philtrum/forms/source"
)

var flat = cmp.Options{
	cmp.AllowUnexported(flatEntry{}, flatField{}, flatPair{}),
	cmpopts.IgnoreTypes(source.Span{}),
	cmp.Transformer("text", func(s string) string { return strings.TrimRight(s, "\n") }),
	cmpopts.EquateEmpty(),
}

// agree checks that what the quick reader accepts is what the strict reader says.
func agree(t interface {
	Errorf(string, ...any)
}, name string, data []byte) (quick bool) {
	got, ok := readFlat(string(data))
	if !ok {
		return false
	}
	var r source.Reader
	want := readEntries(name, data, true, &r)
	if problems := r.Problems(); len(problems) > 0 {
		if len(got) == 0 && problems[0].ID == "problem.empty_file" {
			return true
		}
		t.Errorf("%s: the strict reader refuses it: %v\n%s", name, problems, data)
		return true
	}
	if d := cmp.Diff(want, got, flat); d != "" {
		t.Errorf("%s: strict -, quick +\n%s\n%s", name, d, data)
	}
	return true
}

// Every file that comes with the program has the plain shape, so that none costs a slow reading.
func TestDefaultFilesAreReadQuickly(t *testing.T) {
	err := fs.WalkDir(Default, ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := fs.ReadFile(Default, path)
		if err != nil {
			return err
		}
		if !agree(t, path, data) {
			t.Errorf("%s is not flat", path)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

func TestQuickAndStrictAgree(t *testing.T) {
	for _, c := range []struct {
		data  string
		quick bool
	}{
		{"a.b: text\n", true},
		{"a.b: text", true},
		{"a.b: text # comment\r\na.c: x\r\n", true},
		{"# c\n\na.b:\n  text: x\n  # c\n\n  note: y\na.c: z\n", true},
		{"a.b:\n  text: >-\n    one\n    two\n\n    three\n  note: |\n    l1\n    l2\na.c: z\n", true},
		{"a.b: >\n  one\n  two\n", true},
		{"a.b: one\n  two\n  three\na.c: x\n", true},
		{"a.b:\n  text: one\n    two # c\n  note: x\n", true},
		{"a.b: \"q \\\"x\\\" \\\\ \\n: # z\"\n", true},
		{"a.b: 'it''s: # z'\n", true},
		{"a.b: it's \"so\" {x} [y], z\n", true},
		{"a.b:\n  args: {a: text, b: list or} # c\n", true},
		{"a.b:\n  args:\n    a: text\n    b: list or\n  text: x\n", true},
		{"a.b:\n    text: x\n    note: y\n", true},
		{"a.b: 12E4\na.c: no\na.d: 2026-03-04\n", true},
		{"a.b: ~\n", false},
		{"a.b: &x y\n", false},
		{"a.b: *x\n", false},
		{"a.b: !!str x\n", false},
		{"a.b: a: b\n", false},
		{"a.b: {x: y\n", false},
		{"a.b: \"x\n  y\"\n", false},
		{"a.b: 'x\n  y'\n", false},
		{"a.b: \"x\" y\n", false},
		{"a.b: \"\\t\"\n", false},
		{"a.b: |2\n   x\n", false},
		{"a.b: >\n  x\n    y\n", false},
		{"a.b: x\na.b: y\n", false},
		{"a.b:\n  text: x\n  text: y\n", false},
		{"a.b:\n\ttext: x\n", false},
		{"- a\n", false},
		{"---\na.b: x\n", false},
		{"  a.b: x\n", false},
		{"a.b:\n  text: x\n   note: y\n", false},
		{"\"a.b\": x\n", false},
		{"a.b: x\n\n  y\n", false},
		{"a.b:\n", false},
		{"a.b: x\n# c\n  y\n", false},
		{"? a\n: b\n", false},
		{"a.b: @x\n", false},
		{"<<: x\n", false},
	} {
		if got := agree(t, "case", []byte(c.data)); got != c.quick {
			t.Errorf("%q: quick is %v", c.data, got)
		}
	}
}

func TestQuickAndStrictAgreeOnAnything(t *testing.T) {
	piece := rapid.SampledFrom([]string{"a.b", "a.c", ":", ": ", " ", "  ", "\n", "\n  ", "\n    ", "text", "note", "args",
		"{", "}", "'", "\"", "\\", "#", " #", "|", ">", "-", ">-", "x", "y z", ",", "\n\n", "&", "*", "!", "~", "%", "é", "?", "[", "]", "\r\n"})
	rapid.Check(t, func(t *rapid.T) {
		agree(t, "drawn", []byte(strings.Join(rapid.SliceOfN(piece, 0, 16).Draw(t, "data"), "")))
	})
}

// An entry means the same read alone and read with its file.
func TestEntriesReadAlone(t *testing.T) {
	whole, ok := readFlat(sample)
	index, found := indexFlat(sample)
	if !ok || !found || len(whole) != len(index) {
		t.Fatalf("%d entries, %d found", len(whole), len(index))
	}
	for _, want := range whole {
		got, ok := readFlat(index[want.key])
		if !ok || len(got) != 1 {
			t.Fatalf("%s cannot be read alone", want.key)
		}
		if d := cmp.Diff(want, got[0], flat); d != "" {
			t.Error(d)
		}
	}
}

func FuzzFlat(f *testing.F) {
	f.Add([]byte(sample))
	f.Add([]byte(english))
	f.Fuzz(func(t *testing.T, data []byte) { agree(t, "fuzz", data) })
}

func FuzzParseText(f *testing.F) {
	for _, s := range []string{"", "a", "**{x}** {{y}}", "{", "}}{", "***", "{x}{y}", "**a** **b"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		pieces, err := parseText(s)
		if err != nil {
			return
		}
		// Writing the pieces again gives a text of the same pieces.
		var b strings.Builder
		strong := false
		for _, p := range pieces {
			if p.strong != strong {
				b.WriteString("**")
				strong = p.strong
			}
			if p.holder {
				b.WriteString("{" + p.text + "}")
			} else {
				b.WriteString(strings.NewReplacer("{", "{{", "}", "}}").Replace(p.text))
			}
		}
		if strong {
			b.WriteString("**")
		}
		again, err := parseText(b.String())
		if err != nil {
			t.Fatalf("%q written as %q: %v", s, b.String(), err)
		}
		if flatten(pieces) != flatten(again) {
			t.Fatalf("%q written as %q", s, b.String())
		}
	})
}

// flatten writes pieces with neighbours of one kind joined.
func flatten(pieces []piece) string {
	var b strings.Builder
	last := piece{}
	for i, p := range pieces {
		if i == 0 || p.holder || last.holder || p.strong != last.strong {
			fmt.Fprintf(&b, "|%v %v ", p.holder, p.strong)
		}
		b.WriteString(p.text)
		last = p
	}
	return b.String()
}

// large is a file of n entries of the size that papers have.
func large(n int) []byte {
	var b strings.Builder
	for i := range n {
		switch i % 3 {
		case 0:
			fmt.Fprintf(&b, "b.m%d: Keep your lips clean and do not press on them for one day.\n", i)
		case 1:
			fmt.Fprintf(&b, "b.m%d:\n  text: \"Call us on {phone} at once if the skin turns white.\"\n"+
				"  note: In the box on the first page, beside the telephone.\n  args: {phone: text}\n", i)
		default:
			fmt.Fprintf(&b, "b.m%d:\n  one: \"{n} day\"\n  other: \"{n} days\"\n  note: How long it lasts.\n  args: {n: count}\n", i)
		}
	}
	return []byte(b.String())
}

// BenchmarkColdGroup reads a group of 1,500 messages and renders one: the worst that one paper can cost.
func BenchmarkColdGroup(b *testing.B) {
	fsys := fstest.MapFS{LanguagesFile: {Data: []byte(english)}, "en/b.yaml": {Data: large(1500)}}
	b.ReportAllocs()
	for b.Loop() {
		c, err := Load(fsys)
		if err != nil {
			b.Fatal(err)
		}
		p, err := c.Printer("en")
		if err != nil {
			b.Fatal(err)
		}
		if _, err := p.Spans("b.m0", nil); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkStrictGroup(b *testing.B) {
	data := large(1500)
	for b.Loop() {
		var r source.Reader
		if readMessages(readEntries("b.yaml", data, true, &r), "b", &r); len(r.Problems()) > 0 {
			b.Fatal(r.Problems())
		}
	}
}

// BenchmarkDefaultEnglish opens every group of the program's English and reads every message: more than
// any paper does.
func BenchmarkDefaultEnglish(b *testing.B) {
	ids := map[string][]string{}
	for _, group := range groupsOf(Default, "en") {
		data, err := fs.ReadFile(Default, "en/"+group+".yaml")
		if err != nil {
			b.Fatal(err)
		}
		entries, _ := readFlat(string(data))
		for _, e := range entries {
			ids[group] = append(ids[group], e.key)
		}
	}
	b.ReportAllocs()
	for b.Loop() {
		c, err := Load(Default)
		if err != nil {
			b.Fatal(err)
		}
		p, err := c.Printer("en")
		if err != nil {
			b.Fatal(err)
		}
		for _, group := range ids {
			for _, id := range group {
				if _, err := p.find(id); err != nil {
					b.Fatal(err)
				}
			}
		}
	}
}
