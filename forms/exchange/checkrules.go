package exchange

import (
	"encoding/json"
	"slices"
	"strings"
	"time"
	"unicode"
)

// primitive checks the JSON type, the pattern and the code of a value. White space and control characters that
// readers take for one or the other are refused.
func (c *checker) primitive(path string, v any, e element, kind string) {
	text, isText := v.(string)
	switch kind {
	case "boolean":
		if _, ok := v.(bool); !ok {
			c.fault(path, "boolean")
		}
		return
	case "decimal", "integer", "positiveInt", "unsignedInt":
		number, ok := v.(json.Number)
		if !ok || !c.published.compiled[kind].MatchString(number.String()) {
			c.fault(path, "number")
		}
		return
	}
	if !isText || text == "" || !c.published.compiled[kind].MatchString(text) || strings.ContainsFunc(text, strange) {
		c.fault(path, kind)
		return
	}
	if strings.TrimSpace(text) != text {
		c.fault(path, "space")
	}
	if layouts := times[kind]; layouts != nil && !slices.ContainsFunc(layouts, func(l string) bool { _, err := time.Parse(l, text); return err == nil }) {
		c.fault(path, kind)
	}
	if e.Codes != "" {
		if !slices.ContainsFunc(c.published.Codes[e.Codes], func(code string) bool { return strings.HasSuffix(code, "|"+text) }) {
			c.fault(path, "required-code")
		}
	}
	if strings.HasSuffix(path, ".language") && !c.published.language.MatchString(text) {
		c.fault(path, "language")
	}
}

func strange(r rune) bool {
	return r < 0x20 && r != '\n' && r != '\t' && r != '\r' || r == 0x7f || r > 0x7f && unicode.IsSpace(r) || r == '\ufeff' || r == '\ufffe'
}

var times = map[string][]string{
	"date":     {"2006", "2006-01", "2006-01-02"},
	"dateTime": {"2006", "2006-01", "2006-01-02", time.RFC3339Nano},
	"instant":  {time.RFC3339Nano},
}

// units of UCUM that bundles may use.
var units = []string{"mL", "mg", "kg", "[iU]"}

// invariants are those of the standard that elements of these types have, and what this program promises beside.
func (c *checker) invariants(path string, o *object, kind string) {
	failed := func(rule string, holds bool) {
		if !holds {
			c.fault(path, rule)
		}
	}
	switch kind {
	case "Extension":
		known := o.text("url") == extensionAbsent || o.text("url") == extensionInterpret
		failed("extension", known)
		value := 0
		for _, k := range o.keys {
			if strings.HasPrefix(k, "value") {
				value++
			}
		}
		failed("ext-1", (value > 0) != o.has("extension"))
		if o.text("url") == extensionAbsent {
			failed("required-code", slices.Contains(c.published.Systems[systemAbsent], o.text("valueCode")))
		}
	case "Coding":
		c.coding(path, o)
	case "Quantity":
		failed("quantity", o.has("value"))
		failed("qty-3", !o.has("code") || o.has("system"))
		failed("unit", o.text("system") == systemUCUM && slices.Contains(units, o.text("code")))
	case "Period":
		from, errFrom := time.Parse(time.RFC3339, o.text("start"))
		until, errUntil := time.Parse(time.RFC3339, o.text("end"))
		failed("per-1", errFrom != nil || errUntil != nil || !until.Before(from))
	case "CodeableConcept":
		failed("concept", o.has("text") || o.has("coding"))
	case "Attachment":
		failed("att-1", !o.has("data") || o.has("contentType"))
	case "ContactPoint":
		failed("cpt-2", !o.has("value") || o.has("system"))
	case "Organization":
		failed("org-1", o.has("name") || o.has("identifier"))
	case "Observation":
		c.observation(path, o)
	case "Observation.component":
		failed("component", len(o.keys) > 1)
	case "Consent":
		failed("ppc-1", o.has("policy") || o.has("policyRule"))
		failed("ppc-5", o.has("patient"))
	case "MedicationAdministration.dosage":
		failed("mad-1", o.has("dose") || o.has("rateRatio") || o.has("rateQuantity"))
	case "QuestionnaireResponse.item":
		failed("qrs-1", !o.has("answer") || !o.has("item"))
	case "Patient.contact":
		failed("pat-1", o.has("name") || o.has("telecom") || o.has("address") || o.has("organization"))
	}
}

// coding is of a system that the standard or an open register publishes, with a code that it has.
func (c *checker) coding(path string, o *object) {
	system, code := o.text("system"), o.text("code")
	known, published := c.published.Systems[system]
	switch {
	case published && slices.Contains(known, code):
	case system == systemLanguage && c.published.language.MatchString(code):
	default:
		c.fault(path, "coding")
	}
}

// observation has a value or says why not (obs-6 asks that it does not do both).
func (c *checker) observation(path string, o *object) {
	values := 0
	for _, k := range o.keys {
		if strings.HasPrefix(k, "value") {
			values++
		}
	}
	if values > 0 == o.has("dataAbsentReason") {
		c.fault(path, "obs-6")
	}
}

// wholeBundle is what holds of the bundle together: a collection about one patient, whose origin is told.
func (c *checker) wholeBundle(b *object) {
	if b.text("type") != "collection" {
		c.fault("type", "collection")
	}
	patients, targets, provenances := 0, map[string]bool{}, 0
	for _, item := range b.list("entry") {
		e, ok := item.(*object)
		if !ok {
			continue
		}
		resource, ok := e.values["resource"].(*object)
		if !ok {
			continue
		}
		switch resource.text("resourceType") {
		case "Patient":
			patients++
		case "Provenance":
			provenances++
			for _, t := range resource.list("target") {
				if ref, ok := t.(*object); ok {
					targets[ref.text("reference")] = true
				}
			}
		}
	}
	if patients != 1 {
		c.fault("entry", "one-patient")
	}
	for url, kind := range c.urls {
		if provenances > 0 && kind != "Provenance" && !targets[url] {
			c.fault("entry", "provenance-target")
			return
		}
	}
}
