package visit

import (
	"slices"

	"philtrum/forms/device"
	"philtrum/forms/measure"
)

// Sum is the volume under one heading.
type Sum struct {
	Code   string
	Volume measure.Volume
}

// Totals are the volumes of a treatment as read from the scale. Unread counts rows whose volume is
// missing or could not be read: the sums are then too small by an unknown amount.
type Totals struct {
	All       measure.Volume
	ByZone    []Sum // in the order of the list of zones, other codes behind
	ByLip     []Sum // upper, lower, both (commissures), none
	BySide    []Sum // right, left, both, midline, "" where not said
	ByProduct []Sum // in the order of the rows
	Unread    int
}

// Totals adds up the rows.
func (g Given) Totals() Totals { return Total(g.Rows) }

// Total adds up rows, given or planned.
func Total(rows []Row) Totals {
	words := Lists()
	t := Totals{
		ByZone: headings(words.Codes()),
		ByLip:  headings([]string{"upper", "lower", "both", "none"}),
		BySide: headings([]string{"right", "left", "both", "midline"}),
	}
	for _, row := range rows {
		if row.VolumeText != "" || row.Volume.IsZero() {
			t.Unread++
			continue
		}
		t.All = t.All.Add(row.Volume)
		t.ByZone = add(t.ByZone, row.Zone, row.Volume)
		t.ByLip = add(t.ByLip, lip(words, row.Zone), row.Volume)
		t.BySide = add(t.BySide, side(words, row), row.Volume)
		t.ByProduct = add(t.ByProduct, row.Product, row.Volume)
	}
	t.ByZone, t.ByLip, t.BySide = used(t.ByZone), used(t.ByLip), used(t.BySide)
	return t
}

// TotalOf adds up what was given in several visits, such as those of a course or a year.
func TotalOf(visits []Visit) Totals {
	var rows []Row
	for _, v := range visits {
		if v.Treatment != nil {
			rows = append(rows, v.Treatment.Rows...)
		}
	}
	return Total(rows)
}

func headings(codes []string) []Sum {
	sums := make([]Sum, len(codes))
	for i, c := range codes {
		sums[i].Code = c
	}
	return sums
}

func add(sums []Sum, code string, v measure.Volume) []Sum {
	i := slices.IndexFunc(sums, func(s Sum) bool { return s.Code == code })
	if i < 0 {
		return append(sums, Sum{code, v})
	}
	sums[i].Volume = sums[i].Volume.Add(v)
	return sums
}

func used(sums []Sum) []Sum {
	return slices.DeleteFunc(sums, func(s Sum) bool { return s.Volume.IsZero() })
}

func lip(words *Words, code string) string {
	if z, ok := words.Zone(code); ok {
		return z.Lip
	}
	switch code {
	case "UL":
		return "upper"
	case "LL":
		return "lower"
	case "LIPS":
		return "both"
	}
	return "none"
}

func side(words *Words, row Row) string {
	if z, ok := words.Zone(row.Zone); ok && z.Midline {
		return "midline"
	}
	return row.Side
}

// Balance is the reconciliation of syringes: what the labels say against what was injected and discarded
// (the dead space of needle and hub counts as discarded). Syringes are balanced one by one where the rows
// say which was used or only one can be meant, and together otherwise.
type Balance struct {
	Syringes                      []int // numbers from 1
	Labelled, Injected, Discarded measure.Volume
	// Rows of the treatment (from 1) that drew on these syringes.
	Rows []int
	// Unread says that a volume among them is missing or could not be read: nothing can be concluded.
	Unread bool
}

// Even says whether labelled equals injected and discarded.
func (b Balance) Even() bool {
	return !b.Unread && b.Labelled.Cmp(b.Injected.Add(b.Discarded)) == 0
}

// Balances reconciles the syringes of a treatment. Rows that fit no syringe come back as a Balance without
// syringes.
func (g Given) Balances() []Balance {
	groups := newGroups(len(g.Syringes))
	for _, row := range g.Rows {
		groups.join(g.candidates(row))
	}
	var balances []Balance
	index := map[int]int{}
	for i, s := range g.Syringes {
		root := groups.root(i)
		if _, ok := index[root]; !ok {
			index[root] = len(balances)
			balances = append(balances, Balance{})
		}
		b := &balances[index[root]]
		b.Syringes = append(b.Syringes, i+1)
		b.Labelled, b.Discarded = b.Labelled.Add(s.Labelled), b.Discarded.Add(s.Discarded)
		b.Unread = b.Unread || s.LabelledText != "" || s.DiscardedText != "" || s.Labelled.IsZero()
	}
	var loose Balance
	for i, row := range g.Rows {
		b := &loose
		if fits := g.candidates(row); len(fits) > 0 {
			b = &balances[index[groups.root(fits[0])]]
		}
		b.Rows = append(b.Rows, i+1)
		b.Injected = b.Injected.Add(row.Volume)
		b.Unread = b.Unread || row.VolumeText != "" || row.Volume.IsZero()
	}
	if len(loose.Rows) > 0 {
		balances = append(balances, loose)
	}
	return balances
}

// candidates are the syringes, from 0, that a row may have drawn on.
func (g Given) candidates(row Row) []int {
	if row.Syringe > 0 && row.Syringe <= len(g.Syringes) {
		return []int{row.Syringe - 1}
	}
	var fits []int
	for i, s := range g.Syringes {
		if (row.Product == "" || row.Product == s.Product) && (row.Lot == "" || device.SameLot(row.Lot, s.Lot)) {
			fits = append(fits, i)
		}
	}
	return fits
}

// uneven lists what the reconciliation leaves open.
func (g Given) uneven() []Finding {
	var found []Finding
	for _, b := range g.Balances() {
		args := map[string]any{"labelled": b.Labelled, "injected": b.Injected, "discarded": b.Discarded}
		switch {
		case len(b.Syringes) == 0:
			found = append(found, Finding{ID: "check.rows_without_syringe", Args: map[string]any{"injected": b.Injected}, Span: g.Span})
		case b.Unread:
			found = append(found, Finding{ID: "check.balance_open", Args: map[string]any{"syringe": b.Syringes[0]}, Span: g.Span})
		case !b.Even():
			args["syringe"] = b.Syringes[0]
			found = append(found, Finding{ID: "check.balance_uneven", Args: args, Span: g.Span})
		}
	}
	return found
}

// groups joins syringes that rows cannot tell apart.
type groups []int

func newGroups(n int) groups {
	g := make(groups, n)
	for i := range g {
		g[i] = i
	}
	return g
}

func (g groups) root(i int) int {
	for g[i] != i {
		i = g[i]
	}
	return i
}

func (g groups) join(members []int) {
	for _, m := range members {
		a, b := g.root(members[0]), g.root(m)
		g[max(a, b)] = min(a, b)
	}
}
