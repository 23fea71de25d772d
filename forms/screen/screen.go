// Package screen judges a visit: it evaluates rules, conditions written in CEL over a form's answers and
// the facts of patient, place and plan, to findings. It is pure, and unknown is never no.
package screen

import (
	"philtrum/forms/clinic"
	"philtrum/forms/measure"
	"philtrum/forms/medicine"
	"philtrum/forms/source"
	"philtrum/forms/visit"
)

// Level is the weight of a finding.
type Level string

// Levels, heaviest first.
const (
	Stop   Level = "stop"   // no way out
	Wait   Level = "wait"   // until a date or a recorded condition
	Decide Level = "decide" // a practitioner decides and says why
	Inform Level = "inform"
)

// WaitKind says who may shorten a wait: only custom ones, with a reason.
type WaitKind string

// Kinds of waits.
const (
	WaitLaw     WaitKind = "law"
	WaitMedical WaitKind = "medical"
	WaitCustom  WaitKind = "custom"
)

// Scope is what a finding is about.
type Scope string

// Scopes.
const (
	Session Scope = "session"
	Zone    Scope = "zone"
	Product Scope = "product"
)

// Finding is what screening says of one rule. Its words are messages: "rule.<Rule>" (what it is about),
// "rule.<Rule>.<Outcome>" (what was found), "rule.<Rule>.<Outcome>.do" (what the practitioner does).
type Finding struct {
	Rule, Outcome string
	Row           string // key of the screening topic, empty for further rules
	Level         Level
	WaitKind      WaitKind
	Scope         Scope
	Zone          string // of zone scope, where known
	// Unknown says that the outcome hangs on answers that are missing, unsure, declined or outlived;
	// CouldBe is the heaviest level that it may still come to, and Missing names the questions.
	Unknown bool
	CouldBe Level
	Missing []Missing
	// Answers are the questions whose answers triggered it; Medicines the names as matched (INN).
	Answers   []string
	Medicines []string
	// Unrecognised are the words of the medicine lists that no list knows, with suggestions.
	Unrecognised []medicine.Match
	Until        measure.Date      // of a dated wait: the earliest day; zero otherwise
	Condition    bool              // of an undated wait
	Args         map[string]string // placeholders of the messages: thresholds, windows
	Decided      *visit.Decision
	Voided       *visit.Decision // a decision that does not count
	VoidWhy      VoidWhy
	Role         clinic.Role // who may decide: a prescriber, or anyone who treats (injector)
	Met          *visit.Condition
	Digest       string // of the answers it judged, for decisions
	Adds         Adds
	Source       string
	Trust        string // read, secondary, memory, practice
	Span         source.Span

	refusesInformation bool
}

// VoidWhy is why a decision does not count.
type VoidWhy string

// Reasons: it judged other answers; it gives no reason or time; nobody of that id works here; their role
// did not allow it on that day; it is a prescriber's and does not say how and when they saw the patient.
const (
	VoidAnswers VoidWhy = "answers"
	VoidReason  VoidWhy = "reason"
	VoidPerson  VoidWhy = "person"
	VoidRole    VoidWhy = "role"
	VoidUnseen  VoidWhy = "unseen"
)

// Missing is a question that a finding waits for and why.
type Missing struct {
	Question string
	Why      MissingWhy
}

// MissingWhy is why an answer does not count.
type MissingWhy string

// Reasons.
const (
	NotAsked  MissingWhy = "not_asked"
	IsBlank   MissingWhy = "blank"
	IsUnsure  MissingWhy = "unsure"
	IsRefused MissingWhy = "declined"
	Outlived  MissingWhy = "outlived"
	Partial   MissingWhy = "partial"
	Defect    MissingWhy = "defect" // the rule itself could not be evaluated
)

// Adds is what an outcome adds to the papers: of a rule the keys, of a finding the ids of messages
// ("rule.risk.<key>" of the consent, "rule.care.<key>" of the aftercare).
type Adds struct {
	Consent, Aftercare []string `json:",omitzero"`
}

func (a Adds) messages() Adds {
	return Adds{prefixed("rule.risk.", a.Consent), prefixed("rule.care.", a.Aftercare)}
}

func prefixed(prefix string, keys []string) []string {
	var ids []string
	for _, k := range keys {
		ids = append(ids, prefix+k)
	}
	return ids
}

// Report is the judgement of one visit as of its appointment.
type Report struct {
	Appointment measure.Date // in the clinic's zone
	Kind        visit.Kind
	Emergency   bool
	Findings    []Finding // heaviest first, then in the order of the rules
	Held        bool      // an open stop, wait, decide or unknown
	// Earliest is the latest end of all dated waits, those that outlived answers already tell included; zero if
	// there is none.
	Earliest measure.Date
	HeldBy   string   // the rule that sets Earliest
	Asked    []string // questions that matter for this visit, in the order of the form
}

// Urgent says whether no rule stands before the visit: emergency care, a complication, a call.
func (r Report) Urgent() bool {
	return r.Kind == visit.Complication || r.Kind == visit.Call || r.Kind == visit.Dissolving && r.Emergency
}

// Open says whether the finding still holds the visit.
func (f Finding) Open() bool {
	switch {
	case f.Unknown:
		return f.Decided == nil || f.CouldBe == Stop
	case f.Level == Stop:
		return true
	case f.Level == Wait:
		return f.Met == nil && (f.Decided == nil || f.WaitKind != WaitCustom)
	case f.Level == Decide:
		return f.Decided == nil
	}
	return false
}
