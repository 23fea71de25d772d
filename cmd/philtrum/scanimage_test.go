package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"rsc.io/qr"
)

// A code on a photograph is read as if it had been typed; a photograph without one is told, and so is a file that
// is none.
func TestScanOfPhotographs(t *testing.T) {
	dir := t.TempDir()
	symbol, err := qr.Encode("(01)09506000134352(17)280831(10)AB-0012", qr.M)
	if err != nil {
		t.Fatal(err)
	}
	for name, data := range map[string][]byte{"box.png": symbol.PNG(), "cut.png": symbol.PNG()[:60], "text.png": []byte("no picture")} {
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	scan := func(args ...string) (status, string, string) {
		var out, told bytes.Buffer
		end := run(world{
			args: append([]string{"scan", "--json"}, args...), in: strings.NewReader(""), out: &out, err: &told, dir: dir,
			now:         func() time.Time { return time.Date(2026, 12, 4, 8, 0, 0, 0, time.UTC) },
			environment: func(string) (string, bool) { return "", false },
		})
		return end, out.String(), told.String()
	}
	_, out, told := scan("--image", "box.png")
	var list []scanJSON
	if err := json.Unmarshal([]byte(out), &list); err != nil || len(list) != 1 || list[0].Lot != "AB-0012" {
		t.Errorf("%s %s", out, told)
	}
	for _, name := range []string{"cut.png", "text.png"} {
		if end, out, told := scan("--image", name); end != statusHeld || out != "" || !strings.Contains(told, name) || strings.Contains(told, "[attach") {
			t.Errorf("%s: status %d, %s %s", name, end, out, told)
		}
	}
	if end, _, told := scan("--image", "gone.png"); end != statusUsage || !strings.Contains(told, "gone.png") {
		t.Errorf("status %d, %s", end, told)
	}
}

// Every reason to wait has its words in every language.
func TestReasonsToWaitHaveWords(t *testing.T) {
	data, err := os.ReadFile("desk/attach.go")
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, line := range strings.Split(string(data), "\n") {
		_, rest, ok := strings.Cut(line, " Why = \"")
		if !ok {
			continue
		}
		word, _, _ := strings.Cut(rest, "\"")
		n++
		for _, tag := range []string{"en", "es"} {
			words, err := os.ReadFile("../../locales/" + tag + "/attach.yaml")
			if err != nil || !strings.Contains(string(words), "\nattach.why."+word+": ") {
				t.Errorf("%s: no words for %s: %v", tag, word, err)
			}
		}
	}
	if n < 12 {
		t.Errorf("only %d reasons found", n)
	}
}
