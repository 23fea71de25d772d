package templates

import (
	"slices"
	"strconv"
	"time"

	"philtrum/forms/measure"
	"philtrum/forms/visit"
	"philtrum/locales"
)

// The lists, values and facts of what follows an injection: dissolving, a complication, a review, changes of
// the record.
func init() {
	for name, l := range map[string]listOf{
		"filler": {fields: texts("product", "lot", "date", "clinic", "zones"), items: fillerItems},
		"vials": {fields: kinds{
			"number": locales.KindCount, "substance": locales.KindText, "origin": locales.KindText, "lot": locales.KindText, "expiry": locales.KindDate,
			"units": locales.KindNumber, "diluent": locales.KindText, "made_up": locales.KindVolume,
		}, items: vialItems},
		"doses": {fields: kinds{
			"number": locales.KindCount, "time": locales.KindClock, "zone": locales.KindRef, "side": locales.KindRef, "plane": locales.KindRef,
			"instrument": locales.KindRef, "gauge": locales.KindText, "vial": locales.KindCount, "units": locales.KindNumber,
			"volume": locales.KindVolume, "refill": locales.KindText, "response": locales.KindText, "by": locales.KindText,
		}, items: doseItems},
		"event_reports": {fields: texts("to", "on", "reference", "by"), items: reportItems},
		"photo_rows":    {fields: kinds{"view": locales.KindRef, "stage": locales.KindRef}, items: photoItems},
		"amendments": {fields: kinds{
			"where": locales.KindText, "was": locales.KindText, "now": locales.KindText, "by": locales.KindText, "why": locales.KindText, "at": locales.KindDateTime,
		}, items: amendmentItems},
		"original_rows": {fields: kinds{
			"zone": locales.KindRef, "side": locales.KindRef, "plane": locales.KindRef, "product": locales.KindText, "lot": locales.KindText, "volume": locales.KindVolume,
		}, items: originalRows},
		"carriers": {fields: kinds{"number": locales.KindCount, "maker": locales.KindText, "device": locales.KindText, "serial": locales.KindText, "code": locales.KindText}, items: carrierItems},
	} {
		lists[name] = l
	}
	values["kind"] = value{locales.KindRef, func(f *Facts) locales.Value {
		if title := titleOf(f.kind, f.Visit.Kind); title != "" {
			return locales.Ref(title)
		}
		return term("paper", f.kind)
	}}
	for _, view := range visit.Views {
		for _, stage := range visit.Stages {
			laterValues["photo_"+stage+"_"+view] = value{locales.KindText, func(f *Facts) locales.Value { return f.photo(view, stage) }}
		}
	}
	for name, v := range laterValues {
		values[name] = v
	}
	for name, holds := range map[string]func(*Facts) bool{
		"dissolved": func(f *Facts) bool { return f.given().Dissolved != nil },
		"an_event":  func(f *Facts) bool { return f.given().Event != nil },
		"reviewed":  func(f *Facts) bool { return f.Visit.Review != nil },
		"original":  func(f *Facts) bool { return f.original().ID != "" },
		"a_call":    func(f *Facts) bool { return f.Visit.Kind == visit.Call },
		"touching_up": func(f *Facts) bool {
			return f.review().TouchUp == "agreed"
		},
	} {
		truths[name] = holds
	}
}

func texts(names ...string) kinds {
	k := kinds{}
	for _, name := range names {
		k[name] = locales.KindText
	}
	return k
}

// laterValues are further entries of the table of values.
var laterValues = map[string]value{
	"recorded_at":     moment(func(f *Facts) time.Time { return f.given().Recorded }),
	"dissolve_reason": text(func(f *Facts) string { return f.dissolved().Reason }, "dissolving.reason"),
	"patch_decision": {locales.KindRef, func(f *Facts) locales.Value {
		return term("patch", f.dissolved().Patch.Decision)
	}},
	"patch_reason": text(func(f *Facts) string { return f.dissolved().Patch.Reason }, "dissolving.patch_test"),
	"patch_site":   text(func(f *Facts) string { return f.dissolved().Patch.Site }, "dissolving.patch_test"),
	"patch_units": {locales.KindNumber, func(f *Facts) locales.Value {
		return readUnits(f.dissolved().Patch.Units, f.dissolved().Patch.UnitsText, "dissolving.patch_test")
	}},
	"patch_at":          moment(func(f *Facts) time.Time { return f.dissolved().Patch.At }),
	"patch_read_at":     moment(func(f *Facts) time.Time { return f.dissolved().Patch.ReadAt }),
	"patch_result":      text(func(f *Facts) string { return f.dissolved().Patch.Result }, "dissolving.patch_test"),
	"observed_until":    moment(func(f *Facts) time.Time { return f.dissolved().ObservedUntil }),
	"dissolve_response": text(func(f *Facts) string { return f.dissolved().Response }, "dissolving.response"),
	"units_total": {locales.KindNumber, func(f *Facts) locales.Value {
		sum, _ := f.given().Dissolved.Total()
		return readUnits(sum, "", "")
	}},
	"event_onset":      moment(func(f *Facts) time.Time { return f.event().Onset }),
	"event_onset_text": text(func(f *Facts) string { return f.event().OnsetText }, "event.onset"),
	"event_noticed":    moment(func(f *Facts) time.Time { return f.event().Noticed }),
	"event_zone":       {locales.KindRef, func(f *Facts) locales.Value { return term("zone", f.event().Zone) }},
	"event_side":       {locales.KindRef, func(f *Facts) locales.Value { return term("side", f.event().Side) }},
	"event_harm":       {locales.KindRef, func(f *Facts) locales.Value { return term("harm", f.event().Seriousness) }},
	"event_of":         text(func(f *Facts) string { return f.event().Of }, "event.of"),
	"event_product":    text(func(f *Facts) string { return f.event().Product }, "event.product"),
	"event_lot":        text(func(f *Facts) string { return f.event().Lot }, "event.lot"),
	"event_signs":      text(func(f *Facts) string { return f.event().Signs }, "event.signs"),
	"event_pain":       text(func(f *Facts) string { return f.event().Pain }, "event.pain"),
	"event_refill":     text(func(f *Facts) string { return f.event().Refill }, "event.refill"),
	"event_vision":     text(func(f *Facts) string { return f.event().Vision }, "event.vision"),
	"event_done":       text(func(f *Facts) string { return f.event().Done }, "event.done"),
	"event_referred":   text(func(f *Facts) string { return f.event().Referred }, "event.referred"),
	"event_outcome":    text(func(f *Facts) string { return f.event().Outcome }, "event.outcome"),
	"event_told":       text(func(f *Facts) string { return f.event().Told }, "event.told"),
	"event_kept":       text(func(f *Facts) string { return f.event().Kept }, "event.kept"),

	"review_at":        moment(func(f *Facts) time.Time { return f.review().At }),
	"review_by":        text(reviewedBy, "review.by"),
	"review_words":     text(func(f *Facts) string { return f.review().Words }, "review.words"),
	"review_settled":   text(func(f *Facts) string { return f.review().Settled }, "review.settled"),
	"review_asymmetry": text(func(f *Facts) string { return f.review().Asymmetry }, "review.asymmetry"),
	"review_lumps":     text(func(f *Facts) string { return f.review().Lumps }, "review.lumps"),
	"review_colour":    text(func(f *Facts) string { return f.review().Colour }, "review.colour"),
	"review_function":  text(func(f *Facts) string { return f.review().Function }, "review.function"),
	"review_pain":      text(func(f *Facts) string { return f.review().Pain }, "review.pain"),
	"satisfaction":     text(func(f *Facts) string { return f.review().Satisfaction }, "review.satisfaction"),
	"review_agreed":    text(func(f *Facts) string { return f.review().Agreed }, "review.agreed"),
	"touch_up":         {locales.KindRef, func(f *Facts) locales.Value { return term("touch_up", f.review().TouchUp) }},
	"touch_up_where":   text(func(f *Facts) string { return f.review().TouchUpWhere }, "review.touch_up_where"),
	"review_complaint": text(func(f *Facts) string { return f.review().Complaint }, "review.complaint"),
	"review_notes":     text(func(f *Facts) string { return f.review().Notes }, "review.notes"),
	"next_review":      date(func(f *Facts) measure.Date { return f.review().NextOn }),

	"original_day":   date(func(f *Facts) measure.Date { return f.originalDay() }),
	"original_by":    text(func(f *Facts) string { return f.person(originalBy(f.original())).Name }, "treatment.by"),
	"original_visit": text(func(f *Facts) string { return f.original().ID }, "visit"),
	"original_days": count(func(f *Facts) int {
		day, now := f.originalDay(), f.treatedOn()
		if day.IsZero() || now.IsZero() {
			return -1
		}
		return day.DaysUntil(now)
	}),
}

func (f *Facts) dissolved() visit.Dissolved {
	if d := f.given().Dissolved; d != nil {
		return *d
	}
	return visit.Dissolved{}
}

func (f *Facts) event() visit.Event {
	if e := f.given().Event; e != nil {
		return *e
	}
	return visit.Event{}
}

func (f *Facts) review() visit.Reviewed {
	if f.Visit.Review != nil {
		return *f.Visit.Review
	}
	return visit.Reviewed{}
}

func reviewedBy(f *Facts) string {
	if by := f.review().By; by != "" {
		return f.person(by).Name
	}
	return f.Practitioner.Name
}

// original is the treatment that the visit looks back on: the one that the complication names, or the first
// with injections among the visits that this one continues, one after another.
func (f *Facts) original() visit.Visit {
	next := f.event().Of
	if _, known := f.earlier(next); !known {
		next = f.Visit.After
	}
	for range len(f.Earlier) {
		v, known := f.earlier(next)
		switch {
		case !known:
			return visit.Visit{}
		case v.Treatment != nil && len(v.Treatment.Rows) > 0:
			return v
		}
		next = v.After
	}
	return visit.Visit{}
}

func (f *Facts) earlier(id string) (visit.Visit, bool) {
	i := slices.IndexFunc(f.Earlier, func(v visit.Visit) bool { return v.ID == id })
	if i < 0 || id == "" {
		return visit.Visit{}, false
	}
	return f.Earlier[i], true
}

func (f *Facts) originalDay() measure.Date {
	v := f.original()
	if v.Treatment == nil {
		return measure.Date{}
	}
	if day := dayOf(v.Treatment.Start, f); !day.IsZero() {
		return day
	}
	return dayOf(v.Appointment, f)
}

func originalBy(v visit.Visit) string {
	if v.Treatment != nil && v.Treatment.By != "" {
		return v.Treatment.By
	}
	return v.Practitioner
}

func originalRows(f *Facts) []item {
	v := f.original()
	if v.Treatment == nil {
		return nil
	}
	t := *v.Treatment
	t.Rows = slices.Clone(t.Rows)
	t.Syringes = slices.Clone(t.Syringes)
	t.Resolve(f.Stock)
	var out []item
	for _, r := range t.Rows {
		p, _ := f.product(r.Product)
		out = append(out, item{values: map[string]locales.Value{
			"zone": term("zone", r.Zone), "side": term("side", r.Side), "plane": term("plane", r.Plane),
			"product": textOr(p.Name, "products.name"), "lot": textOr(r.Lot, "rows.lot"),
			"volume": readVolume(r.Volume, r.VolumeText, "rows.volume"),
		}})
	}
	return out
}

func readUnits(u measure.Units, typed, field string) locales.Value {
	switch {
	case typed != "":
		return locales.AsWritten(typed, field)
	case u.IsZero():
		return locales.Blank()
	}
	return locales.Number(u.String())
}

func fillerItems(f *Facts) []item {
	var out []item
	for _, x := range f.dissolved().Filler {
		p, _ := f.product(x.Product)
		out = append(out, item{values: map[string]locales.Value{
			"product": textOr(p.Name, "filler.product"), "lot": textOr(x.Lot, "filler.lot"), "date": textOr(x.Date, "filler.date"),
			"clinic": textOr(x.Clinic, "filler.clinic"), "zones": textOr(x.Zones, "filler.zones"),
		}})
	}
	return out
}

func vialItems(f *Facts) []item {
	var out []item
	for i, v := range f.dissolved().Vials {
		out = append(out, item{values: map[string]locales.Value{
			"number": locales.Count(i + 1), "substance": textOr(v.Substance, "vials.substance"), "origin": textOr(v.Origin, "vials.origin"),
			"lot": textOr(v.Lot, "vials.lot"), "expiry": readDate(v.Expiry, v.ExpiryText, "vials.expiry"),
			"units": readUnits(v.Units, v.UnitsText, "vials.units"), "diluent": textOr(v.Diluent, "vials.diluent"),
			"made_up": readVolume(v.MadeUp, v.MadeUpText, "vials.made_up"),
		}})
	}
	return out
}

func doseItems(f *Facts) []item {
	var out []item
	dissolved := f.dissolved()
	for i, d := range dissolved.Doses {
		vial := locales.Blank()
		if from, ok := dissolved.From(d); ok {
			vial = locales.Count(from + 1)
		}
		out = append(out, item{values: map[string]locales.Value{
			"number": locales.Count(i + 1), "time": clockOr(d.At, f), "zone": term("zone", d.Zone), "side": term("side", d.Side),
			"plane": term("plane", d.Plane), "instrument": term("instrument", d.Instrument), "gauge": textOr(d.Gauge, "doses.gauge"),
			"vial": vial, "units": readUnits(d.Units, d.UnitsText, "doses.units"), "volume": readVolume(d.Volume, d.VolumeText, "doses.volume"),
			"refill": textOr(d.Refill, "doses.refill"), "response": textOr(d.Response, "doses.response"), "by": textOr(f.person(d.By).Name, "doses.by"),
		}})
	}
	return out
}

func reportItems(f *Facts) []item {
	var out []item
	for _, r := range f.event().Reports {
		out = append(out, item{values: map[string]locales.Value{
			"to": textOr(r.To, "reports.to"), "on": textOr(r.On, "reports.on"), "reference": textOr(r.Reference, "reports.reference"),
			"by": textOr(f.person(r.By).Name, "reports.by"),
		}})
	}
	return out
}

// taken are the photographs of the visit.
func (f *Facts) taken() []visit.View {
	return append(slices.Clone(f.given().Views), f.review().Views...)
}

// photo is what was taken of a view, before or after; a dash once any photograph is recorded but not this one.
func (f *Facts) photo(view, stage string) locales.Value {
	for _, v := range f.taken() {
		if v.View == view && v.Stage == stage {
			return photo(v, f)
		}
	}
	return locales.Text("–")
}

// photoItems are the photographs, one by one.
func photoItems(f *Facts) []item {
	var out []item
	for _, v := range f.taken() {
		out = append(out, item{values: map[string]locales.Value{"view": term("view", v.View), "stage": term("stage", v.Stage)}})
	}
	return out
}

// photo is when a photograph was taken and where it is kept.
func photo(v visit.View, f *Facts) locales.Value {
	kept := v.File
	if !v.At.IsZero() {
		at := v.At.In(f.zone())
		clock := pad(at.Hour()) + ":" + pad(at.Minute())
		if kept != "" {
			clock += " · "
		}
		kept = clock + kept
	}
	if kept == "" {
		kept = "✓"
	}
	return locales.Field(kept, "views")
}

func pad(n int) string {
	if n < 10 {
		return "0" + strconv.Itoa(n)
	}
	return strconv.Itoa(n)
}

func amendmentItems(f *Facts) []item {
	var out []item
	for _, a := range f.Visit.Amendments {
		out = append(out, item{values: map[string]locales.Value{
			"where": textOr(a.Where, "amendments.where"), "was": written(a.Was), "now": written(a.Now),
			"by": textOr(f.person(a.By).Name, "amendments.by"), "why": textOr(a.Why, "amendments.why"), "at": momentOr(a.At, f),
		}})
	}
	return out
}

// written is a value as it stood in the record; nothing is a dash.
func written(s string) locales.Value {
	if s == "" {
		return locales.Text("–")
	}
	return locales.Field(s, "amendments")
}

// carrierItems are the codes of syringes exactly as they were scanned, with the serial number they hold.
func carrierItems(f *Facts) []item {
	var out []item
	for i, s := range f.given().Syringes {
		p, _ := f.product(s.Product)
		if s.Device == "" && s.Code == nil && p.Maker == "" {
			continue
		}
		serial, code := "", ""
		if s.Code != nil {
			serial, code = s.Code.Carrier.Serial, pictures(s.Carrier)
		}
		out = append(out, item{values: map[string]locales.Value{
			"number": locales.Count(i + 1), "maker": textOr(p.Maker, "products.maker"),
			"device": textOr(s.Device, "syringes.device"), "serial": textOr(serial, "syringes.serial"),
			"code": textOr(code, "syringes.carrier"),
		}})
	}
	return out
}

// separator names a control character between angle brackets: <GS> ends a field of a code (GS1 General
// Specifications), others stand by their number.
func separator(r rune) string {
	if r == 0x1d {
		return "<GS>"
	}
	return "<" + strconv.Itoa(int(r)) + ">"
}

// pictures shows the control characters of a code, which no face has.
func pictures(code string) string {
	var out []rune
	for _, r := range code {
		if r < 0x20 {
			out = append(out, []rune(separator(r))...)
			continue
		}
		out = append(out, r)
	}
	return string(out)
}
