package source_test

import (
	"fmt"
	"strings"
	"testing"
	"unicode/utf8"

	"philtrum/forms/source"

	"github.com/google/go-cmp/cmp"
)

// outline shows a tree with the places of its nodes, one node a line.
func outline(n *source.Node) string {
	var w strings.Builder
	write(&w, n, 0)
	return w.String()
}

func place(s source.Span) string {
	return fmt.Sprintf("%d:%d-%d:%d", s.Line, s.Col, s.EndLine, s.EndCol)
}

func write(w *strings.Builder, n *source.Node, depth int) {
	pad := strings.Repeat("  ", depth)
	switch n.Kind {
	case source.Empty:
		fmt.Fprintf(w, "%sempty %s\n", pad, place(n.Span))
	case source.Scalar:
		fmt.Fprintf(w, "%s%q %s\n", pad, n.Text, place(n.Span))
	case source.Mapping:
		fmt.Fprintf(w, "%smapping %s\n", pad, place(n.Span))
		for _, k := range n.Keys {
			fmt.Fprintf(w, "%s %s %s\n", pad, k.Name, place(k.Span))
			write(w, k.Value, depth+1)
		}
	case source.Sequence:
		fmt.Fprintf(w, "%ssequence %s\n", pad, place(n.Span))
		for _, i := range n.Items {
			write(w, i, depth+1)
		}
	}
}

func must(t *testing.T, text string) *source.Node {
	t.Helper()
	n, problems := source.Parse("f.yaml", []byte(text))
	if len(problems) > 0 {
		t.Fatalf("%q: %v", text, problems)
	}
	return n
}

func TestScalarsStayAsTyped(t *testing.T) {
	for _, typed := range []string{
		"0012", "12E4", "1e3", "no", "yes", "on", "Y", "10:30", "190:20:30", "0,5", "0.5", "0.50", "1_000", "+1", "0x1F",
		"0o17", "0b1", ".inf", ".nan", "~", "null", "Null", "true", "2026-03-04", "2026-03-04 14:05", "2026-03-04T14:05:00+01:00",
		"1.0", "-0", "00", "1 000", "#1"[1:], "a#b", "a:b", "don't", "x - y", "é", "日本語", "50%", "a, b", "(01)09506000134352",
	} {
		for _, form := range []string{"k: %s\n", "k:   %s   # remark\n", "k: %s", "k:\n  %s\n"} {
			n := must(t, fmt.Sprintf(form, typed))
			if got := n.Keys[0].Value; got.Kind != source.Scalar || got.Text != typed || got.Quoted {
				t.Errorf("%q in %q reads %#v", typed, form, got)
			}
		}
		n := must(t, "k: ['"+strings.ReplaceAll(typed, "'", "''")+"', \""+typed+"\"]\n")
		for _, item := range n.Keys[0].Value.Items {
			if item.Text != typed || !item.Quoted {
				t.Errorf("%q quoted reads %#v", typed, item)
			}
		}
	}
}

func TestEmptyAndEmptyTextDiffer(t *testing.T) {
	n := must(t, "a:\nb: \"\"\nc: []\nd: {}\ne: # remark\n")
	want := []source.Kind{source.Empty, source.Scalar, source.Sequence, source.Mapping, source.Empty}
	for i, k := range n.Keys {
		if k.Value.Kind != want[i] {
			t.Errorf("%s is %v, not %v", k.Name, k.Value.Kind, want[i])
		}
	}
}

func TestPlaces(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"block", "# c\na: 0012 # x\nlist:\n  - é\n  - y: 1\n    z: 'it''s'\n", `
mapping 2:1-6:15
 a 2:1-2:2
  "0012" 2:4-2:8
 list 3:1-3:5
  sequence 4:3-6:15
    "é" 4:5-4:6
    mapping 5:5-6:15
     y 5:5-5:6
      "1" 5:8-5:9
     z 6:5-6:6
      "it's" 6:8-6:15
`},
		{"flow", "é: {b: 1, c: [1, \"2\\u00e9\"]}\ne: [\n  1\n]\n", `
mapping 1:1-4:2
 é 1:1-1:2
  mapping 1:4-1:29
   b 1:5-1:6
    "1" 1:8-1:9
   c 1:11-1:12
    sequence 1:14-1:28
      "1" 1:15-1:16
      "2é" 1:18-1:27
 e 2:1-2:2
  sequence 2:4-4:2
    "1" 3:3-3:4
`},
		{"long", "a: one\n  two # c\nb: |\n  x\n   y\n\nc: >-\n  f\n  g\nd: \"m\n  n\"\ne: |+\n  k\n\n", `
mapping 1:1-14:1
 a 1:1-1:2
  "one two" 1:4-2:6
 b 3:1-3:2
  "x\n y\n" 3:4-5:5
 c 7:1-7:2
  "f g" 7:4-9:4
 d 10:1-10:2
  "m n" 10:4-11:5
 e 12:1-12:2
  "k\n\n" 12:4-14:1
`},
		{"late", "a: # c\n  one \n  two  \n \nb: \n  # c\n\n  'q'\nc:\n    x\n", `
mapping 1:1-10:6
 a 1:1-1:2
  "one two" 2:3-3:6
 b 5:1-5:2
  "q" 8:3-8:6
 c 9:1-9:2
  "x" 10:5-10:6
`},
		{"quotes", "a: \"x\\\"y\\\\\" # c\nb: 'it''s'  \n", `
mapping 1:1-2:11
 a 1:1-1:2
  "x\"y\\" 1:4-1:12
 b 2:1-2:2
  "it's" 2:4-2:11
`},
		{"empties", "a:\nb:\n-\n- x\n", `
mapping 1:1-4:4
 a 1:1-1:2
  empty 1:3-1:3
 b 2:1-2:2
  sequence 3:1-4:4
    empty 3:2-3:2
    "x" 4:3-4:4
`},
	} {
		t.Run(c.name, func(t *testing.T) {
			n := must(t, c.text)
			if diff := cmp.Diff(strings.TrimPrefix(c.want, "\n"), outline(n)); diff != "" {
				t.Error(diff)
			}
			marked := must(t, "\ufeff"+strings.ReplaceAll(c.text, "\n", "\r\n"))
			if diff := cmp.Diff(outline(n), outline(marked)); diff != "" {
				t.Errorf("byte order mark and CRLF matter: %s", diff)
			}
		})
	}
}

func TestRefused(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"", "problem.empty_file 0:0"},
		{"# only\n", "problem.empty_file 0:0"},
		{"---\n", "problem.empty_file 0:0"},
		{"a: &x 1\nb: 2\n", "problem.anchor 1:4"},
		{"a: 1\nb: *x\n", "problem.alias 2:4"},
		{"a: !!str 1\n", "problem.tag 1:4"},
		{"a: !own\n", "problem.tag 1:4"},
		{"a:\n  <<: 1\n", "problem.merge_key 2:3"},
		{"? a\n: b\n", "problem.complex_key 1:1"},
		{"{a: 1}: b\n", "problem.syntax 1:7"},
		{"[a]: b\n", "problem.syntax 1:4"},
		{"%YAML 1.2\n---\na: 1\n", "problem.directive 1:1"},
		{"a: 1\n---\nb: 2\n", "problem.second_document 2:1"},
		{"---\na: 1\n---\n", "problem.second_document 3:1"},
		{"a: 1\n...\nb: 2\n", "problem.second_document 3:1"},
		{"a:\tb\n", "problem.tab 1:3"},
		{"a:\n\tb: 1\n", "problem.tab 2:1"},
		{"a: x\ty\n", "problem.tab 1:5"},
		{"a: b\rc: d\n", "problem.control_character 1:5"},
		{"a: \x00\n", "problem.control_character 1:4"},
		{"a: é\xffb\n", "problem.broken_utf8 1:5"},
		{"a: \xc0\xafb\n", "problem.broken_utf8 1:4"},
		{"a: 1\nb: 2\na: 3\n", "problem.duplicate_key 3:1"},
		{"a: 1\n\"a\": 3\n", "problem.duplicate_key 2:1"},
		{"x: {a: 1, a: 2}\n", "problem.duplicate_key 1:11"},
		{"a: \"open\n", "problem.syntax 1:4"},
		{"a: [1, 2\n", "problem.syntax 1:4"},
		{"a: 1\n  b: 2\n", "problem.syntax 1:4"},
		{"a: b: c\n", "problem.syntax 1:4"},
		{"a:\n    b: 1\n  c: 2\n", "problem.syntax 3:3"},
		{"a: 1\nb\n", "problem.syntax 2:1"},
		{"a:\n  - 1\n b: 2\n", "problem.syntax 3:2"},
		{"a: 'x' y\n", "problem.syntax 1:8"},
		{"a: \"x\" y\n", "problem.syntax 1:8"},
		{"a: [1] 2\n", "problem.syntax 1:8"},
		{"a: @x\n", "problem.syntax 1:4"},
		{"a: `x\n", "problem.syntax 1:4"},
		{"- 1\na: 2\n", "problem.syntax 2:1"},
		{"a: - 1\n", "problem.syntax 1:4"},
		{"a: }\n", "problem.syntax 1:4"},
		{"a:\nb\n", "problem.syntax 2:1"},
		{"-\nb\n", "problem.syntax 2:1"},
		{"-\nk: 1\n", "problem.syntax 2:1"},
		{"a:\n  b:\n - 1\n", "problem.syntax 3:2"},
		{"wish: fuller\n  - rule: x\n  by: y\n", "problem.syntax 1:7"},
		{"wish:\n  fuller\n  - x\n", "problem.syntax 2:3"},
		{"wish: fuller\n  -\n  x\n", "problem.syntax 1:7"},
		{"a: [1, 2}]\n", "problem.syntax 1:8"},
		{"a: [b: 2}]\n", "problem.syntax 1:8"},
		{"a: {b: c: 2}\n", "problem.syntax 1:8"},
		{"a: [1,\n- 2]\n", "problem.syntax 2:1"},
		{"a: [,1]\n", "problem.syntax 1:5"},
		{"a: [1,,2]\n", "problem.syntax 1:7"},
		{"a: [|\n  x]\n", "problem.syntax 1:5"},
		{"a: >-#\n  x\n", "problem.syntax 1:4"},
		{"a: |2\n  x\n", "problem.syntax 1:4"},
		{"|\n  x\n", "problem.syntax 1:1"},
		{"'a'\n : b\n", "problem.complex_key 1:1"},
	} {
		_, problems := source.Parse("f.yaml", []byte(c.text))
		got := ""
		for _, p := range problems {
			got += fmt.Sprintf("%s %d:%d; ", p.ID, p.Span.Line, p.Span.Col)
		}
		if got != c.want+"; " {
			t.Errorf("%q: got %s want %s", c.text, got, c.want)
		}
	}
}

func TestEveryRefusedThingIsReportedAtOnce(t *testing.T) {
	_, problems := source.Parse("f.yaml", []byte("a: &x 1\nb: *x\nc: !!int 3\n"))
	if len(problems) != 3 {
		t.Errorf("%v", problems)
	}
}

func TestDoubledKeyNamesTheFirst(t *testing.T) {
	n, problems := source.Parse("f.yaml", []byte("a: 1\nb: 2\na: 3\n"))
	if diff := cmp.Diff(map[string]any{"key": "a", "line": 1}, problems[0].Args); diff != "" {
		t.Error(diff)
	}
	if len(n.Keys) != 2 || n.Keys[0].Value.Text != "1" {
		t.Errorf("the first value does not hold: %s", outline(n))
	}
}

func TestHostileFilesEndSoon(t *testing.T) {
	for name, text := range map[string]string{
		"flow":      strings.Repeat("[", 1<<17),
		"flow maps": strings.Repeat("{a: ", 1<<15),
		"dashes":    strings.Repeat("- ", 1<<16),
		"too large": strings.Repeat("a", source.MaxBytes+1),
		"deep":      nested(500),
		"one line":  "a: " + strings.Repeat("x", 1<<18),
		"comments":  strings.Repeat("#\n", 1<<16),
		"blank":     "a: 1" + strings.Repeat("\n", 1<<18),
		"quotes":    "a: '" + strings.Repeat("''", 1<<19) + "\n",
		"keys":      strings.Repeat("a: 1\n", 5000),
		"more keys": strings.Repeat("a: 1\n", source.MaxTokens),
		"items":     strings.Repeat("- 1\n", 1<<14),
		"colons":    strings.Repeat(":", 1<<18),
	} {
		t.Run(name, func(t *testing.T) {
			n, problems := source.Parse("f.yaml", []byte(text))
			if n == nil && len(problems) == 0 {
				t.Error("nothing read and nothing said")
			}
		})
	}
}

func nested(depth int) string {
	var w strings.Builder
	for i := range depth {
		w.WriteString(strings.Repeat(" ", i) + "a:\n")
	}
	return w.String()
}

// inside says whether a span of the file data points into it.
func inside(s source.Span, data string) bool {
	if s.Line == 0 {
		return s == source.Span{File: s.File}
	}
	lines := strings.Split(strings.ReplaceAll(strings.TrimPrefix(data, "\ufeff"), "\r\n", "\n"), "\n")
	fits := func(line, col int) bool {
		return line >= 1 && line <= len(lines) && col >= 1 &&
			col <= utf8.RuneCountInString(lines[line-1])+1
	}
	return fits(s.Line, s.Col) && fits(s.EndLine, s.EndCol) &&
		(s.EndLine > s.Line || s.EndLine == s.Line && s.EndCol >= s.Col)
}

func spans(n *source.Node, visit func(source.Span)) {
	visit(n.Span)
	for _, k := range n.Keys {
		visit(k.Span)
		spans(k.Value, visit)
	}
	for _, i := range n.Items {
		spans(i, visit)
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"a: 1\n", "a:\n  - x: |\n      y\n  - 'z'\n", "{a: [1, \"2\"]}", "a: >+\n\n  x\n\n", "\ufeffa: é\r\n", "-\n-\n",
		"a: 'x\n  y'", "a: b\n # c\n", "? x", "a: *b", "- - - 1", "a: |2-\n   x", "\"k\": \"\\\"\"", "a: [\n# c\n]"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		n, problems := source.Parse("f.yaml", []byte(text))
		for _, p := range problems {
			if !inside(p.Span, text) {
				t.Errorf("%s points outside: %+v", p.ID, p.Span)
			}
		}
		if n == nil {
			if len(problems) == 0 {
				t.Error("nothing read and nothing said")
			}
			return
		}
		spans(n, func(s source.Span) {
			if !inside(s, text) {
				t.Errorf("a node points outside: %+v", s)
			}
		})
		if len(problems) == 0 {
			again, problems := source.Parse("f.yaml", source.Write(n))
			if len(problems) > 0 || !alike(n, again) {
				t.Errorf("written as %q it reads otherwise: %v", source.Write(n), problems)
			}
		}
	})
}

// alike compares what two trees say.
func alike(a, b *source.Node) bool {
	return source.Same(a, b)
}
