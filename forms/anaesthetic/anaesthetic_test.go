package anaesthetic_test

import (
	"errors"
	"math/big"
	"testing"

	"philtrum/forms/anaesthetic"
	"philtrum/forms/measure"

	"pgregory.net/rapid"
)

const (
	plain     = "lidocaine plain"
	adrenal   = "lidocaine with adrenaline"
	articaine = "articaine 4% with epinephrine"
)

// Limits as regulators publish them, checked against the labels and not against this package's list.
func TestLimitsOfTheLabels(t *testing.T) {
	for _, c := range []struct {
		source, written, weight, most string
	}{
		// US labelling, lidocaine hydrochloride injection without adrenaline: 4.5 mg/kg, not above 300 mg.
		{"lidocaine label", plain, "50", "225"},
		{"lidocaine label", plain, "60", "270"},
		{"lidocaine label", plain, "70", "300"},
		// US labelling with adrenaline, as cited by a drug monograph: 7 mg/kg, not above 500 mg.
		{"lidocaine with adrenaline", adrenal, "50", "350"},
		{"lidocaine with adrenaline", adrenal, "80", "500"},
		// US labelling, articaine 4% with adrenaline: 7 mg/kg. The label's own example is a patient of 150 lb, which
		// is 68 kg: 476 mg.
		{"articaine label", articaine, "60", "420"},
		{"articaine label", articaine, "68", "476"},
	} {
		limit, ok := anaesthetic.Published().Find(c.written)
		if !ok || !limit.At(measure.MustWeight(c.weight)).Equal(measure.MustDose(c.most)) {
			t.Errorf("%s at %s kg: %v, want %s mg (%s)", c.written, c.weight, limit.At(measure.MustWeight(c.weight)), c.most, c.source)
		}
	}
}

// 55 kg, two cartridges of 1.8 mL of 2% plain lidocaine (72 mg) and 1.0 mL of filler with 3 mg per mL: 75 of
// 247.5 mg, which is 10/33.
func TestASumOfBlockAndFiller(t *testing.T) {
	sum, err := anaesthetic.Published().Add(measure.MustWeight("55"), []anaesthetic.Source{
		{Written: plain, Dose: measure.MustDose("36")}, {Written: plain, Dose: measure.MustDose("36")}, {Written: plain, Dose: measure.MustDose("3")},
	})
	if err != nil || len(sum.Shares) != 1 || sum.Part.Cmp(big.NewRat(10, 33)) != 0 || sum.Percent() != 31 || sum.Above() {
		t.Errorf("%+v %v", sum, err)
	}
	if s := sum.Shares[0]; !s.Given.Equal(measure.MustDose("75")) || !s.Most.Equal(measure.MustDose("247.5")) {
		t.Errorf("%+v", s)
	}
}

// 1.0 mL of filler with 3 mg is 1.3 % of a 50 kg plain limit: 3/225 = 1/75.
func TestFillerAloneIsASmallPart(t *testing.T) {
	sum, _ := anaesthetic.Published().Add(measure.MustWeight("50"), []anaesthetic.Source{{Written: plain, Dose: measure.MustDose("3")}})
	if sum.Part.Cmp(big.NewRat(1, 75)) != 0 || sum.Percent() != 2 {
		t.Errorf("%v", sum.Part)
	}
}

// Half of one limit and half of another are a full dose, and a microgram more is above it.
func TestFractionsOfDifferentLimitsAddUp(t *testing.T) {
	half := []anaesthetic.Source{
		{Written: plain, Dose: measure.MustDose("112.5")}, {Written: articaine, Dose: measure.MustDose("175")},
	}
	sum, _ := anaesthetic.Published().Add(measure.MustWeight("50"), half)
	if sum.Part.Cmp(big.NewRat(1, 1)) != 0 || sum.Above() || sum.Percent() != 100 {
		t.Errorf("%v", sum.Part)
	}
	more := append(half, anaesthetic.Source{Written: adrenal, Dose: measure.MustDose("0.001")})
	if sum, _ = anaesthetic.Published().Add(measure.MustWeight("50"), more); !sum.Above() || sum.Percent() != 101 {
		t.Errorf("%v", sum.Part)
	}
}

func TestNothingIsComparedWithoutAWeight(t *testing.T) {
	for weight, want := range map[string]error{
		"0": anaesthetic.ErrNoWeight, "29.99": anaesthetic.ErrWeight, "30": nil, "250": nil, "250.01": anaesthetic.ErrWeight, "700": anaesthetic.ErrWeight,
	} {
		if _, err := anaesthetic.Published().Add(measure.MustWeight(weight), nil); !errors.Is(err, want) || want == nil && err != nil {
			t.Errorf("%s kg: %v", weight, err)
		}
	}
}

func TestWhichLimitASourceHas(t *testing.T) {
	for written, want := range map[string]string{
		"lidocaine 2%": "lidocaine", "Lidocaína 2 %": "lidocaine", "lignocaine": "lidocaine",
		"LIDOCAINE 2% with adrenaline 1:200,000": "lidocaine_adrenaline", "lidocaína con epinefrina": "lidocaine_adrenaline",
		"lidocaine without adrenaline": "lidocaine", "lidocaína sin adrenalina": "lidocaine",
		"articaine 4% with adrenaline": "articaine_adrenaline",
		// No published limit is listed, or the source is a mixture: it is not counted, and that is said.
		"articaine": "", "mepivacaine": "", "lidocaine and prilocaine cream": "", "lidocaine and articaine with adrenaline": "", "": "",
	} {
		if limit, ok := anaesthetic.Published().Find(written); ok != (want != "") || limit.ID != want {
			t.Errorf("%q: %q, want %q", written, limit.ID, want)
		}
	}
}

func TestWhatIsNotCountedIsSaid(t *testing.T) {
	sum, _ := anaesthetic.Published().Add(measure.MustWeight("60"), []anaesthetic.Source{
		{Written: plain}, {Written: "mepivacaine", Dose: measure.MustDose("20")}, {Written: plain, Dose: measure.MustDose("27")},
	})
	if sum.Uncounted != 2 || sum.Part.Cmp(big.NewRat(1, 10)) != 0 {
		t.Errorf("%+v", sum)
	}
}

// More of anything, or less weight, never makes the sum smaller; order changes nothing.
func TestSumsGrowWithTheirSources(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		one := rapid.Custom(func(t *rapid.T) anaesthetic.Source {
			return anaesthetic.Source{
				Written: rapid.SampledFrom([]string{plain, adrenal, articaine, "unknown"}).Draw(t, "written"),
				Dose:    measure.MustDose(rapid.StringMatching(`[1-9][0-9]{0,2}`).Draw(t, "dose")),
			}
		})
		list := rapid.SliceOfN(one, 1, 5).Draw(t, "list")
		kg := func(n int) measure.Weight { return measure.MustWeight(big.NewInt(int64(n)).String()) }
		n := rapid.IntRange(30, 249).Draw(t, "kg")
		all, _ := anaesthetic.Published().Add(kg(n), list)
		fewer, _ := anaesthetic.Published().Add(kg(n), list[1:])
		heavier, _ := anaesthetic.Published().Add(kg(n+1), list)
		turned, _ := anaesthetic.Published().Add(kg(n), append(append([]anaesthetic.Source{}, list[1:]...), list[0]))
		if fewer.Part.Cmp(all.Part) > 0 || heavier.Part.Cmp(all.Part) > 0 || turned.Part.Cmp(all.Part) != 0 {
			t.Fatal("a sum shrinks")
		}
		if all.Above() != (all.Percent() > 100) {
			t.Fatalf("%v is %d percent", all.Part, all.Percent())
		}
	})
}
