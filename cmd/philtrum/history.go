package main

import (
	"strings"

	"github.com/spf13/cobra"

	"philtrum/cmd/philtrum/desk"
	"philtrum/forms/measure"
	"philtrum/forms/visit"
	"philtrum/locales"
)

// person finds the patient of an argument, or asks for name and date of birth: neither may be an argument.
func (s *session) person(d *desk.Desk, args []string) (string, error) {
	if len(args) > 1 {
		return "", wrongUse{"cmd.too_many", nil}
	}
	if len(args) == 1 {
		id, problems, err := d.Person(args[0])
		if err == nil && len(problems) > 0 {
			err = s.refuse(d, problems)
		}
		return id, err
	}
	name, err := s.prompt().Text(s.voice.text("search.person.name", nil))
	if err != nil {
		return "", err
	}
	text, err := s.prompt().Text(s.voice.text("search.person.born", nil))
	if err != nil {
		return "", err
	}
	born, err := measure.ParseDate(strings.TrimSpace(text))
	if err != nil {
		return "", wrongUse{"search.which_day", nil}
	}
	ids, err := d.NamedPerson(name, born)
	switch {
	case err != nil:
		return "", err
	case len(ids) == 0:
		s.voice.say("search.person.nobody", nil)
		return "", ended{statusHeld}
	case len(ids) > 1:
		s.voice.say("search.person.several", locales.Args{"numbers": s.list(ids)})
		return "", ended{statusHeld}
	}
	return ids[0], nil
}

// deskAndPerson opens the desk and finds the patient whom a command is about.
func (s *session) deskAndPerson(args []string) (*desk.Desk, string, error) {
	d, err := s.deskAfterNeedle()
	if err != nil {
		return nil, "", err
	}
	id, err := s.person(d, args)
	return d, id, err
}

// newHistory shows what was done for a patient.
func (s *session) newHistory() *cobra.Command {
	var asJSON bool
	c := s.command("history [NUMBER]", func(_ *cobra.Command, args []string) error {
		d, id, err := s.deskAndPerson(args)
		if err != nil {
			return err
		}
		h, err := d.History(id)
		if err != nil {
			return err
		}
		s.tellSearched(d)
		if asJSON {
			err = s.voice.json(historyAsJSON(h))
		} else {
			s.printHistory(d, h)
		}
		if err == nil && len(h.Problems) > 0 {
			return s.refuse(d, h.Problems)
		}
		return err
	})
	c.Flags().BoolVar(&asJSON, "json", false, s.voice.text("cmd.flag.json", nil))
	return c
}

func (s *session) printHistory(d *desk.Desk, h desk.History) {
	s.voice.result(s.voice.text("search.history.head", locales.Args{"number": locales.Text(h.Number), "initials": locales.Text(h.Initials), "n": locales.Count(len(h.Visits))}))
	for _, v := range h.Visits {
		s.voice.result("")
		s.voice.result(s.voice.text("search.history.visit", locales.Args{
			"day": day(v.On), "kind": locales.Ref("term.visit." + string(v.Kind)), "by": locales.Text(orDash(v.By)), "visit": locales.Text(v.Visit)}))
		if !v.Treated {
			s.voice.result("  " + s.voice.text("search.history.untreated", nil))
		}
		for _, p := range v.Products {
			s.voice.result("  " + s.voice.text("search.lot.product", locales.Args{"product": locales.Text(visible(productName(d, p.Product))), "lot": locales.Text(orDash(p.Lot))}))
		}
		s.printSums(v.Zones, v.All, v.Unread)
		if v.Dissolving {
			s.voice.result("  " + s.voice.text("search.history.dissolved", nil))
		}
		if v.Reaction != "" {
			s.voice.result("  " + s.voice.text("search.history.reaction", locales.Args{"text": locales.Text(visible(v.Reaction))}))
		}
		if v.Event != nil {
			s.voice.result("  " + s.voice.text("search.history.event", locales.Args{"text": locales.Text(visible(eventText(*v.Event)))}))
		}
		if v.Amended > 0 {
			s.voice.result("  " + s.voice.text("search.history.amended", locales.Args{"n": locales.Count(v.Amended)}))
		}
	}
	s.voice.result("")
	s.voice.result(s.voice.text("search.history.all", nil))
	s.printSums(h.Course, h.All, h.Unread)
	s.voice.result("  " + s.voice.text("search.history.year", locales.Args{"volume": locales.Volume(h.Year.String())}))
}

func eventText(e visit.Event) string {
	var parts []string
	for _, part := range []string{e.Signs, e.Done, e.Outcome} {
		if part != "" {
			parts = append(parts, part)
		}
	}
	return orDash(strings.Join(parts, "; "))
}

func (s *session) printSums(zones []visit.Sum, all measure.Volume, unread int) {
	for _, z := range zones {
		s.voice.result("  " + s.voice.text("search.lot.zone", locales.Args{"zone": s.zone(z.Code), "volume": locales.Volume(z.Volume.String())}))
	}
	if !all.IsZero() {
		s.voice.result("  " + s.voice.text("search.lot.sum", locales.Args{"volume": locales.Volume(all.String())}))
	}
	if unread > 0 {
		s.voice.result("  " + s.voice.text("search.history.unread", locales.Args{"n": locales.Count(unread)}))
	}
}

// historyJSON is a history as programs read it; README.md documents the keys.
type historyJSON struct {
	Patient string          `json:"patient"`
	Visits  []pastVisitJSON `json:"visits"`
	Zones   []zoneJSON      `json:"zones"`
	Volume  string          `json:"volume_ml"`
	Year    string          `json:"volume_year_ml"`
	Unread  int             `json:"volumes_unread"`
}

type pastVisitJSON struct {
	Visit      string        `json:"visit"`
	Kind       visit.Kind    `json:"kind"`
	Date       string        `json:"date"`
	By         string        `json:"by,omitempty"`
	Treated    bool          `json:"treated"`
	Products   []productJSON `json:"products"`
	Zones      []zoneJSON    `json:"zones"`
	Volume     string        `json:"volume_ml"`
	Unread     int           `json:"volumes_unread"`
	Dissolving bool          `json:"dissolving"`
	Reaction   string        `json:"reaction,omitempty"`
	Event      string        `json:"event,omitempty"`
	Amended    int           `json:"amendments"`
}

type productJSON struct {
	Product string `json:"product"`
	Lot     string `json:"lot,omitempty"`
}

func historyAsJSON(h desk.History) historyJSON {
	sums := func(list []visit.Sum) []zoneJSON {
		zones := []zoneJSON{}
		for _, z := range list {
			zones = append(zones, zoneJSON{Zone: z.Code, Volume: z.Volume.String()})
		}
		return zones
	}
	out := historyJSON{Patient: h.Number, Visits: []pastVisitJSON{}, Zones: sums(h.Course), Volume: h.All.String(), Year: h.Year.String(), Unread: h.Unread}
	for _, v := range h.Visits {
		item := pastVisitJSON{Visit: v.Visit, Kind: v.Kind, Date: v.On.String(), By: v.By, Treated: v.Treated, Products: []productJSON{}, Zones: sums(v.Zones),
			Volume: v.All.String(), Unread: v.Unread, Dissolving: v.Dissolving, Reaction: v.Reaction, Amended: v.Amended}
		for _, p := range v.Products {
			item.Products = append(item.Products, productJSON{p.Product, p.Lot})
		}
		if v.Event != nil {
			item.Event = eventText(*v.Event)
		}
		out.Visits = append(out.Visits, item)
	}
	return out
}
