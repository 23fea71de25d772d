package source_test

import (
	"strings"
	"testing"

	"philtrum/forms/source"
)

const plainFile = `# a visit
id: mxavxewm02jk2pvq
kind: treatment
salt: 0012
answers:
  own_choice: yes
  conditions: []
  wish: Algo más de forma, nada que se note.
  medicines:
  - warfarin 3 mg evenings
  - "aspirin"
treatment:
  start: 2026-12-01 10:12
  weight_kg: 62.5
  rows:
    - zone: UL-VB
      volume: 0.16
      refill: "2 s, pink"
    - zone: LL-VB
      volume: "0,14"
end: 10:40
`

func TestPlainReadsWhatItSays(t *testing.T) {
	n, ok := source.Plain([]byte(plainFile))
	if !ok {
		t.Fatal("a plain file was left to the strict reader")
	}
	if !source.Same(n, must(t, plainFile)) {
		t.Error("another tree than the strict reader's")
	}
}

// TestPlainLeavesTheRest gives it what only the strict reader may judge.
func TestPlainLeavesTheRest(t *testing.T) {
	for _, text := range []string{
		"", "a", "a:", "a:\n", "a: ~", "a: null", "a: *b", "a: &b c", "a: !!str b", "a: 'b'", "a: \"b\\n\"", "a: {b: 1}", "a: [b]",
		"a: |\n  b", "a: b # c", "a: b: c", "a: b\n  c", "a: b\na: c", "a:\n b: 1\n  c: 2", "- a", "---\na: b", "a: b\n---\nc: d",
		"a: b\tc", "a:\tb", "\ufeffa: b", "a: b\r\n", "a: b ", "a:  b", "a:\n  - b\n c", "a:\n  - - b", "a: b\n   # c\n", "a: \x01",
		"null: a", "? a", "<<: b", "a: b:", "a: -1", "a:\n-\n", "a: \"\"", "a: \xff",
	} {
		if n, ok := source.Plain([]byte(text)); ok {
			t.Errorf("%q was read as %s", text, outline(n))
		}
	}
}

func FuzzPlain(f *testing.F) {
	f.Add(plainFile)
	for _, line := range strings.Split(plainFile, "\n") {
		f.Add(line + "\n")
	}
	for _, text := range []string{"a: b\n\n\nc:\n- d\n- e: f\n  g: h\n", "a:\n  - b: c\n    d:\n      - e\n", "a: b\n# c\nd: e", "a: b\n  c: d", "a:\n - b\n - c: d\n   e: f\n"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		n, ok := source.Plain([]byte(text))
		if !ok {
			return
		}
		strict, problems := source.Parse("f.yaml", []byte(text))
		if len(problems) > 0 {
			t.Fatalf("%q is refused by the strict reader: %v", text, problems)
		}
		if !source.Same(n, strict) {
			t.Errorf("%q reads as\n%sand strictly as\n%s", text, outline(n), outline(strict))
		}
	})
}

func BenchmarkPlain(b *testing.B) {
	data := []byte(plainFile)
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		if _, ok := source.Plain(data); !ok {
			b.Fatal("not read")
		}
	}
}
