package device

import (
	"net/url"
	"slices"
	"strings"
)

// primary are the identifiers with which the data of a Digital Link may begin, each with the rows of those
// that may follow in the path, in their order (GS1 Barcode Syntax Dictionary, read).
var primary = map[string][]string{
	"00": nil, "01": {"22 10 21", "235"}, "253": nil, "255": nil, "401": nil, "402": nil, "414": {"254", "7040"},
	"415": {"8020"}, "417": {"7040"}, "8003": nil, "8004": {"7040"}, "8006": {"22 10 21"}, "8010": {"8011"}, "8013": nil,
	"8017": {"8019"}, "8018": {"8019"},
}

// inOrder says whether what follows a primary key is some of one of its rows, in the order of the row.
func inOrder(key string, followers []string) bool {
	if len(followers) == 0 {
		return true
	}
	return slices.ContainsFunc(primary[key], func(row string) bool {
		rest := strings.Fields(row)
		for _, id := range followers {
			i := slices.Index(rest, id)
			if i < 0 {
				return false
			}
			rest = rest[i+1:]
		}
		return true
	})
}

// names are the words that the first editions of the standard allowed in the place of digits (from memory).
var names = map[string]string{"gtin": "01", "cpv": "22", "lot": "10", "ser": "21", "exp": "17"}

// digitalLink reads a web address with identifiers: pairs of identifier and value in the path, behind
// anything, and further ones after the question mark. Only http and https carry them.
func (r *reader) digitalLink(s string) {
	address, _, _ := strings.Cut(s, "#")
	address, query, _ := strings.Cut(address, "?")
	if _, after, ok := strings.Cut(address, "://"); ok {
		address = after
	}
	segments := strings.Split(strings.TrimSuffix(address, "/"), "/")
	start := r.linkStart(segments)
	if start < 0 {
		r.remark(Fault, "link_without_key", nil)
		return
	}
	r.Agency, r.Form = GS1, DigitalLink
	var path []string
	for i := start; i < len(segments); i += 2 {
		r.addLink(segments[i], segments[i+1])
		path = append(path, linkKey(segments[i]))
	}
	if !inOrder(path[0], path[1:]) {
		r.remark(Fault, "link_order", nil)
	}
	for _, pair := range strings.FieldsFunc(query, func(c rune) bool { return c == '&' || c == ';' }) {
		key, value, _ := strings.Cut(pair, "=")
		if _, named := names[key]; named || isDigits(key) {
			r.addLink(key, value)
		}
	}
	r.sense()
}

// linkStart is the first segment from which everything is pairs that begin with a primary key: if possible one
// whose value has the form of that key, since "01" may also be a part of what stands before.
func (r *reader) linkStart(segments []string) int {
	start := -1
	for i := 1; i < len(segments)-1; i++ {
		key := linkKey(segments[i])
		if _, may := primary[key]; !may || (len(segments)-i)%2 == 1 || !allKeys(segments[i:]) {
			continue
		}
		if (&reader{}).fits(key, Normal(segments[i+1]), parts(identifiers[key].Format)) {
			return i
		}
		if start < 0 {
			start = i
		}
	}
	return start
}

// allKeys says whether every other segment can be an identifier.
func allKeys(segments []string) bool {
	for i := 0; i < len(segments); i += 2 {
		if !isDigits(linkKey(segments[i])) {
			return false
		}
	}
	return true
}

func linkKey(segment string) string {
	if id, named := names[strings.ToLower(segment)]; named {
		return id
	}
	return segment
}

// addLink adds a pair of an address. A GTIN may have fewer than 14 digits, as the first editions allowed.
func (r *reader) addLink(key, value string) {
	id := linkKey(key)
	if id != key {
		r.once(Note, "link_names", nil)
	}
	plain, err := url.PathUnescape(value)
	if err != nil {
		r.once(Fault, "link_escape", map[string]any{"id": id})
		plain = value
	}
	if id == "01" && Normal(plain) != plain {
		r.once(Note, "gtin_padded", nil)
		plain = Normal(plain)
	}
	if _, known := lookup(id); !known {
		r.unknown(id, plain)
		return
	}
	r.add(id, plain)
}
