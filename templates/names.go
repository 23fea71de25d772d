package templates

import (
	"slices"
	"strings"
	"time"

	"philtrum/forms/measure"
	"philtrum/forms/visit"
	"philtrum/locales"
)

// value is a named value of a paper: its kind, and how it is found. A value that is not known is a blank.
type value struct {
	kind locales.Kind
	of   func(*Facts) locales.Value
}

func text(of func(*Facts) string, field string) value {
	return value{locales.KindText, func(f *Facts) locales.Value { return textOr(of(f), field) }}
}

func textOr(s, field string) locales.Value {
	if strings.TrimSpace(s) == "" {
		return locales.Blank()
	}
	return locales.Field(s, field)
}

func date(of func(*Facts) measure.Date) value {
	return value{locales.KindDate, func(f *Facts) locales.Value { return dateOr(of(f)) }}
}

func dateOr(d measure.Date) locales.Value {
	if d.IsZero() {
		return locales.Blank()
	}
	return locales.Date(d.Year, int(d.Month), d.Day)
}

func moment(of func(*Facts) time.Time) value {
	return value{locales.KindDateTime, func(f *Facts) locales.Value { return momentOr(of(f), f) }}
}

func momentOr(t time.Time, f *Facts) locales.Value {
	if t.IsZero() {
		return locales.Blank()
	}
	return locales.DateTime(t.In(f.zone()))
}

func volumeOr(v measure.Volume) locales.Value {
	if v.IsZero() {
		return locales.Blank()
	}
	return locales.Volume(v.String())
}

func count(of func(*Facts) int) value {
	return value{locales.KindCount, func(f *Facts) locales.Value {
		if n := of(f); n >= 0 {
			return locales.Count(n)
		}
		return locales.Blank()
	}}
}

func list(of func(*Facts) []locales.Value) value {
	return value{locales.KindList, func(f *Facts) locales.Value { return listOr(of(f)) }}
}

func listOr(items []locales.Value) locales.Value {
	if len(items) == 0 {
		return locales.Blank()
	}
	return locales.List(items...)
}

func fields(texts []string, field string) []locales.Value {
	var out []locales.Value
	for _, t := range texts {
		if strings.TrimSpace(t) != "" {
			out = append(out, locales.Field(t, field))
		}
	}
	return out
}

// terms are words of the trade: messages of the group term.
func terms(kind string, codes []string) []locales.Value {
	var out []locales.Value
	for _, c := range codes {
		out = append(out, term(kind, c))
	}
	return out
}

// term is a word of the trade, or the code as typed where the word is none of ours.
func term(kind, code string) locales.Value {
	if code == "" {
		return locales.Blank()
	}
	if slices.Contains(vocabulary()[kind], code) {
		return locales.Ref("term." + kind + "." + code)
	}
	return locales.AsWritten(code, kind)
}

// values is the closed table of what a template may print.
var values = map[string]value{
	"page":  {locales.KindText, func(*Facts) locales.Value { return locales.Field("0", fieldPage) }},
	"pages": {locales.KindText, func(*Facts) locales.Value { return locales.Field("0", fieldPages) }},

	"kind":             {locales.KindRef, func(f *Facts) locales.Value { return term("paper", f.kind) }},
	"template_version": text(func(f *Facts) string { return f.version }, "template"),
	"language":         text(func(f *Facts) string { return f.language }, "language"),
	"second_language":  text(func(f *Facts) string { return f.second }, "language"),

	"document_id": text(func(f *Facts) string { return f.Issue.Document }, "document"),
	"issued":      moment(func(f *Facts) time.Time { return f.Issue.At }),
	"supersedes":  text(func(f *Facts) string { return f.Issue.Supersedes }, "supersedes"),
	"form_version": text(func(f *Facts) string {
		return strings.TrimSpace(f.Visit.Form.ID + " " + f.Visit.Form.Version)
	}, "form"),
	"rules_version": text(func(f *Facts) string {
		return strings.TrimSpace(f.Visit.Rules.ID + " " + f.Visit.Rules.Version)
	}, "rules"),

	"clinic_name": text(func(f *Facts) string { return f.Clinic.Name }, "clinic.name"),
	"clinic_legal_name": text(func(f *Facts) string {
		if f.Clinic.LegalName == "" {
			return f.Clinic.Name
		}
		return f.Clinic.LegalName
	}, "clinic.legal_name"),
	"clinic_address":         text(func(f *Facts) string { return strings.Join(f.Clinic.Address, ", ") }, "clinic.address"),
	"clinic_telephone":       text(func(f *Facts) string { return f.Clinic.Telephone }, "clinic.telephone"),
	"clinic_night_telephone": text(func(f *Facts) string { return f.Clinic.NightTelephone }, "clinic.night_telephone"),
	"clinic_email":           text(func(f *Facts) string { return f.Clinic.Email }, "clinic.email"),
	"clinic_registration":    text(func(f *Facts) string { return f.Clinic.Registration }, "clinic.registration"),
	"clinic_insurer":         text(func(f *Facts) string { return f.Clinic.Insurer }, "clinic.insurer"),
	"clinic_complaints":      text(func(f *Facts) string { return f.Clinic.Complaints }, "clinic.complaints"),
	"emergency_number":       text(func(f *Facts) string { return f.whereabouts().Emergency.Value }, "place.emergency"),
	"clinic_emergency":       text(func(f *Facts) string { return f.Place.Emergency.Value }, "place.emergency"),
	"clinic_place":           {locales.KindRef, func(f *Facts) locales.Value { return term("place", f.Clinic.Place) }},
	"stay_place":             {locales.KindRef, func(f *Facts) locales.Value { return term("place", f.Visit.Stay.Place) }},
	"stay_until":             date(func(f *Facts) measure.Date { return f.Visit.Stay.Until }),
	"given_lips":             list(givenLips),
	"more_lots":              count(moreLots),
	"age_floor":              text(func(f *Facts) string { return f.Place.AgeFloor.Value }, "place.age_floor"),
	"reporting":              list(reporting),

	"practitioner_name":         text(func(f *Facts) string { return f.Practitioner.Name }, "staff.name"),
	"practitioner_profession":   text(func(f *Facts) string { return f.Practitioner.Profession }, "staff.profession"),
	"practitioner_registration": text(func(f *Facts) string { return f.Practitioner.Registration }, "staff.registration"),

	"patient_name":           text(patientName, "patient.name"),
	"patient_born":           date(func(f *Facts) measure.Date { return f.Patient.Born }),
	"patient_number":         text(func(f *Facts) string { return f.Patient.Number }, "patient.number"),
	"patient_representative": text(func(f *Facts) string { return f.Patient.Representative }, "patient.representative"),
	"patient_alerts":         list(func(f *Facts) []locales.Value { return fields(f.Patient.Alerts, "patient.alerts") }),
	"patient_needs":          list(func(f *Facts) []locales.Value { return terms("need", f.Patient.Needs) }),
	"patient_age":            count(patientAge),
	"patient_speaks":         {locales.KindRef, func(f *Facts) locales.Value { return languageName(f.Patient.Speaks) }},
	"patient_reads":          {locales.KindRef, func(f *Facts) locales.Value { return languageName(f.Patient.Reads) }},
	"visit_kind": {locales.KindRef, func(f *Facts) locales.Value {
		return term("visit", string(f.Visit.Kind))
	}},
	"appointment":      moment(func(f *Facts) time.Time { return f.Visit.Appointment }),
	"appointment_day":  date(func(f *Facts) measure.Date { return dayOf(f.Visit.Appointment, f) }),
	"answered_at":      moment(func(f *Facts) time.Time { return f.Visit.Answered.At }),
	"asks_count":       count(func(f *Facts) int { return len(patientAsks(f)) }),
	"unanswered_count": count(func(f *Facts) int { return len(unanswered(f)) }),
	"talk_count":       count(func(f *Facts) int { return len(talk(f)) }),
	"earliest":         date(func(f *Facts) measure.Date { return f.Report.Earliest }),

	"identity_document": text(func(f *Facts) string { return f.identity().Document }, "visit.identity_seen"),
	"identity_by":       text(func(f *Facts) string { return f.person(f.identity().By).Name }, "visit.identity_seen"),
	"identity_on":       date(func(f *Facts) measure.Date { return f.identity().On }),

	"interpreter_name":   text(func(f *Facts) string { return f.interpreter().Name }, "visit.interpreter"),
	"interpreter_number": text(func(f *Facts) string { return f.interpreter().Number }, "visit.interpreter"),
	"interpreter_mode":   {locales.KindRef, func(f *Facts) locales.Value { return term("mode", f.interpreter().Mode) }},
	"interpreter_language": {locales.KindRef, func(f *Facts) locales.Value {
		if l := f.interpreter().Language; l != "" {
			return languageName(l)
		}
		return languageName(f.Patient.Interpreter.Language)
	}},

	"wish":         text(func(f *Facts) string { return f.Visit.Plan.Wish }, "plan.wish"),
	"zones":        list(func(f *Facts) []locales.Value { return terms("zone", f.Visit.Plan.Zones) }),
	"greatest":     {locales.KindVolume, func(f *Facts) locales.Value { return volumeOr(f.Visit.Plan.Greatest) }},
	"classes":      list(func(f *Facts) []locales.Value { return terms("class", f.Visit.Plan.Classes) }),
	"instruments":  list(func(f *Facts) []locales.Value { return terms("instrument", f.Visit.Plan.Instruments) }),
	"planned":      text(func(f *Facts) string { p, _ := f.product(f.Visit.Plan.Product); return p.Name }, "plan.product"),
	"anaesthetic":  text(func(f *Facts) string { return f.Visit.Plan.Anaesthetic }, "plan.anaesthetic"),
	"price":        text(func(f *Facts) string { return f.Visit.Plan.Price }, "plan.price"),
	"examination":  text(func(f *Facts) string { return f.Visit.Plan.Examination }, "plan.examination"),
	"planned_by":   text(func(f *Facts) string { return f.person(f.Visit.Plan.By).Name }, "plan.by"),
	"review_on":    date((*Facts).reviewOn),
	"review_asked": date(func(f *Facts) measure.Date { return f.Visit.Plan.ReviewOn }),
	"products":     list(productNames),
	"further_from": date(furtherFrom),

	"informed_at":       moment(func(f *Facts) time.Time { h, _ := f.informed(); return h.At }),
	"informed_by":       text(func(f *Facts) string { h, _ := f.informed(); return f.person(h.By).Name }, "handed.by"),
	"informed_document": text(func(f *Facts) string { h, _ := f.informed(); return h.Document }, "handed.document"),
	"consented_at":      moment(func(f *Facts) time.Time { c, _ := f.state(visit.Consented); return c.At }),
	"reflection_days":   count((*Facts).reflectionDays),
	"reflection_ends":   date((*Facts).reflectionEnds),

	"treated_day":     date((*Facts).treatedOn),
	"treatment_start": moment(func(f *Facts) time.Time { return f.given().Start }),
	"treatment_end":   moment(func(f *Facts) time.Time { return f.given().End }),
	"treated_by":      text(treatedBy, "treatment.by"),
	"asepsis":         text(func(f *Facts) string { return f.given().Asepsis }, "treatment.asepsis"),
	"reaction":        text(func(f *Facts) string { return f.given().Reaction }, "treatment.reaction"),
	"notes":           text(func(f *Facts) string { return f.given().Notes }, "treatment.notes"),
	"photos":          list(func(f *Facts) []locales.Value { return fields(f.given().Photos, "treatment.photos") }),
	"injections":      count(func(f *Facts) int { return f.tally().entries }),
	"total_volume":    {locales.KindVolume, func(f *Facts) locales.Value { return readVolume(f.tally().total, "", "") }},
	"zone_sums":       list(zoneSums),
}

// languageName is the name of a language; its region is left out.
func languageName(tag string) locales.Value {
	primary, _, _ := strings.Cut(tag, "-")
	if slices.Contains(vocabulary()["language"], primary) {
		return locales.Ref("term.language." + primary)
	}
	return term("language", tag)
}

func patientName(f *Facts) string {
	if f.Patient.Display != "" {
		return f.Patient.Display
	}
	return strings.TrimSpace(f.Patient.Given + " " + f.Patient.Family)
}

func patientAge(f *Facts) int {
	on := dayOf(f.Visit.Appointment, f)
	if f.Patient.Born.IsZero() || on.IsZero() {
		return -1
	}
	return measure.Age(f.Patient.Born, on)
}

func dayOf(t time.Time, f *Facts) measure.Date {
	if t.IsZero() {
		return measure.Date{}
	}
	return measure.DateOf(t, f.zone())
}

func reporting(f *Facts) []locales.Value {
	var out []locales.Value
	for _, r := range f.Place.Reporting {
		switch {
		case strings.HasPrefix(r.Value, "place."):
			out = append(out, locales.Ref(r.Value))
		case r.Value != "":
			out = append(out, locales.Field(r.Value, "place.reporting"))
		}
	}
	return out
}

func productNames(f *Facts) []locales.Value {
	var names []string
	for _, p := range f.products() {
		names = append(names, p.Name)
	}
	return fields(names, "products.name")
}

// furtherFrom is the first day on which the clinic would inject again, by its own policy.
func furtherFrom(f *Facts) measure.Date {
	w, ok := f.Clinic.Policy.Windows["touch_up"]
	day := f.treatedOn()
	if !ok || day.IsZero() || f.Visit.Treatment == nil {
		return measure.Date{}
	}
	return day.AddMonths(w.Months).AddDays(w.Days + 7*w.Weeks)
}

func treatedBy(f *Facts) string {
	if by := f.given().By; by != "" {
		return f.person(by).Name
	}
	return f.Practitioner.Name
}

func (f *Facts) identity() visit.IdentitySeen {
	if f.Visit.IdentitySeen == nil {
		return visit.IdentitySeen{}
	}
	return *f.Visit.IdentitySeen
}

func (f *Facts) interpreter() visit.InterpreterAttends {
	if f.Visit.Interpreter == nil {
		return visit.InterpreterAttends{}
	}
	return *f.Visit.Interpreter
}

func (f *Facts) given() visit.Given {
	if f.Visit.Treatment == nil {
		return visit.Given{}
	}
	return *f.Visit.Treatment
}
