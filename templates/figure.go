package templates

import (
	"slices"

	"philtrum/forms/source"
	"philtrum/forms/visit"
	"philtrum/locales"
	"philtrum/templates/layout"
	"philtrum/templates/maps"
)

// Messages of the maps.
const (
	markVolume  = "figure.volume"
	markBoth    = "figure.both_sides"
	markTyped   = "figure.typed"
	markUnread  = "figure.not_read"
	markPlace   = "figure.mark"
	vesselSign  = "figure.vessel"
	vesselNames = "figure.vessels."
)

// The maps enter the closed tables of what a template may name.
func init() {
	truths["on_lips"] = (*Facts).onLips
	truths["on_face"] = (*Facts).onFace
	values["lips_marks"] = list(func(f *Facts) []locales.Value { return f.markWords(f.lipsMap) })
	values["face_marks"] = list(func(f *Facts) []locales.Value { return f.markWords(f.faceMap) })
	values["lips_vessels"] = list(func(*Facts) []locales.Value { return vesselWords(maps.Lips) })
	values["face_vessels"] = list(func(*Facts) []locales.Value { return vesselWords(maps.Face) })
}

type figureBody struct {
	leaf
	of           string // a map
	bare         bool   // without labels: a second view of the same marks
	vessels      bool
	caption, alt words
	mm           int // 0: as wide as the measure
}

func (l *loader) figureBody(n *source.Node, lists []string) body {
	f := l.r.Fields(n, "map", "width", "caption", "alt", "labels", "vessels")
	b := &figureBody{of: l.r.OneOf(f.Need("map"), maps.Names()...), vessels: l.r.YesNo(f.Get("vessels")),
		caption: l.words(f.Get("caption"), lists), alt: l.words(f.Need("alt"), lists)}
	if n := f.Get("labels"); n != nil {
		b.bare = !l.r.YesNo(n)
	}
	if w := f.Get("width"); w != nil {
		b.mm = l.r.Int(w, 40, 170)
	}
	return b
}

func (b *figureBody) texts(visit func(words, string)) {
	visit(b.caption, "")
	visit(b.alt, "")
}

func (b *figureBody) build(s *scope, m layout.Meta) []layout.Block {
	return []layout.Block{&layout.Figure{Meta: m, Drawing: s.drawing(b), Width: millimetres(b.mm), Alt: plain(s.spans(b.alt)), Caption: s.spans(b.caption)}}
}

// drawing draws a map with its marks; without any it is a map to mark by hand. Vessels are for those who
// treat: no patient's paper shows them, whatever its template asks for.
func (s *scope) drawing(b *figureBody) *layout.Drawing {
	f := s.c.facts
	on := f.lipsMap
	if b.of == maps.Face || b.of == maps.Oblique {
		on = f.faceMap
	}
	var marks []maps.Mark
	for _, p := range f.places() {
		if !on(p.zone) {
			continue
		}
		mark := maps.Mark{Zone: p.zone, Side: p.side, Microlitres: p.volume.Volume.Microlitres(), Planned: f.Visit.Treatment == nil}
		mark.Label, mark.Note = s.markLabel(p)
		marks = append(marks, mark)
	}
	return maps.Draw(maps.View{
		Map: b.of, Marks: marks, Labels: !b.bare, Vessels: b.vessels && !s.c.paper.Template.ForPatient(),
		Sides: maps.Sides{Right: s.message(patientRight, nil, false), Left: s.message(patientLeft, nil, false)},
	})
}

// markLabel is what stands beside a dot, and the line below it.
func (s *scope) markLabel(p spot) (label, note []layout.Span) {
	if p.unread != "" {
		typed := locales.Args{"typed": locales.AsWritten(p.unread, "rows.volume")}
		return s.message(markTyped, typed, false), s.message(markUnread, nil, false)
	}
	if p.side == "both" {
		note = s.message(markBoth, nil, false)
	}
	return s.message(markVolume, locales.Args{"volume": readVolume(p.volume.Volume, "", "")}, false), note
}

// spot is what went, or is planned to go, into one zone on one side.
type spot struct {
	zone, side string
	volume     visit.Sum
	unread     string // the first volume there that could not be read, as typed
}

// places sums the rows by zone and side, in the order of the rows.
func (f *Facts) places() []spot {
	var out []spot
	for _, r := range f.rows() {
		side := r.Side
		if z, ok := visit.Lists().Zone(r.Zone); ok && z.Midline {
			side = "midline"
		}
		i := slices.IndexFunc(out, func(p spot) bool { return p.zone == r.Zone && p.side == side })
		if i < 0 {
			out = append(out, spot{zone: r.Zone, side: side})
			i = len(out) - 1
		}
		out[i].volume.Volume = out[i].volume.Volume.Add(r.Volume)
		if out[i].unread == "" {
			out[i].unread = r.VolumeText
		}
	}
	return out
}

// lipsMap says whether a zone is drawn on the map of the lips, faceMap whether on that of the face: each
// zone on one of them.
func (f *Facts) lipsMap(zone string) bool { return maps.Shows(maps.Lips, zone) }
func (f *Facts) faceMap(zone string) bool {
	return maps.Shows(maps.Face, zone) && !maps.Shows(maps.Lips, zone)
}

// mapped are the zones that the maps have to show: those of the rows, or of the plan where it has none.
func (f *Facts) mapped() []string {
	var zones []string
	for _, r := range f.rows() {
		zones = append(zones, r.Zone)
	}
	if len(zones) == 0 {
		zones = f.Visit.Plan.Zones
	}
	return zones
}

// onLips says whether the map of the lips is drawn. It stands too where nothing says which map is needed.
func (f *Facts) onLips() bool {
	return slices.ContainsFunc(f.mapped(), func(zone string) bool { return !f.faceMap(zone) }) || !f.onFace()
}

// onFace says whether the map of the face is drawn: something went, or is to go, beyond the lips.
func (f *Facts) onFace() bool { return slices.ContainsFunc(f.mapped(), f.faceMap) }

// markWords tells the marks of a map in words, for whoever cannot see it.
func (f *Facts) markWords(on func(string) bool) []locales.Value {
	var out []locales.Value
	for _, p := range f.places() {
		if on(p.zone) {
			out = append(out, locales.RefWith(markPlace, locales.Args{
				"zone": term("zone", p.zone), "side": term("side", p.side), "volume": readVolume(p.volume.Volume, p.unread, "rows.volume"),
			}))
		}
	}
	return out
}

// vesselWords names the vessels of a map with their letters.
func vesselWords(of string) []locales.Value {
	var out []locales.Value
	for i, v := range maps.Vessels(of) {
		out = append(out, locales.RefWith(vesselSign, locales.Args{
			"letter": locales.Text(maps.Letter(i)), "name": locales.Ref(vesselNames + v.Name),
		}))
	}
	return out
}
