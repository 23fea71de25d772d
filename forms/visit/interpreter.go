package visit

import "strings"

// Interpreted says whether somebody who is named, or known to a service by a number, interprets at the visit
// between the patient and a clinic that works in a language (BCP 47): into the language that the patient asked for,
// otherwise the one that they speak. Where that is the clinic's own or nobody wrote it, any language counts:
// signs, for one who does not hear. Regions and scripts make no difference to what is spoken.
func (v Visit) Interpreted(p Patient, clinic string) bool {
	i := v.Interpreter
	if i == nil || strings.TrimSpace(i.Name+i.Number) == "" {
		return false
	}
	wanted := p.Interpreter.Language
	if wanted == "" {
		wanted = p.Speaks
	}
	if wanted == "" || primary(wanted) == primary(clinic) {
		return true
	}
	return primary(i.Language) == primary(wanted)
}

// primary is the primary language subtag of a BCP 47 tag.
func primary(tag string) string {
	first, _, _ := strings.Cut(strings.ToLower(tag), "-")
	return first
}
