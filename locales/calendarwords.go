package locales

import (
	"time"

	"philtrum/locales/cldr"
)

// MonthNames are the names of the months in every language that is offered, alone, within a date and short, with
// the month: for reading dates that somebody else has written.
func (c *Catalogue) MonthNames() (map[string]time.Month, error) {
	names := map[string]time.Month{}
	for _, l := range c.languages {
		locale, err := cldr.For(l.Tag, l.Digits)
		if err != nil {
			return nil, err
		}
		for m := time.January; m <= time.December; m++ {
			for _, name := range locale.MonthNames(m) {
				names[name] = m
			}
		}
	}
	return names, nil
}

// DayInBoth writes a day in full with that of the other calendar that the region reads by, empty where it reads by no
// other.
func (p *Printer) DayInBoth(year, month, day int) string {
	d := cldr.Day{Y: year, M: month, D: day}
	other := p.locale.Beside(d)
	if other == "" {
		return ""
	}
	return p.locale.Date(d, cldr.Full) + " (" + other + ")"
}
