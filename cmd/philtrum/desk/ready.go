package desk

import (
	"slices"
	"time"

	"philtrum/forms/clinic"
	"philtrum/forms/journal"
	"philtrum/forms/measure"
	"philtrum/locales/release"
	"philtrum/templates/layout"
	"philtrum/templates/text"
)

// Readiness is one thing that a clinic needs before the first patient, and whether it is there. The message is
// ready.<What>.ok or ready.<What>.open.
type Readiness struct {
	What  string
	Open  bool
	On    measure.Date // of a recorded act: when it was done last
	Words []string     // what is missing: keys of a file, languages, items
	Count int
	At    time.Time // now, in the clinic's zone
}

// How old a recorded act may be, in days, before it is to be done again. Common practice, no source.
const (
	nightTestDays = 90
	backupDays    = 7
)

// Words of the journal for what is done to be ready.
const (
	nightTested = "night_tested" // the subject is who called
	backedUp    = "backed_up"
)

// Ready looks at everything that has to be right before a day begins. problems counts what proving the clinic's
// files found; private says whether others on the machine can read the folder, writable whether it can be written.
func (d *Desk) Ready(problems int, private, writable bool) ([]Readiness, error) {
	acts, ahead, err := d.lastActs()
	if err != nil {
		return nil, err
	}
	today := measure.DateOf(d.at, d.clinic.Zone)
	list := []Readiness{
		{What: "folder", Open: !writable}, {What: "private", Open: !private},
		{What: "files", Open: problems > 0, Count: problems},
		d.readyFonts(), d.readyClinic(), d.readyStaff(today), d.readyStock(today),
		{What: "clock", Open: ahead, At: d.at.In(d.clinic.Zone)},
		d.readyWords(),
		readyAct("night", acts[nightTested], today, nightTestDays), readyAct("backup", acts[backedUp], today, backupDays),
	}
	return list, nil
}

// lastActs are the days of the last entries of the acts that readiness asks for; ahead says that the journal has
// entries later than now: the clock was set back.
func (d *Desk) lastActs() (acts map[string]measure.Date, ahead bool, err error) {
	acts = map[string]measure.Date{}
	_, err = d.folder.EachEntry(func(e journal.Entry) error {
		if e.What == nightTested || e.What == backedUp {
			acts[e.What] = measure.DateOf(e.At, d.clinic.Zone)
		}
		ahead = ahead || e.At.After(d.at.Add(time.Minute))
		return nil
	})
	return acts, ahead, err
}

// readyFonts tries a word of every language that is offered.
func (d *Desk) readyFonts() Readiness {
	r := Readiness{What: "fonts"}
	for _, l := range d.catalogue.Languages() {
		setter := d.printer().engine.NewSetter(text.Options{Lang: l.Tag})
		setter.Lines(layout.Request{Spans: []layout.Span{{Text: l.Name}}, Lang: l.Tag, Size: 12000})
		if len(setter.Missing()) > 0 {
			r.Open, r.Words = true, append(r.Words, l.Tag)
		}
	}
	return r
}

// readyClinic names the keys of clinic.yaml that papers leave a line for.
func (d *Desk) readyClinic() Readiness {
	r := Readiness{What: "clinic"}
	for _, key := range []struct{ name, value string }{
		{"night_telephone", d.clinic.NightTelephone}, {"email", d.clinic.Email}, {"registration", d.clinic.Registration},
		{"insurer", d.clinic.Insurer}, {"complaints", d.clinic.Complaints},
	} {
		if key.value == "" {
			r.Words = append(r.Words, key.name)
		}
	}
	if len(d.clinic.Address) == 0 {
		r.Words = append(r.Words, "address")
	}
	r.Open = len(r.Words) > 0
	return r
}

// readyStaff names the roles that nobody has today.
func (d *Desk) readyStaff(today measure.Date) Readiness {
	r := Readiness{What: "staff"}
	for _, role := range []clinic.Role{clinic.RoleInjector, clinic.RolePrescriber, clinic.RoleMedicalLead} {
		if !slices.ContainsFunc(d.staff, func(p clinic.Person) bool { return p.Works(today) && slices.Contains(p.Roles, role) }) {
			r.Words = append(r.Words, string(role))
		}
	}
	r.Open = len(r.Words) > 0
	return r
}

// readyStock names items of the emergency kit that have expired, or says that there is no kit.
func (d *Desk) readyStock(today measure.Date) Readiness {
	r := Readiness{What: "kit", Open: len(d.stock.Kit) == 0}
	for _, k := range d.stock.Kit {
		if k.Lot.Expiry.IsZero() || k.Lot.Expiry.Before(today) {
			r.Open, r.Words = true, append(r.Words, k.Item)
		}
	}
	return r
}

// readyWords counts the parts of the clinic's own texts that nobody has signed for.
func (d *Desk) readyWords() Readiness {
	r := Readiness{What: "words", Words: []string{d.clinic.Language}}
	_, states, err := d.LanguageState(d.clinic.Language)
	for _, s := range states {
		if s.State != release.Released {
			r.Count++
		}
	}
	r.Open = err != nil || r.Count > 0
	return r
}

func readyAct(what string, last, today measure.Date, days int) Readiness {
	return Readiness{What: what, On: last, Open: last.IsZero() || last.AddDays(days).Before(today)}
}

// NightTested records that somebody called the night number and was answered.
func (d *Desk) NightTested(by string) error { return d.folder.Enter(d.at, nightTested, by, "") }

// BackedUp records that a backup was made.
func (d *Desk) BackedUp() error { return d.folder.Enter(d.at, backedUp, "clinic", "") }
