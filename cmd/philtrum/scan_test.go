package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"philtrum/locales"
)

// remarkID finds the names of remarks in the code that makes them.
var remarkID = regexp.MustCompile(`(?:\.(?:remark|once)\((?:Fault|Doubt|Note), |fault\(|differs\(|"scan\.|\.find\()"?([a-z_]+)"`)

// Every remark and finding that the code can make has its words in every language.
func TestScanWords(t *testing.T) {
	catalogue, err := locales.Load(locales.Default)
	if err != nil {
		t.Fatal(err)
	}
	files, _ := filepath.Glob("../../forms/device/*.go")
	ids := map[string]bool{}
	for _, file := range append(files, "scan.go", "scanprint.go") {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range remarkID.FindAllStringSubmatch(string(data), -1) {
			ids["scan."+m[1]] = true
		}
	}
	if len(ids) < 40 {
		t.Fatalf("only %d ids found", len(ids))
	}
	for _, tag := range []string{"en", "es"} {
		printer, err := catalogue.Printer(tag)
		if err != nil {
			t.Fatal(err)
		}
		for id := range ids {
			if !printer.Has(id) {
				t.Errorf("%s: no message %s", tag, id)
			}
		}
	}
}

// Whatever is scanned, the command finds its words for it in both languages, shows no control character, and
// gives the code back exactly to programs.
func TestScanSaysEverything(t *testing.T) {
	var codes []string
	for _, name := range []string{"gs1-sample.json", "udi-other-sample.json"} {
		var file struct{ Cases []struct{ Input string } }
		data, err := os.ReadFile(filepath.Join("../../forms/device/testdata", name))
		if err != nil {
			t.Fatal(err)
		}
		if err := json.Unmarshal(data, &file); err != nil {
			t.Fatal(err)
		}
		for _, c := range file.Cases {
			codes = append(codes, c.Input)
		}
	}
	codes = append(codes, "", "+", "=", "(10)", "(17)", "10", "[)>\x1e06\x1d1TA\x1b[31m", "[)>", "(10)A\x1b]0;x\x07\u202e", "]C1",
		"http://a.example/01/1/10/%zz", "+$", "10000007", "+A999ABC123DE0/", "=/", "-03752865")
	for _, code := range codes {
		for _, language := range []string{"en", "es"} {
			out := scanOutside(t, "--language", language, "--", code)
			if strings.Contains(out, "[scan.") {
				t.Errorf("%q: a message is missing:\n%s", code, out)
			}
			if strings.ContainsAny(out, "\x1b\x07\x1d\u202e") {
				t.Errorf("%q: a control character reaches the terminal", code)
			}
		}
		var list []scanJSON
		if err := json.Unmarshal([]byte(scanOutside(t, "--json", "--", code)), &list); err != nil || len(list) != 1 {
			t.Fatalf("%q: %v", code, err)
		}
		if list[0].Exact != code {
			t.Errorf("%q: exact is %q", code, list[0].Exact)
		}
	}
}

// scanOutside runs scan outside any clinic folder.
func scanOutside(t *testing.T, args ...string) string {
	t.Helper()
	var out, told bytes.Buffer
	status := run(world{
		args: append([]string{"scan"}, args...), in: strings.NewReader(""), out: &out, err: &told, dir: t.TempDir(),
		now:         func() time.Time { return time.Date(2026, 12, 4, 8, 0, 0, 0, time.UTC) },
		environment: func(string) (string, bool) { return "", false },
	})
	if status != statusDone && status != statusHeld {
		t.Fatalf("%q: status %d: %s", args, status, told.String())
	}
	return out.String()
}
