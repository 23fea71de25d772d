package source_test

import (
	"testing"

	"philtrum/forms/source"

	"github.com/google/go-cmp/cmp"
)

const packedText = `title: "quoted: text"
list:
  - one
  - {a: 1, b: [x, y]}
block: |
  first
  sécond
empty:
`

func TestPackedTreesAreThoseOfTheFiles(t *testing.T) {
	texts := [][]byte{[]byte(packedText), []byte("- 1\n- 2\n")}
	data, err := source.Pack(texts...)
	if err != nil {
		t.Fatal(err)
	}
	p := source.Unpack(data)
	for _, text := range texts {
		if !p.Has(text) {
			t.Errorf("the tree of %q is not there", text)
		}
		want, _ := source.Parse("a.yaml", text)
		got, problems := p.Parse("a.yaml", text)
		if diff := cmp.Diff(want, got); diff != "" || len(problems) > 0 {
			t.Errorf("%v, %s", problems, diff)
		}
	}
}

func TestAChangedTextIsParsed(t *testing.T) {
	data, err := source.Pack([]byte("a: 1\n"))
	if err != nil {
		t.Fatal(err)
	}
	p := source.Unpack(data)
	if n, problems := p.Parse("a.yaml", []byte("a: 2\n")); len(problems) > 0 || n.Keys[0].Value.Text != "2" {
		t.Errorf("got %v, %v", n, problems)
	}
	if _, problems := p.Parse("a.yaml", []byte("a: [\n")); len(problems) == 0 {
		t.Error("a broken file has no problem")
	}
	if _, err := source.Pack([]byte("a: [\n")); err == nil {
		t.Error("a broken file was packed")
	}
}

// Whatever stands in the packed data, a known text reads as it reads when parsed, or is parsed.
func FuzzUnpack(f *testing.F) {
	data, err := source.Pack([]byte(packedText))
	if err != nil {
		f.Fatal(err)
	}
	f.Add(data)
	for i := range data {
		f.Add(data[:i])
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		p := source.Unpack(data)
		if n, problems := p.Parse("a.yaml", []byte(packedText)); n == nil || len(problems) > 0 {
			t.Errorf("nothing came of it: %v", problems)
		}
	})
}
