package layout

import (
	"reflect"
	"testing"
)

// whole is a document in which every field of every kind of block is set: texts to text, lists to one
// element each.
func whole(text string) Document {
	var d Document
	f := filler{text: text, blocks: func() []Block {
		return []Block{&Title{}, &Heading{}, &Paragraph{}, &List{}, &Grid{}, &Table{}, &Panel{}, &Choices{},
			&Signature{}, &Dated{}, &Figure{}, &Columns{}, &Group{}, &Space{}, &Break{}, &Card{}}
	}}
	f.fill(reflect.ValueOf(&d).Elem())
	return d
}

type filler struct {
	text   string
	blocks func() []Block
}

func (f filler) fill(v reflect.Value) {
	switch v.Kind() {
	case reflect.String:
		v.SetString(f.text)
	case reflect.Bool:
		v.SetBool(true)
	case reflect.Int, reflect.Int32:
		v.SetInt(1)
	case reflect.Uint8:
		v.SetUint(1)
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		f.fill(v.Elem())
	case reflect.Array:
		for i := range v.Len() {
			f.fill(v.Index(i))
		}
	case reflect.Struct:
		for i := range v.NumField() {
			f.fill(v.Field(i))
		}
	case reflect.Map:
		v.Set(reflect.MakeMap(v.Type()))
		value := reflect.New(v.Type().Elem()).Elem()
		f.fill(value)
		v.SetMapIndex(reflect.ValueOf(RoleBody), value)
	case reflect.Slice:
		if v.Type() == reflect.TypeFor[[]Block]() {
			f.fillBlocks(v)
			return
		}
		v.Set(reflect.MakeSlice(v.Type(), 1, 1))
		f.fill(v.Index(0))
	default:
		panic("layout: the test does not know " + v.Type().String())
	}
}

// fillBlocks puts every kind of block into the document, and a paragraph into the blocks of those.
func (f filler) fillBlocks(v reflect.Value) {
	inner := filler{text: f.text, blocks: func() []Block { return []Block{&Paragraph{}} }}
	blocks := f.blocks()
	for _, b := range blocks {
		if p, ok := b.(*Paragraph); ok && len(blocks) == 1 {
			p.Text = []Span{{Text: f.text}}
			continue
		}
		inner.fill(reflect.ValueOf(b).Elem())
	}
	v.Set(reflect.ValueOf(blocks))
}

// leaves calls see with every value that has no parts, and its path.
func leaves(v reflect.Value, path string, see func(string, reflect.Value)) {
	switch v.Kind() {
	case reflect.Pointer, reflect.Interface:
		if !v.IsNil() {
			leaves(v.Elem(), path, see)
		}
	case reflect.Array, reflect.Slice:
		for i := range v.Len() {
			leaves(v.Index(i), path+"["+v.Index(i).Type().String()+"]", see)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			leaves(v.Field(i), path+"."+v.Type().Name()+"."+v.Type().Field(i).Name, see)
		}
	case reflect.Map:
		for _, key := range v.MapKeys() {
			leaves(v.MapIndex(key), path+"[]", see)
		}
	default:
		see(path, v)
	}
}

func TestDigestMissesNothing(t *testing.T) {
	d := whole("x")
	before := d.Digest()
	seen := 0
	leaves(reflect.ValueOf(&d).Elem(), "", func(path string, v reflect.Value) {
		if !v.CanSet() {
			return // an entry of a map: looked at below
		}
		seen++
		old := reflect.ValueOf(v.Interface())
		switch v.Kind() {
		case reflect.String:
			v.SetString("y")
		case reflect.Bool:
			v.SetBool(!v.Bool())
		case reflect.Uint8:
			v.SetUint(2)
		default:
			v.SetInt(2)
		}
		if d.Digest() == before {
			t.Errorf("%s is not in the digest", path)
		}
		v.Set(old)
	})
	if seen < 200 {
		t.Errorf("only %d values seen", seen)
	}
	for i := range reflect.TypeFor[TextStyle]().NumField() {
		st := d.Sheet.Styles[RoleBody]
		reflect.ValueOf(&st).Elem().Field(i).Set(reflect.Zero(reflect.TypeFor[TextStyle]().Field(i).Type))
		other := d
		other.Sheet.Styles = map[Role]TextStyle{RoleBody: st}
		if other.Digest() == before {
			t.Errorf("field %d of a style is not in the digest", i)
		}
	}
	if d.Digest() != before {
		t.Error("the same document has two digests")
	}
}

// A text must not move over the border between two fields without a change of the digest.
func TestDigestKeepsFieldsApart(t *testing.T) {
	one := Document{Blocks: []Block{&Paragraph{Text: []Span{{Text: "ab"}, {Text: "c"}}}}}
	two := Document{Blocks: []Block{&Paragraph{Text: []Span{{Text: "a"}, {Text: "bc"}}}}}
	three := Document{Blocks: []Block{&Paragraph{Text: []Span{{Text: "ab"}}}, &Paragraph{Text: []Span{{Text: "c"}}}}}
	if one.Digest() == two.Digest() || one.Digest() == three.Digest() {
		t.Error("different documents have one digest")
	}
}

// What is replaced is every text that the paper prints or speaks.
func TestReplaceFindsEveryText(t *testing.T) {
	d := whole("a mark b")
	d.Replace("mark", "word")
	seen := 0
	leaves(reflect.ValueOf(&d).Elem(), "", func(path string, v reflect.Value) {
		switch {
		case v.Type() != reflect.TypeFor[string]() || !said(path):
		case v.String() != "a word b":
			t.Errorf("%s is still %q", path, v.String())
		default:
			seen++
		}
	})
	if seen < 30 {
		t.Errorf("only %d texts seen", seen)
	}
}

// said tells the fields that print or speak from those that name, like the id of a block.
func said(path string) bool {
	for _, end := range []string{".Span.Text", ".Document.Title", ".Figure.Alt"} {
		if len(path) >= len(end) && path[len(path)-len(end):] == end {
			return true
		}
	}
	return false
}
