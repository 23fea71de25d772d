package screen

import (
	"philtrum/forms"
	"philtrum/forms/clinic"
	"philtrum/forms/medicine"
	"philtrum/forms/source"
)

// Rule judges one thing. Its outcomes stand heaviest first and the first that applies counts.
//
// Empty fields and the places of outcomes are left out of what is stored.
type Rule struct {
	ID    string `json:",omitzero"`
	Group string `json:",omitzero"` // the file it stands in
	// Row is the key of the screening topic that it carries out; empty for further rules.
	Row    string `json:",omitzero"`
	Source string `json:",omitzero"` // key of sources.yaml
	Trust  string `json:",omitzero"` // read, secondary, memory, practice
	// Conflict is where sources disagree: the message "rule.conflict.<Conflict>".
	Conflict string `json:",omitzero"`
	// Role is who may decide: RolePrescriber, or RoleInjector for anyone who treats.
	Role   clinic.Role `json:",omitzero"`
	Visits []string    `json:",omitzero"` // kinds of visit that it judges; "emergency" is dissolving in an emergency
	Scope  Scope       `json:",omitzero"`
	// ForEach names a question of entries: the rule judges each entry by itself.
	ForEach string `json:",omitzero"`
	// Considers are questions that whoever decides reads as well: another answer voids the decision.
	Considers []string `json:",omitzero"`
	// Information says that a stop of this rule also refuses the information.
	Information bool        `json:",omitzero"`
	Outcomes    []Outcome   `json:",omitzero"`
	Span        source.Span `json:",omitzero"`
}

// Outcome is what a rule may find.
type Outcome struct {
	ID        string   `json:",omitzero"`
	Level     Level    `json:",omitzero"`
	Kind      WaitKind `json:",omitzero"` // of waits
	When      string   `json:",omitzero"` // CEL
	Test      Test     `json:",omitzero"` // must hold as well; of a dated wait it says until when
	Condition bool     `json:",omitzero"` // of an undated wait
	// Window is a key of the policy's windows that the words name ({days}); nothing is counted by it.
	Window string      `json:",omitzero"`
	Adds   Adds        `json:",omitzero"`
	Span   source.Span `json:"-"`

	whenSpan source.Span
	program  program
}

// TestKind is how a test reads its date.
type TestKind string

// Kinds of tests: the window after a date is still open; a planned date is near; a date is too old.
const (
	NoTest TestKind = ""
	Since  TestKind = "since"
	Ahead  TestKind = "ahead"
	Older  TestKind = "older"
)

// Test compares a date with the appointment, by a window of the clinic's policy.
type Test struct {
	Kind   TestKind    `json:",omitzero"`
	Date   string      `json:",omitzero"` // a date question, each_<field>, information_on or dissolved_here_on
	Window string      `json:",omitzero"` // a key of the policy's windows
	Span   source.Span `json:"-"`
}

// Rules is a proved set of rules for one form. It does not change and may be shared.
type Rules struct {
	Version string
	rules   []Rule
	sources map[string]string
	form    *forms.Form
	lexicon *medicine.Lexicon
	asked   []*question          // in the order of the form
	byID    map[string]*question // questions and, as "<question>.<field>", fields of entries
	classes []string
	meds    []string // ids of the medicines questions
}

// question is a question with its compiled condition.
type question struct {
	*forms.Question
	when   program
	entry  string // the entries question of a field
	upward []string
}

// All lists the rules in order.
func (r *Rules) All() []Rule { return r.rules }

// Citation is the full text of a source's key.
func (r *Rules) Citation(key string) string { return r.sources[key] }

// Kinds of visit as rules name them.
var ruleVisits = []string{"consultation", "treatment", "review", "dissolving", "emergency", "complication", "call"}

// emergencies are the kinds of visit before which no rule stands.
var emergencies = []string{"emergency", "complication", "call"}

var cosmetic = []string{"consultation", "treatment"}
