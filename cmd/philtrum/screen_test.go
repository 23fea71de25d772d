package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"
)

// terminalOf is a real terminal in which the command runs.
type terminalOf struct {
	t    *testing.T
	name string
}

// terminal starts a command in a terminal of tmux with a server of its own.
func terminal(t *testing.T, dir, command string) terminalOf {
	t.Helper()
	if _, err := exec.LookPath("tmux"); err != nil {
		if os.Getenv("PHILTRUM_REQUIRE_TOOLS") == "1" {
			t.Fatal("tmux is not installed")
		}
		t.Skip("tmux is not installed")
	}
	term := terminalOf{t, "philtrum-" + strconv.Itoa(os.Getpid()) + "-" + strconv.FormatInt(time.Now().UnixNano(), 36)}
	term.tmux("-f", "/dev/null", "new-session", "-d", "-x", "110", "-y", "40", "-c", dir, "sh", "-c", command+"; echo the-end; sleep 60")
	t.Cleanup(func() { _ = exec.Command("tmux", "-L", term.name, "kill-server").Run() })
	return term
}

func (r terminalOf) tmux(args ...string) string {
	r.t.Helper()
	out, err := exec.Command("tmux", append([]string{"-L", r.name}, args...)...).CombinedOutput()
	if err != nil {
		r.t.Fatalf("tmux %s: %v\n%s", args[0], err, out)
	}
	return string(out)
}

// keys presses keys as tmux names them, as a hand would: once the screen stands still.
func (r terminalOf) keys(keys ...string) {
	r.t.Helper()
	before := ""
	for range 40 {
		now := r.tmux("capture-pane", "-p")
		if now == before {
			break
		}
		before = now
		time.Sleep(250 * time.Millisecond)
	}
	r.tmux(append([]string{"send-keys"}, keys...)...)
}

// sees waits for a text on the screen, and gives all that is there.
func (r terminalOf) sees(text string) string {
	r.t.Helper()
	screen := ""
	for range 200 {
		screen = r.tmux("capture-pane", "-p")
		if strings.Contains(screen, text) {
			return screen
		}
		time.Sleep(50 * time.Millisecond)
	}
	r.t.Fatalf("%q is not on the screen:\n%s", text, screen)
	return ""
}

// Somebody asks at a terminal in the clinic's language, with the patient's words beside it; goes back, is told what is
// found as it arises, stops, and goes on where it stopped.
func TestAskingOnScreen(t *testing.T) {
	if testing.Short() {
		t.Skip("it starts terminals")
	}
	self, err := exec.LookPath("philtrum") // the test itself, under the name of the command
	if err != nil {
		t.Fatal(err)
	}
	dir, _ := formDesk(t)
	readsSpanish(t, dir)
	ask := "TERM=xterm-256color PHILTRUM_TEST_NOW=2026-12-04T08:00:00Z '" + self + "' ask " + formVisit + " --via speech"

	first := terminal(t, dir, ask)
	first.sees("Would you like somebody to be with you?")
	first.sees("español: ¿Quiere")
	first.keys("Down", "Enter") // no
	first.sees("something about your looks")
	first.keys("Escape")
	first.sees("Would you like somebody") // the question before
	first.keys("Enter")                   // yes
	first.sees("something about your looks")
	first.keys("C-c")
	first.sees("stopped; every answer is kept")
	first.sees("the-end")

	data, err := os.ReadFile(filepath.Join(dir, "visits", "2026", formVisit, "visit.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	if said := string(data); !strings.Contains(said, "chaperone:") || strings.Contains(said, "looks_worry") {
		t.Error("what was answered is not kept, or what was not answered is")
	}

	second := terminal(t, dir, ask+" infection")
	second.sees("any fever, flu")
	second.keys("Enter") // yes
	second.sees("something about your looks")
	screen := second.sees("┃")
	if strings.Contains(screen, "somebody to be with you") {
		t.Error("what was answered is asked again")
	}
	for range 4 {
		second.keys("Down", "Enter") // no
	}
	second.sees("pregnant")
	second.keys("Down", "Down", "Enter") // yes
	second.sees("found: ")
	second.keys("C-c")
	second.sees("stopped")
}

// readsSpanish makes the visit's patient read Spanish.
func readsSpanish(t *testing.T, dir string) {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(dir, "patients", "*.yaml"))
	if err != nil || len(files) == 0 {
		t.Fatal("no patients")
	}
	visit, err := os.ReadFile(filepath.Join(dir, "visits", "2026", formVisit, "visit.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range files {
		if !strings.Contains(string(visit), strings.TrimSuffix(filepath.Base(file), ".yaml")) {
			continue
		}
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		text := strings.Replace(string(data), "reads: en", "reads: es", 1)
		if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
}
