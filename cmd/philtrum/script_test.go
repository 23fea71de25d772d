package main

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"
)

var update = flag.Bool("update", false, "rewrite the goldens of the stories")

// TestMain makes the command available to the stories.
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"philtrum": story})
}

// story runs the command with a clock that a story sets: PHILTRUM_TEST_NOW.
func story() {
	now := time.Now
	if text := os.Getenv("PHILTRUM_TEST_NOW"); text != "" {
		at, err := time.Parse(time.RFC3339, text)
		if err != nil {
			panic(err)
		}
		now = func() time.Time { return at }
	}
	os.Exit(int(run(outside(now))))
}

// TestStories plays what people do with the command, one story a file.
func TestStories(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:                 filepath.Join("..", "..", "testdata", "script"),
		UpdateScripts:       *update,
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Setup: func(env *testscript.Env) error {
			cache := filepath.Join(env.WorkDir, ".cache")
			for _, name := range []string{"XDG_CACHE_HOME", "LocalAppData"} {
				env.Setenv(name, cache)
			}
			env.Setenv("HOME", cache)
			env.Setenv("PHILTRUM_TEST_NOW", "2026-12-04T08:00:00Z")
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){"keep": keep, "append": appendFile, "replace": replaceText, "cut": cutIndex, "token": keepToken,
			"certificate": certificate, "shorten": shorten, "hash": keepHash,
			"paper": paperFile, "scan": scanPages, "waiting": keepWaiting, "photograph": photographFile, "fill": fillForm, "questions": shippedQuestions},
	})
}

// keep puts the last line of standard output into a variable: an id that a command printed.
func keep(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: keep NAME")
	}
	ts.Setenv(args[0], filepath.Base(strings.TrimSpace(ts.ReadFile("stdout"))))
}

// appendFile adds a file's text to another: what a person types into it with an editor.
func appendFile(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: append FROM TO")
	}
	to := ts.MkAbs(args[1])
	data, err := os.ReadFile(to)
	ts.Check(err)
	ts.Check(os.WriteFile(to, append(data, ts.ReadFile(args[0])...), 0o600))
}

// replaceText puts one text in place of another, wherever it stands in a file: what a person changes in it with
// an editor. "\n" in the new text begins a line.
func replaceText(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: replace OLD NEW FILE")
	}
	file := ts.MkAbs(args[2])
	data, err := os.ReadFile(file)
	ts.Check(err)
	if !strings.Contains(string(data), args[0]) {
		ts.Fatalf("%s does not hold %q", args[2], args[0])
	}
	text := strings.ReplaceAll(string(data), args[0], strings.ReplaceAll(args[1], `\n`, "\n"))
	ts.Check(os.WriteFile(file, []byte(text), 0o600))
}

// cutIndex cuts the index of the machine short, as a full disk does.
func cutIndex(ts *testscript.TestScript, neg bool, args []string) {
	found, err := filepath.Glob(filepath.Join(ts.Getenv("XDG_CACHE_HOME"), "philtrum", "*.sqlite"))
	ts.Check(err)
	if neg || len(args) != 0 || len(found) == 0 {
		ts.Fatalf("no index to cut")
	}
	for _, file := range found {
		ts.Check(os.Truncate(file, 5000))
	}
}

// keepToken puts the code of the list that `forget` showed last into a variable.
func keepToken(ts *testscript.TestScript, neg bool, args []string) {
	_, rest, found := strings.Cut(ts.ReadFile("stderr"), "--list ")
	if neg || len(args) != 1 || !found {
		ts.Fatalf("no list was shown")
	}
	ts.Setenv(args[0], rest[:12])
}
