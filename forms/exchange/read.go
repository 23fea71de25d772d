package exchange

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
)

// object keeps the keys of a JSON object in their order.
type object struct {
	keys   []string
	values map[string]any
}

func (o *object) text(key string) string { s, _ := o.values[key].(string); return s }
func (o *object) has(key string) bool    { _, ok := o.values[key]; return ok }

func (o *object) list(key string) []any { l, _ := o.values[key].([]any); return l }

var errDouble = errors.New("a key twice, or nested too deeply")

// deepest is more than any bundle of this program nests.
const deepest = 64

// decode reads JSON as FHIR wants it: one value, no key twice, numbers as they are written.
func decode(data []byte) (any, error) {
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.UseNumber()
	v, err := value(dec, 0)
	if err != nil {
		return nil, err
	}
	if _, err := dec.Token(); !errors.Is(err, io.EOF) {
		return nil, errDouble
	}
	return v, nil
}

func value(dec *json.Decoder, depth int) (any, error) {
	token, err := dec.Token()
	if err != nil || depth > deepest {
		return nil, errors.Join(err, errDouble)
	}
	delim, ok := token.(json.Delim)
	if !ok {
		return token, nil
	}
	if delim == '[' {
		list := []any{}
		for dec.More() {
			item, err := value(dec, depth+1)
			if err != nil {
				return nil, err
			}
			list = append(list, item)
		}
		_, err := dec.Token()
		return list, err
	}
	o := &object{values: map[string]any{}}
	for dec.More() {
		key, err := dec.Token()
		if err != nil {
			return nil, err
		}
		name, _ := key.(string)
		if o.has(name) {
			return nil, errDouble
		}
		if o.values[name], err = value(dec, depth+1); err != nil {
			return nil, err
		}
		o.keys = append(o.keys, name)
	}
	_, err = dec.Token()
	return o, err
}

// Types lists the types of a bundle's resources, in their order.
func Types(data []byte) []string {
	root, err := decode(data)
	top, ok := root.(*object)
	if err != nil || !ok {
		return nil
	}
	var all []string
	for _, item := range top.list("entry") {
		if e, ok := item.(*object); ok {
			if r, ok := e.values["resource"].(*object); ok {
				all = append(all, r.text("resourceType"))
			}
		}
	}
	return all
}
