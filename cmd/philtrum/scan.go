package main

import (
	"bufio"
	"errors"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"philtrum/cmd/philtrum/folder"
	"philtrum/forms/clinic"
	"philtrum/forms/device"
	"philtrum/forms/measure"
	"philtrum/locales"
)

// newScan reads the codes on a box, with or without a clinic folder around.
func (s *session) newScan() *cobra.Command {
	var asJSON bool
	var images []string
	c := s.command("scan CODE...", func(_ *cobra.Command, args []string) error {
		if len(args) == 0 && len(images) == 0 {
			return wrongUse{"cmd.scan.which", nil}
		}
		photographed, err := s.codesOn(images)
		if err != nil {
			return err
		}
		d, err := s.scanDesk()
		if err != nil {
			return err
		}
		var all []scanned
		each := func(code string) {
			found := d.scan(code)
			if !asJSON {
				s.printScanned(found, len(all) == 0)
			}
			all = append(all, found)
		}
		for _, code := range photographed {
			each(code)
		}
		if err := s.codes(args, each); err != nil {
			return err
		}
		if asJSON {
			err = s.scannedJSON(all)
		}
		if err == nil && (d.broken || slices.ContainsFunc(all, scanned.found)) {
			return ended{statusHeld}
		}
		return err
	})
	c.Flags().BoolVar(&asJSON, "json", false, s.voice.text("cmd.flag.json", nil))
	c.Flags().StringArrayVar(&images, "image", nil, s.voice.text("cmd.flag.image", nil))
	return c
}

// codes gives each code in turn; "-" stands for the lines of standard input, since a scanner ends each code
// with the key for a new line.
func (s *session) codes(args []string, each func(string)) error {
	for _, arg := range args {
		if arg != "-" {
			each(arg)
			continue
		}
		lines := bufio.NewReader(io.LimitReader(s.in, 1<<20))
		for {
			line, err := lines.ReadString('\n')
			if strings.TrimSpace(line) != "" {
				each(line)
			}
			if errors.Is(err, io.EOF) {
				break
			}
			if err != nil {
				return err
			}
		}
	}
	return nil
}

// scanDesk is what a code is compared with.
type scanDesk struct {
	stock  clinic.Stock
	clinic bool // there is one
	broken bool // its files have problems
	today  measure.Date
}

// scanDesk opens the clinic folder if there is one. Problems in its files are told, and the code is read all the
// same.
func (s *session) scanDesk() (scanDesk, error) {
	now := s.now()
	out := scanDesk{today: measure.DateOf(now, now.Location())}
	if _, err := s.openFolder(); errors.Is(err, folder.ErrNoClinic) && s.settings.Clinic == "" {
		return out, nil
	}
	d, err := s.desk()
	var told ended
	if errors.As(err, &told) && told.status == statusHeld {
		s.voice.say("scan.clinic_unread", nil)
		out.broken = true
		return out, nil
	}
	if err != nil {
		return out, err
	}
	out.stock, out.clinic, out.today = d.Stock(), true, measure.DateOf(now, d.Clinic().Zone)
	return out, nil
}

// scanned is a code with what the clinic knows of it.
type scanned struct {
	device.Carrier
	Product  *clinic.Product
	Findings []finding
}

// finding is a message with its placeholders.
type finding struct {
	id   string
	args locales.Args
}

func (f scanned) found() bool {
	heavy := func(r device.Remark) bool { return r.Level != device.Note }
	return len(f.Findings) > 0 || slices.ContainsFunc(f.Remarks, heavy)
}

func (f *scanned) find(id string, args locales.Args) {
	f.Findings = append(f.Findings, finding{"scan." + id, args})
}

// scan reads a code and compares it with stock and calendar.
func (d scanDesk) scan(code string) scanned {
	f := scanned{Carrier: device.Read(code, d.today.Year)}
	if f.Agency == "" {
		return f
	}
	if f.Lot == "" && f.Serial == "" {
		f.find("no_lot", nil)
	}
	switch {
	case f.Expiry.IsZero():
		f.find("no_expiry", nil)
	case d.today.After(f.Expiry):
		f.find("expired", locales.Args{"expiry": day(f.Expiry)})
	}
	if f.DeviceIdentifier == "" {
		f.find("no_device", nil)
	}
	if d.clinic {
		d.resolve(&f)
	}
	return f
}

// resolve finds the clinic's product, and its lot in stock.
func (d scanDesk) resolve(f *scanned) {
	if f.DeviceIdentifier == "" {
		for _, p := range d.stock.Products {
			if _, ok := p.Lot(f.Lot); ok {
				f.find("product_by_lot", locales.Args{"product": locales.Text(p.Name)})
			}
		}
		return
	}
	var products []clinic.Product
	var names []locales.Value
	for _, p := range d.stock.Products {
		if slices.ContainsFunc(p.Devices, func(id string) bool { return device.Normal(id) == device.Normal(f.DeviceIdentifier) }) {
			products, names = append(products, p), append(names, locales.Text(p.Name))
		}
	}
	switch len(products) {
	case 0:
		f.find("product_unknown", nil)
		return
	case 1:
		f.Product = &products[0]
	default:
		f.find("product_twice", locales.Args{"products": locales.List(names...)})
		return
	}
	if f.Lot == "" {
		return
	}
	lot, ok := f.Product.Lot(f.Lot)
	switch {
	case !ok:
		f.find("lot_not_in_stock", locales.Args{"product": locales.Text(f.Product.Name)})
	case !f.Expiry.IsZero() && lot.Expiry != f.Expiry:
		f.find("stock_expiry", locales.Args{"expiry": day(lot.Expiry)})
	}
}
