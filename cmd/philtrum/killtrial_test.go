package main

import (
	"bytes"
	"crypto/rand"
	"fmt"
	"io/fs"
	mathrand "math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"philtrum/cmd/philtrum/desk"
	"philtrum/cmd/philtrum/folder"
	"philtrum/forms/source"
	"philtrum/locales"
)

// trialClinic is a clinic with one treated visit, driven by the real command.
type trialClinic struct {
	t     *testing.T
	dir   string
	visit string
	began time.Time
}

func newTrial(t *testing.T) *trialClinic {
	t.Helper()
	c := &trialClinic{t: t, dir: filepath.Join(t.TempDir(), "clinic"), began: time.Date(2026, 12, 4, 10, 0, 0, 0, time.UTC)}
	c.must("init", c.dir)
	for name, text := range map[string]string{
		"clinic.yaml": "name: Quayside Clinic\nplace: GB-ENG\nzone: Europe/London\nlanguage: en-GB\ntelephone: 01632 960200\nnight_telephone: 01632 960201\n",
		"staff.yaml":  "staff:\n  - {id: amara, name: Amara Voss, profession: nurse, roles: [injector], from: 2022-01-10}\n",
	} {
		if err := os.WriteFile(filepath.Join(c.dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	patient := c.given("given: Ada\nfamily: Example\nborn: 1990-02-03\nreads: en\n", "patient", "--from", "-")
	c.visit = c.must("open", patient, "--at", "2026-12-04 09:00", "--practitioner", "amara")
	c.given("start: 2026-12-04 09:10\nby: amara\n", "treat", c.visit, "--from", "-")
	return c
}

// command is one run of the command, not yet started.
func (c *trialClinic) command(args ...string) *exec.Cmd {
	program, err := os.Executable()
	if err != nil {
		c.t.Fatal(err)
	}
	cmd := exec.Command(program)
	cmd.Args = append([]string{"philtrum"}, args...)
	cmd.Env = append(os.Environ(), "PHILTRUM_TEST_NOW=2026-12-04T12:00:00Z", "PHILTRUM_CLINIC="+c.dir)
	return cmd
}

func (c *trialClinic) must(args ...string) string { return c.given("", args...) }

func (c *trialClinic) given(input string, args ...string) string {
	c.t.Helper()
	cmd := c.command(args...)
	cmd.Stdin = strings.NewReader(input)
	var out, errs bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &errs
	if err := cmd.Run(); err != nil {
		c.t.Fatalf("%s: %v\n%s", args[0], err, errs.String())
	}
	lines := strings.Split(strings.TrimSpace(out.String()), "\n")
	return lines[len(lines)-1]
}

// handed is the n-th act of handing over, each with a time of its own by which it is found again.
func (c *trialClinic) handed(n int) *exec.Cmd {
	return c.command("handed", c.visit, "aftercare", "--by", "amara", "--at", c.time(n).Format("2006-01-02 15:04"))
}

func (c *trialClinic) time(n int) time.Time {
	return c.began.AddDate(0, 0, -1).Add(time.Duration(n) * time.Minute)
}

// count is how often the n-th act stands in the visit's file.
func (c *trialClinic) count(n int) int {
	c.t.Helper()
	found, err := filepath.Glob(filepath.Join(c.dir, "visits", "*", c.visit, "visit.yaml"))
	if err != nil || len(found) != 1 {
		c.t.Fatal(found, err)
	}
	data, err := os.ReadFile(found[0])
	if err != nil {
		c.t.Fatal(err)
	}
	return strings.Count(string(data), c.time(n).Format("2006-01-02T15:04"))
}

// grow makes leases and temporary files of a killed command as old as stale ones, so that nobody waits.
func (c *trialClinic) grow() {
	c.t.Helper()
	at := time.Now().Add(-time.Hour)
	err := filepath.WalkDir(c.dir, func(path string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() && strings.HasPrefix(d.Name(), ".") {
			err = os.Chtimes(path, at, at)
		}
		return err
	})
	if err != nil {
		c.t.Fatal(err)
	}
}

// verify opens the folder as the next command would, and checks everything.
func (c *trialClinic) verify() {
	c.t.Helper()
	f, err := folder.Open(c.dir)
	if err != nil {
		c.t.Fatal(err)
	}
	catalogue, err := locales.Load(locales.Default)
	if err != nil {
		c.t.Fatal(err)
	}
	d, problems, err := desk.Open(f, catalogue, c.began, rand.Reader)
	if err != nil || len(problems) > 0 {
		c.t.Fatal(problems, err)
	}
	found, err := d.Verify("")
	if err != nil || len(found.Problems) > 0 {
		c.t.Fatalf("%v, %v", found.Problems, err)
	}
	if edited := found.Notices; len(edited) > 0 {
		c.t.Fatalf("a command looks like an edit by hand: %v", source.Problems(edited))
	}
}

// TestKillTrial kills the command at any moment of its work, a hundred times, a thousand with PHILTRUM_TRIALS=1.
// What a command said it did is there, once; what was killed is there as a whole or not at all; the chain and
// every paper hold.
func TestKillTrial(t *testing.T) {
	if testing.Short() {
		t.Skip("starts and kills processes")
	}
	kills := 100
	if os.Getenv("PHILTRUM_TRIALS") != "" {
		kills = 1000
	}
	c := newTrial(t)
	start := time.Now()
	if out, err := c.handed(0).CombinedOutput(); err != nil {
		t.Fatal(string(out))
	}
	usual := time.Since(start)
	random := mathrand.New(mathrand.NewPCG(7, 4))
	done, killed := map[int]bool{0: true}, 0
	for n := 1; killed < kills; n++ {
		// Every tenth command writes papers. The others change the visit.
		cmd := c.handed(n)
		if n%10 == 0 {
			cmd = c.command("issue", c.visit, "record", "aftercare")
		}
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		timer := time.AfterFunc(time.Duration(random.Int64N(int64(usual+usual/4))), func() { _ = cmd.Process.Kill() })
		err := cmd.Wait()
		timer.Stop()
		switch {
		case err == nil:
			done[n] = n%10 != 0
		case cmd.ProcessState.ExitCode() >= 0:
			t.Fatalf("command %d ended with %d, not killed", n, cmd.ProcessState.ExitCode())
		default:
			killed++
		}
		c.grow()
		c.verify()
	}
	lost, twice := 0, 0
	for n := range done {
		if done[n] && c.count(n) == 0 {
			lost++
		}
		if c.count(n) > 1 {
			twice++
		}
	}
	if lost > 0 || twice > 0 {
		t.Errorf("%d acts lost, %d written twice", lost, twice)
	}
	t.Logf("%d kills, %d commands came through", killed, len(done))
}

// TestTwoDesksTrial works on one folder from two desks at once: what either said it did is there.
func TestTwoDesksTrial(t *testing.T) {
	if testing.Short() {
		t.Skip("starts processes")
	}
	acts := 6
	if os.Getenv("PHILTRUM_TRIALS") != "" {
		acts = 60
	}
	c := newTrial(t)
	var desks sync.WaitGroup
	said := make([]error, 2*acts)
	for who := range 2 {
		desks.Go(func() {
			for i := range acts {
				if out, err := c.handed(2*i + who).CombinedOutput(); err != nil {
					said[2*i+who] = fmt.Errorf("%w: %s", err, out)
				}
			}
		})
	}
	desks.Wait()
	for n, err := range said {
		if err != nil {
			t.Errorf("act %d: %v", n, err)
		} else if c.count(n) != 1 {
			t.Errorf("act %d stands %d times in the file", n, c.count(n))
		}
	}
	c.verify()
}
