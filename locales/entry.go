package locales

import (
	"slices"
	"strings"

	"philtrum/forms/source"
)

// message is an entry of a message file.
type message struct {
	id    string
	span  source.Span
	forms [6]string // by category; a message of one form has only the last
	at    [6]source.Span
	void  bool // it has neither text nor forms, which is reported already
	declared
}

// declared is what a message says about its placeholders.
type declared struct {
	holders []holder
	plural  string // the placeholder that chooses the form; empty for a message of one form
}

type holder struct {
	name  string
	kind  Kind
	style string
}

// other is the place of a message's only form, and of the form "other".
const other = 5

var categories = [6]string{"zero", "one", "two", "few", "many", "other"}

// styles are those that a kind may be followed by; a kind that is not here is unknown.
var styles = map[Kind][]string{
	KindText: nil, KindNumber: nil, KindCount: nil, KindVolume: {"words"}, KindDose: {"words"},
	KindDate: {"full", "long", "medium", "short"}, KindDateTime: {"full", "long", "medium", "short"},
	KindClock: nil, KindList: {"and", "or"}, KindRef: nil,
}

// kinds are all of them, as messages about a wrong one list them.
var kinds = []string{"text", "number", "count", "volume", "dose", "date", "datetime", "clock", "list", "ref"}

// counting are the kinds that can choose a plural form.
func counting(k Kind) bool {
	return k == KindCount || k == KindNumber || k == KindVolume || k == KindDose
}

// readMessages reads the messages of a group.
func readMessages(entries []flatEntry, group string, r *source.Reader) []message {
	messages := make([]message, 0, len(entries))
	for _, e := range entries {
		if GroupOf(e.key) != group || len(e.key) < len(group)+2 {
			r.ReportAt(e.span, "problem.message_group", map[string]any{"group": group})
			continue
		}
		messages = append(messages, readMessage(e, r))
	}
	return messages
}

var messageKeys = append([]string{"text", "note", "args", "by"}, categories[:]...)

func readMessage(e flatEntry, r *source.Reader) message {
	m := message{id: e.key, span: e.span}
	if e.fields == nil {
		m.forms[other], m.at[other] = strings.TrimRight(e.text, "\n"), e.at
	}
	var by flatField
	whole, plural := e.fields == nil, false
	for _, f := range e.fields {
		switch f.key {
		case "text":
			whole = true
			m.forms[other], m.at[other] = strings.TrimRight(f.text, "\n"), f.at
		case "note":
		case "args":
			m.holders = readHolders(e.key, f, r)
		case "by":
			by = f
		default:
			i := slices.Index(categories[:], f.key)
			if i < 0 {
				unknownKey(f, messageKeys, r)
				continue
			}
			plural = true
			m.forms[i], m.at[i] = strings.TrimRight(f.text, "\n"), f.at
		}
	}
	switch {
	case whole && plural:
		r.ReportAt(e.span, "problem.message_text_and_forms", map[string]any{"id": e.key})
	case !whole && !plural:
		m.void = true
		r.ReportAt(e.span, "problem.message_no_text", map[string]any{"id": e.key})
	case plural:
		m.plural = chooser(m, by, r)
	case by.key != "":
		r.ReportAt(by.span, "problem.message_by", map[string]any{"id": e.key})
	}
	return m
}

// chooser is the placeholder that chooses the plural form: the one that "by" names, or else the only one
// of kind count.
func chooser(m message, by flatField, r *source.Reader) string {
	name := by.text
	for _, h := range m.holders {
		if by.key != "" && h.name == by.text && counting(h.kind) {
			return h.name
		}
		if by.key == "" && h.kind == KindCount {
			if name != "" {
				name = ""
				break
			}
			name = h.name
		}
	}
	if by.key != "" {
		r.ReportAt(by.at, "problem.message_by", map[string]any{"id": m.id})
	} else if name == "" {
		r.ReportAt(m.span, "problem.message_chooser", map[string]any{"id": m.id})
	}
	return name
}

func readHolders(id string, f flatField, r *source.Reader) []holder {
	if f.pairs == nil {
		r.ReportAt(f.at, "problem.expected_mapping", nil)
	}
	holders := make([]holder, 0, len(f.pairs))
	for _, p := range f.pairs {
		kind, style, _ := strings.Cut(p.value, " ")
		allowed, known := styles[Kind(kind)]
		switch {
		case !isName(p.key):
			r.ReportAt(p.span, "problem.message_placeholder_name", map[string]any{"id": id})
		case !known:
			unknownWord(p, kind, kinds, r)
		case style != "" && allowed == nil:
			r.ReportAt(p.span, "problem.message_style_none", map[string]any{"kind": kind})
		case style != "" && !slices.Contains(allowed, style):
			unknownWord(p, style, allowed, r)
		}
		holders = append(holders, holder{p.key, Kind(kind), style})
	}
	return holders
}

func unknownKey(f flatField, allowed []string, r *source.Reader) {
	args := map[string]any{"key": f.key, "allowed": strings.Join(allowed, ", ")}
	id := "problem.unknown_key"
	if near := source.Nearest(f.key, allowed); near != "" {
		id, args["near"] = "problem.unknown_key_near", near
	}
	r.ReportAt(f.span, id, args)
}

func unknownWord(p flatPair, word string, allowed []string, r *source.Reader) {
	args := map[string]any{"allowed": strings.Join(allowed, ", ")}
	id := "problem.unknown_word"
	if near := source.Nearest(word, allowed); near != "" {
		id, args["near"] = "problem.unknown_word_near", near
	}
	r.ReportAt(p.span, id, args)
}
