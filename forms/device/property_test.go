package device_test

import (
	"fmt"
	"math/rand"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"philtrum/forms/device"
)

// set82 without the brackets, which cannot stand in a value that is printed with bracketed identifiers.
const set82 = "!\"%&'*+,-./0123456789:;<=>?ABCDEFGHIJKLMNOPQRSTUVWXYZ_abcdefghijklmnopqrstuvwxyz"

func text82(t *rapid.T, name string, most int) string {
	return string(rapid.SliceOfN(rapid.SampledFrom([]byte(set82)), 1, most).Draw(t, name))
}

// gtin draws a GTIN with its check digit, by the rule of the standard: weights 3, 1, 3 from the right.
func gtin(t *rapid.T) string {
	digits := rapid.StringMatching(`[0-9]{13}`).Draw(t, "gtin")
	sum := 0
	for i, c := range digits {
		d := int(c - '0')
		if i%2 == 0 {
			d *= 3
		}
		sum += d
	}
	return digits + fmt.Sprint((10-sum%10)%10)
}

// What is written is read again, raw with separators, in brackets, and as a link.
func TestWrittenIsRead(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		year, month := rapid.IntRange(0, 99).Draw(t, "year"), rapid.IntRange(1, 12).Draw(t, "month")
		day := rapid.IntRange(0, 28).Draw(t, "day")
		elements := []device.Element{
			{ID: "01", Value: gtin(t)}, {ID: "10", Value: text82(t, "lot", 20)}, {ID: "21", Value: text82(t, "serial", 20)},
			{ID: "17", Value: fmt.Sprintf("%02d%02d%02d", year, month, day)}, {ID: "240", Value: text82(t, "additional", 30)},
			{ID: "20", Value: rapid.StringMatching(`[0-9]{2}`).Draw(t, "variant")},
			{ID: "30", Value: rapid.StringMatching(`[0-9]{1,8}`).Draw(t, "count")},
		}
		seed := rapid.Int64().Draw(t, "order")
		rand.New(rand.NewSource(seed)).Shuffle(len(elements), func(i, j int) { elements[i], elements[j] = elements[j], elements[i] })

		raw, bracketed := device.Read(writeRaw(elements), 2026), device.Read(writeBracketed(elements), 2026)
		for _, c := range []device.Carrier{raw, bracketed} {
			if !slices.Equal(c.Elements, elements) {
				t.Fatalf("read %v, written %v", c.Elements, elements)
			}
			if c.Faulty() {
				t.Fatalf("faults %v", faults(c))
			}
			if c.Expiry.Month != 0 && int(c.Expiry.Month) != month || c.Expiry.Year%100 != year || c.ExpiryDayOpen != (day == 0) {
				t.Fatalf("expiry %v of %02d%02d%02d", c.Expiry, year, month, day)
			}
		}
		raw.Form, raw.Exact, bracketed.Form, bracketed.Exact = "", "", "", ""
		if fmt.Sprint(raw) != fmt.Sprint(bracketed) {
			t.Fatalf("raw %v, bracketed %v", raw, bracketed)
		}
	})
}

func writeRaw(elements []device.Element) string {
	var b strings.Builder
	for _, e := range elements {
		b.WriteString(e.ID + e.Value)
		if !slices.Contains([]string{"01", "17", "20"}, e.ID) {
			b.WriteByte(0x1d)
		}
	}
	return b.String()
}

func writeBracketed(elements []device.Element) string {
	var b strings.Builder
	for _, e := range elements {
		b.WriteString("(" + e.ID + ")" + e.Value)
	}
	return b.String()
}

// One wrong digit in a GTIN is always noticed.
func TestOneWrongDigit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		digits := []byte(gtin(t))
		at := rapid.IntRange(0, 13).Draw(t, "at")
		digits[at] = '0' + (digits[at]-'0'+byte(rapid.IntRange(1, 9).Draw(t, "by")))%10
		if c := device.Read("(01)"+string(digits)+"(10)L1", 2026); !slices.Contains(faults(c), "check_digit") {
			t.Fatalf("%s: %v", digits, c.Remarks)
		}
	})
}

// One wrong character in a code of HIBCC is always noticed, and the lot kept as it stands.
func TestOneWrongCharacter(t *testing.T) {
	const letters = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
	rapid.Check(t, func(t *rapid.T) {
		lot := []byte(rapid.StringMatching(`[0-9A-Z]{1,18}`).Draw(t, "lot"))
		code := withCheck("+A999ABC123DE0/$$3271231" + string(lot))
		if c := device.Read(code, 2026); c.Faulty() || c.Lot != string(lot) {
			t.Fatalf("%s: %+v", code, c)
		}
		at := rapid.IntRange(0, len(lot)-1).Draw(t, "at")
		lot[at] = letters[(strings.IndexByte(letters, lot[at])+rapid.IntRange(1, 35).Draw(t, "by"))%36]
		wrong := "+A999ABC123DE0/$$3271231" + string(lot) + code[len(code)-1:]
		c := device.Read(wrong, 2026)
		if blank := remarked(c, "hibc_blank") || remarked(c, "hibc_after"); !blank && (!slices.Contains(faults(c), "check_character") || c.Lot != string(lot)) {
			t.Fatalf("%s: %+v", wrong, c)
		}
	})
}

// FuzzRead reads anything without panic, keeps it exactly, and reads what it keeps in the same way.
func FuzzRead(f *testing.F) {
	for _, s := range []string{
		"", "(01)09501101530003(17)271231(10)L1", "010950110153000310ABC12317271231", "]d2010950110153000321S1\x1d10L1",
		"https://example.com/01/09520123456788/10/A%2F1?17=261231", "+A999ABC123DE0/$+1234567Y", "+$$3270831LOT7Y0",
		"=/1AB370000007JC89=,000000=1234567890ABC00=>030329=}025226", "[)>\x1e06\x1d9N110375286414\x1d1TAB\x1e\x04",
		"(((10)(10", "+", "*+*", "=", "&", "[)>", "]C1", "-03752864", "\x1d\x1d", "+é", "=>é", "10é\x1d17",
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		c := device.Read(s, 2026)
		if c.Exact != strings.TrimRight(s, "\r\n") {
			t.Errorf("exact %q", c.Exact)
		}
		if c.Agency == "" && len(c.Remarks) == 0 {
			t.Error("an unknown code without a remark")
		}
		if again := device.Read(c.Exact, 2026); fmt.Sprint(again) != fmt.Sprint(c) {
			t.Errorf("%v, then %v", c, again)
		}
	})
}

func BenchmarkRead(b *testing.B) {
	for name, code := range map[string]string{
		"raw": "]d201095011015300031727123110ABC123\x1d21S1", "bracketed": "(01)09501101530003(17)271231(10)ABC123(21)S1",
		"link": "https://example.com/01/09520123456788/10/ABC123?17=261231",
		"hibc": "+X999123ABC0/$$31905151234AB/S5678EDFG/16D20151001J",
	} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for range b.N {
				device.Read(code, 2026)
			}
		})
	}
}
