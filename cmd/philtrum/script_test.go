package main

import (
	"flag"
	"os"
	"path/filepath"
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
		Dir:                 filepath.Join("testdata", "script"),
		UpdateScripts:       *update,
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
	})
}
