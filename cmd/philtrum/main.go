// Philtrum prepares and keeps the paperwork of a filler visit: it checks a patient's answers against the
// clinic's rules and issues information, consent, treatment record and dated aftercare.
//
// This package is the wire: it takes the outside (arguments, streams, clock, randomness, environment) in
// one [world] and hands it to the commands. Nothing below it reads any of them.
package main

import (
	"context"
	"crypto/rand"
	"os"
	"os/signal"
	"runtime/debug"
	"time"
	_ "time/tzdata" // zones of the clinics, also where the system has none

	"golang.org/x/term"
)

// seldom is how far the heap may grow before memory is collected, in percent. A run is short and gives back
// everything at its end; collecting as often as is usual costs it a sixth of its time. Twice as seldom as this, a
// day of sixty visits took half as much memory again and no less time.
const seldom = 200

func main() {
	debug.SetGCPercent(seldom)
	os.Exit(int(run(outside(time.Now))))
}

// outside is the world of a real run, with the clock that it is given.
func outside(now func() time.Time) world {
	self, _ := os.Executable() // without it, foreign files are read in this process
	return world{
		self:        self,
		args:        os.Args[1:],
		in:          os.Stdin,
		out:         os.Stdout,
		err:         os.Stderr,
		now:         now,
		random:      rand.Reader,
		environment: os.LookupEnv,
		dir:         ".",
		cache:       cacheDir(),
		terminal:    term.IsTerminal(int(os.Stdin.Fd())) && term.IsTerminal(int(os.Stderr.Fd())),
		interrupt:   interrupted,
		colour:      term.IsTerminal(int(os.Stdout.Fd())) && os.Getenv("NO_COLOR") == "",
	}
}

// interrupted ends when the person at the terminal interrupts.
func interrupted() (context.Context, context.CancelFunc) {
	return signal.NotifyContext(context.Background(), os.Interrupt)
}

// cacheDir is where this machine keeps what can be made again; empty where there is no such place.
func cacheDir() string {
	dir, err := os.UserCacheDir()
	if err != nil {
		return ""
	}
	return dir
}
