package visit

import (
	"strconv"
	"time"

	"philtrum/forms/device"
	"philtrum/forms/measure"
	"philtrum/forms/source"
)

// The builders below write what the readers read: Read of Parse of Write of a Node is the value again,
// positions apart. Empty values leave their key out.

func text(s string) *source.Node {
	if s == "" {
		return nil
	}
	return source.Text(s)
}

func texts(list []string) *source.Node {
	if len(list) == 0 {
		return nil
	}
	n := source.List()
	for _, s := range list {
		n.Items = append(n.Items, source.Text(s))
	}
	return n
}

func yes(b bool) *source.Node {
	if !b {
		return nil
	}
	return source.Text("yes")
}

// said is yes, or a no that was written.
func said(b, written bool) *source.Node {
	if !b && written {
		return source.Text("no")
	}
	return yes(b)
}

func moment(t time.Time) *source.Node {
	if t.IsZero() {
		return nil
	}
	return source.Text(t.Format(time.RFC3339))
}

func date(d measure.Date) *source.Node {
	if d.IsZero() {
		return nil
	}
	return source.Text(d.String())
}

// volume writes what was read, or else what was typed.
func volume(v measure.Volume, typed string) *source.Node {
	if typed != "" {
		return source.Text(typed)
	}
	if v.IsZero() {
		return nil
	}
	return source.Text(v.String())
}

// kilograms writes what was read, or else what was typed.
func kilograms(w measure.Weight, typed string) *source.Node {
	if typed != "" || w.IsZero() {
		return text(typed)
	}
	return source.Text(w.String())
}

func count(n int) *source.Node {
	if n == 0 {
		return nil
	}
	return source.Text(strconv.Itoa(n))
}

func nodes[T interface{ Node() *source.Node }](list []T) *source.Node {
	if len(list) == 0 {
		return nil
	}
	n := source.List()
	for _, item := range list {
		n.Items = append(n.Items, item.Node())
	}
	return n
}

// filled is n, or nil if it is a mapping without keys.
func filled(n *source.Node) *source.Node {
	if len(n.Keys) == 0 {
		return nil
	}
	return n
}

// Node is the patient as patients/<id>.yaml.
func (p Patient) Node() *source.Node {
	var interpreter *source.Node
	if p.Interpreter.Needed || p.Interpreter.Language != "" {
		needed := "no"
		if p.Interpreter.Needed {
			needed = "yes"
		}
		interpreter = source.Map("needed", needed, "language", text(p.Interpreter.Language))
	}
	return source.Map(
		"id", text(p.ID), "number", text(p.Number), "given", text(p.Given), "family", text(p.Family),
		"display", text(p.Display), "born", date(p.Born), "sex", text(p.Sex), "address", texts(p.Address),
		"telephone", text(p.Telephone), "email", text(p.Email), "speaks", text(p.Speaks), "reads", text(p.Reads),
		"interpreter", interpreter, "needs", texts(p.Needs), "alerts", texts(p.Alerts),
		"representative", text(p.Representative),
	)
}

// Node is the visit as visit.yaml.
func (v Visit) Node() *source.Node {
	var identity, interpreter, treatment *source.Node
	if s := v.IdentitySeen; s != nil {
		identity = s.Node()
	}
	if i := v.Interpreter; i != nil {
		interpreter = filled(source.Map("name", text(i.Name), "number", text(i.Number), "language", text(i.Language),
			"mode", text(i.Mode), "qualified", text(i.Qualified)))
	}
	if v.Treatment != nil {
		treatment = filled(v.Treatment.Node())
	}
	return source.Map(
		"id", text(v.ID), "patient", text(v.Patient), "kind", text(string(v.Kind)), "emergency", yes(v.Emergency),
		"appointment", moment(v.Appointment), "practitioner", text(v.Practitioner), "after", text(v.After),
		"course", text(v.Course), "form", v.Form.node(), "rules", v.Rules.node(), "salt", text(v.Salt), "booking", text(v.Booking),
		"identity_seen", identity, "answered", v.Answered.Node(), "answers", v.Answers, "interpreter", interpreter,
		"stay", v.Stay.Node(), "shown", nodes(v.Shown), "decisions", nodes(v.Decisions), "met", nodes(v.Met), "plan", filled(v.Plan.Node()), "handed", nodes(v.Handed),
		"states", nodes(v.States), "treatment", treatment, "review", v.Review.Node(),
		"amendments", nodes(v.Amendments), "letter", v.Letter.Node(), "papers", nodes(v.Papers),
		"written_in", nodes(v.WrittenIn),
	)
}

func (v Version) node() *source.Node {
	return filled(source.Map("id", text(v.ID), "version", text(v.Version)))
}

// Node is the entry of identity_seen.
func (s IdentitySeen) Node() *source.Node {
	return source.Map("document", text(s.Document), "by", text(s.By), "on", date(s.On))
}

// Node is the entry of answered, nil if nothing was answered yet.
func (a Answered) Node() *source.Node {
	return filled(source.Map("by", text(a.By), "via", text(a.Via), "at", moment(a.At)))
}

// Node is an entry of shown.
func (s Shown) Node() *source.Node {
	return source.Map("question", text(s.Question), "digest", text(s.Digest), "at", moment(s.At))
}

// Node is an entry of decisions.
func (d Decision) Node() *source.Node {
	return source.Map("rule", text(d.Rule), "outcome", text(d.Outcome), "reason", text(d.Reason), "by", text(d.By),
		"at", moment(d.At), "digest", text(d.Digest), "transcribed", text(d.Transcribed),
		"saw", text(d.Saw), "saw_at", moment(d.SawAt))
}

// Node is an entry of met.
func (c Condition) Node() *source.Node {
	return source.Map("rule", text(c.Rule), "outcome", text(c.Outcome), "by", text(c.By), "note", text(c.Note),
		"at", moment(c.At), "digest", text(c.Digest))
}

// Node is an entry of handed.
func (h Handed) Node() *source.Node {
	return source.Map("paper", text(h.Paper), "document", text(h.Document), "at", moment(h.At), "how", text(h.How),
		"by", text(h.By), "explained", yes(h.Explained))
}

// Node is an entry of states.
func (s StateChange) Node() *source.Node {
	return source.Map("state", text(string(s.State)), "at", moment(s.At), "by", text(s.By), "note", text(s.Note),
		"document", text(s.Document), "covers", s.Covers.Node())
}

// Node is an entry of papers.
func (p Paper) Node() *source.Node {
	return source.Map("kind", text(p.Kind), "document", text(p.Document), "language", text(p.Language),
		"at", moment(p.At), "supersedes", text(p.Supersedes), "covers", p.Covers.Node(),
		"with", text(p.With), "reading", yes(p.Reading))
}

// Node is the entry of plan.
func (p Plan) Node() *source.Node {
	return source.Map(
		"wish", text(p.Wish), "zones", texts(p.Zones), "greatest", volume(p.Greatest, ""), "classes", texts(p.Classes),
		"product", text(p.Product), "lidocaine", said(p.Lidocaine, p.LidocaineSaid), "instruments", texts(p.Instruments),
		"anaesthetic", text(p.Anaesthetic), "price", text(p.Price), "review_on", date(p.ReviewOn),
		"rows", nodes(p.Rows), "examination", text(p.Examination), "examined", p.Examined.node(),
		"sessions", count(p.Sessions), "interval_weeks", count(p.IntervalWeeks), "upper_lower", text(p.UpperLower),
		"right_left", text(p.RightLeft), "volume_reason", text(p.VolumeReason), "by", text(p.By), "at", moment(p.At),
	)
}

// Node is a row of a plan or a treatment.
func (r Row) Node() *source.Node {
	return source.Map(
		"zone", text(r.Zone), "side", text(r.Side), "plane", text(r.Plane), "technique", text(r.Technique),
		"instrument", text(r.Instrument), "gauge", text(r.Gauge), "length_mm", text(r.LengthMm),
		"product", text(r.Product), "lot", text(r.Lot), "volume", volume(r.Volume, r.VolumeText),
		"passes", count(r.Passes), "entry_points", count(r.EntryPoints), "syringe", count(r.Syringe),
		"aspiration", text(r.Aspiration), "refill", text(r.Refill),
	)
}

// Node is the entry of treatment. Values that could not be read and have no text of their own (Unread) are
// not in it: a file that holds a treatment is edited, never written anew.
func (g Given) Node() *source.Node {
	return source.Map(
		"start", moment(g.Start), "end", moment(g.End), "by", text(g.By), "recorded", moment(g.Recorded), "asepsis", text(g.Asepsis), "weight_kg", kilograms(g.Weight, g.WeightText),
		"anaesthetics", nodes(g.Anaesthetics), "syringes", nodes(g.Syringes), "rows", nodes(g.Rows),
		"checks", nodes(g.Checks), "reaction", text(g.Reaction), "photos", texts(g.Photos), "kit", texts(g.Kit),
		"reconfirmed", yes(g.Reconfirmed), "notes", text(g.Notes), "views", nodes(g.Views),
		"dissolving", g.Dissolved.Node(), "event", g.Event.Node(),
	)
}

// Node is an entry of syringes.
func (s Syringe) Node() *source.Node {
	t := device.Typed{Device: s.Device, Lot: s.Lot, Expiry: s.Expiry, ExpiryText: s.ExpiryText}
	if s.Code != nil {
		t = s.Code.Typed // what the code says is read again
	}
	labelled := volume(s.Labelled, s.LabelledText)
	if s.LabelledBy != "" {
		labelled = nil
	}
	return source.Map("product", text(s.Product), "lot", text(t.Lot), "device", text(t.Device),
		"carrier", text(s.Carrier), "expiry", expiry(t.Expiry, t.ExpiryText), "labelled", labelled,
		"discarded", volume(s.Discarded, s.DiscardedText))
}

// Node is an entry of anaesthetics.
func (a Anaesthetic) Node() *source.Node {
	var dose *source.Node
	if !a.Dose.IsZero() {
		dose = source.Text(a.Dose.String())
	}
	return source.Map("substance", text(a.Substance), "form", text(a.Form), "strength", text(a.Strength),
		"lot", text(a.Lot), "volume", volume(a.Volume, ""), "dose", dose, "at", moment(a.At), "expiry", date(a.Expiry))
}

// Node is an entry of checks.
func (c Check) Node() *source.Node {
	return source.Map("what", text(c.What), "result", text(c.Result), "at", moment(c.At))
}
