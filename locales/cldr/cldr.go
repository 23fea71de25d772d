// Package cldr writes dates, times, numbers, quantities and lists the way a language does.
//
// Everything follows the Unicode Common Locale Data Repository, version 48: tables.go is written from it by
// tables.mjs, the plural rules stand in plural.go. Where the papers need something else, it stands in
// trade.go with the reason. Nothing here reads a clock: days and times are given.
package cldr

import (
	"fmt"
	"strings"

	"golang.org/x/text/language"
)

//go:generate sh -c "node tables.mjs > tables.go && gofmt -w tables.go"

// Locale writes for one language and region. Its methods are safe for concurrent use.
type Locale struct {
	tag                              string
	region                           string // the tag that was asked for
	months, monthsAlone, monthsShort [12]string
	weekdays, weekdaysShort          [7]string // Sunday first
	dates                            [4]string // full, long, medium, short, as patterns of UTS 35
	monthYear                        [2]string // long, medium
	clock                            string
	halves                           [2]string    // morning, afternoon, where the clock has twelve hours
	dateTimes                        [4]string    // {1} the date, {0} the time
	ranges                           [4][3]string // by style: within a month, within a year, over years
	clockRanges                      [2]string    // within a half of the day, over both
	decimal, group, minus            string
	minGroup, secondGroup            int
	and, or                          [3]string // between two; between some; before the last of several
	units                            []unitForms

	digits *[10]string // nil for 0 to 9
}

type unitForms struct {
	unit  Unit
	long  bool
	forms forms
}

// forms are patterns by plural category; other always stands.
type forms struct{ zero, one, two, few, many, other string }

func (f forms) of(c Category) string {
	s := ""
	switch c {
	case Zero:
		s = f.zero
	case One:
		s = f.one
	case Two:
		s = f.two
	case Few:
		s = f.few
	case Many:
		s = f.many
	}
	if s == "" {
		s = f.other
	}
	return s
}

// LanguageTag is a parsed BCP 47 language tag.
type LanguageTag = language.Tag

// Tag parses a BCP 47 language tag.
func Tag(tag string) (LanguageTag, error) { return language.Parse(tag) }

// For gives the locale that serves a BCP 47 tag: the longest known prefix of it ("es-ES": es), written with
// the digits of a CLDR numbering system ("latn", "arab", "deva"). English without a region is en-GB. A tag
// or numbering system that is not known is an error.
func For(tag, digits string) (*Locale, error) {
	for t := tag; t != ""; t = parent(t) {
		if strings.EqualFold(t, "en") {
			t = "en-GB"
		}
		for i := range tables {
			if strings.EqualFold(tables[i].tag, t) {
				l := tables[i]
				l.region = tag
				l.forTrade()
				return &l, l.number(digits)
			}
		}
	}
	return nil, fmt.Errorf("dates and numbers of language %q are not known", tag)
}

func parent(tag string) string {
	i := strings.LastIndexByte(tag, '-')
	if i < 0 {
		return ""
	}
	return tag[:i]
}

// Tags lists the locales that are known.
func Tags() []string {
	var tags []string
	for i := range tables {
		tags = append(tags, tables[i].tag)
	}
	return tags
}

// Tag names the entry of CLDR that l follows.
func (l *Locale) Tag() string { return l.tag }
