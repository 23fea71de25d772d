package templates

import (
	"slices"

	"philtrum/forms/visit"
	"philtrum/locales"
	"philtrum/templates/layout"
	"philtrum/templates/maps"
)

// Messages of the map.
const (
	markVolume = "figure.volume"
	markBoth   = "figure.volume_both"
	markUnread = "figure.unread"
	markPlace  = "figure.mark"
)

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

// lips draws the map of the rows; without rows it is a map to mark by hand.
func (s *scope) lips() *layout.Drawing {
	var marks []maps.Mark
	for _, p := range s.c.facts.places() {
		if !slices.Contains(maps.Zones(), p.zone) {
			continue
		}
		marks = append(marks, maps.Mark{
			Zone: p.zone, Side: p.side, Microlitres: p.volume.Volume.Microlitres(),
			Planned: s.c.facts.Visit.Treatment == nil, Label: s.markLabel(p),
		})
	}
	return maps.Lips(marks, maps.Sides{Right: s.message(patientRight, nil, false), Left: s.message(patientLeft, nil, false)})
}

func (s *scope) markLabel(p spot) []layout.Span {
	if p.unread != "" {
		return s.message(markUnread, locales.Args{"typed": locales.AsWritten(p.unread, "rows.volume")}, false)
	}
	id := markVolume
	if p.side == "both" {
		id = markBoth
	}
	return s.message(id, locales.Args{"volume": readVolume(p.volume.Volume, "", "")}, false)
}

// markWords tells the marks in words, for whoever cannot see the map.
func (f *Facts) markWords() []locales.Value {
	var out []locales.Value
	for _, p := range f.places() {
		out = append(out, locales.RefWith(markPlace, locales.Args{
			"zone": term("zone", p.zone), "side": term("side", p.side), "volume": readVolume(p.volume.Volume, p.unread, "rows.volume"),
		}))
	}
	return out
}
