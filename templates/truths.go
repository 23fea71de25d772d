package templates

import (
	"slices"
	"sort"
	"strings"

	"philtrum/forms/visit"
	"philtrum/locales"
)

// truths is the closed table of facts that conditions may name. Besides, "any_<list>" holds where a list
// has an item, and "has_<value>" where a value is known.
var truths = map[string]func(*Facts) bool{
	"demonstration":       func(f *Facts) bool { return f.Clinic.Demonstration },
	"on_screen":           func(f *Facts) bool { return f.Issue.Screen },
	"filled":              func(f *Facts) bool { return f.Issue.Filled },
	"draft":               func(f *Facts) bool { return f.Issue.Draft },
	"draft_beside":        func(f *Facts) bool { return f.Issue.DraftBeside },
	"reading_copy":        func(f *Facts) bool { return f.Issue.Reading != "" && f.Issue.Reading != SignedElsewhere },
	"lacks_interpreter":   func(f *Facts) bool { return f.Issue.Reading == LacksInterpreter },
	"signable":            func(f *Facts) bool { return f.Issue.Reading == "" },
	"review_moved":        func(f *Facts) bool { return f.reviewOn() != f.Visit.Plan.ReviewOn },
	"treated":             func(f *Facts) bool { return !f.treatedAt().IsZero() },
	"stopped_early":       func(f *Facts) bool { _, ok := f.state(visit.StoppedEarly); return ok },
	"withdrawn":           func(f *Facts) bool { _, ok := f.state(visit.Withdrawn); return ok },
	"reconfirmed":         func(f *Facts) bool { return f.given().Reconfirmed },
	"held":                func(f *Facts) bool { return f.Report.Held },
	"emergency":           func(f *Facts) bool { return f.Visit.Emergency },
	"reflection":          func(f *Facts) bool { return f.reflectionDays() > 0 },
	"reflection_consent":  func(f *Facts) bool { return f.Place.Reflection.Before == "consent" },
	"informed":            func(f *Facts) bool { _, ok := f.informed(); return ok },
	"explained":           func(f *Facts) bool { h, _ := f.informed(); return h.Explained },
	"place_known":         func(f *Facts) bool { return f.Place.Known },
	"identity_seen":       func(f *Facts) bool { return f.Visit.IdentitySeen != nil },
	"lidocaine":           func(f *Facts) bool { return f.Visit.Plan.Lidocaine },
	"needle":              func(f *Facts) bool { return slices.Contains(f.Visit.Plan.Instruments, "needle") },
	"cannula":             func(f *Facts) bool { return slices.Contains(f.Visit.Plan.Instruments, "cannula") },
	"interpreter_needed":  func(f *Facts) bool { return f.Patient.Interpreter.Needed || f.Visit.Interpreter != nil },
	"interpreter_attends": func(f *Facts) bool { return f.Visit.Interpreter != nil },
	"reads_none":          func(f *Facts) bool { return strings.EqualFold(f.Patient.Reads, "none") },
	"read_aloud":          func(f *Facts) bool { return slices.Contains(f.Patient.Needs, "read_aloud") },
	"dissolves": func(f *Facts) bool {
		all := f.products()
		for _, p := range all {
			if !p.Dissolves {
				return false
			}
		}
		return len(all) > 0
	},
	"many_asks":        func(f *Facts) bool { return len(asks(f)) > manyAsks },
	"few_to_ask":       func(f *Facts) bool { n := len(patientAsks(f)); return n > 0 && n <= 6 },
	"many_to_ask":      func(f *Facts) bool { return len(patientAsks(f)) > 6 },
	"open_stop":        func(f *Facts) bool { return slices.ContainsFunc(f.Report.Findings, openStop) },
	"open_decide":      func(f *Facts) bool { return slices.ContainsFunc(f.Report.Findings, openDecide) },
	"several_products": func(f *Facts) bool { return len(f.tally().byProduct) > 1 },
	"many_remarks":     func(f *Facts) bool { return len(recordFindings(f))+len(unreadItems(f)) > manyAsks },
	"few_boxes":        func(f *Facts) bool { n := len(findings(f, byPen)); return n > 0 && n <= 3 },
	"many_rows":        func(f *Facts) bool { return len(f.rows())+len(f.given().Syringes) > manyAsks },
	"elsewhere":        (*Facts).elsewhere,
	"other_emergency": func(f *Facts) bool {
		return f.elsewhere() && f.whereabouts().Emergency.Value != f.Place.Emergency.Value
	},
	"same_number":    func(f *Facts) bool { return f.Clinic.NightTelephone == f.Clinic.Telephone },
	"recall_certain": func(f *Facts) bool { return len(recalledUses(f)) > 0 },
}

const (
	anyOf         = "any_"
	hasOf         = "has_"
	otherLanguage = "other_language" // the clinic's language is another one; the composer knows
	bothLanguages = "side_by_side"   // the paper is in two languages; the composer knows
	oneDay        = "one_day"        // of a row of days
)

// factKnown says whether a condition may name the fact inside the lists.
func factKnown(name string, within []string) bool {
	if _, ok := truths[name]; ok || name == otherLanguage || name == bothLanguages {
		return true
	}
	if l, ok := strings.CutPrefix(name, anyOf); ok {
		return listKnown(l)
	}
	if v, ok := strings.CutPrefix(name, hasOf); ok {
		if _, known := valueKind(v, within); known {
			return true
		}
	}
	for _, l := range within {
		if slices.Contains(lists[l].facts, name) {
			return true
		}
	}
	return false
}

func factNames(within []string) []string {
	names := []string{otherLanguage, bothLanguages}
	for name := range truths {
		names = append(names, name)
	}
	for _, name := range valueNames(within) {
		names = append(names, hasOf+name)
	}
	for name, l := range lists {
		names = append(names, anyOf+name)
		if slices.Contains(within, name) {
			names = append(names, l.facts...)
		}
	}
	sort.Strings(names)
	return names
}

// valueKind finds the kind of a value by its name, inside the lists.
func valueKind(name string, within []string) (locales.Kind, bool) {
	for i := len(within) - 1; i >= 0; i-- {
		if k, ok := lists[within[i]].fields[name]; ok {
			return k, true
		}
	}
	v, ok := values[name]
	return v.kind, ok
}

func valueNames(within []string) []string {
	var names []string
	for name := range values {
		names = append(names, name)
	}
	for _, l := range within {
		for name := range lists[l].fields {
			names = append(names, name)
		}
	}
	sort.Strings(names)
	return names
}
