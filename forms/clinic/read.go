package clinic

import (
	"regexp"
	"slices"
	"strings"
	"time"
	_ "time/tzdata" // the same zones on every machine that has none of its own

	"philtrum/forms"
	"philtrum/forms/measure"
	"philtrum/forms/source"
)

// Roles are the roles that staff.yaml may name.
var Roles = []string{string(RoleInjector), string(RolePrescriber), string(RoleMedicalLead), string(RoleDesk)}

// Classes of product by firmness.
var Classes = []string{"soft", "medium", "firm"}

var languageTag = regexp.MustCompile(`^[a-z]{2,3}(-[A-Za-z0-9]{2,8})*$`) // BCP 47, RFC 5646

type reader struct{ forms.Values }

// Read reads the three files of a clinic; a nil node is a file that is not there, which is a problem for
// clinic.yaml alone.
func Read(clinicNode, staffNode, productsNode *source.Node, r *source.Reader) (Clinic, []Person, Stock) {
	v := reader{forms.Values{Reader: r}}
	return v.clinic(clinicNode), v.staff(staffNode), v.stock(productsNode)
}

func (v reader) clinic(n *source.Node) Clinic {
	f := v.Fields(n, "name", "legal_name", "address", "place", "zone", "language", "telephone", "night_telephone",
		"email", "registration", "insurer", "complaints", "authority", "price_includes", "price_review", "data_notice", "demonstration", "page", "mark", "accent", "policy", "releases", "settings", "hours", "closed", "booking")
	c := Clinic{
		Name:           v.needed(f, "name"),
		LegalName:      v.Text(f.Get("legal_name")),
		Address:        v.Texts(f.Get("address")),
		Place:          v.needed(f, "place"),
		Zone:           v.zone(f.Need("zone")),
		Language:       v.language(f.Need("language")),
		Telephone:      v.needed(f, "telephone"),
		NightTelephone: v.Text(f.Get("night_telephone")),
		Email:          v.Text(f.Get("email")),
		Registration:   v.Text(f.Get("registration")),
		Insurer:        v.Text(f.Get("insurer")),
		Complaints:     v.Text(f.Get("complaints")),
		Authority:      v.Text(f.Get("authority")),
		PriceIncludes:  v.Text(f.Get("price_includes")),
		PriceReview:    v.Text(f.Get("price_review")),
		DataNotice:     v.Text(f.Get("data_notice")),
		Demonstration:  v.YesNo(f.Get("demonstration")),
		Page:           v.OneOf(f.Get("page"), "A4", "Letter"),
		Look:           v.look(f),
		Policy:         readPolicy(f.Get("policy"), v.Reader),
		Settings:       f.Get("settings"),
	}
	for _, item := range v.List(f.Get("releases")) {
		c.Releases = append(c.Releases, v.release(item))
	}
	c.Hours = v.hours(f)
	c.Booking = v.booking(f.Get("booking"))
	if c.Page == "" {
		c.Page = "A4"
	}
	if n != nil {
		c.Span = n.Span
	}
	return c
}

// needed is a text that has to be there and not be empty.
func (v reader) needed(f source.Fields, key string) string {
	n := f.Need(key)
	s := v.Text(n)
	if n != nil && strings.TrimSpace(s) == "" && n.Kind != source.Mapping && n.Kind != source.Sequence {
		v.Report(n, "problem.empty_value", map[string]any{"key": key})
	}
	return s
}

// zone reads a name of the tz database; UTC stands in where it cannot be read.
func (v reader) zone(n *source.Node) *time.Location {
	name := v.Text(n)
	if !strings.Contains(name, "/") && name != "UTC" {
		if n != nil {
			v.Report(n, "problem.time_zone", nil)
		}
		return time.UTC
	}
	zone, err := time.LoadLocation(name)
	if err != nil {
		v.Report(n, "problem.time_zone", nil)
		return time.UTC
	}
	return zone
}

func (v reader) language(n *source.Node) string {
	tag := v.Text(n)
	if tag != "" && !languageTag.MatchString(tag) {
		v.Report(n, "problem.language", nil)
		return ""
	}
	return tag
}

func (v reader) release(n *source.Node) Release {
	f := v.Fields(n, "language", "group", "digest", "translator", "reviser", "on",
		"translator_qualification", "reviser_qualification", "method")
	return Release{
		Language:   v.language(f.Need("language")),
		Group:      v.needed(f, "group"),
		Digest:     v.needed(f, "digest"),
		Translator: v.needed(f, "translator"),
		Reviser:    v.needed(f, "reviser"),
		On:         v.Date(f.Need("on")),

		TranslatorQualification: v.Text(f.Get("translator_qualification")),
		ReviserQualification:    v.Text(f.Get("reviser_qualification")),
		Method:                  v.OneOf(f.Get("method"), Methods...),
	}
}

func (v reader) staff(n *source.Node) []Person {
	var staff []Person
	ids := ids{v, map[string]source.Span{}}
	f := v.Fields(n, "staff", "successors")
	for _, item := range v.List(f.Get("staff")) {
		p := v.person(item)
		ids.add(item, p.ID)
		staff = append(staff, p)
	}
	for _, k := range v.Entries(f.Get("successors")) {
		i := slices.IndexFunc(staff, func(p Person) bool { return p.ID == k.Name })
		next := v.ID(k.Value)
		if _, known := Find(staff, next); i < 0 || !known {
			v.ReportAt(k.Span, "problem.successor", nil)
			continue
		}
		staff[i].Successor = next
	}
	return staff
}

func (v reader) person(n *source.Node) Person {
	f := v.Fields(n, "id", "name", "profession", "registration", "roles", "from", "to")
	p := Person{
		ID:           v.ID(f.Need("id")),
		Name:         v.needed(f, "name"),
		Profession:   v.Text(f.Get("profession")),
		Registration: v.Text(f.Get("registration")),
		From:         v.Date(f.Need("from")),
		To:           v.Date(f.Get("to")),
		Span:         n.Span,
	}
	for _, item := range v.List(f.Need("roles")) {
		if role := v.OneOf(item, Roles...); role != "" {
			p.Roles = append(p.Roles, Role(role))
		}
	}
	if !p.To.IsZero() && p.To.Before(p.From) {
		v.Report(f.Get("to"), "problem.dates_reversed", nil)
	}
	return p
}

// Can says whether the person has the role and works here on that day; both dates are days of work.
func (p Person) Can(role Role, day measure.Date) bool {
	return slices.Contains(p.Roles, role) && p.Works(day)
}

// Works says whether the person works here on that day.
func (p Person) Works(day measure.Date) bool {
	return !p.From.IsZero() && !day.Before(p.From) && (p.To.IsZero() || !day.After(p.To))
}

// Find gives the member of staff with an id.
func Find(staff []Person, id string) (Person, bool) {
	i := slices.IndexFunc(staff, func(p Person) bool { return p.ID == id })
	if i < 0 || id == "" {
		return Person{}, false
	}
	return staff[i], true
}

// ids reports what is named twice.
type ids struct {
	v    reader
	seen map[string]source.Span
}

func (i ids) add(n *source.Node, id string) {
	if id == "" {
		return
	}
	if first, twice := i.seen[id]; twice {
		i.v.Report(n, "problem.id_twice", map[string]any{"id": id, "line": first.Line})
		return
	}
	i.seen[id] = n.Span
}
