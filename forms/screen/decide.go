package screen

import (
	"slices"
	"strings"
	"time"

	"philtrum/forms/clinic"
	"philtrum/forms/measure"
)

// settle finds the decision and the condition that belong to a finding. A decision counts if it judged
// these very answers, gives a reason, and its author's role allowed it on that day.
func (m *mind) settle(f *Finding) {
	for i := range m.Visit.Decisions {
		d := &m.Visit.Decisions[i]
		if d.Rule != f.Rule || d.Outcome != f.Outcome {
			continue
		}
		why := m.void(f, d.Digest, d.By, d.Reason, d.At)
		if why == "" && f.Role == clinic.RolePrescriber && (d.Saw == "" || d.SawAt.IsZero() || d.SawAt.After(d.At)) {
			why = VoidUnseen
		}
		switch {
		case why == "":
			f.Decided, f.Voided, f.VoidWhy = d, nil, ""
		case f.Decided == nil && (f.Voided == nil || why != VoidAnswers):
			f.Voided, f.VoidWhy = d, why
		}
	}
	// The law's conditions are facts of the record (the information handed over) and no one's word.
	if !f.Condition || f.Unknown || f.WaitKind == WaitLaw {
		return
	}
	for i := range m.Visit.Met {
		c := &m.Visit.Met[i]
		if c.Rule == f.Rule && c.Outcome == f.Outcome && m.void(f, c.Digest, c.By, "met", c.At) == "" {
			f.Met = c
		}
	}
}

// void says why a decision does not count, "" if it does.
func (m *mind) void(f *Finding, digest, by, reason string, at time.Time) VoidWhy {
	if digest != f.Digest {
		return VoidAnswers
	}
	if strings.TrimSpace(reason) == "" || at.IsZero() {
		return VoidReason
	}
	who, found := clinic.Find(m.Staff, by)
	if !found {
		return VoidPerson
	}
	if m.Clinic.Zone != nil {
		at = at.In(m.Clinic.Zone)
	}
	day := measure.DateOf(at, at.Location())
	roles := []clinic.Role{clinic.RolePrescriber}
	if f.Role != clinic.RolePrescriber {
		roles = append(roles, clinic.RoleInjector, clinic.RoleMedicalLead)
	}
	if !slices.ContainsFunc(roles, func(r clinic.Role) bool { return who.Can(r, day) }) {
		return VoidRole
	}
	return ""
}

// MayPrintConsent says whether the signing copy may be printed, and if not, the findings that forbid it: a
// stop, a dated wait that ends after the appointment, a question that was never asked or was left
// blank although its outcome could be a stop, and a review without a plan. All else becomes boxes above the signatures.
func (r Report) MayPrintConsent() (bool, []Finding) {
	var against []Finding
	for _, f := range r.Findings {
		if r.forbids(f) {
			against = append(against, f)
		}
	}
	return len(against) == 0, against
}

func (r Report) forbids(f Finding) bool {
	switch {
	case f.Rule == planlessRule:
		return true
	case f.Unknown:
		never := func(x Missing) bool { return x.Why == NotAsked || x.Why == IsBlank || x.Why == Defect }
		return f.CouldBe == Stop && slices.ContainsFunc(f.Missing, never)
	case f.Level == Stop:
		return true
	case f.Level == Wait && !f.Condition:
		return f.Open() && f.Until.After(r.Appointment)
	}
	return false
}

// MayPrintInformation says whether the information may be handed out: it is refused under the age floor.
func (r Report) MayPrintInformation() (bool, []Finding) {
	var against []Finding
	for _, f := range r.Findings {
		if f.refusesInformation && f.Level == Stop && !f.Unknown {
			against = append(against, f)
		}
	}
	return len(against) == 0, against
}

// Unanswered gathers the findings that hang on missing answers by question, in the order of the questions'
// ids: so that a list left blank is asked for once.
func (r Report) Unanswered() []Unanswered {
	at := map[Missing]int{}
	var out []Unanswered
	for _, f := range r.Findings {
		for _, missing := range f.Missing {
			i, ok := at[missing]
			if !ok {
				i = len(out)
				at[missing] = i
				out = append(out, Unanswered{Missing: missing, CouldBe: Inform})
			}
			out[i].Rules = append(out[i].Rules, f.Rule)
			if f.CouldBe.weight() < out[i].CouldBe.weight() {
				out[i].CouldBe = f.CouldBe
			}
		}
	}
	slices.SortStableFunc(out, func(a, b Unanswered) int { return strings.Compare(a.Question, b.Question) })
	return out
}

// Unanswered is a missing answer, the rules that wait for it and the heaviest level that it may bring.
type Unanswered struct {
	Missing
	Rules   []string
	CouldBe Level
}
