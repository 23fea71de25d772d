package clinic

import (
	"slices"

	"philtrum/forms"
	"philtrum/forms/device"
	"philtrum/forms/measure"
	"philtrum/forms/source"
)

// KitItems are what an emergency kit may list.
var KitItems = []string{
	"hyaluronidase", "adrenaline", "aspirin", "oxygen", "antihistamine", "hydrocortisone", "salbutamol", "glucose",
	"saline", "warm_compress", "glyceryl_trinitrate", "defibrillator",
}

func (v reader) stock(n *source.Node) Stock {
	f := v.Fields(n, "products", "kit", "guide", "recalled")
	var s Stock
	ids := ids{v, map[string]source.Span{}}
	for _, item := range v.List(f.Get("products")) {
		p := v.product(item)
		ids.add(item, p.ID)
		s.Products = append(s.Products, p)
	}
	for _, item := range v.List(f.Get("kit")) {
		g := v.Fields(item, "item", "number", "expiry", "count")
		s.Kit = append(s.Kit, KitItem{Item: v.OneOf(g.Need("item"), KitItems...), Lot: v.lotFields(item, g)})
	}
	for _, item := range v.List(f.Get("recalled")) {
		s.Recalls = append(s.Recalls, v.recall(item))
	}
	s.Guide = v.guide(f.Get("guide"))
	return s
}

func (v reader) product(n *source.Node) Product {
	f := v.Fields(n, "id", "name", "class", "maker", "devices", "volume", "lidocaine", "lidocaine_mg_per_ml",
		"bacterial", "dissolves", "session_limit", "stock")
	p := Product{
		ID:        v.ID(f.Need("id")),
		Name:      v.needed(f, "name"),
		Class:     v.OneOf(f.Need("class"), Classes...),
		Maker:     v.Text(f.Get("maker")),
		Devices:   v.Texts(f.Get("devices")),
		Volume:    v.Volume(f.Need("volume")),
		Lidocaine: v.decided(f, "lidocaine"),
		Bacterial: v.decided(f, "bacterial"),
		Dissolves: v.decided(f, "dissolves"),
		Span:      n.Span,

		SessionLimit: v.Volume(f.Get("session_limit")),
	}
	p.LidocaineMgPerMl = v.content(f.Get("lidocaine_mg_per_ml"))
	open := f.Get("lidocaine") == nil || f.Get("lidocaine").Kind == source.Empty
	if !open && (p.LidocaineMgPerMl != "") != p.Lidocaine {
		v.ReportAt(n.Span, "problem.lidocaine_content", nil)
	}
	for _, item := range v.List(f.Get("stock")) {
		lot := v.lotFields(item, v.Fields(item, "number", "expiry", "count"))
		if first, twice := p.Lot(lot.Number); twice {
			v.Report(item, "problem.id_twice", map[string]any{"id": lot.Number, "line": first.Span.Line})
		}
		p.Stock = append(p.Stock, lot)
	}
	return p
}

// decided is yes or no; leaving it open is a problem, because unknown is never no.
func (v reader) decided(f source.Fields, key string) bool {
	n := f.Need(key)
	if n != nil && n.Kind == source.Empty {
		v.Report(n, "problem.empty_value", map[string]any{"key": key})
	}
	return v.YesNo(n)
}

// content reads mg per mL: above zero, at most 40 (the strongest solutions in use are 4 %).
func (v reader) content(n *source.Node) string {
	if n == nil || n.Kind == source.Empty {
		return ""
	}
	d := v.Number(n)
	if most, _ := forms.CompareNumbers(d.String(), "40"); most > 0 || d.IsNegative() {
		v.Report(n, "problem.number_range", map[string]any{"least": 0, "most": 40})
		return ""
	}
	if d.IsZero() {
		return ""
	}
	return d.String()
}

// lotFields reads a lot; its number stays as typed, and an expiry of a month ends on its last day
// (GS1 General Specifications: day 00).
func (v reader) lotFields(n *source.Node, f source.Fields) Lot {
	lot := Lot{Number: v.needed(f, "number"), Count: v.Int(f.Get("count"), 0, 100_000), Span: n.Span}
	e := f.Need("expiry")
	switch expiry := v.Partial(e); {
	case expiry.IsZero():
	case expiry.Month == 0:
		v.Report(e, "problem.expiry_year", nil)
	default:
		lot.Expiry = expiry.Latest()
	}
	return lot
}

// Expired says whether the lot may no longer be used on a day: the day of expiry itself is still good. A
// lot without a date is expired.
func (l Lot) Expired(day measure.Date) bool { return l.Expiry.IsZero() || day.After(l.Expiry) }

// Lot finds a lot of the product; case and spaces at the ends do not count.
func (p Product) Lot(number string) (Lot, bool) {
	i := slices.IndexFunc(p.Stock, func(l Lot) bool { return device.SameLot(l.Number, number) })
	if i < 0 {
		return Lot{}, false
	}
	return p.Stock[i], true
}

// Product finds a line by its id.
func (s Stock) Product(id string) (Product, bool) {
	i := slices.IndexFunc(s.Products, func(p Product) bool { return p.ID == id })
	if i < 0 || id == "" {
		return Product{}, false
	}
	return s.Products[i], true
}

// Device finds the one line that a device identifier belongs to; two lines that claim it give neither.
func (s Stock) Device(identifier string) (Product, bool) {
	var found []Product
	for _, p := range s.Products {
		if identifier != "" && p.Has(identifier) {
			found = append(found, p)
		}
	}
	if len(found) != 1 {
		return Product{}, false
	}
	return found[0], true
}

// Has says whether a device identifier is one of the line's: a GTIN of 8, 12 or 13 digits is the same as that
// of 14 with zeros before it.
func (p Product) Has(identifier string) bool {
	want := device.Normal(identifier)
	return slices.ContainsFunc(p.Devices, func(id string) bool { return device.Normal(id) == want })
}

// InKit lists the items of a kind that are still good on a day.
func (s Stock) InKit(item string, day measure.Date) []KitItem {
	var good []KitItem
	for _, k := range s.Kit {
		if k.Item == item && !k.Lot.Expired(day) {
			good = append(good, k)
		}
	}
	return good
}
