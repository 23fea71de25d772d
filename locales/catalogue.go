// Package locales holds every sentence that a person reads, in every language, and turns a message and its
// arguments into spans.
//
// A [Catalogue] is read from a file system: languages.yaml and one folder per language with one file per
// group of messages. Groups are read when they are first used. A [Printer] writes messages of one language
// with the dates and numbers of one region; it never falls back to another language, and every argument
// has to fit what the message declares. README.md describes the files.
package locales

import (
	"embed"
	"fmt"
	"io/fs"
	"strings"
	"sync"

	"philtrum/locales/cldr"
)

//go:embed languages.yaml */*.yaml
var embedded embed.FS

// Default holds the languages that come with the program.
var Default fs.FS = embedded

// Language is one language as one region writes it.
type Language struct {
	Tag       string // BCP 47 of the folder: "en"
	Region    string // BCP 47 with region: "en-GB"
	Name      string // in the language itself
	Direction string // "ltr" or "rtl"
	Digits    string // numbering system of CLDR: "latn"
	Formula   string // readability formula, "none" where no validated one exists
	DateStyle cldr.Style
	// DateOrder is in which order day, month and year stand in figures: "dmy", "mdy" or "ymd". It hangs on the region.
	DateOrder string
	// Regions are all regions served, the first one the language's usual one.
	Regions []string
}

// Catalogue gives printers. It is safe for concurrent use.
type Catalogue struct {
	fsys      fs.FS
	languages []listed
	groups    sync.Map // groupKey -> *groupOnce
}

type groupKey struct{ tag, group string }

type groupOnce struct {
	once sync.Once
	g    *group
	err  error
}

// Load reads the list of languages; messages are read when they are used. A mistake in the list is a
// source.Problems error.
func Load(fsys fs.FS) (*Catalogue, error) {
	all, err := loadLanguages(fsys)
	if err != nil {
		return nil, err
	}
	c := &Catalogue{fsys: fsys}
	for _, l := range all {
		if len(groupsOf(fsys, l.Tag)) > 0 {
			l.engine = sync.OnceValues(func() (*engine, error) { return newEngine(l.Tag) })
			c.languages = append(c.languages, l)
		}
	}
	return c, nil
}

// groupsOf lists the message groups of a language, sorted.
func groupsOf(fsys fs.FS, tag string) []string {
	files, err := fs.ReadDir(fsys, tag)
	if err != nil {
		return nil
	}
	var groups []string
	for _, f := range files {
		name, isYAML := strings.CutSuffix(f.Name(), ".yaml")
		if isYAML && !f.IsDir() && name != glossaryName {
			groups = append(groups, name)
		}
	}
	return groups
}

const glossaryName = "glossary"

// Languages lists the languages that have messages, in the order of languages.yaml, each as its first
// region writes it.
func (c *Catalogue) Languages() []Language {
	out := make([]Language, len(c.languages))
	for i, l := range c.languages {
		out[i] = l.Language
	}
	return out
}

// UnknownLanguage is the error for a language that the catalogue does not have.
type UnknownLanguage struct {
	Tag   string
	Known []string // every tag that a printer can be had for
}

func (e *UnknownLanguage) Error() string {
	return fmt.Sprintf("no messages in language %q; there are %s", e.Tag, strings.Join(e.Known, ", "))
}

// Printer gives the printer for a language ("en", its first region then), a region ("en-US"), or any other BCP
// 47 tag that one of them serves ("es-MX", see [cldr.Serves]); which one that is stands in its Language. Tags
// are compared without regard to case. The error is an *UnknownLanguage: no other language ever steps in.
func (c *Catalogue) Printer(tag string) (*Printer, error) {
	for _, l := range c.languages {
		for i, region := range l.Regions {
			if strings.EqualFold(tag, region) || i == 0 && strings.EqualFold(tag, l.Tag) {
				return newPrinter(c, l, i)
			}
		}
	}
	if region, ok := cldr.Serves(tag, c.regions()); ok {
		return c.Printer(region)
	}
	e := &UnknownLanguage{Tag: tag}
	for _, l := range c.languages {
		e.Known = append(e.Known, l.Tag)
		e.Known = append(e.Known, l.Regions...)
	}
	return nil, e
}

func (c *Catalogue) regions() []string {
	var regions []string
	for _, l := range c.languages {
		regions = append(regions, l.Regions...)
	}
	return regions
}

// load gives a language's group, opening it on first use.
func (c *Catalogue) load(e *engine, tag, name string) (*group, error) {
	key := groupKey{tag, name}
	v, ok := c.groups.Load(key)
	if !ok {
		v, _ = c.groups.LoadOrStore(key, new(groupOnce))
	}
	o := v.(*groupOnce)
	o.once.Do(func() { o.g, o.err = readGroup(c.fsys, tag, name, e) })
	return o.g, o.err
}
