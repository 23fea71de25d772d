package exchange_test

import (
	"encoding/json"
	"maps"
	"os"
	"slices"
	"strings"
	"testing"

	"philtrum/forms/exchange"
)

// table is r4.json, read here by itself.
type table struct {
	Types map[string]map[string]struct {
		Min   int
		Types []string
		Codes string
	}
}

// walk goes through the elements of a value of a type that the standard defines.
func (d table) walk(path, kind string, v any, visit func(path, key string, owner tree, min int, codes string)) {
	switch v := v.(type) {
	case []any:
		for _, item := range v {
			d.walk(path, kind, item, visit)
		}
	case tree:
		if named, ok := v["resourceType"].(string); ok {
			kind = named
		}
		for _, key := range slices.Sorted(maps.Keys(v)) {
			value := v[key]
			e, ok := d.Types[kind][key]
			of := ""
			if ok && len(e.Types) == 1 {
				of = e.Types[0]
			}
			for name, choice := range d.Types[kind] {
				base, isChoice := strings.CutSuffix(name, "[x]")
				for _, t := range choice.Types {
					if isChoice && key == base+strings.ToUpper(t[:1])+t[1:] {
						e, of = choice, t
					}
				}
			}
			if key != "resourceType" {
				visit(path+"."+key, key, v, e.Min, e.Codes)
			}
			d.walk(path+"."+key, of, value, visit)
		}
	}
}

// Wherever the standard needs an element, taking it away is found; wherever it closes a list of codes, a code that is
// none of them is.
func TestEveryNeededElementAndCode(t *testing.T) {
	data, err := os.ReadFile("r4.json")
	if err != nil {
		t.Fatal(err)
	}
	var d table
	if err := json.Unmarshal(data, &d); err != nil {
		t.Fatal(err)
	}
	b := opened(t, bundleOf(t, treated(t)))
	needed, closedCodes := 0, 0
	d.walk("", "Bundle", b, func(path, key string, owner tree, min int, codes string) {
		was := owner[key]
		if min > 0 {
			needed++
			delete(owner, key)
			if len(exchange.Check(closed(t, b))) == 0 {
				t.Errorf("nothing missed %s", path)
			}
			owner[key] = was
		}
		if _, isText := was.(string); isText && codes != "" {
			closedCodes++
			owner[key] = "philtrum"
			if len(exchange.Check(closed(t, b))) == 0 {
				t.Errorf("any code will do at %s", path)
			}
			owner[key] = was
		}
	})
	if needed < 80 || closedCodes < 20 {
		t.Errorf("only %d needed elements and %d codes were tried", needed, closedCodes)
	}
}
