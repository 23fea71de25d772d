package visit

import (
	"testing"
	"time"

	"philtrum/forms/measure"
	"philtrum/forms/source"

	"github.com/google/go-cmp/cmp"
)

// told are the findings as "id" with what they say.
func told(found []Finding) []string {
	var out []string
	for _, f := range found {
		text := f.ID
		for _, key := range []string{"given", "most", "percent", "n"} {
			switch v := f.Args[key].(type) {
			case measure.Dose:
				text += " " + v.String()
			case int:
				text += " " + string(rune('0'+v/100%10)) + string(rune('0'+v/10%10)) + string(rune('0'+v%10))
			}
		}
		out = append(out, text)
	}
	return out
}

func TestAnaestheticsStandBesideTheirPublishedLimits(t *testing.T) {
	content := func(product string) string {
		if product == "soft" {
			return "3"
		}
		return ""
	}
	two := Anaesthetic{Substance: "Lidocaine plain", Strength: "2 %", Volume: mL("1.8")}
	filler := Row{Product: "soft", Volume: mL("1.0")}
	kg := measure.MustWeight
	for name, c := range map[string]struct {
		given Given
		want  []string
	}{
		// 72 mg of block and 3 mg of filler of 247.5 mg: 30.3 %.
		"block and filler": {Given{Weight: kg("55"), Anaesthetics: []Anaesthetic{two, two}, Rows: []Row{filler}},
			[]string{"check.anaesthetic.lidocaine 75 247.5", "check.anaesthetic_sum 031"}},
		"two limits": {Given{Weight: kg("50"), Anaesthetics: []Anaesthetic{
			{Substance: "lidocaine", Dose: measure.MustDose("225")}, {Substance: "articaine with adrenaline", Strength: "40 mg/mL", Volume: mL("1.7")}}},
			[]string{"check.anaesthetic.lidocaine 225 225", "check.anaesthetic.articaine_adrenaline 68 350", "check.anaesthetic_above 120"}},
		"no weight":                  {Given{Anaesthetics: []Anaesthetic{two}}, []string{"check.anaesthetic_no_weight"}},
		"a slip of a weight":         {Given{Weight: kg("545"), Anaesthetics: []Anaesthetic{two}}, []string{"check.anaesthetic_weight"}},
		"filler alone, no weight":    {Given{Rows: []Row{filler}}, nil},
		"nothing given":              {Given{Weight: kg("55"), Rows: []Row{{Product: "firm", Volume: mL("1")}}}, nil},
		"a mixture":                  {Given{Weight: kg("55"), Anaesthetics: []Anaesthetic{{Substance: "lidocaine/prilocaine", Strength: "2.5 %/2.5 %", Volume: mL("1")}}}, []string{"check.anaesthetic_uncounted 001"}},
		"a volume nobody could read": {Given{Weight: kg("55"), Rows: []Row{{Product: "soft", VolumeText: "half"}}}, []string{"check.anaesthetic_uncounted 001"}},
	} {
		if diff := cmp.Diff(c.want, told(c.given.Anaesthesia(content))); diff != "" {
			t.Errorf("%s: %s", name, diff)
		}
	}
}

func TestAWeightThatCannotBeReadIsKept(t *testing.T) {
	g := readTreatment(source.Map("weight_kg", "about 60"), nil, time.Time{})
	if g.WeightText != "about 60" || !g.Weight.IsZero() || len(g.Marks) != 1 {
		t.Errorf("%+v", g)
	}
	if g = readTreatment(source.Map("weight_kg", "54,5 kg"), nil, time.Time{}); g.Weight.String() != "54.5" {
		t.Errorf("%+v", g)
	}
}
