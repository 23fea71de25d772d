package exchange

import "encoding/json"

// Systems that the standard or an open register publishes. Nothing else is coded.
const (
	systemUCUM         = "http://unitsofmeasure.org"
	systemLanguage     = "urn:ietf:bcp:47"
	systemURI          = "urn:ietf:rfc:3986"
	systemScope        = "http://terminology.hl7.org/CodeSystem/consentscope"
	systemAbsent       = "http://terminology.hl7.org/CodeSystem/data-absent-reason"
	systemOutcome      = "http://terminology.hl7.org/CodeSystem/adverse-event-outcome"
	systemSeriousness  = "http://terminology.hl7.org/CodeSystem/adverse-event-seriousness"
	extensionAbsent    = "http://hl7.org/fhir/StructureDefinition/data-absent-reason"
	extensionInterpret = "http://hl7.org/fhir/StructureDefinition/patient-interpreterRequired"
)

type bundle struct {
	ResourceType string  `json:"resourceType"`
	ID           string  `json:"id"`
	Language     string  `json:"language,omitempty"`
	Type         string  `json:"type"`
	Timestamp    string  `json:"timestamp,omitempty"`
	Entry        []entry `json:"entry"`
}

type entry struct {
	FullURL  string `json:"fullUrl"`
	Resource any    `json:"resource"`
}

type coding struct {
	System  string `json:"system,omitempty"`
	Code    string `json:"code,omitempty"`
	Display string `json:"display,omitempty"`
}

type concept struct {
	Coding []coding `json:"coding,omitempty"`
	Text   string   `json:"text,omitempty"`
}

type identifier struct {
	Type   *concept `json:"type,omitempty"`
	System string   `json:"system,omitempty"`
	Value  string   `json:"value,omitempty"`
}

type reference struct {
	Reference  string      `json:"reference,omitempty"`
	Type       string      `json:"type,omitempty"`
	Identifier *identifier `json:"identifier,omitempty"`
}

type quantity struct {
	Value  json.Number `json:"value"`
	Unit   string      `json:"unit,omitempty"`
	System string      `json:"system,omitempty"`
	Code   string      `json:"code,omitempty"`
}

// in is an exact amount in a unit of UCUM; unit is how people write it.
func in(amount, unit, code string) *quantity {
	return &quantity{Value: json.Number(amount), Unit: unit, System: systemUCUM, Code: code}
}

type period struct {
	Start string `json:"start,omitempty"`
	End   string `json:"end,omitempty"`
}

type extension struct {
	URL          string `json:"url"`
	ValueBoolean *bool  `json:"valueBoolean,omitempty"`
	ValueCode    string `json:"valueCode,omitempty"`
}

type annotation struct {
	Text string `json:"text"`
}

type humanName struct {
	Text   string   `json:"text,omitempty"`
	Family string   `json:"family,omitempty"`
	Given  []string `json:"given,omitempty"`
}

type contactPoint struct {
	System string `json:"system"`
	Value  string `json:"value"`
}

type address struct {
	Text string   `json:"text,omitempty"`
	Line []string `json:"line,omitempty"`
}

type attachment struct {
	ContentType string `json:"contentType,omitempty"`
	Language    string `json:"language,omitempty"`
	Size        int    `json:"size,omitempty"`
	Hash        []byte `json:"hash,omitempty"` // SHA-1, as the standard has it
}
