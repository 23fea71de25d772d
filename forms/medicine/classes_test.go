package medicine_test

import (
	"io/fs"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// What a rule may ask of a single substance: its classes, all of them.
func TestClassesOfSubstances(t *testing.T) {
	l := load(t)
	for inn, want := range map[string]string{
		"acetylsalicylic acid":    "antiplatelet antiplatelet_aspirin",
		"clopidogrel":             "antiplatelet antiplatelet_other",
		"omega-3 fatty acids":     "supplement_bleeding_effect supplement_bleeding_not_found",
		"ginseng":                 "supplement_bleeding_effect supplement_bleeding_not_found",
		"saw palmetto":            "supplement_bleeding_effect supplement_bleeding_not_found",
		"garlic":                  "supplement_bleeding_effect supplement_bleeding_suspected",
		"krill oil":               "supplement_bleeding_effect supplement_bleeding_suspected",
		"nattokinase":             "supplement_bleeding_effect supplement_bleeding_suspected",
		"deflazacort":             "systemic_corticosteroid",
		"betamethasone":           "systemic_corticosteroid",
		"budesonide":              "systemic_corticosteroid",
		"cortisone":               "systemic_corticosteroid",
		"epinephrine":             "emergency_drug",
		"valproic acid":           "antiepileptic_platelet_effect",
		"metamizole":              "analgesic_platelet_effect",
		"tamoxifen":               "cancer_hint",
		"anastrozole":             "cancer_hint",
		"letrozole":               "cancer_hint",
		"exemestane":              "cancer_hint",
		"progesterone":            "fertility_clue",
		"carbimazole":             "autoimmune_clue thyroid_hint",
		"thiamazole":              "autoimmune_clue thyroid_hint",
		"levothyroxine":           "autoimmune_clue thyroid_hint",
		"oseltamivir":             "infection_hint",
		"ritonavir":               "amide_anaesthetic_interaction infection_hint",
		"sacubitril":              "angioedema_risk",
		"ramipril":                "ace_inhibitor angioedema_risk",
		"sotalol":                 "beta_blocker antiarrhythmic",
		"aciclovir":               "antiviral_herpes",
		"valaciclovir":            "antiviral_herpes",
		"famciclovir":             "antiviral_herpes",
		"interferon beta":         "interferon",
		"peginterferon":           "interferon",
		"coagulation factor IX":   "bleeding_disorder_clue",
		"von Willebrand factor":   "bleeding_disorder_clue",
		"eltrombopag":             "bleeding_disorder_clue",
		"chorionic gonadotrophin": "fertility_clue",
		"teriflunomide":           "immunosuppressant",
		"siponimod":               "immunosuppressant",
		"cladribine":              "immunosuppressant",
		"abrocitinib":             "jak_inhibitor",
		"ritlecitinib":            "jak_inhibitor",
		"anifrolumab":             "biologic",
		"bevacizumab":             "cytotoxic",
		"imatinib":                "cytotoxic",
		"chloroquine":             "autoimmune_clue",
		"tazarotene":              "retinoid_topical",
	} {
		s, ok := l.Find(inn)
		if diff := cmp.Diff(want, strings.Join(s.Classes, " ")); diff != "" || !ok {
			t.Errorf("%s: %s", inn, diff)
		}
	}
}

// A narrower class never frees a substance from the wider one that rules already look at.
func TestNarrowClassesLieWithinWideOnes(t *testing.T) {
	wide := map[string]string{
		"antiplatelet_aspirin": "antiplatelet", "antiplatelet_other": "antiplatelet", "ace_inhibitor": "angioedema_risk",
		"supplement_bleeding_not_found": "supplement_bleeding_effect",
		"supplement_bleeding_suspected": "supplement_bleeding_effect",
	}
	for _, s := range load(t).Substances() {
		narrow := 0
		for _, class := range s.Classes {
			if w, ok := wide[class]; ok {
				narrow++
				if !slices.Contains(s.Classes, w) {
					t.Errorf("%s is %s but not %s", s.INN, class, w)
				}
			}
		}
		split := slices.Contains(s.Classes, "antiplatelet") || slices.Contains(s.Classes, "supplement_bleeding_effect")
		if split && narrow != 1 {
			t.Errorf("%s lies in %d of the narrower classes", s.INN, narrow)
		}
	}
}

// unread are the classes that no rule asks for, each with why it is kept.
var unread = map[string]string{
	"ace_inhibitor":                "the trade's name beside angioedema_risk, which rules ask for",
	"analgesic_no_bleeding_effect": "shown beside the name: what may be taken for pain",
	"antiviral_herpes":             "shown beside the name: cold sores are asked for",
	"emergency_drug":               "shown beside the name: carried for an emergency",
	"local_anaesthetic_amide":      "shown beside the name: the sum is of the anaesthetic's own limits",
	"local_anaesthetic_ester":      "shown beside the name: the sum is of the anaesthetic's own limits",
	"supplement_bleeding_effect":   "the wide class of the two that rules ask for",
	"supplement_interaction":       "shown beside the name: acts on other medicines, not on bleeding",
	"thyroid_hint":                 "the narrow class beside autoimmune_clue, which rules ask for",
}

// A class that no rule asks for is either meant so or forgotten.
func TestEveryClassIsAskedForOrMeantNotToBe(t *testing.T) {
	rules := os.DirFS("../screen/rules")
	files, err := fs.Glob(rules, "*.yaml")
	if err != nil || len(files) == 0 {
		t.Fatal("no rules", err)
	}
	var text strings.Builder
	for _, file := range files {
		data, err := fs.ReadFile(rules, file)
		if err != nil {
			t.Fatal(err)
		}
		text.Write(data)
	}
	classes := load(t).Classes()
	for _, class := range classes {
		asked := regexp.MustCompile("[a-z]_" + class + `\b`).MatchString(text.String())
		if !asked && unread[class] == "" {
			t.Errorf("no rule asks for %s", class)
		}
	}
	for class := range unread {
		if !slices.Contains(classes, class) {
			t.Errorf("%s is no class", class)
		}
	}
}
