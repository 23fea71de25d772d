package pdf

import (
	"math"
	"strconv"
	"testing"

	"pgregory.net/rapid"

	"philtrum/templates/layout"
)

func TestLengthsAreWrittenInPoints(t *testing.T) {
	for l, want := range map[layout.Length]string{
		0: "0", 1000: "1", 1500: "1.5", 1230: "1.23", 1234: "1.23", 1235: "1.24", -1235: "-1.24", -4: "0", -5: "-0.01",
		595276: "595.28", math.MaxInt32: "2147483.65", math.MinInt32: "-2147483.65", 20: "0.02",
	} {
		if got := string(appendLength(nil, l)); got != want {
			t.Errorf("%d is written %s, want %s", l, got, want)
		}
	}
}

func TestLengthsStayWithinHalfAHundredth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := layout.Length(rapid.Int32().Draw(t, "length"))
		v, err := strconv.ParseFloat(string(appendLength(nil, l)), 64)
		if err != nil || math.Abs(v-float64(l)/1000) > 0.005+1e-6 {
			t.Fatalf("%d is written %v (%v)", l, v, err)
		}
		if p := points(l); math.Abs(p-v) > 1e-9 {
			t.Fatalf("%d: page writer gets %v, our own bytes %v", l, p, v)
		}
	})
}

func TestTextStrings(t *testing.T) {
	for s, want := range map[string]string{
		"": "()", "a": "(a)", `(a\)`: `(\(a\\\))`, "é": "<FEFF00E9>", "a\n": "<FEFF0061000A>", "𠮷": "<FEFFD842DFB7>",
	} {
		if got := string(appendTextString(nil, s)); got != want {
			t.Errorf("%q is written %s, want %s", s, got, want)
		}
	}
}

func TestNames(t *testing.T) {
	for s, want := range map[string]string{"H1": "/H1", "a b": "/a#20b", "x/y#(é)": "/x#2Fy#23#28#C3#A9#29"} {
		if got := string(appendName(nil, s)); got != want {
			t.Errorf("%q is written %s, want %s", s, got, want)
		}
	}
}

func TestShadesBlendWithWhite(t *testing.T) {
	ink := [3]uint8{0, 100, 255}
	for percent, want := range map[uint8][3]uint8{0: white, 100: ink, 50: {128, 178, 255}, 200: ink} {
		if got := shade(ink, percent); got != want {
			t.Errorf("%d %%: %v, want %v", percent, got, want)
		}
	}
}

// The transfer function is that of IEC 61966-2-1.
func TestToneCurveIsTheTransferFunction(t *testing.T) {
	for i, got := range toneCurve {
		v := float64(i) / float64(len(toneCurve)-1)
		want := v / 12.92
		if v > 0.04045 {
			want = math.Pow((v+0.055)/1.055, 2.4)
		}
		if math.Abs(float64(got)-want*65535) > 0.51 {
			t.Errorf("step %d is %d, want %.1f", i, got, want*65535)
		}
	}
}

// White must come to the white point, to the last unit.
func TestPrimariesAddUpToWhite(t *testing.T) {
	b := colourProfile()
	if size := int(b[0])<<24 | int(b[1])<<16 | int(b[2])<<8 | int(b[3]); size != len(b) {
		t.Errorf("the profile says %d bytes and has %d", size, len(b))
	}
	tags := make(map[string][3]int)
	for i := range int(b[131]) {
		at := 132 + 12*i
		word := func(p int) int { return int(b[p])<<24 | int(b[p+1])<<16 | int(b[p+2])<<8 | int(b[p+3]) }
		offset, size := word(at+4), word(at+8)
		if offset+size > len(b) || offset%4 != 0 {
			t.Fatalf("tag %d lies outside", i)
		}
		if size == 20 {
			tags[string(b[at:at+4])] = [3]int{word(offset + 8), word(offset + 12), word(offset + 16)}
		}
	}
	for i, want := range tags["wtpt"] {
		if got := tags["rXYZ"][i] + tags["gXYZ"][i] + tags["bXYZ"][i]; got != want {
			t.Errorf("component %d adds up to %#x, white is %#x", i, got, want)
		}
	}
}
