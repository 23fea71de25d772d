package medicine_test

import (
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
		"antiplatelet_aspirin": "antiplatelet", "antiplatelet_other": "antiplatelet",
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
