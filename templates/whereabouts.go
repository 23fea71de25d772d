package templates

import (
	"slices"

	"philtrum/forms/place"
	"philtrum/locales"
)

// elsewhere says whether the patient will be in another place than the clinic's after the treatment.
func (f *Facts) elsewhere() bool {
	return f.Visit.Stay.Place != "" && f.Visit.Stay.Place != f.Clinic.Place
}

// whereabouts is the place whose emergency number counts for the patient. Of a place that nobody knows nothing
// is known: the clinic's number would be the wrong one there.
func (f *Facts) whereabouts() place.Place {
	if f.elsewhere() {
		return f.Stay
	}
	return f.Place
}

// givenLips are the lips that were treated, or are planned to be, in the order of the record.
func givenLips(f *Facts) []locales.Value {
	var out []locales.Value
	for _, s := range f.tally().byLip {
		if s.Code != "" {
			out = append(out, term("lip", s.Code))
		}
	}
	return out
}

// mostOnCard is how many lots a card has room for.
const mostOnCard = 2

// cardLots are the first lots of a treatment, each once.
func cardLots(f *Facts) []item {
	lots := lotsOnce(f)
	return lots[:min(len(lots), mostOnCard)]
}

// moreLots is how many lots a card has no room for.
func moreLots(f *Facts) int {
	if n := len(lotsOnce(f)) - mostOnCard; n > 0 {
		return n
	}
	return -1
}

func lotsOnce(f *Facts) []item {
	var out []item
	type lot struct{ product, number string }
	var seen []lot
	items := syringeItems(f)
	for i, s := range f.given().Syringes {
		if l := (lot{s.Product, s.Lot}); !slices.Contains(seen, l) {
			seen = append(seen, l)
			out = append(out, items[i])
		}
	}
	return out
}
