package source_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"philtrum/forms/source"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
)

func said(r *source.Reader) string {
	var w strings.Builder
	for _, p := range r.Problems() {
		fmt.Fprintf(&w, "%d:%d %s %v\n", p.Span.Line, p.Span.Col, strings.TrimPrefix(p.ID, "problem."), p.Args)
	}
	return w.String()
}

func TestReader(t *testing.T) {
	type read func(r *source.Reader, n *source.Node) any
	fields := func(r *source.Reader, n *source.Node) any { return r.Fields(n, "name", "volume").Order() }
	number := func(r *source.Reader, n *source.Node) any { return r.Int(n, 1, 10) }
	yes := func(r *source.Reader, n *source.Node) any { return r.YesNo(n) }
	word := func(r *source.Reader, n *source.Node) any { return r.OneOf(n, "upper", "lower") }
	for _, c := range []struct {
		name, text string
		read       read
		want       any
		said       string
	}{
		{"fields", "volume: 1\nname: x\n", fields, []string{"volume", "name"}, ""},
		{"unknown key", "colour: 1\nname: x\n", fields, []string{"name"},
			"1:1 unknown_key map[allowed:name, volume key:colour]\n"},
		{"near key", "volmue: 1\n", fields, []string(nil),
			"1:1 unknown_key_near map[allowed:name, volume key:volmue near:volume]\n"},
		{"a sentence as key is not repeated", "Ada Example born in May: 1\n", fields, []string(nil),
			"1:1 unknown_key map[allowed:name, volume key:…]\n"},
		{"no mapping", "- x\n", fields, []string(nil), "1:1 expected_mapping map[]\n"},
		{"whole number", "7", number, 7, ""},
		{"number too great", "11", number, 0, "1:1 number_range map[least:1 most:10]\n"},
		{"number far too great", "99999999999999999999", number, 0, "1:1 number_range map[least:1 most:10]\n"},
		{"no whole number", "7.0", number, 0, "1:1 expected_number map[]\n"},
		{"hexadecimal is none", "0x7", number, 0, "1:1 expected_number map[]\n"},
		{"empty text is none", "''", number, 0, "1:1 expected_number map[]\n"},
		{"yes", "yes", yes, true, ""},
		{"false", "false", yes, false, ""},
		{"a capital is another word", "Yes", yes, false, "1:1 expected_yes_no map[]\n"},
		{"word", "lower", word, "lower", ""},
		{"near word", "uper", word, "", "1:1 unknown_word_near map[allowed:upper, lower near:upper]\n"},
		{"other word", "chin", word, "", "1:1 unknown_word map[allowed:upper, lower]\n"},
		{"list as word", "[upper]", word, "", "1:1 expected_text map[]\n"},
		{"texts", "[a, b]", func(r *source.Reader, n *source.Node) any { return r.Texts(n) }, []string{"a", "b"}, ""},
		{"texts with holes", "- a\n-\n- [b]\n", func(r *source.Reader, n *source.Node) any { return r.Texts(n) },
			[]string{"a"}, "2:2 expected_text map[]\n3:3 expected_text map[]\n"},
		{"text as list", "a", func(r *source.Reader, n *source.Node) any { return len(r.List(n)) }, 0,
			"1:1 expected_list map[]\n"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var r source.Reader
			got := c.read(&r, must(t, c.text))
			if diff := cmp.Diff(c.want, got); diff != "" {
				t.Error(diff)
			}
			if diff := cmp.Diff(c.said, said(&r)); diff != "" {
				t.Error(diff)
			}
		})
	}
}

func TestAbsentReadsAsNothing(t *testing.T) {
	var r source.Reader
	f := r.Fields(nil, "a")
	if f.Get("a") != nil || r.Text(nil) != "" || r.List(nil) != nil || r.Texts(nil) != nil ||
		r.Int(nil, 1, 2) != 0 || r.YesNo(nil) || r.OneOf(nil, "x") != "" || r.Entries(nil) != nil {
		t.Error("something was read out of nothing")
	}
	if s := said(&r); s != "" {
		t.Errorf("absence alone is a problem: %s", s)
	}
	f.Need("a")
	if s := said(&r); s != "0:0 missing_key map[key:a]\n" {
		t.Error(s)
	}
}

func TestNeedPointsAtTheMapping(t *testing.T) {
	var r source.Reader
	n := must(t, "a:\n  b: 1\n")
	if got := r.Fields(n.Keys[0].Value, "b", "c"); got.Need("b").Text != "1" || got.Need("c") != nil {
		t.Error("read otherwise")
	}
	if s := said(&r); s != "2:3 missing_key map[key:c]\n" {
		t.Error(s)
	}
}

func TestDoubledKeysOfBuiltNodes(t *testing.T) {
	var r source.Reader
	n := source.Map("a", "1", "a", "2")
	if got := r.Entries(n); len(got) != 1 || got[0].Value.Text != "1" || len(r.Problems()) != 1 {
		t.Errorf("%v %v", got, r.Problems())
	}
}

func TestProblemsComeInTheOrderOfTheFile(t *testing.T) {
	var r source.Reader
	r.ReportAt(source.Span{File: "b", Line: 1, Col: 1}, "x", nil)
	r.ReportAt(source.Span{File: "a", Line: 2, Col: 1}, "x", nil)
	r.ReportAt(source.Span{File: "a", Line: 1, Col: 9}, "z", nil)
	r.ReportAt(source.Span{File: "a", Line: 1, Col: 9}, "y", nil)
	got := r.Problems()
	var err *source.Problems
	if !errors.As(got.Err(), &err) || err.Error() != "a:1:9: y (4 in all)" {
		t.Errorf("%v", got.Err())
	}
	want := source.Problems{{ID: "y"}, {ID: "z"}, {ID: "x"}, {ID: "x"}}
	if diff := cmp.Diff(want, got, cmpopts.IgnoreFields(source.Problem{}, "Span")); diff != "" {
		t.Error(diff)
	}
	if source.Problems(nil).Err() != nil {
		t.Error("no problems are an error")
	}
}

func TestNearest(t *testing.T) {
	words := []string{"practitioner", "appointment", "zone", "zones"}
	for word, want := range map[string]string{
		"practicioner": "practitioner", "apointment": "appointment", "zoen": "zone", "zoness": "zones",
		"x": "", "": "", "zonxx": "", "anaesthetic": "", strings.Repeat("zone", 100): "",
	} {
		if got := source.Nearest(word, words); got != want {
			t.Errorf("%q: %q, not %q", word, got, want)
		}
	}
}

func TestPrivateProblemsRepeatNoDate(t *testing.T) {
	p := source.Problem{ID: "problem.date_ambiguous", Args: map[string]any{"first": "2026-03-04", "second": "2026-04-03"}}
	if got := p.Private(); got.ID != "problem.date_ambiguous_private" || got.Args != nil {
		t.Errorf("%+v", got)
	}
	p = source.Problem{ID: "problem.missing_key", Args: map[string]any{"key": "born"}}
	if got := p.Private(); got.ID != p.ID || got.Args["key"] != "born" {
		t.Errorf("%+v", got)
	}
}

// A key may be a patient's own word, typed where none belongs.
func TestPrivateProblemsRepeatNoKey(t *testing.T) {
	node, problems := source.Parse("visits/v.yaml", []byte("vacine: no\nPrivateWord: 1\n"))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	var r source.Reader
	r.Fields(node, "vaccine")
	for _, p := range r.Problems() {
		told := p.Private()
		if fmt.Sprint(told.ID, told.Args) == fmt.Sprint(p.ID, p.Args) {
			t.Errorf("%s is told as it is", p.ID)
		}
		for _, value := range told.Args {
			if strings.Contains(fmt.Sprint(value), "PrivateWord") || strings.Contains(fmt.Sprint(value), "vacine") {
				t.Errorf("%s repeats the key", told.ID)
			}
		}
		if told.Args["allowed"] != "vaccine" {
			t.Errorf("%s does not say what is allowed: %v", told.ID, told.Args)
		}
	}
}
