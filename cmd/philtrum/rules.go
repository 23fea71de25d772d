package main

import (
	"strings"

	"github.com/spf13/cobra"

	"philtrum/forms/screen"
	"philtrum/locales"
)

// ruleJSON is a rule of `rules --json`; README.md documents the keys.
type ruleJSON struct {
	Rule     string        `json:"rule"`
	Title    string        `json:"title"`
	Source   string        `json:"source"`
	Trust    string        `json:"trust"`
	Row      string        `json:"row,omitempty"`
	Why      string        `json:"why,omitempty"`
	Conflict string        `json:"conflict,omitempty"`
	Role     string        `json:"decided_by"`
	Visits   []string      `json:"visits,omitempty"`
	Outcomes []outcomeJSON `json:"outcomes"`
}

type outcomeJSON struct {
	Outcome   string            `json:"outcome"`
	Level     string            `json:"level"`
	Kind      string            `json:"kind,omitempty"`
	Scope     string            `json:"scope"`
	When      string            `json:"when"`
	Test      string            `json:"test,omitempty"` // since, ahead, older
	Date      string            `json:"date,omitempty"`
	Window    string            `json:"window,omitempty"`
	Text      string            `json:"text"`
	Do        string            `json:"do"`
	Settings  map[string]string `json:"settings,omitempty"`
	Consent   []string          `json:"consent,omitempty"`
	Aftercare []string          `json:"aftercare,omitempty"`
}

// newRules lists the rules in force here, or explains one in full.
func (s *session) newRules() *cobra.Command {
	var asJSON bool
	c := s.command("rules [RULE]", func(_ *cobra.Command, args []string) error {
		d, err := s.desk()
		if err != nil {
			return err
		}
		rules, problems := d.Rules()
		if len(problems) > 0 {
			return s.refuse(d, problems)
		}
		list := rules.Explain(d.Clinic().Policy)
		if len(args) > 0 {
			if list = pick(list, args[0]); len(list) == 0 {
				return wrongUse{"cmd.rules.which", locales.Args{"rule": locales.Text(args[0])}}
			}
		}
		if asJSON {
			return s.rulesJSON(list)
		}
		for _, rule := range list {
			if len(args) > 0 {
				reflection, problems := d.ReflectionDays()
				if len(problems) > 0 {
					return s.refuse(d, problems)
				}
				s.explain(rule, reflection)
				continue
			}
			s.voice.result(rule.ID + "\t" + s.voice.text("rule."+rule.ID, nil))
		}
		return nil
	})
	c.Flags().BoolVar(&asJSON, "json", false, s.voice.text("cmd.flag.json", nil))
	return c
}

func pick(list []screen.Explained, id string) []screen.Explained {
	for _, rule := range list {
		if rule.ID == id {
			return []screen.Explained{rule}
		}
	}
	return nil
}

// explain prints a rule in full: what it asks, what follows, what it prints, where it comes from.
func (s *session) explain(rule screen.Explained, reflection int) {
	line := func(id string, args locales.Args) { s.voice.result("  " + s.voice.text(id, args)) }
	s.voice.result(rule.ID + "  " + s.voice.text("rule."+rule.ID, nil))
	if why := "rule." + rule.ID + ".why"; s.voice.printer.Has(why) {
		line("cmd.rules.why", locales.Args{"why": locales.Ref(why)})
	}
	line("cmd.check.source", locales.Args{"source": locales.Text(s.sourceTitle(rule.Source, rule.Citation)), "trust": locales.Ref("cmd.trust." + rule.Trust)})
	if rule.Conflict != "" {
		line("cmd.rules.conflict", locales.Args{"conflict": locales.Ref("rule.conflict." + rule.Conflict)})
	}
	line("cmd.rules.role."+string(rule.Role), nil)
	line("cmd.rules.visits", locales.Args{"visits": s.visitKinds(rule.Visits)})
	for _, o := range rule.Outcomes {
		s.voice.result("")
		s.voice.result("  " + s.levelWords(o.Outcome) + "  (" + o.ID + ")")
		s.voice.result("    " + s.words("rule."+rule.ID+"."+o.ID, o.Finding()))
		s.voice.result("    " + s.words("rule."+rule.ID+"."+o.ID+".do", o.Finding()))
		line("cmd.rules.when", locales.Args{"condition": locales.Text(o.When)})
		if o.Test.Kind != screen.NoTest {
			line("cmd.rules.test."+string(o.Test.Kind), locales.Args{"date": s.dateWords(rule, o.Test.Date), "window": locales.Text(o.Test.Window)})
		}
		if o.Test.Window == "reflection" {
			line("cmd.rules.reflection", locales.Args{"n": locales.Count(reflection)})
		}
		for _, setting := range o.Settings {
			line("cmd.rules.setting", locales.Args{"key": locales.Text(setting.Key), "value": locales.Text(setting.Value)})
		}
		for _, id := range o.Adds.Consent {
			line("cmd.rules.consent", locales.Args{"text": locales.Ref(id)})
		}
		for _, id := range o.Adds.Aftercare {
			line("cmd.rules.aftercare", locales.Args{"text": locales.Ref(id)})
		}
	}
}

// levelWords is the weight of an outcome; of a wait, also whether it may be ended early.
func (s *session) levelWords(o screen.Outcome) string {
	level := s.voice.text("cmd.level."+string(o.Level), nil)
	if o.Level != screen.Wait {
		return level
	}
	return level + ", " + s.voice.text("cmd.rules.wait."+string(o.Kind), nil)
}

// dateWords is a date that a rule tests: a question's words, or those of a date that no question gives.
func (s *session) dateWords(rule screen.Explained, name string) locales.Value {
	if field, each := strings.CutPrefix(name, "each_"); each {
		name = rule.ForEach + "." + field
	}
	if id := "cmd.rules.date." + name; s.voice.printer.Has(id) {
		return locales.Ref(id)
	}
	return s.question(name)
}

// visitKinds are the kinds of visit that a rule judges; "emergency" is dissolving in an emergency.
func (s *session) visitKinds(kinds []string) locales.Value {
	values := make([]locales.Value, len(kinds))
	for i, kind := range kinds {
		values[i] = locales.Ref("term.visit." + kind)
		if kind == "emergency" {
			values[i] = locales.Ref("cmd.rules.emergency")
		}
	}
	return locales.List(values...)
}

func (s *session) rulesJSON(list []screen.Explained) error {
	all := make([]ruleJSON, 0, len(list))
	for _, rule := range list {
		item := ruleJSON{Rule: rule.ID, Title: s.voice.text("rule."+rule.ID, nil), Source: s.sourceTitle(rule.Source, rule.Citation), Trust: rule.Trust, Visits: rule.Visits}
		item.Row, item.Role = rule.Row, string(rule.Role)
		if why := "rule." + rule.ID + ".why"; s.voice.printer.Has(why) {
			item.Why = s.voice.text(why, nil)
		}
		if rule.Conflict != "" {
			item.Conflict = s.voice.text("rule.conflict."+rule.Conflict, nil)
		}
		for _, o := range rule.Outcomes {
			out := outcomeJSON{
				Outcome: o.ID, Level: string(o.Level), Kind: string(o.Kind), Scope: string(rule.Scope), When: o.When,
				Text: s.words("rule."+rule.ID+"."+o.ID, o.Finding()), Do: s.words("rule."+rule.ID+"."+o.ID+".do", o.Finding()),
				Test: string(o.Test.Kind), Date: o.Test.Date, Window: o.Test.Window, Consent: o.Adds.Consent, Aftercare: o.Adds.Aftercare,
			}
			for _, setting := range o.Settings {
				if out.Settings == nil {
					out.Settings = map[string]string{}
				}
				out.Settings[setting.Key] = setting.Value
			}
			item.Outcomes = append(item.Outcomes, out)
		}
		all = append(all, item)
	}
	return s.voice.json(all)
}
