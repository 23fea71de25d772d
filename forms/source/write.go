package source

import (
	"fmt"
	"strings"
	"unicode"
)

// Write is n as YAML in block style, indented by two spaces, lines ended by LF. Parsing it again gives
// the same tree but for places and for quotes that a text turned out to need.
func Write(n *Node) []byte {
	var w strings.Builder
	switch {
	case n == nil || n.Kind == Empty:
		return nil
	case n.Kind == Scalar:
		w.WriteString(scalarText(n, 1) + "\n")
	case inline(n):
		w.WriteString(inlineText(n) + "\n")
	default:
		writeBlock(&w, n, 0)
	}
	return []byte(w.String())
}

// inline says whether n stands on the line of its key or dash.
func inline(n *Node) bool {
	return n.Kind == Scalar || n.Kind == Empty || len(n.Keys) == 0 && len(n.Items) == 0
}

func inlineText(n *Node) string {
	switch n.Kind {
	case Mapping:
		return "{}"
	case Sequence:
		return "[]"
	}
	return ""
}

// writeBlock writes a mapping or sequence that is not empty, each line indented by indent spaces.
func writeBlock(w *strings.Builder, n *Node, indent int) {
	pad := strings.Repeat(" ", indent)
	for _, k := range n.Keys {
		w.WriteString(pad + keyText(k.Name) + ":")
		writeValue(w, k.Value, indent)
	}
	for _, item := range n.Items {
		if item.Kind == Mapping && len(item.Keys) > 0 {
			var inner strings.Builder
			writeBlock(&inner, item, indent+2)
			w.WriteString(pad + "- " + strings.TrimLeft(inner.String(), " "))
			continue
		}
		w.WriteString(pad + "-")
		writeValue(w, item, indent)
	}
}

// writeValue writes what follows a colon or dash that stands in a line of the given indent.
func writeValue(w *strings.Builder, n *Node, indent int) {
	switch {
	case n == nil || n.Kind == Empty:
		w.WriteString("\n")
	case n.Kind == Scalar:
		w.WriteString(" " + scalarText(n, indent+2) + "\n")
	case inline(n):
		w.WriteString(" " + inlineText(n) + "\n")
	default:
		w.WriteString("\n")
		writeBlock(w, n, indent+2)
	}
}

// scalarText is a scalar in the style that reads best: as it is, as a block, or in quotes.
func scalarText(n *Node, indent int) string {
	switch {
	case n.Quoted && !strings.Contains(n.Text, "\n"):
		return quote(n.Text)
	case plainFits(n.Text):
		return n.Text
	case indent >= 2 && blockFits(n.Text):
		return block(n.Text, indent)
	}
	return quote(n.Text)
}

func keyText(name string) string {
	if plainFits(name) {
		return name
	}
	return quote(name)
}

// plainFits says whether s means itself without quotes. It is stricter than YAML needs: what is quoted
// once too often still reads the same.
func plainFits(s string) bool {
	if s == "" || strings.HasSuffix(s, ":") || strings.Contains(s, ": ") || strings.Contains(s, " #") {
		return false
	}
	runes := []rune(s)
	for i, r := range runes {
		letter := unicode.IsLetter(r) || unicode.IsDigit(r)
		switch {
		case letter, unicode.IsMark(r) && i > 0:
		case i > 0 && i < len(runes)-1 && strings.ContainsRune(" ()%+,'’–", r):
		case i > 0 && strings.ContainsRune("._-/:;@", r):
		default:
			return false
		}
	}
	return true
}

// blockFits says whether s can stand as a literal block and come back unchanged.
func blockFits(s string) bool {
	if !strings.Contains(s, "\n") || strings.HasSuffix(s, "\n\n") || strings.HasPrefix(s, "\n") {
		return false
	}
	for _, line := range strings.Split(strings.TrimSuffix(s, "\n"), "\n") {
		if strings.HasPrefix(line, " ") || strings.HasSuffix(line, " ") {
			return false
		}
		for _, r := range line {
			if !unicode.IsPrint(r) {
				return false
			}
		}
	}
	return true
}

func block(s string, indent int) string {
	header := "|-"
	if strings.HasSuffix(s, "\n") {
		header = "|"
	}
	out := []string{header}
	for _, line := range strings.Split(strings.TrimSuffix(s, "\n"), "\n") {
		if line != "" {
			line = strings.Repeat(" ", indent) + line
		}
		out = append(out, line)
	}
	return strings.Join(out, "\n")
}

// quote is s in double quotes; whatever is not plainly printable is escaped.
func quote(s string) string {
	var w strings.Builder
	w.WriteByte('"')
	for _, r := range s {
		switch {
		case r == '"' || r == '\\':
			w.WriteString("\\" + string(r))
		case r == '\n':
			w.WriteString("\\n")
		case r == '\t':
			w.WriteString("\\t")
		case unicode.IsPrint(r) || unicode.Is(unicode.Cf, r) && r != 0xfeff:
			w.WriteRune(r)
		case r > 0xffff:
			fmt.Fprintf(&w, "\\U%08X", r)
		default:
			fmt.Fprintf(&w, "\\u%04X", r)
		}
	}
	w.WriteByte('"')
	return w.String()
}
