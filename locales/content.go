package locales

import (
	"io/fs"
	"slices"
	"strings"

	"philtrum/forms/source"
)

// Message is an entry of a message file as those read it who judge its wording.
type Message struct {
	ID, Note string
	Forms    []Form // in the order of CLDR's categories
}

// Form is a text of a message; Category is empty for a message that has one form.
type Form struct{ Category, Text string }

// Messages gives the messages of a group in the order of the file. A file that is not there is an error that
// wraps fs.ErrNotExist; one with mistakes is a source.Problems.
func Messages(fsys fs.FS, tag, group string) ([]Message, error) {
	file := tag + "/" + group + ".yaml"
	data, err := fs.ReadFile(fsys, file)
	if err != nil {
		return nil, err
	}
	all, problems := reread(file, data, func(entries []flatEntry, r *source.Reader) []Message {
		return judged(entries, readMessages(entries, group, r))
	})
	return all, problems.Err()
}

func judged(entries []flatEntry, messages []message) []Message {
	notes := map[string]string{}
	for _, e := range entries {
		for _, f := range e.fields {
			if f.key == "note" {
				notes[e.key] = strings.TrimSpace(f.text)
			}
		}
	}
	out := make([]Message, len(messages))
	for i, m := range messages {
		out[i] = Message{ID: m.id, Note: notes[m.id]}
		for k, text := range m.forms {
			switch {
			case m.plural == "" && k == other:
				out[i].Forms = append(out[i].Forms, Form{Text: text})
			case m.plural != "" && text != "":
				out[i].Forms = append(out[i].Forms, Form{Category: categories[k], Text: text})
			}
		}
	}
	return out
}

// Groups lists the groups of messages that a language has, sorted.
func Groups(fsys fs.FS, tag string) []string { return groupsOf(fsys, tag) }

// Content gives what each message of a group says, as it stands in its file: texts, forms and placeholders,
// without notes for translators and comments between messages, and with equal line ends. It changes whenever
// a word does. A file that is not there is an error that wraps fs.ErrNotExist.
func Content(fsys fs.FS, tag, group string) (map[string]string, error) {
	data, err := fs.ReadFile(fsys, tag+"/"+group+".yaml")
	if err != nil {
		return nil, err
	}
	text := strings.ReplaceAll(string(data), "\r\n", "\n")
	entries, ok := indexFlat(text)
	if !ok { // whatever its shape, one more sign in it is another content
		return map[string]string{group + ".": text}, nil
	}
	for id, entry := range entries {
		entries[id] = withoutNote(entry)
	}
	return entries, nil
}

// withoutNote leaves out an entry's note, and what stands between it and the next entry.
func withoutNote(entry string) string {
	for {
		whole := strings.TrimRight(entry, " \n")
		entry = entry[:len(whole)+spacesAfter(entry[len(whole):])]
		last := strings.LastIndexByte(entry, '\n')
		if last < 0 || !strings.HasPrefix(entry[last+1:], "#") {
			break
		}
		entry = entry[:last]
	}
	if !strings.Contains(entry, " note:") {
		return entry
	}
	lines := strings.Split(entry, "\n")
	indent, inNote := -1, false
	lines = slices.DeleteFunc(lines, func(line string) bool {
		own := len(line) - len(strings.TrimLeft(line, " "))
		switch {
		case own == 0 || strings.TrimSpace(line) == "":
		case indent < 0 || own <= indent:
			indent = own
			inNote = strings.HasPrefix(line[own:], "note:")
		}
		return inNote && own > 0
	})
	return strings.Join(lines, "\n")
}

// spacesAfter counts the blanks that end a line, which belong to its text.
func spacesAfter(rest string) int {
	if n := strings.IndexByte(rest, '\n'); n >= 0 {
		return n
	}
	return len(rest)
}
