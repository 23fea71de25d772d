package visit

import (
	"regexp"
	"slices"
	"strings"

	"philtrum/forms/source"
)

// Classes of product by firmness.
var Classes = []string{"soft", "medium", "firm"}

var languagePattern = regexp.MustCompile(`^[a-z]{2,3}(-[A-Za-z0-9]{1,8})*$`) // BCP 47, RFC 5646

func (v reader) plan(n *source.Node) Plan {
	if n == nil || n.Kind == source.Empty {
		return Plan{}
	}
	f := v.Fields(n, "wish", "zones", "greatest", "classes", "product", "lidocaine", "instruments", "anaesthetic",
		"price", "review_on", "rows", "examination", "examined", "sessions", "interval_weeks", "upper_lower",
		"right_left", "volume_reason", "by", "at")
	words := Lists()
	p := Plan{
		Wish:      v.Text(f.Get("wish")),
		Zones:     v.zones(f.Get("zones"), words),
		Greatest:  v.Volume(f.Get("greatest")),
		Classes:   v.words(f.Get("classes"), Classes),
		Product:   v.ID(f.Get("product")),
		Lidocaine: v.YesNo(f.Get("lidocaine")),
		// An empty key says nothing.
		LidocaineSaid: f.Get("lidocaine") != nil && f.Get("lidocaine").Kind != source.Empty,
		Instruments:   v.words(f.Get("instruments"), words.Instruments),
		Anaesthetic:   v.Text(f.Get("anaesthetic")),
		Price:         v.Text(f.Get("price")),
		ReviewOn:      v.Date(f.Get("review_on")),
		Examination:   v.Text(f.Get("examination")),
		Examined:      v.examined(f.Get("examined")),
		Sessions:      v.Int(f.Get("sessions"), 1, 20),
		IntervalWeeks: v.Int(f.Get("interval_weeks"), 1, 104),
		UpperLower:    v.share(f.Get("upper_lower")),
		RightLeft:     v.share(f.Get("right_left")),
		VolumeReason:  v.Text(f.Get("volume_reason")),
		By:            v.ID(f.Get("by")),
		At:            v.Time(f.Get("at")),
		Span:          n.Span,
	}
	for _, item := range v.List(f.Get("rows")) {
		p.Rows = append(p.Rows, v.planRow(item, words))
	}
	return p
}

func (v reader) zones(n *source.Node, words *Words) []string {
	var zones []string
	for _, item := range v.List(n) {
		code := v.Text(item)
		switch {
		case !words.Place(code):
			v.Report(item, "problem.zone", map[string]any{"allowed": strings.Join(words.Codes(), ", ")})
		case slices.Contains(zones, code):
		default:
			zones = append(zones, code)
		}
	}
	return zones
}

// planRow reads a planned row strictly: nothing has been done yet, so it can still be mended.
func (v reader) planRow(n *source.Node, words *Words) Row {
	f := v.Fields(n, rowKeys...)
	row := Row{
		Zone:        v.Text(f.Need("zone")),
		Side:        v.OneOf(f.Get("side"), sides...),
		Plane:       v.OneOf(f.Get("plane"), words.Planes...),
		Technique:   v.OneOf(f.Get("technique"), words.Techniques...),
		Instrument:  v.OneOf(f.Get("instrument"), words.Instruments...),
		Gauge:       v.Text(f.Get("gauge")),
		LengthMm:    v.Text(f.Get("length_mm")),
		Product:     v.ID(f.Get("product")),
		Lot:         v.Text(f.Get("lot")),
		Volume:      v.Volume(f.Get("volume")),
		Passes:      v.Int(f.Get("passes"), 0, 1000),
		EntryPoints: v.Int(f.Get("entry_points"), 0, 1000),
		Syringe:     v.Int(f.Get("syringe"), 1, 100),
		Aspiration:  v.Text(f.Get("aspiration")),
		Refill:      v.Text(f.Get("refill")),
		Span:        n.Span,
	}
	reportPlace(v.Reader, n, words, row)
	return row
}

var (
	rowKeys = []string{
		"zone", "side", "plane", "technique", "instrument", "gauge", "length_mm", "product", "lot", "volume",
		"passes", "entry_points", "syringe", "aspiration", "refill",
	}
	// sides are the patient's own; both is for what crosses the midline in one row.
	sides = []string{"left", "right", "both", "midline"}
)

// reportPlace reports what does not fit between a row's zone and side.
func reportPlace(r *source.Reader, n *source.Node, words *Words, row Row) {
	z, ok := words.Zone(row.Zone)
	switch {
	case !ok:
		r.Report(n, "problem.zone", map[string]any{"allowed": strings.Join(words.Codes(), ", ")})
	case z.Midline && row.Side != "" && row.Side != "midline":
		r.Report(n, "problem.side_midline", nil)
	case !z.Midline && (row.Side == "" || row.Side == "midline"):
		r.Report(n, "problem.side_missing", nil)
	}
}
