package desk

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"strings"
	"time"

	"philtrum/forms/screen"
	"philtrum/forms/source"
	"philtrum/forms/visit"
)

// errUnchanged leaves a file as it is: the problems say why.
var errUnchanged = errors.New("unchanged")

// change edits a visit's file: build says what changes once the file's present state is known. The new text
// must read without problems, or nothing is written and the problems come back.
func (d *Desk) change(id, what string, build func(visit.Visit) ([]source.Change, source.Problems)) (source.Problems, error) {
	name, err := d.folder.VisitFile(id)
	if err != nil {
		return nil, ErrNoVisit
	}
	return d.changeWith(id, name, what, func(v visit.Visit, _ *source.Node) ([]source.Change, source.Problems) { return build(v) })
}

// changeWith is change for what has to see the file's text as well.
func (d *Desk) changeWith(id, name, what string, build func(visit.Visit, *source.Node) ([]source.Change, source.Problems)) (source.Problems, error) {
	var problems source.Problems
	batch := d.folder.Batch(d.at)
	batch.Update(name, func(old []byte) ([]byte, error) {
		node, found := source.Parse(name, old)
		if problems = found; len(problems) > 0 {
			return nil, errUnchanged
		}
		reader := &source.Reader{}
		v := visit.Read(node, reader, d.clinic.Zone)
		changes, found := build(v, node)
		if problems = append(problems, found...); len(problems) > 0 {
			return nil, errUnchanged
		}
		edited, found := source.Edit(name, old, changes...)
		if len(found) == 0 {
			edited, found = d.withLanguages(name, edited, v)
		}
		if problems = found; len(problems) > 0 {
			return nil, errUnchanged
		}
		return edited, nil
	})
	batch.EnterFile(what, id, name)
	err := batch.Commit()
	if len(problems) > 0 {
		return problems, nil
	}
	return nil, err
}

// create writes a new file with its entry in the journal.
func (d *Desk) create(name, what, subject string, data []byte) error {
	batch := d.folder.Batch(d.at)
	batch.Create(name, data)
	batch.EnterFile(what, subject, name)
	return batch.Commit()
}

// digest is the SHA-256 of a file, in hexadecimal.
func digest(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

// now is the desk's moment as files keep it: to the second, in the clinic's zone.
func (d *Desk) now() time.Time { return d.at.In(d.clinic.Zone).Truncate(time.Second) }

// Decision is what a practitioner decides on a finding.
type Decision struct {
	Rule, Outcome, Reason, By string
	Transcribed               string    // who signed the sheet that it is copied from
	Saw                       string    // how a prescriber saw the patient, one of visit.Modes
	SawAt                     time.Time // and when; the zero time is now
}

// Decide records a decision on an open finding of the visit, with the digest of the answers it judged. The
// finding must be one that can be decided; problems say why not.
func (d *Desk) Decide(id string, decision Decision) (source.Problems, error) {
	finding, problems, err := d.Finding(id, decision.Rule, decision.Outcome)
	if err != nil || len(problems) > 0 {
		return problems, err
	}
	if !canBeDecided(finding) {
		return one("problem.cannot_be_decided", "rule", decision.Rule), nil
	}
	if strings.TrimSpace(decision.Reason) == "" {
		return one("problem.no_reason", "rule", decision.Rule), nil
	}
	if found := d.mayDecide(decision.By, finding); len(found) > 0 {
		return found, nil
	}
	if decision.SawAt.IsZero() && decision.Saw != "" {
		decision.SawAt = d.now()
	}
	if found := d.hasSeen(decision, finding); len(found) > 0 {
		return found, nil
	}
	return d.change(id, "decided", func(visit.Visit) ([]source.Change, source.Problems) {
		return []source.Change{{Path: []string{"decisions"}, Append: true, Value: visit.Decision{
			Rule: finding.Rule, Outcome: finding.Outcome, Reason: decision.Reason, By: decision.By,
			At: d.now(), Digest: finding.Digest, Transcribed: decision.Transcribed,
			Saw: decision.Saw, SawAt: decision.SawAt,
		}.Node()}}, nil
	})
}

// Finding evaluates the visit and picks the finding that a person means; an empty outcome is the one that
// stands.
func (d *Desk) Finding(id, rule, outcome string) (screen.Finding, source.Problems, error) {
	checked, err := d.Check(id)
	if err != nil || len(checked.Problems) > 0 {
		return screen.Finding{}, checked.Problems, err
	}
	for _, f := range checked.Report.Findings {
		if f.Rule == rule && (outcome == "" || f.Outcome == outcome) {
			return f, nil, nil
		}
	}
	return screen.Finding{}, one("problem.no_such_finding", "rule", rule), nil
}

// one is a single problem that belongs to no line of a file.
func one(id string, pairs ...any) source.Problems {
	args := map[string]any{}
	for i := 0; i+1 < len(pairs); i += 2 {
		args[pairs[i].(string)] = pairs[i+1]
	}
	return source.Problems{{ID: id, Args: args}}
}
