package main

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"fmt"
	"image"
	"image/jpeg"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/rogpeppe/go-internal/testscript"

	"philtrum/templates/pdf/raster"
	"philtrum/templates/pdf/read"
)

// paperFile puts the file of the last paper of a kind of a visit into a variable.
func paperFile(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: paper KIND VISIT NAME")
	}
	files, err := filepath.Glob(ts.MkAbs("visits/*/" + args[1] + "/visit.yaml"))
	if err != nil || len(files) != 1 {
		ts.Fatalf("no visit %s", args[1])
	}
	data, err := os.ReadFile(files[0])
	ts.Check(err)
	_, rest, ok := strings.Cut(string(data), "- kind: "+args[0]+"\n    document: ")
	if !ok {
		ts.Fatalf("no %s", args[0])
	}
	document, _, _ := strings.Cut(rest, "\n")
	ts.Setenv(args[2], filepath.ToSlash(filepath.Join(filepath.Dir(files[0]), "papers", document+".pdf")))
}

// scanPages makes a file as a scanner does, a picture a page, from pages of papers.
func scanPages(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: scan OUT (FILE:PAGE | blank)...")
	}
	var pictures []*image.Gray
	for _, arg := range args[1:] {
		picture := image.NewGray(image.Rect(0, 0, 1654, 2339))
		for i := range picture.Pix {
			picture.Pix[i] = 255
		}
		if at := strings.LastIndex(arg, ":"); at > 1 {
			number, err := strconv.Atoi(arg[at+1:])
			ts.Check(err)
			data, err := os.ReadFile(ts.MkAbs(arg[:at]))
			ts.Check(err)
			file, err := read.Open(data)
			ts.Check(err)
			picture, err = raster.Page(file, file.Pages()[number-1])
			ts.Check(err)
		}
		pictures = append(pictures, picture)
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), scannerFile(pictures), 0o600))
}

// scannerFile is a PDF of pictures.
func scannerFile(pictures []*image.Gray) []byte {
	var out bytes.Buffer
	var places []int
	object := func(dict string, stream []byte) {
		places = append(places, out.Len())
		fmt.Fprintf(&out, "%d 0 obj\n%s\n", len(places), dict)
		if stream != nil {
			fmt.Fprintf(&out, "stream\n%s\nendstream\n", stream)
		}
		out.WriteString("endobj\n")
	}
	out.WriteString("%PDF-1.4\n")
	object("<</Type/Catalog/Pages 2 0 R>>", nil)
	var kids []string
	for i := range pictures {
		kids = append(kids, fmt.Sprintf("%d 0 R", 3+3*i))
	}
	object(fmt.Sprintf("<</Type/Pages/Count %d/Kids[%s]/MediaBox[0 0 595 842]>>", len(kids), strings.Join(kids, " ")), nil)
	for i, p := range pictures {
		var packed bytes.Buffer
		z := zlib.NewWriter(&packed)
		_, _ = z.Write(p.Pix)
		_ = z.Close()
		content := []byte("q 595 0 0 842 0 0 cm /I Do Q")
		object(fmt.Sprintf("<</Type/Page/Parent 2 0 R/Contents %d 0 R/Resources<</XObject<</I %d 0 R>>>>>>", 4+3*i, 5+3*i), nil)
		object(fmt.Sprintf("<</Length %d>>", len(content)), content)
		object(fmt.Sprintf("<</Type/XObject/Subtype/Image/Width %d/Height %d/BitsPerComponent 8/ColorSpace/DeviceGray/Filter/FlateDecode/Length %d>>",
			p.Rect.Dx(), p.Rect.Dy(), packed.Len()), packed.Bytes())
	}
	start := out.Len()
	fmt.Fprintf(&out, "xref\n0 %d\n0000000000 65535 f \n", len(places)+1)
	for _, at := range places {
		fmt.Fprintf(&out, "%010d 00000 n \n", at)
	}
	fmt.Fprintf(&out, "trailer\n<</Size %d/Root 1 0 R>>\nstartxref\n%d\n%%%%EOF\n", len(places)+1, start)
	return out.Bytes()
}

// keepWaiting puts the item of the tray that waits for a reason into a variable.
func keepWaiting(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: waiting REASON NAME")
	}
	files, err := filepath.Glob(ts.MkAbs("tray/*.yaml"))
	ts.Check(err)
	for _, file := range files {
		data, err := os.ReadFile(file)
		ts.Check(err)
		if strings.Contains(string(data), "reason: "+args[0]+"\n") {
			ts.Setenv(args[1], strings.TrimSuffix(filepath.Base(file), ".yaml"))
			return
		}
	}
	ts.Fatalf("nothing waits for %s", args[0])
}

// photographFile makes a photograph with what a camera writes into it: its device, the time, which way up.
func photographFile(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: photograph FILE")
	}
	var plain bytes.Buffer
	ts.Check(jpeg.Encode(&plain, image.NewGray(image.Rect(0, 0, 64, 48)), nil))
	order := binary.BigEndian
	device, taken := "SECRET-DEVICE\x00", "2026:12:04 14:31:00\x00"
	body := []byte("Exif\x00\x00MM\x00*\x00\x00\x00\x08\x00\x03")
	entry := func(tag, kind uint16, count, value uint32) {
		body = order.AppendUint16(order.AppendUint16(body, tag), kind)
		body = order.AppendUint32(order.AppendUint32(body, count), value)
	}
	text := uint32(8 + 2 + 3*12 + 4)
	entry(0x0110, 2, uint32(len(device)), text)
	entry(0x0112, 3, 1, 6<<16)
	entry(0x0132, 2, uint32(len(taken)), text+uint32(len(device)))
	body = append(append(append(body, 0, 0, 0, 0), device...), taken...)
	segment := append(order.AppendUint16([]byte{0xff, 0xe1}, uint16(len(body)+2)), body...)
	data := append(append([]byte{0xff, 0xd8}, segment...), plain.Bytes()[2:]...)
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), data, 0o600))
}
