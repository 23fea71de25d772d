package device_test

import (
	"encoding/json"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"philtrum/forms/device"
	"philtrum/forms/measure"
)

// sample reads a file of check values; testdata/README.md says where they come from.
func sample(t *testing.T, name string, into any) {
	t.Helper()
	data, err := os.ReadFile("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(data, into); err != nil {
		t.Fatal(err)
	}
}

func faults(c device.Carrier) []string {
	var ids []string
	for _, r := range c.Remarks {
		if r.Level == device.Fault {
			ids = append(ids, strings.TrimPrefix(r.ID, "scan."))
		}
	}
	return ids
}

func remarked(c device.Carrier, id string) bool {
	return slices.ContainsFunc(c.Remarks, func(r device.Remark) bool { return r.ID == "scan."+id })
}

type gs1Case struct {
	ID, Input, AsOf, Form string
	Expect                struct {
		Syntax, ErrorClass, AI, Association, SymbologyID string
		Elements                                         []struct{ AI, Value string }
		Derived                                          struct {
			GTIN, Lot, Serial, Expiry, Produced string
			ExpiryDayUnspecified                bool
		}
	}
}

// classes are our faults by the error classes of the sample.
var classes = map[string]string{
	"month": "month", "day": "day", "value_too_short": "too_short", "value_too_long": "too_long", "non_digit": "not_digits",
	"non_cset82": "character", "unknown_ai": "unknown_ai", "invalid_pair": "pair", "bracket_syntax": "brackets",
	"symbology_not_gs1_ai": "symbology", "check_digit": "check_digit",
}

// TestGS1Sample holds element strings to the GS1 General Specifications and the GS1 Barcode Syntax Dictionary.
// In two cases we differ on purpose: r07, a leading separator, which some scanners send for the first FNC1, is
// accepted with a note; r25, 13 digits that are a sound GTIN, is that GTIN and not AI 95.
func TestGS1Sample(t *testing.T) {
	var file struct{ Cases []gs1Case }
	sample(t, "gs1-sample.json", &file)
	if len(file.Cases) != 45 {
		t.Fatalf("%d cases, want 45", len(file.Cases))
	}
	for _, c := range file.Cases {
		t.Run(c.ID, func(t *testing.T) {
			year, err := strconv.Atoi(c.AsOf[:4])
			if err != nil {
				t.Fatal(err)
			}
			got := device.Read(c.Input, year)
			switch c.ID {
			case "r07":
				if got.Faulty() || !remarked(got, "separator_leading") || got.Lot != "ABC123" {
					t.Errorf("leading separator: %+v", got)
				}
				return
			case "r25":
				if got.Form != device.BareGTIN || got.DeviceIdentifier != "09501101530003" || got.Faulty() {
					t.Errorf("GTIN alone: %+v", got)
				}
				return
			}
			checkGS1(t, c, got)
		})
	}
}

func checkGS1(t *testing.T, c gs1Case, got device.Carrier) {
	t.Helper()
	if got.Agency != device.GS1 || got.Exact != c.Input || got.Symbology != c.Expect.SymbologyID && c.ID != "r13" {
		t.Errorf("agency %q, exact %q, symbology %q", got.Agency, got.Exact, got.Symbology)
	}
	if c.Expect.Syntax == "error" {
		want := classes[c.Expect.ErrorClass]
		if want == "" || !slices.Contains(faults(got), want) {
			t.Errorf("faults %v, want %q (%s)", faults(got), want, c.Expect.ErrorClass)
		}
		if _, lot, has := strings.Cut(c.Input, "(10)"); has && got.Lot != lot {
			t.Errorf("lot %q of a faulty code, want %q", got.Lot, lot)
		}
		return
	}
	if got.Faulty() {
		t.Errorf("faults %v", faults(got))
	}
	var elements []struct{ AI, Value string }
	for _, e := range got.Elements {
		elements = append(elements, struct{ AI, Value string }{e.ID, e.Value})
	}
	if d := cmp.Diff(c.Expect.Elements, elements); d != "" {
		t.Errorf("elements (-want +got):\n%s", d)
	}
	want := c.Expect.Derived
	have := [...]string{got.DeviceIdentifier, got.Lot, got.Serial, got.Expiry.String(), got.Made.String()}
	if d := cmp.Diff([...]string{want.GTIN, want.Lot, want.Serial, want.Expiry, want.Produced}, have); d != "" {
		t.Errorf("derived (-want +got):\n%s", d)
	}
	if got.ExpiryDayOpen != want.ExpiryDayUnspecified {
		t.Errorf("day open %v", got.ExpiryDayOpen)
	}
	if needs := c.Expect.Association != "ok"; needs != remarked(got, "needs") {
		t.Errorf("association %s, remarks %v", c.Expect.Association, got.Remarks)
	}
}

// TestOtherAgencies holds HIBC and ICCBBA codes to the formats of IMDRF UDI WG N48, Appendix A. Two examples
// that it prints (h01, which the FDA prints as well, and h22) fail their own check character: they are read
// whole and remarked upon.
func TestOtherAgencies(t *testing.T) {
	type fields struct {
		DI, Expiry, ExpiryPrecision, Lot, Serial, Produced, Donation string
	}
	var file struct {
		Cases []struct {
			ID, Agency, Input string
			Expect            struct {
				fields
				OK                  bool
				Error, Computed     string
				ParsedIgnoringCheck *fields
			}
		}
	}
	sample(t, "udi-other-sample.json", &file)
	if len(file.Cases) != 15 {
		t.Fatalf("%d cases, want 15", len(file.Cases))
	}
	kinds := map[string]string{
		"check_character": "check_character", "bad_date": "date", "bad_di": "hibc_device", "bad_char": "hibc_character",
	}
	for _, c := range file.Cases {
		t.Run(c.ID, func(t *testing.T) {
			got := device.Read(c.Input, 2026)
			if string(got.Agency) != strings.ToLower(c.Agency) {
				t.Errorf("agency %q", got.Agency)
			}
			want := c.Expect.fields
			switch {
			case c.Expect.OK && got.Faulty():
				t.Errorf("faults %v", faults(got))
			case !c.Expect.OK && !slices.Contains(faults(got), kinds[c.Expect.Error]):
				t.Errorf("faults %v, want %s", faults(got), c.Expect.Error)
			}
			if c.Expect.Computed != "" {
				if r := got.Remarks[0]; r.Args["computed"] != c.Expect.Computed {
					t.Errorf("computed %v", r.Args)
				}
				want = *c.Expect.ParsedIgnoringCheck
			} else if !c.Expect.OK {
				return
			}
			have := fields{
				DI: got.DeviceIdentifier, Expiry: got.Expiry.String(), Lot: got.Lot, Serial: got.Serial, Produced: got.Made.String(),
			}
			if got.ExpiryDayOpen {
				have.ExpiryPrecision = "month"
			}
			for _, e := range got.Others() {
				if e.ID == "=" {
					have.Donation = e.Value
				}
			}
			if d := cmp.Diff(want, have, cmp.AllowUnexported()); d != "" {
				t.Errorf("(-want +got):\n%s", d)
			}
		})
	}
}

// A lot is kept whatever is wrong around it.
func TestLotIsNeverDropped(t *testing.T) {
	for code, lot := range map[string]string{
		"01095011015300041727123110L1":                             "L1", // check digit
		"(01)09501101530003(17)271301(10)L1":                       "L1", // month 13
		"(01)0950110153000(10)L1":                                  "L1", // GTIN cut short
		"(0109501101530003(10)L1":                                  "L1", // bracket missing
		"0109501101530003(10)L1":                                   "L1", // brackets begin late
		"UDI (01)09501101530003 (10) L1 ":                          "L1", // words and blanks around
		"]C00109501101530003" + "10L1":                             "L1", // plain Code 128
		"0109501101530003\x1d\x1d10L1":                             "L1", // two separators
		"010950110153000310" + strings.Repeat("9", 40):             strings.Repeat("9", 40),
		"+A999ABC123DE0/$$1327LOT1?":                               "LOT1", // month 13, check character
		"+A999ABC123DE0/$lot1x":                                    "lot1", // small letters
		"=)1TE123456A=>014400&)RZ12345678":                         "RZ12345678",
		"[)>\x1e06\x1d9N110375286499\x1d1TAB\x1e\x04":              "AB",
		"https://example.com/01/09501101530004/10/L%2F1?17=279999": "L/1",
	} {
		got := device.Read(code, 2026)
		if got.Lot != lot || !got.Faulty() {
			t.Errorf("%q: lot %q, faults %v", code, got.Lot, faults(got))
		}
	}
}

func TestRemarks(t *testing.T) {
	const item = "0109501101530003"
	for _, c := range []struct {
		name, code, id string
		level          device.Level
	}{
		{"lost separator before the expiry", item + "10ABC12317271231", "separator_lost", device.Doubt},
		{"lost separators, serial behind", item + "10ABC1231124011517271231" + "21S1", "separator_lost", device.Doubt},
		{"lost separator behind a serial", item + "21S117271231", "separator_lost", device.Doubt},
		{"separator written", item + "10AB{GS}17271231", "separator_written", device.Note},
		{"second scan in the same line", "]C1" + item + "]C110L1", "separator_written", device.Note},
		{"text that nobody knows", "hello", "unrecognised", device.Fault},
		{"nothing", "", "unrecognised", device.Fault},
		{"GTIN alone", "9501101530003", "bare_gtin", device.Note},
		{"lot that adds up as a GTIN", "10000007", "also_gtin", device.Doubt},
		{"GTIN of 13 digits in a link", "https://example.com/01/9501101530003", "gtin_padded", device.Note},
		{"link with its identifiers out of order", "https://example.com/01/09520123456788/21/1/10/2", "link_order", device.Fault},
		{"link with an expiry in the path", "https://example.com/01/09520123456788/17/271231", "link_order", device.Fault},
		{"link with a wrong check digit", "https://example.com/01/09520123456789", "check_digit", device.Fault},
		{"link with a wrong month", "https://example.com/01/09520123456788?17=271301", "month", device.Fault},
		{"link without data", "https://example.com/products/12", "link_without_key", device.Fault},
		{"two lots", "(01)09501101530003(10)A(10)B", "twice", device.Fault},
		{"identifier of four digits", item + "7999AB", "unknown_ai", device.Fault},
		{"lot of an item", "(10)L1", "needs", device.Doubt},
		{"envelope without product", "[)>\x1e06\x1d1TAB\x1e\x04", "unrecognised", device.Fault},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := device.Read(c.code, 2026)
			i := slices.IndexFunc(got.Remarks, func(r device.Remark) bool { return r.ID == "scan."+c.id })
			if i < 0 || got.Remarks[i].Level != c.level {
				t.Errorf("remarks %v, want %s", got.Remarks, c.id)
			}
		})
	}
	for _, code := range []string{
		item + "10ABC123\x1d17271231", item + "10ABC17279931", item + "1127010110ABC17", "(10)ABC12317271231(17)271231",
	} {
		if got := device.Read(code, 2026); remarked(got, "separator_lost") {
			t.Errorf("%q: %v", code, got.Remarks)
		}
	}
}

// The lost separator's remark says what the lot and the expiry may be; the lot itself stays as it stands.
func TestLostSeparatorQuestion(t *testing.T) {
	got := device.Read("010950110153000310ABC12317271231", 2026)
	if got.Lot != "ABC12317271231" || !got.Expiry.IsZero() {
		t.Errorf("lot %q, expiry %v", got.Lot, got.Expiry)
	}
	want := map[string]any{
		"id": "10", "value": "ABC12317271231", "without": "ABC123", "expiry": measure.Date{Year: 2027, Month: 12, Day: 31},
	}
	if d := cmp.Diff(want, got.Remarks[0].Args); d != "" {
		t.Errorf("(-want +got):\n%s", d)
	}
}

// The addresses have the shapes of the examples in the GS1 Digital Link Standard (URI syntax), written from
// memory of it. BWIPP takes each of them too, but for the words in the place of identifiers, which only the first
// editions allowed.
func TestDigitalLink(t *testing.T) {
	for _, c := range []struct{ code, gtin, lot, serial, expiry string }{
		{"https://id.gs1.org/01/09520123456788", "09520123456788", "", "", ""},
		{"https://example.com/some/path/01/09520123456788/10/ABC123?17=261231", "09520123456788", "ABC123", "", "2026-12-31"},
		{"https://id.gs1.org/01/09520123456788/22/2A/10/ABC1/21/12345?17=180426", "09520123456788", "ABC1", "12345", "2018-04-26"},
		{"HTTPS://ID.GS1.ORG/01/09520123456788/10/AB%2F1?linkType=all&17=280200#top", "09520123456788", "AB/1", "", "2028-02-29"},
		{"id.gs1.org/gtin/9520123456788/lot/ABC/", "09520123456788", "ABC", "", ""},
		{"]Q1https://example.com/01/09520123456788/21/414", "09520123456788", "", "414", ""},
		{"https://example.com/01/01/01/09520123456788/10/01", "09520123456788", "01", "", ""},
	} {
		got := device.Read(c.code, 2026)
		have := [...]string{got.DeviceIdentifier, got.Lot, got.Serial, got.Expiry.String()}
		if d := cmp.Diff([...]string{c.gtin, c.lot, c.serial, c.expiry}, have); d != "" || got.Form != device.DigitalLink {
			t.Errorf("%s: form %q (-want +got):\n%s", c.code, got.Form, d)
		}
		if got.Faulty() {
			t.Errorf("%s: faults %v", c.code, faults(got))
		}
	}
}

// IFA and the second codes of HIBCC are written from memory of their formats; the PPN is the known example.
func TestReadFromMemory(t *testing.T) {
	ifa := device.Read("]d1[)>\x1e06\x1d9N110375286414\x1d1T12345ABCD\x1dD270800\x1dS0001\x1e\x04", 2026)
	if ifa.Agency != device.IFA || ifa.DeviceIdentifier != "110375286414" || ifa.Lot != "12345ABCD" ||
		ifa.Expiry.String() != "2027-08-31" || ifa.Serial != "0001" || ifa.Faulty() {
		t.Errorf("IFA: %+v", ifa)
	}
	pzn := device.Read("-03752864", 2026)
	if pzn.Agency != device.IFA || pzn.DeviceIdentifier != "110375286414" || pzn.Faulty() {
		t.Errorf("PZN: %+v", pzn)
	}
	second := device.Read(withCheck("+$$3270831LOT7Y"), 2026)
	if second.Lot != "LOT7" || second.Expiry.String() != "2027-08-31" || second.Faulty() || !remarked(second, "hibc_second") {
		t.Errorf("HIBC, second code: %+v", second)
	}
	quantity := device.Read(withCheck("+A999ABC123DE0/$$8043270831LOT7"), 2026)
	if quantity.Lot != "LOT7" || quantity.Quantity != "04" || quantity.Expiry.String() != "2027-08-31" {
		t.Errorf("HIBC, quantity: %+v", quantity)
	}
}

// A blank as check character gets lost at the end of a line; the lot must not lose its last character for it.
func TestBlankCheckCharacter(t *testing.T) {
	for _, c := range "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-.%" {
		lot := "LOT" + string(c)
		code := withCheck("+A999ABC123DE0/$" + lot)
		if !strings.HasSuffix(code, " ") {
			continue
		}
		for _, typed := range []string{code, strings.TrimSpace(code), "*" + code + "*"} {
			if got := device.Read(typed, 2026); got.Lot != lot || got.Faulty() {
				t.Errorf("%q: lot %q, faults %v", typed, got.Lot, faults(got))
			}
		}
		return
	}
	t.Fatal("no code with a blank as check character")
}

// A code that is right without the blank behind it may be a misread one with it: either way a person is told.
func TestBlankThatMayBelong(t *testing.T) {
	if c := device.Read("+A999ABC123DE0/$$3271231N ", 2026); !remarked(c, "hibc_after") {
		t.Errorf("%+v", c)
	}
}

// Blanks behind a code do not belong to it.
func TestBlanksBehind(t *testing.T) {
	for _, code := range []string{"+A999ABC123DE0/$+1234567Y  ", " 010950110153000310L1 ", "=)1TE123456A&)RZ12345678\r\n", "-03752864 "} {
		if got := device.Read(code, 2026); got.Faulty() || strings.HasSuffix(got.Lot+got.Serial, " ") {
			t.Errorf("%q: %+v", code, got)
		}
	}
}

// withCheck adds the check character of HIBC.
func withCheck(s string) string {
	const table = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ-. $/+%"
	sum := 0
	for _, c := range s {
		sum += strings.IndexRune(table, c)
	}
	return s + table[sum%43:sum%43+1]
}

func TestFill(t *testing.T) {
	code := device.Read("(01)09501101530003(17)271231(10)L1", 2026)
	end := measure.Date{Year: 2027, Month: 12, Day: 31}
	got, remarks := code.Fill(device.Typed{})
	if want := (device.Typed{Device: "09501101530003", Lot: "L1", Expiry: end}); got != want || len(remarks) > 0 {
		t.Errorf("empty: %+v, %v", got, remarks)
	}
	same := device.Typed{Device: "9501101530003", Lot: " l1 ", Expiry: end}
	if got, remarks := code.Fill(same); got != same || len(remarks) > 0 {
		t.Errorf("same: %+v, %v", got, remarks)
	}
	other := device.Typed{Device: "X", Lot: "L2", Expiry: end.AddDays(1)}
	if got, remarks := code.Fill(other); got != other || len(remarks) != 3 {
		t.Errorf("other: %+v, %v", got, remarks)
	}
	unread := device.Typed{Lot: "L1", Device: "09501101530003", ExpiryText: "end of 27"}
	if got, _ := code.Fill(unread); got != unread {
		t.Errorf("an expiry that could not be read was replaced: %+v", got)
	}
	torn, _ := device.Read("(17)271301", 2026).Fill(device.Typed{})
	if torn.ExpiryText != "271301" {
		t.Errorf("expiry that is no date: %+v", torn)
	}
}
