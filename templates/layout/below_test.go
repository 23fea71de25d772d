package layout

import (
	"strings"
	"testing"
)

func stack(lang string) []Span {
	return []Span{{Text: "here is a text"}, Below, {Text: "there one", Lang: lang}}
}

// bounds are the left edge of a text's line and its right edge.
func bounds(t *testing.T, r Result, text string) (left, right Length) {
	t.Helper()
	for _, it := range r.Pages[0].Items {
		if it.Kind == ItemLine && it.Line.Text == text {
			return it.Rect.X, it.Rect.X + it.Rect.Width
		}
	}
	t.Fatalf("no line %q", text)
	return 0, 0
}

// Two passages in one place stand one below the other, each on the side where its own language starts.
func TestBelow(t *testing.T) {
	for _, c := range []struct {
		name, own, other string
		dir              Direction
		sameLeft         bool
	}{
		{"both from the left", "en", "es", LeftToRight, true},
		{"English, then Arabic", "en", "ar", LeftToRight, false},
		{"Arabic, then English", "ar", "en", RightToLeft, false},
	} {
		d := Document{Lang: c.own, Direction: c.dir, Sheet: testSheet()}
		d.Blocks = []Block{&Paragraph{Role: RoleBody, Text: stack(c.other)}}
		r := Place(d, mono{})
		left, right := bounds(t, r, "here is a text")
		otherLeft, otherRight := bounds(t, r, "there one")
		if got := left == otherLeft; got != c.sameLeft {
			t.Errorf("%s: they start at %d and %d", c.name, left, otherLeft)
		}
		if !c.sameLeft && right == otherRight {
			t.Errorf("%s: both end at %d", c.name, right)
		}
	}
}

// A column of another direction is mirrored within itself and stays where it is.
func TestTurnedColumn(t *testing.T) {
	place := func(lang string) (Result, Length, Length) {
		d := Document{Lang: "en", Sheet: testSheet()}
		d.Blocks = []Block{&Columns{Shares: []int{1, 1}, Langs: []string{"", lang}, Columns: [][]Block{
			{&Paragraph{Text: []Span{{Text: "start"}}}},
			{&List{Items: []ListItem{{Text: []Span{{Text: "other", Lang: lang}}}}}},
		}}}
		r := Place(d, mono{})
		left, right := bounds(t, r, "other")
		return r, left, right
	}
	straight, left, _ := place("es")
	turned, turnedLeft, turnedRight := place("ar")
	bullet, _ := bounds(t, straight, "•")
	bulletTurned, _ := bounds(t, turned, "•")
	if bullet >= left || bulletTurned < turnedRight {
		t.Errorf("bullets stand at %d and %d, their texts from %d and to %d", bullet, bulletTurned, left, turnedRight)
	}
	edge := straight.Sheet.Width - straight.Sheet.Outer
	if turnedLeft < bullet || bulletTurned > edge {
		t.Error("the column has left its place")
	}
}

// A label in two languages is one line where it fits; else the second stands under the first, at its own side and
// without the sign between them.
func TestBeside(t *testing.T) {
	label := []Span{{Text: "here"}, Beside, {Text: "there", Lang: "ar"}}
	wide := paraLines(t, label, MM(60))
	if len(wide) != 1 || wide[0] != "here · there" {
		t.Errorf("in a wide column: %q", wide)
	}
	if narrow := paraLines(t, label, MM(12)); len(narrow) != 2 || narrow[0] != "here" || narrow[1] != "there" {
		t.Errorf("in a narrow column: %q", narrow)
	}
	d := Document{Lang: "en", Sheet: testSheet()}
	long := strings.Repeat("word ", 16)
	d.Blocks = []Block{&Choices{Items: []Choice{{Text: []Span{{Text: "ask"}}, Boxes: [][]Span{{{Text: long + "here"}, Beside, {Text: "there", Lang: "ar"}}}}}}}
	r := Place(d, mono{})
	left, right := bounds(t, r, "there")
	if edge := r.Sheet.Width - r.Sheet.Outer; right < edge-Pt || left < edge/2 {
		t.Errorf("the second language stands from %d to %d, the edge is at %d", left, right, edge)
	}
}

// paraLines are the texts of the lines of a label.
func paraLines(t *testing.T, spans []Span, width Length) []string {
	t.Helper()
	d := Document{Lang: "en", Sheet: testSheet()}
	b := &builder{doc: &d, sheet: &d.Sheet, set: newSetter(mono{}, "en", LeftToRight), space: 100, lead: 100}
	var out []string
	for _, l := range b.broken(spans, b.style(RoleLabel), manner{role: RoleLabel}, width) {
		out = append(out, l.Text)
	}
	return out
}

// A passage does not end with a single ideograph where it can do with two in as many lines.
func TestNoLineOfOneIdeograph(t *testing.T) {
	d := Document{Lang: "zh-Hans", Sheet: testSheet()}
	b := &builder{doc: &d, sheet: &d.Sheet, set: newSetter(mono{}, "zh-Hans", LeftToRight), space: 100, lead: 100}
	st := b.style(RoleTable)
	per := st.Size * 60 / 100
	for _, spans := range [][]Span{{{Text: "不趴 在治 疗床 上。"}}, {{Text: "不趴 在治 疗床 上。"}, Below, {Text: "no", Lang: "en"}}} {
		lines := b.broken(spans, st, manner{role: RoleTable}, 8*per+1)
		if last := lines[1].Text; ideographs(last) < 2 {
			t.Errorf("the last line is %q", last)
		}
	}
}

// A running line that is too long ends before a joint, and no line begins or ends with one.
func TestJoints(t *testing.T) {
	line := []Span{{Text: "first"}, Joint, {Text: "second"}, Joint, {Text: "the third"}}
	d := Document{Lang: "en", Sheet: testSheet()}
	b := &builder{doc: &d, sheet: &d.Sheet, set: newSetter(mono{}, "en", LeftToRight), space: 100, lead: 100}
	st := b.style(RoleFoot)
	per := st.Size * 60 / 100
	for signs, want := range map[Length]string{40: "first\u00a0· second\u00a0· the third", 16: "first\u00a0· second|the third", 9: "first|second|the third"} {
		var got []string
		for _, l := range b.broken(line, st, manner{role: RoleFoot}, signs*per+1) {
			got = append(got, l.Text)
		}
		if strings.Join(got, "|") != want {
			t.Errorf("%d signs wide: %q", signs, got)
		}
	}
}

// breaking sets a text in two lines with a hyphen where it may hyphenate, and in as many without.
type breaking struct{}

func (breaking) Lines(q Request) []Line {
	lines := []Line{{Text: "Identifikator wy", Hyphen: true}, {Text: "robu"}}
	if !q.Hyphenate {
		lines = []Line{{Text: "Identifikator "}, {Text: "wyrobu"}}
	}
	return lines
}

// No word is parted by a hyphen where that saves no line.
func TestNoHyphenForNothing(t *testing.T) {
	d := Document{Lang: "pl", Sheet: testSheet()}
	b := &builder{doc: &d, sheet: &d.Sheet, set: newSetter(breaking{}, "pl", LeftToRight), space: 100, lead: 100}
	for _, l := range b.broken([]Span{{Text: "Identifikator wyrobu"}}, b.style(RoleTable), manner{role: RoleTable}, MM(20)) {
		if l.Hyphen {
			t.Errorf("%q ends with a hyphen", l.Text)
		}
	}
}
