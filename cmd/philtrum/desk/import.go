package desk

import (
	"cmp"
	"errors"
	"slices"
	"strings"
	"time"

	"philtrum/cmd/philtrum/folder"
	"philtrum/forms/booking"
	"philtrum/forms/measure"
	"philtrum/forms/source"
	"philtrum/forms/visit"
)

// MostListBytes is how large a list may be.
const MostListBytes = booking.MostBytes

// Importing is what a person says about a list of visits beforehand; clinic.yaml says the rest.
type Importing struct {
	Order, Encoding, Sheet string
	Kind, Practitioner     string // of every visit, where the list does not say
	Day                    measure.Date
	Write                  bool // enter what is new or changed
	Anyway                 bool // although something is unclear: that is left out
}

// What a line of a list means to the clinic.
const (
	EntryNew       = "new"       // a visit of a new patient
	EntryReturning = "returning" // a new visit of a patient who is known
	EntryKnown     = "known"     // the visit stands already, unchanged
	EntryMoved     = "moved"     // the visit stands already at another time or with another practitioner
	EntryCancelled = "cancelled" // the list says that the visit will not be; it may stand here still
	EntryUnclear   = "unclear"
)

// Entry is a line of a list, beside what the clinic has.
type Entry struct {
	booking.Row
	What               string
	At                 time.Time
	Staff              string // id of the practitioner
	Initials           string
	Patient, Number    string // of a known patient; of a new one once it is entered
	Visit              string // of a known visit; of a new one once it is entered
	Before             time.Time
	PractitionerBefore string // the practitioner before the move
}

// Imported is a list beside what the clinic has.
type Imported struct {
	booking.List
	Entries []Entry
	Absent  []Entry // visits that stand here on the days of the list, and that it does not name
	Entered bool    // new patients and visits were written
}

// Unclear says whether a person has to settle anything.
func (i Imported) Unclear() bool {
	return i.List.Unclear() || slices.ContainsFunc(i.Entries, func(e Entry) bool { return e.What == EntryUnclear })
}

// Import reads a list of visits and says of each line whether it is new, changed, known or unclear. Nothing is
// written unless Write is set, and nothing while anything is unclear unless Anyway is.
func (d *Desk) Import(data []byte, how Importing) (Imported, source.Problems, error) {
	options, err := d.bookingOptions(how)
	if err != nil {
		return Imported{}, nil, err
	}
	list, err := booking.Read(data, options)
	if err != nil {
		return Imported{}, nil, err
	}
	all := Imported{List: list}
	known, problems, err := d.acquaintances()
	if err != nil || len(problems) > 0 {
		return all, problems, err
	}
	for _, row := range list.Rows {
		all.Entries = append(all.Entries, d.listEntry(row, how, known))
	}
	all.Absent = known.absent(all.Entries, d.at)
	if !how.Write || all.Unclear() && !how.Anyway {
		return all, nil, nil
	}
	problems, err = d.enterAll(all.Entries)
	all.Entered = err == nil && len(problems) == 0
	return all, problems, err
}

func (d *Desk) bookingOptions(how Importing) (booking.Options, error) {
	own := d.clinic.Booking
	months, err := d.catalogue.MonthNames()
	if err != nil {
		return booking.Options{}, err
	}
	o := booking.Options{
		Order: booking.Order(cmp.Or(how.Order, own.Dates)), Encoding: cmp.Or(how.Encoding, own.Encoding),
		Sheet: cmp.Or(how.Sheet, own.Sheet), Kinds: own.Kinds, Languages: own.Languages, Statuses: own.Statuses,
		Columns: map[booking.Field]string{}, Months: map[string]time.Month{},
		Day: how.Day, Today: measure.DateOf(d.at, d.clinic.Zone),
	}
	for field, heading := range own.Columns {
		o.Columns[booking.Field(field)] = heading
	}
	for name, month := range months {
		o.Months[booking.Fold(name)] = month
	}
	return o, nil
}

// listEntry compares a line with what the clinic has.
func (d *Desk) listEntry(row booking.Row, how Importing, known *acquaintances) Entry {
	e := Entry{Row: row, Initials: Initials(visit.Patient{Given: row.Given, Family: row.Family, Display: row.Name})}
	e.Doubts = slices.Clone(row.Doubts)
	if row.Cancelled {
		return d.cancelled(e, known)
	}
	if e.Kind == "" && !doubted(e, booking.Kind) {
		if e.Kind = cmp.Or(how.Kind, d.clinic.Booking.Kind); e.Kind == "" {
			e.doubt("missing", booking.Kind)
		}
	}
	d.staffOf(&e, how)
	d.setTime(&e)
	known.recognise(&e)
	if len(e.Doubts) > 0 {
		e.What = EntryUnclear
	}
	return e
}

// setTime sets the appointment's time in the clinic's zone.
func (d *Desk) setTime(e *Entry) {
	if !e.HasTime || e.On.IsZero() {
		return
	}
	at, err := measure.ParseTime(e.On.String()+" "+e.Clock(), d.clinic.Zone)
	if err != nil {
		e.doubt("no_such_time", booking.Time)
	}
	e.At = at
}

// cancelled is a line of a visit that will not be: nothing of it is entered, so nothing of it has to be clear. The
// visit may stand here.
func (d *Desk) cancelled(e Entry, known *acquaintances) Entry {
	d.setTime(&e)
	e.Doubts = nil
	known.recognise(&e)
	if v := known.byID[e.Visit]; v.Treatment != nil || ended(v) || len(e.Doubts) > 0 {
		e.Visit = "" // nothing is left to do, or it may be another visit of that day
	} else if e.Visit != "" {
		e.At = v.Appointment
	}
	e.Doubts, e.What = nil, EntryCancelled
	return e
}

// ended says whether it is recorded that a visit will not go on.
func ended(v visit.Visit) bool {
	return slices.ContainsFunc(v.States, func(s visit.StateChange) bool { return s.State == visit.DeclinedBy || s.State == visit.Withdrawn })
}

func (e *Entry) doubt(id string, f booking.Field) {
	e.Doubts = append(e.Doubts, booking.Doubt{ID: id, Field: f})
}

func doubted(e Entry, f booking.Field) bool {
	return slices.ContainsFunc(e.Doubts, func(d booking.Doubt) bool { return d.Field == f })
}

// staffOf finds the practitioner that a line names: by the clinic's own list of words, by id, or by a name
// whose words all stand in one person's name. Without a name it is the one that a person or the clinic says.
func (d *Desk) staffOf(e *Entry, how Importing) {
	word := e.Practitioner
	if word == "" {
		if word = cmp.Or(how.Practitioner, d.clinic.Booking.Practitioner); word == "" {
			e.doubt("missing", booking.Practitioner)
			return
		}
	}
	for own, id := range d.clinic.Booking.Practitioners {
		if booking.Fold(own) == booking.Fold(word) {
			word = id
		}
	}
	var found []string
	for _, p := range d.staff {
		if p.ID == word {
			e.Staff = p.ID
			return
		}
		if p.Works(measure.DateOf(d.at, d.clinic.Zone)) && namedIn(word, p.Name) {
			found = append(found, p.ID)
		}
	}
	if len(found) != 1 {
		e.Doubts = append(e.Doubts, booking.Doubt{ID: "unknown_word", Field: booking.Practitioner, Args: map[string]any{"word": word}})
		return
	}
	e.Staff = found[0]
}

// namedIn says whether every word of a short form, titles aside, stands in a whole name.
func namedIn(short, name string) bool {
	all := map[string]bool{}
	for _, w := range nameWords(name) {
		all[w] = true
	}
	named := false
	for _, w := range nameWords(short) {
		switch {
		case all[w]:
			named = named || !booking.IsTitle(w)
		case !booking.IsTitle(w):
			return false
		}
	}
	return named
}

func nameWords(name string) []string {
	var words []string
	for _, w := range strings.Fields(name) {
		if f := booking.Fold(w); f != "" {
			words = append(words, f)
		}
	}
	slices.Sort(words)
	return words
}

// enterAll writes what is clear: new patients once each, new visits, and moved ones. The list can be read again
// at any time: what stands already is known by then.
func (d *Desk) enterAll(entries []Entry) (source.Problems, error) {
	patients := map[string][2]string{}
	for i := range entries {
		e := &entries[i]
		var problems source.Problems
		var err error
		switch e.What {
		case EntryNew:
			problems, err = d.enterPatient(e, patients)
			if err == nil && len(problems) == 0 {
				problems, err = d.enterVisit(e)
			}
		case EntryReturning:
			problems, err = d.enterVisit(e)
		case EntryMoved:
			problems, err = d.Move(e.Visit, e.At, e.Staff)
		}
		if err != nil || len(problems) > 0 {
			return problems, err
		}
	}
	return nil, nil
}

func (d *Desk) enterPatient(e *Entry, entered map[string][2]string) (source.Problems, error) {
	key := personKey(e.Row)
	if ids, ok := entered[key]; ok {
		e.Patient, e.Number = ids[0], ids[1]
		return nil, nil
	}
	optional := func(s string) *source.Node {
		if s == "" {
			return nil
		}
		return source.Text(s)
	}
	id, number, problems, err := d.NewPatient(source.Map(
		"given", optional(e.Given), "family", optional(e.Family), "display", optional(e.Name), "born", source.Text(e.Born.String()),
		"telephone", optional(e.Telephone), "email", optional(e.Email), "speaks", optional(e.Language), "reads", optional(e.Language),
	))
	e.Patient, e.Number = id, number
	entered[key] = [2]string{id, number}
	return problems, err
}

func (d *Desk) enterVisit(e *Entry) (source.Problems, error) {
	id, problems, err := d.OpenVisit(Opening{
		Patient: e.Patient, Kind: visit.Kind(e.Kind), At: e.At, Practitioner: e.Staff, Booking: e.Reference,
	})
	e.Visit = id
	return problems, err
}

func personKey(row booking.Row) string {
	return strings.Join(nameWords(row.Name+" "+row.Given+" "+row.Family), " ") + "\x00" + row.Born.String()
}

// IsListError says whether a list could not be read at all, as a problem to tell; else nil.
func IsListError(err error) source.Problems {
	for id, known := range map[string]error{
		"booking.too_large": booking.ErrTooLarge, "booking.no_encoding": booking.ErrEncoding,
		"booking.no_workbook": booking.ErrWorkbook, "booking.no_list": booking.ErrNoList, "booking.no_file": folder.ErrNoFile,
	} {
		if errors.Is(err, known) {
			return one(id)
		}
	}
	return nil
}
