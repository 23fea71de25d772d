package desk

import (
	"bytes"
	"encoding/csv"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"philtrum/locales"
	"philtrum/locales/release"
)

// reopened is the clinic of the demonstration with one text of a language changed in its own folder.
func reopened(t *testing.T, file, old, with string) *Desk {
	t.Helper()
	d, _ := told(t)
	data, err := fs.ReadFile(locales.Default, file)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(string(data), old) {
		t.Fatalf("%s does not say %q", file, old)
	}
	path := d.folder.Join("overlay/locales/" + file)
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, bytes.Replace(data, []byte(old), []byte(with), 1), 0o600); err != nil {
		t.Fatal(err)
	}
	again, problems, err := Open(d.folder, d.catalogue, d.at, d.random)
	if err != nil || len(problems) > 0 {
		t.Fatal(err, problems)
	}
	return again
}

// One changed word reopens its own portion, in a translation also where the source changed, and nothing else.
func TestChangedTextReopensItsPortion(t *testing.T) {
	for _, c := range []struct{ file, old, with, language, portion string }{
		{"es/aftercare.yaml", "Llame ya", "Llame pronto", "es", "warning"},
		{"es/aftercare.yaml", "Lo normal, día a día", "Día a día", "es", "aftercare"},
		{"en/aftercare.yaml", "Call now", "Call soon", "en", "warning"},
		{"en/aftercare.yaml", "Call now", "Call soon", "es", "warning"},
		{"es/consent.yaml", "Nadie me presiona", "Nadie me obliga", "es", "choice"},
	} {
		d := reopened(t, c.file, c.old, c.with)
		_, states, err := d.LanguageState(c.language)
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range states {
			if want := s.Portion != c.portion; s.Released() != want || s.Reopened == want {
				t.Errorf("%s changed: %s of %s is %s", c.file, s.Portion, c.language, s.State)
			}
		}
	}
	if _, states, _ := reopened(t, "es/aftercare.yaml", "Llame ya", "Llame pronto").LanguageState("en"); !allReleased(states) {
		t.Error("a changed translation reopens its source")
	}
}

func allReleased(states []PortionState) bool {
	for _, s := range states {
		if !s.Released() {
			return false
		}
	}
	return len(states) > 0
}

// A text that is not translated yet is in the pack with nothing beside it, and nobody can sign for its portion.
func TestNobodySignsForWhatIsNotTranslated(t *testing.T) {
	d := reopened(t, "es/recall.yaml", "recall.danger.heading:", "recall.danger.gone:")
	pack, err := d.Pack("es", false)
	if err != nil {
		t.Fatal(err)
	}
	lacks := func(r PackRow) bool { return r.ID == "recall.danger.heading" && r.Target == "" && r.Source != "" }
	if !slices.ContainsFunc(pack.Rows, lacks) {
		t.Error("the pack does not show what is missing")
	}
	signs := map[string]string{"method": "human", "translator.name": "Oda Bergström", "translator.qualification": "sworn translator",
		"translator.date": "2026-12-02", "reviser.name": "Luis Amador", "reviser.qualification": "nurse", "reviser.date": "2026-12-03"}
	signed, err := d.Signed("es", returnedList(t, pack.Rows, func(row string) string { return signs[row] }))
	if err != nil || len(signed.Released) > 0 || !slices.Contains(problemIDs(signed.Problems), "revision.pack.missing") {
		t.Errorf("%v %v (%v)", signed.Released, problemIDs(signed.Problems), err)
	}
	found := problemIDs(d.Prove())
	if !slices.Contains(found, "problem.message_missing") || slices.Contains(found, "problem.message") {
		t.Errorf("a missing text is told as %v", found)
	}
}

// The medical lead can adopt changed words of the source only with an author who is somebody else.
func TestChangedSourceNeedsAnAuthor(t *testing.T) {
	d := reopened(t, "en/aftercare.yaml", "Call now", "Call soon")
	lead := ""
	for _, p := range d.staff {
		for _, role := range p.Roles {
			if role == "medical_lead" {
				lead = p.ID
			}
		}
	}
	person := func() string {
		for _, p := range d.staff {
			if p.ID == lead {
				return p.Name
			}
		}
		return ""
	}()
	if lead == "" {
		t.Fatal("the demonstration has no medical lead")
	}
	for _, c := range []struct{ author, want string }{{"", "revision.adopt.author"}, {strings.ToUpper(person), "revision.pack.same_person"}, {"Nadia Osei", ""}} {
		problems, err := d.Adopt("en", lead, c.author)
		switch {
		case err != nil:
			t.Fatal(err)
		case c.want == "" && len(problems) > 0, c.want != "" && (len(problems) == 0 || problems[0].ID != c.want):
			t.Errorf("author %q: %v, want %q", c.author, problems, c.want)
		}
	}
	if _, states, _ := d.LanguageState("en"); !allReleased(states) {
		t.Error("adopted words stay a draft")
	}
}

// A spreadsheet never computes a cell of the list, and the list comes back as it went out, whatever the
// spreadsheet parts its cells with.
func TestListOfAPack(t *testing.T) {
	rows := []PackRow{
		{Portion: "a", ID: "a.one", Source: "=1+1", Target: "-x", Note: "@note"},
		{Portion: "a", ID: "a.two", Form: "few", Source: "+49", Target: "plain, with \"quotes\"\nand a line"},
		{Portion: "a", ID: "a.three", Source: "'quoted'", Target: "{n} d"},
	}
	list, err := Pack{Rows: rows}.List(func(string) string { return "=prompt" })
	if err != nil {
		t.Fatal(err)
	}
	r := csv.NewReader(strings.NewReader(strings.TrimPrefix(string(list), byteOrderMark)))
	records, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var other bytes.Buffer
	w := csv.NewWriter(&other)
	w.Comma = ';'
	for _, record := range records {
		for _, cell := range record {
			if cell != "" && strings.ContainsRune(formulaSigns, rune(cell[0])) {
				t.Errorf("a spreadsheet would compute %q", cell)
			}
		}
		if err := w.Write(record); err != nil {
			t.Fatal(err)
		}
	}
	w.Flush()
	for _, data := range [][]byte{list, other.Bytes()} {
		back, err := readPack(data)
		if err != nil {
			t.Fatal(err)
		}
		for i, row := range back.rows {
			want := rows[i]
			want.Note = ""
			if row != want {
				t.Errorf("row %d comes back as %+v", i, row)
			}
		}
		if len(back.rows) != len(rows) {
			t.Errorf("%d rows come back", len(back.rows))
		}
	}
	for _, bad := range []string{"", "a,b\n1,2\n", "part,id\n\"", "\x00\xff"} {
		if _, err := readPack([]byte(bad)); err == nil {
			t.Errorf("%q is taken for a pack", bad)
		}
	}
}

func FuzzReadPack(f *testing.F) {
	f.Add([]byte(strings.Join(packColumns, ",") + "\nsign,method,,,human,,\na,a.b,,x,y,,\n"))
	f.Fuzz(func(_ *testing.T, data []byte) { _, _ = readPack(data) })
}

// No release comes with the program.
func TestNothingIsReleasedInANewClinic(t *testing.T) {
	d, _ := told(t)
	d.clinic.Releases = nil
	for _, l := range d.catalogue.Languages() {
		_, states, err := d.LanguageState(l.Tag)
		if err != nil {
			t.Fatal(err)
		}
		for i, s := range states {
			if s.Released() {
				t.Errorf("%s of %s is released", s.Portion, l.Tag)
			}
			if i < 2 && s.Portion != release.First()[i] {
				t.Errorf("%s comes at place %d", s.Portion, i)
			}
		}
	}
}
