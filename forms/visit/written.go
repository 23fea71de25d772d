package visit

import (
	"regexp"
	"strconv"
	"strings"

	"philtrum/forms/source"
)

// WrittenIn says in which language a sentence of the staff is, where it is not the clinic's: a wish typed as the
// patient said it, a note taken over from another clinic. Nothing is translated; papers name the language.
type WrittenIn struct {
	Where    string // a place of the visit's file: plan.wish, decisions.2.reason (counted from 1)
	Language string // BCP 47
}

// writtenPlaces are the places that hold sentences. N stands for a number from 1.
var writtenPlaces = map[string]func(v Visit, n int) string{
	"plan.wish":                    func(v Visit, _ int) string { return v.Plan.Wish },
	"plan.examination":             func(v Visit, _ int) string { return v.Plan.Examination },
	"plan.examined.rest":           func(v Visit, _ int) string { return v.Plan.Examined.Rest },
	"plan.examined.moving":         func(v Visit, _ int) string { return v.Plan.Examined.Moving },
	"plan.examined.profile":        func(v Visit, _ int) string { return v.Plan.Examined.Profile },
	"plan.examined.earlier_filler": func(v Visit, _ int) string { return v.Plan.Examined.EarlierFiller },
	"plan.examined.scars":          func(v Visit, _ int) string { return v.Plan.Examined.Scars },
	"plan.anaesthetic":             func(v Visit, _ int) string { return v.Plan.Anaesthetic },
	"plan.price":                   func(v Visit, _ int) string { return v.Plan.Price },
	"plan.volume_reason":           func(v Visit, _ int) string { return v.Plan.VolumeReason },
	"decisions.N.reason":           func(v Visit, n int) string { return nth(v.Decisions, n).Reason },
	"met.N.note":                   func(v Visit, n int) string { return nth(v.Met, n).Note },
	"states.N.note":                func(v Visit, n int) string { return nth(v.States, n).Note },
	"treatment.asepsis":            func(v Visit, _ int) string { return v.given().Asepsis },
	"treatment.reaction":           func(v Visit, _ int) string { return v.given().Reaction },
	"treatment.notes":              func(v Visit, _ int) string { return v.given().Notes },
	"review.words":                 func(v Visit, _ int) string { return v.reviewed().Words },
	"review.notes":                 func(v Visit, _ int) string { return v.reviewed().Notes },
	"review.complaint":             func(v Visit, _ int) string { return v.reviewed().Complaint },
}

// WrittenPlaces are the places of a visit's file that may be said to be in another language, in order.
func WrittenPlaces() []string {
	return []string{
		"plan.wish", "plan.examination", "plan.examined.rest", "plan.examined.moving", "plan.examined.profile",
		"plan.examined.earlier_filler", "plan.examined.scars", "plan.anaesthetic", "plan.price", "plan.volume_reason",
		"decisions.N.reason", "met.N.note", "states.N.note", "treatment.asepsis", "treatment.reaction", "treatment.notes",
		"review.words", "review.notes", "review.complaint",
	}
}

func nth[T any](list []T, n int) T {
	if n < 1 || n > len(list) {
		var none T
		return none
	}
	return list[n-1]
}

func (v Visit) given() Given {
	if v.Treatment == nil {
		return Given{}
	}
	return *v.Treatment
}

func (v Visit) reviewed() Reviewed {
	if v.Review == nil {
		return Reviewed{}
	}
	return *v.Review
}

var numbered = regexp.MustCompile(`\.([1-9][0-9]{0,3})\.`)

// TextAt is the sentence at a place, empty where there is none.
func (v Visit) TextAt(where string) string {
	n := 0
	if m := numbered.FindStringSubmatch(where); m != nil {
		n, _ = strconv.Atoi(m[1])
		where = numbered.ReplaceAllString(where, ".N.")
	}
	text, ok := writtenPlaces[where]
	if !ok {
		return ""
	}
	return text(v, n)
}

// LanguageOf is the language in which a sentence of the staff is said to be, empty where nothing says so: then it is
// the clinic's.
func (v Visit) LanguageOf(sentence string) string {
	sentence = strings.TrimSpace(sentence)
	for _, w := range v.WrittenIn {
		if sentence != "" && strings.TrimSpace(v.TextAt(w.Where)) == sentence {
			return w.Language
		}
	}
	return ""
}

// writtenIn reads an entry; a place that may come to hold a sentence later is none too few.
func (v reader) writtenIn(n *source.Node) WrittenIn {
	f := v.Fields(n, "where", "language")
	w := WrittenIn{Language: v.language(f.Need("language"))}
	if where := f.Need("where"); where != nil {
		kind := *where
		kind.Text = numbered.ReplaceAllString(where.Text, ".N.")
		if v.OneOf(&kind, WrittenPlaces()...) != "" {
			w.Where = where.Text
		}
	}
	return w
}

// Written are the places of the visit that hold a sentence, with their numbers, in order.
func (v Visit) Written() (all []string) {
	counts := map[string]int{"decisions": len(v.Decisions), "met": len(v.Met), "states": len(v.States)}
	for _, place := range WrittenPlaces() {
		list, key, numbered := strings.Cut(place, ".N.")
		for n := 1; numbered && n <= counts[list]; n++ {
			if where := list + "." + strconv.Itoa(n) + "." + key; v.TextAt(where) != "" {
				all = append(all, where)
			}
		}
		if !numbered && v.TextAt(place) != "" {
			all = append(all, place)
		}
	}
	return all
}

// IsLanguage says whether a tag is one of BCP 47 by its form.
func IsLanguage(tag string) bool { return languagePattern.MatchString(tag) }

// WrittenNode is written_in as a visit's file holds it; nil: nothing is to be said.
func WrittenNode(list []WrittenIn) *source.Node { return nodes(list) }

// Node is an entry of written_in.
func (w WrittenIn) Node() *source.Node {
	return source.Map("where", text(w.Where), "language", text(w.Language))
}
