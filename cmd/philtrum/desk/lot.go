package desk

import (
	"errors"
	"slices"
	"strings"

	"philtrum/cmd/philtrum/folder"
	"philtrum/cmd/philtrum/index"
	"philtrum/forms/device"
	"philtrum/forms/measure"
	"philtrum/forms/source"
	"philtrum/forms/visit"
)

// Recipient is a visit in which a lot was used, or may have been.
type Recipient struct {
	Visit, Patient string
	Number         string // the patient's opaque number
	On             measure.Date
	Product        string // id of the line, or substance
	Lot, Device    string // as typed
	Zones          []ZoneVolume
	Volume         measure.Volume // of all rows with the lot; zero: none that can be read
	VolumeUnread   bool           // a row without a volume that can be read is among them
	Why            string         // of a possible recipient: one of the reasons of package index
	Planned        bool           // not given yet
	Route          Route
	Reached        []Reached
}

// ZoneVolume is a row with the lot.
type ZoneVolume struct {
	Zone, Side string
	Volume     measure.Volume // zero: not said, or not readable
}

// Route is how a patient can be reached.
type Route struct {
	Name                string
	Telephone, Email    string
	Address             []string
	Reads               string
	Unread              bool // the patient's file cannot be read
	InterpreterLanguage string
}

// LotAnswer is who had a lot.
type LotAnswer struct {
	Lot, Device                string
	Products                   []string // ids of lines that the lot or the device belongs to
	Certain, Planned, Possible []Recipient
	Recall                     *Recall // where one is recorded
}

// kindRecall is the letter about a recalled lot.
const kindRecall = "recall"

// ErrNoLot says that no lot was named.
var ErrNoLot = errors.New("no lot")

// Lot finds every visit in which a lot was used or planned, and every visit in which it may have been. A device
// identifier narrows it to one kind of product.
func (d *Desk) Lot(lot, deviceID string, how Thorough) (LotAnswer, error) {
	a := LotAnswer{Lot: strings.TrimSpace(lot), Device: device.Normal(deviceID)}
	if a.Lot == "" {
		return a, ErrNoLot
	}
	a.Products = d.linesOf(a.Lot, a.Device)
	question := index.Question{Lot: a.Lot, Products: a.Products}
	if a.Device != "" {
		question.Fits = d.fits(a.Device, a.Products)
	}
	var found index.Answer
	err := d.search(how, func(x *index.Index) (err error) {
		found, err = x.Lot(question)
		return err
	})
	if err != nil {
		return a, err
	}
	if recall, ok, err := d.recallOf(a.Lot, a.Device); err != nil {
		return a, err
	} else if ok {
		a.Recall = &recall
	}
	people := map[string]visit.Patient{}
	for _, part := range []struct {
		uses []index.Use
		to   *[]Recipient
	}{{found.Certain, &a.Certain}, {found.Planned, &a.Planned}, {found.Possible, &a.Possible}} {
		*part.to = d.recipients(part.uses, people, a.Recall)
	}
	return a, nil
}

// linesOf are the ids of the lines that a device identifier belongs to; without one, those that have the lot in
// stock.
func (d *Desk) linesOf(lot, deviceID string) []string {
	var ids []string
	for _, p := range d.stock.Products {
		_, stocked := p.Lot(lot)
		if deviceID == "" && stocked || deviceID != "" && slices.ContainsFunc(p.Devices, func(id string) bool { return device.Normal(id) == deviceID }) {
			ids = append(ids, p.ID)
		}
	}
	return ids
}

// fits judges an entry by the device asked for: the entry's own device decides, or else its product.
func (d *Desk) fits(deviceID string, lines []string) func(product, device string) index.Match {
	return func(product, dev string) index.Match {
		switch {
		case dev == deviceID:
			return index.Yes
		case dev != "":
			return index.No
		case product == "" || len(lines) == 0:
			return index.Maybe
		case slices.Contains(lines, product):
			return index.Yes
		}
		return index.No
	}
}

// recipients puts the uses of a visit together, in the order of the uses.
func (d *Desk) recipients(uses []index.Use, people map[string]visit.Patient, recall *Recall) []Recipient {
	var all []Recipient
	at := map[string]int{}
	for _, u := range uses {
		i, known := at[u.Visit]
		if !known {
			r := Recipient{Visit: u.Visit, Patient: u.Patient, Product: u.Product, Lot: u.Lot, Device: u.Device, Why: u.Why,
				Planned: u.What == index.Planned}
			if !u.At.IsZero() {
				r.On = measure.DateOf(u.At, d.clinic.Zone)
			}
			r.Number, r.Route = d.route(u.Patient, people)
			if recall != nil {
				r.Reached = recall.reached(u.Patient)
			}
			i, at[u.Visit] = len(all), len(all)
			all = append(all, r)
		}
		all[i].add(u)
	}
	return all
}

func (r *Recipient) add(u index.Use) {
	zone := ZoneVolume{Zone: u.Zone, Side: u.Side}
	if u.Microlitres > 0 {
		zone.Volume = measure.Microlitres(u.Microlitres)
		r.Volume = r.Volume.Add(zone.Volume)
	} else {
		r.VolumeUnread = true
	}
	if u.Zone == "" && u.Microlitres <= 0 {
		return
	}
	for i, z := range r.Zones {
		if z.Zone == zone.Zone && z.Side == zone.Side {
			r.Zones[i].Volume = z.Volume.Add(zone.Volume)
			return
		}
	}
	r.Zones = append(r.Zones, zone)
}

// route reads how a patient can be reached. One whose file is not there or cannot be read keeps the id.
func (d *Desk) route(id string, people map[string]visit.Patient) (number string, r Route) {
	p, known := people[id]
	if !known {
		p, _, _ = d.readPatient(id) // what cannot be read leaves no id
		people[id] = p
	}
	if p.ID == "" {
		return id, Route{Unread: true}
	}
	number = p.Number
	if number == "" {
		number = id
	}
	r = Route{Name: p.Name(), Telephone: p.Telephone, Email: p.Email, Address: p.Address, Reads: p.Reads}
	if p.Interpreter.Needed {
		r.InterpreterLanguage = p.Interpreter.Language
	}
	return number, r
}

// Letters issues the recall letter of every visit with the lot, one a patient: that of the newest visit. Who may
// have had it gets one where possible is set. The lot's recall has to be recorded first: the letter says what
// stands there.
func (d *Desk) Letters(a LotAnswer, possible bool, r Request) ([]Issued, source.Problems, error) {
	if a.Recall == nil {
		return nil, one("problem.recall_not_recorded"), nil
	}
	list := slices.Clone(a.Certain)
	if possible {
		list = append(list, a.Possible...)
	}
	newest := map[string]Recipient{}
	var order []string
	for _, recipient := range list {
		if recipient.Patient == "" || recipient.Route.Unread {
			continue
		}
		if before, twice := newest[recipient.Patient]; !twice {
			order = append(order, recipient.Patient)
		} else if before.Why == "" && recipient.Why != "" {
			continue
		}
		newest[recipient.Patient] = recipient
	}
	var all []Issued
	r.Kinds = []string{kindRecall}
	for _, patient := range order {
		issued, problems, err := d.Issue(newest[patient].Visit, r)
		if errors.Is(err, folder.ErrNoFile) {
			continue
		}
		if err != nil {
			return all, nil, err
		}
		if len(problems) > 0 {
			issued = []Issued{{Kind: kindRecall, Problems: problems, Checked: Checked{Visit: newest[patient].Visit}}}
		}
		all = append(all, issued...)
	}
	return all, nil, nil
}
