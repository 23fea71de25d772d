package main

import (
	"philtrum/forms/clinic"
	"philtrum/forms/device"
	"philtrum/forms/measure"
	"philtrum/forms/source"
	"philtrum/locales"
)

// askSyringe asks for a syringe: its code first, as a scanner types it, and then only what the code leaves
// open.
func (s *session) askSyringe(stock clinic.Stock) (*source.Node, error) {
	code, err := s.askCode()
	if err != nil {
		return nil, err
	}
	read := s.readCode(code)
	p, known := stock.Device(read.DeviceIdentifier)
	var fields []field
	if !known {
		fields = append(fields, field{key: "product", options: products(stock)})
	} else {
		s.prompt().Tell(s.voice.text("cmd.treat.scanned_product", locales.Args{"product": locales.Text(p.Name)}))
	}
	fields = append(fields, openFields(read)...)
	if !known {
		fields = append(fields, field{key: "labelled"})
	}
	asked, err := s.askFields("treat", append(fields, field{key: "discarded"}))
	if err != nil || code == "" {
		return asked, err
	}
	return joined(source.Map("carrier", code), asked), nil
}

// askCode asks for a code; an empty line is none.
func (s *session) askCode() (string, error) {
	return s.prompt().Text(s.voice.text("cmd.treat.scan", nil))
}

// readCode reads a code and tells what it says and what is wrong with it.
func (s *session) readCode(code string) device.Carrier {
	if code == "" {
		return device.Carrier{}
	}
	read := device.Read(code, s.now().Year())
	tell := func(id string, args locales.Args) { s.prompt().Tell("  " + s.voice.text(id, args)) }
	if read.Lot != "" {
		tell("scan.lot", locales.Args{"lot": locales.Text(visible(read.Lot))})
	}
	if !read.Expiry.IsZero() {
		tell("scan.expiry", locales.Args{"expiry": day(read.Expiry)})
		if measure.DateOf(s.now(), s.now().Location()).After(read.Expiry) {
			tell("scan.expired", locales.Args{"expiry": day(read.Expiry)})
		}
	}
	for _, r := range read.Remarks {
		if r.Level != device.Note {
			tell(r.ID, remarkArgs(r))
		}
	}
	return read
}

// openFields are lot and expiry where the code does not say them.
func openFields(read device.Carrier) []field {
	var fields []field
	if read.Lot == "" {
		fields = append(fields, field{key: "lot"})
	}
	if read.Expiry.IsZero() {
		fields = append(fields, field{key: "expiry"})
	}
	return fields
}
