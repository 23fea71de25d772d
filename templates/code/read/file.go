package read

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"image"
	"image/draw"
	"image/jpeg"
	"image/png"

	"golang.org/x/image/tiff"

	"philtrum/templates/pdf/raster"
	pdf "philtrum/templates/pdf/read"
)

// Kinds of files that can be scans.
const (
	PDF  = "pdf"
	JPEG = "jpg"
	PNG  = "png"
	TIFF = "tif"
)

// Why a file or a page of it cannot be looked at.
var (
	ErrKind     = errors.New("code/read: no kind of file that is known")
	ErrTooLarge = errors.New("code/read: a picture or file with too many pixels or pages")
	ErrBroken   = errors.New("code/read: a file that cannot be read")
	ErrLocked   = errors.New("code/read: a file that is encrypted")
	ErrPicture  = errors.New("code/read: a picture of a kind that cannot be read")
)

const (
	mostPixels = 120 << 20 // an A3 page at 600 dots per inch has 70 million
	mostSheets = 500
)

// Kind tells files apart by how they begin; empty for other kinds.
func Kind(data []byte) string {
	switch {
	case bytes.Contains(data[:min(len(data), 1024)], []byte("%PDF-")): // junk before it is common
		return PDF
	case bytes.HasPrefix(data, []byte("\xff\xd8\xff")):
		return JPEG
	case bytes.HasPrefix(data, []byte("\x89PNG\r\n\x1a\n")):
		return PNG
	case bytes.HasPrefix(data, []byte("II*\x00")), bytes.HasPrefix(data, []byte("MM\x00*")):
		return TIFF
	}
	return ""
}

// Sheet is one page of a file: what was found on it, or why nothing could be looked for.
type Sheet struct {
	Number int // from 1
	Found  []Found
	Err    error // ErrPicture, ErrTooLarge or ErrBroken
}

// File looks for the codes of our pages on every page of a file. The error is one of those above.
func File(data []byte) (sheets []Sheet, err error) {
	defer func() { // decoders of foreign bytes
		if recover() != nil {
			sheets, err = nil, ErrBroken
		}
	}()
	switch kind := Kind(data); kind {
	case PDF:
		return pdfSheets(data)
	case TIFF:
		return tiffSheets(data)
	case "":
		return nil, ErrKind
	default:
		picture, err := decode(kind, data)
		return []Sheet{sheetOf(1, picture, err)}, nil
	}
}

func sheetOf(number int, picture *image.Gray, err error) Sheet {
	s := Sheet{Number: number, Err: err}
	if picture != nil {
		s.Found = Pages(picture)
	}
	if len(s.Found) > 0 {
		s.Err = nil
	}
	return s
}

func pdfSheets(data []byte) ([]Sheet, error) {
	f, err := pdf.Open(data)
	if err != nil {
		if bytes.Contains(data, []byte("/Encrypt")) {
			return nil, ErrLocked
		}
		return nil, ErrBroken
	}
	if len(f.Pages()) == 0 {
		return nil, ErrBroken
	}
	if len(f.Pages()) > mostSheets {
		return nil, ErrTooLarge
	}
	var sheets []Sheet
	for i, p := range f.Pages() {
		picture, err := raster.Page(f, p)
		switch {
		case errors.Is(err, raster.ErrPicture):
			err = ErrPicture
		case err != nil:
			err = ErrBroken
		}
		sheets = append(sheets, sheetOf(i+1, picture, err))
	}
	return sheets, nil
}

// decode reads a picture in grey. Its size is looked at before any of it is decoded.
func decode(kind string, data []byte) (*image.Gray, error) {
	size, whole := image.Config{}, func() (image.Image, error) { return nil, ErrKind }
	var err error
	switch kind {
	case JPEG:
		size, err = jpeg.DecodeConfig(bytes.NewReader(data))
		whole = func() (image.Image, error) { return jpeg.Decode(bytes.NewReader(data)) }
	case PNG:
		size, err = png.DecodeConfig(bytes.NewReader(data))
		whole = func() (image.Image, error) { return png.Decode(bytes.NewReader(data)) }
	case TIFF:
		size, err = tiff.DecodeConfig(bytes.NewReader(data))
		whole = func() (image.Image, error) { return tiff.Decode(bytes.NewReader(data)) }
	}
	if err != nil || size.Width <= 0 || size.Height <= 0 {
		return nil, ErrBroken
	}
	if size.Width > mostPixels/size.Height {
		return nil, ErrTooLarge
	}
	decoded, err := whole()
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrBroken, err)
	}
	return grey(decoded), nil
}

// Picture reads a file of one picture in grey, for [Symbols].
func Picture(data []byte) (picture *image.Gray, err error) {
	defer func() {
		if recover() != nil {
			picture, err = nil, ErrBroken
		}
	}()
	kind := Kind(data)
	if kind == "" || kind == PDF {
		return nil, ErrKind
	}
	return decode(kind, data)
}

func grey(p image.Image) *image.Gray {
	switch p := p.(type) {
	case *image.Gray:
		return cut(p, p.Rect)
	case *image.YCbCr:
		return cut(&image.Gray{Pix: p.Y, Stride: p.YStride, Rect: p.Rect}, p.Rect)
	}
	out := image.NewGray(image.Rect(0, 0, p.Bounds().Dx(), p.Bounds().Dy()))
	draw.Draw(out, out.Rect, image.White, image.Point{}, draw.Src) // what is transparent is paper
	draw.Draw(out, out.Rect, p, p.Bounds().Min, draw.Over)
	return out
}

// tiffSheets reads all pages: each has a directory, which points to the next (TIFF 6.0, section 2). The decoder
// reads the directory that the header points to.
func tiffSheets(data []byte) ([]Sheet, error) {
	var order binary.ByteOrder = binary.LittleEndian
	if data[0] == 'M' {
		order = binary.BigEndian
	}
	data = bytes.Clone(data)
	seen := map[uint32]bool{}
	var sheets []Sheet
	for len(data) >= 8 {
		at := order.Uint32(data[4:])
		if at == 0 || seen[at] {
			break
		}
		if len(sheets) == mostSheets {
			return nil, ErrTooLarge
		}
		seen[at] = true
		picture, err := decode(TIFF, data)
		sheets = append(sheets, sheetOf(len(sheets)+1, picture, err))
		if uint64(at)+2 > uint64(len(data)) {
			break
		}
		next := uint64(at) + 2 + 12*uint64(order.Uint16(data[at:]))
		if next+4 > uint64(len(data)) {
			break
		}
		copy(data[4:8], data[next:next+4])
	}
	if len(sheets) == 0 {
		return nil, ErrBroken
	}
	return sheets, nil
}
