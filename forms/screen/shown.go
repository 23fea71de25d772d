package screen

import (
	"slices"
	"time"

	"philtrum/forms"
	"philtrum/forms/visit"
)

// Shows are the answers behind the findings of a report that a visit has no note of yet: what has to be
// noted once somebody was shown the report. Of what is unknown, unsure or blank nothing is noted, because to
// answer an open question is no change; nor of a finding that says that an answer was changed.
func (r Report) Shows(c Case, at time.Time) []visit.Shown {
	var fresh []visit.Shown
	for _, f := range r.Findings {
		if f.Unknown || f.Rule == improvedRule || f.Rule == contradictsRule {
			continue
		}
		for _, id := range f.Answers {
			if a, answered := c.Intake.Answers[id]; !answered || a.State != forms.Given {
				continue
			}
			s := visit.Shown{Question: id, Digest: visit.DigestOf(c.Visit.Salt, c.Intake.Answers, id), At: at}
			same := func(x visit.Shown) bool { return x.Question == s.Question && x.Digest == s.Digest }
			if !slices.ContainsFunc(c.Visit.Shown, same) && !slices.ContainsFunc(fresh, same) {
				fresh = append(fresh, s)
			}
		}
	}
	return fresh
}
