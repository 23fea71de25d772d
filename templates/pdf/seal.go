package pdf

import (
	"crypto/md5" //nolint:gosec // the checksum that ISO 32000-1 prescribes; it proves nothing
	"encoding/hex"
	"slices"
	"strconv"
	"strings"
	"time"
)

// Attachment is a file within a file. Its name and description are seen by whoever lists the attachments.
type Attachment struct {
	Name         string // "visit.yaml"; unique in the file
	Type         string // media type: "application/pdf"
	Description  string
	Relationship Relationship
	Data         []byte
}

// Relationship says what an attachment is to the pages (ISO 19005-3, annex E).
type Relationship string

// Relationships that are used here.
const (
	Data       Relationship = "Data"       // what the pages show, for machines
	Supplement Relationship = "Supplement" // beside it
)

// Signature is room for a signature and its field. The field has no look of its own: the page says in words
// what the file is.
type Signature struct {
	Entries string    // of the signature's dictionary, as package sign wants them
	Label   string    // what the field is, for readers that cannot see
	At      time.Time // when, as the signer says; it proves nothing
}

// writeAttachments writes the attached files and the tree of their names; 0 without any.
func (f *finisher) writeAttachments() (int, error) {
	files := slices.Clone(f.info.Attachments)
	if len(files) == 0 {
		return 0, nil
	}
	slices.SortFunc(files, func(a, b Attachment) int { return strings.Compare(a.Name, b.Name) })
	for _, file := range files {
		data := f.a.reserve()
		if err := f.writeFile(data, file); err != nil {
			return 0, err
		}
		spec := f.a.reserve()
		f.a.object(spec, func(b []byte) []byte {
			b = appendTextString(append(b, "<</Type/Filespec/F"...), file.Name)
			b = appendTextString(append(b, "/UF"...), file.Name)
			b = appendTextString(append(b, "/Desc"...), file.Description)
			b = appendName(append(b, "/AFRelationship"...), string(file.Relationship))
			b = appendRef(append(b, "/EF<</F "...), data)
			return append(appendRef(append(b, "/UF "...), data), ">>>>"...)
		})
		f.held = append(f.held, spec)
	}
	names := f.a.reserve()
	f.a.object(names, func(b []byte) []byte {
		b = append(b, "<</Names["...)
		for i, file := range files {
			b = appendRef(append(appendTextString(b, file.Name), ' '), f.held[i])
		}
		return append(b, "]>>"...)
	})
	return names, nil
}

// writeFile writes an attached file. Pictures and papers are compressed already; an index for programs stays as
// it is, so that it can be found without a reader of PDF files.
func (f *finisher) writeFile(num int, file Attachment) error {
	sum := md5.Sum(file.Data) //nolint:gosec // see above
	dict := string(appendName([]byte("/Type/EmbeddedFile/Subtype"), file.Type)) +
		"/Params<</Size " + strconv.Itoa(len(file.Data)) + "/CheckSum<" + hex.EncodeToString(sum[:]) + ">"
	if !f.info.Issued.IsZero() {
		dict += "/ModDate(" + pdfDate(f.info.Issued) + ")"
	}
	dict += ">>"
	if file.Type == "application/pdf" || file.Type == "application/json" || strings.HasPrefix(file.Type, "image/") {
		f.a.stream(num, dict, file.Data)
		return nil
	}
	return f.a.deflated(num, dict, file.Data)
}

// appendHeld appends what the catalogue says of attached files.
func (f *finisher) appendHeld(b []byte, names int) []byte {
	b = append(appendRef(append(b, "/Names<</EmbeddedFiles "...), names), ">>/AF["...)
	for _, num := range f.held {
		b = append(appendRef(b, num), ' ')
	}
	return append(b, ']')
}

// writeSignature writes the signature's dictionary, never packed since its bytes are looked for, and its
// field: one whose widget has no extent, which needs no look but an empty one (ISO 19005-2, 6.3.3).
func (f *finisher) writeSignature(widget int) {
	s := f.info.Signature
	value := f.a.reserve()
	f.a.open(value)
	b := append(append(f.a.out.b, "<<"...), s.Entries...)
	if !s.At.IsZero() {
		b = append(append(append(b, "/M("...), pdfDate(s.At)...), ')')
	}
	f.a.out.b = append(b, ">>\nendobj\n"...)
	look := f.a.reserve()
	f.a.stream(look, "/Type/XObject/Subtype/Form/BBox[0 0 0 0]", nil)
	f.a.object(widget, func(b []byte) []byte {
		const printed, locked = 4, 128
		b = append(b, "<</Type/Annot/Subtype/Widget/FT/Sig/T(seal)/Rect[0 0 0 0]/F "...)
		b = strconv.AppendInt(b, printed|locked, 10)
		b = appendTextString(append(b, "/TU"...), s.Label)
		b = appendRef(append(b, "/V "...), value)
		b = appendRef(append(b, "/P "...), f.pages[0])
		b = append(appendRef(append(b, "/AP<</N "...), look), ">>/StructParent "...)
		return append(strconv.AppendInt(b, int64(len(f.pages)), 10), ">>"...)
	})
}

// writeForm writes the signature's field into the structure (ISO 14289-1, 7.18.4).
func (f *finisher) writeForm(parent int) int {
	f.form = f.a.reserve()
	f.a.object(f.form, func(b []byte) []byte {
		b = appendRef(append(b, "<</S/Form/P "...), parent)
		b = appendRef(append(b, "/Pg "...), f.pages[0])
		b = appendTextString(append(b, "/Alt"...), f.info.Signature.Label)
		b = appendRef(append(b, "/K<</Type/OBJR/Pg "...), f.pages[0])
		return append(appendRef(append(b, "/Obj "...), f.widget), ">>>>"...)
	})
	return f.form
}
