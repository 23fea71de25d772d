package main

import (
	"fmt"
	"strings"
	"unicode"

	"philtrum/forms/clinic"
	"philtrum/forms/device"
	"philtrum/forms/measure"
	"philtrum/locales"
)

// printScanned prints a code for people: what it says, then what is to be known of it.
func (s *session) printScanned(f scanned, first bool) {
	if !first {
		s.voice.result("")
	}
	s.voice.result(s.heading(f.Carrier))
	for _, line := range scanLines(f) {
		s.voice.result("  " + s.voice.text(line.id, line.args))
	}
	for _, line := range f.Findings {
		s.remark("finding", s.voice.text(line.id, line.args))
	}
	for _, r := range f.Remarks {
		s.remark(string(r.Level), s.voice.text(r.ID, remarkArgs(r)))
	}
}

func (s *session) remark(level, text string) {
	s.voice.result("  " + s.voice.text("scan.remark", locales.Args{"level": locales.Ref("scan.level." + level), "text": locales.Text(text)}))
}

// heading names who issued a code and how it is written.
func (s *session) heading(c device.Carrier) string {
	agency := "unknown"
	switch {
	case c.Form == "":
		return s.voice.text("scan.code_unknown", nil)
	case c.Agency != "":
		agency = string(c.Agency)
	}
	return s.voice.text("scan.code", locales.Args{
		"agency": locales.Ref("scan.agency." + agency), "form": locales.Ref("scan.form." + string(c.Form)),
	})
}

// scanLines are the lines that say what is in a code.
func scanLines(f scanned) []finding {
	var lines []finding
	say := func(id, name, value string) {
		if value != "" {
			lines = append(lines, finding{"scan." + id, locales.Args{name: locales.Text(visible(value))}})
		}
	}
	date := func(id, name string, d measure.Date, text string) {
		if d.IsZero() {
			say(name+"_unread", "text", text)
			return
		}
		lines = append(lines, finding{"scan." + id, locales.Args{name: day(d)}})
	}
	say("device", "device", f.DeviceIdentifier)
	if f.Product != nil {
		lines = append(lines, productLine(*f.Product))
	}
	say("lot", "lot", f.Lot)
	say("serial", "serial", f.Serial)
	expiry := "expiry"
	if f.ExpiryDayOpen {
		expiry = "expiry_month"
	}
	date(expiry, "expiry", f.Expiry, f.ExpiryText)
	date("made", "made", f.Made, f.MadeText)
	say("variant", "variant", f.Variant)
	say("quantity", "quantity", f.Quantity)
	for _, e := range f.Others() {
		if e.ID == "" {
			say("element_none", "value", e.Value)
			continue
		}
		lines = append(lines, finding{"scan.element", locales.Args{"id": locales.Text(visible(e.ID)), "value": locales.Text(visible(e.Value))}})
	}
	say("typed", "text", f.Exact)
	return lines
}

func productLine(p clinic.Product) finding {
	args := locales.Args{"name": locales.Text(p.Name), "class": locales.Ref("term.class." + p.Class), "volume": locales.Volume(p.Volume.String())}
	if !p.Lidocaine {
		return finding{"scan.product", args}
	}
	args["content"] = locales.Number(p.LidocaineMgPerMl)
	return finding{"scan.product_lidocaine", args}
}

// visible shows control characters by their pictures, ␝ for a separator, so that none reaches a terminal.
func visible(text string) string {
	return strings.Map(func(c rune) rune {
		switch {
		case c < 0x20:
			return c + 0x2400
		case c == 0x7f:
			return 0x2421
		case unicode.IsControl(c), unicode.Is(unicode.Cf, c):
			return unicode.ReplacementChar
		}
		return c
	}, text)
}

// remarkArgs turns the placeholders of a remark into those of its message.
func remarkArgs(r device.Remark) locales.Args {
	args := make(locales.Args, len(r.Args))
	for key, value := range r.Args {
		switch value := value.(type) {
		case measure.Date:
			args[key] = day(value)
		case []string:
			var items []locales.Value
			for _, item := range value {
				items = append(items, locales.Text(item))
			}
			args[key] = locales.List(items...)
		case int:
			args[key] = locales.Count(value)
		default:
			args[key] = locales.Text(visible(fmt.Sprint(value)))
		}
	}
	return args
}
