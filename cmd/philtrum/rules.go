package main

import (
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
	Visits   []string      `json:"visits,omitempty"`
	Outcomes []outcomeJSON `json:"outcomes"`
}

type outcomeJSON struct {
	Outcome   string            `json:"outcome"`
	Level     string            `json:"level"`
	Kind      string            `json:"kind,omitempty"`
	Scope     string            `json:"scope"`
	When      string            `json:"when"`
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
				s.explain(rule)
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
func (s *session) explain(rule screen.Explained) {
	line := func(id string, args locales.Args) { s.voice.result("  " + s.voice.text(id, args)) }
	s.voice.result(rule.ID + "  " + s.voice.text("rule."+rule.ID, nil))
	line("cmd.check.source", locales.Args{"source": locales.Text(rule.Citation), "trust": locales.Ref("cmd.trust." + rule.Trust)})
	for _, o := range rule.Outcomes {
		s.voice.result("")
		s.voice.result("  " + s.voice.text("cmd.level."+string(o.Level), nil) + "  (" + o.ID + ")")
		s.voice.result("    " + s.words("rule."+rule.ID+"."+o.ID, o.Finding()))
		s.voice.result("    " + s.words("rule."+rule.ID+"."+o.ID+".do", o.Finding()))
		line("cmd.rules.when", locales.Args{"condition": locales.Text(o.When)})
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

func (s *session) rulesJSON(list []screen.Explained) error {
	all := make([]ruleJSON, 0, len(list))
	for _, rule := range list {
		item := ruleJSON{Rule: rule.ID, Title: s.voice.text("rule."+rule.ID, nil), Source: rule.Citation, Trust: rule.Trust, Visits: rule.Visits}
		for _, o := range rule.Outcomes {
			out := outcomeJSON{
				Outcome: o.ID, Level: string(o.Level), Kind: string(o.Kind), Scope: string(rule.Scope), When: o.When,
				Text: s.words("rule."+rule.ID+"."+o.ID, o.Finding()), Do: s.words("rule."+rule.ID+"."+o.ID+".do", o.Finding()),
				Consent: o.Adds.Consent, Aftercare: o.Adds.Aftercare,
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
