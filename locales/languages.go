package locales

import (
	"fmt"
	"io/fs"
	"slices"
	"strings"

	"philtrum/forms/source"
	"philtrum/locales/cldr"
)

// LanguagesFile names the file that lists the languages.
const LanguagesFile = "languages.yaml"

// listed is a language of languages.yaml with the date style of each of its regions.
type listed struct {
	Language
	styles []cldr.Style
	engine func() (*engine, error)
}

// loadLanguages reads languages.yaml. The error is a source.Problems unless the file cannot be read.
func loadLanguages(fsys fs.FS) ([]listed, error) {
	data, err := fs.ReadFile(fsys, LanguagesFile)
	if err != nil {
		return nil, fmt.Errorf("list of languages: %w", err)
	}
	all, problems := reread(LanguagesFile, data, readLanguages)
	return all, problems.Err()
}

var languageKeys = []string{"name", "direction", "digits", "formula", "regions"}

func readLanguages(entries []flatEntry, r *source.Reader) []listed {
	var all []listed
	for _, e := range entries {
		all = append(all, readLanguage(e, r))
	}
	if len(all) == 0 {
		r.ReportAt(source.Span{File: LanguagesFile}, "problem.languages_none", nil)
	}
	return all
}

func readLanguage(e flatEntry, r *source.Reader) listed {
	l := listed{Language: Language{Tag: e.key}}
	if _, err := cldr.Tag(e.key); err != nil {
		r.ReportAt(e.span, "problem.language_tag", nil)
	}
	seen := map[string]bool{}
	for _, f := range e.fields {
		seen[f.key] = true
		switch f.key {
		case "name":
			l.Name = f.text
		case "direction":
			l.Direction = word(f, []string{"ltr", "rtl"}, r)
		case "digits":
			l.Digits = word(f, []string{"latn", "arab", "deva"}, r)
		case "formula":
			l.Formula = f.text
		case "regions":
			l.readRegions(f, r)
		default:
			unknownKey(f, languageKeys, r)
		}
	}
	for _, key := range languageKeys {
		if !seen[key] {
			r.ReportAt(e.span, "problem.missing_key", map[string]any{"key": key})
		}
	}
	if len(l.Regions) > 0 {
		l.Region, l.DateStyle = l.Regions[0], l.styles[0]
	}
	return l
}

func (l *listed) readRegions(f flatField, r *source.Reader) {
	if len(f.pairs) == 0 {
		r.ReportAt(f.at, "problem.expected_mapping", nil)
	}
	for _, p := range f.pairs {
		if _, err := cldr.For(p.key, "latn"); err != nil {
			r.ReportAt(p.span, "problem.language_region", map[string]any{"known": strings.Join(cldr.Tags(), ", ")})
		}
		if allowed := styles[KindDate]; !slices.Contains(allowed, p.value) {
			unknownWord(p, p.value, allowed, r)
		}
		l.Regions = append(l.Regions, p.key)
		l.styles = append(l.styles, cldr.Style(p.value))
	}
}

// word is a field's text, one of the allowed words.
func word(f flatField, allowed []string, r *source.Reader) string {
	if !slices.Contains(allowed, f.text) {
		unknownWord(flatPair{span: f.at}, f.text, allowed, r)
	}
	return f.text
}

// Names says whether a tag is the language's own or that of one of its regions, capitals aside.
func Names(l Language, tag string) bool {
	named := func(t string) bool { return strings.EqualFold(t, tag) }
	return named(l.Tag) || slices.ContainsFunc(l.Regions, named)
}
