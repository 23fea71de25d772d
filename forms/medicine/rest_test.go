package medicine_test

import (
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// A second name in an entry is never lost behind the first.
func TestWordsBesideANameAreNotPassedOver(t *testing.T) {
	l := load(t)
	for _, c := range []struct {
		entry string
		want  []string
	}{
		{"ramipril 5 mg apixban 5 mg", []string{"ramipril", "? apixban"}},
		{"bisoprolol 2.5 mg bevacizumab", []string{"bisoprolol", "bevacizumab"}},
		{"bisoprolol 2.5 mg bevacizumap", []string{"bisoprolol", "? bevacizumap"}},
		{"warfarin 3 mg xyzol 5mg", []string{"warfarin", "? xyzol"}},
		{"warfarin 3 mg xyz 5mg", []string{"warfarin", "? xyz"}},
		{"warfarin 3 mg xyz tablets 5mg", []string{"warfarin", "? xyz"}},
		{"xyzol 5 mg warfarin 3 mg", []string{"warfarin", "? xyzol"}},
		{"warfarin 3 mg xyzol 5 mg apixban 2 mg", []string{"warfarin", "? xyzol", "? apixban"}},
		{"warfarin xyzol ramipril apixban", []string{"warfarin", "ramipril", "? xyzol", "? apixban"}},
		{"warfarin (apixban)", []string{"warfarin", "? apixban"}},
		{"ramipril for blood pressure apixban 5 mg", []string{"ramipril", "? apixban"}},
		{"ramipril for apixban", []string{"ramipril", "? apixban"}},
		{"ramipril 5 mg per day xyzol", []string{"ramipril", "? xyzol"}},
		{"ramipril for several weeks xyzol", []string{"ramipril", "? xyzol"}},
		{"ramipril - blood thinner", []string{"ramipril", "? thinner"}},
		{"ramipril for blood pressure, apixban", []string{"ramipril", "? apixban"}},
		{"ramipril and blood pressure tablets", []string{"ramipril", "? blood pressure tablets"}},
		{"warfarin 3 mg mtx", []string{"warfarin", "? mtx"}},
		{"ramipril 5 mg asa 100", []string{"ramipril", "? asa"}},
		{"ramipril 5 mg ajo", []string{"ramipril", "? ajo"}},
		{"warfarin with xyzol and food", []string{"warfarin", "? xyzol", "? food"}},
		{"warfarin 3 mg, ramipril 5 mg apixban", []string{"warfarin", "ramipril", "? apixban"}},
		{"рамиприл 5 мг апиксабн 5 мг", []string{"ramipril", "? апиксабн"}},
		{"ramipril 5 mg por la mañana rivaroxavan", []string{"ramipril", "? rivaroxavan"}},
	} {
		if diff := cmp.Diff(c.want, names(l.Match(c.entry))); diff != "" {
			t.Errorf("%q: %s", c.entry, diff)
		}
	}
	for _, entry := range []string{"ramipril 5 mg apixban 5 mg", "ramipril for apixban", "warfarin (apixban)"} {
		got := l.Match(entry)
		last := got[len(got)-1]
		if last.Words != "apixban" || !slices.Contains(last.Suggestions, "apixaban") {
			t.Errorf("%q: %+v", entry, last)
		}
	}
}

// Doses, times, forms, routes, purposes and plain words around a name are no medicines.
func TestPlainWordsBesideANameAreNoMedicines(t *testing.T) {
	l := load(t)
	for entry, want := range map[string]string{
		"I take warfarin 3 mg every evening for my heart":            "warfarin",
		"amlodipine besilate 5 mg for high blood pressure":           "amlodipine",
		"sertraline 50 mg for anxiety and depression":                "sertraline",
		"ibuprofeno 600 mg si tengo dolor o fiebre":                  "ibuprofen",
		"warfarin 2 mg (fibrillation auriculaire)":                   "warfarin",
		"metformin 500 mg with food":                                 "metformin",
		"amlodipine (blood pressure) 5 mg":                           "amlodipine",
		"ramipril - high blood pressure":                             "ramipril",
		"metformin 500 mg twice daily for type 2 diabetes with food": "metformin",
		"warfarin, INR 2.5":                                          "warfarin",
		"warfarin since March 2019 target INR 2.5":                   "warfarin",
		"ibuprofen as needed for pain in my left knee":               "ibuprofen",
		"methotrexate 15 mg once a week on Mondays":                  "methotrexate",
		"bisoprolol fumarato 2,5 mg por la mañana":                   "bisoprolol",
		"enalapril 10 mg para la tensión después del desayuno":       "enalapril",
		"ramipril 5 mg pour la tension, le matin":                    "ramipril",
		"ramipril 5 mg depuis janvier, prescrit par médecin":         "ramipril",
		"Ramipril 5 mg morgens gegen Bluthochdruck":                  "ramipril",
		"Ibuprofen bei Bedarf gegen Kopfschmerzen":                   "ibuprofen",
		"Ramipril 5 mg 1-0-0 nach dem Frühstück":                     "ramipril",
		"ramipril 5 mg la mattina dopo colazione":                    "ramipril",
		"ramipril 5 mg de manhã para a pressão":                      "ramipril",
		"ramipryl 5 mg rano na nadciśnienie":                         "ramipril",
		"рамиприл 5 мг утром от давления":                            "ramipril",
		"راميبريل 5 ملغ كل يوم صباحا":                                "ramipril",
		"lisinopril 10 mg extended release tablets":                  "lisinopril",
	} {
		got := l.Match(entry)
		if len(got) == 0 || got[0].INN != want {
			t.Errorf("%q: %q", entry, names(got))
		}
		for _, m := range got[min(1, len(got)):] {
			// A comma begins a part of its own, in which plain words are not recognised.
			if m.Recognised || !slices.Contains([]string{"INR 2.5", "prescrit par médecin"}, m.AsWritten) {
				t.Errorf("%q: %q", entry, names(got))
			}
		}
	}
}

func TestRoutesThatStayLocal(t *testing.T) {
	l := load(t)
	for entry, want := range map[string]map[string]bool{
		"hydrocortisone cream":                    {"hydrocortisone": true},
		"hydrocortisone 10 mg":                    {"hydrocortisone": false},
		"hydrocortisone tablets, aciclovir cream": {"hydrocortisone": false, "aciclovir": true},
		"timolol eye drops":                       {"timolol": true},
		"eye drops timolol":                       {"timolol": true},
		"budesonide nasal spray":                  {"budesonide": true},
		"budesonide inhaler":                      {"budesonide": true},
		"budesonide/formoterol inhaler":           {"budesonide": true, "formoterol": true},
		"inhaler budesonide/formoterol 200/6":     {"budesonide": true, "formoterol": false},
		"budesonide, formoterol inhaler":          {"budesonide": false, "formoterol": true},
		"prednisolone 5 mg budesonide inhaler":    {"prednisolone": false, "budesonide": true},
		"budesonide inhaler prednisolone 5 mg":    {"prednisolone": false, "budesonide": true},
		"prednisolone eye drops + prednisolone":   {"prednisolone": false},
		"prednisolone + prednisolone eye drops":   {"prednisolone": false},
		"diclofenac gel":                          {"diclofenac": true},
		"diclofenac gel and tablets":              {"diclofenac": true},
		"dexamethasone oral drops":                {"dexamethasone": false},
		"betametasona crema":                      {"betamethasone": true},
		"timolol colirio":                         {"timolol": true},
		"bétaméthasone pommade":                   {"betamethasone": true},
		"timolol gouttes pour les yeux":           {"timolol": true},
		"Betamethason Salbe":                      {"betamethasone": true},
		"Timolol Augentropfen":                    {"timolol": true},
		"Budesonid Nasenspray":                    {"budesonide": true},
		"betametazon maść":                        {"betamethasone": true},
		"timolol krople do oczu":                  {"timolol": true},
		"betametasone crema":                      {"betamethasone": true},
		"timololo gocce occhi":                    {"timolol": true},
		"budesonida inalador":                     {"budesonide": true},
		"betametasona pomada":                     {"betamethasone": true},
		"бетаметазон мазь":                        {"betamethasone": true},
		"xyzol ointment":                          {"": true},
		"xyzol 5 mg":                              {"": false},
	} {
		got := map[string]bool{}
		for _, m := range l.Match(entry) {
			got[m.INN] = m.Local
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%q: %s", entry, diff)
		}
	}
}

func TestNothingIsAnAnswerOnlyByItself(t *testing.T) {
	l := load(t)
	for _, entry := range []string{
		"none", "None.", " NONE ", "nothing", "nil", "no", "n/a", "N/A", "-", "–", "ninguno", "Ninguna", "nada", "aucun", "Aucune",
		"keine", "nichts", "brak", "nessuno", "nenhum", "não", "нет", "لا شيء",
	} {
		got := l.Match(entry)
		if len(got) != 1 || !got[0].Nothing || !got[0].Recognised || got[0].INN != "" || len(got[0].Classes) > 0 {
			t.Errorf("%q: %+v", entry, got)
		}
	}
	for _, entry := range []string{"none of them", "no idea", "nothing much", "none, xyzol", "none 5 mg", "???", "keine Ahnung", "n", "none?!+"} {
		for _, m := range l.Match(entry) {
			if m.Recognised || m.Nothing {
				t.Errorf("%q: %+v", entry, m)
			}
		}
		if len(l.Match(entry)) == 0 {
			t.Errorf("%q is passed over", entry)
		}
	}
	if got := names(l.Match("no warfarin")); got[0] != "warfarin" {
		t.Errorf("a medicine beside a no became %q", got)
	}
}

func TestShortAndColloquialNames(t *testing.T) {
	l := load(t)
	for entry, want := range map[string]string{
		"asa 75 mg daily": "acetylsalicylic acid",
		"ass 100":         "acetylsalicylic acid", "aas 100 mg": "acetylsalicylic acid", "ibu 400": "ibuprofen", "mtx 15 mg weekly": "methotrexate",
		"Novaminsulfon 500": "metamizole", "cortisone": "cortisone", "cortisona": "cortisone", "Kortison 5 mg": "cortisone",
		"cyclosporin A": "ciclosporin", "interferón beta": "interferon beta", "interferon beta 1a": "interferon beta-1a",
		"peginterferon": "peginterferon", "factor ix": "coagulation factor IX", "von Willebrand factor": "von Willebrand factor",
		"hcg 5000 IU": "chorionic gonadotrophin", "adrenaline auto-injector": "epinephrine", "valproate": "valproic acid",
		"aceite de krill": "krill oil", "nattokinase": "nattokinase", "ritonavir": "ritonavir", "teriflunomide 14 mg": "teriflunomide",
	} {
		if diff := cmp.Diff([]string{want}, names(l.Match(entry))); diff != "" {
			t.Errorf("%q: %s", entry, diff)
		}
	}
	for entry, want := range map[string]string{"warfarin mtx": "methotrexate", "warfarin asa 100": "acetylsalicylic acid"} {
		if got := l.Match(entry); !slices.Equal(got[len(got)-1].Suggestions, []string{want}) {
			t.Errorf("%q: %+v", entry, got)
		}
	}
	for _, entry := range []string{"asa", "asa 100, xyzol", "my asa 100", "en casa 100", "ass kick 100"} {
		for _, m := range l.Match(entry) {
			if m.INN == "acetylsalicylic acid" {
				t.Errorf("%q was taken for %s", entry, m.INN)
			}
		}
	}
}
