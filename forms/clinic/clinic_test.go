package clinic

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"philtrum/forms/measure"
	"philtrum/forms/source"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

func day(y int, m time.Month, d int) measure.Date { return measure.Date{Year: y, Month: m, Day: d} }

func TestPersonCan(t *testing.T) {
	p := Person{Roles: []Role{RoleInjector}, From: day(2026, 1, 5), To: day(2026, 12, 31)}
	for _, c := range []struct {
		role Role
		on   measure.Date
		want bool
	}{
		{RoleInjector, day(2026, 1, 4), false},
		{RoleInjector, day(2026, 1, 5), true},
		{RoleInjector, day(2026, 12, 31), true},
		{RoleInjector, day(2027, 1, 1), false},
		{RolePrescriber, day(2026, 6, 1), false},
		{RoleMedicalLead, day(2026, 6, 1), false},
	} {
		if got := p.Can(c.role, c.on); got != c.want {
			t.Errorf("%s on %s: %v", c.role, c.on, got)
		}
	}
	if (Person{Roles: []Role{RoleInjector}}).Can(RoleInjector, day(2026, 6, 1)) {
		t.Error("somebody without a first day works here")
	}
	if !(Person{Roles: []Role{RoleDesk}, From: day(2026, 1, 5)}).Can(RoleDesk, day(2090, 1, 1)) {
		t.Error("somebody without a last day has left")
	}
}

func TestGuideHoldsOnceTheLeadAdoptedIt(t *testing.T) {
	lead := Person{ID: "lead", Roles: []Role{RoleMedicalLead}, From: day(2026, 1, 1), To: day(2026, 6, 30)}
	nurse := Person{ID: "nurse", Roles: []Role{RoleInjector}, From: day(2026, 1, 1)}
	staff := []Person{lead, nurse}
	for _, c := range []struct {
		g    Guide
		want bool
	}{
		{Guide{}, false},
		{Guide{By: "lead"}, false},
		{Guide{By: "lead", Adopted: day(2026, 2, 1)}, true},
		{Guide{By: "nurse", Adopted: day(2026, 2, 1)}, false},
		{Guide{By: "nobody", Adopted: day(2026, 2, 1)}, false},
		{Guide{By: "lead", Adopted: day(2026, 7, 1)}, false},  // had left
		{Guide{By: "lead", Adopted: day(2026, 12, 5)}, false}, // not yet
	} {
		if got := c.g.Holds(day(2026, 12, 4), staff); got != c.want {
			t.Errorf("%+v: %v", c.g, got)
		}
	}
}

func TestLotExpires(t *testing.T) {
	lot := Lot{Expiry: day(2027, 3, 31)}
	if lot.Expired(day(2027, 3, 31)) || !lot.Expired(day(2027, 4, 1)) || !(Lot{}).Expired(day(2020, 1, 1)) {
		t.Error("a lot is good to the end of its day, and not without one")
	}
}

func read(t testing.TB, clinic, staff, products string) (Clinic, []Person, Stock, source.Problems) {
	t.Helper()
	var nodes [3]*source.Node
	for i, data := range []string{clinic, staff, products} {
		if data == "" {
			continue
		}
		n, problems := source.Parse([]string{"clinic.yaml", "staff.yaml", "products.yaml"}[i], []byte(data))
		if err := problems.Err(); err != nil {
			t.Fatal(problems)
		}
		nodes[i] = n
	}
	r := &source.Reader{}
	c, people, stock := Read(nodes[0], nodes[1], nodes[2], r)
	return c, people, stock, r.Problems()
}

const head = "name: Riverside Rooms\nplace: GB-ENG\nzone: Europe/London\nlanguage: en\ntelephone: 020 7946 0000\n"

// Lots, numbers and words are what they look like.
func TestStockKeepsWhatWasTyped(t *testing.T) {
	_, _, s, problems := read(t, head, "", `products:
  - id: soft-1
    name: no
    class: soft
    volume: 1,0
    lidocaine: yes
    lidocaine_mg_per_ml: 3.0
    bacterial: yes
    dissolves: yes
    devices: [00012345600012]
    stock:
      - {number: 0012, expiry: 2027-02, count: 4}
      - {number: 12E4, expiry: 2027-02-03, count: 007}
      - {number: no, expiry: 2028-02, count: 0}
      - {number: 10:30, expiry: 2028-02}
kit:
  - {item: hyaluronidase, number: 1_000, expiry: 2026-12, count: 6}
`)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	p, _ := s.Product("soft-1")
	var got []string
	for _, l := range p.Stock {
		got = append(got, fmt.Sprint(l.Number, " ", l.Expiry, " ", l.Count))
	}
	want := []string{"0012 2027-02-28 4", "12E4 2027-02-03 7", "no 2028-02-29 0", "10:30 2028-02-29 0"}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	if p.Name != "no" || p.LidocaineMgPerMl != "3" || !p.Volume.Equal(measure.MustVolume("1")) || p.Devices[0] != "00012345600012" {
		t.Errorf("%+v", p)
	}
	if _, ok := p.Lot("12"); ok {
		t.Error("lot 12 is found as 0012")
	}
	if l, ok := p.Lot(" 12e4 "); !ok || l.Number != "12E4" {
		t.Errorf("lot 12e4: %+v %v", l, ok)
	}
	if d, ok := s.Device("00012345600012"); !ok || d.ID != "soft-1" {
		t.Errorf("device: %+v %v", d, ok)
	}
	if _, ok := s.Device(""); ok {
		t.Error("a line is found without an identifier")
	}
	if len(s.InKit("hyaluronidase", day(2026, 12, 31))) != 1 || len(s.InKit("hyaluronidase", day(2027, 1, 1))) != 0 {
		t.Error("the kit holds an item to the end of its month")
	}
}

func TestDefaultsAreWithinTheirBounds(t *testing.T) {
	seen := map[string]bool{}
	for _, s := range Settings() {
		if seen[s.Key] {
			t.Errorf("%s stands twice", s.Key)
		}
		seen[s.Key] = true
		if id := s.check(s.Default); id != "" {
			t.Errorf("%s: default %s: %s", s.Key, s.Default, id)
		}
		if s.Kind != AChoice && (s.check(s.Least) != "" || s.check(s.Most) != "") {
			t.Errorf("%s: bounds %s to %s", s.Key, s.Least, s.Most)
		}
		if (s.Source == "") != (s.Trust == "practice" || s.Trust == "memory") {
			t.Errorf("%s: trust %s with source %q", s.Key, s.Trust, s.Source)
		}
	}
	for key, want := range map[string]Window{
		"vaccine_past": {Days: 14}, "dental_invasive": {Days: 28}, "aftercare_make_up": {Hours: 12}, "aftercare_touch": {Hours: 24},
		"aftercare_hot_drinks": {Hours: 4}, "aftercare_heat": {Weeks: 2}, "prior_filler": {Weeks: 4}, "review": {Weeks: 2},
		"touch_up": {Weeks: 4}, "flight": {Hours: 48}, "reflection": {},
	} {
		if got := DefaultPolicy().Windows[key]; got != want {
			t.Errorf("%s: %v, want %v", key, got, want)
		}
	}
	if got := DefaultPolicy().Thresholds["inr_highest"]; got != "3.5" {
		t.Errorf("inr_highest: %s", got)
	}
}

func TestWrongRowsOfThePolicyAreRefused(t *testing.T) {
	for _, row := range []string{"14 days", "14 days | 0 days to 28 days", "14 days | 0 days to 28 days | hearsay", "14 days | 0 days to 28 days | read | a | b"} {
		if _, problems := readSettings("policy.yaml", []byte("windows:\n  x: "+row+"\nthresholds: {}\nchoices: {}\n")); len(problems) != 1 {
			t.Errorf("%q: %v", row, problems)
		}
	}
}

// A policy read from a file never leaves the bounds: a value is taken as it stands or is a problem, and
// then the default holds.
func TestPolicyStaysWithinItsBounds(t *testing.T) {
	var windows []Setting
	for _, s := range Settings() {
		if s.Kind == AWindow {
			windows = append(windows, s)
		}
	}
	rapid.Check(t, func(rt *rapid.T) {
		s := rapid.SampledFrom(windows).Draw(rt, "setting")
		text := fmt.Sprintf("%d %s", rapid.IntRange(0, 400).Draw(rt, "n"), rapid.SampledFrom([]string{"hours", "days", "weeks", "months"}).Draw(rt, "unit"))
		c, _, _, problems := read(t, head+"policy:\n  "+s.Key+": "+text+"\n", "", "")
		got := c.Policy.Windows[s.Key]
		least, _ := ParseWindow(s.Least)
		most, _ := ParseWindow(s.Most)
		if got.mostHours() > most.mostHours() || got.leastHours() < least.leastHours() {
			rt.Fatalf("%s: %s became %s, outside %s to %s", s.Key, text, got, s.Least, s.Most)
		}
		if want, _ := ParseWindow(s.Default); len(problems) > 0 && got != want {
			rt.Fatalf("%s: %s is a problem and became %s", s.Key, text, got)
		}
	})
}

func TestReflectionIsOnlyLengthened(t *testing.T) {
	for text, want := range map[string]int{"0 days": 2, "1 day": 2, "2 days": 2, "49 hours": 3, "1 week": 7} {
		w, ok := ParseWindow(text)
		p := Policy{Windows: map[string]Window{"reflection": w}}
		if got := p.ReflectionDays(2); !ok || got != want {
			t.Errorf("law 2 days, clinic %s: %d, want %d", text, got, want)
		}
	}
}

func TestWindowsReadAsTheyAreWritten(t *testing.T) {
	for _, text := range []string{"0 days", "1 day", "48 hours", "2 weeks", "1 month", "12 months"} {
		if w, ok := ParseWindow(text); !ok || w.String() != text {
			t.Errorf("%q: %v %v", text, w, ok)
		}
	}
	for _, text := range []string{"", "14", "days", "14days", "14  days", "1.5 days", "-1 day", "+1 day", "14 nights", "14 Days", "99999 days", "1 day 2 hours", "2 dayss", "٣ days"} {
		if w, ok := ParseWindow(text); ok {
			t.Errorf("%q was read as %v", text, w)
		}
	}
}

// messages are the texts of the group "policy".
func messages(t testing.TB) map[string]string {
	t.Helper()
	data, err := os.ReadFile("../../locales/en/policy.yaml")
	if err != nil {
		t.Fatal(err)
	}
	n, problems := source.Parse("policy.yaml", data)
	if err := problems.Err(); err != nil {
		t.Fatal(problems)
	}
	texts := map[string]string{}
	for _, k := range n.Keys {
		texts[k.Name] = k.Value.Text
		for _, f := range k.Value.Keys {
			if f.Name == "text" {
				texts[k.Name] = f.Value.Text
			}
		}
	}
	return texts
}

func newFile(t testing.TB, c Clinic) string {
	t.Helper()
	texts := messages(t)
	data, err := DefaultFile(c, func(id string, args map[string]string) (string, error) {
		text, ok := texts[id]
		if !ok {
			return "", fmt.Errorf("no message %s", id)
		}
		for k, v := range args {
			if !strings.Contains(text, "{"+k+"}") {
				return "", fmt.Errorf("message %s has no placeholder %s", id, k)
			}
			text = strings.ReplaceAll(text, "{"+k+"}", v)
		}
		return text, nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

func TestNewFileReadsBackAndShowsTheWholePolicy(t *testing.T) {
	zone, err := time.LoadLocation("Europe/Stockholm")
	if err != nil {
		t.Fatal(err)
	}
	want := Clinic{
		Name: "no: Rooms #1", LegalName: "Riverside\nLtd", Address: []string{"1 Null Street", "~"}, Place: "SE", Zone: zone,
		Language: "sv", Telephone: "020 7946 0000", Email: "desk@example.org", Demonstration: true,
	}
	file := newFile(t, want)
	got, _, _, problems := read(t, file, "", "")
	if len(problems) > 0 {
		t.Fatalf("%v\n%s", problems, file)
	}
	if got.Name != want.Name || got.LegalName != "Riverside Ltd" || !slices.Equal(got.Address, want.Address) || got.Place != "SE" ||
		got.Zone.String() != "Europe/Stockholm" || !got.Demonstration || got.Page != "A4" {
		t.Errorf("%+v", got)
	}
	if diff := cmp.Diff(DefaultPolicy().Windows, got.Policy.Windows); diff != "" {
		t.Error(diff)
	}
	for _, s := range Settings() {
		if !strings.Contains(file, "\n  # "+s.Key+": "+s.Default+"\n") {
			t.Errorf("the new file does not show %s", s.Key)
		}
	}
	// Taking the # away in front of every setting leaves a file that reads to the same policy.
	open := file
	for _, s := range Settings() {
		open = strings.Replace(open, "\n  # "+s.Key+": ", "\n  "+s.Key+": ", 1)
	}
	got, _, _, problems = read(t, open, "", "")
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	if diff := cmp.Diff(DefaultPolicy().Windows, got.Policy.Windows); diff != "" || len(got.Policy.Spans) != len(Settings()) {
		t.Error(diff, len(got.Policy.Spans))
	}
}

func TestNewFileFailsWithoutItsWords(t *testing.T) {
	_, err := DefaultFile(Clinic{Zone: time.UTC}, func(id string, _ map[string]string) (string, error) {
		return "", fmt.Errorf("no message %s", id)
	})
	if err == nil || !strings.Contains(err.Error(), "policy.file.head") {
		t.Errorf("%v", err)
	}
}
