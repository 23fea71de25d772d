package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"io"
	"os"
	"os/exec"
	"runtime/debug"
	"runtime/metrics"
	"time"

	"philtrum/cmd/philtrum/desk"
	"philtrum/templates/code"
	"philtrum/templates/code/read"
	pdfread "philtrum/templates/pdf/read"
)

// Files from outside may be made to harm their reader. They are read in a process of their own, which is this
// command again with one of these words, a file on standard input and findings on standard output. It has no
// environment, opens no file, and ends at a deadline or when it takes too much memory.
const (
	childPages   = "read-pages"
	childSymbols = "read-symbols"
	childForm    = "read-form"

	childDeadline = 2 * time.Minute
	childMemory   = 1536 << 20
	largestFile   = 512 << 20
	largestAnswer = 16 << 20
)

// childAnswer is what the child says.
type childAnswer struct {
	Fault   desk.Why
	Leaves  []desk.Leaf
	Symbols []read.Symbol
	Form    pdfread.Form
}

// child does the work of the other process; ok is false for every other command line.
func child(w world) (status, bool) {
	if len(w.args) != 1 || w.args[0] != childPages && w.args[0] != childSymbols && w.args[0] != childForm {
		return 0, false
	}
	debug.SetMemoryLimit(childMemory / 2)
	go endAbove(childMemory)
	data, err := io.ReadAll(io.LimitReader(w.in, largestFile+1))
	if err != nil {
		return statusFailure, true
	}
	answer := lookAt(w.args[0], data)
	if err := json.NewEncoder(w.out).Encode(answer); err != nil {
		return statusFailure, true
	}
	return statusDone, true
}

// endAbove ends the process once it has taken so much memory.
func endAbove(limit uint64) {
	sample := []metrics.Sample{{Name: "/memory/classes/total:bytes"}, {Name: "/memory/classes/heap/released:bytes"}}
	for {
		metrics.Read(sample)
		if sample[0].Value.Uint64()-sample[1].Value.Uint64() > limit {
			os.Exit(int(statusFailure))
		}
		time.Sleep(10 * time.Millisecond)
	}
}

// lookAt reads a file in this process.
func lookAt(what string, data []byte) childAnswer {
	if what == childSymbols {
		picture, err := read.Picture(data)
		if err != nil {
			return childAnswer{Fault: faultOf(err)}
		}
		return childAnswer{Symbols: read.Symbols(picture)}
	}
	if what == childForm {
		form, fault := formAt(data)
		return childAnswer{Form: form, Fault: fault}
	}
	sheets, err := read.File(data)
	if err != nil {
		return childAnswer{Fault: faultOf(err)}
	}
	var answer childAnswer
	for _, s := range sheets {
		leaf := desk.Leaf{Fault: faultOf(s.Err), Found: []code.Page{}}
		for _, f := range s.Found {
			leaf.Found, leaf.Resolution = append(leaf.Found, f.Page), f.Resolution
		}
		answer.Leaves = append(answer.Leaves, leaf)
	}
	return answer
}

func faultOf(err error) desk.Why {
	switch {
	case err == nil:
		return ""
	case errors.Is(err, read.ErrKind):
		return desk.FaultKind
	case errors.Is(err, read.ErrTooLarge):
		return desk.FaultLarge
	case errors.Is(err, read.ErrLocked):
		return desk.FaultLocked
	case errors.Is(err, read.ErrPicture):
		return desk.FaultPicture
	}
	return desk.FaultBroken
}

// look reads a file in a process of its own.
func (s *session) look(what string, data []byte) childAnswer {
	if s.self == "" {
		return lookAt(what, data)
	}
	ctx, cancel := context.WithTimeout(context.Background(), childDeadline)
	defer cancel()
	c := exec.CommandContext(ctx, s.self, what)
	c.Args[0] = "philtrum"
	c.Env = []string{}
	c.Stdin = bytes.NewReader(data)
	var out bytes.Buffer
	c.Stdout = &limited{to: &out, left: largestAnswer}
	c.WaitDelay = time.Second
	var answer childAnswer
	if err := c.Run(); err != nil || json.Unmarshal(out.Bytes(), &answer) != nil {
		return childAnswer{Fault: desk.FaultTime}
	}
	return answer
}

// limited takes so many bytes and no more.
type limited struct {
	to   io.Writer
	left int
}

func (l *limited) Write(b []byte) (int, error) {
	if len(b) > l.left {
		return 0, io.ErrShortWrite
	}
	l.left -= len(b)
	return l.to.Write(b)
}
