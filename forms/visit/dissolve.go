package visit

import (
	"strings"
	"time"

	"philtrum/forms/clinic"
	"philtrum/forms/device"
	"philtrum/forms/measure"
	"philtrum/forms/source"
)

// Dissolved is filler dissolved with hyaluronidase, as it was done. What was given is recorded; no amount is
// ever proposed.
type Dissolved struct {
	Reason        string
	Filler        []Filler
	Patch         Patch
	Vials         []Vial
	Doses         []Dose
	ObservedUntil time.Time
	Response      string
	Span          source.Span
}

// Filler is what is to be dissolved, as far as anybody knows: product, date and clinic may be "elsewhere" or
// "unknown", or any words. Visit is the visit of this clinic in which it was laid.
type Filler struct{ Product, Lot, Date, Clinic, Zones, Visit string }

// Patch is the decision on a test dose and what came of it. Decision is one of PatchDecisions.
type Patch struct {
	Decision, Reason, Site, Result string
	Units                          measure.Units
	UnitsText                      string
	At, ReadAt                     time.Time
}

// PatchDecisions are what can be decided about a test dose.
var PatchDecisions = []string{"done", "not_done", "emergency"}

// Vial is hyaluronidase opened in the session: what the label says, and what it was made up to.
type Vial struct {
	Substance, Origin, Lot, Device, Carrier, Diluent string
	Expiry                                           measure.Date
	ExpiryText                                       string
	Units                                            measure.Units
	UnitsText                                        string
	MadeUp                                           measure.Volume
	MadeUpText                                       string
	Code                                             *Scanned
	Span                                             source.Span
}

// Dose is an injection of hyaluronidase: units and volume as recorded.
type Dose struct {
	At                   time.Time
	Zone, Side, Plane    string
	Instrument, Gauge    string
	Vial                 int // number of the vial in the session, from 1; 0: not said
	Units                measure.Units
	UnitsText            string
	Volume               measure.Volume
	VolumeText           string
	Refill, Response, By string
	Span                 source.Span
}

func (l lenient) dissolved(n *source.Node, year int) *Dissolved {
	if n == nil || n.Kind == source.Empty {
		return nil
	}
	const in = "dissolving."
	f := l.keys(n, in, "reason", "filler", "patch_test", "vials", "doses", "observed_until", "response")
	d := &Dissolved{
		Reason: l.text(f, in, "reason"), Response: l.text(f, in, "response"),
		ObservedUntil: l.time(f, in, "observed_until"), Patch: l.patch(f.Get("patch_test"), in+"patch_test."), Span: n.Span,
	}
	for i, n := range l.listIn(f, in, "filler") {
		d.Filler = append(d.Filler, l.filler(n, at(in+"filler", i)))
	}
	for i, n := range l.listIn(f, in, "vials") {
		d.Vials = append(d.Vials, l.vial(n, at(in+"vials", i), year))
	}
	for i, n := range l.listIn(f, in, "doses") {
		d.Doses = append(d.Doses, l.dose(n, at(in+"doses", i)))
	}
	return d
}

func (l lenient) listIn(f source.Fields, where, key string) []*source.Node {
	list, _ := lenientRead(l, f, where, key, lenient.List)
	return list
}

func (l lenient) filler(n *source.Node, where string) Filler {
	f := l.keys(n, where, "product", "lot", "date", "clinic", "zones", "visit")
	return Filler{
		Product: l.text(f, where, "product"), Lot: l.text(f, where, "lot"), Date: l.text(f, where, "date"),
		Clinic: l.text(f, where, "clinic"), Zones: l.text(f, where, "zones"), Visit: l.text(f, where, "visit"),
	}
}

func (l lenient) patch(n *source.Node, where string) Patch {
	if n == nil {
		return Patch{}
	}
	f := l.keys(n, where, "decision", "reason", "site", "units", "at", "read_at", "result")
	p := Patch{
		Decision: l.word(f, where, "decision", PatchDecisions), Reason: l.text(f, where, "reason"),
		Site: l.text(f, where, "site"), Result: l.text(f, where, "result"),
		At: l.time(f, where, "at"), ReadAt: l.time(f, where, "read_at"),
	}
	p.Units, p.UnitsText = l.units(f, where, "units")
	return p
}

func (l lenient) vial(n *source.Node, where string, year int) Vial {
	f := l.keys(n, where, "substance", "origin", "lot", "device", "carrier", "expiry", "units", "diluent", "made_up")
	v := Vial{
		Substance: l.text(f, where, "substance"), Origin: l.text(f, where, "origin"), Lot: l.text(f, where, "lot"),
		Device: l.text(f, where, "device"), Carrier: l.text(f, where, "carrier"), Diluent: l.text(f, where, "diluent"),
		Span: n.Span,
	}
	v.Expiry, v.ExpiryText = l.expiry(f, where, "expiry")
	v.Units, v.UnitsText = l.units(f, where, "units")
	v.MadeUp, v.MadeUpText = l.volume(f, where, "made_up")
	var filled device.Typed
	v.Code, filled = scan(v.Carrier, year, device.Typed{Device: v.Device, Lot: v.Lot, Expiry: v.Expiry, ExpiryText: v.ExpiryText})
	v.Device, v.Lot, v.Expiry, v.ExpiryText = filled.Device, filled.Lot, filled.Expiry, filled.ExpiryText
	return v
}

func (l lenient) dose(n *source.Node, where string) Dose {
	f := l.keys(n, where, "at", "zone", "side", "plane", "instrument", "gauge", "vial", "units", "volume", "refill",
		"response", "by")
	d := Dose{
		At: l.time(f, where, "at"), Zone: l.text(f, where, "zone"), Side: l.word(f, where, "side", sides),
		Plane:      l.word(f, where, "plane", l.words.Planes),
		Instrument: l.word(f, where, "instrument", l.words.Instruments), Gauge: l.text(f, where, "gauge"),
		Vial: l.count(f, where, "vial"), Refill: l.text(f, where, "refill"), Response: l.text(f, where, "response"),
		By: l.text(f, where, "by"), Span: n.Span,
	}
	d.Units, d.UnitsText = l.units(f, where, "units")
	d.Volume, d.VolumeText = l.volume(f, where, "volume")
	return d
}

func (l lenient) units(f source.Fields, where, key string) (measure.Units, string) {
	return lenientRead(l, f, where, key, func(l lenient, n *source.Node) measure.Units {
		if n == nil || n.Kind == source.Empty {
			return measure.Units{}
		}
		u, err := measure.ParseUnits(l.Text(n))
		if err != nil && n.Kind == source.Scalar {
			l.Wrong(n, err)
		}
		return u
	})
}

// Total is the sum of the units recorded; unread counts doses that say none or none that could be read, by
// which the sum is too small.
func (d *Dissolved) Total() (sum measure.Units, unread int) {
	if d == nil {
		return sum, 0
	}
	for _, dose := range d.Doses {
		if dose.UnitsText != "" || dose.Units.IsZero() {
			unread++
		}
		sum = sum.Add(dose.Units)
	}
	return sum, unread
}

// From gives the vial that a dose was drawn from: the one that it names, or the only one.
func (d *Dissolved) From(dose Dose) (int, bool) {
	switch {
	case dose.Vial > 0 && dose.Vial <= len(d.Vials):
		return dose.Vial - 1, true
	case dose.Vial == 0 && len(d.Vials) == 1:
		return 0, true
	}
	return 0, false
}

// against lists what is open or does not add up: vials, dilution, the decision on a test dose, observation.
func (d *Dissolved) against(stock clinic.Stock, on measure.Date) []Finding {
	if d == nil {
		return nil
	}
	var found []Finding
	add := func(id string, args map[string]any) { found = append(found, Finding{ID: id, Args: args, Span: d.Span}) }
	for i, v := range d.Vials {
		found = append(found, v.Code.findings("check.vial_code", "vial", i+1)...)
		v.against(i+1, stock, on, add)
	}
	drawn := make([]measure.Units, len(d.Vials))
	for i, dose := range d.Doses {
		from, ok := d.From(dose)
		if !ok {
			add("check.dose_without_vial", map[string]any{"row": i + 1})
			continue
		}
		drawn[from] = drawn[from].Add(dose.Units)
		v := d.Vials[from]
		whole := !v.Units.IsZero() && !v.MadeUp.IsZero() && !dose.Units.IsZero() && !dose.Volume.IsZero()
		if whole && !measure.InProportion(dose.Units, dose.Volume, v.Units, v.MadeUp) {
			add("check.dose_dilution", map[string]any{"row": i + 1, "vial": from + 1})
		}
	}
	for i, v := range d.Vials {
		if !v.Units.IsZero() && drawn[i].Cmp(v.Units) > 0 {
			add("check.vial_overdrawn", map[string]any{"vial": i + 1, "drawn": drawn[i], "units": v.Units})
		}
	}
	if _, unread := d.Total(); unread > 0 {
		add("check.units_unread", map[string]any{"n": unread})
	}
	if d.Patch.Decision == "" {
		add("check.patch_open", map[string]any{})
	}
	if len(d.Doses) > 0 && d.ObservedUntil.IsZero() {
		add("check.observation_open", map[string]any{})
	}
	return found
}

func (v Vial) against(number int, stock clinic.Stock, on measure.Date, add func(string, map[string]any)) {
	if strings.TrimSpace(v.Lot) == "" {
		add("check.vial_lot_missing", map[string]any{"vial": number})
	}
	switch {
	case v.Expiry.IsZero():
		add("check.vial_expiry_missing", map[string]any{"vial": number})
	case v.Expiry.Before(on):
		add("check.vial_expired", map[string]any{"vial": number, "expiry": v.Expiry})
	}
	what := v.Substance
	if what == "" {
		what = "hyaluronidase"
	}
	if r, ok := stock.Recalled(what, v.Lot); ok {
		add("check.vial_recalled", map[string]any{"vial": number, "lot": v.Lot, "on": r.On, "reason": r.Reason})
	}
}

// Node is the entry of dissolving.
func (d *Dissolved) Node() *source.Node {
	if d == nil {
		return nil
	}
	return filled(source.Map("reason", text(d.Reason), "filler", nodes(d.Filler), "patch_test", d.Patch.Node(),
		"vials", nodes(d.Vials), "doses", nodes(d.Doses), "observed_until", moment(d.ObservedUntil), "response", text(d.Response)))
}

// Node is an entry of filler.
func (f Filler) Node() *source.Node {
	return source.Map("product", text(f.Product), "lot", text(f.Lot), "date", text(f.Date), "clinic", text(f.Clinic),
		"zones", text(f.Zones), "visit", text(f.Visit))
}

// Node is the entry of patch_test.
func (p Patch) Node() *source.Node {
	return filled(source.Map("decision", text(p.Decision), "reason", text(p.Reason), "site", text(p.Site),
		"units", units(p.Units, p.UnitsText), "at", moment(p.At), "read_at", moment(p.ReadAt), "result", text(p.Result)))
}

// Node is an entry of vials.
func (v Vial) Node() *source.Node {
	t := device.Typed{Device: v.Device, Lot: v.Lot, Expiry: v.Expiry, ExpiryText: v.ExpiryText}
	if v.Code != nil {
		t = v.Code.Typed
	}
	return source.Map("substance", text(v.Substance), "origin", text(v.Origin), "lot", text(t.Lot), "device", text(t.Device),
		"carrier", text(v.Carrier), "expiry", expiry(t.Expiry, t.ExpiryText), "units", units(v.Units, v.UnitsText),
		"diluent", text(v.Diluent), "made_up", volume(v.MadeUp, v.MadeUpText))
}

// Node is an entry of doses.
func (d Dose) Node() *source.Node {
	return source.Map("at", moment(d.At), "zone", text(d.Zone), "side", text(d.Side), "plane", text(d.Plane),
		"instrument", text(d.Instrument), "gauge", text(d.Gauge), "vial", count(d.Vial), "units", units(d.Units, d.UnitsText),
		"volume", volume(d.Volume, d.VolumeText), "refill", text(d.Refill), "response", text(d.Response), "by", text(d.By))
}

func units(u measure.Units, typed string) *source.Node {
	if typed != "" || u.IsZero() {
		return text(typed)
	}
	return source.Text(u.String())
}

func expiry(d measure.Date, typed string) *source.Node {
	if typed != "" {
		return text(typed)
	}
	return date(d)
}
