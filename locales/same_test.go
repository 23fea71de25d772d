package locales

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"
)

var (
	placeholder = regexp.MustCompile(`\{[a-z0-9_]+\}`)
	grouped     = regexp.MustCompile(`(\d)[ \x{00a0}\x{202f}.,](\d{3})\b`)
	figure      = regexp.MustCompile(`\d+(?:[.,]\d+)*`)
)

// figures are the numbers that a text writes in digits, in order of size, without the habits of a language.
func figures(text string) []string {
	text = placeholder.ReplaceAllString(text, "")
	for grouped.MatchString(text) {
		text = grouped.ReplaceAllString(text, "$1$2")
	}
	list := figure.FindAllString(text, -1)
	for i := range list {
		list[i] = strings.ReplaceAll(list[i], ",", ".")
	}
	slices.Sort(list)
	return list
}

// A number in a translation is a number of its source: no dose, day or share is another one. Where a language says
// a number in a word, or names a day besides, it stands in the list.
func TestNumbersAreThoseOfTheSource(t *testing.T) {
	source := texts(t)["en"]
	var lines []string
	offered(t, func(tag string, m Message) {
		from, ok := source[m.ID]
		text := m.Forms[len(m.Forms)-1].Text
		if want, got := figures(from), figures(text); ok && !slices.Equal(want, got) {
			lines = append(lines, fmt.Sprintf("%s %s: %s, source %s", tag, m.ID, strings.Join(got, " "), strings.Join(want, " ")))
		}
	})
	asReviewed(t, "numbers.txt", lines)
}

// A text that two languages share, word for word, is a short one that is right in both. Another one stands in the
// wrong file: a sentence that was swapped, however short it is.
func TestTextsThatLanguagesShare(t *testing.T) {
	all := texts(t)
	tags := languageTags(t)
	var lines []string
	for _, id := range sortedKeys(all[tags[0]]) {
		if verbatim(id) {
			continue
		}
		sharing := map[string][]string{}
		for _, tag := range tags {
			text := all[tag][id]
			if strings.ContainsFunc(placeholder.ReplaceAllString(text, ""), unicode.IsLetter) {
				sharing[text] = append(sharing[text], tag)
			}
		}
		for _, text := range sortedKeys(sharing) {
			if len(sharing[text]) > 1 {
				lines = append(lines, fmt.Sprintf("%s: %s", id, strings.Join(sharing[text], " ")))
			}
		}
	}
	asReviewed(t, "shared.txt", lines)
}

// Two texts of one place, such as the answers to a question, that differ in the source differ in every language: two
// boxes never say the same.
func TestTextsOfAPlaceStayApart(t *testing.T) {
	all := texts(t)
	source := all["en"]
	var lines []string
	for tag, messages := range all {
		places := map[string][]string{}
		for _, id := range sortedKeys(messages) {
			place := id[:strings.LastIndex(id, ".")]
			places[place] = append(places[place], id)
		}
		for _, ids := range places {
			for i, a := range ids {
				for _, b := range ids[i+1:] {
					if messages[a] == messages[b] && source[a] != source[b] {
						lines = append(lines, fmt.Sprintf("%s: %s, %s", tag, a, b))
					}
				}
			}
		}
	}
	asReviewed(t, "alike.txt", lines)
}

// texts are the last forms of all messages, by language and id.
func texts(t *testing.T) map[string]map[string]string {
	t.Helper()
	all := map[string]map[string]string{}
	offered(t, func(tag string, m Message) {
		if all[tag] == nil {
			all[tag] = map[string]string{}
		}
		all[tag][m.ID] = m.Forms[len(m.Forms)-1].Text
	})
	return all
}

func languageTags(t *testing.T) []string {
	t.Helper()
	c, err := Load(Default)
	if err != nil {
		t.Fatal(err)
	}
	var tags []string
	for _, l := range c.Languages() {
		tags = append(tags, l.Tag)
	}
	return tags
}

// asReviewed holds lines against a list that somebody has gone over.
func asReviewed(t *testing.T, name string, lines []string) {
	t.Helper()
	slices.Sort(lines)
	path := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(path, []byte(strings.Join(lines, "\n")+"\n"), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	known := strings.Split(strings.TrimSuffix(string(data), "\n"), "\n")
	for _, line := range lines {
		if !slices.Contains(known, line) {
			t.Errorf("new: %s; if it is right, write %s anew with -update", line, name)
		}
	}
	for _, line := range known {
		if !slices.Contains(lines, line) {
			t.Errorf("gone: %s; write %s anew with -update", line, name)
		}
	}
}
