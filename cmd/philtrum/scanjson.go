package main

import (
	"strings"

	"philtrum/locales"
)

// scanJSON is one code of `scan --json`; README.md documents the keys.
type scanJSON struct {
	Exact     string            `json:"exact"`
	Agency    string            `json:"agency,omitempty"`
	Form      string            `json:"form,omitempty"`
	Symbology string            `json:"symbology,omitempty"`
	Device    string            `json:"device,omitempty"`
	Lot       string            `json:"lot,omitempty"`
	Serial    string            `json:"serial,omitempty"`
	Expiry    string            `json:"expiry,omitempty"`
	DayOpen   bool              `json:"expiry_day_open,omitempty"`
	Made      string            `json:"made,omitempty"`
	Variant   string            `json:"variant,omitempty"`
	Quantity  string            `json:"quantity,omitempty"`
	Elements  []elementJSON     `json:"elements"`
	Product   *scanProductJSON  `json:"product,omitempty"`
	Findings  []scanFindingJSON `json:"findings"`
}

type elementJSON struct {
	ID    string `json:"id"`
	Value string `json:"value"`
}

type scanProductJSON struct {
	ID        string `json:"id"`
	Name      string `json:"name"`
	Class     string `json:"class"`
	Volume    string `json:"volume_ml"`
	Lidocaine string `json:"lidocaine_mg_per_ml,omitempty"`
}

type scanFindingJSON struct {
	ID      string `json:"id"`
	Level   string `json:"level"`
	Message string `json:"message"`
}

func (s *session) scannedJSON(all []scanned) error {
	list := make([]scanJSON, 0, len(all))
	for _, f := range all {
		item := scanJSON{
			Exact: f.Exact, Agency: string(f.Agency), Form: string(f.Form), Symbology: f.Symbology, Device: f.DeviceIdentifier,
			Lot: f.Lot, Serial: f.Serial, Expiry: f.Expiry.String(), DayOpen: f.ExpiryDayOpen, Made: f.Made.String(),
			Variant: f.Variant, Quantity: f.Quantity, Elements: []elementJSON{}, Findings: []scanFindingJSON{},
		}
		for _, e := range f.Elements {
			item.Elements = append(item.Elements, elementJSON(e))
		}
		if p := f.Product; p != nil {
			item.Product = &scanProductJSON{p.ID, p.Name, p.Class, p.Volume.String(), p.LidocaineMgPerMl}
		}
		add := func(id, level string, args locales.Args) {
			item.Findings = append(item.Findings, scanFindingJSON{strings.TrimPrefix(id, "scan."), level, s.voice.text(id, args)})
		}
		for _, line := range f.Findings {
			add(line.id, "finding", line.args)
		}
		for _, r := range f.Remarks {
			add(r.ID, string(r.Level), remarkArgs(r))
		}
		list = append(list, item)
	}
	return s.voice.json(list)
}
