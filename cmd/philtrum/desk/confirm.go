package desk

import (
	"slices"
	"strconv"
	"strings"

	"philtrum/forms/source"
	"philtrum/forms/visit"
)

func count(n int) string {
	if n == 0 {
		return ""
	}
	return strconv.Itoa(n)
}

// Proof is how far the scan of a paper is.
type Proof struct {
	Paper visit.Paper
	visit.Evidence
	Superseded bool
}

// ProofOf says how far the scan of a paper of a visit is; the paper is a kind or a document id.
func (d *Desk) ProofOf(id, paper string) (Proof, source.Problems, error) {
	v, problems, err := d.readVisit(id)
	if err != nil || v.ID == "" {
		return Proof{}, problems, err
	}
	p, ok := paperOf(v, paper)
	if !ok {
		return Proof{}, one("attach.no_such_paper", "paper", paper), nil
	}
	return Proof{p, v.EvidenceOf(p), superseded(v, p)}, nil, nil
}

// Transcribed are the rules whose decisions still wait for the scan of a sheet.
func (d *Desk) Transcribed(id string) ([]string, error) {
	v, _, err := d.readVisit(id)
	var rules []string
	for _, decision := range v.Decisions {
		if v.AwaitsScan(decision) && !slices.Contains(rules, decision.Rule) {
			rules = append(rules, decision.Rule)
		}
	}
	return rules, err
}

// Confirmed is what Confirm has recorded, and what is worth saying of it.
type Confirmed struct {
	Proof
	Consented bool            // the consent now rests on this scan
	Notices   source.Problems // what does not fit together, kept all the same
}

// Confirm records that a person has compared the scan of a paper with the original. Every page must be there. A
// consent that is complete by it, and that nobody has recorded yet, is recorded as given when it was signed.
func (d *Desk) Confirm(id, paper string, c visit.Confirmation) (Confirmed, source.Problems, error) {
	proof, problems, err := d.ProofOf(id, paper)
	if err != nil || len(problems) > 0 {
		return Confirmed{}, problems, err
	}
	if found := d.isStaff(c.By); len(found) > 0 {
		return Confirmed{}, found, nil
	}
	if proof.Of == 0 || len(proof.Missing) > 0 {
		return Confirmed{}, one("attach.pages_missing", "pages", pageList(proof.Missing, proof.Of)), nil
	}
	c.Document, c.At = proof.Paper.Document, d.now()
	out := Confirmed{Proof: proof}
	problems, err = d.change(id, "confirmed", func(v visit.Visit) ([]source.Change, source.Problems) {
		changes := []source.Change{{Path: []string{"confirmed"}, Append: true, Value: c.Node()}}
		v.Confirmations = append(v.Confirmations, c)
		out.Evidence = v.EvidenceOf(proof.Paper)
		out.Notices = d.doubts(v, proof, c)
		if step, ok := d.rests(v, out.Proof, c); ok {
			out.Consented = true
			changes = append(changes, source.Change{Path: []string{"states"}, Append: true, Value: step.Node()})
		}
		return changes, nil
	})
	return out, problems, err
}

// rests is the step of the consent that a scan proves, where nobody has recorded it.
func (d *Desk) rests(v visit.Visit, p Proof, c visit.Confirmation) (visit.StateChange, bool) {
	if p.Paper.Kind != "consent" || p.Superseded || !p.Complete() || c.SignedAt.IsZero() {
		return visit.StateChange{}, false
	}
	if now := v.Consent(); now != visit.Planned && now != visit.Informed {
		return visit.StateChange{}, false
	}
	step := d.state(visit.Consented, c.By, "")
	step.At, step.Document, step.Covers = c.SignedAt.In(d.clinic.Zone), p.Paper.Document, v.Printed(p.Paper.Document)
	return step, true
}

// doubts are what does not fit together in a confirmation: it is kept, and a person is told.
func (d *Desk) doubts(v visit.Visit, p Proof, c visit.Confirmation) source.Problems {
	var doubts source.Problems
	if p.Superseded {
		doubts = append(doubts, source.Problem{ID: "attach.superseded"})
	}
	if c.SignedAt.After(d.at) {
		doubts = append(doubts, source.Problem{ID: "attach.signed_later"})
	}
	if handed, ok := v.HandedFirst("information"); p.Paper.Kind == "consent" && !c.SignedAt.IsZero() && (!ok || c.SignedAt.Before(handed.At)) {
		doubts = append(doubts, source.Problem{ID: "attach.signed_early"})
	}
	return doubts
}

// pageList writes the numbers of pages; all of them where nothing is there.
func pageList(missing []int, of int) string {
	if of == 0 {
		return "1…"
	}
	var words []string
	for _, n := range missing {
		words = append(words, strconv.Itoa(n))
	}
	return strings.Join(words, ", ")
}
