package visit

import (
	"slices"
)

var consentStates = []string{
	string(Planned), string(Informed), string(Consented), string(DeclinedBy), string(Withdrawn), string(StoppedEarly),
	string(Treated),
}

// follows lists the states that may come after each. Consent can be given anew after every refusal and
// withdrawal, a patient can be informed again at any time, and taking consent back never fails to follow.
var follows = map[ConsentState][]ConsentState{
	Planned:      {Planned, Informed, DeclinedBy, Withdrawn},
	Informed:     {Planned, Informed, Consented, DeclinedBy, Withdrawn},
	Consented:    {Planned, Informed, Consented, Withdrawn, StoppedEarly, Treated, DeclinedBy},
	DeclinedBy:   {Planned, Informed, Consented, DeclinedBy, Withdrawn},
	Withdrawn:    {Planned, Informed, Consented, DeclinedBy, Withdrawn},
	StoppedEarly: {Planned, Informed, Consented, StoppedEarly, Withdrawn},
	Treated:      {Planned, Informed, Withdrawn},
}

// ConsentNow is where a consent stands after all changes, taken in the order of their times; changes of
// the same minute keep the order of the file. Without any it is Planned. The findings name steps that do
// not follow from the one before, such as a treatment without consent: they are told, never mended.
func ConsentNow(changes []StateChange) (ConsentState, []Finding) {
	ordered := slices.Clone(changes)
	slices.SortStableFunc(ordered, func(a, b StateChange) int { return a.At.Compare(b.At) })
	now := Planned
	var found []Finding
	for _, c := range ordered {
		if !slices.Contains(follows[now], c.State) {
			found = append(found, Finding{ID: "check.consent_step", Span: c.Span,
				Args: map[string]any{"from": Word{"consent", string(now)}, "to": Word{"consent", string(c.State)}}})
		}
		now = c.State
	}
	return now, found
}

// Consent is where the visit's consent stands.
func (v Visit) Consent() ConsentState {
	state, _ := ConsentNow(v.States)
	return state
}

// Consented gives the last time of consent that nothing after it undid.
func (v Visit) Consented() (StateChange, bool) {
	ordered := slices.Clone(v.States)
	slices.SortStableFunc(ordered, func(a, b StateChange) int { return a.At.Compare(b.At) })
	for i := len(ordered) - 1; i >= 0; i-- {
		switch ordered[i].State {
		case Consented:
			return ordered[i], true
		case DeclinedBy, Withdrawn:
			return StateChange{}, false
		}
	}
	return StateChange{}, false
}

// HandedFirst gives the first time a paper of this kind was handed over: reflection runs from it.
func (v Visit) HandedFirst(kind string) (Handed, bool) {
	var first Handed
	for _, h := range v.Handed {
		if h.Paper == kind && !h.At.IsZero() && (first.At.IsZero() || h.At.Before(first.At)) {
			first = h
		}
	}
	return first, !first.At.IsZero()
}

// Standing lists the papers that no later paper supersedes, in the order of the file.
func (v Visit) Standing() []Paper {
	var standing []Paper
	for _, p := range v.Papers {
		superseded := slices.ContainsFunc(v.Papers, func(q Paper) bool {
			return q.Supersedes == p.Document && q.Document != p.Document
		})
		if p.Document == "" || !superseded {
			standing = append(standing, p)
		}
	}
	return standing
}
