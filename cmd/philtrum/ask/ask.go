// Package ask asks a person for lines: plain prompts that a screen reader can follow and a pipe can feed.
// Prompts go to the error stream, so that results stay alone on standard output.
package ask

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
)

// ErrEnded says that the input ended before the question was answered.
var ErrEnded = errors.New("input ended")

// Prompt asks one question after another.
type Prompt struct {
	in  *bufio.Reader
	out io.Writer
	say func(id string) string
}

// New makes a Prompt. say gives the words of a message that takes no arguments.
func New(in io.Reader, out io.Writer, say func(id string) string) *Prompt {
	return &Prompt{in: bufio.NewReader(in), out: out, say: say}
}

// Text asks for a line. It may be empty.
func (p *Prompt) Text(label string) (string, error) {
	_, _ = fmt.Fprintf(p.out, "%s\n> ", label)
	return p.line()
}

// Choose asks for one of the options by its number and gives its index. It asks again until it gets one.
func (p *Prompt) Choose(label string, options []string) (int, error) {
	for {
		_, _ = fmt.Fprintln(p.out, label)
		for i, option := range options {
			_, _ = fmt.Fprintf(p.out, "  %d  %s\n", i+1, option)
		}
		_, _ = io.WriteString(p.out, "> ")
		line, err := p.line()
		if err != nil {
			return 0, err
		}
		n, err := strconv.Atoi(line)
		if err == nil && n >= 1 && n <= len(options) {
			return n - 1, nil
		}
		_, _ = fmt.Fprintln(p.out, p.say("cmd.ask.a_number"))
	}
}

// Some asks for any of the options by their numbers; an empty line is none. It asks again until every
// number is one of them.
func (p *Prompt) Some(label string, options []string) ([]int, error) {
	for {
		_, _ = fmt.Fprintln(p.out, label)
		for i, option := range options {
			_, _ = fmt.Fprintf(p.out, "  %d  %s\n", i+1, option)
		}
		_, _ = io.WriteString(p.out, "> ")
		line, err := p.line()
		if err != nil {
			return nil, err
		}
		if chosen, ok := numbers(line, len(options)); ok {
			return chosen, nil
		}
		_, _ = fmt.Fprintln(p.out, p.say("cmd.ask.numbers"))
	}
}

// Lines asks for lines until an empty one.
func (p *Prompt) Lines(label string) ([]string, error) {
	_, _ = fmt.Fprintln(p.out, label)
	var lines []string
	for {
		_, _ = io.WriteString(p.out, "> ")
		line, err := p.line()
		if err != nil {
			return nil, err
		}
		if line == "" {
			return lines, nil
		}
		lines = append(lines, line)
	}
}

// Note says something together with the next question.
func (p *Prompt) Note(text string) { p.Tell(text) }

// Tell says something between two questions.
func (p *Prompt) Tell(text string) { _, _ = fmt.Fprintln(p.out, text) }

func (p *Prompt) line() (string, error) {
	line, err := p.in.ReadString('\n')
	if err != nil && line == "" {
		if errors.Is(err, io.EOF) {
			return "", ErrEnded
		}
		return "", err
	}
	return strings.TrimSpace(line), nil
}

// numbers reads "1 3" or "1, 3" as indexes below count.
func numbers(line string, count int) ([]int, bool) {
	words := strings.FieldsFunc(line, func(r rune) bool { return r == ' ' || r == ',' })
	chosen := make([]int, 0, len(words))
	for _, word := range words {
		n, err := strconv.Atoi(word)
		if err != nil || n < 1 || n > count {
			return nil, false
		}
		chosen = append(chosen, n-1)
	}
	return chosen, true
}
