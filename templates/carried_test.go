package templates_test

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"philtrum/forms/visit"
	"philtrum/templates"
	"philtrum/templates/layout"
	"philtrum/templates/outline"
	"philtrum/templates/text"

	"github.com/google/go-cmp/cmp"
)

func composedFor(t testing.TB, name, tag string, f templates.Facts, sheet string) (templates.Paper, layout.Document) {
	t.Helper()
	p := templates.Paper{Kind: name, Template: load(t, name), Printer: printer(t, tag), Clinic: printer(t, "en"), Facts: f, Sheet: sheet}
	doc, problems := templates.Compose(p)
	for _, problem := range problems {
		t.Errorf("%s: %s %v", name, problem.ID, problem.Args)
	}
	return p, doc
}

func calendarOf(t testing.TB, tag string, f templates.Facts) ([]outline.Entry, []byte) {
	t.Helper()
	p, doc := composedFor(t, "aftercare", tag, f, "")
	entries, problems := templates.Calendar(p)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	return entries, outline.Calendar(entries, f.Visit.Treatment.End, doc.Lang)
}

// What a traveller is given in other forms than print is as reviewed, in both languages.
func TestOtherFormsAreAsReviewed(t *testing.T) {
	for _, tag := range []string{"en", "es"} {
		f := travelFacts(t, "ES")
		_, doc := composedFor(t, "aftercare", tag, f, "")
		_, calendar := calendarOf(t, tag, f)
		for name, got := range map[string]string{
			"carried_" + tag + ".txt": outline.Text(doc), "carried_" + tag + ".html": outline.HTML(doc), "carried_" + tag + ".ics": strings.ReplaceAll(string(calendar), "\r\n", "\n"), // a checkout may change ends of lines
		} {
			asReviewed(t, name, got)
		}
	}
}

// A calendar is seen by others: nothing in it says whose it is, from where, or what was done.
func TestCalendarGivesNothingAway(t *testing.T) {
	for _, tag := range []string{"en", "es"} {
		_, data := calendarOf(t, tag, travelFacts(t, "ES"))
		said := strings.ToLower(strings.ReplaceAll(string(data), "\r\n ", ""))
		for _, word := range []string{"lip", "labio", "filler", "relleno", "philtrum", "treat", "tratam", "clinic", "clínic", "aftercare", "cuidados",
			"quayside", "falk", "okonedo", "marta", "velva", "0012", "v7q2", "0f1e2d3c", "doctor", "spain", "españa", "make_up", "dental"} {
			if strings.Contains(said, word) {
				t.Errorf("%s: %q stands in the calendar", tag, word)
			}
		}
	}
}

// An entry ends when the window ends that the paper prints, in the clinic's zone even across a change of its
// clocks; ids stay the same from one making to the next and differ from visit to visit.
func TestCalendarEndsWithItsWindows(t *testing.T) {
	f := travelFacts(t, "ES")
	f.Visit.Treatment.End = time.Date(2027, 3, 27, 14, 30, 0, 0, london) // the clocks go forward that night
	entries, _ := calendarOf(t, "en", f)
	again, _ := calendarOf(t, "en", f)
	if diff := cmp.Diff(entries, again); diff != "" {
		t.Error(diff)
	}
	ids := map[string]bool{}
	var notes []string
	for _, e := range entries {
		ids[e.UID] = true
		notes = append(notes, e.Note)
	}
	if len(ids) != len(entries) {
		t.Errorf("%d ids for %d entries", len(ids), len(entries))
	}
	at := slices.IndexFunc(entries, func(e outline.Entry) bool { return e.At.Equal(time.Date(2027, 3, 28, 13, 30+60, 0, 0, time.UTC)) })
	if at < 0 || !strings.Contains(entries[at].Note, "15:30 on 28 Mar 2027") {
		t.Errorf("no entry 24 hours after the end, at 15:30 of summer time: %q", notes)
	}
	other := f
	other.Visit.Salt = "another"
	for _, e := range first(calendarOf(t, "en", other)) {
		if ids[e.UID] {
			t.Error("two visits share an id")
		}
	}
	if !slices.ContainsFunc(entries, func(e outline.Entry) bool { return e.Silent && e.At.In(london).Hour() == 3 }) {
		t.Error("nobody is to be woken at three")
	}
	before, problems := templates.Calendar(templates.Paper{Kind: "aftercare", Template: load(t, "aftercare"), Printer: printer(t, "en"), Facts: plannedFacts(t)})
	if len(before)+len(problems) > 0 {
		t.Errorf("before the treatment: %v %v", before, problems)
	}
}

func first(entries []outline.Entry, _ []byte) []outline.Entry { return entries }

// The number to dial is the one of where the patient will be; of a place that is not in the table it stays open.
func TestEmergencyNumberOfTheStay(t *testing.T) {
	for _, name := range carried {
		_, away := composedFor(t, name, "en", travelFacts(t, "ES"), "")
		if said := outline.Text(away); !strings.Contains(said, "112") {
			t.Errorf("%s: no number of Spain in:\n%s", name, said)
		}
		_, unknown := composedFor(t, name, "en", travelFacts(t, "XX"), "")
		if said := outline.Text(unknown); strings.Contains(said, "112") || strings.Contains(said, "999 first") || strings.Contains(said, "Emergency: 999") {
			t.Errorf("%s: a number of another place in:\n%s", name, said)
		}
		home := treatedFacts(t)
		home.Visit.Stay = visit.Stay{Place: "GB-ENG"}
		_, doc := composedFor(t, name, "en", home, "")
		if said := outline.Text(doc); strings.Contains(said, "England") {
			t.Errorf("%s: who stays at home is told of travel:\n%s", name, said)
		}
	}
}

// A card keeps the size of a bank card with the longest plausible values, in every language, and what it says of
// lots beyond its room it counts.
func TestCardKeepsItsSize(t *testing.T) {
	engine := text.NewEngine()
	for _, tag := range []string{"en", "es"} {
		for when, f := range map[string]templates.Facts{"empty": {}, "before": plannedFacts(t), "after": treatedFacts(t), "long": longFacts(t)} {
			for _, page := range []string{"A4", "Letter"} {
				_, doc := composedFor(t, "card", tag, f, "card-"+page)
				placed := layout.Place(doc, engine.NewSetter(text.Options{Lang: doc.Lang}))
				if len(placed.Pages) != 1 || len(placed.Reports) > 0 {
					t.Errorf("%s %s on %s: %d pages, %v", tag, when, page, len(placed.Pages), placed.Reports)
				}
				frames := 0
				for _, i := range placed.Pages[0].Items {
					if i.Kind == layout.ItemDrawing {
						frames++
						if most := layout.MM(53.98 + 8 + 0.1); i.Rect.Height > most {
							t.Errorf("%s %s on %s: the card is %.1f mm high", tag, when, page, float64(i.Rect.Height-layout.MM(8))*25.4/72000)
						}
						if wide := i.Rect.Width - layout.MM(8); wide < layout.MM(171.1) || wide > layout.MM(171.3) {
							t.Errorf("%s: the two faces are %v wide", page, wide)
						}
					}
				}
				if frames != 1 {
					t.Errorf("%d frames", frames)
				}
			}
		}
	}
	f := treatedFacts(t)
	for _, lot := range []string{"A1", "A2", "A3", "A3"} {
		s := f.Visit.Treatment.Syringes[0]
		s.Lot = lot
		f.Visit.Treatment.Syringes = append(f.Visit.Treatment.Syringes, s)
	}
	_, doc := composedFor(t, "card", "en", f, "")
	if said := outline.Text(doc); !strings.Contains(said, "and 2 more lots") {
		t.Errorf("lots without room are not counted:\n%s", said)
	}
}

// modulesFor finds the programs of testdata/node, and says why a test has to do without.
func modulesFor(t *testing.T, name string) string {
	t.Helper()
	beside := filepath.Join("..", "testdata", "node", "node_modules")
	for _, dir := range []string{os.Getenv("PHILTRUM_NODE_MODULES"), beside} {
		if _, err := os.Stat(filepath.Join(dir, name)); dir != "" && err == nil {
			whole, err := filepath.Abs(dir)
			if err != nil {
				t.Fatal(err)
			}
			return whole
		}
	}
	without(t, "the modules of testdata/node are not installed: npm ci there")
	return ""
}

func without(t *testing.T, reason string) {
	t.Helper()
	if os.Getenv("PHILTRUM_REQUIRE_TOOLS") == "1" {
		t.Fatal(reason)
	}
	t.Skip(reason)
}

func program(t *testing.T, name string) string {
	t.Helper()
	found, err := exec.LookPath(name)
	if err != nil {
		without(t, name+" is not installed")
	}
	return found
}

func runNode(t *testing.T, into any, args ...string) {
	t.Helper()
	cmd := exec.Command(program(t, "node"), args...)
	var complaints strings.Builder
	cmd.Stderr = &complaints
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("node: %v\n%s", err, complaints.String())
	}
	if err := json.Unmarshal(out, into); err != nil {
		t.Fatal(err)
	}
}

// A general reader of calendars finds every entry as it was meant.
func TestACalendarIsReadByOthers(t *testing.T) {
	modules := modulesFor(t, "ical.js")
	entries, data := calendarOf(t, "es", travelFacts(t, "ES"))
	file := filepath.Join(t.TempDir(), "entries.ics")
	if err := os.WriteFile(file, data, 0o600); err != nil {
		t.Fatal(err)
	}
	type read struct{ UID, Summary, Note, Start, Zone, Stamp, Class, Transparent, Trigger string }
	var all []struct {
		Version string
		Entries []read
	}
	runNode(t, &all, filepath.Join("..", "testdata", "node", "calendar.mjs"), modules, file)
	var want []read
	for _, e := range entries {
		r := read{UID: e.UID, Summary: e.Summary, Note: e.Note, Stamp: "2026-12-04T14:30:00Z", Class: "PRIVATE", Transparent: "TRANSPARENT",
			Start: e.Day.Format("2006-01-02"), Trigger: "PT9H"}
		if !e.At.IsZero() {
			r.Start, r.Zone, r.Trigger = e.At.UTC().Format("2006-01-02T15:04:05Z"), "UTC", "PT0S"
		}
		if e.Lead > 0 {
			r.Trigger = "-PT15H"
		}
		if e.Silent {
			r.Trigger = ""
		}
		want = append(want, r)
	}
	if len(all) != 1 || all[0].Version != "2.0" {
		t.Fatalf("%+v", all)
	}
	if diff := cmp.Diff(want, all[0].Entries); diff != "" {
		t.Errorf("(-meant +read):\n%s", diff)
	}
}

// HTML papers have no violation that axe finds and do not scroll sideways: at 320 and 1200 pixels, light and
// dark, with letters of twice the size (WCAG 2.2, 1.4.4 and 1.4.10).
func TestPagesAreAccessible(t *testing.T) {
	if testing.Short() {
		t.Skip("starts a browser")
	}
	modules, browser := modulesFor(t, "puppeteer-core"), program(t, "chromium")
	dir := t.TempDir()
	if pictures := os.Getenv("PAPERS_DIR"); pictures != "" {
		dir = pictures
	}
	var files []string
	for _, c := range []struct {
		paper, tag string
		facts      templates.Facts
	}{
		{"aftercare", "en", travelFacts(t, "ES")}, {"aftercare", "es", longFacts(t)},
		{"travel", "es", travelFacts(t, "XX")}, {"information", "en", plannedFacts(t)},
	} {
		p := templates.Paper{Kind: c.paper, Template: load(t, c.paper), Printer: printer(t, c.tag), Clinic: printer(t, "en"), Facts: c.facts}
		doc, _ := templates.Compose(p)
		file := filepath.Join(dir, "page"+string(rune('a'+len(files)))+".html")
		if err := os.WriteFile(file, []byte(outline.HTML(doc)), 0o600); err != nil {
			t.Fatal(err)
		}
		files = append(files, file)
	}
	var all []struct {
		Views []struct {
			Width, Scale int
			Scheme       string
			Scrolls      bool
			Violations   []struct {
				ID, Help string
				Nodes    []string
			}
			Incomplete []string
		}
		Scripts  int
		Requests []string
	}
	runNode(t, &all, append([]string{filepath.Join("..", "testdata", "node", "page.mjs"), modules, browser}, files...)...)
	for i, page := range all {
		if page.Scripts > 0 || len(page.Requests) > 0 {
			t.Errorf("%d: %d scripts, asks for %v", i, page.Scripts, page.Requests)
		}
		for _, v := range page.Views {
			if v.Scrolls {
				t.Errorf("page %d scrolls sideways at %d pixels, letters times %d", i, v.Width, v.Scale)
			}
			for _, found := range v.Violations {
				t.Errorf("page %d at %d, %s: %s: %s %v", i, v.Width, v.Scheme, found.ID, found.Help, found.Nodes)
			}
			if len(v.Incomplete) > 0 {
				t.Logf("page %d at %d, %s: axe leaves to a person: %v", i, v.Width, v.Scheme, v.Incomplete)
			}
		}
	}
}
