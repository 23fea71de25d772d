package templates

import (
	"slices"
	"time"

	"philtrum/forms"
	"philtrum/forms/measure"
	"philtrum/forms/visit"
	"philtrum/locales"
)

// What papers say that are made after the needle, or without any visit: filler that was laid, here or at an
// earlier visit, and what the patient said to a letter.
func init() {
	laid := kinds{
		"laid_on": locales.KindDate, "product": locales.KindText, "class": locales.KindRef,
		"lot": locales.KindText, "laid_zones": locales.KindList, "laid_areas": locales.KindList, "laid_volume": locales.KindVolume, "laid_tools": locales.KindList,
	}
	lists["laid"] = listOf{fields: laid, items: func(f *Facts) []item { return f.laidIn(f.treatments()) }}
	lists["laid_here"] = listOf{fields: laid, items: func(f *Facts) []item { return f.laidIn([]visit.Visit{f.Visit}) }}
	truths["medicines_none"] = func(f *Facts) bool { return f.saidNone("prescribed") && f.saidNone("own_medicines") }
	truths["allergies_none"] = func(f *Facts) bool { return f.saidNone("allergies") }
	values["letter_on"] = moment(func(f *Facts) time.Time { return f.letter().At })
	values["letter_by"] = text(func(f *Facts) string { return f.person(f.letter().By).Name }, "staff.name")
	values["told_medicines"] = list(func(f *Facts) []locales.Value {
		return append(f.saidOf("prescribed"), f.saidOf("own_medicines")...)
	})
	values["told_allergies"] = list(func(f *Facts) []locales.Value { return f.saidOf("allergies") })
}

func (f *Facts) letter() visit.Letter {
	if f.Visit.Letter == nil {
		return visit.Letter{}
	}
	return *f.Visit.Letter
}

// treatments are the visits in which something was injected, newest first: this one and the earlier ones.
func (f *Facts) treatments() []visit.Visit {
	out := []visit.Visit{f.Visit}
	for _, v := range slices.Backward(f.Earlier) {
		out = append(out, v)
	}
	return slices.DeleteFunc(out, func(v visit.Visit) bool { return !laidSomething(v) })
}

func laidSomething(v visit.Visit) bool {
	return v.Treatment != nil && len(v.Treatment.Rows)+len(v.Treatment.Syringes) > 0
}

// laidIn lists what was injected at each visit, an item for each product and lot.
func (f *Facts) laidIn(visits []visit.Visit) []item {
	var out []item
	for _, v := range visits {
		if !laidSomething(v) {
			continue
		}
		on := f.dayLaid(v)
		for _, l := range lots(*v.Treatment) {
			p, _ := f.product(l.product)
			out = append(out, item{values: map[string]locales.Value{
				"laid_on": dateOr(on), "product": textOr(p.Name, "products.name"), "class": term("class", p.Class),
				"lot": textOr(l.lot, "syringes.lot"), "laid_zones": listOr(l.where()), "laid_areas": listOr(l.areas), "laid_volume": l.volume(),
				"laid_tools": listOr(l.tools),
			}})
		}
	}
	return out
}

func (f *Facts) dayLaid(v visit.Visit) measure.Date {
	switch t := v.Treatment; {
	case !t.Start.IsZero():
		return dayOf(t.Start, f)
	case !t.End.IsZero():
		return dayOf(t.End, f)
	}
	return dayOf(v.Appointment, f)
}

// lot is what of one product and lot went in at a visit.
type lot struct {
	product, lot string
	sum          measure.Volume
	unread       string
	zones, areas []locales.Value
	tools        []locales.Value
	seen         []string
}

// volume is the sum; what could not be read stands beside it as it was typed.
func (l *lot) volume() locales.Value {
	if l.unread != "" && !l.sum.IsZero() {
		return locales.AsWritten(l.sum.String()+" + "+l.unread, "rows.volume")
	}
	return readVolume(l.sum, l.unread, "rows.volume")
}

// manyZones are more than a table says well: their areas stand there, and the map shows the rest.
const manyZones = 6

func (l *lot) where() []locales.Value {
	if len(l.zones) > manyZones {
		return l.areas
	}
	return l.zones
}

// lots groups the rows by product and lot; a syringe that no row names stands without volume.
func lots(g visit.Given) []*lot {
	var out []*lot
	find := func(product, number string) *lot {
		for _, l := range out {
			if l.product == product && l.lot == number {
				return l
			}
		}
		l := &lot{product: product, lot: number}
		out = append(out, l)
		return l
	}
	for _, s := range g.Syringes {
		find(s.Product, s.Lot)
	}
	for _, r := range g.Rows {
		product, number := r.Product, r.Lot
		switch i := r.Syringe - 1; {
		case i >= 0 && i < len(g.Syringes):
			product, number = g.Syringes[i].Product, g.Syringes[i].Lot
		case len(out) == 1 && (product == "" || product == out[0].product) && (number == "" || number == out[0].lot):
			product, number = out[0].product, out[0].lot
		}
		find(product, number).add(r)
	}
	return out
}

func (l *lot) add(r visit.Row) {
	l.sum = l.sum.Add(r.Volume)
	if l.unread == "" {
		l.unread = r.VolumeText
	}
	side := r.Side
	if z, ok := visit.Lists().Zone(r.Zone); ok && z.Midline {
		side = "midline"
	}
	once := func(key string, to *[]locales.Value, v locales.Value) {
		if key != "" && !slices.Contains(l.seen, key) {
			l.seen = append(l.seen, key)
			*to = append(*to, v)
		}
	}
	once("zone "+r.Zone+" "+side, &l.zones, locales.RefWith("occlusion.laid.zone", locales.Args{"zone": term("zone", r.Zone), "side": term("side", side)}))
	area := r.Zone
	if z, ok := visit.Lists().Zone(r.Zone); ok && z.Area != "" {
		area = z.Area
	}
	once("area "+area, &l.areas, term("zone", area))
	if r.Instrument != "" {
		once("instrument "+r.Instrument, &l.tools, term("instrument", r.Instrument))
	}
	if r.Plane != "" {
		once("plane "+r.Plane, &l.tools, term("plane", r.Plane))
	}
}

// saidOf are the words of a list that was answered; none where it was not, or where nothing stands in it.
func (f *Facts) saidOf(id string) []locales.Value {
	q, a, ok := f.saidTo(id)
	if !ok || len(a.Value.Choices)+len(a.Value.Names) == 0 {
		return nil
	}
	return saidWords(q, a.Value)
}

// saidNone says whether a list was answered with nothing in it, which is another thing than no answer.
func (f *Facts) saidNone(id string) bool {
	_, a, ok := f.saidTo(id)
	return ok && len(a.Value.Choices)+len(a.Value.Names) == 0
}

func (f *Facts) saidTo(id string) (*forms.Question, forms.Answer, bool) {
	if f.Intake.Form == nil {
		return nil, forms.Answer{}, false
	}
	q, ok := f.Intake.Form.Question(id)
	if !ok {
		return nil, forms.Answer{}, false
	}
	a, given := f.Intake.Answer(id)
	return q, a, given && a.State == forms.Given
}
