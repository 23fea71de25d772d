package visit

import (
	"time"

	"philtrum/forms/measure"
	"philtrum/forms/source"
)

// Event is a complication as it was found and treated: what a report to an authority asks for
// and what a night call leaves behind. Of is the visit in which the filler was laid, "elsewhere" or "unknown".
type Event struct {
	Onset, Noticed                time.Time
	OnsetText                     string // as told, where no time is known: "about five months after"
	Of, Zone, Side                string
	Product, Lot                  string // where no visit of this clinic says them
	Signs, Pain, Refill, Vision   string
	Seriousness                   string // one of Harms
	Done, Referred, Outcome, Told string
	Tests, History                string // tests and pictures with what they showed; what matters of the patient's history
	Resolved                      measure.Date
	ResolvedText                  string // as typed, where it could not be read
	Kept                          string // the device: kept or not, and where
	Reports                       []Reported
	Span                          source.Span
}

// Harms are the outcomes that a report tells apart (21 CFR 803.32, block B).
var Harms = []string{"none", "intervention", "hospital", "disability", "life_threat", "death", "other"}

// Reported is a report that was sent.
type Reported struct {
	To, Reference, By string
	On                string
}

func (l lenient) event(n *source.Node) *Event {
	if n == nil || n.Kind == source.Empty {
		return nil
	}
	const in = "event."
	f := l.keys(n, in, "onset", "noticed", "of", "zone", "side", "product", "lot", "signs", "pain", "refill", "vision",
		"seriousness", "done", "referred", "outcome", "told", "tests", "history", "resolved", "kept", "reports")
	e := &Event{
		Noticed: l.time(f, in, "noticed"), Of: l.text(f, in, "of"), Zone: l.text(f, in, "zone"), Side: l.word(f, in, "side", sides),
		Product: l.text(f, in, "product"), Lot: l.text(f, in, "lot"), Signs: l.text(f, in, "signs"), Pain: l.text(f, in, "pain"),
		Refill: l.text(f, in, "refill"), Vision: l.text(f, in, "vision"), Seriousness: l.word(f, in, "seriousness", Harms),
		Done: l.text(f, in, "done"), Referred: l.text(f, in, "referred"), Outcome: l.text(f, in, "outcome"),
		Told: l.text(f, in, "told"), Tests: l.text(f, in, "tests"), History: l.text(f, in, "history"), Kept: l.text(f, in, "kept"), Span: n.Span,
	}
	e.Onset, e.OnsetText = l.told(f, in, "onset")
	e.Resolved, e.ResolvedText = lenientRead(l, f, in, "resolved", lenient.Date)
	for i, n := range l.listIn(f, in, "reports") {
		where := at(in+"reports", i)
		f := l.keys(n, where, "to", "on", "reference", "by")
		e.Reports = append(e.Reports, Reported{
			To: l.text(f, where, "to"), On: l.text(f, where, "on"), Reference: l.text(f, where, "reference"), By: l.text(f, where, "by"),
		})
	}
	return e
}

// told reads a time, or the words of somebody who knows none: both are what they are, and no mistake.
func (l lenient) told(f source.Fields, where, key string) (time.Time, string) {
	n := f.Get(key)
	sub := l
	sub.Reader = &source.Reader{}
	at := sub.Time(n)
	if len(sub.Problems()) == 0 {
		return at, ""
	}
	return time.Time{}, l.text(f, where, key)
}

// Node is the entry of event.
func (e *Event) Node() *source.Node {
	if e == nil {
		return nil
	}
	onset := text(e.OnsetText)
	if onset == nil {
		onset = moment(e.Onset)
	}
	resolved := text(e.ResolvedText)
	if resolved == nil && !e.Resolved.IsZero() {
		resolved = text(e.Resolved.String())
	}
	return filled(source.Map("onset", onset, "noticed", moment(e.Noticed), "of", text(e.Of), "zone", text(e.Zone), "side", text(e.Side),
		"product", text(e.Product), "lot", text(e.Lot), "signs", text(e.Signs), "pain", text(e.Pain), "refill", text(e.Refill),
		"vision", text(e.Vision), "seriousness", text(e.Seriousness), "done", text(e.Done), "referred", text(e.Referred),
		"outcome", text(e.Outcome), "told", text(e.Told), "tests", text(e.Tests), "history", text(e.History), "resolved", resolved, "kept", text(e.Kept), "reports", nodes(e.Reports)))
}

// Node is an entry of reports.
func (r Reported) Node() *source.Node {
	return source.Map("to", text(r.To), "on", text(r.On), "reference", text(r.Reference), "by", text(r.By))
}

// Open lists the keys of what a report of an adverse event asks for and nobody has written down,
// in the order in which a person would tell it. When it ended is asked too: until then it is open.
func (e Event) Open() []string {
	var open []string
	for _, f := range []struct {
		key   string
		empty bool
	}{
		{"onset", e.Onset.IsZero() && e.OnsetText == ""}, {"noticed", e.Noticed.IsZero()}, {"zone", e.Zone == ""}, {"side", e.Side == ""},
		{"signs", e.Signs == ""}, {"pain", e.Pain == ""}, {"refill", e.Refill == ""}, {"vision", e.Vision == ""}, {"done", e.Done == ""},
		{"referred", e.Referred == ""}, {"seriousness", e.Seriousness == ""}, {"outcome", e.Outcome == ""},
		{"resolved", e.Resolved.IsZero() && e.ResolvedText == ""}, {"tests", e.Tests == ""}, {"history", e.History == ""}, {"kept", e.Kept == ""},
	} {
		if f.empty {
			open = append(open, f.key)
		}
	}
	return open
}
