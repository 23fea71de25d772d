package read_test

import (
	"image"
	"math/rand/v2"
	"os"
	"testing"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/datamatrix/encoder"
	"github.com/makiuchi-d/gozxing/oned"

	"philtrum/templates/code/read"
	"philtrum/templates/code/worn"
)

// gs1 is a code of a box: a device identifier, an expiry and a lot.
const gs1 = "01095060001343521728083110AB-0012"

// box is a photograph of a box: print all over, a label with the code somewhere on it.
type box struct {
	kind    string
	module  float64 // pixels
	degrees float64
	sigma   float64
}

func (b box) photograph(t testing.TB, random *rand.Rand) *image.Gray {
	g := image.NewGray(image.Rect(0, 0, 1600, 1200))
	shade := uint8(190 + random.IntN(60))
	for i := range g.Pix {
		g.Pix[i] = shade
	}
	for range 40 { // lines of print
		x, y := random.IntN(1250), random.IntN(1180)
		for n := range 12 + random.IntN(20) {
			fill(g, image.Rect(x+n*11, y, x+n*11+2+random.IntN(6), y+6+random.IntN(8)), 60)
		}
	}
	label := b.label(t)
	w, h := label.Rect.Dx(), label.Rect.Dy()
	x, y := random.IntN(1600-w), random.IntN(1200-h)
	for py := range h {
		for px := range w {
			g.SetGray(x+px, y+py, label.GrayAt(px, py))
		}
	}
	worn.Grain(g, b.sigma, random)
	return g
}

func fill(g *image.Gray, r image.Rectangle, v uint8) {
	r = r.Intersect(g.Rect)
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			g.Pix[y*g.Stride+x] = v
		}
	}
}

// label draws the code with its quiet zone, turned.
func (b box) label(t testing.TB) *image.Gray {
	dark, cols, rows := b.modules(t)
	quiet := 4
	w, h := float64(cols+2*quiet)*b.module, float64(rows+2*quiet)*b.module
	side := int(max(w, h)*1.3) + 8
	if b.degrees == 0 || b.degrees == 90 {
		side = int(max(w, h)) + 2
	}
	flat := image.NewGray(image.Rect(0, 0, side, side))
	for i := range flat.Pix {
		flat.Pix[i] = 255
	}
	left, top := (float64(side)-float64(cols)*b.module)/2, (float64(side)-float64(rows)*b.module)/2
	for y := range side {
		for x := range side {
			i, j := int((float64(x)-left)/b.module), int((float64(y)-top)/b.module)
			if float64(x) >= left && float64(y) >= top && i < cols && j < rows && dark(i, j) {
				flat.Pix[y*flat.Stride+x] = 30
			}
		}
	}
	return worn.Turn(flat, b.degrees)
}

func (b box) modules(t testing.TB) (dark func(x, y int) bool, cols, rows int) {
	if b.kind == "code_128" {
		m, err := oned.NewCode128Writer().Encode("\u00f1"+gs1, gozxing.BarcodeFormat_CODE_128, 0, 0, nil)
		if err != nil {
			t.Fatal(err)
		}
		return func(x, _ int) bool { return m.Get(x, 0) }, m.GetWidth(), 40
	}
	m := dataMatrix(t)
	return func(x, y int) bool { return m.Get(x, y) }, m.GetWidth(), m.GetHeight()
}

// dataMatrix encodes the code with the sign of GS1 in front, codeword 232 (ISO/IEC 16022, table 2).
func dataMatrix(t testing.TB) *gozxing.BitMatrix {
	words := []byte{232}
	for i := 0; i < len(gs1); i++ {
		if i+1 < len(gs1) && digit(gs1[i]) && digit(gs1[i+1]) {
			words = append(words, 130+10*(gs1[i]-'0')+gs1[i+1]-'0')
			i++
			continue
		}
		words = append(words, gs1[i]+1)
	}
	info, err := encoder.SymbolInfo_Lookup(len(words), encoder.SymbolShapeHint_FORCE_SQUARE, nil, nil, true)
	if err != nil {
		t.Fatal(err)
	}
	for first := true; len(words) < info.GetDataCapacity(); first = false {
		pad := 129
		if !first {
			if pad = 129 + 149*(len(words)+1)%253 + 1; pad > 254 {
				pad -= 254
			}
		}
		words = append(words, byte(pad))
	}
	full, err := encoder.ErrorCorrection_EncodeECC200(words, info)
	if err != nil {
		t.Fatal(err)
	}
	placement := encoder.NewDefaultPlacement(full, info.GetSymbolDataWidth(), info.GetSymbolDataHeight())
	placement.Place()
	return framed(t, placement, info)
}

func digit(c byte) bool { return c >= '0' && c <= '9' }

// framed puts the finder around the data of a symbol of one region: solid left and below, dotted above and right.
func framed(t testing.TB, p *encoder.DefaultPlacement, info *encoder.SymbolInfo) *gozxing.BitMatrix {
	w, h := info.GetSymbolDataWidth(), info.GetSymbolDataHeight()
	m, err := gozxing.NewBitMatrix(w+2, h+2)
	if err != nil {
		t.Fatal(err)
	}
	for y := range h + 2 {
		for x := range w + 2 {
			var dark bool
			switch {
			case x == 0 || y == h+1:
				dark = true
			case y == 0:
				dark = x%2 == 0
			case x == w+1:
				dark = y%2 == 1
			default:
				dark = p.GetBit(x-1, y-1)
			}
			if dark {
				m.Set(x, y)
			}
		}
	}
	return m
}

// Photographs of boxes are read as often as README.md says.
func TestPhotographsOfBoxes(t *testing.T) {
	each := 1
	if os.Getenv("PHILTRUM_TRIALS") != "" {
		each = 10
	}
	random := rand.New(rand.NewPCG(7, 2026))
	for _, kind := range []string{"data_matrix", "code_128"} {
		for _, degrees := range []float64{0, 4, 11, 20, 90} {
			hits, wrong, n := 0, 0, 0
			for _, sigma := range []float64{5, 15} {
				for range each {
					module := 4 + 4*random.Float64()
					if kind == "code_128" {
						module = 2 + random.Float64()
					}
					n++
					switch found := read.Symbols(box{kind, module, degrees, sigma}.photograph(t, random)); {
					case len(found) == 1 && found[0].Text == gs1:
						hits++
					case len(found) > 0:
						wrong++
						t.Errorf("%s turned by %v: read as %q", kind, degrees, found)
					}
				}
			}
			t.Logf("%s turned by %v: %d of %d", kind, degrees, hits, n)
			if each > 1 && hits*2 < n {
				t.Errorf("%s turned by %v: only %d of %d were read", kind, degrees, hits, n)
			}
		}
	}
}
