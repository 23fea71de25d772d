package read_test

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"errors"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"strings"
	"testing"
	"time"

	"golang.org/x/image/tiff"

	"philtrum/templates/code"
	"philtrum/templates/code/read"
)

var page = code.Page{Document: "0f1e2d3c4b5a69788796a5b4c3d2e1f0", Number: 2, Of: 3}

// sheet is a page with one code at each place.
func sheet(t testing.TB, pages ...code.Page) *image.Gray {
	t.Helper()
	g := image.NewGray(image.Rect(0, 0, 1240, 1754))
	for i := range g.Pix {
		g.Pix[i] = 255
	}
	for n, p := range pages {
		m, err := p.Symbol()
		if err != nil {
			t.Fatal(err)
		}
		for y := range m.Size * 4 {
			for x := range m.Size * 4 {
				if m.Dark(x/4, y/4) {
					g.SetGray(100+x+n*600, 1500+y, color.Gray{})
				}
			}
		}
	}
	return g
}

func encoded(t testing.TB, encode func(*bytes.Buffer) error) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := encode(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestEveryKindOfFileIsRead(t *testing.T) {
	g := sheet(t, page)
	for kind, data := range map[string][]byte{
		read.PNG:  encoded(t, func(b *bytes.Buffer) error { return png.Encode(b, g) }),
		read.JPEG: encoded(t, func(b *bytes.Buffer) error { return jpeg.Encode(b, g, nil) }),
		read.TIFF: encoded(t, func(b *bytes.Buffer) error { return tiff.Encode(b, g, nil) }),
	} {
		if got := read.Kind(data); got != kind {
			t.Errorf("%s is taken for %s", kind, got)
		}
		sheets, err := read.File(data)
		if err != nil || len(sheets) != 1 || len(sheets[0].Found) != 1 || sheets[0].Found[0].Page != page {
			t.Fatalf("%s: %+v %v", kind, sheets, err)
		}
		if r := sheets[0].Found[0].Resolution; r < 140 || r > 155 { // four pixels of 0.69 mm are 147 dots per inch
			t.Errorf("%s: %d dots per inch", kind, r)
		}
	}
}

func TestTwoPagesOnOnePictureAreBothFound(t *testing.T) {
	other := page
	other.Number = 3
	found := read.Pages(sheet(t, page, other))
	if len(found) != 2 || found[0].Page != page || found[1].Page != other {
		t.Errorf("%+v", found)
	}
}

// bomb is a PNG that says that it is large.
func bomb(w, h uint32) []byte {
	var b bytes.Buffer
	b.WriteString("\x89PNG\r\n\x1a\n")
	chunk := func(name string, data []byte) {
		_ = binary.Write(&b, binary.BigEndian, uint32(len(data)))
		whole := append([]byte(name), data...)
		b.Write(whole)
		_ = binary.Write(&b, binary.BigEndian, crc32.ChecksumIEEE(whole))
	}
	head := binary.BigEndian.AppendUint32(binary.BigEndian.AppendUint32(nil, w), h)
	chunk("IHDR", append(head, 8, 0, 0, 0, 0))
	var packed bytes.Buffer
	z := zlib.NewWriter(&packed)
	_, _ = z.Write(make([]byte, 1<<20))
	_ = z.Close()
	chunk("IDAT", packed.Bytes())
	chunk("IEND", nil)
	return b.Bytes()
}

func TestHostileFilesAreBounded(t *testing.T) {
	g := sheet(t, page)
	whole := encoded(t, func(b *bytes.Buffer) error { return png.Encode(b, g) })
	tif := encoded(t, func(b *bytes.Buffer) error { return tiff.Encode(b, g, nil) })
	loop := bytes.Clone(tif)
	at := binary.LittleEndian.Uint32(loop[4:])
	entries := uint32(binary.LittleEndian.Uint16(loop[at:]))
	binary.LittleEndian.PutUint32(loop[at+2+12*entries:], at) // the next page is this one again
	for name, c := range map[string]struct {
		data  []byte
		err   error // of the file
		sheet error // of its first page
	}{
		"nothing":       {nil, read.ErrKind, nil},
		"text":          {[]byte("hello"), read.ErrKind, nil},
		"large":         {bomb(60000, 60000), nil, read.ErrTooLarge},
		"short":         {whole[:2000], nil, read.ErrBroken},
		"no pixels":     {bomb(0, 0), nil, read.ErrBroken},
		"jpeg, cut":     {[]byte("\xff\xd8\xff\xe0"), nil, read.ErrBroken},
		"tiff, cut":     {tif[:8], nil, read.ErrBroken},
		"tiff in loops": {loop, nil, nil},
		"pdf, cut":      {[]byte("%PDF-1.7\n1 0 obj\n<<"), read.ErrBroken, nil},
		"pdf, locked":   {[]byte("%PDF-1.7\ntrailer<</Encrypt 1 0 R>>"), read.ErrLocked, nil},
	} {
		sheets, err := read.File(c.data)
		if !errors.Is(err, c.err) {
			t.Errorf("%s: %v", name, err)
		}
		if c.err == nil && (len(sheets) != 1 || !errors.Is(sheets[0].Err, c.sheet)) {
			t.Errorf("%s: %+v", name, sheets)
		}
	}
}

func FuzzFile(f *testing.F) {
	f.Add([]byte("%PDF-1.4\n1 0 obj<</Type/Catalog/Pages 2 0 R>>endobj\n"))
	f.Add(bomb(20, 20))
	f.Fuzz(func(_ *testing.T, data []byte) {
		if len(data) < 1<<16 {
			_, _ = read.File(data)
			_, _, _ = read.Strip(data)
		}
	})
}

func TestStripTakesOutWhatTheCameraWrote(t *testing.T) {
	plain := encoded(t, func(b *bytes.Buffer) error { return jpeg.Encode(b, image.NewGray(image.Rect(0, 0, 40, 30)), nil) })
	note := "Exif\x00\x00II*\x00\x08\x00\x00\x00\x02\x00" +
		"\x12\x01\x03\x00\x01\x00\x00\x00\x06\x00\x00\x00" + // the right side is up
		"\x32\x01\x02\x00\x14\x00\x00\x00\x26\x00\x00\x00" +
		"\x00\x00\x00\x00" + "2026:12:04 14:31:00\x00" + "GPS of a home"
	segment := func(marker byte, body string) []byte {
		return append([]byte{0xff, marker, byte((len(body) + 2) >> 8), byte(len(body) + 2)}, body...)
	}
	data := bytes.Join([][]byte{{0xff, 0xd8}, segment(0xe1, note), segment(0xfe, "a comment"), segment(0xed, "Photoshop 3.0 owner"),
		plain[2:], []byte("a film behind it")}, nil)
	got, taken, err := read.Strip(data)
	if err != nil {
		t.Fatal(err)
	}
	for _, secret := range []string{"GPS", "comment", "owner", "film"} {
		if bytes.Contains(got, []byte(secret)) {
			t.Errorf("%s is left", secret)
		}
	}
	if want := time.Date(2026, 12, 4, 14, 31, 0, 0, time.UTC); !taken.Equal(want) {
		t.Errorf("taken %v", taken)
	}
	again, later, err := read.Strip(got)
	if err != nil || !later.Equal(taken) || !bytes.Equal(again, got) {
		t.Errorf("stripping again changes it: %v %v", later, err)
	}
	if !strings.Contains(string(got[:40]), "Exif") || !bytes.HasSuffix(got, plain[len(plain)-200:]) {
		t.Error("the picture is not as it was")
	}
	if _, err := jpeg.Decode(bytes.NewReader(got)); err != nil {
		t.Error(err)
	}
}

func TestStripKeepsAPNGsPicture(t *testing.T) {
	plain := encoded(t, func(b *bytes.Buffer) error { return png.Encode(b, image.NewGray(image.Rect(0, 0, 40, 30))) })
	text := []byte("tEXtAuthor\x00Somebody")
	chunk := append(binary.BigEndian.AppendUint32(nil, uint32(len(text)-4)), text...)
	chunk = binary.BigEndian.AppendUint32(chunk, crc32.ChecksumIEEE(text))
	data := append(append(bytes.Clone(plain[:33]), chunk...), plain[33:]...)
	got, _, err := read.Strip(append(data, "behind"...))
	if err != nil || !bytes.Equal(got, plain) {
		t.Errorf("%v: %d bytes, not %d", err, len(got), len(plain))
	}
}
