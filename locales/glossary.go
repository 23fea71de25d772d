package locales

import (
	"io/fs"
	"strings"
	"unicode"
	"unicode/utf8"

	"philtrum/forms/source"
)

// Term is one entry of a glossary: the word that a language's messages use for a thing of the trade.
type Term struct {
	ID    string   // the trade's English term, with underscores: "vascular_occlusion"
	Use   string   // the word to use
	Avoid []string // words that no message may hold, whole words, capitals aside
	Why   string
	// Explain is how a paper says in plain words what the term means, where it cannot do without it. A paper
	// that says so at the term's first use may count the term as known.
	Explain string
}

// Glossary reads <tag>/glossary.yaml. A language without one has no terms. The error is a source.Problems
// unless the file cannot be read.
func Glossary(fsys fs.FS, tag string) ([]Term, error) {
	file, data, err := glossaryFile(fsys, tag)
	if err != nil || data == nil {
		return nil, err
	}
	var r source.Reader
	terms := readTerms(readEntries(file, data, true, &r), &r)
	return terms, r.Problems().Err()
}

func glossaryFile(fsys fs.FS, tag string) (file string, data []byte, err error) {
	file = tag + "/" + glossaryName + ".yaml"
	if _, err := fs.Stat(fsys, file); err != nil {
		return file, nil, nil
	}
	data, err = fs.ReadFile(fsys, file)
	return file, data, err
}

var termKeys = []string{"use", "avoid", "why", "explain"}

func readTerms(entries []flatEntry, r *source.Reader) []Term {
	terms := make([]Term, 0, len(entries))
	for _, e := range entries {
		t := Term{ID: e.key}
		for _, f := range e.fields {
			switch f.key {
			case "use":
				t.Use = f.text
			case "why":
				t.Why = f.text
			case "explain":
				t.Explain = f.text
			case "avoid":
				for word := range strings.SplitSeq(f.text, ",") {
					if word = strings.TrimSpace(word); word != "" {
						t.Avoid = append(t.Avoid, word)
					}
				}
			default:
				unknownKey(f, termKeys, r)
			}
		}
		if t.Use == "" {
			r.ReportAt(e.span, "problem.missing_key", map[string]any{"key": "use"})
		}
		if t.Why == "" {
			r.ReportAt(e.span, "problem.missing_key", map[string]any{"key": "why"})
		}
		terms = append(terms, t)
	}
	return terms
}

// ruledOut are the words of a glossary that no message may hold.
type ruledOut []struct{ word, use string }

func proveGlossary(fsys fs.FS, tag string, r *source.Reader) ruledOut {
	file, data, err := glossaryFile(fsys, tag)
	if err != nil {
		r.ReportAt(source.Span{File: file}, "problem.file_missing", nil)
	}
	if data == nil {
		return nil
	}
	var out ruledOut
	for _, t := range readTerms(readEntries(file, data, true, r), r) {
		for _, word := range t.Avoid {
			out = append(out, struct{ word, use string }{strings.ToLower(word), t.Use})
		}
	}
	return out
}

// prove reports the ruled-out words of a text.
func (words ruledOut) prove(text string, at source.Span, r *source.Reader) {
	if text == "" {
		return
	}
	text = strings.ToLower(withoutPlaceholders(text))
	for _, w := range words {
		if holdsWord(text, w.word) {
			r.ReportAt(at, "problem.message_word", map[string]any{"word": w.word, "use": w.use})
		}
	}
}

// withoutPlaceholders leaves a bar where a placeholder stands: its name is no word of the language.
func withoutPlaceholders(text string) string {
	var b strings.Builder
	depth := 0
	for _, r := range text {
		switch {
		case r == '{':
			if depth++; depth == 1 {
				b.WriteByte('|')
			}
		case r == '}':
			depth = max(depth-1, 0)
		case depth == 0:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// holdsWord reports whether word stands in text with no letter or digit right before or behind it.
func holdsWord(text, word string) bool {
	for from := 0; ; {
		i := strings.Index(text[from:], word)
		if i < 0 {
			return false
		}
		start, end := from+i, from+i+len(word)
		before, _ := utf8.DecodeLastRuneInString(text[:start])
		after, _ := utf8.DecodeRuneInString(text[end:])
		if !wordRune(before) && !wordRune(after) {
			return true
		}
		_, size := utf8.DecodeRuneInString(text[start:])
		from = start + size
	}
}

func wordRune(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) || unicode.IsMark(r) }
