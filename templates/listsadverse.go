package templates

import (
	"slices"
	"strings"
	"time"

	"philtrum/forms/clinic"
	"philtrum/forms/measure"
	"philtrum/forms/visit"
	"philtrum/locales"
)

// What a report of an adverse event says: of the patient a number, age, sex and weight and no more, of the
// treatment that the event follows its time, people, places and devices (21 CFR 803.32, blocks A, B and D).
func init() {
	ref := locales.KindRef
	for name, v := range map[string]value{
		"adverse_sex": {ref, func(f *Facts) locales.Value {
			if s := f.Patient.Sex; s == "female" || s == "male" || s == "other" {
				return locales.Ref("adverse.sex." + s)
			}
			return locales.Blank()
		}},
		"adverse_weight": {locales.KindNumber, func(f *Facts) locales.Value {
			if w := f.blamed().Treatment; w != nil && !w.Weight.IsZero() {
				return locales.Number(w.Weight.String())
			}
			return locales.Blank()
		}},
		"adverse_start": moment(func(f *Facts) time.Time { return f.blamedAt() }),
		"adverse_by":    text(func(f *Facts) string { return f.blamedBy().Name }, "treatment.by"),
		"adverse_profession": {ref, func(f *Facts) locales.Value {
			return said("profession", f.blamedBy().Profession, "staff.profession")
		}},
		"adverse_tests":         text(func(f *Facts) string { return f.event().Tests }, "event.tests"),
		"adverse_history":       text(func(f *Facts) string { return f.event().History }, "event.history"),
		"adverse_resolved":      date(func(f *Facts) measure.Date { return f.event().Resolved }),
		"adverse_resolved_text": text(func(f *Facts) string { return f.event().ResolvedText }, "event.resolved"),
		"adverse_beside":        text(func(*Facts) string { return "" }, "event.zone"), // a line to write on
	} {
		values[name] = v
	}
	truths["adverse_same_zone"] = func(f *Facts) bool { there, known := f.injectedThere(); return known && there }
	truths["adverse_other_zone"] = func(f *Facts) bool { there, known := f.injectedThere(); return known && !there }
	for name, l := range map[string]listOf{
		"adverse_devices": {fields: kinds{
			"product": locales.KindText, "class": ref, "maker": locales.KindText, "device": locales.KindText, "lot": locales.KindText,
			"serial": locales.KindText, "expiry": locales.KindDate, "code": locales.KindText,
		}, items: blamedDevices},
		"adverse_rows":   {fields: rowFields, facts: []string{"unread"}, items: blamedRows},
		"adverse_others": {fields: kinds{"name": locales.KindText, "lot": locales.KindText}, items: otherProducts},
		"adverse_unread": {fields: kinds{"typed": locales.KindText}, items: unreadEvent},
	} {
		lists[name] = l
	}
}

// blamed is the visit whose filler the event is about; zero where no visit of this clinic says it.
func (f *Facts) blamed() visit.Visit {
	v, _ := f.Visit.Blamed(f.Earlier)
	if v.Treatment != nil {
		t := *v.Treatment
		t.Rows, t.Syringes = slices.Clone(t.Rows), slices.Clone(t.Syringes)
		t.Resolve(f.Stock)
		v.Treatment = &t
	}
	return v
}

func (f *Facts) blamedAt() time.Time {
	if t := f.blamed().Treatment; t != nil {
		return t.Start
	}
	return time.Time{}
}

// blamedBy is who injected; zero where no visit of this clinic says it.
func (f *Facts) blamedBy() clinic.Person {
	v := f.blamed()
	if v.ID == "" && v.Treatment == nil {
		return clinic.Person{}
	}
	return f.person(originalBy(v))
}

// injectedThere says whether the filler went into the zone of the event; an area holds its zones. Where either
// is not written down, that is not known.
func (f *Facts) injectedThere() (there, known bool) {
	zone, v := f.event().Zone, f.blamed()
	if zone == "" || v.Treatment == nil || len(v.Treatment.Rows) == 0 {
		return false, false
	}
	for _, r := range v.Treatment.Rows {
		if r.Zone == "" {
			return false, false
		}
		if r.Zone == zone || strings.HasPrefix(r.Zone, zone+"-") || strings.HasPrefix(zone, r.Zone+"-") || zone == "LIPS" || r.Zone == "LIPS" {
			return true, true
		}
	}
	return false, true
}

// blamedDevices are the units that were opened; what else the rows name; or what the event itself says.
func blamedDevices(f *Facts) []item {
	var out []item
	add := func(product, lot, device, serial, code string, expiry locales.Value) {
		p, _ := f.product(product)
		out = append(out, item{values: map[string]locales.Value{
			"product": textOr(p.Name, "products.name"), "class": term("class", p.Class), "maker": textOr(p.Maker, "products.maker"),
			"device": textOr(device, "syringes.device"), "lot": textOr(lot, "syringes.lot"), "serial": textOr(serial, "syringes.serial"),
			"expiry": expiry, "code": textOr(code, "syringes.carrier"),
		}})
	}
	seen := map[string]bool{}
	if t := f.blamed().Treatment; t != nil {
		for _, s := range t.Syringes {
			serial, code := "", ""
			if s.Code != nil {
				serial, code = s.Code.Carrier.Serial, pictures(s.Carrier)
			}
			add(s.Product, s.Lot, s.Device, serial, code, readDate(s.Expiry, s.ExpiryText, "syringes.expiry"))
			seen[s.Product+"\n"+s.Lot] = true
		}
		for _, r := range t.Rows {
			if key := r.Product + "\n" + r.Lot; r.Product+r.Lot != "" && !seen[key] {
				add(r.Product, r.Lot, "", "", "", locales.Blank())
				seen[key] = true
			}
		}
	}
	if e := f.event(); len(out) == 0 && e.Product+e.Lot != "" {
		add(e.Product, e.Lot, "", "", "", locales.Blank())
	}
	return out
}

func blamedRows(f *Facts) []item {
	t := f.blamed().Treatment
	if t == nil {
		return nil
	}
	of := Facts{Visit: visit.Visit{Treatment: t}, Stock: f.Stock}
	return rowItems(&of)
}

// otherProducts are what else was used: at the treatment, and for the event.
func otherProducts(f *Facts) []item {
	var out []item
	seen := map[string]bool{}
	add := func(name, lot string) {
		if key := name + "\n" + lot; name+lot != "" && !seen[key] {
			seen[key] = true
			out = append(out, item{values: map[string]locales.Value{"name": textOr(name, "anaesthetics.substance"), "lot": textOr(lot, "anaesthetics.lot")}})
		}
	}
	for _, t := range []*visit.Given{f.blamed().Treatment, f.Visit.Treatment} {
		if t == nil {
			continue
		}
		for _, a := range t.Anaesthetics {
			add(strings.TrimSpace(a.Substance+" "+a.Strength), a.Lot)
		}
		if t.Dissolved != nil {
			for _, v := range t.Dissolved.Vials {
				add(v.Substance, v.Lot)
			}
		}
	}
	return out
}

// unreadEvent is what was typed of the event and could not be read.
func unreadEvent(f *Facts) []item {
	var out []item
	for _, u := range f.given().Unread {
		if strings.HasPrefix(u.Where, "event.") && u.Where != "event.resolved" {
			out = append(out, item{values: map[string]locales.Value{"typed": locales.AsWritten(u.Text, "treatment."+u.Where)}})
		}
	}
	return out
}
