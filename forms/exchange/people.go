package exchange

import (
	"strings"

	"philtrum/forms/clinic"
)

type organization struct {
	ResourceType string         `json:"resourceType"`
	ID           string         `json:"id"`
	Identifier   []identifier   `json:"identifier,omitempty"`
	Name         string         `json:"name,omitempty"`
	Telecom      []contactPoint `json:"telecom,omitempty"`
	Address      []address      `json:"address,omitempty"`
}

type patient struct {
	ResourceType         string          `json:"resourceType"`
	ID                   string          `json:"id"`
	Extension            []extension     `json:"extension,omitempty"`
	Identifier           []identifier    `json:"identifier,omitempty"`
	Name                 []humanName     `json:"name,omitempty"`
	Telecom              []contactPoint  `json:"telecom,omitempty"`
	Gender               string          `json:"gender,omitempty"`
	BirthDate            string          `json:"birthDate,omitempty"`
	Address              []address       `json:"address,omitempty"`
	Communication        []communication `json:"communication,omitempty"`
	ManagingOrganization *reference      `json:"managingOrganization,omitempty"`
}

type communication struct {
	Language  concept `json:"language"`
	Preferred bool    `json:"preferred,omitempty"`
}

type practitioner struct {
	ResourceType  string          `json:"resourceType"`
	ID            string          `json:"id"`
	Identifier    []identifier    `json:"identifier,omitempty"`
	Name          []humanName     `json:"name,omitempty"`
	Qualification []qualification `json:"qualification,omitempty"`
}

type qualification struct {
	Code concept `json:"code"`
}

func (b *builder) addOrganization() {
	c := b.r.Clinic
	name := c.LegalName
	if name == "" {
		name = c.Name
	}
	id := b.id("organization", "")
	o := organization{ResourceType: "Organization", ID: id, Identifier: identifiers(c.Registration), Name: clean(name),
		Telecom: telecom(c.Telephone, c.Email), Address: addresses(c.Address)}
	if o.Name == "" && len(o.Identifier) == 0 { // org-1: one of both
		return
	}
	b.organization = b.add(id, o)
}

// addPatient adds the patient. The id of the resource depends on the patient alone, so that bundles of several visits
// speak of the same one.
func (b *builder) addPatient() {
	p := b.r.Patient
	key := p.ID
	if key == "" {
		key = b.r.Visit.Patient
	}
	number := p.Number
	if number == "" {
		number = key
	}
	id := uuid("", "patient", key)
	out := patient{ResourceType: "Patient", ID: id, Identifier: identifiers(number), Gender: genders[p.Sex],
		Communication: b.languages(), ManagingOrganization: to(b.organization)}
	if p.Interpreter.Needed {
		yes := true
		out.Extension = []extension{{URL: extensionInterpret, ValueBoolean: &yes}}
	}
	if b.r.Names {
		out.Name, out.Telecom, out.Address = names(p.Display, p.Given, p.Family), telecom(p.Telephone, p.Email), addresses(p.Address)
		if !p.Born.IsZero() {
			out.BirthDate = p.Born.String()
		}
	}
	b.patient = b.add(id, out)
}

// genders are the administrative genders of the standard; who did not say has none.
var genders = map[string]string{"female": "female", "male": "male", "other": "other"}

// languages are those that the patient speaks, first, and reads.
func (b *builder) languages() []communication {
	var all []communication
	for i, tag := range []string{b.r.Patient.Speaks, b.r.Patient.Reads} {
		if tag == "none" || i > 0 && tag == b.r.Patient.Speaks {
			continue
		}
		language := textual(tag)
		if languageTag(tag) != "" {
			language = coded(systemLanguage, tag)
		}
		if language != nil {
			all = append(all, communication{Language: *language, Preferred: i == 0})
		}
	}
	return all
}

// person refers to a member of staff, adding them on first mention. A name that staff.yaml does not have is a
// practitioner of that name.
func (b *builder) person(id string) string {
	if id = strings.TrimSpace(id); id == "" || clean(id) == "" {
		return ""
	}
	if ref, known := b.staff[id]; known {
		return ref
	}
	p, known := clinic.Find(b.r.Staff, id)
	if !known {
		p = clinic.Person{Name: id}
	}
	key := b.id("practitioner", id)
	out := practitioner{ResourceType: "Practitioner", ID: key, Identifier: identifiers(p.Registration), Name: names(p.Name, "", "")}
	if profession := b.term("profession", p.Profession); profession != "" {
		out.Qualification = []qualification{{Code: concept{Text: profession}}}
	}
	b.staff[id] = b.add(key, out)
	return b.staff[id]
}

func names(text, given, family string) []humanName {
	n := humanName{Text: clean(text), Family: clean(family)}
	if given = clean(given); given != "" {
		n.Given = []string{given}
	}
	if n.Text == "" && n.Family == "" && given == "" {
		return nil
	}
	return []humanName{n}
}

func identifiers(values ...string) []identifier {
	var all []identifier
	for _, v := range values {
		if v = clean(v); v != "" {
			all = append(all, identifier{Value: v})
		}
	}
	return all
}

func telecom(telephone, email string) []contactPoint {
	var all []contactPoint
	if t := clean(telephone); t != "" {
		all = append(all, contactPoint{"phone", t})
	}
	if e := clean(email); e != "" {
		all = append(all, contactPoint{"email", e})
	}
	return all
}

func addresses(lines []string) []address {
	var a address
	for _, l := range lines {
		if l = clean(l); l != "" {
			a.Line = append(a.Line, l)
		}
	}
	if len(a.Line) == 0 {
		return nil
	}
	return []address{a}
}
