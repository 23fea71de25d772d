package cldr

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// intl says every day of two years, times and ranges with Node's Intl, as lines of JSON.
const intl = `
const out = {};
for (const tag of JSON.parse(process.argv[1])) {
  const f = o => new Intl.DateTimeFormat(tag, {timeZone: 'UTC', calendar: 'gregory', numberingSystem: 'latn', ...o});
  const styles = ['full', 'long', 'medium', 'short'].map(s => f({dateStyle: s}));
  const both = ['full', 'long', 'medium', 'short'].map(s => f({dateStyle: s, timeStyle: 'short'}));
  const my = [f({month: 'long', year: 'numeric'}), f({month: 'short', year: 'numeric'})], y = f({year: 'numeric'});
  const clock = f({timeStyle: 'short'});
  const lines = [];
  for (let i = 0; i < 731; i++) {
    const d = new Date(Date.UTC(2027, 0, 1 + i, i % 24, (i * 7) % 60));
    const later = new Date(d.getTime() + (1 + i % 45) * 86400000);
    lines.push([...styles.map(s => s.format(d)), ...both.map(s => s.format(d)), ...my.map(s => s.format(d)), y.format(d),
      clock.format(d), ...styles.map(s => s.formatRange(d, later))]);
  }
  const clocks = [];
  for (let a = 0; a < 24; a++) for (let b = a + 1; b < 24; b += 5)
    clocks.push(clock.formatRange(new Date(Date.UTC(2027, 0, 1, a, 5)), new Date(Date.UTC(2027, 0, 1, b, 45))));
  out[tag] = {lines, clocks};
}
process.stdout.write(JSON.stringify(out));
`

// without ends a test whose tool is missing.
func without(t *testing.T, reason string) {
	t.Helper()
	if os.Getenv("PHILTRUM_REQUIRE_TOOLS") == "1" {
		t.Fatal(reason)
	}
	t.Skip(reason)
}

func node(t *testing.T, args ...string) []byte {
	t.Helper()
	path, err := exec.LookPath("node")
	if err != nil {
		without(t, "node is not installed")
	}
	version, err := exec.Command(path, "-p", "process.versions.cldr").Output()
	if err != nil || !strings.HasPrefix(string(version), "48") {
		without(t, "node has CLDR "+strings.TrimSpace(string(version))+", the tables follow 48")
	}
	out, err := exec.Command(path, args...).Output()
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func TestTwoYearsAgainstIntl(t *testing.T) {
	tags, err := json.Marshal(Tags())
	if err != nil {
		t.Fatal(err)
	}
	var want map[string]struct {
		Lines  [][]string
		Clocks []string
	}
	if err := json.Unmarshal(node(t, "-e", intl, "--", string(tags)), &want); err != nil {
		t.Fatal(err)
	}
	covers(t, want)
	for tag, w := range want {
		if len(w.Lines) < 731 || len(w.Clocks) == 0 {
			t.Errorf("%s: %d days, %d ranges", tag, len(w.Lines), len(w.Clocks))
		}
		l := must(t, tag, "latn")
		day := Day{2027, 1, 1}
		for i, line := range w.Lines {
			hour, minute := i%24, i*7%60
			later := day
			for range 1 + i%45 {
				later = next(later)
			}
			var got []string
			for _, s := range Styles {
				got = append(got, l.Date(day, s))
			}
			for _, s := range Styles {
				got = append(got, l.DateTime(day, hour, minute, s))
			}
			got = append(got, l.Date(Day{day.Y, day.M, 0}, Long), l.Date(Day{day.Y, day.M, 0}, Medium),
				l.Date(Day{day.Y, 0, 0}, Long), l.Clock(hour, minute))
			for _, s := range Styles {
				got = append(got, l.DateRange(day, later, s))
			}
			for k := range got {
				same(t, tag, got[k], line[k])
			}
			if t.Failed() {
				break
			}
			day = next(day)
		}
		i := 0
		for a := range 24 {
			for b := a + 1; b < 24; b += 5 {
				same(t, tag, l.ClockRange(a, 5, b, 45), w.Clocks[i])
				i++
			}
		}
	}
}

func next(d Day) Day {
	d.D++
	if !d.Valid() {
		d = Day{d.Y, d.M + 1, 1}
	}
	if d.M == 13 {
		d = Day{d.Y + 1, 1, 1}
	}
	return d
}

func TestTablesAreFresh(t *testing.T) {
	out := node(t, "tables.mjs")
	path := filepath.Join(t.TempDir(), "tables.go")
	if err := os.WriteFile(path, out, 0o600); err != nil {
		t.Fatal(err)
	}
	if gofmt, err := exec.LookPath("gofmt"); err != nil {
		without(t, "gofmt is not installed")
	} else if err := exec.Command(gofmt, "-w", path).Run(); err != nil {
		t.Fatal(err)
	}
	got, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	want, err := os.ReadFile("tables.go")
	if err != nil {
		t.Fatal(err)
	}
	// Another build of the same data differs in the line that names it.
	if body(got) != body(want) {
		t.Error("tables.go is not what tables.mjs writes; run go generate")
	}
}

func body(file []byte) string {
	_, rest, _ := strings.Cut(string(file), "\npackage ")
	return rest
}
