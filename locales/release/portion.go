package release

import (
	"errors"
	"io/fs"
	"slices"
	"strings"

	"philtrum/locales"
)

// Portions that are taken out of their groups, because a wrong word in them does the most harm: what makes a
// patient call, on whichever paper it stands, and what a patient ticks and says by signing. They are released
// before everything else.
const (
	Warning = "warning"
	Choice  = "choice"
)

// First are the portions that are released before any other, in this order.
func First() []string { return []string{Warning, Choice} }

// apart says which messages belong to a portion of their own: those whose id begins with one of these.
var apart = [...]struct {
	portion  string
	prefixes []string
}{
	{Warning, []string{"aftercare.call.", "aftercare.now.", "aftercare.signs.", "card.emergency", "card.emergency_blank", "card.signs",
		"dissolving.now.", "dissolving.signs.", "information.after.call", "information.after.emergency",
		"information.after.emergency_unknown", "recall.danger.", "travel.call."}},
	{Choice, []string{"consent.choices.", "consent.says.", "consent.sign.", "dissolving.choices.", "dissolving.says.",
		"paper.yes", "paper.no", "paper.not_sure", "questionnaire.meaning", "questionnaire.page_read"}},
}

// PortionOf is the portion in which a message is released: its group, unless it is one of the first ones.
func PortionOf(id string) string {
	if own := apartOf(id); own != "" {
		return own
	}
	return locales.GroupOf(id)
}

// apartOf is the portion that a message is taken out into, empty for one that stays in its group.
func apartOf(id string) string {
	for _, a := range apart {
		for _, prefix := range a.prefixes {
			if id == prefix || strings.HasSuffix(prefix, ".") && strings.HasPrefix(id, prefix) {
				return a.portion
			}
		}
	}
	return ""
}

// PortionsOf are the portions that texts of some groups belong to: the first ones first, the rest in order.
func PortionsOf(groups []string) []string {
	var out []string
	for _, a := range apart {
		if slices.ContainsFunc(a.prefixes, func(p string) bool { return slices.Contains(groups, locales.GroupOf(p)) }) {
			out = append(out, a.portion)
		}
	}
	rest := slices.Clone(groups)
	slices.Sort(rest)
	return append(out, slices.Compact(rest)...)
}

// GroupsOf are the groups that a portion's messages stand in.
func GroupsOf(portion string) []string {
	for _, a := range apart {
		if a.portion == portion {
			var groups []string
			for _, p := range a.prefixes {
				groups = append(groups, locales.GroupOf(p))
			}
			slices.Sort(groups)
			return slices.Compact(groups)
		}
	}
	return []string{portion}
}

// Messages gives the messages of a portion in a language, in the order of their files. A group that is not there
// has none.
func Messages(fsys fs.FS, language, portion string) ([]locales.Message, error) {
	var out []locales.Message
	for _, group := range GroupsOf(portion) {
		all, err := locales.Messages(fsys, language, group)
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return nil, err
		}
		for _, m := range all {
			if PortionOf(m.ID) == portion {
				out = append(out, m)
			}
		}
	}
	return out, nil
}
