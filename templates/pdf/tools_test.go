package pdf_test

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"philtrum/templates/layout"
)

// tool skips the test without the program, or fails it where tools are required.
func tool(t *testing.T, name string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		missing(t, name+" is not installed")
	}
	return path
}

func missing(t *testing.T, reason string) {
	t.Helper()
	if os.Getenv("PHILTRUM_REQUIRE_TOOLS") == "1" {
		t.Fatal(reason)
	}
	t.Skip(reason)
}

// run runs a tool on a file and gives what it says.
func run(t *testing.T, file []byte, name string, args ...string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "paper.pdf")
	if err := os.WriteFile(path, file, 0o600); err != nil {
		t.Fatal(err)
	}
	for i, a := range args {
		if a == "FILE" {
			args[i] = path
		}
	}
	out, err := exec.Command(name, args...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s: %v\n%s", filepath.Base(name), err, out)
	}
	return string(out)
}

func TestOtherReadersTakeTheFile(t *testing.T) {
	for name, p := range profiles {
		t.Run(name, func(t *testing.T) {
			t.Run("qpdf", func(t *testing.T) {
				out := run(t, write(t, p), tool(t, "qpdf"), "--check", "FILE")
				if !strings.Contains(out, "No syntax or stream encoding errors found") || strings.Contains(out, "WARNING") {
					t.Error(out)
				}
			})
			t.Run("mutool", func(t *testing.T) {
				out := run(t, write(t, p), tool(t, "mutool"), "draw", "-F", "txt", "FILE")
				out = strings.Replace(out, "warning: ICC support is not available", "", 1) // of the tool's build
				if strings.Contains(out, "warning") || strings.Contains(out, "error") || !strings.Contains(out, "Specimen (of a paper)") {
					t.Error(out)
				}
			})
			t.Run("pdfinfo", func(t *testing.T) {
				out := run(t, write(t, p), tool(t, "pdfinfo"), "FILE")
				for _, want := range []string{"Title:           Specimen", "Tagged:          yes", "Pages:           2", "Encrypted:       no"} {
					if !strings.Contains(out, want) {
						t.Errorf("no %q in\n%s", want, out)
					}
				}
			})
		})
	}
}

// expectedTree writes the structure of a result as pdfinfo indents it, types and nothing else.
func expectedTree(e *layout.Element, depth int) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s%s\n", strings.Repeat("  ", depth), e.Type)
	if e.Actual != "" { // keeps its content in a span of its own
		depth++
		fmt.Fprintf(&b, "%sSpan\n", strings.Repeat("  ", depth))
	}
	for _, k := range e.Kids {
		if k.Element != nil {
			b.WriteString(expectedTree(k.Element, depth+1))
		}
	}
	return b.String()
}

func TestStructureReadsBack(t *testing.T) {
	r, _ := specimen()
	for name, p := range profiles {
		out := run(t, write(t, p), tool(t, "pdfinfo"), "-struct", "FILE")
		var got strings.Builder
		for line := range strings.Lines(out) {
			if kind := strings.TrimLeft(line, " "); kind[0] != '/' && kind[0] != '"' {
				word, _, _ := strings.Cut(strings.TrimRight(kind, "\n"), " ")
				got.WriteString(line[:len(line)-len(kind)] + strings.TrimSuffix(word, ":") + "\n")
			}
		}
		if want := expectedTree(r.Root, 0); got.String() != want {
			t.Errorf("%s: tree is\n%swant\n%s", name, got.String(), want)
		}
	}
}

// words are the words of all lines in painting order.
func words(r *layout.Result) []string {
	var all []string
	for i := range r.Pages {
		for j := range r.Pages[i].Items {
			it := &r.Pages[i].Items[j]
			all = append(all, strings.Fields(it.Line.Text)...)
			for _, l := range it.Labels {
				all = append(all, strings.Fields(l.Line.Text)...)
			}
		}
	}
	return all
}

func TestTextReadsBack(t *testing.T) {
	r, _ := specimen()
	for name, p := range profiles {
		out := run(t, write(t, p), tool(t, "pdftotext"), "-raw", "FILE", "-")
		if got, want := strings.Join(strings.Fields(out), " "), strings.Join(words(&r), " "); got != want {
			t.Errorf("%s: text is\n%s\nwant\n%s", name, got, want)
		}
	}
}

// preflight validates files against PDF/A-1b by the harness in testdata.
func preflight(t *testing.T, files map[string][]byte) {
	t.Helper()
	tool(t, "java")
	const jars = "/usr/share/java"
	for _, jar := range []string{"preflight.jar", "pdfbox2.jar", "jaxb-api.jar", "javax.activation.jar"} {
		if _, err := os.Stat(filepath.Join(jars, jar)); err != nil {
			missing(t, jar+" is not installed")
		}
	}
	dir := t.TempDir()
	args := []string{"testdata/preflight/run.sh"}
	for name, file := range files {
		path := filepath.Join(dir, name+".pdf")
		if err := os.WriteFile(path, file, 0o600); err != nil {
			t.Fatal(err)
		}
		args = append(args, path)
	}
	out, err := exec.Command("sh", args...).CombinedOutput()
	if exit := (*exec.ExitError)(nil); err != nil && (!errors.As(err, &exit) || exit.ExitCode() > 1) {
		t.Fatalf("preflight: %v\n%s", err, out)
	}
	if n := strings.Count(string(out), "valid=true"); n != len(files) {
		t.Errorf("%d of %d files are valid:\n%s", n, len(files), out)
	}
}

func TestPreflightFindsPartOneValid(t *testing.T) {
	preflight(t, map[string][]byte{"specimen": write(t, profiles["A-1b"])})
}
