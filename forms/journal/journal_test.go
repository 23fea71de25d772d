package journal_test

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"philtrum/forms/journal"

	"pgregory.net/rapid"
)

var noon = time.Date(2026, 12, 4, 12, 0, 0, 0, time.UTC)

const digest = "9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08"

func chain() []journal.Entry {
	var out []journal.Entry
	var last journal.Entry
	for i, what := range []string{"opened", "issued", "handed", "decided"} {
		last = journal.Next(last, what, "v7k3m9q2xw4hd", digest, noon.Add(time.Duration(i)*time.Minute))
		out = append(out, last)
	}
	return out
}

// The hash was computed by sha256sum over the line as printf wrote it.
func TestLineIsFixedForEver(t *testing.T) {
	e := journal.Next(journal.Entry{}, "opened", "v7k3m9q2xw4hd", "", noon.Add(time.Millisecond))
	want := `{"seq":1,"at":"2026-12-04T12:00:00Z","what":"opened","subject":"v7k3m9q2xw4hd","digest":"","previous":"",` +
		`"hash":"8574ca6a8d24730a63d658d10553a0da5e45184e10cd73011f70ee296020ac37"}`
	if got := string(e.Line()); got != want {
		t.Errorf("%s", got)
	}
}

func TestChainHolds(t *testing.T) {
	for n := range chain() {
		if first, reason, ok := journal.Verify(chain()[:n]); !ok || first != 0 || reason != "" {
			t.Errorf("%d entries: %d %s", n, first, reason)
		}
	}
}

func TestWhateverIsAlteredIsNamed(t *testing.T) {
	for name, c := range map[string]struct {
		alter  func([]journal.Entry) []journal.Entry
		first  int
		reason string
	}{
		"word":              {func(e []journal.Entry) []journal.Entry { e[1].What = "voided"; return e }, 1, journal.ReasonHash},
		"time":              {func(e []journal.Entry) []journal.Entry { e[2].At = noon; return e }, 2, journal.ReasonHash},
		"hash":              {func(e []journal.Entry) []journal.Entry { e[0].Hash = digest; return e }, 0, journal.ReasonHash},
		"removed":           {func(e []journal.Entry) []journal.Entry { return append(e[:1:1], e[2:]...) }, 1, journal.ReasonSequence},
		"beginning cut off": {func(e []journal.Entry) []journal.Entry { return e[1:] }, 0, journal.ReasonSequence},
		"put in between": {func(e []journal.Entry) []journal.Entry {
			other := journal.Next(e[0], "voided", "x", "", noon)
			return append([]journal.Entry{e[0], other}, e[2:]...)
		}, 2, journal.ReasonPrevious},
		"swapped": {func(e []journal.Entry) []journal.Entry { e[1], e[2] = e[2], e[1]; return e }, 1, journal.ReasonSequence},
		"a sentence as word": {func(e []journal.Entry) []journal.Entry {
			return append(e, journal.Next(e[3], "Was told", "x", "", noon))
		}, 4, journal.ReasonForm},
		"a name as subject": {func(e []journal.Entry) []journal.Entry {
			return append(e, journal.Next(e[3], "issued", "Ada Example", "", noon))
		}, 4, journal.ReasonForm},
	} {
		t.Run(name, func(t *testing.T) {
			if first, reason, ok := journal.Verify(c.alter(chain())); ok || first != c.first || reason != c.reason {
				t.Errorf("%d %s %v, not %d %s", first, reason, ok, c.first, c.reason)
			}
		})
	}
}

func TestAClockSetBackDoesNotBreakTheChain(t *testing.T) {
	e := chain()
	e = append(e, journal.Next(e[3], "issued", "x", "", noon.Add(-time.Hour)))
	if _, reason, ok := journal.Verify(e); !ok {
		t.Error(reason)
	}
}

func TestLinesReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := time.Unix(rapid.Int64Range(0, 4e9).Draw(t, "at"), 0)
		e := journal.Next(chain()[1], rapid.String().Draw(t, "what"), rapid.String().Draw(t, "subject"), digest, at)
		if strings.Contains(string(e.Line()), "\n") {
			t.Error("a line of two lines")
		}
		got, err := journal.ParseLine(e.Line())
		if err != nil || got != e {
			t.Errorf("%s reads as %+v: %v", e.Line(), got, err)
		}
	})
}

func TestOtherSpellingsAreRefused(t *testing.T) {
	line := string(chain()[0].Line())
	for _, other := range []string{
		"", "{}", "null", line + " ", " " + line, line[:len(line)-1], line[:40], strings.Replace(line, `:1,`, `: 1,`, 1),
		strings.Replace(line, "opened", `op\u0065ned`, 1), strings.Replace(line, "12:00:00Z", "13:00:00+01:00", 1),
		strings.Replace(line, `"what"`, `"note":"x","what"`, 1), strings.Replace(line, `"what"`, `"What"`, 1),
		strings.Replace(line, `{"seq":1`, `{"seq":2,"seq":1`, 1), line + line,
	} {
		if _, err := journal.ParseLine([]byte(other)); err == nil {
			t.Errorf("%q was read", other)
		} else if strings.Contains(err.Error(), "v7k3") {
			t.Errorf("the error repeats the line: %v", err)
		}
	}
}

func FuzzParseLine(f *testing.F) {
	f.Add(chain()[0].Line())
	f.Fuzz(func(t *testing.T, b []byte) {
		e, err := journal.ParseLine(b)
		if err == nil && (string(e.Line()) != string(b) || !json.Valid(b)) {
			t.Errorf("%q reads as %q", b, e.Line())
		}
	})
}
