package ask

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"charm.land/bubbles/v2/key"
	tea "charm.land/bubbletea/v2"
	"charm.land/huh/v2"
)

// ErrBack says that the person wants the question before; ErrStopped that they stop here.
var (
	ErrBack    = errors.New("back")
	ErrStopped = errors.New("stopped")
)

// Asker asks for answers: [Prompt] by plain lines, [Screen] by a form on a terminal.
type Asker interface {
	Text(label string) (string, error)
	Choose(label string, options []string) (int, error)
	Some(label string, options []string) ([]int, error)
	Lines(label string) ([]string, error)
	Tell(text string)
	Note(text string) // belongs to the next question only
}

// Screen asks one question at a time on a terminal. Escape goes back, an interrupt stops.
type Screen struct {
	in   *keyboard
	out  io.Writer
	say  func(id string) string
	keys *huh.KeyMap
	note []string // for the next question
}

// NewScreen makes a Screen. say gives the words of a message that takes no arguments.
func NewScreen(in io.Reader, out io.Writer, say func(id string) string) *Screen {
	return &Screen{in: newKeyboard(in), out: out, say: say, keys: keyMap(say)}
}

// keyMap is the keys with the words of the language.
func keyMap(say func(string) string) *huh.KeyMap {
	k := huh.NewDefaultKeyMap()
	next, tick, move := say("asking.key.next"), say("asking.key.tick"), say("asking.key.move")
	k.Select.Submit = key.NewBinding(key.WithKeys("enter"), key.WithHelp("enter", next))
	k.Select.Up.SetHelp("↑", move)
	k.Select.Down.SetHelp("↓", move)
	k.Select.Filter.SetEnabled(false)
	k.MultiSelect.Submit = key.NewBinding(key.WithKeys("enter"), key.WithHelp("enter", next))
	k.MultiSelect.Toggle = key.NewBinding(key.WithKeys("space", "x"), key.WithHelp("x", tick))
	k.MultiSelect.Up.SetHelp("↑", move)
	k.MultiSelect.Down.SetHelp("↓", move)
	k.MultiSelect.Filter.SetEnabled(false)
	k.MultiSelect.SelectAll.SetEnabled(false)
	k.MultiSelect.SelectNone.SetEnabled(false)
	k.Input.Submit = key.NewBinding(key.WithKeys("enter"), key.WithHelp("enter", next))
	k.Text.Submit = key.NewBinding(key.WithKeys("enter"), key.WithHelp("enter", next))
	k.Text.NewLine = key.NewBinding(key.WithKeys("alt+enter", "ctrl+j"), key.WithHelp("ctrl+j", say("asking.key.line")))
	k.Text.Editor.SetEnabled(false)
	return k
}

// Text asks for a line. It may be empty.
func (s *Screen) Text(label string) (string, error) {
	var line string
	title, why := split(label)
	err := s.run(huh.NewInput().Title(title).Description(s.with(why)).Value(&line))
	return strings.TrimSpace(line), err
}

// Choose asks for one of the options and gives its index.
func (s *Screen) Choose(label string, options []string) (int, error) {
	var chosen int
	title, why := split(label)
	err := s.run(huh.NewSelect[int]().Title(title).Description(s.with(why)).Options(numbered(options)...).Value(&chosen))
	return chosen, err
}

// Some asks for any of the options.
func (s *Screen) Some(label string, options []string) ([]int, error) {
	var chosen []int
	title, why := split(label)
	err := s.run(huh.NewMultiSelect[int]().Title(title).Description(s.with(why)).Options(numbered(options)...).Filterable(false).Value(&chosen))
	return chosen, err
}

// Lines asks for lines; none is no line at all.
func (s *Screen) Lines(label string) ([]string, error) {
	var text string
	title, why := split(label)
	if err := s.run(huh.NewText().Title(title).Description(s.with(why)).ExternalEditor(false).Lines(6).Value(&text)); err != nil {
		return nil, err
	}
	var lines []string
	for _, line := range strings.Split(text, "\n") {
		if line = strings.TrimSpace(line); line != "" {
			lines = append(lines, line)
		}
	}
	return lines, nil
}

// Tell says something between two questions.
func (s *Screen) Tell(text string) { _, _ = fmt.Fprintln(s.out, text) }

// Note says something together with the next question.
func (s *Screen) Note(text string) { s.note = append(s.note, text) }

// with adds what belongs to the question, and the keys that every question has.
func (s *Screen) with(why string) string {
	if len(s.note) > 0 {
		why = strings.TrimSpace(why + "\n" + strings.Join(s.note, "\n"))
		s.note = nil
	}
	keys := "esc " + s.say("asking.key.back") + " · ctrl+c " + s.say("asking.key.stop")
	if why == "" {
		return keys
	}
	return why + "\n" + keys
}

// run shows one field until it is answered.
func (s *Screen) run(field huh.Field) error {
	var left error
	filter := func(_ tea.Model, m tea.Msg) tea.Msg {
		pressed, ok := m.(tea.KeyPressMsg)
		if !ok {
			return m
		}
		switch pressed.String() {
		case "esc", "shift+tab":
			left = ErrBack
			return tea.Quit()
		case "ctrl+c":
			left = ErrStopped
			return tea.Quit()
		}
		return m
	}
	turn := s.in.turn()
	defer turn.over()
	form := huh.NewForm(huh.NewGroup(field)).WithKeyMap(s.keys).WithInput(turn).WithOutput(s.out).
		WithProgramOptions(tea.WithFilter(filter), tea.WithInput(turn), tea.WithOutput(s.out))
	err := form.Run()
	switch {
	case left != nil:
		return left
	case errors.Is(err, huh.ErrUserAborted):
		return ErrStopped
	}
	return err
}

// numbered gives each option its place.
func numbered(options []string) []huh.Option[int] {
	out := make([]huh.Option[int], len(options))
	for i, o := range options {
		out[i] = huh.NewOption(o, i)
	}
	return out
}

// split parts a label: its first line is the question, the rest explains.
func split(label string) (title, rest string) {
	title, rest, _ = strings.Cut(label, "\n")
	lines := strings.Split(rest, "\n")
	for i := range lines {
		lines[i] = strings.TrimSpace(lines[i])
	}
	return title, strings.Join(lines, "\n")
}
