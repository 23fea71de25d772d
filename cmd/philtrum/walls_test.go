package main

import (
	"go/build"
	"io/fs"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// walls says which of our packages each package may import. An edge that is not here is a broken wall; a new
// one needs a sentence in DEVELOPERS.md.
var walls = map[string][]string{
	"forms/source":          {},
	"forms/measure":         {},
	"forms":                 {"forms/measure", "forms/source"},
	"forms/journal":         {},
	"forms/anaesthetic":     {"forms/measure", "forms/source"},
	"forms/exchange":        {"forms", "forms/clinic", "forms/device", "forms/intake", "forms/measure", "forms/visit"},
	"forms/visit":           {"forms", "forms/anaesthetic", "forms/clinic", "forms/device", "forms/measure", "forms/source"},
	"forms/device":          {"forms/measure", "forms/source"},
	"forms/source/packing":  {"forms/source"}, // for tests
	"forms/booking":         {"forms/measure", "forms/source"},
	"forms/clinic":          {"forms", "forms/device", "forms/measure", "forms/source"},
	"forms/place":           {"forms", "forms/measure", "forms/source"},
	"forms/medicine":        {"forms/source"},
	"forms/intake":          {"forms", "forms/measure", "forms/source", "forms/visit"},
	"forms/screen":          {"forms", "forms/clinic", "forms/intake", "forms/measure", "forms/medicine", "forms/place", "forms/source", "forms/visit"},
	"locales":               {"forms/source", "locales/cldr"},
	"locales/cldr":          {},
	"locales/release":       {"locales"},
	"locales/readability":   {},
	"templates/layout":      {},
	"templates/outline":     {"templates/layout"},
	"templates/timeline":    {"templates/layout"},
	"templates/maps":        {"forms/source", "templates/layout"},
	"templates/mark":        {"forms/source", "templates/layout"},
	"templates/text":        {"templates/layout"},
	"templates/code":        {},
	"templates/code/read":   {"templates/code", "templates/pdf/raster", "templates/pdf/read"},
	"templates/code/worn":   {},
	"templates/pdf/raster":  {"templates/pdf/read"},
	"templates/pdf":         {"templates/code", "templates/layout", "templates/text"},
	"templates/pdf/read":    {},
	"templates/pdf/conform": {"templates/pdf/read"},
	"templates/pdf/sign":    {},
	"templates": {
		"forms", "forms/clinic", "forms/intake", "forms/measure", "forms/place", "forms/screen", "forms/source",
		"forms/visit", "locales", "templates/layout", "templates/maps", "templates/outline", "templates/timeline",
	},
	"cmd/philtrum/folder": {"forms/journal", "forms/source"},
	"cmd/philtrum/index":  {"forms/device", "forms/journal", "forms/measure", "forms/source", "forms/visit"},
	"cmd/philtrum/ask":    {},
	"cmd/philtrum/desk": {
		"cmd/philtrum/folder", "cmd/philtrum/index", "forms", "forms/booking", "forms/clinic", "forms/device", "forms/exchange", "forms/intake", "forms/journal", "forms/measure",
		"forms/medicine", "forms/place", "forms/screen", "forms/source", "forms/visit", "locales", "locales/release",
		"locales/readability", "templates", "templates/pdf/read", "templates/code", "templates/layout", "templates/mark", "templates/outline", "templates/pdf", "templates/pdf/sign", "templates/text",
	},
	"cmd/philtrum": {
		"cmd/philtrum/ask", "cmd/philtrum/desk", "cmd/philtrum/folder", "cmd/philtrum/index", "forms", "forms/clinic", "forms/device", "forms/measure",
		"forms/medicine", "forms/screen", "forms/source", "forms/visit", "locales", "templates/pdf/sign",
		"templates/code", "templates/code/read", "templates/pdf/read",
	},
}

// owners says which packages may import each library; "golang.org/x/text" is owned where a package needs its
// own part of it.
var owners = map[string][]string{
	"charm.land/huh":                     {"cmd/philtrum/ask"},
	"charm.land/bubbletea":               {"cmd/philtrum/ask"},
	"charm.land/bubbles":                 {"cmd/philtrum/ask"},
	"github.com/goccy/go-yaml":           {"forms/source"},
	"github.com/shopspring/decimal":      {"forms/measure", "forms", "forms/clinic", "forms/intake", "forms/screen", "forms/visit", "cmd/philtrum"},
	"github.com/go-playground/validator": {"forms/intake"},
	"cel.dev/cel-go":                     {"forms/screen"},
	"google.golang.org/protobuf":         {"forms/screen"}, // checked conditions, as cel-go keeps them
	"google.golang.org/genproto":         {"forms/screen"},
	"github.com/nicksnyder/go-i18n":      {"locales"},
	"golang.org/x/text":                  {"locales", "locales/cldr", "locales/release", "forms/medicine", "forms/booking", "templates/text"},
	"github.com/xuri/excelize/v2":        {"forms/booking"},
	"github.com/jung-kurt/gofpdf":        {"templates/pdf"},
	"github.com/klauspost/compress":      {"templates/pdf"},
	"github.com/go-text/typesetting":     {"templates/text"},
	"golang.org/x/image":                 {"templates/text", "templates/code/read", "templates/pdf/raster"},
	"rsc.io/qr":                          {"templates/code"},
	"github.com/makiuchi-d/gozxing":      {"templates/code/read"},
	"github.com/pdfcpu/pdfcpu":           {"templates/pdf/read"},
	"software.sslmate.com/src/go-pkcs12": {"templates/pdf/sign"},
	"filippo.io/age":                     {"cmd/philtrum/folder"},
	"github.com/spf13/cobra":             {"cmd/philtrum"},
	"github.com/spf13/viper":             {"cmd/philtrum"},
	"golang.org/x/term":                  {"cmd/philtrum"},
	"modernc.org/sqlite":                 {"cmd/philtrum/index"},
}

func TestWalls(t *testing.T) {
	seen := map[string]bool{}
	for _, dir := range packages(t) {
		pkg, err := build.ImportDir(filepath.Join("..", "..", dir), 0)
		if err != nil {
			t.Fatalf("%s: %v", dir, err)
		}
		name := filepath.ToSlash(dir)
		if pkg.Name == "main" && name != "cmd/philtrum" {
			continue // generators
		}
		seen[name] = true
		allowed, listed := walls[name]
		if !listed {
			t.Errorf("%s is not in the list of walls", name)
			continue
		}
		for _, path := range pkg.Imports {
			if own, ok := strings.CutPrefix(path, "philtrum/"); ok {
				if !slices.Contains(allowed, own) {
					t.Errorf("%s imports %s, which no wall allows", name, own)
				}
				continue
			}
			if strings.Contains(strings.Split(path, "/")[0], ".") {
				checkOwner(t, name, path)
			}
		}
	}
	for name := range walls {
		if !seen[name] && name != "locales/release" && name != "locales/readability" {
			t.Errorf("the list of walls names %s, which is not there", name)
		}
	}
}

func checkOwner(t *testing.T, pkg, path string) {
	t.Helper()
	for library, allowed := range owners {
		if path == library || strings.HasPrefix(path, library+"/") {
			if !slices.Contains(allowed, pkg) {
				t.Errorf("%s imports %s, which belongs to %s", pkg, path, strings.Join(allowed, ", "))
			}
			return
		}
	}
	t.Errorf("%s imports %s, which has no owner in the list", pkg, path)
}

// packages are the folders of the module that hold Go files other than tests.
func packages(t *testing.T) []string {
	t.Helper()
	root := filepath.Join("..", "..")
	var dirs []string
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && path != root && (d.Name() == "testdata" || strings.HasPrefix(d.Name(), ".")) {
			return filepath.SkipDir
		}
		if d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return nil
		}
		dir, err := filepath.Rel(root, filepath.Dir(path))
		if err == nil && !slices.Contains(dirs, dir) {
			dirs = append(dirs, dir)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return dirs
}
