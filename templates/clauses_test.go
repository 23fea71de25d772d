package templates_test

import (
	"fmt"
	"io/fs"
	"regexp"
	"slices"
	"strings"
	"testing"

	"philtrum/templates"
)

// served are the clauses that each paper has to serve. C are elements of a consent, T of a treatment
// record, A of an aftercare sheet. The information is the consent's text: it leaves out what is seen,
// decided or signed in the room.
var served = map[string][]string{
	"consent":   numbered("C", 1, 40),
	"record":    numbered("T", 1, 22),
	"aftercare": numbered("A", 1, 13),
	"information": {
		"C-01", "C-02", "C-04", "C-05", "C-06", "C-07", "C-08", "C-09", "C-10", "C-11", "C-12", "C-13", "C-14", "C-16", "C-17", "C-18",
		"C-19", "C-20", "C-21", "C-22", "C-23", "C-24", "C-26", "C-27", "C-29", "C-30", "C-37", "C-38", "C-39", "C-40",
	},
}

func numbered(letter string, from, to int) []string {
	var ids []string
	for n := from; n <= to; n++ {
		ids = append(ids, fmt.Sprintf("%s-%02d", letter, n))
	}
	return ids
}

func TestPapersServeTheirClauses(t *testing.T) {
	for name, want := range served {
		have := load(t, name).Clauses()
		for _, id := range want {
			if !slices.Contains(have, id) {
				t.Errorf("%s serves no %s", name, id)
			}
		}
	}
}

// A clause that a template claims is really on the paper, for a patient to whom all of it applies.
func TestClaimedClausesAppear(t *testing.T) {
	f := heldFacts(t)
	f.Patient.Representative = "Jon Okonedo"
	given := treatedFacts(t)
	given.Visit.Treatment.Rows[0].VolumeText = "half"
	given.Visit.Treatment.Reaction = "Faint, lay down for ten minutes."
	given.Issue.Supersedes = "p3w8n5kt2xq9v"
	for name := range served {
		facts := f
		if name == "record" || name == "aftercare" {
			facts = given
			facts.Report = f.Report
		}
		doc := compose(t, name, facts, "en")
		var on []string
		for _, b := range blocksOf(doc) {
			on = append(on, metaOf(b).Clauses...)
		}
		for _, id := range load(t, name).Clauses() {
			if !slices.Contains(on, id) {
				t.Errorf("%s claims %s, but no block on the paper serves it", name, id)
			}
		}
	}
}

// A frequency has its source beside it in the template.
func TestFrequenciesHaveSources(t *testing.T) {
	number := regexp.MustCompile(`[0-9] in [0-9]|[0-9] people`)
	c := heldCatalogue(t)
	p := tongue(t, c, "en")
	err := fs.WalkDir(templates.Default, "papers", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := fs.ReadFile(templates.Default, path)
		if err != nil {
			return err
		}
		for n, line := range strings.Split(string(data), "\n") {
			for _, id := range regexp.MustCompile(`[a-z_]+(\.[a-z0-9_]+)+`).FindAllString(line, -1) {
				if !p.Has(id) {
					continue
				}
				if text, err := p.Text(id, nil); err == nil && number.MatchString(text) && !strings.Contains(line, "source:") {
					t.Errorf("%s:%d: %s has a number without a source", path, n+1, id)
				}
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}
