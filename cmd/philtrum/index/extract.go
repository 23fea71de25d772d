package index

import (
	"crypto/hmac"
	"crypto/sha256"
	"slices"
	"strings"
	"time"

	"philtrum/forms/device"
	"philtrum/forms/measure"
	"philtrum/forms/source"
	"philtrum/forms/visit"
)

// What an entry is of.
const (
	Filler   = 0
	Medicine = 1 // an anaesthetic, or anything else that was given by its substance
	Planned  = 2 // a row of a plan that was not carried out yet
)

// Things of a visit that may have to be followed up, bits of visit.open.
const (
	openConsent  = 1 << iota // a consent was printed, and nobody recorded what became of it
	openNoLot                // treated, and a product without a lot
	openReview               // a review is planned
	openCall                 // somebody called, or had a complication
	openScan                 // a decision copied from a sheet whose scan is not there
	openVisit                // not treated yet
	openNoRecord             // treated without a record printed
)

// unknown volume.
const noVolume = -1

// seen is what the index keeps of a visit.
type seen struct {
	id, year        string
	size, time      int64
	unread          bool
	patient, kind   string
	at              int64
	practitioner    string
	after           string
	treated         bool
	open            int
	review          string
	entries         []entry
	number          string   // of a patient
	person          [][]byte // keys by which a patient is found
	ofPatient, gone bool
}

type entry struct {
	what                 int
	sure                 bool
	product, device, lot string
	zone, side           string
	volume               int64
}

// read takes what the index keeps from the file of a visit.
func read(data []byte, file string, zone *time.Location, s *seen) {
	node, problems := parse(file, data)
	if node == nil || len(problems) > 0 {
		s.unread = true
		return
	}
	v := visit.Read(node, &source.Reader{}, zone)
	s.patient, s.kind, s.practitioner, s.after = v.Patient, string(v.Kind), v.Practitioner, v.After
	s.unread = v.ID == "" || v.Patient == "" || v.Appointment.IsZero()
	s.at = v.Appointment.Unix()
	s.treated = v.Treatment != nil
	if !v.Plan.ReviewOn.IsZero() {
		s.review = v.Plan.ReviewOn.String()
	}
	s.entries = entries(v)
	s.open = open(v, s.entries)
}

// parse reads in one pass what has the plain shape, and strictly what has not.
func parse(file string, data []byte) (*source.Node, source.Problems) {
	if node, ok := source.Plain(data); ok {
		return node, nil
	}
	return source.Parse(file, data)
}

func readPatient(data []byte, file string, secret []byte, s *seen) {
	node, problems := parse(file, data)
	if node == nil || len(problems) > 0 {
		s.unread = true
		return
	}
	p := visit.ReadPatient(node, &source.Reader{})
	s.number = p.Number
	for _, name := range []string{p.Name(), p.Given + " " + p.Family, p.Family + " " + p.Given} {
		key := personKey(secret, name, p.Born)
		if key != nil && !slices.ContainsFunc(s.person, func(k []byte) bool { return string(k) == string(key) }) {
			s.person = append(s.person, key)
		}
	}
}

// personKey stands for a name and a date of birth, so that neither is in the index. Case, and how many spaces
// stand between the names, do not count.
func personKey(secret []byte, name string, born measure.Date) []byte {
	folded := strings.ToLower(strings.Join(strings.Fields(name), " "))
	if folded == "" || born.IsZero() {
		return nil
	}
	mac := hmac.New(sha256.New, secret)
	mac.Write([]byte(folded + "\n" + born.String()))
	return mac.Sum(nil)[:16]
}

// open are the things of a visit that may have to be followed up, by its own file alone.
func open(v visit.Visit, entries []entry) int {
	bits := 0
	issued := func(kind string) bool {
		return slices.ContainsFunc(v.Papers, func(p visit.Paper) bool { return p.Kind == kind })
	}
	state := v.Consent()
	if issued("consent") && (state == visit.Planned || state == visit.Informed) || v.Treatment != nil && !consented(v) && needsConsent(v) {
		bits |= openConsent
	}
	if v.Treatment != nil && slices.ContainsFunc(entries, func(e entry) bool { return Normal(e.lot) == "" }) {
		bits |= openNoLot
	}
	if v.Treatment != nil && !v.Plan.ReviewOn.IsZero() {
		bits |= openReview
	}
	if v.Kind == visit.Call || v.Kind == visit.Complication {
		bits |= openCall
	}
	if slices.ContainsFunc(v.Decisions, func(d visit.Decision) bool { return d.Transcribed != "" }) {
		bits |= openScan
	}
	switch {
	case v.Treatment != nil && !issued("record"):
		bits |= openNoRecord
	case v.Treatment == nil && state != visit.DeclinedBy && state != visit.Withdrawn && state != visit.StoppedEarly:
		bits |= openVisit
	}
	return bits
}

func consented(v visit.Visit) bool {
	return slices.ContainsFunc(v.States, func(s visit.StateChange) bool { return s.State == visit.Consented })
}

func needsConsent(v visit.Visit) bool {
	return v.Kind == visit.Treatment || v.Kind == visit.Dissolving && !v.Emergency
}

// entries are the uses of lots in a visit.
func entries(v visit.Visit) []entry {
	if v.Treatment == nil {
		return planned(v.Plan)
	}
	g := v.Treatment
	var all []entry
	used := map[string]bool{}
	for _, row := range g.Rows {
		for _, e := range ofRow(*g, row) {
			used[Normal(e.lot)] = true
			all = append(all, e)
		}
	}
	for _, s := range g.Syringes {
		e := entry{what: Filler, sure: true, product: s.Product, device: deviceOf(s), lot: lotOf(s), volume: noVolume}
		if used[Normal(e.lot)] && Normal(e.lot) != "" {
			continue
		}
		if e.lot == "" && len(g.Rows) > 0 {
			continue // its rows say so already
		}
		all = append(all, e)
	}
	for _, a := range g.Anaesthetics {
		e := entry{what: Medicine, sure: true, product: a.Substance, lot: a.Lot, volume: noVolume}
		if !a.Volume.IsZero() {
			e.volume = a.Volume.Microlitres()
		}
		all = append(all, e)
	}
	if g.Dissolved != nil {
		for _, vial := range g.Dissolved.Vials {
			all = append(all, entry{what: Medicine, sure: true, product: vial.Substance, device: device.Normal(vial.Device), lot: vial.Lot, volume: noVolume})
		}
	}
	if len(all) == 0 && (v.Kind == visit.Treatment || v.Kind == visit.Dissolving) {
		all = append(all, entry{what: Filler, volume: noVolume, product: v.Plan.Product})
	}
	return all
}

// ofRow are the lots that a row drew on: its own, or that of its syringe; where several syringes may be
// meant, each of them, unsure.
func ofRow(g visit.Given, row visit.Row) []entry {
	e := entry{what: Filler, sure: true, product: row.Product, lot: row.Lot, zone: row.Zone, side: row.Side, volume: noVolume}
	if row.VolumeText == "" && !row.Volume.IsZero() {
		e.volume = row.Volume.Microlitres()
	}
	syringes := g.Syringes
	if row.Syringe > 0 && row.Syringe <= len(syringes) {
		syringes = syringes[row.Syringe-1 : row.Syringe]
	}
	var fits []visit.Syringe
	for _, s := range syringes {
		if (row.Product == "" || s.Product == "" || row.Product == s.Product) && (row.Lot == "" || Normal(row.Lot) == Normal(lotOf(s))) {
			fits = append(fits, s)
		}
	}
	if len(fits) == 0 {
		return []entry{e}
	}
	var all []entry
	for _, s := range fits {
		f := e
		f.device = deviceOf(s)
		if f.product == "" {
			f.product = s.Product
		}
		if f.lot == "" {
			f.lot, f.sure = lotOf(s), len(fits) == 1
		}
		if row.Lot != "" || !slices.ContainsFunc(all, func(o entry) bool { return Normal(o.lot) == Normal(f.lot) }) {
			all = append(all, f)
		}
		if row.Lot != "" {
			break
		}
	}
	if len(all) == 1 {
		all[0].sure = true
	}
	return all
}

// deviceOf is the device identifier of a syringe; lotOf its lot: as typed, or else as in the code that was
// scanned.
func deviceOf(s visit.Syringe) string {
	if s.Device == "" && s.Carrier != "" {
		return device.Normal(carrier(s).DeviceIdentifier)
	}
	return device.Normal(s.Device)
}

func lotOf(s visit.Syringe) string {
	if strings.TrimSpace(s.Lot) == "" && s.Carrier != "" {
		return carrier(s).Lot
	}
	return s.Lot
}

// carrier reads a scanned code; its dates are not used, so that the year does not matter.
func carrier(s visit.Syringe) device.Carrier { return device.Read(s.Carrier, 2000) }

func planned(p visit.Plan) []entry {
	var all []entry
	for _, row := range p.Rows {
		if strings.TrimSpace(row.Lot) != "" {
			all = append(all, entry{what: Planned, sure: true, product: row.Product, lot: row.Lot, zone: row.Zone, side: row.Side, volume: noVolume})
		}
	}
	return all
}

// Normal is a lot for comparing: trimmed, case aside.
func Normal(lot string) string { return strings.ToUpper(strings.TrimSpace(lot)) }

// Near is a lot with what is easily mistyped taken together: spaces, hyphens and their like left out; O and 0,
// and I, L and 1, are one sign each.
func Near(lot string) string {
	return strings.Map(func(r rune) rune {
		switch r {
		case ' ', '-', '.', '/', '_', 0xa0, 0x2010, 0x2011, 0x2013:
			return -1
		case 'O':
			return '0'
		case 'I', 'L':
			return '1'
		}
		return r
	}, Normal(lot))
}
