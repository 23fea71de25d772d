package templates_test

import (
	"io/fs"
	"strings"
	"testing"

	"philtrum/forms/screen"
	"philtrum/forms/source"
	"philtrum/locales"
	"philtrum/templates"
)

// Whatever the shipped rules say can be printed: on the summary, as a box of the consent, as a risk and
// as an advice.
func TestShippedRulesCanBePrinted(t *testing.T) {
	data, err := fs.ReadFile(locales.Default, "en/rule.yaml")
	if err != nil {
		t.Fatal(err)
	}
	root, problems := source.Parse("en/rule.yaml", data)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	// Thresholds and windows as screening gives them: texts.
	args := map[string]string{"days": "14", "months": "6"}
	for _, k := range root.Keys {
		for _, a := range k.Value.Keys {
			if a.Name != "args" {
				continue
			}
			for _, holder := range a.Value.Keys {
				if args[holder.Name] == "" {
					args[holder.Name] = "3.5"
				}
			}
		}
	}
	f := plannedFacts(t)
	f.Report = screen.Report{Held: true}
	adds := screen.Adds{}
	for _, k := range root.Keys {
		parts := strings.Split(k.Name, ".")
		switch {
		case strings.HasPrefix(k.Name, "rule.risk."):
			adds.Consent = append(adds.Consent, k.Name)
		case strings.HasPrefix(k.Name, "rule.care."):
			adds.Aftercare = append(adds.Aftercare, k.Name)
		case parts[len(parts)-1] == "do" && len(parts) > 3:
			f.Report.Findings = append(f.Report.Findings, screen.Finding{
				Rule: strings.Join(parts[1:len(parts)-2], "."), Outcome: parts[len(parts)-2], Level: screen.Decide, Args: args,
			})
		}
	}
	if len(f.Report.Findings) < 50 || len(adds.Consent) < 10 || len(adds.Aftercare) < 3 {
		t.Fatalf("only %d findings, %d risks, %d advices", len(f.Report.Findings), len(adds.Consent), len(adds.Aftercare))
	}
	f.Report.Findings = append(f.Report.Findings, screen.Finding{Rule: f.Report.Findings[0].Rule, Outcome: f.Report.Findings[0].Outcome, Level: screen.Inform, Adds: adds, Args: args})
	for _, name := range papers {
		_, problems := templates.Compose(templates.Paper{Template: load(t, name), Printer: printer(t, "en"), Facts: f})
		for _, p := range problems {
			t.Errorf("%s: %v", name, p.Args)
		}
	}
}
