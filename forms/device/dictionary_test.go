package device_test

import (
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"philtrum/forms/device"
)

// Every identifier of the GS1 Barcode Syntax Dictionary is found, with its number of digits; of those that are
// known here, the shortest and longest values are taken, and longer ones are remarked upon.
func TestDictionary(t *testing.T) {
	data, err := os.ReadFile("testdata/gs1-dictionary.tsv")
	if err != nil {
		t.Fatal(err)
	}
	rows, known := strings.Split(strings.TrimSpace(string(data)), "\n"), 0
	if len(rows) != 541 {
		t.Fatalf("%d rows, want 541", len(rows))
	}
	for _, row := range rows {
		id, format, _ := strings.Cut(row, "\t")
		least, most := values(t, format)
		for _, value := range []string{least, most} {
			for _, code := range []string{id + value + "\x1d21S", "(" + id + ")" + value + "(21)S"} {
				got := device.Read(code, 2026)
				if len(got.Elements) != 2 || got.Elements[0] != (device.Element{ID: id, Value: value}) {
					t.Errorf("%q: elements %v", code, got.Elements)
					continue
				}
				if slices.Contains(faults(got), "unknown_ai") {
					continue
				}
				known++
				for _, fault := range faults(got) {
					if fault != "pair" && fault != "twice" {
						t.Errorf("%q, %s: %v", code, format, got.Remarks)
					}
				}
			}
		}
		if got := device.Read("("+id+")"+most+"0", 2026); !slices.Contains(faults(got), "too_long") && !slices.Contains(faults(got), "unknown_ai") {
			t.Errorf("%s: a value longer than %s is taken", id, format)
		}
		if got := device.Read("("+id+")"+least[1:], 2026); !slices.Contains(faults(got), "too_short") && !slices.Contains(faults(got), "unknown_ai") {
			t.Errorf("%s: a value shorter than %s is taken", id, format)
		}
		ends := slices.Contains(predefined, id[:2])
		if got := device.Read(id+least+"21S", 2026); (len(got.Elements) == 2) != ends {
			t.Errorf("%s ends without a separator: %v, want %v", id, !ends, ends)
		}
	}
	if known < 1500 {
		t.Errorf("only %d readings of known identifiers", known)
	}
}

// predefined are the first digits of elements that need no separator after them; GS1 General Specifications, as
// BWIPP (2026-05-28) lists them.
var predefined = strings.Fields("00 01 02 03 04 11 12 13 14 15 16 17 18 19 20 31 32 33 34 35 36 41")

// values makes the shortest and the longest value of a format: "N6-6d", "X1-20", "N13-13c X1-17?".
func values(t *testing.T, format string) (least, most string) {
	t.Helper()
	for _, p := range strings.Fields(format) {
		flags := strings.TrimLeft(p[1:], "0123456789-")
		from, to, _ := strings.Cut(strings.TrimSuffix(p[1:], flags), "-")
		low, err := strconv.Atoi(from)
		if err != nil {
			t.Fatal(err)
		}
		high, err := strconv.Atoi(to)
		if err != nil {
			t.Fatal(err)
		}
		if strings.ContainsAny(flags, "de") {
			least, most = least+"270101", most+"270101"
			continue
		}
		if !strings.Contains(flags, "?") {
			least += strings.Repeat("0", low)
		}
		most += strings.Repeat("0", high)
	}
	return least, most
}
