package source

import (
	"slices"
	"strings"
)

// apply turns the lines of root into those of want, which differ by c. It is false where the file's
// style leaves no lines to edit.
func (l *lines) apply(root, want *Node, c Change) bool {
	if l.flow(root) {
		return false
	}
	m, w := root, want
	for i, name := range c.Path {
		at := find(m, name)
		if at < 0 {
			l.insert(m, name, w.Keys[len(w.Keys)-1].Value)
			return true
		}
		key := m.Keys[at]
		after := find(w, name)
		if after < 0 {
			l.remove(key)
			return true
		}
		value := w.Keys[after].Value
		old, last := key.Value, i == len(c.Path)-1
		switch {
		case last && c.Append && old.Kind == Sequence && len(old.Items) > 0 && !l.flow(old):
			l.appendItem(old, c.Value)
			return true
		case last, old.Kind != Mapping, l.flow(old), len(value.Keys) == 0:
			l.replace(key, value)
			return true
		}
		m, w = old, value
	}
	return false
}

// flow says whether a mapping or sequence is written in brackets.
func (l *lines) flow(n *Node) bool {
	if n.Kind != Mapping && n.Kind != Sequence || n.Span.Line == 0 {
		return false
	}
	_, rest := l.at(n.Span.Line, n.Span.Col)
	return strings.HasPrefix(rest, "[") || strings.HasPrefix(rest, "{")
}

// at splits a line, without its end, before the rune in column col.
func (l *lines) at(line, col int) (before, rest string) {
	runes := []rune(strings.TrimRight(l.all[line-1], "\r\n"))
	i := min(col-1, len(runes))
	return string(runes[:i]), string(runes[i:])
}

// put replaces count lines from line on by text, whose lines end in LF.
func (l *lines) put(line, count int, text string) {
	fresh := slices.Collect(strings.Lines(text))
	for i, s := range fresh {
		fresh[i] = strings.TrimSuffix(s, "\n") + l.end
	}
	if line > 1 && len(fresh) > 0 && !strings.HasSuffix(l.all[line-2], "\n") {
		l.all[line-2] += l.end
	}
	l.all = slices.Replace(l.all, line-1, line-1+count, fresh...)
}

// insert adds an entry below the last one of m, at the end of the file if there is none.
func (l *lines) insert(m *Node, name string, value *Node) {
	line, indent := len(l.all)+1, 0
	if len(m.Keys) > 0 {
		line, indent = m.Keys[len(m.Keys)-1].lastLine()+1, m.Keys[0].Span.Col-1
	}
	var w strings.Builder
	writeBlock(&w, Map(name, value), indent)
	l.put(line, 0, w.String())
}

func (l *lines) remove(key Key) {
	l.put(key.Span.Line, key.lastLine()-key.Span.Line+1, "")
}

func (l *lines) appendItem(list, value *Node) {
	last := list.Span.EndLine
	var w strings.Builder
	writeBlock(&w, List(value), list.Span.Col-1)
	l.put(last+1, 0, w.String())
}

// lastLine is the last line of an entry; an Empty value has none of its own.
func (k Key) lastLine() int {
	if k.Value == nil || k.Value.Kind == Empty {
		return k.Span.EndLine
	}
	return k.Value.Span.EndLine
}

// replace writes a new value behind a key. A comment on the key's line, or behind the last line of a
// value that began on it, stays.
func (l *lines) replace(key Key, value *Node) {
	before, rest := l.at(key.Span.EndLine, key.Span.EndCol)
	colon := strings.Index(rest, ":")
	before, rest = before+rest[:colon+1], rest[colon+1:]
	if old := key.Value; old.Kind != Empty && old.Span.Line == key.Span.EndLine {
		_, rest = l.at(old.Span.EndLine, old.Span.EndCol)
	}
	var w strings.Builder
	writeValue(&w, value, key.Span.Col-1)
	first, more, _ := strings.Cut(w.String(), "\n")
	if strings.TrimSpace(rest) != "" {
		if !strings.HasPrefix(rest, " ") {
			first += " "
		}
		first += rest
	}
	l.put(key.Span.Line, key.lastLine()-key.Span.Line+1, before+first+"\n"+more)
}
