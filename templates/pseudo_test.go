package templates_test

import (
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"

	"philtrum/forms/visit"
	"philtrum/locales"
)

// letters writes English in Arabic letters: no sense to anyone, but of a length, direction and shaping that pages
// have to stand.
var letters = strings.NewReplacer("a", "ا", "b", "ب", "c", "ك", "d", "د", "e", "ي", "f", "ف", "g", "غ", "h", "ه", "i", "ي",
	"j", "ج", "k", "ق", "l", "ل", "m", "م", "n", "ن", "o", "و", "p", "ط", "q", "ق", "r", "ر", "s", "س", "t", "ت", "u", "و",
	"v", "ف", "w", "و", "x", "خ", "y", "ي", "z", "ز")

// withArabic is the program's catalogue and, where it has none, an Arabic one made from the English.
func withArabic(t testing.TB) *locales.Catalogue {
	t.Helper()
	fsys := fstest.MapFS{}
	err := fs.WalkDir(locales.Default, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := fs.ReadFile(locales.Default, name)
		if tag, file, _ := strings.Cut(name, "/"); tag == "ar" {
			return err
		} else if tag == "en" {
			fsys["ar/"+file] = &fstest.MapFile{Data: []byte(inArabic(string(data)))}
		}
		fsys[name] = &fstest.MapFile{Data: data}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	delete(fsys, "ar/glossary.yaml")
	c, err := locales.Load(fsys)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// inArabic rewrites the texts of a message file and leaves its keys, notes and declarations.
func inArabic(file string) string {
	var b strings.Builder
	mode, form := "", ""
	for line := range strings.Lines(file) {
		body := strings.TrimLeft(line, " ")
		indent := len(line) - len(body)
		key, value, isKey := strings.Cut(strings.TrimRight(body, "\n"), ":")
		switch {
		case strings.TrimSpace(line) == "" || body[0] == '#':
			continue
		case indent == 0 && isKey:
			mode, form = "text", ""
			b.WriteString(key + ":" + letterwise(value) + "\n")
			continue
		case indent == 2 && isKey && !strings.Contains(key, " ") && mode != "folded":
			mode = map[bool]string{true: "text"}[key == "text" || key == "other"]
			form = map[bool]string{true: key}[key == "one"]
			switch {
			case form != "": // the other form stands for all
			case key == "other":
				for _, category := range []string{"zero", "one", "two", "few", "many", "other"} {
					b.WriteString("  " + category + ":" + letterwise(value) + "\n")
				}
			case mode == "text":
				b.WriteString("  text:" + letterwise(value) + "\n")
			case key == "args" || key == "by":
				b.WriteString(line)
				mode = "keep"
			}
			continue
		}
		switch mode {
		case "text":
			b.WriteString(line[:indent] + letterwise(strings.TrimRight(body, "\n")) + "\n")
		case "keep":
			b.WriteString(line)
		}
	}
	return b.String()
}

// letterwise leaves placeholders and escapes as they are.
func letterwise(text string) string {
	var b strings.Builder
	for text != "" {
		i := strings.IndexAny(text, `{\`)
		if i < 0 {
			break
		}
		end := i + 6
		if text[i] == '{' {
			end = i + 1 + strings.IndexByte(text[i:], '}')
		} else if i+1 < len(text) && text[i+1] != 'u' {
			end = i + 2
		}
		end = min(max(end, i+1), len(text))
		b.WriteString(letters.Replace(strings.ToLower(text[:i])) + text[i:end])
		text = text[end:]
	}
	return b.String() + letters.Replace(strings.ToLower(text))
}

func attends() *visit.InterpreterAttends {
	return &visit.InterpreterAttends{Name: "Petra Lind", Mode: "phone"}
}
