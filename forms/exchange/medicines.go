package exchange

import (
	"strings"
	"time"

	"philtrum/forms/measure"
	"philtrum/forms/visit"
)

type administration struct {
	ResourceType        string                `json:"resourceType"`
	ID                  string                `json:"id"`
	Contained           []medication          `json:"contained,omitempty"`
	PartOf              []reference           `json:"partOf,omitempty"`
	Status              string                `json:"status"`
	MedicationReference reference             `json:"medicationReference"`
	Subject             reference             `json:"subject"`
	EffectiveDateTime   string                `json:"effectiveDateTime"`
	Performer           []administrationActor `json:"performer,omitempty"`
	Note                []annotation          `json:"note,omitempty"`
	Dosage              *dosage               `json:"dosage,omitempty"`
}

type administrationActor struct {
	Actor reference `json:"actor"`
}

type dosage struct {
	Text string    `json:"text,omitempty"`
	Site *concept  `json:"site,omitempty"`
	Dose *quantity `json:"dose,omitempty"`
}

type medication struct {
	ResourceType string    `json:"resourceType"`
	ID           string    `json:"id"`
	Code         *concept  `json:"code,omitempty"`
	Batch        *batchLot `json:"batch,omitempty"`
}

type batchLot struct {
	LotNumber      string `json:"lotNumber,omitempty"`
	ExpirationDate string `json:"expirationDate,omitempty"`
}

// addMedicines adds each local anaesthetic and each injection of hyaluronidase, with its lot.
func (b *builder) addMedicines() {
	t := b.r.Visit.Treatment
	if t == nil {
		return
	}
	for i, a := range t.Anaesthetics {
		m := b.given("anaesthetic "+itoa(i), orElse(a.At, t.Start), a.Substance, a.Lot, a.Expiry)
		switch {
		case !a.Dose.IsZero():
			m.Dosage = &dosage{Dose: in(a.Dose.String(), "mg", "mg")}
		case !a.Volume.IsZero():
			m.Dosage = &dosage{Dose: millilitres(a.Volume)}
		}
		b.addMedicine(m, strings.TrimSpace(a.Form+" "+a.Strength), "")
	}
	if t.Dissolved == nil {
		return
	}
	for i, x := range t.Dissolved.Doses {
		vial := visit.Vial{}
		if from, ok := t.Dissolved.From(x); ok {
			vial = t.Dissolved.Vials[from]
		}
		substance := vial.Substance
		if substance == "" {
			substance = b.word("exchange.observation.units")
		}
		m := b.given("dose "+itoa(i), orElse(x.At, t.Start), substance, vial.Lot, vial.Expiry)
		switch {
		case x.UnitsText == "" && !x.Units.IsZero():
			m.Dosage = &dosage{Dose: in(x.Units.String(), "IU", "[iU]")}
		case x.VolumeText == "" && !x.Volume.IsZero():
			m.Dosage = &dosage{Dose: millilitres(x.Volume)}
		}
		b.addMedicine(m, "", b.site(x), x.UnitsText, x.VolumeText, x.Refill, x.Response)
	}
}

// site is where a dose went, in words.
func (b *builder) site(x visit.Dose) string {
	site := b.term("zone", x.Zone)
	if side := b.term("side", x.Side); side != "" {
		site += ", " + side
	}
	return site
}

func (b *builder) given(key string, at time.Time, substance, lot string, expiry measure.Date) administration {
	med := medication{ResourceType: "Medication", ID: "medicine", Code: textual(substance)}
	if lot = clean(lot); lot != "" || !expiry.IsZero() {
		med.Batch = &batchLot{lot, day(expiry)}
	}
	at = orElse(at, b.r.Visit.Appointment) // effective is needed; the day of the visit is what is left
	m := administration{ResourceType: "MedicationAdministration", ID: b.id("medicine", key), Contained: []medication{med}, PartOf: many(b.procedure),
		Status: "completed", MedicationReference: reference{Reference: "#medicine"}, Subject: reference{Reference: b.patient}, EffectiveDateTime: b.instant(at)}
	if ref := b.person(b.r.Visit.Treatment.By); ref != "" {
		m.Performer = []administrationActor{{reference{Reference: ref}}}
	}
	return m
}

// addMedicine puts what was said of it, and where it went, beside the dose. Without a dose there is no dosage (mad-1),
// and both are notes.
func (b *builder) addMedicine(m administration, said, site string, more ...string) {
	if m.Dosage != nil {
		m.Dosage.Text, m.Dosage.Site = clean(said), textual(site)
		said, site = "", ""
	}
	m.Note = notes(append([]string{said, site}, more...)...)
	b.add(m.ID, m)
}
