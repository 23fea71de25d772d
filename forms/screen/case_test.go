package screen_test

import (
	"os"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"philtrum/forms"
	"philtrum/forms/clinic"
	"philtrum/forms/intake"
	"philtrum/forms/measure"
	"philtrum/forms/place"
	"philtrum/forms/screen"
	"philtrum/forms/source"
	"philtrum/forms/visit"
)

// london is the zone of the invented clinic.
var london = func() *time.Location {
	l, err := time.LoadLocation("Europe/London")
	if err != nil {
		panic(err)
	}
	return l
}()

func at(s string) time.Time {
	t, err := time.ParseInLocation("2006-01-02 15:04", s, london)
	if err != nil {
		panic(err)
	}
	return t
}

func date(t testing.TB, s string) measure.Date {
	t.Helper()
	d, err := measure.ParseDate(s)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// The form, the places, the rules and the tables are read once: they do not change.
var (
	theForm   = sync.OnceValue(func() *forms.Form { f, _ := forms.Load(forms.Default, "lips"); return f })
	thePlaces = sync.OnceValue(func() *place.Table { p, _ := place.Load(place.Default); return p })
)

func parsed(file string) *source.Node {
	data, err := os.ReadFile("testdata/" + file)
	if err != nil {
		panic(err)
	}
	root, problems := source.Parse(file, data)
	if len(problems) > 0 {
		panic(problems.Err())
	}
	return root
}

var healthyAnswers = sync.OnceValue(func() []source.Key { return parsed("healthy.yaml").Keys })

// fixture is a healthy adult at 14:30 on 4 December 2026, answered at noon, informed a month before.
type fixture struct {
	screen.Case
	answers []source.Key
	form    *forms.Form
}

func healthy(t testing.TB) *fixture {
	t.Helper()
	f := &fixture{answers: slices.Clone(healthyAnswers()), form: theForm()}
	f.Clinic = clinic.Clinic{Zone: london, Language: "en-GB", Policy: clinic.DefaultPolicy(), Place: "GB-ENG"}
	f.Place = thePlaces().On("GB-ENG", date(t, "2026-12-04"))
	f.Patient = visit.Patient{ID: "p1", Born: date(t, "1990-05-05"), Speaks: "en", Reads: "en"}
	f.Staff = []clinic.Person{
		{ID: "ann", Roles: []clinic.Role{clinic.RoleInjector}, From: date(t, "2020-01-01")},
		{ID: "bob", Roles: []clinic.Role{clinic.RolePrescriber}, From: date(t, "2020-01-01")},
		{ID: "cyd", Roles: []clinic.Role{clinic.RoleDesk}, From: date(t, "2020-01-01")},
		{ID: "dot", Roles: []clinic.Role{clinic.RolePrescriber}, From: date(t, "2020-01-01"), To: date(t, "2026-12-03")},
	}
	f.Stock = clinic.Stock{Products: []clinic.Product{
		{ID: "fermented", Class: "soft", Bacterial: true, Dissolves: true},
		{ID: "other", Class: "soft", Dissolves: true},
	}}
	f.Stock.Kit = []clinic.KitItem{
		{Item: "hyaluronidase", Lot: clinic.Lot{Number: "H1", Expiry: date(t, "2026-12-04")}},
		{Item: "adrenaline", Lot: clinic.Lot{Number: "A1", Expiry: date(t, "2026-12-04")}},
	}
	f.Visit = visit.Visit{
		ID: "v1", Patient: "p1", Kind: visit.Treatment, Appointment: at("2026-12-04 14:30"), Salt: "salt",
		IdentitySeen: &visit.IdentitySeen{Document: "passport", By: "ann"},
		Answered:     visit.Answered{By: "p1", Via: "paper", At: at("2026-12-04 12:00")},
		Plan:         visit.Plan{Zones: []string{"UL", "LL"}, Classes: []string{"soft"}, By: "ann"},
		Handed:       []visit.Handed{{Paper: "information", At: at("2026-11-04 10:00")}},
	}
	return f
}

// set replaces or adds an answer; a nil node takes it away.
func (f *fixture) set(id string, n *source.Node) {
	for i, k := range f.answers {
		if k.Name == id {
			f.answers = append(append([]source.Key{}, f.answers[:i]...), f.answers[i+1:]...)
			break
		}
	}
	if n != nil {
		f.answers = append(f.answers, source.Key{Name: id, Value: n, Span: n.Span})
	}
}

// ready reads the answers into a case.
func (f *fixture) ready(t testing.TB) screen.Case {
	t.Helper()
	r := &source.Reader{}
	v := f.Visit
	v.Answers = &source.Node{Kind: source.Mapping, Keys: f.answers}
	f.Case.Intake = intake.Read(f.form, v, r)
	for _, p := range r.Problems() {
		t.Error(p.ID, p.Args, p.Span)
	}
	return f.Case
}

// apply sets answers and, with a leading @, facts.
func (f *fixture) apply(t testing.TB, n *source.Node) {
	t.Helper()
	if n == nil {
		return
	}
	for _, k := range n.Keys {
		if !strings.HasPrefix(k.Name, "@") {
			f.set(k.Name, k.Value)
			continue
		}
		f.fact(t, k.Name[1:], k.Value.Text)
	}
}

func (f *fixture) fact(t testing.TB, name, value string) {
	t.Helper()
	switch name {
	case "born":
		f.Patient.Born = date(t, value)
	case "place":
		f.Place = thePlaces().On(value, date(t, "2026-12-04"))
		if value == "XX" { // a place with a period of three days by law
			f.Place.Code = "XX"
			f.Place.Reflection = place.Reflection{Fact: place.Fact{Standing: place.Law}, Days: 3}
		}
	case "identity":
		if value == "no" {
			f.Visit.IdentitySeen = nil
		}
	case "speaks":
		f.Patient.Speaks = value
	case "interpreter":
		f.Visit.Interpreter = &visit.InterpreterAttends{Name: "I. Terp", Language: "pl", Qualified: value}
	case "needs":
		f.Patient.Interpreter.Needed = value == "yes"
	case "handed":
		f.Visit.Handed = nil
		if value != "none" {
			f.Visit.Handed = []visit.Handed{{Paper: "information", At: at(value + " 09:00")}}
		}
	case "consented":
		f.Visit.States = []visit.StateChange{{State: visit.Consented, At: at(value + " 10:00"), By: "ann"}}
	case "reflection":
		f.Clinic.Policy.Windows["reflection"], _ = clinic.ParseWindow(value + " days")
	case "policy":
		key, choice, _ := strings.Cut(value, "=")
		f.Clinic.Policy.Custom[key] = choice
	case "lidocaine":
		f.Visit.Plan.Lidocaine, f.Visit.Plan.LidocaineSaid = value == "yes", true
	case "plan":
		f.Visit.Plan = visit.Plan{}
	case "earlier": // an allergy that an earlier visit was told of
		told := "{allergies: [" + value + "]}"
		if value == "severe" {
			told = "{severe_allergy: yes, severe_allergy_to: [food]}"
		}
		n, _ := source.Parse("", []byte(told))
		f.Earlier = []visit.Visit{{ID: "v0", Kind: visit.Treatment, Appointment: at("2026-05-06 10:00"), Answers: n,
			Answered: visit.Answered{By: "p1", Via: "paper", At: at("2026-05-06 09:30")}}}
	case "product":
		f.Visit.Plan.Product = value
	case "kind":
		f.Visit.Kind = visit.Kind(value)
		if value == "emergency" {
			f.Visit.Kind, f.Visit.Emergency = visit.Dissolving, true
		}
		// Such a visit asks only what its kind asks.
		for _, k := range f.answers {
			if q, _ := f.form.Question(k.Name); !q.Asks(string(f.Visit.Kind)) {
				f.set(k.Name, nil)
			}
		}
	case "improved":
		n, _ := source.Parse("", []byte("{state: given, value: no, by: p1, at: 2026-12-04 12:30, via: paper, why: mistaken, replaced: [{state: given, value: yes, by: p1, at: 2026-12-04 12:00, via: paper}]}"))
		f.set(value, source.Text("yes"))
		f.Visit.Shown = load(t).Evaluate(f.ready(t)).Shows(f.Case, at("2026-12-04 12:15"))
		f.set(value, n)
	case "expired": // since yesterday
		for i, item := range f.Stock.Kit {
			if item.Item == value {
				f.Stock.Kit[i].Lot.Expiry = date(t, "2026-12-03")
			}
		}
	case "treated":
		f.Earlier = []visit.Visit{{
			ID: "v0", Kind: visit.Treatment, Appointment: at(value + " 10:00"),
			Treatment: &visit.Given{Rows: []visit.Row{{Zone: "UL-VB", Product: "other"}}},
		}}
	case "course":
		f.Visit.After = "v0"
	case "dissolved":
		f.Earlier = []visit.Visit{{ID: "v0", Kind: visit.Dissolving, Appointment: at(value + " 10:00"),
			Treatment: &visit.Given{Start: at(value + " 10:10")}}}
	default:
		t.Fatalf("no fact %q", name)
	}
}
