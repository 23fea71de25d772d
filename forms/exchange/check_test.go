package exchange_test

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"philtrum/forms/exchange"

	"pgregory.net/rapid"
)

type tree = map[string]any

// opened is a bundle as Go values, to be changed.
func opened(t testing.TB, data []byte) tree {
	t.Helper()
	dec := json.NewDecoder(strings.NewReader(string(data)))
	dec.UseNumber()
	var b tree
	if err := dec.Decode(&b); err != nil {
		t.Fatal(err)
	}
	return b
}

func closed(t testing.TB, b tree) []byte {
	t.Helper()
	data, err := json.Marshal(b)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// first is the first resource of a type.
func first(b tree, kind string) tree {
	for _, e := range b["entry"].([]any) {
		if r := e.(tree)["resource"].(tree); r["resourceType"] == kind {
			return r
		}
	}
	panic("no " + kind)
}

// mutation is a way in which a bundle is wrong. General says that any validator of the standard has to see it;
// otherwise it breaks an invariant, or what this program promises beside the standard.
type mutation struct {
	name, rule string
	general    bool
	change     func(b tree)
}

func without(kind, key string) func(tree) {
	return func(b tree) { delete(first(b, kind), key) }
}

func with(kind, key string, value any) func(tree) {
	return func(b tree) { first(b, kind)[key] = value }
}

func ref(to string) tree { return tree{"reference": to} }

func urlOf(b tree, kind string) string { return "urn:uuid:" + first(b, kind)["id"].(string) }

var mutations = []mutation{
	{"no status of a procedure", "cardinality-min", true, without("Procedure", "status")},
	{"no subject of a procedure", "cardinality-min", true, without("Procedure", "subject")},
	{"no code of an observation", "cardinality-min", true, without("Observation", "code")},
	{"no scope of a consent", "cardinality-min", true, without("Consent", "scope")},
	{"no category of a consent", "cardinality-min", true, without("Consent", "category")},
	{"no content of a document", "cardinality-min", true, without("DocumentReference", "content")},
	{"no target of a provenance", "cardinality-min", true, without("Provenance", "target")},
	{"no agent of a provenance", "cardinality-min", true, without("Provenance", "agent")},
	{"no status of the answers", "cardinality-min", true, without("QuestionnaireResponse", "status")},
	{"no time of a medicine", "cardinality-min", true, without("MedicationAdministration", "effectiveDateTime")},
	{"no type of the bundle", "cardinality-min", true, func(b tree) { delete(b, "type") }},
	{"no link of an answer", "cardinality-min", true, func(b tree) {
		delete(first(b, "QuestionnaireResponse")["item"].([]any)[0].(tree), "linkId")
	}},
	{"a status that is none", "required-code", true, with("Procedure", "status", "done")},
	{"a gender that is none", "required-code", true, with("Patient", "gender", "F")},
	{"a type of name that is none", "required-code", true, func(b tree) { first(b, "Device")["deviceName"].([]any)[0].(tree)["type"] = "nickname" }},
	{"a type of bundle that is none", "required-code", true, func(b tree) { b["type"] = "folder" }},
	{"a birth date the wrong way round", "date", true, with("Patient", "birthDate", "04/03/1986")},
	{"a day that no month has", "dateTime", false, with("Device", "expirationDate", "2027-02-30")},
	{"a time without its zone", "instant", true, with("Provenance", "recorded", "2026-12-04T09:40:00")},
	{"a number in quotes", "number", true, func(b tree) { first(b, "Observation")["valueQuantity"].(tree)["value"] = "0.3" }},
	{"an element of our own", "unknown-element", true, with("Procedure", "volume", "0.3")},
	{"a list of one that is no list", "cardinality-list", true, func(b tree) { p := first(b, "Procedure"); p["note"] = p["note"].([]any)[0] }},
	{"a single one in a list", "cardinality-list", true, func(b tree) { p := first(b, "Procedure"); p["subject"] = []any{p["subject"]} }},
	{"two values of one choice", "choice", false, with("Observation", "valueString", "0.3")},
	{"a resource that is none", "resource-type", true, with("AdverseEvent", "resourceType", "Complication")},
	{"an empty string", "string", false, with("Device", "lotNumber", "")},
	{"a control character", "string", false, with("Device", "lotNumber", "A\x1dB")},
	{"a space that is none", "string", false, with("Device", "lotNumber", "A\u00a0B")},
	{"an empty object", "ele-1", false, with("Device", "type", tree{})},
	{"an empty list", "cardinality-max", false, with("Procedure", "note", []any{})},
	{"nothing", "object", false, with("Device", "type", nil)},
	{"a reference to nobody", "reference-unresolved", false, with("Procedure", "subject", ref("urn:uuid:00000000-0000-8000-8000-000000000000"))},
	{"a reference to somewhere else", "reference-unresolved", false, with("Procedure", "subject", ref("Patient/4711"))},
	{"a reference to the wrong kind", "reference-target", false, func(b tree) { first(b, "Procedure")["subject"] = ref(urlOf(b, "Device")) }},
	{"an empty reference", "reference-empty", false, with("Procedure", "subject", tree{"display": "her"})},
	{"a contained resource that nobody names", "dom-3", false, with("MedicationAdministration", "medicationReference", tree{"identifier": tree{"value": "x"}})},
	{"one url twice", "bdl-7", false, func(b tree) { e := b["entry"].([]any); b["entry"] = append(e, e[1]) }},
	{"a url of another id", "full-url", false, with("Device", "id", "00000000-0000-8000-8000-000000000000")},
	{"a name as an id", "id-uuid", false, func(b tree) {
		r := first(b, "Provenance")
		for _, e := range b["entry"].([]any) {
			if e.(tree)["resource"].(tree)["resourceType"] == "Provenance" {
				e.(tree)["fullUrl"] = "urn:uuid:ostrowska"
			}
		}
		r["id"] = "ostrowska"
	}},
	{"an invented system", "coding", false, func(b tree) {
		first(b, "Device")["type"].(tree)["coding"] = []any{tree{"system": "http://clinic.example/codes", "code": "soft"}}
	}},
	{"a code that its system does not have", "coding", false, with("Consent", "scope", tree{"coding": []any{tree{"system": "http://terminology.hl7.org/CodeSystem/consentscope", "code": "fillers"}}})},
	{"an outcome that is none", "required-code", false, with("AdverseEvent", "outcome", tree{"coding": []any{tree{"system": "http://terminology.hl7.org/CodeSystem/adverse-event-outcome", "code": "fine"}}})},
	{"a unit of our own", "unit", false, func(b tree) { first(b, "Observation")["valueQuantity"].(tree)["code"] = "ml." }},
	{"a code of a unit without its system", "qty-3", false, func(b tree) { delete(first(b, "Observation")["valueQuantity"].(tree), "system") }},
	{"no value and no reason", "obs-6", false, without("Observation", "valueQuantity")},
	{"a value and a reason", "obs-6", false, with("Observation", "dataAbsentReason", tree{"text": "unknown"})},
	{"a consent under no rule", "ppc-1", false, without("Consent", "policyRule")},
	{"a consent of nobody", "ppc-5", false, without("Consent", "patient")},
	{"a dosage without a dose", "mad-1", false, func(b tree) { delete(first(b, "MedicationAdministration")["dosage"].(tree), "dose") }},
	{"an end before the start", "per-1", false, func(b tree) { first(b, "Procedure")["performedPeriod"].(tree)["end"] = "2026-12-04T09:00:00Z" }},
	{"an extension of our own", "extension", false, func(b tree) { first(b, "Patient")["extension"].([]any)[0].(tree)["url"] = "http://clinic.example/wish" }},
	{"an extension without a value", "ext-1", false, func(b tree) { delete(first(b, "Patient")["extension"].([]any)[0].(tree), "valueBoolean") }},
	{"an answer beside a group", "qrs-1", false, func(b tree) {
		item := first(b, "QuestionnaireResponse")["item"].([]any)[1].(tree)
		item["item"] = []any{tree{"linkId": "x"}}
	}},
	{"two patients", "one-patient", false, func(b tree) {
		other := tree{"resourceType": "Patient", "id": "00000000-0000-8000-8000-000000000001"}
		b["entry"] = append(b["entry"].([]any), tree{"fullUrl": "urn:uuid:00000000-0000-8000-8000-000000000001", "resource": other})
	}},
	{"a resource of no origin", "provenance-target", false, func(b tree) {
		p := first(b, "Provenance")
		p["target"] = p["target"].([]any)[1:]
	}},
	{"a document that is no collection", "collection", false, func(b tree) { b["type"] = "document" }},
	{"an entry without a resource", "entry-resource", false, func(b tree) { delete(b["entry"].([]any)[0].(tree), "resource") }},
}

// Each of these is found, by the rule that it breaks.
func TestMutatedBundlesAreRejected(t *testing.T) {
	data := bundleOf(t, treated(t))
	for _, m := range mutations {
		b := opened(t, data)
		m.change(b)
		faults := exchange.Check(closed(t, b))
		if !slices.ContainsFunc(faults, func(f exchange.Fault) bool { return f.Rule == m.rule }) {
			t.Errorf("%s: want %s, found %v", m.name, m.rule, faults)
		}
	}
}

// place is a value somewhere in a bundle, with what puts another one there.
type place struct {
	path  string
	value any
	put   func(any)
}

func places(path string, v any, put func(any), all *[]place) {
	*all = append(*all, place{path, v, put})
	switch v := v.(type) {
	case tree:
		keys := make([]string, 0, len(v))
		for k := range v {
			keys = append(keys, k)
		}
		slices.Sort(keys)
		for _, k := range keys {
			places(path+"."+k, v[k], func(x any) { v[k] = x }, all)
		}
	case []any:
		for i := range v {
			places(fmt.Sprintf("%s[%d]", path, i), v[i], func(x any) { v[i] = x }, all)
		}
	}
}

// Wherever a value is replaced by one of another JSON type, or an object gains an element that the standard does not
// have, the bundle is rejected. No place is beyond the check.
func TestNoPlaceIsBeyondTheCheck(t *testing.T) {
	data := bundleOf(t, treated(t))
	rapid.Check(t, func(rt *rapid.T) {
		b := opened(t, data)
		var all []place
		places("", b, func(any) {}, &all)
		p := all[rapid.IntRange(1, len(all)-1).Draw(rt, "place")]
		switch v := p.value.(type) {
		case tree:
			other := rapid.SampledFrom([]any{nil, "text", json.Number("1"), true, []any{}, tree{}}).Draw(rt, "instead")
			if rapid.Bool().Draw(rt, "grown") {
				v["volumeInLip"] = "0.3"
			} else {
				p.put(other)
			}
		case []any:
			p.put(rapid.SampledFrom([]any{nil, "text", json.Number("1"), true, []any{}, tree{}, v[0]}).Draw(rt, "instead"))
		case string:
			p.put(rapid.SampledFrom([]any{nil, "", " ", "a\x00", json.Number("1"), true, []any{}, tree{}, []any{v}}).Draw(rt, "instead"))
		case json.Number:
			p.put(rapid.SampledFrom([]any{nil, v.String(), true, []any{}, tree{}, []any{v}}).Draw(rt, "instead"))
		case bool:
			p.put(rapid.SampledFrom([]any{nil, "true", json.Number("1"), []any{}, tree{}}).Draw(rt, "instead"))
		}
		if len(exchange.Check(closed(t, b))) == 0 {
			rt.Fatalf("changed at %s and not found", p.path)
		}
	})
}

// A fault never holds a value of the bundle.
func TestFaultsHoldNoValue(t *testing.T) {
	data := bundleOf(t, treated(t))
	for _, m := range mutations {
		b := opened(t, data)
		m.change(b)
		for _, f := range exchange.Check(closed(t, b)) {
			for _, no := range []string{"Ostrowska", "D7K", "4711", "1986", "pale patch"} {
				if strings.Contains(f.Path+f.Rule, no) {
					t.Errorf("%s: a fault says %q", m.name, no)
				}
			}
		}
	}
}

// Whatever bytes come, the check ends and says so.
func FuzzCheck(f *testing.F) {
	f.Add(bundleOf(f, treated(f)))
	f.Add([]byte(`{"resourceType":"Bundle","resourceType":"Bundle"}`))
	f.Add([]byte(strings.Repeat(`{"a":[`, 200)))
	f.Fuzz(func(t *testing.T, data []byte) {
		faults := exchange.Check(data)
		if !json.Valid(data) && len(faults) == 0 {
			t.Error("what is no JSON was accepted")
		}
	})
}

// Whatever a person types, the bundle that comes of it holds.
func TestAnyTypedTextFits(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		text := func(name string) string { return rapid.String().Draw(rt, name) }
		r := treated(t)
		v := &r.Visit
		v.Treatment.Rows[0].Zone, v.Treatment.Rows[0].Gauge, v.Treatment.Rows[1].VolumeText = text("zone"), text("gauge"), text("volume")
		v.Treatment.Syringes[0].Lot, v.Treatment.Syringes[0].Carrier = text("lot"), text("carrier")
		v.Treatment.Notes, v.Treatment.By, v.Treatment.Event.Signs = text("notes"), text("by"), text("signs")
		v.Treatment.Checks[0].What, v.Treatment.Checks[0].Result = text("what"), text("result")
		v.Treatment.Anaesthetics[0].Substance, v.Treatment.Anaesthetics[0].Form = text("substance"), text("form")
		r.Patient.Given, r.Patient.Family, r.Patient.Number, r.Patient.Speaks = text("given"), text("family"), text("number"), text("speaks")
		r.Patient.Address, r.Patient.Sex = []string{text("address")}, text("sex")
		r.Clinic.Name, r.Clinic.Registration = text("clinic"), text("registration")
		r.Documents[0].ID, r.Documents[0].Language = text("document"), text("language")
		for _, f := range exchange.Check(bundleOf(t, r)) {
			rt.Errorf("%s: %s", f.Path, f.Rule)
		}
	})
}
