package main

import (
	"errors"
	"slices"

	"philtrum/cmd/philtrum/ask"
	"philtrum/cmd/philtrum/desk"
	"philtrum/forms/medicine"
	"philtrum/locales"
)

// nameMedicines asks which medicines words stand for that no list knows, and offers to keep them as the
// clinic's own words. Input that ends leaves the rest as it is.
func (s *session) nameMedicines(d *desk.Desk, unknown []medicine.Match) error {
	for _, m := range unknown {
		if m.Words == "" {
			continue
		}
		err := s.nameMedicine(d, m)
		if errors.Is(err, ask.ErrEnded) {
			return nil
		}
		if err != nil {
			return err
		}
	}
	return nil
}

func (s *session) nameMedicine(d *desk.Desk, m medicine.Match) error {
	if len(m.Suggestions) > 0 {
		s.prompt().Tell(s.voice.text("cmd.check.near", locales.Args{"words": locales.Text(m.AsWritten), "near": s.nearMedicines(d, m)}))
	}
	for {
		inn, err := s.prompt().Text(s.voice.text("cmd.decide.which_medicine", locales.Args{"words": locales.Text(m.AsWritten)}))
		if err != nil || inn == "" {
			return err
		}
		found, known := d.Medicine(inn)
		if !known {
			s.prompt().Tell(s.voice.text("cmd.decide.no_medicine", nil))
			continue
		}
		question := s.voice.text("cmd.decide.keep_words", locales.Args{"words": locales.Text(m.Words), "medicine": s.medicineWords(found)})
		n, err := s.prompt().Choose(question, []string{s.voice.text("cmd.ask.yes", nil), s.voice.text("cmd.ask.no", nil)})
		if err != nil || n == 1 {
			return err
		}
		return s.told(d, "cmd.decide.words_kept")(d.NameMedicine(m.Words, found.INN))
	}
}

// nearMedicines are the suggestions for words that no list knows, each with its classes.
func (s *session) nearMedicines(d *desk.Desk, m medicine.Match) locales.Value {
	var near []locales.Value
	for _, inn := range m.Suggestions {
		if found, known := d.Medicine(inn); known {
			near = append(near, s.medicineWords(found))
		}
	}
	return locales.List(near...)
}

// medicineWords is a medicine with the classes that rules look at.
func (s *session) medicineWords(m medicine.Substance) locales.Value {
	var classes []locales.Value
	for _, class := range slices.Compact(slices.Clone(m.Classes)) {
		classes = append(classes, locales.Ref("medicine.class."+class))
	}
	if len(classes) == 0 {
		return locales.RefWith("cmd.check.medicine_plain", locales.Args{"medicine": locales.Text(m.INN)})
	}
	return locales.RefWith("cmd.check.medicine", locales.Args{"medicine": locales.Text(m.INN), "classes": locales.List(classes...)})
}
