package screen

import (
	"sort"
	"strings"

	"philtrum/forms"
	"philtrum/forms/clinic"

	"cel.dev/cel-go/cel"
)

// variables are the names that conditions may use, with their types, sorted by name: every question but
// dates, the medicine classes, the policy's choices and thresholds, and the facts of a case.
//
// Numbers are whole thousandths ("inr > limit_inr_highest"): the language has no decimals.
func (r *Rules) variables() map[string]*cel.Type {
	vars := map[string]*cel.Type{}
	for _, q := range r.asked {
		if t := celType(q.Kind); t != nil && q.entry == "" {
			vars[q.ID] = t
		}
	}
	for _, prefix := range append([]string{"takes", "several"}, r.meds...) {
		for _, class := range r.classes {
			vars[prefix+"_"+class] = cel.BoolType
		}
		vars[prefix+"_unrecognised"] = cel.BoolType
	}
	for _, s := range clinic.Settings() {
		switch s.Kind {
		case clinic.AThreshold:
			vars["limit_"+s.Key] = cel.IntType
		case clinic.AChoice:
			vars["policy_"+s.Key] = cel.StringType
		}
	}
	for name, t := range facts {
		vars[name] = t
	}
	return vars
}

// facts are what a case says besides answers. README.md explains each.
var facts = map[string]*cel.Type{
	"age": cel.IntType, "age_floor": cel.IntType, "place": cel.StringType, "place_known": cel.BoolType,
	"first_treatment": cel.BoolType, "repeat_treatment": cel.BoolType, "same_day": cel.BoolType,
	"information_handed": cel.BoolType, "reflection_days": cel.IntType, "reflection_by_law": cel.BoolType,
	"lidocaine_planned": cel.BoolType, "bacterial_product": cel.BoolType, "identity_seen": cel.BoolType,
	"language_differs": cel.BoolType, "interpreter_needed": cel.BoolType, "interpreter_present": cel.BoolType,
	"interpreter_qualified": cel.BoolType, "inr_known": cel.BoolType, "plan_made": cel.BoolType,
	"earlier_hyaluronidase": cel.BoolType, "earlier_stings": cel.BoolType, "earlier_severe": cel.BoolType,
	"earlier_anaesthetic": cel.BoolType, "earlier_materials": cel.BoolType,
	"dissolved_here": cel.BoolType, "answer_improved": cel.BoolType, "answer_contradicts": cel.BoolType,
	"consent_too_early": cel.BoolType, "consent_before_information": cel.BoolType,
	"kit_hyaluronidase": cel.BoolType, "kit_adrenaline": cel.BoolType,
}

// volatile facts change from day to day by themselves and are no part of what a decision judged.
var volatile = map[string]bool{"age": true, "same_day": true, "answer_improved": true}

func celType(k forms.Kind) *cel.Type {
	switch k {
	case forms.YesNo:
		return cel.BoolType
	case forms.OneOf, forms.Text:
		return cel.StringType
	case forms.SomeOf:
		return cel.ListType(cel.StringType)
	case forms.Number:
		return cel.IntType
	}
	return nil
}

// eachVariables are the fields of an entries question as a rule that judges each entry names them.
func eachVariables(q *forms.Question) map[string]*cel.Type {
	vars := map[string]*cel.Type{"each_in_plan": cel.BoolType, "each_ours": cel.BoolType, "each_same_course": cel.BoolType}
	for _, f := range q.Fields {
		if t := celType(f.Kind); t != nil {
			vars["each_"+f.FieldName()] = t
		}
	}
	return vars
}

// fieldVariables are the fields of an entry as the conditions of its own fields name them.
func fieldVariables(q *forms.Question) map[string]*cel.Type {
	vars := map[string]*cel.Type{}
	for _, f := range q.Fields {
		if t := celType(f.Kind); t != nil {
			vars[f.FieldName()] = t
		}
	}
	return vars
}

// newEnv is the language without variables: has() is left out, because it would tell "unknown" from
// "no"; so are the macros that build maps.
func newEnv() (*cel.Env, error) {
	return cel.NewCustomEnv(cel.StdLib(), cel.ClearMacros(), cel.Macros(cel.AllMacro, cel.ExistsMacro, cel.FilterMacro))
}

func declare(vars map[string]*cel.Type) []cel.EnvOption {
	names := make([]string, 0, len(vars))
	for name := range vars {
		names = append(names, name)
	}
	sort.Strings(names)
	options := make([]cel.EnvOption, 0, len(names))
	for _, name := range names {
		options = append(options, cel.Variable(name, vars[name]))
	}
	return options
}

// index lists the questions of the form and the fields of its entries.
func (r *Rules) index() {
	r.byID = map[string]*question{}
	add := func(q *question) {
		r.asked = append(r.asked, q)
		r.byID[q.ID] = q
	}
	for _, q := range r.form.Questions() {
		add(&question{Question: q})
		if q.Kind == forms.Medicines {
			r.meds = append(r.meds, q.ID)
		}
		for _, f := range q.Fields {
			add(&question{Question: f, entry: q.ID})
		}
	}
}

// questionsOf are the questions behind a variable; none for facts.
func (r *Rules) questionsOf(name, forEach string) []string {
	if q, ok := r.byID[name]; ok {
		return []string{q.ID}
	}
	if strings.HasPrefix(name, "each_") {
		return []string{forEach}
	}
	if strings.HasPrefix(name, "takes_") || strings.HasPrefix(name, "several_") {
		return r.meds
	}
	for _, m := range r.meds {
		if strings.HasPrefix(name, m+"_") {
			return []string{m}
		}
	}
	return nil
}
