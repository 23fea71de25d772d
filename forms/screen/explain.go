package screen

import (
	"slices"
	"strconv"
	"strings"

	"philtrum/forms/clinic"
)

// Explained is a rule with what a clinic has set for it.
type Explained struct {
	Rule
	Citation string // full text of its source
	Outcomes []ExplainedOutcome
}

// ExplainedOutcome is an outcome with the settings that it uses, in force at the clinic.
type ExplainedOutcome struct {
	Outcome
	Settings []InForce
}

// InForce is a setting of a policy with its value there.
type InForce struct {
	Key, Value string
	Kind       clinic.SettingKind
	window     clinic.Window
}

// Explain gives every rule with the thresholds, windows and choices in force under a policy.
func (r *Rules) Explain(policy clinic.Policy) []Explained {
	all := make([]Explained, 0, len(r.rules))
	for _, rule := range r.rules {
		e := Explained{Rule: rule, Citation: r.sources[rule.Source]}
		for _, o := range rule.Outcomes {
			o.Adds = o.Adds.messages()
			e.Outcomes = append(e.Outcomes, ExplainedOutcome{o, settings(o, policy)})
		}
		all = append(all, e)
	}
	return all
}

// window is the key of the window that an outcome tests by or that its words name, "" if none.
func (o *Outcome) window() string {
	if o.Test.Kind != NoTest {
		return o.Test.Window
	}
	return o.Window
}

// settings are what an outcome reads of the policy, each once, in the order of the names.
func settings(o Outcome, policy clinic.Policy) []InForce {
	var used []InForce
	if key := o.window(); key != "" {
		w := policy.Windows[key]
		used = append(used, InForce{key, w.String(), clinic.AWindow, w})
	}
	for _, name := range slices.Sorted(slices.Values(o.program.reads)) {
		if key, ok := strings.CutPrefix(name, "limit_"); ok {
			used = append(used, InForce{key, policy.Thresholds[key], clinic.AThreshold, clinic.Window{}})
		}
		if key, ok := strings.CutPrefix(name, "policy_"); ok {
			used = append(used, InForce{key, policy.Custom[key], clinic.AChoice, clinic.Window{}})
		}
	}
	return slices.Compact(used)
}

// Finding is a finding of the outcome under a policy, as an example: with the placeholders of its messages
// and nothing of a visit.
func (o ExplainedOutcome) Finding() Finding {
	f := Finding{Outcome: o.ID, Level: o.Level, WaitKind: o.Kind, Condition: o.Condition, Adds: o.Adds, Args: map[string]string{}}
	for _, s := range o.Settings {
		f.Args[s.Key] = s.Value
		if s.Kind == clinic.AWindow {
			w := spanOf(s.window)
			f.Args["days"], f.Args["months"] = strconv.Itoa(w.days), strconv.Itoa(w.months)
		}
	}
	return f
}
