package templates

import (
	"fmt"
	"strings"
	"time"

	"philtrum/forms/measure"
	"philtrum/forms/visit"
	"philtrum/locales"
)

var rowFields = kinds{
	"number": locales.KindCount, "zone": locales.KindRef, "side": locales.KindRef, "plane": locales.KindRef,
	"technique": locales.KindRef, "instrument": locales.KindRef, "gauge": locales.KindText, "length": locales.KindText,
	"product": locales.KindText, "lot": locales.KindText, "volume": locales.KindVolume,
	"passes": locales.KindCount, "entry_points": locales.KindCount, "refill": locales.KindText,
	"aspiration": locales.KindText, "syringe": locales.KindCount,
}

func rowItems(f *Facts) []item {
	var out []item
	for i, r := range f.rows() {
		p, _ := f.product(r.Product)
		side := term("side", r.Side)
		if z, ok := visit.Lists().Zone(r.Zone); ok && z.Midline && r.Side == "" {
			side = term("side", "midline")
		}
		out = append(out, item{values: map[string]locales.Value{
			"number": locales.Count(i + 1), "zone": term("zone", r.Zone), "side": side,
			"plane": term("plane", r.Plane), "technique": term("technique", r.Technique),
			"instrument": term("instrument", r.Instrument), "gauge": textOr(r.Gauge, "rows.gauge"),
			"length": textOr(r.LengthMm, "rows.length_mm"), "product": textOr(p.Name, "products.name"),
			"lot": textOr(r.Lot, "rows.lot"), "volume": readVolume(r.Volume, r.VolumeText, "rows.volume"),
			"passes": countOr(r.Passes), "entry_points": countOr(r.EntryPoints),
			"refill": textOr(r.Refill, "rows.refill"), "aspiration": textOr(r.Aspiration, "rows.aspiration"),
			"syringe": countOr(r.Syringe),
		}, facts: map[string]bool{"unread": r.VolumeText != ""}})
	}
	return out
}

// readVolume is a volume, or what was typed where it could not be read.
func readVolume(v measure.Volume, typed, field string) locales.Value {
	if typed != "" {
		return locales.AsWritten(typed, field)
	}
	if v.IsZero() {
		return locales.Blank()
	}
	return hundredths(v)
}

// hundredths is a volume with two decimals at least, as syringes are read and tables are added up; what was
// typed finer stays.
func hundredths(v measure.Volume) locales.Value {
	s := v.String()
	whole, part, _ := strings.Cut(s, ".")
	return locales.Volume(whole + "." + part + strings.Repeat("0", max(2-len(part), 0)))
}

func readDate(d measure.Date, typed, field string) locales.Value {
	if typed != "" {
		return locales.AsWritten(typed, field)
	}
	return dateOr(d)
}

func countOr(n int) locales.Value {
	if n == 0 {
		return locales.Blank()
	}
	return locales.Count(n)
}

func clockOr(t time.Time, f *Facts) locales.Value {
	if t.IsZero() {
		return locales.Blank()
	}
	return locales.Clock(t.In(f.zone()))
}

var productFields = kinds{
	"product": locales.KindText, "maker": locales.KindText, "class": locales.KindRef,
	"lidocaine_per_ml": locales.KindNumber, "lots": locales.KindList,
}

func productItems(f *Facts) []item {
	var out []item
	for _, p := range f.products() {
		lidocaine := locales.Blank()
		if p.LidocaineMgPerMl != "" {
			lidocaine = locales.Number(p.LidocaineMgPerMl)
		}
		out = append(out, item{values: map[string]locales.Value{
			"product": textOr(p.Name, "products.name"), "maker": textOr(p.Maker, "products.maker"),
			"class": term("class", p.Class), "lidocaine_per_ml": lidocaine, "lots": listOr(lotsOf(f, p.ID)),
		}, facts: map[string]bool{"lidocaine_in": p.Lidocaine, "bacterial": p.Bacterial, "dissolvable": p.Dissolves}})
	}
	return out
}

func lotsOf(f *Facts, product string) []locales.Value {
	var lots []string
	for _, s := range f.given().Syringes {
		if s.Product == product && !contains(lots, s.Lot) {
			lots = append(lots, s.Lot)
		}
	}
	return fields(lots, "syringes.lot")
}

var syringeFields = kinds{
	"number": locales.KindCount, "product": locales.KindText, "maker": locales.KindText, "class": locales.KindRef,
	"lot": locales.KindText, "device": locales.KindText, "expiry": locales.KindDate,
	"labelled": locales.KindVolume, "discarded": locales.KindVolume, "injected": locales.KindVolume,
}

func syringeItems(f *Facts) []item {
	t := f.given()
	injected := map[int]locales.Value{}
	for _, b := range t.Balances() {
		if len(b.Syringes) == 1 && !b.Unread {
			injected[b.Syringes[0]] = hundredths(b.Injected)
		}
	}
	var out []item
	for i, s := range t.Syringes {
		p, _ := f.product(s.Product)
		used, ok := injected[i+1]
		if !ok {
			used = locales.Blank()
		}
		out = append(out, item{values: map[string]locales.Value{
			"number": locales.Count(i + 1), "product": textOr(p.Name, "products.name"), "maker": textOr(p.Maker, "products.maker"),
			"class": term("class", p.Class), "lot": textOr(s.Lot, "syringes.lot"),
			"device": textOr(s.Device, "syringes.device"), "expiry": readDate(s.Expiry, s.ExpiryText, "syringes.expiry"),
			"labelled":  readVolume(s.Labelled, s.LabelledText, "syringes.labelled"),
			"discarded": discarded(s), "injected": used,
		}})
	}
	return out
}

// discarded may truly be nothing: a syringe that was used up.
func discarded(s visit.Syringe) locales.Value {
	if s.DiscardedText != "" {
		return locales.AsWritten(s.DiscardedText, "syringes.discarded")
	}
	return hundredths(s.Discarded)
}

var anaestheticFields = kinds{
	"substance": locales.KindText, "form": locales.KindText, "strength": locales.KindText, "lot": locales.KindText,
	"volume": locales.KindVolume, "dose": locales.KindDose, "time": locales.KindClock, "expiry": locales.KindDate,
}

func anaestheticItems(f *Facts) []item {
	var out []item
	for _, a := range f.given().Anaesthetics {
		dose := locales.Blank()
		if !a.Dose.IsZero() {
			dose = locales.Dose(a.Dose.String())
		}
		out = append(out, item{values: map[string]locales.Value{
			"substance": textOr(a.Substance, "anaesthetics.substance"), "form": textOr(a.Form, "anaesthetics.form"),
			"strength": textOr(a.Strength, "anaesthetics.strength"), "lot": textOr(a.Lot, "anaesthetics.lot"),
			"volume": readVolume(a.Volume, "", ""), "dose": dose, "time": clockOr(a.At, f), "expiry": dateOr(a.Expiry),
		}})
	}
	return out
}

func checkItems(f *Facts) []item {
	var out []item
	for _, c := range f.given().Checks {
		out = append(out, item{values: map[string]locales.Value{
			"what": term("check", c.What), "result": textOr(c.Result, "checks.result"), "time": clockOr(c.At, f),
		}})
	}
	return out
}

// kitItems are the clinic's emergency items; present says that the record names the item.
func kitItems(f *Facts) []item {
	var out []item
	for _, k := range f.Stock.Kit {
		out = append(out, item{values: map[string]locales.Value{
			"name": term("kit", k.Item), "lot": textOr(k.Lot.Number, "kit.lot"), "expiry": dateOr(k.Lot.Expiry),
		}, facts: map[string]bool{"present": contains(f.given().Kit, k.Item)}})
	}
	return out
}

var handedFields = kinds{
	"paper": locales.KindRef, "document": locales.KindText, "at": locales.KindDateTime,
	"how": locales.KindRef, "by": locales.KindText, "language": locales.KindRef,
}

func handedItems(f *Facts) []item {
	var out []item
	for _, h := range f.Visit.Handed {
		out = append(out, item{values: map[string]locales.Value{
			"paper": term("paper", h.Paper), "document": textOr(h.Document, "handed.document"),
			"at": momentOr(h.At, f), "how": said("how", h.How, "handed.how"), "by": textOr(f.person(h.By).Name, "handed.by"),
			"language": f.languageOf(h.Document),
		}, facts: map[string]bool{"explained_orally": h.Explained}})
	}
	return out
}

// languageOf is the language in which a document was issued.
func (f *Facts) languageOf(document string) locales.Value {
	for _, p := range f.Visit.Papers {
		if p.Document == document && document != "" {
			return languageName(p.Language)
		}
	}
	return locales.Blank()
}

func paperItems(f *Facts) []item {
	var out []item
	for _, p := range f.Visit.Papers {
		out = append(out, item{values: map[string]locales.Value{
			"paper": term("paper", p.Kind), "document": textOr(p.Document, "papers.document"), "at": momentOr(p.At, f),
		}})
	}
	return out
}

func routes(f *Facts) []item {
	var out []item
	for _, r := range f.Place.Reporting {
		if r.Value != "" {
			out = append(out, item{values: map[string]locales.Value{"route": locales.Ref(r.Value)}})
		}
	}
	return out
}

func unreadItems(f *Facts) []item {
	var out []item
	for _, u := range f.given().Unread {
		out = append(out, item{values: map[string]locales.Value{
			"where": locales.Text(u.Where), "typed": locales.AsWritten(u.Text, "treatment."+u.Where),
		}})
	}
	return out
}

// RecordFinding is what a check of the record says: a message with its placeholders.
type RecordFinding struct {
	ID   string
	Args locales.Args
}

// RecordFindings are what the checks of the record say; nothing in them holds the record up.
func (f *Facts) RecordFindings() []RecordFinding {
	if f.Visit.Treatment == nil && f.Visit.Review == nil {
		return nil
	}
	var out []RecordFinding
	for _, x := range f.Visit.Findings(f.Clinic, f.Stock, f.Covered, f.treatedOn()) {
		out = append(out, RecordFinding{x.ID, findingArgs(x.Args)})
	}
	return out
}

func recordFindings(f *Facts) []item {
	var out []item
	for _, x := range f.RecordFindings() {
		out = append(out, item{values: map[string]locales.Value{"finding": locales.RefWith(x.ID, x.Args)}})
	}
	return out
}

func findingArgs(args map[string]any) locales.Args {
	out := locales.Args{}
	for name, a := range args {
		switch a := a.(type) {
		case measure.Volume:
			out[name] = locales.Volume(a.String())
		case measure.Dose:
			out[name] = locales.Dose(a.String())
		case measure.Date:
			out[name] = dateOr(a)
		case int:
			out[name] = locales.Count(a)
		case measure.Units:
			out[name] = locales.Number(a.String())
		case visit.Word:
			out[name] = term(a.List, a.Code)
		case visit.Said:
			out[name] = locales.RefWith(a.ID, findingArgs(a.Args))
		case []string:
			out[name] = locales.List(fields(a, "record")...)
		default:
			out[name] = locales.Field(fmt.Sprint(a), "record")
		}
	}
	return out
}
