package source_test

import (
	"strings"
	"testing"

	"philtrum/forms/source"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

const visitFile = `# A visit.
kind: treatment # as booked

plan:
  zones: [upper_border, lower_body]   # as agreed
  wish: |
    fuller,
    not bigger

  greatest: "1.0"
decisions:
# newest last
- rule: hsv
  by: p1   # who
  # a remark inside

papers: []
handed:
# the end
`

func TestEditTouchesItsOwnLines(t *testing.T) {
	set := func(value *source.Node, path ...string) source.Change {
		return source.Change{Path: path, Value: value}
	}
	add := func(value *source.Node, path ...string) source.Change {
		return source.Change{Path: path, Value: value, Append: true}
	}
	for _, c := range []struct {
		name     string
		change   source.Change
		old, new string // replaced in the file
	}{
		{"scalar", set(source.Text("review"), "kind"), "kind: treatment # as booked", "kind: review # as booked"},
		{"quotes where needed", set(source.Text("a: b # c"), "kind"), "kind: treatment #", `kind: "a: b # c" #`},
		{"scalar to list", set(source.List(source.Text("a"), source.Text("b")), "kind"),
			"kind: treatment # as booked\n", "kind: # as booked\n  - a\n  - b\n"},
		{"scalar to lines", set(source.Text("a\nb"), "kind"),
			"kind: treatment # as booked\n", "kind: |- # as booked\n  a\n  b\n"},
		{"lines to scalar", set(source.Text("none"), "plan", "wish"),
			"wish: |\n    fuller,\n    not bigger\n", "wish: none\n"},
		{"deep", set(source.Text("0.8"), "plan", "greatest"), `"1.0"`, "0.8"},
		{"new key", set(source.Text("7"), "plan", "price"), "  greatest: \"1.0\"\n", "  greatest: \"1.0\"\n  price: 7\n"},
		{"new path", set(source.Text("7"), "plan", "a", "b"),
			"  greatest: \"1.0\"\n", "  greatest: \"1.0\"\n  a:\n    b: 7\n"},
		{"new at the end", set(source.Text("x"), "salt"), "handed:\n", "handed:\nsalt: x\n"},
		{"below an empty key", set(source.Text("x"), "handed", "by"), "handed:\n", "handed:\n  by: x\n"},
		{"append", add(source.Map("rule", "inr", "by", "p2"), "decisions"),
			"  by: p1   # who\n", "  by: p1   # who\n- rule: inr\n  by: p2\n"},
		{"append to nothing", add(source.Text("x"), "handed"), "handed:\n", "handed:\n  - x\n"},
		{"append to what is absent", add(source.Text("x"), "states"), "handed:\n", "handed:\nstates:\n  - x\n"},
		{"append to brackets", add(source.Text("x"), "papers"), "papers: []\n", "papers:\n  - x\n"},
		{"append to full brackets", add(source.Text("x"), "plan", "zones"),
			"zones: [upper_border, lower_body]   # as agreed\n",
			"zones:   # as agreed\n    - upper_border\n    - lower_body\n    - x\n"},
		{"remove", set(nil, "plan", "wish"), "  wish: |\n    fuller,\n    not bigger\n", ""},
		{"remove a list", set(nil, "decisions"), "decisions:\n# newest last\n- rule: hsv\n  by: p1   # who\n", ""},
		{"remove what is not there", set(nil, "plan", "no", "such"), "", ""},
		{"the same again", set(source.Text("treatment"), "kind"), "", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			want := strings.Replace(visitFile, c.old, c.new, 1)
			got, problems := source.Edit("visit.yaml", []byte(visitFile), c.change)
			if diff := cmp.Diff(want, string(got)); diff != "" || len(problems) > 0 {
				t.Error(diff, problems)
			}
			dos := "\ufeff" + strings.ReplaceAll(visitFile, "\n", "\r\n")
			got, problems = source.Edit("visit.yaml", []byte(dos), c.change)
			if diff := cmp.Diff("\ufeff"+strings.ReplaceAll(want, "\n", "\r\n"), string(got)); diff != "" || len(problems) > 0 {
				t.Error("CRLF:", diff, problems)
			}
		})
	}
}

func TestEditRefuses(t *testing.T) {
	for _, c := range []struct {
		name, text, want string
		change           source.Change
	}{
		{"a path through a text", "a: 1\n", "problem.expected_mapping",
			source.Change{Path: []string{"a", "b"}, Value: source.Text("x")}},
		{"appending to a text", "a: 1\n", "problem.expected_list",
			source.Change{Path: []string{"a"}, Value: source.Text("x"), Append: true}},
		{"a broken file", "a: [\n", "problem.syntax", source.Change{Path: []string{"a"}, Value: source.Text("x")}},
		{"a list as a whole", "- 1\n", "problem.expected_mapping", source.Change{Path: []string{"a"}, Value: source.Text("x")}},
		{"the last key", "a: 1\n", "problem.edit_empties", source.Change{Path: []string{"a"}}},
		{"a file in braces", "{a: 1}\n", "problem.edit_form", source.Change{Path: []string{"a"}, Value: source.Text("x")}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, problems := source.Edit("f.yaml", []byte(c.text), c.change)
			if got != nil || len(problems) != 1 || problems[0].ID != c.want {
				t.Errorf("%q %v", got, problems)
			}
		})
	}
}

func TestEditStartsAnEmptyFile(t *testing.T) {
	for text, want := range map[string]string{"": "a: x\n", "# remark": "# remark\na: x\n", "---\n": "---\na: x\n"} {
		got, problems := source.Edit("f.yaml", []byte(text), source.Change{Path: []string{"a"}, Value: source.Text("x")})
		if string(got) != want || len(problems) > 0 {
			t.Errorf("%q: %q %v", text, got, problems)
		}
	}
}

func TestEditsFollowEachOther(t *testing.T) {
	got, problems := source.Edit("f.yaml", []byte("a: 1 # one\n"),
		source.Change{Path: []string{"b", "c"}, Value: source.Text("2")},
		source.Change{Path: []string{"b", "d"}, Value: source.Text("3"), Append: true},
		source.Change{Path: []string{"a"}},
	)
	if want := "b:\n  c: 2\n  d:\n    - 3\n"; string(got) != want || len(problems) > 0 {
		t.Errorf("%q %v", got, problems)
	}
}

// trees draws nodes with awkward texts.
func trees(depth int) *rapid.Generator[*source.Node] {
	text := rapid.OneOf(
		rapid.SampledFrom([]string{"", "no", "0012", "a: b", "x #y", "- ", "'", `"\`, "a\nb", "a\nb\n", "\n", " a", "a ", "|", "é\u200f", "\u0085", "\ufeff",
			"\t", "a\n\n\nb", "a\n b\n", "...", "---", "? a", "@", "😀\n", "null", "~", "x:", "[", "a,b", "line\u2028two"}),
		rapid.String(),
	)
	return rapid.Custom(func(t *rapid.T) *source.Node {
		kind := rapid.IntRange(0, 5).Draw(t, "kind")
		switch {
		case kind == 0 && depth > 0:
			n := source.List()
			for range rapid.IntRange(0, 3).Draw(t, "items") {
				n.Items = append(n.Items, trees(depth-1).Draw(t, "item"))
			}
			return n
		case kind <= 2 && depth > 0:
			n := source.Map()
			for _, k := range rapid.SliceOfNDistinct(keys(), 0, 3, rapid.ID[string]).Draw(t, "keys") {
				n.Keys = append(n.Keys, source.Key{Name: k, Value: trees(depth-1).Draw(t, "value")})
			}
			return n
		case kind == 3:
			return &source.Node{}
		}
		return source.Text(strings.ToValidUTF8(text.Draw(t, "text"), "?"))
	})
}

func keys() *rapid.Generator[string] {
	return rapid.OneOf(rapid.StringMatching(`[a-z_]{1,8}`), rapid.SampledFrom([]string{"a b", "a: b", "é", "0012", "#", "-", "\"", "no", "x:"}))
}

func TestWhatIsWrittenReadsTheSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := trees(4).Draw(t, "tree")
		if n.Kind == source.Empty {
			return
		}
		text := source.Write(n)
		got, problems := source.Parse("f.yaml", text)
		if len(problems) > 0 || !source.Same(n, got) {
			t.Errorf("%q: %v", text, problems)
		}
	})
}

// Edits of a file with a comment on every line and behind it change nothing else, or are refused.
func TestEditKeepsTheRest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := source.Map("a", trees(2).Draw(t, "a"), "b", source.Map("c", trees(2).Draw(t, "c"), "d", trees(1).Draw(t, "d")), "e", trees(2).Draw(t, "e"))
		head, foot := "# head\n\n", "\n# foot\n"
		text := head + string(source.Write(n)) + foot
		path := rapid.SampledFrom([][]string{{"a"}, {"b"}, {"b", "c"}, {"b", "x"}, {"b", "d", "y"}, {"e"}, {"z"}}).Draw(t, "path")
		c := source.Change{Path: path, Value: trees(2).Draw(t, "value"), Append: rapid.Bool().Draw(t, "append")}
		got, problems := source.Edit("f.yaml", []byte(text), c)
		if len(problems) > 0 {
			if id := problems[0].ID; id != "problem.expected_mapping" && id != "problem.expected_list" {
				t.Fatalf("%q refuses: %v", text, problems)
			}
			return
		}
		if !strings.HasPrefix(string(got), head) || !strings.HasSuffix(string(got), foot) {
			t.Errorf("%q became %q", text, got)
		}
	})
}

func FuzzEdit(f *testing.F) {
	f.Add("a: 1 # x\nb:\n  - y\n", "b", "z", true)
	f.Add("a: {b: 1}\r\n", "a", "z", false)
	f.Add("k: |\n  x\n\n# c\nl: 2", "m", "q\nr", false)
	f.Fuzz(func(t *testing.T, text, key, value string, add bool) {
		n, problems := source.Parse("f.yaml", []byte(text))
		got, refused := source.Edit("f.yaml", []byte(text), source.Change{Path: []string{key}, Value: source.Text(value), Append: add})
		if len(refused) > 0 {
			return
		}
		if len(problems) > 0 && problems[0].ID != "problem.empty_file" {
			t.Fatalf("a file with problems was edited: %v", problems)
		}
		after, problems := source.Parse("f.yaml", got)
		if len(problems) > 0 {
			t.Fatalf("%q: %v", got, problems)
		}
		if n != nil && n.Kind == source.Mapping {
			for _, k := range n.Keys {
				kept := false
				for _, l := range after.Keys {
					kept = kept || k.Name == l.Name && (k.Name == key || source.Same(k.Value, l.Value))
				}
				if !kept {
					t.Errorf("%q was lost or changed: %q became %q", k.Name, text, got)
				}
			}
		}
	})
}
