package exchange

import (
	_ "embed"
	"encoding/json"
	"regexp"
	"slices"
	"strings"
	"sync"
)

// r4JSON is the part of the published definitions of FHIR R4 that bundles are checked against; README.md says how it
// is made.
//
//go:embed r4.json
var r4JSON []byte

type definitions struct {
	Version   string                        `json:"version"`
	Resources []string                      `json:"resources"`
	Patterns  map[string]string             `json:"patterns"`
	Codes     map[string][]string           `json:"codes"`   // system|code, by value set
	Systems   map[string][]string           `json:"systems"` // codes, by system
	Types     map[string]map[string]element `json:"types"`
	compiled  map[string]*regexp.Regexp
	uuid      *regexp.Regexp
	language  *regexp.Regexp      // BCP 47, by its form
	needed    map[string][]string // elements with a minimum, sorted, by type
}

type element struct {
	Min     int      `json:"min"`
	Max     string   `json:"max"` // a number or *
	Types   []string `json:"types"`
	Targets []string `json:"targets"` // of references; empty: any
	Codes   string   `json:"codes"`   // the value set that a code must be of
}

// published reads the definitions once, when the first bundle is checked.
var published = sync.OnceValue(func() *definitions {
	d := &definitions{compiled: map[string]*regexp.Regexp{}}
	if err := json.Unmarshal(r4JSON, d); err != nil {
		panic(err)
	}
	d.uuid = regexp.MustCompile(`\A[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}\z`)
	d.language = regexp.MustCompile(`\A[A-Za-z]{2,8}(-[A-Za-z0-9]{1,8})*\z`)
	for name, pattern := range d.Patterns {
		d.compiled[name] = regexp.MustCompile(`\A(?:` + pattern + `)\z`)
	}
	d.needed = map[string][]string{}
	for kind, elements := range d.Types {
		for name, e := range elements {
			if e.Min > 0 {
				d.needed[kind] = append(d.needed[kind], name)
			}
		}
		slices.Sort(d.needed[kind])
	}
	return d
})

// find gives the element of a type that a key names, and the type of its value: "valueQuantity" is value[x].
func (d *definitions) find(owner, key string) (name string, e element, kind string, ok bool) {
	elements := d.Types[owner]
	if e, ok = elements[key]; ok && len(e.Types) == 1 {
		return key, e, e.Types[0], true
	}
	for choice, e := range elements {
		base, isChoice := strings.CutSuffix(choice, "[x]")
		if !isChoice || !strings.HasPrefix(key, base) {
			continue
		}
		for _, t := range e.Types {
			if key == base+strings.ToUpper(t[:1])+t[1:] {
				return choice, e, t, true
			}
		}
	}
	return "", element{}, "", false
}

func (d *definitions) isPrimitive(kind string) bool {
	_, ok := d.Patterns[kind]
	return ok || kind == "xhtml"
}
