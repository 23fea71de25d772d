package main

import (
	"context"
	"errors"
	"io"
	"io/fs"
	"strings"
	"syscall"
	"time"

	"philtrum/cmd/philtrum/ask"
	"philtrum/cmd/philtrum/folder"
	"philtrum/forms/source"
	"philtrum/locales"
)

// world is everything that comes from outside: the commands get it as a value, so that a test can give
// its own.
type world struct {
	args        []string
	in          io.Reader
	out, err    io.Writer
	now         func() time.Time
	random      io.Reader
	environment func(string) (string, bool)
	dir         string                                       // where relative paths start
	cache       string                                       // where this machine keeps what can be made again; may be empty
	terminal    bool                                         // a person sits at both ends
	colour      bool                                         // the results go to a terminal that shows colour
	interrupt   func() (context.Context, context.CancelFunc) // ends when the person interrupts
	self        string                                       // path of this program, for a process of its own that reads foreign files; empty: read them here
}

// run does what the arguments ask for.
func run(w world) status {
	if end, ok := child(w); ok {
		return end
	}
	settings, err := readSettings(w, nil)
	if err != nil {
		_, _ = io.WriteString(w.err, "philtrum: "+err.Error()+"\n")
		return statusUsage
	}
	catalogue, err := locales.Load(locales.Default)
	if err != nil {
		_, _ = io.WriteString(w.err, "philtrum: "+err.Error()+"\n")
		return statusFailure
	}
	if asked := languageFlag(w.args); asked != "" {
		settings.Language = asked
	}
	s := &session{world: w, settings: settings, catalogue: catalogue, given: map[string]bool{}}
	if err := s.speakIn(settings.Language); err != nil {
		_, _ = io.WriteString(w.err, "philtrum: "+err.Error()+"\n")
		return statusUsage
	}
	root := s.commands()
	root.SetArgs(w.args)
	err = root.Execute()
	if errors.Is(err, ask.ErrEnded) && !s.keeps {
		s.voice.say("cmd.input_ended", nil)
		err = ended{statusHeld}
	}
	status := s.voice.end(err)
	s.tellNotices()
	return status
}

// languageFlag looks for --language before the commands are built, because their help is words too.
func languageFlag(args []string) string {
	for i, arg := range args {
		if value, ok := strings.CutPrefix(arg, "--language="); ok {
			return value
		}
		if arg == "--language" && i+1 < len(args) {
			return args[i+1]
		}
	}
	return ""
}

// ended is an error that has been told already, with the status to leave with.
type ended struct{ status status }

func (e ended) Error() string { return "ended" }

// wrongUse is a mistake in how the command was called; id and args name its message.
type wrongUse struct {
	id   string
	args locales.Args
}

func (w wrongUse) Error() string { return w.id }

// end turns a command's error into words and a status.
func (v *voice) end(err error) status {
	var told ended
	var refusal *folder.Refusal
	var use wrongUse
	var flag flagError
	switch {
	case err == nil:
		return statusDone
	case errors.As(err, &told):
		return told.status
	case errors.As(err, &refusal):
		v.problems(source.Problems{refusal.Problem}, noLines)
		return statusHeld
	case errors.Is(err, ask.ErrEnded):
		v.say("cmd.ask.ended", nil)
		return statusHeld
	case errors.As(err, &use):
		v.say(use.id, use.args)
		return statusUsage
	case errors.As(err, &flag):
		v.say("cmd.usage", locales.Args{"what": locales.Text(flag.Error())})
		return statusUsage
	}
	switch {
	case errors.Is(err, syscall.ENOSPC):
		v.say("folder.full", nil)
	case errors.Is(err, syscall.EROFS), errors.Is(err, fs.ErrPermission):
		v.say("folder.read_only", nil)
	default:
		v.say("cmd.failure", locales.Args{"what": locales.Text(err.Error())})
	}
	return statusFailure
}

// noLines shows no lines: for problems of a folder, and of files with a patient's data.
func noLines(string) []string { return nil }

// flagError is cobra's complaint about arguments or flags.
type flagError struct{ error }
