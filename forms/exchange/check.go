package exchange

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Fault is a place of a bundle that breaks the standard, or goes beyond what this program writes. Rule is a word, or
// the key of the standard's own invariant ("ppc-1"). No value of the bundle is in it.
type Fault struct{ Path, Rule string }

// mostFaults are enough to see what is wrong.
const mostFaults = 100

// Check looks a bundle over by the published definitions of FHIR R4: elements, cardinalities, types and patterns,
// required codes, references that resolve to a resource of an allowed type, and the invariants that its resources
// have. It is stricter than the standard where this program promises more: every reference resolves within the bundle,
// every id is a UUID, and a code comes only from the systems that README.md lists. Faults come in the order of the
// text; none means that the bundle holds.
func Check(data []byte) []Fault {
	c := checker{published: published()}
	root, err := decode(data)
	if err != nil {
		return []Fault{{"", "json"}}
	}
	top, ok := root.(*object)
	if !ok || top.text("resourceType") != "Bundle" {
		return []Fault{{"", "bundle"}}
	}
	c.collect(top)
	c.resource("", top, []string{"Bundle"})
	c.wholeBundle(top)
	return c.faults
}

type checker struct {
	published *definitions
	faults    []Fault
	urls      map[string]string // type of the resource, by fullUrl
	inside    []*object         // the resources that the present place is in
	seen      []string          // references to contained resources in the present one
}

func (c *checker) fault(path, rule string) {
	if len(c.faults) < mostFaults {
		c.faults = append(c.faults, Fault{path, rule})
	}
}

// collect notes what references may lead to.
func (c *checker) collect(b *object) {
	c.urls = map[string]string{}
	for i, item := range b.list("entry") {
		e, ok := item.(*object)
		if !ok {
			continue
		}
		resource, ok := e.values["resource"].(*object)
		path, url := fmt.Sprintf("entry[%d]", i), e.text("fullUrl")
		switch _, twice := c.urls[url]; {
		case !ok:
			c.fault(path, "entry-resource")
		case twice:
			c.fault(path, "bdl-7")
		case url != "urn:uuid:"+resource.text("id"):
			c.fault(path, "full-url")
		default:
			c.urls[url] = resource.text("resourceType")
		}
	}
}

// resource checks a resource of one of the allowed types.
func (c *checker) resource(path string, o *object, allowed []string) {
	kind := o.text("resourceType")
	if !slices.Contains(allowed, kind) {
		c.fault(path, "resource-type")
		return
	}
	outer := c.seen
	c.inside, c.seen = append(c.inside, o), nil
	c.object(path, o, kind, "resourceType")
	for _, item := range o.list("contained") {
		if in, ok := item.(*object); ok && !slices.Contains(c.seen, "#"+in.text("id")) {
			c.fault(path, "dom-3")
		}
	}
	if len(c.inside) <= 2 && !c.published.uuid.MatchString(o.text("id")) {
		c.fault(path, "id-uuid")
	}
	c.inside, c.seen = c.inside[:len(c.inside)-1], append(outer, c.seen...)
}

// object checks the elements of a type; beside names a key that is none.
func (c *checker) object(path string, o *object, kind, beside string) {
	if len(o.keys) == 0 {
		c.fault(path, "ele-1")
	}
	there := map[string]bool{}
	for _, key := range o.keys {
		if key == beside {
			continue
		}
		at := join(path, key)
		name, e, of, ok := c.published.find(kind, key)
		switch {
		case !ok:
			c.fault(at, "unknown-element")
			continue
		case there[name]:
			c.fault(at, "choice")
			continue
		}
		there[name] = true
		c.element(at, o.values[key], e, of)
	}
	for _, name := range c.published.needed[kind] {
		if !there[name] {
			c.fault(join(path, name), "cardinality-min")
		}
	}
	c.invariants(path, o, kind)
}

func (c *checker) element(path string, v any, e element, kind string) {
	list, isList := v.([]any)
	if isList != (e.Max != "1") {
		c.fault(path, "cardinality-list")
		return
	}
	if !isList {
		c.single(path, v, e, kind)
		return
	}
	if most, err := strconv.Atoi(e.Max); len(list) == 0 || err == nil && len(list) > most {
		c.fault(path, "cardinality-max")
	}
	for i, item := range list {
		c.single(fmt.Sprintf("%s[%d]", path, i), item, e, kind)
	}
}

func (c *checker) single(path string, v any, e element, kind string) {
	if c.published.isPrimitive(kind) {
		c.primitive(path, v, e, kind)
		return
	}
	o, ok := v.(*object)
	if !ok {
		c.fault(path, "object")
		return
	}
	if kind == "Resource" {
		c.resource(path, o, c.published.Resources)
		return
	}
	c.object(path, o, kind, "")
	switch kind {
	case "Reference":
		c.reference(path, o, e.Targets)
	case "CodeableConcept":
		for _, item := range o.list("coding") {
			if coding, ok := item.(*object); ok && e.Codes != "" {
				c.inSet(path, e.Codes, coding.text("system")+"|"+coding.text("code"))
			}
		}
	}
}

func (c *checker) inSet(path, set, code string) {
	if !slices.Contains(c.published.Codes[set], code) {
		c.fault(path, "required-code")
	}
}

func join(path, key string) string {
	if path == "" {
		return key
	}
	return path + "." + key
}

// reference follows a reference to a resource of an allowed type in this bundle, or within the same resource.
func (c *checker) reference(path string, o *object, targets []string) {
	to := o.text("reference")
	if to == "" {
		if !o.has("identifier") {
			c.fault(path, "reference-empty")
		}
		return
	}
	kind, ok := c.urls[to]
	if strings.HasPrefix(to, "#") {
		c.seen = append(c.seen, to)
		for _, item := range c.inside[len(c.inside)-1].list("contained") {
			if in, isObject := item.(*object); isObject && "#"+in.text("id") == to {
				kind, ok = in.text("resourceType"), true
			}
		}
	}
	switch {
	case !ok:
		c.fault(path, "reference-unresolved")
	case len(targets) > 0 && !slices.Contains(targets, kind):
		c.fault(path, "reference-target")
	}
}
