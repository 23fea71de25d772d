package templates

import (
	"strings"
	"unicode"

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
	"treatment.notes":    true, "treatment.asepsis": true,
}

// typedMark follows such a text in a paper of another language.
func (c *composer) typedMark(field, text string) []layout.Span {
	if !typed[field] || c.marking || !sentence(text) || field == "plan.wish" && c.facts.wished(text) || c.paper.Clinic.Language().Tag == c.paper.Printer.Language().Tag {
		return nil
	}
	c.marking = true
	defer func() { c.marking = false }()
	id := "language.typed.alone"
	if c.facts.interpreter().Name != "" {
		id = "language.typed.interpreted"
	}
	s := &scope{c: c}
	return s.message(id, locales.Args{"language": languageName(c.paper.Clinic.Language().Tag)}, false)
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
