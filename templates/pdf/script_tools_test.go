package pdf_test

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"

	"philtrum/templates/layout"
	"philtrum/templates/pdf"
	"philtrum/templates/pdf/conform"
	"philtrum/templates/pdf/read"
	"philtrum/templates/text"
)

// complaints are what each tool says of a file that it does not find clean; "" is nothing.
var complaints = map[string]struct {
	args []string
	find func(out string) string
}{
	"qpdf": {[]string{"--check", "FILE"}, func(out string) string {
		if !strings.Contains(out, "No syntax or stream encoding errors found") || strings.Contains(out, "WARNING") {
			return out
		}
		return ""
	}},
	"mutool": {[]string{"draw", "-q", "-F", "txt", "-o", "/dev/null", "FILE"}, func(out string) string {
		// The note is of the tool's build, not of the file.
		return strings.TrimSpace(strings.ReplaceAll(out, "warning: ICC support is not available", ""))
	}},
	"gs": {[]string{"-q", "-dNOPAUSE", "-dBATCH", "-dPDFSTOPONWARNING", "-sDEVICE=nullpage", "FILE"}, strings.TrimSpace},
	"pdfinfo": {[]string{"-struct-text", "FILE"}, func(out string) string {
		if strings.Contains(out, "rror") || !strings.HasPrefix(out, "Document") {
			return out
		}
		return ""
	}},
}

// Other programs take the pages of every script without a word, and so do our own checks.
func TestPagesOfEveryScriptAreClean(t *testing.T) {
	long(t)
	engine := text.NewEngine()
	for _, s := range scripts(t) {
		file, r := written(t, engine, s.page(), pdf.PDFA2u)
		for _, v := range conform.Check(file) {
			t.Errorf("%s: %s", s.Lang, v)
		}
		f, err := read.Open(file)
		if err != nil {
			t.Fatalf("%s: %v", s.Lang, err)
		}
		tree := f.Dict(f.Catalog()["StructTreeRoot"])
		if got, want := spokenBy(t, f, tree), actuals(r.Root); !slices.Equal(got, want) {
			t.Errorf("%s: the structure says %q, want %q", s.Lang, got, want)
		}
		strict := &model.Configuration{
			Reader15: true, ValidationMode: model.ValidationStrict, Offline: true, Limits: model.DefaultResourceLimits(),
		}
		if err := api.Validate(bytes.NewReader(file), strict); err != nil {
			t.Errorf("%s: pdfcpu: %v", s.Lang, err)
		}
		for name, c := range complaints {
			args := append([]string(nil), c.args...)
			if said := c.find(run(t, file, tool(t, name), args...)); said != "" {
				t.Errorf("%s: %s says %s", s.Lang, name, said)
			}
		}
	}
}

// spokenBy gives the exact texts of a file's structure in reading order. None stands on the element that
// owns the content itself.
func spokenBy(t *testing.T, f *read.File, e read.Dict) []string {
	var all []string
	exact, has := f.Text(e["ActualText"])
	if has {
		all = append(all, exact)
	}
	kids := f.Array(e["K"])
	if kids == nil && e["K"] != nil {
		kids = read.Array{e["K"]}
	}
	for _, k := range kids {
		kid := f.Dict(k)
		if has && kid["S"] == nil {
			t.Errorf("an element with an exact text owns content")
		}
		if kid["S"] != nil {
			all = append(all, spokenBy(t, f, kid)...)
		}
	}
	return all
}

// actuals are the exact texts of the structure.
func actuals(e *layout.Element) []string {
	var all []string
	if e.Actual != "" {
		all = append(all, e.Actual)
	}
	for _, k := range e.Kids {
		if k.Element != nil {
			all = append(all, actuals(k.Element)...)
		}
	}
	return all
}

func TestPreflightFindsPagesOfEveryScriptValid(t *testing.T) {
	long(t)
	engine := text.NewEngine()
	files := map[string][]byte{}
	for _, s := range scripts(t) {
		files[s.Lang], _ = written(t, engine, s.page(), pdf.PDFA1b)
	}
	preflight(t, files)
}
