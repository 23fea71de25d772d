package source

import (
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Reader reads the kinds that a caller expects out of nodes and gathers what is wrong. Every method
// accepts a nil node, which stands for an absent value, and returns the zero value for what it cannot
// read. The zero Reader is ready.
//
// Args of the problems it reports hold legal keys, allowed words and names of keys, never a value of the
// file: a value may be a patient's.
type Reader struct{ problems Problems }

// Fields are the entries of a mapping whose keys are known.
type Fields struct {
	reader *Reader
	node   *Node
	order  []string
	values []*Node // of the keys in order; a search through a few keys is quicker than a map
}

// Fields reads a mapping that may have the allowed keys and no others. A nil or Empty node has none.
func (r *Reader) Fields(n *Node, allowed ...string) Fields {
	entries := r.Entries(n)
	f := Fields{reader: r, node: n, order: make([]string, 0, len(entries)), values: make([]*Node, 0, len(entries))}
	for _, k := range entries {
		if !slices.Contains(allowed, k.Name) {
			r.unknownKey(k, allowed)
			continue
		}
		f.order, f.values = append(f.order, k.Name), append(f.values, k.Value)
	}
	return f
}

func (r *Reader) unknownKey(k Key, allowed []string) {
	args := map[string]any{"key": keyName(k.Name), "allowed": strings.Join(allowed, ", ")}
	if near := Nearest(k.Name, allowed); near != "" {
		args["near"] = near
		r.ReportAt(k.Span, "problem.unknown_key_near", args)
		return
	}
	r.ReportAt(k.Span, "problem.unknown_key", args)
}

// Get is the value of key, nil when absent.
func (f Fields) Get(key string) *Node {
	if i := slices.Index(f.order, key); i >= 0 {
		return f.values[i]
	}
	return nil
}

// Need is the value of key; its absence is a problem, a value left empty is not.
func (f Fields) Need(key string) *Node {
	v := f.Get(key)
	if v == nil && f.reader != nil {
		f.reader.Report(f.node, "problem.missing_key", map[string]any{"key": key})
	}
	return v
}

// Order is the known keys that are there, as the file has them; nil where there is none.
func (f Fields) Order() []string {
	if len(f.order) == 0 {
		return nil
	}
	return f.order
}

// Entries are the entries of a mapping with free keys. A doubled key is a problem and counts once.
func (r *Reader) Entries(n *Node) []Key {
	if n == nil || n.Kind == Empty {
		return nil
	}
	if n.Kind != Mapping {
		r.Report(n, "problem.expected_mapping", nil)
		return nil
	}
	out := make([]Key, 0, len(n.Keys))
	first := make(map[string]int, len(n.Keys))
	for _, k := range n.Keys {
		if i, doubled := first[k.Name]; doubled {
			r.ReportAt(k.Span, "problem.duplicate_key", duplicate(k.Name, out[i].Span))
			continue
		}
		first[k.Name] = len(out)
		out = append(out, k)
	}
	return out
}

// List is the items of a sequence.
func (r *Reader) List(n *Node) []*Node {
	if n == nil || n.Kind == Empty {
		return nil
	}
	if n.Kind != Sequence {
		r.Report(n, "problem.expected_list", nil)
		return nil
	}
	return n.Items
}

// Text is a scalar as it was typed.
func (r *Reader) Text(n *Node) string {
	if n == nil || n.Kind == Empty {
		return ""
	}
	if n.Kind != Scalar {
		r.Report(n, "problem.expected_text", nil)
		return ""
	}
	return n.Text
}

// Texts is a list of scalars.
func (r *Reader) Texts(n *Node) []string {
	var out []string
	for _, item := range r.List(n) {
		if item.Kind == Empty {
			r.Report(item, "problem.expected_text", nil)
			continue
		}
		if item.Kind == Scalar {
			out = append(out, item.Text)
			continue
		}
		r.Report(item, "problem.expected_text", nil)
	}
	return out
}

// Int is a whole number in decimal digits from least to most.
func (r *Reader) Int(n *Node, least, most int) int {
	s := r.Text(n)
	if s == "" {
		if n != nil && n.Kind == Scalar {
			r.Report(n, "problem.expected_number", nil)
		}
		return 0
	}
	if !wholeNumber(s) {
		r.Report(n, "problem.expected_number", nil)
		return 0
	}
	v, err := strconv.Atoi(s)
	if err != nil || v < least || v > most {
		r.Report(n, "problem.number_range", map[string]any{"least": least, "most": most})
		return 0
	}
	return v
}

// wholeNumber says whether a text is digits, behind a minus or not.
func wholeNumber(s string) bool {
	digits := strings.TrimPrefix(s, "-")
	return digits != "" && strings.Trim(digits, "0123456789") == ""
}

// YesNo is yes or no, true or false.
func (r *Reader) YesNo(n *Node) bool {
	if n == nil || n.Kind == Empty {
		return false
	}
	switch s := r.Text(n); {
	case s == "yes", s == "true":
		return true
	case s == "no", s == "false", n.Kind != Scalar:
		return false
	}
	r.Report(n, "problem.expected_yes_no", nil)
	return false
}

// OneOf is one of the allowed words.
func (r *Reader) OneOf(n *Node, allowed ...string) string {
	if n == nil || n.Kind == Empty {
		return ""
	}
	s := r.Text(n)
	if n.Kind != Scalar || slices.Contains(allowed, s) {
		return s
	}
	args := map[string]any{"allowed": strings.Join(allowed, ", ")}
	if near := Nearest(s, allowed); near != "" {
		args["near"] = near
		r.Report(n, "problem.unknown_word_near", args)
		return ""
	}
	r.Report(n, "problem.unknown_word", args)
	return ""
}

// Report adds a problem at n; a nil node means the file as a whole.
func (r *Reader) Report(n *Node, id string, args map[string]any) {
	if n == nil {
		r.ReportAt(Span{}, id, args)
		return
	}
	r.ReportAt(n.Span, id, args)
}

// ReportAt adds a problem at s.
func (r *Reader) ReportAt(s Span, id string, args map[string]any) {
	r.problems = append(r.problems, Problem{ID: id, Args: args, Span: s})
}

// Problems is what was found so far, sorted.
func (r *Reader) Problems() Problems {
	out := slices.Clone(r.problems)
	out.Sort()
	return out
}

// keyName is a key as a message may show it. A mistyped line can turn any sentence of a file into a key,
// so what does not look like a key is not repeated.
func keyName(name string) string {
	if keyLike(name) {
		return name
	}
	return "…"
}

// keyLike says whether a text is 1 to 64 letters, numbers, dots, hyphens and underscores.
func keyLike(name string) bool {
	for _, r := range name {
		if !unicode.IsLetter(r) && !unicode.IsNumber(r) && !strings.ContainsRune("_.-", r) {
			return false
		}
	}
	return name != "" && utf8.RuneCountInString(name) <= 64
}
