package main

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
)

// examples are the blocks of README.md that are run: a line after "$ " is a command, what follows is its
// result.
var examples = regexp.MustCompile("(?s)```console\n(.*?)```")

// TestReadmeExamples runs the examples of README.md and compares what they print; -update rewrites them.
func TestReadmeExamples(t *testing.T) {
	const name = "../../README.md"
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	blocks := examples.FindAllStringSubmatchIndex(string(data), -1)
	if len(blocks) == 0 {
		t.Fatal("README.md has no example")
	}
	dir := t.TempDir()
	replay(t, &dir, "$ philtrum demo clinic")
	got, end := "", 0
	for _, b := range blocks {
		got += string(data[end:b[2]]) + replay(t, &dir, string(data[b[2]:b[3]]))
		end = b[3]
	}
	got += string(data[end:])
	if *update {
		if err := os.WriteFile(name, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if got != string(data) {
		t.Errorf("README.md is not what the command prints; -update rewrites it:\n%s", got)
	}
}

// replay runs the commands of a block in a folder and gives the block with what they print now.
func replay(t *testing.T, dir *string, block string) string {
	t.Helper()
	var out strings.Builder
	for _, line := range strings.Split(block, "\n") {
		command, ok := strings.CutPrefix(line, "$ ")
		if !ok {
			continue
		}
		out.WriteString(line + "\n")
		words := strings.Fields(command)
		if words[0] == "cd" {
			*dir = filepath.Join(*dir, words[1])
			continue
		}
		var result, told bytes.Buffer
		run(world{
			args: words[1:], in: strings.NewReader(""), out: &result, err: &told, dir: *dir,
			now:         func() time.Time { return time.Date(2026, 12, 4, 8, 0, 0, 0, time.UTC) },
			random:      bytes.NewReader(nil),
			environment: func(string) (string, bool) { return "", false },
		})
		out.WriteString(strings.ReplaceAll(result.String(), *dir+string(filepath.Separator), ""))
	}
	return out.String()
}
