package layout

import (
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestLongestWords(t *testing.T) {
	for _, c := range []struct {
		name  string
		spans []Span
		want  []string
	}{
		{"longer ones first, earlier ones before equal ones", say("one seven three two eight"), []string{"seven", "three", "eight"}},
		{"a longer one later", say("aaa bbb ccc dddd"), []string{"dddd", "aaa", "bbb"}},
		{"a word over several spans", []Span{{Text: "left "}, {Text: "over"}, {Text: "all", Strong: true}, {Text: " x"}}, []string{"overall", "left", "x"}},
		{"a hyphen ends a word, a no-break space does not", say("well-known 5\u00a0mL"), []string{"well-", "known", "5\u00a0mL"}},
		{"characters are words", say("患者 ab"), []string{"ab", "患", "者"}},
		{"nothing", say("  \u200b "), nil},
	} {
		var got []string
		for _, w := range longest(c.spans) {
			got = append(got, textOf(w))
		}
		if diff := cmp.Diff(c.want, got); diff != "" {
			t.Errorf("%s: %s", c.name, diff)
		}
	}
}
