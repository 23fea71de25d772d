package main

import (
	"encoding/csv"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"philtrum/cmd/philtrum/desk"
	"philtrum/locales"
)

// lotFlags are how `lot` is asked and answers.
type lotFlags struct {
	device                                            string
	csv, json, names, letters, possible, whole, large bool
	to                                                string
}

// newLot answers who had a lot.
func (s *session) newLot() *cobra.Command {
	var f lotFlags
	c := s.command("lot LOT", func(_ *cobra.Command, args []string) error {
		if len(args) != 1 {
			return wrongUse{"search.lot.which", nil}
		}
		d, err := s.deskAfterNeedle()
		if err != nil {
			return err
		}
		how := desk.Quick
		if f.whole || f.letters {
			how = desk.Whole
		}
		a, err := d.Lot(args[0], f.device, how)
		if isAbout(err, desk.ErrNoLot) {
			return wrongUse{"search.lot.which", nil}
		}
		if err != nil {
			return err
		}
		s.tellSearched(d)
		if f.letters {
			return s.letters(d, a, f)
		}
		return s.printLot(d, a, f)
	})
	flags := c.Flags()
	flags.StringVar(&f.device, "device", "", s.voice.text("search.flag.device", nil))
	flags.BoolVar(&f.names, "names", false, s.voice.text("search.flag.names", nil))
	flags.BoolVar(&f.csv, "csv", false, s.voice.text("search.flag.csv", nil))
	flags.BoolVar(&f.json, "json", false, s.voice.text("cmd.flag.json", nil))
	flags.BoolVar(&f.letters, "letters", false, s.voice.text("search.flag.letters", nil))
	flags.BoolVar(&f.possible, "possible", false, s.voice.text("search.flag.possible", nil))
	flags.BoolVar(&f.whole, "whole", false, s.voice.text("search.flag.whole", nil))
	flags.BoolVar(&f.large, "large", false, s.voice.text("cmd.flag.large", nil))
	flags.StringVar(&f.to, "to", "", s.voice.text("cmd.flag.to", nil))
	return c
}

func (s *session) letters(d *desk.Desk, a desk.LotAnswer, f lotFlags) error {
	issued, problems, err := d.Letters(a, f.possible, desk.Request{Page: s.settings.Page, LargePrint: f.large})
	if err != nil {
		return err
	}
	if len(problems) > 0 {
		return s.refuse(d, problems)
	}
	return s.tellIssued(d, issued, f.to)
}

func (s *session) printLot(d *desk.Desk, a desk.LotAnswer, f lotFlags) error {
	switch {
	case f.json:
		return s.voice.json(lotAsJSON(a, f.names))
	case f.csv:
		return s.lotCSV(a, f.names)
	}
	if a.Recall != nil {
		s.voice.result(s.voice.text("search.lot.recalled", locales.Args{"day": day(a.Recall.On), "reason": locales.Text(a.Recall.Reason)}))
	}
	for _, part := range []struct {
		id   string
		list []desk.Recipient
	}{{"certain", a.Certain}, {"planned", a.Planned}, {"possible", a.Possible}} {
		if len(part.list) == 0 && part.id == "planned" {
			continue
		}
		s.voice.result(s.voice.text("search.lot."+part.id, locales.Args{
			"lot": locales.Text(visible(a.Lot)), "n": locales.Count(len(part.list)), "people": locales.Count(people(part.list))}))
		for _, r := range part.list {
			s.printRecipient(d, r, f.names)
		}
	}
	return nil
}

// people counts the patients of a list.
func people(list []desk.Recipient) int {
	seen := map[string]bool{}
	for _, r := range list {
		seen[r.Patient] = true
	}
	return len(seen)
}

func (s *session) printRecipient(d *desk.Desk, r desk.Recipient, names bool) {
	args := locales.Args{"number": locales.Text(r.Number), "visit": locales.Text(r.Visit), "day": locales.Text("")}
	id := "search.lot.visit_undated"
	if !r.On.IsZero() {
		args["day"], id = day(r.On), "search.lot.visit"
	} else {
		delete(args, "day")
	}
	s.voice.result("  " + s.voice.text(id, args))
	if names && r.Route.Name != "" {
		s.voice.result("    " + r.Route.Name)
	}
	if r.Product != "" || r.Lot != "" {
		s.voice.result("    " + s.voice.text("search.lot.product", locales.Args{
			"product": locales.Text(visible(productName(d, r.Product))), "lot": locales.Text(orDash(r.Lot))}))
	}
	if len(r.Zones) > 0 {
		s.voice.result("    " + s.zones(r))
	}
	if r.Why != "" {
		s.voice.result("    " + s.voice.text("search.lot.why_"+r.Why, nil))
	}
	s.voice.result("    " + s.route(r.Route))
	for _, x := range r.Reached {
		id := "search.lot.tried"
		if x.Answered {
			id = "search.lot.reached"
		}
		s.voice.result("    " + s.voice.text(id, locales.Args{"at": locales.DateTime(x.At.In(d.Clinic().Zone)), "by": locales.Text(x.By),
			"how": locales.Ref("search.how." + x.How)}))
	}
}

// productName is a line as its label says, or what was written.
func productName(d *desk.Desk, id string) string {
	if p, ok := d.Stock().Product(id); ok {
		return p.Name
	}
	return orDash(id)
}

func orDash(text string) string {
	if strings.TrimSpace(text) == "" {
		return "–"
	}
	return visible(text)
}

// zones lists zones with their volumes, and the sum.
func (s *session) zones(r desk.Recipient) string {
	var parts []string
	for _, z := range r.Zones {
		args := locales.Args{"zone": s.zone(z.Zone)}
		id := "search.lot.zone_unsaid"
		if !z.Volume.IsZero() {
			id, args["volume"] = "search.lot.zone", locales.Volume(z.Volume.String())
			if side := "term.side." + z.Side; s.voice.printer.Has(side) {
				id, args["side"] = "search.lot.zone_side", locales.Ref(side)
			}
		}
		parts = append(parts, s.voice.text(id, args))
	}
	line := strings.Join(parts, "; ")
	if r.Volume.IsZero() {
		return line
	}
	id := "search.lot.sum"
	if r.VolumeUnread {
		id = "search.lot.sum_open"
	}
	return line + "; " + s.voice.text(id, locales.Args{"volume": locales.Volume(r.Volume.String())})
}

// zone is a zone in words, or as it was written.
func (s *session) zone(code string) locales.Value {
	if id := "term.zone." + code; code != "" && s.voice.printer.Has(id) {
		return locales.Ref(id)
	}
	return locales.AsWritten(orDash(code), "zone")
}

func (s *session) route(r desk.Route) string {
	if r.Unread {
		return s.voice.text("search.route.unread", nil)
	}
	var parts []string
	add := func(id, value string) {
		if value != "" {
			parts = append(parts, s.voice.text("search.route."+id, locales.Args{"value": locales.Text(value)}))
		}
	}
	add("telephone", r.Telephone)
	add("email", r.Email)
	add("address", strings.Join(r.Address, ", "))
	if len(parts) == 0 {
		parts = append(parts, s.voice.text("search.route.none", nil))
	}
	add("reads", r.Reads)
	add("interpreter", r.InterpreterLanguage)
	return strings.Join(parts, "; ")
}

// lotCSV writes a table for a spreadsheet. What would be taken for a formula there begins with an apostrophe.
func (s *session) lotCSV(a desk.LotAnswer, names bool) error {
	w := csv.NewWriter(s.out)
	head := []string{"patient", "visit", "date", "certainty", "why", "product", "lot", "device", "zones", "volume_ml", "telephone", "email", "address", "reads", "reached"}
	if names {
		head = append(head, "name")
	}
	rows := [][]string{head}
	for _, r := range lotRows(a) {
		var zones []string
		for _, z := range r.Zones {
			zones = append(zones, strings.TrimSpace(z.Zone+" "+z.Side+" "+z.Volume.String()))
		}
		reached := ""
		if i := slices.IndexFunc(r.Reached, func(x desk.Reached) bool { return x.Answered }); i >= 0 {
			reached = r.Reached[i].At.Format("2006-01-02")
		}
		date := ""
		if !r.On.IsZero() {
			date = r.On.String()
		}
		row := []string{r.Number, r.Visit, date, r.certainty, r.Why, r.Product, r.Lot, r.Device, strings.Join(zones, "; "), r.Volume.String(),
			r.Route.Telephone, r.Route.Email, strings.Join(r.Route.Address, ", "), r.Route.Reads, reached}
		if names {
			row = append(row, r.Route.Name)
		}
		rows = append(rows, row)
	}
	for _, row := range rows {
		for i := range row {
			row[i] = noFormula(row[i])
		}
		if err := w.Write(row); err != nil {
			return err
		}
	}
	w.Flush()
	return w.Error()
}

// noFormula keeps a spreadsheet from computing what a person typed.
func noFormula(cell string) string {
	if strings.ContainsAny(cell[:min(1, len(cell))], "=+-@\t\r\n|%") {
		return "'" + cell
	}
	return cell
}

type lotRow struct {
	desk.Recipient
	certainty string
}

func lotRows(a desk.LotAnswer) []lotRow {
	var rows []lotRow
	for _, r := range a.Certain {
		rows = append(rows, lotRow{r, "certain"})
	}
	for _, r := range a.Planned {
		rows = append(rows, lotRow{r, "planned"})
	}
	for _, r := range a.Possible {
		rows = append(rows, lotRow{r, "possible"})
	}
	return rows
}

// recipientJSON is a recipient as programs read it; README.md documents the keys.
type recipientJSON struct {
	Patient   string     `json:"patient"`
	Name      string     `json:"name,omitempty"`
	Visit     string     `json:"visit"`
	Date      string     `json:"date,omitempty"`
	Certainty string     `json:"certainty"`
	Why       string     `json:"why,omitempty"`
	Product   string     `json:"product,omitempty"`
	Lot       string     `json:"lot,omitempty"`
	Device    string     `json:"device,omitempty"`
	Zones     []zoneJSON `json:"zones"`
	Volume    string     `json:"volume_ml"`
	Open      bool       `json:"volume_open"`
	Telephone string     `json:"telephone,omitempty"`
	Email     string     `json:"email,omitempty"`
	Address   []string   `json:"address,omitempty"`
	Reads     string     `json:"reads,omitempty"`
	Reached   []string   `json:"reached,omitempty"`
}

type zoneJSON struct {
	Zone   string `json:"zone"`
	Side   string `json:"side,omitempty"`
	Volume string `json:"volume_ml"`
}

func lotAsJSON(a desk.LotAnswer, names bool) []recipientJSON {
	list := []recipientJSON{}
	for _, r := range lotRows(a) {
		item := recipientJSON{Patient: r.Number, Visit: r.Visit, Certainty: r.certainty, Why: r.Why, Product: r.Product, Lot: r.Lot, Device: r.Device,
			Zones: []zoneJSON{}, Volume: r.Volume.String(), Open: r.VolumeUnread, Telephone: r.Route.Telephone, Email: r.Route.Email,
			Address: r.Route.Address, Reads: r.Route.Reads}
		if !r.On.IsZero() {
			item.Date = r.On.String()
		}
		if names {
			item.Name = r.Route.Name
		}
		for _, z := range r.Zones {
			item.Zones = append(item.Zones, zoneJSON{z.Zone, z.Side, z.Volume.String()})
		}
		for _, x := range r.Reached {
			if x.Answered {
				item.Reached = append(item.Reached, x.At.Format("2006-01-02T15:04:05Z07:00"))
			}
		}
		list = append(list, item)
	}
	return list
}

func itoa(n int64) string { return strconv.FormatInt(n, 10) }
