package screen

import (
	"slices"
	"strconv"
	"strings"

	"philtrum/forms"
	"philtrum/forms/clinic"
	"philtrum/forms/intake"
	"philtrum/forms/measure"
	"philtrum/forms/medicine"
	"philtrum/forms/place"
	"philtrum/forms/visit"

	"cel.dev/cel-go/cel"
	"cel.dev/cel-go/common/types"
	"cel.dev/cel-go/common/types/ref"
)

// Case is everything that a judgement looks at. The day of judgement is the day of the appointment.
type Case struct {
	Intake  intake.Intake
	Visit   visit.Visit
	Patient visit.Patient
	Earlier []visit.Visit // of the same patient
	Clinic  clinic.Clinic
	Staff   []clinic.Person
	Stock   clinic.Stock
	Place   place.Place
}

// mind is a case while it is judged: it binds variables as conditions ask for them. It is a cel.Activation.
type mind struct {
	*Case
	rules *Rules
	day   measure.Date // of the appointment, in the clinic's zone
	kind  string       // of the visit, as rules name it
	bound map[string]ref.Val
	meds  map[string]*taken
	about map[string]relevance
	// outlived answers count as they stand: for dates that they already tell.
	lasting bool
}

// taken is a list of medicines as the lexicon reads it.
type taken struct {
	state   MissingWhy // "" if known
	matches []medicine.Match
}

type relevance uint8

const (
	relevant relevance = iota + 1
	irrelevant
	perhaps
)

func (r *Rules) mind(c *Case) *mind {
	m := &mind{Case: c, rules: r, bound: map[string]ref.Val{}, meds: map[string]*taken{}, about: map[string]relevance{}}
	zone := c.Clinic.Zone
	if zone == nil {
		zone = c.Visit.Appointment.Location()
	}
	m.day = measure.DateOf(c.Visit.Appointment, zone)
	m.kind = string(c.Visit.Kind)
	switch {
	case c.Visit.Kind == visit.Dissolving && c.Visit.Emergency:
		m.kind = "emergency"
	case c.Visit.Kind == visit.Review && treats(c.Visit):
		m.kind = string(visit.Treatment)
	}
	return m
}

// treats says whether a visit plans a treatment or holds one: a review that does is judged as a treatment.
func treats(v visit.Visit) bool {
	return len(v.Plan.Zones) > 0 || len(v.Plan.Rows) > 0 || v.Treatment != nil && len(v.Treatment.Rows) > 0
}

// ResolveName binds a variable: to a value, or to an unknown that names the question. It never guesses.
func (m *mind) ResolveName(name string) (any, bool) {
	if v, ok := m.bound[name]; ok {
		return v, true
	}
	v := m.bind(name)
	if v == nil {
		return nil, false
	}
	m.bound[name] = v
	return v, true
}

// Parent is part of cel.Activation.
func (m *mind) Parent() cel.Activation { return nil }

func (m *mind) bind(name string) ref.Val {
	if q, ok := m.rules.byID[name]; ok && q.entry == "" {
		return m.question(q)
	}
	if v := m.fact(name); v != nil {
		return v
	}
	if key, ok := strings.CutPrefix(name, "limit_"); ok {
		return thousandths(m.Clinic.Policy.Thresholds[key])
	}
	if key, ok := strings.CutPrefix(name, "policy_"); ok {
		return types.String(m.Clinic.Policy.Custom[key])
	}
	return m.medicine(name)
}

// unknown is what a missing answer counts as: its trail names the question.
func unknown(id string) ref.Val { return types.NewUnknown(0, types.NewAttributeTrail(id)) }

// question binds a question of the form by its relevance, its state and its shelf life.
func (m *mind) question(q *question) ref.Val {
	switch m.relevance(q) {
	case irrelevant:
		return value(q.Question, q.Irrelevant)
	case perhaps:
		// The question's own answer cannot count before it is known to matter.
		return unknown(q.ID)
	}
	a, asked := m.Intake.Answers[q.ID]
	if m.missing(q, a, asked) != "" {
		return unknown(q.ID)
	}
	if a.Value.NotApplicable {
		return value(q.Question, q.Irrelevant)
	}
	return value(q.Question, a.Value)
}

func (m *mind) relevance(q *question) relevance {
	if q.When == "" {
		return relevant
	}
	if known, ok := m.about[q.ID]; ok {
		return known
	}
	out, _, err := q.when.Eval(m)
	r := perhaps
	if err == nil && out == types.True {
		r = relevant
	} else if err == nil && out == types.False {
		r = irrelevant
	}
	m.about[q.ID] = r
	return r
}

// missing says why an answer does not count, "" if it does.
func (m *mind) missing(q *question, a forms.Answer, asked bool) MissingWhy {
	switch {
	case !asked:
		return NotAsked
	case a.State == forms.Unsure:
		return IsUnsure
	case a.State == forms.Declined:
		return IsRefused
	case a.State != forms.Given:
		return IsBlank
	case m.outlived(q, a):
		return Outlived
	case q.Kind == forms.Entries && q.When != "" && !a.Value.NotApplicable && len(a.Value.Entries) == 0:
		return IsBlank // "yes" was said, and nothing listed
	}
	return ""
}

func (m *mind) outlived(q *question, a forms.Answer) bool {
	life := q.ShelfLife
	if life.Always || m.lasting {
		return false
	}
	if a.At.IsZero() {
		return true
	}
	zone := m.Clinic.Zone
	if zone == nil {
		zone = a.At.Location()
	}
	// Answers of the appointment's own day hold, and later ones (an appointment that was moved forward).
	age := measure.DateOf(a.At, zone).DaysUntil(m.day)
	return age > life.Days
}

// value turns an answer into what conditions compare.
func value(q *forms.Question, v forms.Value) ref.Val {
	switch q.Kind {
	case forms.YesNo:
		return types.Bool(v.Yes)
	case forms.OneOf:
		return types.String(v.Choice)
	case forms.Text:
		return types.String(v.Text)
	case forms.SomeOf:
		return types.NewStringList(types.DefaultTypeAdapter, v.Choices)
	case forms.Number:
		if v.None {
			return unknown(q.ID) // no number is not nought
		}
		return thousandths(v.Number.String())
	}
	return nil
}

// thousandths are whole thousandths of a decimal, rounded to the next.
func thousandths(s string) ref.Val {
	d, ok := forms.ParseNumber(s)
	if !ok {
		return types.NewErr("no number")
	}
	return types.Int(d.Shift(3).Round(0).IntPart())
}

// medicine binds takes_<class>, several_<class> and <question>_<class>.
func (m *mind) medicine(name string) ref.Val {
	if class, ok := strings.CutPrefix(name, "takes_"); ok {
		return m.taking(m.rules.meds, class, 1)
	}
	if class, ok := strings.CutPrefix(name, "several_"); ok {
		return m.taking(m.rules.meds, class, 2)
	}
	for _, q := range m.rules.meds {
		if class, ok := strings.CutPrefix(name, q+"_"); ok {
			return m.taking([]string{q}, class, 1)
		}
	}
	return nil
}

// taking says whether the lists together hold at least n substances of a class. A known list is enough for
// yes; for no, every list must be known.
func (m *mind) taking(lists []string, class string, n int) ref.Val {
	var found []string
	var open []string
	for _, id := range lists {
		t := m.list(id)
		if t.state != "" {
			open = append(open, id)
			continue
		}
		for _, match := range t.matches {
			hit := match.Recognised && slices.Contains(match.Classes, class) || !match.Recognised && class == "unrecognised"
			if hit && !slices.Contains(found, match.INN) {
				found = append(found, match.INN)
			}
		}
	}
	if len(found) >= n {
		return types.True
	}
	if len(open) == 0 {
		return types.False
	}
	u := types.NewUnknown(0, types.NewAttributeTrail(open[0]))
	for _, id := range open[1:] {
		u = types.MergeUnknowns(u, types.NewUnknown(0, types.NewAttributeTrail(id)))
	}
	return u
}

func (m *mind) list(id string) *taken {
	if t, ok := m.meds[id]; ok {
		return t
	}
	q := m.rules.byID[id]
	t := &taken{}
	m.meds[id] = t
	a, asked := m.Intake.Answers[id]
	switch m.relevance(q) {
	case irrelevant:
		return t
	case perhaps:
		t.state = NotAsked
		return t
	}
	if t.state = m.missing(q, a, asked); t.state == "" {
		for _, name := range a.Value.Names {
			t.matches = append(t.matches, m.rules.lexicon.Match(name)...)
		}
	}
	return t
}

// fact binds what is known besides answers; nil if name is no fact.
func (m *mind) fact(name string) ref.Val {
	switch name {
	case "age":
		if m.Patient.Born.IsZero() {
			return unknown("fact_born")
		}
		return types.Int(measure.Age(m.Patient.Born, m.day))
	case "age_floor":
		floor, err := strconv.Atoi(m.Place.AgeFloor.Value)
		if err != nil {
			floor = place.Floor
		}
		return types.Int(max(floor, place.Floor))
	case "place":
		return types.String(m.Place.Code)
	case "place_known":
		return types.Bool(m.Place.Known)
	case "identity_seen":
		return types.Bool(m.Visit.IdentitySeen != nil)
	case "interpreter_needed":
		return types.Bool(m.Patient.Interpreter.Needed)
	case "interpreter_present":
		return types.Bool(m.interpreter() != "")
	case "interpreter_qualified":
		return types.Bool(m.interpreter() == "yes")
	case "plan_made":
		return types.Bool(treats(m.Visit))
	case "inr_known":
		return types.Bool(!slices.ContainsFunc(inrQuestions, m.lacks))
	case "language_differs":
		return m.languageDiffers()
	case "kit_hyaluronidase", "kit_adrenaline":
		return types.Bool(len(m.Stock.InKit(name[len("kit_"):], m.day)) > 0)
	case "answer_improved":
		return types.Bool(len(m.improved()) > 0)
	case "answer_contradicts":
		return types.Bool(len(m.contradictions()) > 0)
	}
	if what, ok := strings.CutPrefix(name, "earlier_"); ok {
		return types.Bool(!m.earlierAllergy(what).IsZero())
	}
	if v := m.planFact(name); v != nil {
		return v
	}
	return m.timeFact(name)
}

// interpreter is whether the interpreter of the visit is qualified, as recorded: yes, no, or "" where nobody
// attends, has no name, or nobody recorded it.
func (m *mind) interpreter() string {
	if !m.Visit.Interpreted(m.Patient, m.Clinic.Language) {
		return ""
	}
	return m.Visit.Interpreter.Qualified
}

// inrQuestions are what an INR is known by.
var inrQuestions = []string{"inr", "inr_date", "inr_in_range"}

// lacks says whether a question of the form has no answer that counts, whether it matters or not.
func (m *mind) lacks(id string) bool {
	q, found := m.rules.byID[id]
	if !found {
		return true
	}
	a, asked := m.Intake.Answers[id]
	return m.missing(q, a, asked) != ""
}

func (m *mind) languageDiffers() ref.Val {
	if m.Patient.Speaks == "" || m.Clinic.Language == "" {
		return unknown("fact_language")
	}
	return types.Bool(primary(m.Patient.Speaks) != primary(m.Clinic.Language))
}

// primary is the primary language subtag of a BCP 47 tag.
func primary(tag string) string {
	first, _, _ := strings.Cut(strings.ToLower(tag), "-")
	return first
}

// planFact binds what the plan says; a visit without a plan has not said anything.
func (m *mind) planFact(name string) ref.Val {
	product, found := m.Stock.Product(m.Visit.Plan.Product)
	switch name {
	case "lidocaine_planned":
		if m.Visit.Plan.Lidocaine || found && product.Lidocaine || m.Visit.Plan.Anaesthetic != "" {
			return types.True
		}
		if !found || !m.Visit.Plan.LidocaineSaid {
			return unknown("fact_lidocaine")
		}
		return types.False
	case "bacterial_product":
		if !found {
			return unknown("fact_product")
		}
		return types.Bool(product.Bacterial)
	}
	return nil
}

// improved are the questions whose answer is another one than when its finding was shown, whether the file
// keeps the old one or not.
func (m *mind) improved() []string {
	var out []string
	for _, s := range m.Visit.Shown {
		if _, ok := m.rules.byID[s.Question]; !ok || slices.Contains(out, s.Question) {
			continue
		}
		if visit.DigestOf(m.Visit.Salt, m.Intake.Answers, s.Question) != s.Digest {
			out = append(out, s.Question)
		}
	}
	slices.Sort(out)
	return out
}

// contradictions are questions that were answered although other answers rule them out, and not by what
// they then count as.
func (m *mind) contradictions() []string {
	var out []string
	for _, q := range m.rules.asked {
		a, ok := m.Intake.Answers[q.ID]
		if q.entry != "" || q.When == "" || !ok || a.State != forms.Given || m.relevance(q) != irrelevant {
			continue
		}
		if !sameAnswer(q.Question, a.Value) {
			out = append(out, q.ID)
		}
	}
	return out
}

func sameAnswer(q *forms.Question, v forms.Value) bool {
	if v.NotApplicable || v.None {
		return true
	}
	switch q.Kind {
	case forms.YesNo:
		return v.Yes == q.Irrelevant.Yes
	case forms.OneOf:
		return v.Choice == q.Irrelevant.Choice
	case forms.SomeOf:
		return len(v.Choices) == 0
	case forms.Medicines:
		return len(v.Names) == 0
	case forms.Entries:
		return len(v.Entries) == 0
	case forms.Text:
		return v.Text == ""
	}
	return false
}
