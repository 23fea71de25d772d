package visit

import (
	"errors"
	"regexp"

	"philtrum/forms/anaesthetic"
	"philtrum/forms/measure"
)

// Anaesthesia puts the local anaesthetic of the session beside the limits that regulators publish for the
// patient's weight, every source counted: what was injected, what was put on the skin, and what the filler
// holds. content gives what a product line holds in mg per mL, "" for none. It states and refuses nothing.
func (g Given) Anaesthesia(content func(product string) string) []Finding {
	sources := g.sources(content)
	if len(sources) == 0 {
		return nil
	}
	sum, err := anaesthetic.Published().Add(g.Weight, sources)
	switch {
	case errors.Is(err, anaesthetic.ErrNoWeight) && len(g.Anaesthetics) == 0:
		return nil // filler alone is not what people are weighed for
	case errors.Is(err, anaesthetic.ErrNoWeight):
		return []Finding{{ID: "check.anaesthetic_no_weight", Args: map[string]any{}, Span: g.Span}}
	case err != nil:
		return []Finding{{ID: "check.anaesthetic_weight", Args: map[string]any{}, Span: g.Span}}
	}
	var found []Finding
	for _, s := range sum.Shares {
		found = append(found, Finding{ID: "check.anaesthetic." + s.Limit.ID, Span: g.Span,
			Args: map[string]any{"given": s.Given, "most": s.Most, "weight": g.Weight.String()}})
	}
	percent := map[string]any{"percent": sum.Percent()}
	switch {
	case sum.Above():
		found = append(found, Finding{ID: "check.anaesthetic_above", Args: percent, Span: g.Span})
	case len(sum.Shares) > 0:
		found = append(found, Finding{ID: "check.anaesthetic_sum", Args: percent, Span: g.Span})
	}
	if sum.Uncounted > 0 {
		found = append(found, Finding{ID: "check.anaesthetic_uncounted", Args: map[string]any{"n": sum.Uncounted}, Span: g.Span})
	}
	return found
}

// sources are all sources of the session: what was recorded as given, and the lidocaine of each filler row.
func (g Given) sources(content func(product string) string) []anaesthetic.Source {
	var all []anaesthetic.Source
	for _, a := range g.Anaesthetics {
		dose := a.Dose
		if dose.IsZero() {
			dose = doseOf(a.Volume, a.Strength+" "+a.Substance)
		}
		all = append(all, anaesthetic.Source{Written: a.Substance + " " + a.Form + " " + a.Strength, Dose: dose})
	}
	for _, row := range g.Rows {
		if strength := content(row.Product); strength != "" {
			all = append(all, anaesthetic.Source{Written: "lidocaine", Dose: doseOf(row.Volume, strength+" mg/mL")})
		}
	}
	return all
}

var (
	percentPattern = regexp.MustCompile(`([0-9]+(?:[.,][0-9]+)?) ?%`)
	perMLPattern   = regexp.MustCompile(`([0-9]+(?:[.,][0-9]+)?) ?mg/m[lL]`)
)

// doseOf is what a volume of a solution holds, by its strength as written ("2 %", "20 mg/mL"); none where the
// strength cannot be told or is that of a mixture.
func doseOf(v measure.Volume, strength string) measure.Dose {
	percent, perML := percentPattern.FindAllStringSubmatch(strength, -1), perMLPattern.FindAllStringSubmatch(strength, -1)
	if len(percent)+len(perML) != 1 {
		return measure.Dose{}
	}
	if len(perML) == 1 {
		content, err := measure.ParseDose(perML[0][1])
		if err != nil {
			return measure.Dose{}
		}
		return measure.DoseIn(v, content.Milligrams())
	}
	content, err := measure.ParseDose(percent[0][1])
	if err != nil {
		return measure.Dose{}
	}
	return measure.DoseIn(v, content.Milligrams().Shift(1)) // 1 % is 10 mg per mL
}
