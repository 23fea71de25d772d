package main

import (
	"encoding/json"

	"philtrum/cmd/philtrum/desk"
	"philtrum/forms/screen"
	"philtrum/forms/visit"
)

// checkJSON is one visit of `check --json`; README.md documents the keys.
type checkJSON struct {
	Visit       string        `json:"visit"`
	Kind        string        `json:"kind,omitempty"`
	Appointment string        `json:"appointment,omitempty"`
	Held        bool          `json:"held"`
	Earliest    string        `json:"earliest,omitempty"`
	HeldBy      string        `json:"held_by,omitempty"`
	Findings    []findingJSON `json:"findings"`
	Record      []recordJSON  `json:"record,omitempty"`
	Recalled    []problemJSON `json:"recalled,omitempty"`
	Problems    []problemJSON `json:"problems"`
}

// recordJSON is a finding of the record of a treatment.
type recordJSON struct {
	ID   string `json:"id"`
	Text string `json:"text"`
}

// findingJSON is a finding as programs read it. It names questions and rules, never an answer.
type findingJSON struct {
	Rule      string        `json:"rule"`
	Outcome   string        `json:"outcome,omitempty"`
	Level     string        `json:"level"`
	Kind      string        `json:"kind,omitempty"`
	Scope     string        `json:"scope"`
	Zone      string        `json:"zone,omitempty"`
	Open      bool          `json:"open"`
	Unknown   bool          `json:"unknown"`
	CouldBe   string        `json:"could_be,omitempty"`
	Missing   []missingJSON `json:"missing,omitempty"`
	Answers   []string      `json:"answers,omitempty"`
	Until     string        `json:"until,omitempty"`
	Condition bool          `json:"condition,omitempty"`
	DecidedBy string        `json:"decided_by,omitempty"`
	MetBy     string        `json:"met_by,omitempty"`
	Voided    bool          `json:"decision_voided,omitempty"`
	VoidWhy   string        `json:"voided_because,omitempty"`
	Scan      bool          `json:"awaits_scan,omitempty"`
	Text      string        `json:"text,omitempty"`
	Do        string        `json:"do,omitempty"`
	Source    string        `json:"source"`
	Trust     string        `json:"trust"`
}

type missingJSON struct {
	Question string `json:"question"`
	Why      string `json:"why"`
}

// checkedJSON prints for programs, with the same statuses as the print for people.
func (s *session) checkedJSON(d *desk.Desk, all []desk.Checked) error {
	list := make([]checkJSON, 0, len(all))
	held := false
	for _, checked := range all {
		item := checkJSON{Visit: checked.Visit, Findings: []findingJSON{}, Problems: s.voice.asJSON(checked.Problems)}
		recalled := checked.Recalled()
		item.Held = len(checked.Problems)+len(recalled) > 0 || checked.Report.Held
		held = held || item.Held
		item.Recalled = s.voice.asJSON(recalled)
		for _, x := range checked.Remarks() {
			item.Record = append(item.Record, recordJSON{x.ID, s.voice.text(x.ID, x.Args)})
		}
		if v := checked.Case.Visit; len(checked.Problems) == 0 {
			item.Kind, item.Appointment = string(v.Kind), v.Appointment.Format("2006-01-02T15:04:05Z07:00")
			item.HeldBy = checked.Report.HeldBy
			if !checked.Report.Earliest.IsZero() {
				item.Earliest = checked.Report.Earliest.String()
			}
		}
		for _, f := range checked.Report.Findings {
			item.Findings = append(item.Findings, s.findingJSON(d, checked.Case.Visit, f))
		}
		list = append(list, item)
		s.noteShown(d, checked)
	}
	if err := s.voice.json(list); err != nil {
		return err
	}
	if held {
		return ended{statusHeld}
	}
	return nil
}

func (s *session) findingJSON(d *desk.Desk, v visit.Visit, f screen.Finding) findingJSON {
	item := findingJSON{
		Rule: f.Rule, Outcome: f.Outcome, Level: string(f.Level), Kind: string(f.WaitKind), Scope: string(f.Scope),
		Zone: f.Zone, Open: f.Open(), Unknown: f.Unknown, Answers: f.Answers, Condition: f.Condition,
		Voided: f.Voided != nil, VoidWhy: string(f.VoidWhy), Source: s.sourceTitle(f.Source, d.Citation(f.Source)), Trust: f.Trust,
	}
	if f.Unknown {
		item.CouldBe = string(f.CouldBe)
	} else {
		item.Text = s.words("rule."+f.Rule+"."+f.Outcome, f)
		item.Do = s.words("rule."+f.Rule+"."+f.Outcome+".do", f)
	}
	for _, m := range f.Missing {
		item.Missing = append(item.Missing, missingJSON{m.Question, string(m.Why)})
	}
	if !f.Until.IsZero() {
		item.Until = f.Until.String()
	}
	if f.Decided != nil {
		item.DecidedBy = f.Decided.By
		item.Scan = v.AwaitsScan(*f.Decided)
	}
	if f.Met != nil {
		item.MetBy = f.Met.By
	}
	return item
}

// dumpChecked prints a stage's value for those who work on the tool: intake or findings.
func (s *session) dumpChecked(all []desk.Checked, stage string) error {
	for _, checked := range all {
		var value any
		switch stage {
		case "intake":
			value = checked.Case.Intake.Answers
		case "findings":
			value = checked.Report
		default:
			return wrongUse{"cmd.which_stage", nil}
		}
		text, err := json.MarshalIndent(value, "", "  ")
		if err != nil {
			return err
		}
		s.voice.result(string(text))
	}
	return nil
}
