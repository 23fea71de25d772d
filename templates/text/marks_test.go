package text

import (
	"testing"

	"philtrum/templates/layout"
)

// Full-width marks that meet leave no gap of a sign's width; a mark beside a letter keeps its own.
func TestMeetingMarksCloseUp(t *testing.T) {
	for _, c := range []struct {
		lang, text string
		halves     int // of an em, that the text is wide
	}{
		{"zh-Hans", "前（签）：", 9}, {"zh-Hans", "书。（不", 7}, {"zh-Hans", "（「是", 5}, {"zh-Hans", "签，不", 6},
		{"zh-Hans", "。。。", 4}, {"ja", "は「い」。", 9}, {"zh-Hans", "签（不）是", 10},
	} {
		e := NewEngine()
		spans := [][]layout.Span{{plainSpan(c.text)}}
		for i := range c.text {
			if i > 0 {
				spans = append(spans, []layout.Span{plainSpan(c.text[:i]), {Text: c.text[i:], Value: true}})
			}
		}
		for _, s := range spans {
			line := e.NewSetter(Options{Lang: c.lang}).Lines(layout.Request{Lang: c.lang, Spans: s, Size: 10 * layout.Pt})[0]
			if want := layout.Length(c.halves) * 5 * layout.Pt; line.Width != want || line.Text != c.text {
				t.Errorf("%s %q in %d spans: %d wide, want %d", c.lang, c.text, len(s), line.Width, want)
			}
		}
	}
}
