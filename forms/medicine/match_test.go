package medicine_test

import (
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"philtrum/forms/medicine"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

func load(t testing.TB) *medicine.Lexicon {
	t.Helper()
	l, problems := medicine.Load(medicine.Default)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	return l
}

// names lists what was found: INNs, and "? words" for what was not recognised.
func names(matches []medicine.Match) []string {
	out := []string{}
	for _, m := range matches {
		if m.Recognised {
			out = append(out, m.INN)
		} else {
			out = append(out, "? "+m.AsWritten)
		}
	}
	return out
}

func TestMatchFindsNamesAsPeopleWriteThem(t *testing.T) {
	l := load(t)
	for _, c := range []struct {
		entry string
		want  []string
	}{
		{"warfarin 3 mg evenings", []string{"warfarin"}},
		{"WARFARINE", []string{"warfarin"}},
		{"Warfarin-sodium 5mg", []string{"warfarin"}},
		{"ácido acetilsalicílico 100 mg", []string{"acetylsalicylic acid"}},
		{"acido acetilsalicilico", []string{"acetylsalicylic acid"}},
		{"acido acetilsalicílico", []string{"acetylsalicylic acid"}},
		{"ASA 100", []string{"acetylsalicylic acid"}},
		{"AAS", []string{"acetylsalicylic acid"}},
		{"ASS 100", []string{"acetylsalicylic acid"}},
		{"asa", []string{"? asa"}},
		{"hialuronidasa", []string{"hyaluronidase"}},
		{"sulfasalazina", []string{"sulfasalazine"}},
		{"sulfassalazina", []string{"sulfasalazine"}},
		{"ail", []string{"garlic"}},
		{"ajo", []string{"garlic"}},
		{"alho 300 mg", []string{"garlic"}},
		{"głóg", []string{"hawthorn"}},
		{"what ails and ail me", []string{"? what ails", "? ail me"}},
		{"isotretinoin", []string{"isotretinoin"}},
		{"tretinoin cream", []string{"tretinoin"}},
		{"alitretinoin", []string{"alitretinoin"}},
		{"escitalopram 10", []string{"escitalopram"}},
		{"dexketoprofen", []string{"dexketoprofen"}},
		{"dexibuprofeno", []string{"dexibuprofen"}},
		{"desvenlafaxina", []string{"desvenlafaxine"}},
		{"methylprednisolone", []string{"methylprednisolone"}},
		{"valaciclovir", []string{"valaciclovir"}},
		{"dalteparina", []string{"dalteparin"}},
		{"eparina", []string{"heparin"}},
		{"peginterferon alfa-2a", []string{"peginterferon alfa-2a"}},
		{"interferon alfa-2b", []string{"interferon alfa-2b"}},
		{"ropeginterferon alfa-2b", []string{"ropeginterferon alfa-2b"}},
		{"ramipril/amlodipine 5/5 mg", []string{"ramipril", "amlodipine"}},
		{"apixaban + clopidogrel", []string{"apixaban", "clopidogrel"}},
		{"warfarin and xyzumab", []string{"warfarin", "? xyzumab"}},
		{"warfarin, xyzumab, paracetamol", []string{"warfarin", "paracetamol", "? xyzumab"}},
		{"St. John's wort", []string{"St John's wort"}},
		{"vitamin E 400 IU", []string{"tocopherol"}},
		{"sulfamethoxazole and trimethoprim", []string{"sulfamethoxazole and trimethoprim"}},
		{"co-trimoxazole", []string{"sulfamethoxazole and trimethoprim"}},
		{"варфарин 5", []string{"warfarin"}},
		{"وارفارين", []string{"warfarin"}},
		{"الوارفارين", []string{"warfarin"}},
		{"levothyroxine 75ug in the morning", []string{"levothyroxine"}},
		{"kwas acetylosalicylowy 75", []string{"acetylsalicylic acid"}},
		{"the pill", []string{"combined contraceptive pill"}},
		{"0,5 mg", []string{"? 0,5 mg"}},
		{"???", []string{"? ???"}},
		{"  ", []string{}},
		{"", []string{}},
	} {
		if diff := cmp.Diff(c.want, names(l.Match(c.entry))); diff != "" {
			t.Errorf("%q: %s", c.entry, diff)
		}
	}
}

func TestNearMissesAreSuggestedAndNeverAssumed(t *testing.T) {
	l := load(t)
	for entry, want := range map[string]string{
		"warfrin": "warfarin", "wafrarin": "warfarin", "rivaroxban 20 mg": "rivaroxaban",
		"acetilsalicilic acid": "acetylsalicylic acid", "metotrexat": "methotrexate", "clopidogrell": "clopidogrel",
		"aspirina 100 mg": "acetylsalicylic acid", "aspiryna": "acetylsalicylic acid",
	} {
		for _, m := range l.Match(entry) {
			if entry == "metotrexat" && m.Recognised {
				t.Errorf("%q counts as %s", entry, m.INN)
			}
			if !m.Recognised && !slices.Contains(m.Suggestions, want) {
				t.Errorf("%q: %s is not among the suggestions %q", entry, want, m.Suggestions)
			}
		}
		if got := names(l.Match(entry)); !strings.HasPrefix(got[0], "? ") {
			t.Errorf("%q was assumed to be %q", entry, got)
		}
	}
	if s := l.Match("asq")[0].Suggestions; len(s) > 0 {
		t.Errorf("a word of three letters suggests %q", s)
	}
}

func TestEveryNameOfTheListIsFound(t *testing.T) {
	l := load(t)
	for _, s := range l.Substances() {
		for _, n := range append(s.Names, medicine.Name{Text: s.INN}) {
			found := slices.ContainsFunc(l.Match(n.Text), func(m medicine.Match) bool { return m.INN == s.INN })
			if !found {
				t.Errorf("%s: its name %q yields %q", s.INN, n.Text, names(l.Match(n.Text)))
			}
		}
	}
}

// Classes by the WHO ATC/DDD Index: every code of a class lies under these groups of the index.
func TestClassesLieInTheirGroupsOfTheWHOIndex(t *testing.T) {
	groups := map[string][]string{
		"vitamin_k_antagonist": {"B01AA"}, "heparin_group": {"B01AB"}, "factor_xa_inhibitor": {"B01AF", "B01AX05"},
		"direct_thrombin_inhibitor": {"B01AE"}, "antiplatelet": {"B01AC", "C04AD03", "N02BA01"}, "antiplatelet_other": {"B01AC", "C04AD03"}, "antiplatelet_aspirin": {"B01AC06"}, "nsaid": {"M01A"},
		"nsaid_cox2_selective": {"M01AH"}, "ssri": {"N06AB"}, "snri": {"N06AX"}, "beta_blocker": {"C07A"},
		"antiarrhythmic": {"C01B", "C07AA07"}, "ace_inhibitor": {"C09AA"}, "jak_inhibitor": {"L04AF", "D11AH08"},
		"checkpoint_inhibitor": {"L01FF", "L01FX04", "L01FX20"}, "interferon": {"L03AB"},
		"systemic_corticosteroid": {"H02AB", "A07EA06"}, "angioedema_risk": {"C09AA", "C09DX04"}, "local_anaesthetic_amide": {"N01BB"}, "local_anaesthetic_ester": {"N01BA"},
		"retinoid_oral": {"D10BA01", "D05BB02", "D11AH04"}, "retinoid_topical": {"D10AD", "D05AX05"}, "antiviral_herpes": {"J05AB"},
		"cytotoxic": {"L01"}, "antibiotic": {"J01", "J04AB"}, "diabetes": {"A10"}, "weight_loss": {"A10BJ", "A10BX16"},
		"fertility_clue": {"G03G", "H01C", "G03DA04"}, "cancer_hint": {"L02B"}, "thyroid_hint": {"H03"}, "infection_hint": {"J05A"},
	}
	for _, s := range load(t).Substances() {
		for _, class := range s.Classes {
			for _, atc := range s.ATC[:min(1, len(s.ATC))] {
				within := slices.ContainsFunc(groups[class], func(g string) bool { return strings.HasPrefix(atc, g) })
				if groups[class] != nil && !within {
					t.Errorf("%s is called %s, but %s is outside %v", s.INN, class, atc, groups[class])
				}
			}
		}
	}
}

func TestTheListsAreLargeEnough(t *testing.T) {
	ruled, plain := 0, 0
	for _, s := range load(t).Substances() {
		if len(s.Classes) > 0 {
			ruled++
		} else {
			plain++
		}
	}
	if ruled < 201 || plain < 300 {
		t.Errorf("%d substances with a class, %d without", ruled, plain)
	}
}

func TestSynonymsOfAClinic(t *testing.T) {
	l := load(t)
	mine, problems := l.With([]medicine.Synonym{
		{Words: "blood thinner rat", INN: "Warfarin"},
		{Words: "gout pills", INN: "nosuchine"},
		{Words: "ibuprofen", INN: "warfarin"},
	})
	if diff := cmp.Diff([]string{"warfarin"}, names(mine.Match("blood thinner rat 3 mg"))); diff != "" {
		t.Error(diff)
	}
	var ids []string
	for _, p := range problems {
		ids = append(ids, p.ID)
	}
	if diff := cmp.Diff([]string{"problem.medicine_unknown_inn", "problem.medicine_word_taken"}, ids); diff != "" {
		t.Error(diff)
	}
	if got := names(l.Match("blood thinner rat"))[0]; got == "warfarin" {
		t.Error("the original lexicon changed")
	}
}

func TestFaultsOfAListAreProblems(t *testing.T) {
	head := "inn,classes,atc,names,source,trust\n"
	for text, want := range map[string]string{
		"aone,c,,,who,memory\nAÓNE,,,,,memory\n": "problem.medicine_doubled",
		"aone,c,,,,memory\n":                     "problem.medicine_no_source",
		"aone,c,,,who,\n":                        "problem.medicine_no_source",
		"aone,c\n":                               "problem.medicine_row",
	} {
		_, problems := medicine.Load(fstest.MapFS{"x.csv": {Data: []byte(head + text)}})
		if len(problems) != 1 || problems[0].ID != want || problems[0].Span.Line < 2 {
			t.Errorf("%q: %v, want %s", text, problems, want)
		}
	}
	if _, problems := medicine.Load(fstest.MapFS{}); len(problems) != 1 {
		t.Error("an empty folder is no problem")
	}
}

// Case and surrounding amounts never change what is found.
func TestNoiseDoesNotMatter(t *testing.T) {
	l := load(t)
	all := l.Substances()
	rapid.Check(t, func(t *rapid.T) {
		s := all[rapid.IntRange(0, len(all)-1).Draw(t, "substance")]
		before := rapid.SampledFrom([]string{"", "daily ", "2 x ", "400 mg "}).Draw(t, "before")
		after := rapid.SampledFrom([]string{"", " 5 mg", " 0,5 mg twice a day", " tablets"}).Draw(t, "after")
		got := l.Match(before + strings.ToUpper(s.INN) + after)
		unknown := func(m medicine.Match) bool { return !m.Recognised }
		if !slices.ContainsFunc(got, func(m medicine.Match) bool { return m.INN == s.INN }) || slices.ContainsFunc(got, unknown) {
			t.Fatalf("%s became %q", s.INN, names(got))
		}
	})
}

func FuzzMatch(f *testing.F) {
	l := load(f)
	for _, s := range []string{"warfarin 3 mg", "a/b", "\xff", "ASA", "ال", "ﬁsh oil", "1,2", "vitamin", "´"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		got := l.Match(s)
		if strings.TrimSpace(s) != "" && len(got) == 0 {
			t.Fatalf("%q is passed over in silence", s)
		}
		if !cmp.Equal(got, l.Match(s)) {
			t.Fatal("two matches differ")
		}
		for _, m := range got {
			if !strings.Contains(s, m.AsWritten) || (m.Recognised && !m.Nothing) == (m.INN == "") {
				t.Fatalf("%q: %+v", s, m)
			}
		}
	})
}

func BenchmarkLoad(b *testing.B) {
	for b.Loop() {
		medicine.Load(medicine.Default)
	}
}

func BenchmarkMatch(b *testing.B) {
	l := load(b)
	for b.Loop() {
		l.Match("warfarin 3 mg evenings")
	}
}

func BenchmarkSuggest(b *testing.B) {
	l := load(b)
	for b.Loop() {
		l.Match("rivaroxban")
	}
}
