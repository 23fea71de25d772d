package visit

import (
	"time"

	"philtrum/forms"
	"philtrum/forms/source"
)

// Sexes, needs, vias and modes that files may name.
var (
	Sexes = []string{"female", "male", "other", "not_said"}
	Needs = []string{"large_print", "read_aloud", "easy_read", "sign_language", "hearing_loop", "chaperone", "step_free", "companion"}
	Vias  = []string{"paper", "screen", "speech", "record"}
	Modes = []string{"in_person", "telephone", "video"}
	kinds = []string{
		string(Consultation), string(Treatment), string(Review), string(Dissolving), string(Complication), string(Call),
	}
)

type reader struct{ forms.Values }

// ReadPatient reads patients/<id>.yaml. Problems never hold a value of the file.
func ReadPatient(n *source.Node, r *source.Reader) Patient {
	v := reader{forms.Values{Reader: r, Private: true}}
	f := v.Fields(n, "id", "number", "given", "family", "display", "born", "sex", "address", "telephone", "email",
		"speaks", "reads", "interpreter", "needs", "alerts", "representative")
	p := Patient{
		ID:             v.ID(f.Need("id")),
		Number:         v.ID(f.Get("number")),
		Given:          v.Text(f.Get("given")),
		Family:         v.Text(f.Get("family")),
		Display:        v.Text(f.Get("display")),
		Born:           v.Date(f.Need("born")),
		Sex:            v.OneOf(f.Get("sex"), Sexes...),
		Address:        v.Texts(f.Get("address")),
		Telephone:      v.Text(f.Get("telephone")),
		Email:          v.Text(f.Get("email")),
		Speaks:         v.language(f.Get("speaks")),
		Reads:          v.reads(f.Get("reads")),
		Needs:          v.words(f.Get("needs"), Needs),
		Alerts:         v.Texts(f.Get("alerts")),
		Representative: v.Text(f.Get("representative")),
	}
	if i := f.Get("interpreter"); i != nil {
		g := v.Fields(i, "needed", "language")
		p.Interpreter = Interpreter{Needed: v.YesNo(g.Need("needed")), Language: v.language(g.Get("language"))}
	}
	if n != nil {
		p.Span = n.Span
	}
	v.filled(f, "id", "born")
	if p.Given == "" && p.Family == "" && p.Display == "" {
		v.Report(n, "problem.patient_name", nil)
	}
	return p
}

// Name is the patient's name in their own order.
func (p Patient) Name() string {
	switch {
	case p.Display != "":
		return p.Display
	case p.Given == "" || p.Family == "":
		return p.Given + p.Family
	}
	return p.Given + " " + p.Family
}

// Read reads visit.yaml; times without an offset are those of zone. What is wrong in the treatment does
// not come through r, because it may block nothing: it stands in Treatment.Marks.
func Read(n *source.Node, r *source.Reader, zone *time.Location) Visit {
	v := reader{forms.Values{Reader: r, Private: true, Zone: zone}}
	f := v.Fields(n, "id", "patient", "kind", "emergency", "appointment", "practitioner", "after", "course", "form",
		"rules", "salt", "booking", "identity_seen", "answered", "answers", "interpreter", "stay", "shown", "decisions", "met", "plan", "handed",
		"states", "treatment", "review", "amendments", "letter", "papers",
		"scans", "confirmed", "photographs", "returned", "written_in")
	visit := Visit{
		ID:           v.ID(f.Need("id")),
		Patient:      v.ID(f.Need("patient")),
		Kind:         Kind(v.OneOf(f.Need("kind"), kinds...)),
		Emergency:    v.YesNo(f.Get("emergency")),
		Appointment:  v.Time(f.Need("appointment")),
		Practitioner: v.ID(f.Get("practitioner")),
		After:        v.ID(f.Get("after")),
		Course:       v.ID(f.Get("course")),
		Zone:         zone,
		Form:         v.version(f.Get("form")),
		Rules:        v.version(f.Get("rules")),
		Salt:         v.Text(f.Get("salt")),
		Booking:      v.Text(f.Get("booking")),
		IdentitySeen: v.identity(f.Get("identity_seen")),
		Answers:      f.Get("answers"),
		Answered:     v.answered(f.Get("answered")),
		Interpreter:  v.interpreter(f.Get("interpreter")),
		Stay:         v.stay(f.Get("stay")),
		Plan:         v.plan(f.Get("plan")),
		Letter:       v.letter(f.Get("letter")),
		Review:       readReview(f.Get("review"), zone),
	}
	v.filled(f, "id", "patient", "kind", "appointment")
	visit.Treatment = readTreatment(f.Get("treatment"), zone, visit.Appointment)
	visit.Amendments = each(v, f.Get("amendments"), v.amendment)
	visit.Shown = each(v, f.Get("shown"), v.shown)
	visit.Decisions = each(v, f.Get("decisions"), v.decision)
	visit.Met = each(v, f.Get("met"), v.condition)
	visit.Handed = each(v, f.Get("handed"), v.handed)
	visit.States = each(v, f.Get("states"), v.state)
	visit.Papers = each(v, f.Get("papers"), v.paper)
	visit.Sheets = each(v, f.Get("scans"), v.sheet)
	visit.Confirmations = each(v, f.Get("confirmed"), v.confirmation)
	visit.Returned = each(v, f.Get("returned"), v.returned)
	visit.Photographs = each(v, f.Get("photographs"), v.photograph)
	visit.WrittenIn = each(v, f.Get("written_in"), v.writtenIn)
	if n != nil {
		visit.Span = n.Span
	}
	if a := visit.Answers; a != nil && a.Kind != source.Mapping && a.Kind != source.Empty {
		v.Report(a, "problem.expected_mapping", nil)
		visit.Answers = nil
	}
	return visit
}

func each[T any](v reader, n *source.Node, read func(*source.Node) T) []T {
	var all []T
	for _, item := range v.List(n) {
		all = append(all, read(item))
	}
	return all
}

// words reads a list of allowed words.
func (v reader) words(n *source.Node, allowed []string) []string {
	var words []string
	for _, item := range v.List(n) {
		if w := v.OneOf(item, allowed...); w != "" {
			words = append(words, w)
		}
	}
	return words
}

// reads is a language, or "none" for who reads none.
func (v reader) reads(n *source.Node) string {
	if n != nil && n.Kind == source.Scalar && n.Text == "none" {
		return "none"
	}
	return v.language(n)
}

// language reads a BCP 47 tag.
func (v reader) language(n *source.Node) string {
	tag := v.Text(n)
	if tag != "" && !languagePattern.MatchString(tag) {
		v.Report(n, "problem.language", nil)
		return ""
	}
	return tag
}

func (v reader) version(n *source.Node) Version {
	if n == nil {
		return Version{}
	}
	f := v.Fields(n, "id", "version")
	return Version{ID: v.ID(f.Need("id")), Version: v.Text(f.Need("version"))}
}

func (v reader) identity(n *source.Node) *IdentitySeen {
	if n == nil || n.Kind == source.Empty {
		return nil
	}
	f := v.Fields(n, "document", "by", "on")
	return &IdentitySeen{Document: v.Text(f.Need("document")), By: v.ID(f.Need("by")), On: v.Date(f.Need("on"))}
}

func (v reader) answered(n *source.Node) Answered {
	if n == nil {
		return Answered{}
	}
	f := v.Fields(n, "by", "via", "at")
	return Answered{By: v.Text(f.Need("by")), Via: v.OneOf(f.Need("via"), Vias...), At: v.Time(f.Need("at"))}
}

func (v reader) interpreter(n *source.Node) *InterpreterAttends {
	if n == nil || n.Kind == source.Empty {
		return nil
	}
	f := v.Fields(n, "name", "number", "language", "mode", "qualified")
	return &InterpreterAttends{
		Name:     v.Text(f.Get("name")),
		Number:   v.Text(f.Get("number")),
		Language: v.language(f.Need("language")),
		Mode:     v.OneOf(f.Get("mode"), Modes...),
		// Kept as a word: what nobody wrote is not no.
		Qualified: v.OneOf(f.Get("qualified"), "yes", "no"),
	}
}

func (v reader) shown(n *source.Node) Shown {
	f := v.Fields(n, "question", "digest", "at")
	return Shown{Question: v.Text(f.Need("question")), Digest: v.Text(f.Need("digest")), At: v.Time(f.Need("at"))}
}

func (v reader) decision(n *source.Node) Decision {
	f := v.Fields(n, "rule", "outcome", "reason", "by", "at", "digest", "transcribed", "saw", "saw_at")
	d := Decision{
		Rule:        v.Text(f.Need("rule")),
		Outcome:     v.Text(f.Need("outcome")),
		Reason:      v.Text(f.Need("reason")),
		By:          v.ID(f.Need("by")),
		At:          v.Time(f.Need("at")),
		Digest:      v.Text(f.Need("digest")),
		Transcribed: v.Text(f.Get("transcribed")),
		Saw:         v.OneOf(f.Get("saw"), Modes...),
		SawAt:       v.Time(f.Get("saw_at")),
		Span:        n.Span,
	}
	v.filled(f, "reason", "by", "at", "digest")
	return d
}

func (v reader) condition(n *source.Node) Condition {
	f := v.Fields(n, "rule", "outcome", "by", "note", "at", "digest")
	c := Condition{
		Rule:    v.Text(f.Need("rule")),
		Outcome: v.Text(f.Need("outcome")),
		By:      v.ID(f.Need("by")),
		Note:    v.Text(f.Get("note")),
		At:      v.Time(f.Need("at")),
		Digest:  v.Text(f.Need("digest")),
		Span:    n.Span,
	}
	v.filled(f, "by", "at", "digest")
	return c
}

func (v reader) handed(n *source.Node) Handed {
	f := v.Fields(n, "paper", "document", "at", "how", "by", "explained")
	return Handed{
		Paper:     v.Text(f.Need("paper")),
		Document:  v.Text(f.Get("document")),
		At:        v.Time(f.Need("at")),
		How:       v.Text(f.Get("how")),
		By:        v.ID(f.Need("by")),
		Explained: v.YesNo(f.Get("explained")),
		Span:      n.Span,
	}
}

func (v reader) state(n *source.Node) StateChange {
	f := v.Fields(n, "state", "at", "by", "note", "document", "covers")
	return StateChange{
		State: ConsentState(v.OneOf(f.Need("state"), consentStates...)),
		At:    v.Time(f.Need("at")),
		By:    v.ID(f.Get("by")),
		Note:  v.Text(f.Get("note")),

		Document: v.Text(f.Get("document")),
		Covers:   v.covers(f.Get("covers")),
		Span:     n.Span,
	}
}

func (v reader) paper(n *source.Node) Paper {
	f := v.Fields(n, "kind", "document", "language", "at", "supersedes", "covers", "with", "reading")
	return Paper{
		Kind:       v.Text(f.Need("kind")),
		Document:   v.Text(f.Need("document")),
		Language:   v.language(f.Get("language")),
		At:         v.Time(f.Get("at")),
		Supersedes: v.Text(f.Get("supersedes")),
		Covers:     v.covers(f.Get("covers")),
		With:       v.language(f.Get("with")),
		Reading:    v.YesNo(f.Get("reading")),
	}
}

// filled reports keys that are there without a value: nobody decided, or nobody said why.
func (v reader) filled(f source.Fields, keys ...string) {
	for _, key := range keys {
		if n := f.Get(key); n != nil && (n.Kind == source.Empty || n.Kind == source.Scalar && n.Text == "") {
			v.Report(n, "problem.empty_value", map[string]any{"key": key})
		}
	}
}
