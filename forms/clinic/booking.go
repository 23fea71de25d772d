package clinic

import "philtrum/forms/source"

// Booking says how the lists of the clinic's booking system are to be read (see forms/booking). Everything that
// is not said is judged from the list.
type Booking struct {
	Columns                         map[string]string // field: heading
	Dates                           string            // day-month or month-day
	Encoding, Sheet                 string
	Kind, Practitioner              string            // of every visit, where the list does not say
	Kinds, Languages, Practitioners map[string]string // the list's word: what it means here
	Statuses                        map[string]string // the list's word: stands or cancelled
}

func (v reader) booking(n *source.Node) Booking {
	if n == nil {
		return Booking{}
	}
	f := v.Fields(n, "columns", "dates", "encoding", "sheet", "kind", "practitioner", "kinds", "languages", "practitioners", "statuses")
	return Booking{
		Columns: v.pairs(f.Get("columns"), "reference", "name", "given", "family", "born", "date", "time", "date_time",
			"telephone", "email", "language", "kind", "practitioner", "status"),
		Dates:    v.OneOf(f.Get("dates"), "day-month", "month-day"),
		Encoding: v.Text(f.Get("encoding")), Sheet: v.Text(f.Get("sheet")),
		Kind: v.OneOf(f.Get("kind"), visitKinds...), Practitioner: v.Text(f.Get("practitioner")),
		Kinds: v.pairs(f.Get("kinds")), Languages: v.pairs(f.Get("languages")), Practitioners: v.pairs(f.Get("practitioners")),
		Statuses: v.meanings(f.Get("statuses"), "stands", "cancelled"),
	}
}

// visitKinds are the kinds of visit that a list can announce.
var visitKinds = []string{"consultation", "treatment", "review", "dissolving", "complication", "call"}

// meanings is pairs whose values are some of a few words.
func (v reader) meanings(n *source.Node, values ...string) map[string]string {
	all := v.pairs(n)
	if n != nil {
		for _, e := range v.Entries(n) {
			v.OneOf(e.Value, values...)
		}
	}
	return all
}

// pairs reads a mapping of texts; allowed, if any, are its only keys.
func (v reader) pairs(n *source.Node, allowed ...string) map[string]string {
	if n == nil {
		return nil
	}
	all := map[string]string{}
	if len(allowed) > 0 {
		f := v.Fields(n, allowed...)
		for _, key := range f.Order() {
			all[key] = v.Text(f.Get(key))
		}
		return all
	}
	for _, e := range v.Entries(n) {
		all[e.Name] = v.Text(e.Value)
	}
	return all
}
