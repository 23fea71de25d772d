package clinic

import (
	"philtrum/forms/measure"
	"philtrum/forms/source"
)

// Guide is the clinic's own note on which class of product it uses for which tissue, and on volumes. It counts
// for nothing until the medical lead has adopted it.
type Guide struct {
	Adopted measure.Date
	By      string // the medical lead's id
	Notes   []GuideNote
	Volumes GuideVolumes
	Span    source.Span
}

// GuideNote is a line of the guide. Note is in the clinic's words, or names one of the messages that ship
// ("guide.lax"). Tissue is lax, between or firm; a line is for a tissue, a zone, or both.
type GuideNote struct{ Zone, Tissue, Class, Note string }

// GuideVolumes are the clinic's own figures for one session, in mL; each may be nothing: not said.
type GuideVolumes struct {
	FirstSmall measure.Volume // a first session in a small, thin lip
	Usual      measure.Volume // at or below which most sessions stay
	AskAbove   measure.Volume // above which a reason is asked for
}

// tissues are the words of an examination for how lax or firm the tissue is.
var tissues = []string{"lax", "between", "firm"}

func (v reader) guide(n *source.Node) Guide {
	if n == nil || n.Kind == source.Empty {
		return Guide{}
	}
	f := v.Fields(n, "adopted", "by", "notes", "volumes")
	g := Guide{Adopted: v.Date(f.Get("adopted")), By: v.ID(f.Get("by")), Span: n.Span}
	if g.Adopted.IsZero() != (g.By == "") {
		v.Report(n, "problem.guide_adopted", nil)
	}
	for _, item := range v.List(f.Need("notes")) {
		h := v.Fields(item, "zone", "tissue", "class", "note")
		note := GuideNote{
			Zone: v.Text(h.Get("zone")), Tissue: v.OneOf(h.Get("tissue"), tissues...),
			Class: v.OneOf(h.Need("class"), Classes...), Note: v.Text(h.Get("note")),
		}
		if note.Zone == "" && note.Tissue == "" {
			v.Report(item, "problem.guide_note", nil)
		}
		g.Notes = append(g.Notes, note)
	}
	if volumes := f.Get("volumes"); volumes != nil && volumes.Kind != source.Empty {
		h := v.Fields(volumes, "first_small", "usual", "ask_above")
		g.Volumes = GuideVolumes{v.Volume(h.Get("first_small")), v.Volume(h.Get("usual")), v.Volume(h.Get("ask_above"))}
	}
	return g
}

// Holds says whether the guide was adopted, on or before a day, by somebody who was medical lead when they
// did so.
func (g Guide) Holds(day measure.Date, staff []Person) bool {
	lead, ok := Find(staff, g.By)
	return ok && !g.Adopted.IsZero() && !g.Adopted.After(day) && lead.Can(RoleMedicalLead, g.Adopted)
}
