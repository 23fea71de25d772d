package templates

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"philtrum/locales"
	"philtrum/templates/layout"
)

// typed are the fields that hold sentences of the staff. They are not translated: in a paper of another
// language they are marked with theirs and, where an interpreter attends, as explained by them.
var typed = map[string]bool{
	"plan.wish": true, "plan.examination": true, "plan.anaesthetic": true, "plan.price": true, "decision.reason": true,
	"condition.note": true, "patient.alerts": true, "clinic.complaints": true, "clinic.price_includes": true, "clinic.price_review": true,
	"plan.volume_reason": true, "plan.examined.rest": true, "plan.examined.moving": true, "plan.examined.profile": true,
	"plan.examined.earlier_filler": true, "plan.examined.scars": true, "states.note": true, "guide.note": true,
	"treatment.reaction": true,
	"treatment.notes":    true, "treatment.asepsis": true, "review.words": true, "review.notes": true, "review.complaint": true,
}

// typedIn is the language of such a text as a BCP 47 tag, empty where it is the paper's own: that which the visit's
// file says, and otherwise the clinic's.
func (c *composer) typedIn(field, text string) string {
	if !typed[field] || c.marking || !sentence(text) {
		return ""
	}
	tag := c.facts.Visit.LanguageOf(text)
	if tag == "" && field == "plan.wish" && c.facts.wished(text) {
		return ""
	}
	if tag == "" {
		tag = c.paper.Clinic.Language().Region
	}
	if strings.HasPrefix(tag+"-", c.paper.Printer.Language().Tag+"-") {
		return ""
	}
	return tag
}

// typedMark follows such a text and names its language. The interpreter explains it to the patient; on a paper in the
// clinic's language nobody has to be told so.
func (c *composer) typedMark(tag string) []layout.Span {
	c.marking = true
	defer func() { c.marking = false }()
	id := "language.typed.alone"
	if c.facts.interpreter().Name != "" && c.paper.Clinic.Language().Tag != c.paper.Printer.Language().Tag {
		id = "language.typed.interpreted"
	}
	s := &scope{c: c}
	return s.message(id, locales.Args{"language": languageName(tag)}, false)
}

// unmarked are spans without the mark of a typed text at their end, and whether they end in such a text.
func unmarked(spans []layout.Span) ([]layout.Span, bool) {
	for i, s := range spans {
		if !typed[s.Field] {
			continue
		}
		rest := strings.TrimSpace(plain(spans[i+1:]))
		if rest == "" || s.Lang != "" && inBrackets(rest) {
			return spans[:i+1], true
		}
	}
	return spans, false
}

func inBrackets(s string) bool {
	first, last := strings.IndexAny(s, "(（"), strings.LastIndexAny(s, ")）")
	_, size := utf8.DecodeLastRuneInString(s)
	return first == 0 && last == len(s)-size
}

// wished says whether a text is what the patient answered, in their own words and language: nobody has to explain
// that to them.
func (f *Facts) wished(text string) bool {
	a, ok := f.Intake.Answer("wish")
	return ok && strings.TrimSpace(a.Value.Text) == strings.TrimSpace(text)
}

// sentence says whether a text has two words or more: a price, a number or one name says the same in every
// language.
func sentence(text string) bool {
	words := 0
	for _, word := range strings.Fields(text) {
		letters := 0
		for _, r := range word {
			if unicode.IsLetter(r) {
				letters++
			}
		}
		if letters > 1 || unicode.Is(unicode.Han, []rune(word)[0]) {
			words++
		}
	}
	return words > 1 || words == 1 && strings.ContainsFunc(text, func(r rune) bool { return unicode.Is(unicode.Han, r) })
}
