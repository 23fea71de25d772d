package screen_test

import (
	"os"
	"strings"
	"testing"

	"philtrum/forms"
	"philtrum/forms/screen"
	"philtrum/forms/source"
)

// row is what makes an outcome apply and what lies just outside; also are further pairs of the same outcome.
type row struct {
	set, outside, with, until *source.Node
	also                      []row
}

// fixtures are a visit inside and one just outside.
func (c row) fixtures(t testing.TB, more *source.Node) (inside, outside *fixture) {
	t.Helper()
	inside, outside = healthy(t), healthy(t)
	for _, n := range []*source.Node{more, c.with} {
		inside.apply(t, n)
		outside.apply(t, n)
	}
	inside.apply(t, c.set)
	outside.apply(t, c.outside)
	return inside, outside
}

func rows(t testing.TB) map[string]row {
	t.Helper()
	root := parsed("outcomes.yaml")
	r := &source.Reader{}
	out := map[string]row{}
	for _, k := range r.Entries(root) {
		f := r.Fields(k.Value, "set", "outside", "with", "until", "also")
		c := row{set: f.Need("set"), outside: f.Need("outside"), with: f.Get("with"), until: f.Get("until")}
		for _, item := range r.List(f.Get("also")) {
			g := r.Fields(item, "set", "outside", "with")
			c.also = append(c.also, row{set: g.Need("set"), outside: g.Need("outside"), with: g.Get("with")})
		}
		out[k.Name] = c
	}
	if err := r.Problems().Err(); err != nil {
		t.Fatal(err)
	}
	return out
}

// evaluate judges a healthy adult with changes.
func evaluate(t testing.TB, rules *screen.Rules, changes ...*source.Node) screen.Report {
	t.Helper()
	f := healthy(t)
	for _, n := range changes {
		f.apply(t, n)
	}
	return rules.Evaluate(f.ready(t))
}

func find(r screen.Report, rule, outcome string, unknown bool) *screen.Finding {
	for i := range r.Findings {
		f := &r.Findings[i]
		if f.Rule == rule && (outcome == "" || f.Outcome == outcome) && f.Unknown == unknown {
			return f
		}
	}
	return nil
}

func TestAHealthyAdultIsNotHeld(t *testing.T) {
	report := evaluate(t, load(t))
	for _, f := range report.Findings {
		t.Errorf("%s.%s %s %v", f.Rule, f.Outcome, f.Level, f.Missing)
	}
	if report.Held {
		t.Error("held")
	}
	if ok, _ := report.MayPrintConsent(); !ok {
		t.Error("the consent may not be printed")
	}
}

// Every outcome has a row; each applies with what the row sets and does not with what lies just outside.
func TestEveryOutcomeAppliesAndNotJustOutside(t *testing.T) {
	rules, table := load(t), rows(t)
	for _, rule := range rules.All() {
		for _, o := range rule.Outcomes {
			name := rule.ID + "." + o.ID
			c, ok := table[name]
			if !ok {
				t.Errorf("%s has no row", name)
				continue
			}
			t.Run(name, func(t *testing.T) {
				f := find(evaluate(t, rules, c.with, c.set), rule.ID, o.ID, false)
				if f == nil {
					t.Fatal("does not apply")
				}
				if f.Level != o.Level || f.Source == "" || f.Trust == "" {
					t.Errorf("%+v", f)
				}
				if c.until != nil && f.Until != date(t, c.until.Text) {
					t.Errorf("until %v, want %s", f.Until, c.until.Text)
				}
				for i, one := range append([]row{c}, c.also...) {
					inside, outside := one.fixtures(t, c.with)
					if find(rules.Evaluate(inside.ready(t)), rule.ID, o.ID, false) == nil {
						t.Errorf("does not apply, pair %d", i+1)
					}
					if find(rules.Evaluate(outside.ready(t)), rule.ID, o.ID, false) != nil {
						t.Errorf("applies just outside, pair %d", i+1)
					}
				}
			})
			delete(table, name)
		}
	}
	for name := range table {
		t.Errorf("a row %s without an outcome", name)
	}
}

// With any answer of a row unsure, declined, blank or not asked, its rule still speaks: at least as an
// unknown that names a question, unless the remaining answers settle it.
func TestMissingAnswersAreUnknownNeverNo(t *testing.T) {
	rules, table := load(t), rows(t)
	for _, rule := range rules.All() {
		for _, o := range rule.Outcomes {
			c := table[rule.ID+"."+o.ID]
			if c.set == nil || o.Level == screen.Inform && rule.Visits[0] == "emergency" {
				continue
			}
			for _, k := range c.set.Keys {
				if strings.HasPrefix(k.Name, "@") || rule.ID == "answers.contradict" {
					continue
				}
				for _, state := range []string{"unsure", "declined", "blank", ""} {
					f := healthy(t)
					f.apply(t, c.with)
					f.apply(t, c.set)
					f.set(k.Name, nil)
					if state != "" {
						f.set(k.Name, source.Text(state))
					}
					report := rules.Evaluate(f.ready(t))
					unknown := find(report, rule.ID, "", true)
					speaks := find(report, rule.ID, "", false) // another outcome, as heavy, that still holds
					if unknown == nil && find(report, rule.ID, o.ID, false) == nil && (speaks == nil || !speaks.Open() || speaks.Level != o.Level) {
						t.Errorf("%s.%s: %s %q is taken for no", rule.ID, o.ID, k.Name, state)
					}
					if unknown != nil && (len(unknown.Missing) == 0 || unknown.CouldBe == "") {
						t.Errorf("%s.%s: %s %q names no question", rule.ID, o.ID, k.Name, state)
					}
					if !report.Held {
						t.Errorf("%s.%s: %s %q does not hold", rule.ID, o.ID, k.Name, state)
					}
				}
			}
		}
	}
}

// The screening topics that the rules carry out: all of them.
func TestEveryRowOfTheFactSheetHasARule(t *testing.T) {
	want := strings.Fields(`AGE-U18-EN AGE-ID AGE-U18-SC AGE-U18-SE/DK AGE-U18-AU AGE-U18-OTHER AGE-18-21 CAPACITY VOLUNTARY
		LANG-INTERP COOL-SE COOL-DK COOL-UK COOL-AU-ADULT COOL-FR CONSENT-WHO BDD PSY-UNREAL CHAPERONE EVENT FLIGHT PREG
		PREG-MAYBE BREASTFEED ANAPH ALL-HA ALL-GPOS ALL-LIDO ALL-SULF ALL-HYAL ALL-STING ALL-CHX POR METHB HEART LIVER
		BETA ANTIARR EPIL VASOVAG BLEED-DIS VKA INR-HIGH DOAC HEP ANTIPL-RX ANTIPL-DUAL ASA-SELF NSAID NSAID-RX SSRI SUPP
		ALCOHOL HSV-ACTIVE HSV-HIST INFECT-SITE INFECT-SYS DENTAL-ABSC DENTAL-PAST DENTAL-PLAN VACC AUTOIMM AUTOIMM-THY
		IMMSUP CHECKPOINT INTERFERON CANCER RADIO ISOTRET RETIN-TOP DIABETES KELOID DRUGS SMOKE ACEI PF-HA-SAME
		PF-UNKNOWN PF-PERM PF-CAHA PF-OCCL PF-DIN PF-MIGR HYAL-RECENT SURG-LIP CLEFT PALSY LASER TOXIN PIERC BITE MUCOC`)
	if len(want) != 91 {
		t.Fatalf("%d rows", len(want))
	}
	have := map[string]bool{}
	for _, r := range load(t).All() {
		have[r.Row] = true
	}
	for _, row := range want {
		if !have[row] {
			t.Errorf("%s has no rule", row)
		}
		delete(have, row)
	}
	delete(have, "")
	for row := range have {
		t.Errorf("%s is no row", row)
	}
}

// Botulinum Toxin and Cosmetic Fillers (Children) Act 2021 (UK, c. 19), s. 1: a person under the age of 18;
// eighteen is the floor in every place, whatever its own law says.
func TestEighteenIsAHardStopEverywhere(t *testing.T) {
	rules := load(t)
	for _, where := range []string{"GB-ENG", "GB-SCT", "GB-WLS", "SE", "DK", "AU", "US", "ES", "AT", "nowhere"} {
		for born, held := range map[string]bool{"2008-12-05": true, "2008-12-04": false} {
			f := healthy(t)
			f.fact(t, "place", where)
			f.fact(t, "born", born)
			report := rules.Evaluate(f.ready(t))
			consent, _ := report.MayPrintConsent()
			information, _ := report.MayPrintInformation()
			if consent == held || information == held {
				t.Errorf("%s, born %s: consent %v, information %v", where, born, consent, information)
			}
		}
	}
}

func TestTheQuestionsOfAHealthyPersonAreFewWords(t *testing.T) {
	text, err := os.ReadFile("../../locales/en/question.yaml")
	if err != nil {
		t.Fatal(err)
	}
	root, problems := source.Parse("question.yaml", text)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	words := map[string]int{}
	for _, k := range root.Keys {
		words[k.Name] = len(strings.Fields(k.Value.Text))
	}
	f := healthy(t)
	total := 0
	for _, a := range load(t).Relevant(f.ready(t)) {
		q, _ := f.form.Question(a.Question)
		if section(f.form, q.ID) == "practitioner" {
			continue
		}
		total += words["question."+q.ID]
		for _, o := range q.Options {
			total += words["question."+q.ID+".option."+o]
		}
	}
	if total == 0 || total > 600 {
		t.Errorf("%d words", total)
	}
}

func section(form *forms.Form, id string) string {
	for _, s := range form.Sections {
		for _, q := range s.Questions {
			if q.ID == id {
				return s.ID
			}
		}
	}
	return ""
}
