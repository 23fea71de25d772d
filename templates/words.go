package templates

import (
	"strings"

	"philtrum/forms/source"
)

// words is a text of a template: alternatives of which the first that holds is printed, in the language
// of the paper or in the clinic's. None holding, the text is empty.
type words []saying

// saying is a message ("consent.title", with a dot) or a value ("patient_name", without).
type saying struct {
	message, value string
	when           *condition
	clinic         bool // in the clinic's language
	span           source.Span
}

// words reads a scalar, a mapping {text, when, in}, or a sequence of either.
func (l *loader) words(n *source.Node, lists []string) words {
	if n == nil {
		return nil
	}
	switch n.Kind {
	case source.Sequence:
		var w words
		for _, item := range n.Items {
			w = append(w, l.words(item, lists)...)
		}
		return w
	case source.Mapping:
		f := l.r.Fields(n, "text", "when", "in")
		w := l.words(f.Need("text"), lists)
		c := l.when(f.Get("when"), lists)
		clinic := false
		if in := f.Get("in"); in != nil {
			clinic = l.r.OneOf(in, "clinic", "paper") == "clinic"
		}
		for i := range w {
			w[i].when, w[i].clinic = c, clinic
		}
		return w
	}
	text := l.r.Text(n)
	s := saying{span: n.Span}
	if strings.Contains(text, ".") {
		s.message = text
	} else {
		s.value = text
		if _, ok := valueKind(text, lists); !ok {
			l.unknown(n, "problem.unknown_value", text, valueNames(lists))
		}
	}
	return words{s}
}

// wordsList reads a sequence of texts that all stand.
func (l *loader) wordsList(n *source.Node, lists []string) []words {
	var out []words
	for _, item := range l.r.List(n) {
		out = append(out, l.words(item, lists))
	}
	return out
}

func contains(list []string, s string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}

func with(lists []string, name string) []string {
	return append(append([]string{}, lists...), name)
}

// unknown reports a name that is none of a closed table, with the nearest one that is.
func (l *loader) unknown(n *source.Node, id, name string, known []string) {
	if near := source.Nearest(name, known); near != "" {
		l.r.Report(n, id+"_near", map[string]any{"name": name, "near": near})
		return
	}
	l.r.Report(n, id, map[string]any{"name": name})
}
