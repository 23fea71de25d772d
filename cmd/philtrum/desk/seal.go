package desk

import (
	"bytes"
	"errors"
	"fmt"
	"path"
	"slices"
	"strings"

	"philtrum/cmd/philtrum/folder"
	"philtrum/forms/journal"
	"philtrum/forms/source"
	"philtrum/locales"
	"philtrum/templates"
	"philtrum/templates/pdf"
	"philtrum/templates/pdf/sign"
)

// kindSeal is the cover of a sealed file. It is no paper that can be issued alone.
const kindSeal = "seal"

// mostSealed is how many bytes a sealed file may hold: it is made in memory.
const mostSealed = 256 << 20

// SealRequest is how to seal a visit.
type SealRequest struct {
	By       string         // of the staff
	Identity *sign.Identity // the clinic's certificate with its key; nil: the file is not signed
}

// Sealed is a sealed file: where it is and what it reaches.
type Sealed struct {
	Document, File string
	Existing       bool            // sealed before with the same content; nothing was written
	Signed         bool            // with the identity asked for, at level sign.Level
	Notices        source.Problems // worth saying
}

// Seal puts everything of a visit into one archival file: the visit with its answers and record, the patient's
// details, the issued papers, what was attached, and the visit's lines of the journal. They are attached byte
// for byte; the pages say what they are. The file is signed with the identity, or says that it is not.
//
// A sealed file is never changed: after an amendment the visit is sealed again, and the new file names the one
// before. Nothing hinders sealing but a visit's file that cannot be read and a certificate that cannot sign.
func (d *Desk) Seal(id string, r SealRequest) (Sealed, source.Problems, error) {
	checked, err := d.Check(id)
	if err != nil {
		return Sealed{}, nil, err
	}
	if problems := unreadable(checked); len(problems) > 0 {
		return Sealed{}, problems, nil
	}
	if r.Identity != nil && !r.Identity.Valid(d.at) {
		return Sealed{}, one("seal.certificate_outside"), nil
	}
	bundle, problems, err := d.bundle(checked)
	if err != nil || len(problems) > 0 {
		return Sealed{}, problems, err
	}
	sealed := Sealed{Signed: r.Identity != nil, Notices: bundle.notices}
	if bundle.unchanged(sealed.Signed) {
		sealed.Existing, sealed.Document, sealed.File = true, bundle.before, d.sealFile(bundle.visitFile, bundle.before)
		return sealed, nil, nil
	}
	data, document, problems, err := d.sealedFile(checked, bundle, r)
	if err != nil || len(problems) > 0 {
		return Sealed{}, problems, err
	}
	sealed.Document, sealed.File = document, d.sealFile(bundle.visitFile, document)
	problems, err = d.keepSealed(bundle, sealed, data)
	return sealed, problems, err
}

func (d *Desk) sealFile(visitFile, document string) string {
	return path.Join(path.Dir(visitFile), "seals", document+".pdf")
}

// sealedFile makes the cover with everything attached, and signs it.
func (d *Desk) sealedFile(c Checked, b *bundle, r SealRequest) ([]byte, string, source.Problems, error) {
	cover := &templates.Sealing{At: d.now(), By: r.By, Entries: b.entries, Head: b.head, Before: b.before}
	for _, f := range b.files {
		cover.Files = append(cover.Files, templates.SealedFile{Name: f.name, What: f.what, Digest: f.digest})
	}
	if r.Identity != nil {
		cover.Level, cover.Holder, cover.Issuer, cover.Until = sign.Level, r.Identity.Holder(), r.Identity.Issuer(), r.Identity.Expires()
	}
	issued := Issued{Kind: kindSeal, Language: d.clinic.Language, Checked: c, sealing: cover}
	made, problems, err := d.compose(c, issued, Request{})
	if err != nil || len(problems) > 0 {
		return nil, "", problems, err
	}
	words, err := d.catalogue.Printer(d.clinic.Language)
	if err != nil {
		return nil, "", nil, err
	}
	index, err := b.index(made.document, cover)
	if err != nil {
		return nil, "", nil, err
	}
	info := pdf.Info{
		DocumentID: made.document, Title: made.result.Title, Producer: "philtrum", Issued: d.now(), Profile: pdf.PDFA3u,
		Attachments: b.attachments(words, index),
	}
	if r.Identity != nil {
		info.Signature = &pdf.Signature{
			Entries: sign.Placeholder(r.Identity.Room()), Label: say(words, "seal.field"), At: d.now(),
		}
	}
	var out bytes.Buffer
	if err := d.printer().press.Write(&out, made.result, made.fonts, info); err != nil {
		return nil, "", nil, fmt.Errorf("seal: %w", err)
	}
	if r.Identity == nil {
		return out.Bytes(), made.document, nil, nil
	}
	signed, err := sign.Fill(out.Bytes(), r.Identity)
	return signed, made.document, nil, err
}

func say(words *locales.Printer, id string) string {
	text, err := words.Text(id, nil)
	if err != nil {
		return id
	}
	return text
}

// errMoved says that the visit was changed while it was being sealed.
var errMoved = errors.New("changed meanwhile")

// keepSealed writes the file with its entry, unless the visit was changed since it was read.
func (d *Desk) keepSealed(b *bundle, s Sealed, data []byte) (source.Problems, error) {
	batch := d.folder.Batch(d.at)
	batch.Create(s.File, data)
	batch.Update(b.visitFile, func(old []byte) ([]byte, error) {
		if digest(old) != b.visitDigest {
			return nil, errMoved
		}
		return old, nil
	})
	batch.Enter(journal.Sealed, s.Document, digest(data))
	batch.EnterFile(journal.Witnessed, b.visit, b.visitFile)
	err := batch.Commit()
	if errors.Is(err, errMoved) {
		return source.Problems{{ID: "problem.changed_meanwhile", Span: source.Span{File: b.visitFile}}}, nil
	}
	return nil, err
}

// attachments are the files as the archival file holds them, with the index for programs.
func (b *bundle) attachments(words *locales.Printer, index []byte) []pdf.Attachment {
	var all []pdf.Attachment
	for _, f := range b.files {
		a := pdf.Attachment{Name: f.name, Type: mediaType(f.name), Description: b.describe(words, f.what), Relationship: pdf.Supplement, Data: f.data}
		if slices.Contains([]string{"visit", "patient", "journal"}, f.what) {
			a.Relationship = pdf.Data
		}
		all = append(all, a)
	}
	return append(all, pdf.Attachment{
		Name: indexName, Type: mediaType(indexName), Description: say(words, "seal.file.index"), Relationship: pdf.Data, Data: index,
	})
}

func (b *bundle) describe(words *locales.Printer, what string) string {
	if id := "seal.file." + what; words.Has(id) {
		return say(words, id)
	}
	return say(words, "term.paper."+what)
}

// mediaType is that of a file by its name; unknown bytes are just that.
func mediaType(name string) string {
	switch strings.ToLower(path.Ext(name)) {
	case ".pdf":
		return "application/pdf"
	case ".jpg", ".jpeg":
		return "image/jpeg"
	case ".png":
		return "image/png"
	case ".yaml", ".txt", ".jsonl":
		return "text/plain"
	case ".json":
		return "application/json"
	case ".html":
		return "text/html"
	case ".ics":
		return "text/calendar"
	}
	return "application/octet-stream"
}

// isNoFile says whether a folder refused because a file is not there.
func isNoFile(err error) bool { return errors.Is(err, folder.ErrNoFile) }
