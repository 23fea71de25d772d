package visit

import (
	"time"

	"philtrum/forms/measure"
	"philtrum/forms/source"
)

// Reviewed is how a treatment has settled, as seen at a visit of the kind review. It is read like a treatment:
// nothing in it is refused.
type Reviewed struct {
	At                                                time.Time
	By                                                string
	Words                                             string // the patient's own
	Settled, Asymmetry, Lumps, Colour, Function, Pain string
	Satisfaction                                      string // 0 to 10, or as the patient says it
	Views                                             []View
	Agreed                                            string
	TouchUp                                           string // one of TouchUps
	TouchUpWhere                                      string
	Complaint                                         string
	NextOn                                            measure.Date
	Notes                                             string
	Unread                                            []Unread
	Marks                                             source.Problems
	Span                                              source.Span
}

// TouchUps are what may be agreed about more filler.
var TouchUps = []string{"none", "agreed", "later"}

// View is a photograph: what it shows, whether it was taken before or after, when, and where it is kept.
type View struct {
	View, Stage string
	At          time.Time
	File        string
}

// Views and Stages are the closed lists of photographs (T-04 and T-17: common practice, no source).
var (
	Views  = []string{"front", "oblique_right", "oblique_left", "profile_right", "profile_left", "smile"}
	Stages = []string{"before", "after"}
)

func readReview(n *source.Node, zone *time.Location) *Reviewed {
	if n == nil || n.Kind == source.Empty {
		return nil
	}
	r := &Reviewed{Span: n.Span}
	l := newLenient(zone, &r.Unread)
	f := l.keys(n, "", "at", "by", "words", "settled", "asymmetry", "lumps", "colour", "function", "pain", "satisfaction", "views",
		"agreed", "touch_up", "touch_up_where", "complaint", "next_on", "notes")
	r.At, r.By, r.Words = l.time(f, "", "at"), l.text(f, "", "by"), l.text(f, "", "words")
	r.Settled, r.Asymmetry, r.Lumps = l.text(f, "", "settled"), l.text(f, "", "asymmetry"), l.text(f, "", "lumps")
	r.Colour, r.Function, r.Pain = l.text(f, "", "colour"), l.text(f, "", "function"), l.text(f, "", "pain")
	r.Satisfaction, r.Agreed, r.Notes = l.text(f, "", "satisfaction"), l.text(f, "", "agreed"), l.text(f, "", "notes")
	r.TouchUp, r.TouchUpWhere = l.word(f, "", "touch_up", TouchUps), l.text(f, "", "touch_up_where")
	r.Complaint = l.text(f, "", "complaint")
	r.NextOn, _ = lenientRead(l, f, "", "next_on", lenient.Date)
	r.Views = l.views(f, "views")
	r.Marks = l.Problems()
	return r
}

func (l lenient) views(f source.Fields, key string) []View {
	var all []View
	for i, n := range l.list(f, key) {
		where := at(key, i)
		f := l.keys(n, where, "view", "stage", "at", "file")
		all = append(all, View{
			View: l.word(f, where, "view", Views), Stage: l.word(f, where, "stage", Stages),
			At: l.time(f, where, "at"), File: l.text(f, where, "file"),
		})
	}
	return all
}

// Node is the entry of review.
func (r *Reviewed) Node() *source.Node {
	if r == nil {
		return nil
	}
	return filled(source.Map("at", moment(r.At), "by", text(r.By), "words", text(r.Words), "settled", text(r.Settled),
		"asymmetry", text(r.Asymmetry), "lumps", text(r.Lumps), "colour", text(r.Colour), "function", text(r.Function), "pain", text(r.Pain),
		"satisfaction", text(r.Satisfaction), "views", nodes(r.Views), "agreed", text(r.Agreed), "touch_up", text(r.TouchUp),
		"touch_up_where", text(r.TouchUpWhere), "complaint", text(r.Complaint), "next_on", date(r.NextOn), "notes", text(r.Notes)))
}

// Node is an entry of views.
func (v View) Node() *source.Node {
	return source.Map("view", text(v.View), "stage", text(v.Stage), "at", moment(v.At), "file", text(v.File))
}
