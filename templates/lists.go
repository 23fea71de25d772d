package templates

import (
	"slices"
	"strings"

	"philtrum/forms/measure"
	"philtrum/forms/screen"
	"philtrum/forms/source"
	"philtrum/forms/visit"
	"philtrum/locales"
)

// item is one entry of a list: its own values and facts.
type item struct {
	values map[string]locales.Value
	late   map[string]late
	facts  map[string]bool
}

// late is a message of a rule. Its arguments are the rule's texts, which take the kinds that the message
// declares; only a printer knows them.
type late struct {
	id   string
	args map[string]string
}

// listOf is a list that a template may go through: what its items say, and how it is made.
type listOf struct {
	fields map[string]locales.Kind
	facts  []string
	items  func(*Facts) []item
}

// listDays stands for the days of one row of a table; it has one item.
const listDays = "days"

// list reads the name of a list.
func (l *loader) list(n *source.Node) string {
	name := l.r.Text(n)
	if !listKnown(name) {
		l.unknown(n, "problem.unknown_list", name, listNames())
	}
	return name
}

func listKnown(name string) bool {
	_, ok := lists[name]
	return ok && name != listDays
}

func listNames() []string {
	var names []string
	for name := range lists {
		if name != listDays {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	return names
}

type kinds = map[string]locales.Kind

// lists is the closed table of lists.
var lists map[string]listOf

func init() {
	lists = map[string]listOf{
		listDays: {
			fields: kinds{"first": locales.KindCount, "last": locales.KindCount, "first_date": locales.KindDate, "last_date": locales.KindDate},
			facts:  []string{oneDay},
		},
		"own_risks":       {fields: kinds{"risk": locales.KindRef}, items: func(f *Facts) []item { return added(f, "risk", consentAdds) }},
		"aftercare_adds":  {fields: kinds{"advice": locales.KindRef}, items: func(f *Facts) []item { return added(f, "advice", aftercareAdds) }},
		"findings":        {fields: findingFields, facts: findingFacts, items: func(f *Facts) []item { return findings(f, func(screen.Finding) bool { return true }) }},
		"open_findings":   {fields: findingFields, facts: findingFacts, items: func(f *Facts) []item { return findings(f, screen.Finding.Open) }},
		"boxes":           {fields: findingFields, facts: findingFacts, items: func(f *Facts) []item { return findings(f, byPen) }},
		"decided":         {fields: findingFields, facts: findingFacts, items: func(f *Facts) []item { return findings(f, settled) }},
		"known_findings":  {fields: findingFields, facts: findingFacts, items: func(f *Facts) []item { return findings(f, known) }},
		"on_the_day":      {fields: kinds{"question": locales.KindRef}, items: onTheDayItems},
		"asks":            {fields: askFields, facts: askFacts, items: asks},
		"asks_first":      {fields: askFields, facts: askFacts, items: func(f *Facts) []item { first, _ := halves(columnAsks(f)); return first }},
		"asks_second":     {fields: askFields, facts: askFacts, items: func(f *Facts) []item { _, second := halves(columnAsks(f)); return second }},
		"unanswered":      {fields: kinds{"question": locales.KindRef}, items: unanswered},
		"talk":            {fields: askFields, facts: askFacts, items: talk},
		"patient_asks":    {fields: kinds{"question": locales.KindRef}, items: patientAsks},
		"missing":         {fields: kinds{"question": locales.KindRef, "why": locales.KindRef}, items: missing},
		"zone_list":       {fields: kinds{"zone": locales.KindRef}, items: zoneItems},
		"rows":            {fields: rowFields, facts: []string{"unread"}, items: rowItems},
		"by_zone":         {fields: sumFields, items: func(f *Facts) []item { return sums(f.tally().byZone, "zone") }},
		"by_lip":          {fields: sumFields, items: func(f *Facts) []item { return sums(f.tally().byLip, "lip") }},
		"by_side":         {fields: sumFields, items: func(f *Facts) []item { return sums(f.tally().bySide, "side") }},
		"by_product":      {fields: kinds{"heading": locales.KindText, "volume": locales.KindVolume}, items: productSums},
		"product_list":    {fields: productFields, facts: []string{"lidocaine_in", "bacterial", "dissolvable"}, items: productItems},
		"syringes":        {fields: syringeFields, items: syringeItems},
		"anaesthetics":    {fields: anaestheticFields, items: anaestheticItems},
		"checks":          {fields: kinds{"what": locales.KindRef, "result": locales.KindText, "time": locales.KindClock}, items: checkItems},
		"kit":             {fields: kinds{"name": locales.KindRef, "lot": locales.KindText, "expiry": locales.KindDate}, facts: []string{"present"}, items: kitItems},
		"handed":          {fields: handedFields, facts: []string{"explained_orally"}, items: handedItems},
		"papers":          {fields: kinds{"paper": locales.KindRef, "document": locales.KindText, "at": locales.KindDateTime}, items: paperItems},
		"record_findings": {fields: kinds{"finding": locales.KindRef}, items: recordFindings},
		"unread_values":   {fields: kinds{"where": locales.KindText, "typed": locales.KindText}, items: unreadItems},
		"card_lots":       {fields: syringeFields, items: cardLots},
		"reports_to":      {fields: kinds{"route": locales.KindRef}, items: routes},
		"recalled_lots":   {fields: recallFields, items: recalledItems},
	}
}

func consentAdds(a screen.Adds) []string   { return a.Consent }
func aftercareAdds(a screen.Adds) []string { return a.Aftercare }

// added are the messages that findings add to a paper, each once, with the finding's own arguments.
func added(f *Facts, name string, of func(screen.Adds) []string) []item {
	var out []item
	var seen []string
	for _, found := range f.Report.Findings {
		// The information is what starts the time to think it over: what is found of that time while it is
		// printed is no risk of the patient's.
		if f.kind == "information" && strings.HasPrefix(found.Rule, "reflection.") {
			continue
		}
		for _, id := range of(found.Adds) {
			if slices.Contains(seen, id) {
				continue
			}
			seen = append(seen, id)
			out = append(out, item{late: map[string]late{name: {id, found.Args}}})
		}
	}
	return out
}

func zoneItems(f *Facts) []item {
	var out []item
	for _, z := range f.Visit.Plan.Zones {
		out = append(out, item{values: map[string]locales.Value{"zone": term("zone", z)}})
	}
	return out
}

var sumFields = kinds{"heading": locales.KindRef, "volume": locales.KindVolume}

func sums(all []visit.Sum, vocabulary string) []item {
	var out []item
	for _, s := range all {
		heading := term(vocabulary, s.Code)
		if s.Code == "" {
			heading = locales.Ref("term.not_said")
		}
		out = append(out, item{values: map[string]locales.Value{"heading": heading, "volume": hundredths(s.Volume)}})
	}
	return out
}

const zoneSum = "record.totals.zone_sum"

// zoneSums are the zones with their volumes, for a line of text.
func zoneSums(f *Facts) []locales.Value {
	var out []locales.Value
	for _, i := range sums(f.tally().byZone, "zone") {
		out = append(out, locales.RefWith(zoneSum, i.values))
	}
	return out
}

// tally is what the rows add up to.
type tally struct {
	total                 measure.Volume
	entries               int // entry points; -1 where a row does not say
	byZone, byLip, bySide []visit.Sum
	byProduct             []visit.Sum
}

func (f *Facts) tally() tally {
	rows := f.rows()
	sum := visit.Total(rows)
	t := tally{total: sum.All, byZone: sum.ByZone, byLip: sum.ByLip, bySide: sum.BySide, byProduct: sum.ByProduct}
	for _, r := range rows {
		if r.EntryPoints == 0 {
			t.entries = -1
			break
		}
		t.entries += r.EntryPoints
	}
	if len(rows) == 0 {
		t.entries = -1
	}
	return t
}

func productSums(f *Facts) []item {
	var out []item
	for _, s := range f.tally().byProduct {
		p, _ := f.product(s.Code)
		out = append(out, item{values: map[string]locales.Value{
			"heading": textOr(p.Name, "products.name"), "volume": hundredths(s.Volume),
		}})
	}
	return out
}
