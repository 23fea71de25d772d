package desk

import (
	"crypto/sha1" // what an attachment of the standard carries; SHA-256 stands beside it
	"path"
	"slices"
	"strings"

	"philtrum/cmd/philtrum/folder"
	"philtrum/forms/exchange"
	"philtrum/forms/source"
	"philtrum/forms/visit"
	"philtrum/locales"
)

// Exchanged is a visit as a FHIR bundle.
type Exchanged struct {
	Visit  string
	Data   []byte
	Counts []ResourceCount // in the order of their first mention
}

// ResourceCount is how many resources of a type a bundle has.
type ResourceCount struct {
	Type string
	N    int
}

// mostDocument is the largest file whose digest goes into a bundle; a larger one is named without.
const mostDocument = 64 << 20

// Exchange gives a visit as a FHIR bundle, with the patient's names or without. What cannot be read of the files is
// left out of it; the problems say so. A bundle that breaks the standard is a defect of ours and is not given.
func (d *Desk) Exchange(id string, withNames bool) (Exchanged, source.Problems, error) {
	c, err := d.Check(id)
	if err != nil {
		return Exchanged{}, nil, err
	}
	if problems := unreadable(c); len(problems) > 0 {
		return Exchanged{}, problems, nil
	}
	words, err := d.catalogue.Printer(d.clinic.Language)
	if err != nil {
		return Exchanged{}, nil, ErrLanguage
	}
	name, err := d.folder.VisitFile(id)
	if err != nil {
		return Exchanged{}, nil, ErrNoVisit
	}
	file, err := d.folder.Read(name)
	if err != nil {
		return Exchanged{}, nil, err
	}
	documents, err := d.exchangeDocuments(c.Case.Visit)
	if err != nil {
		return Exchanged{}, nil, err
	}
	data, err := exchange.Bundle(exchange.Record{
		Visit: c.Case.Visit, Earlier: c.Case.Earlier, Patient: c.Case.Patient, Clinic: d.clinic, Staff: d.staff, Stock: d.stock, Intake: c.Case.Intake,
		Documents: documents, Digest: digest(file), Names: withNames, Language: words.Language().Tag, Words: spoken{words},
	})
	if err != nil {
		return Exchanged{}, nil, err
	}
	if faults := exchange.Check(data); len(faults) > 0 {
		return Exchanged{}, nil, BundleFault{faults[0]}
	}
	return Exchanged{Visit: id, Data: data, Counts: counted(data)}, c.Problems, nil
}

// BundleFault says that a bundle would have broken the standard: where and which rule, never a value.
type BundleFault struct{ exchange.Fault }

func (f BundleFault) Error() string { return "bundle: " + f.Path + ": " + f.Rule }

// spoken gives the words of a language to a bundle.
type spoken struct{ words *locales.Printer }

// Word is the text of a message without placeholders; empty where the language has none of that id.
func (s spoken) Word(id string) string {
	if !s.words.Has(id) {
		return ""
	}
	text, err := s.words.Text(id, nil)
	if err != nil {
		return ""
	}
	return text
}

// KeepExchange enters in the journal that a bundle left the clinic, and writes it to a file where one is named.
func (d *Desk) KeepExchange(e Exchanged, file string) error {
	if file != "" {
		if err := folder.WriteFile(file, e.Data); err != nil {
			return err
		}
	}
	return d.folder.Enter(d.at, "copied", e.Visit, digest(e.Data))
}

func counted(bundle []byte) []ResourceCount {
	var counts []ResourceCount
	for _, kind := range exchange.Types(bundle) {
		i := slices.IndexFunc(counts, func(c ResourceCount) bool { return c.Type == kind })
		if i < 0 {
			i, counts = len(counts), append(counts, ResourceCount{Type: kind})
		}
		counts[i].N++
	}
	return counts
}

// exchangeDocuments are the issued papers of a visit in their order, then the files of its scans, each once.
func (d *Desk) exchangeDocuments(v visit.Visit) ([]exchange.Document, error) {
	var all []exchange.Document
	for _, p := range v.Papers {
		document := exchange.Document{ID: p.Document, Kind: p.Kind, Language: p.Language, At: p.At, Supersedes: p.Supersedes, ContentType: "application/pdf"}
		file, err := d.folder.PaperFile(v.ID, p.Document)
		if err != nil {
			continue // an id that is none names no file
		}
		if err := d.measured(&document, file); err != nil {
			return nil, err
		}
		all = append(all, document)
	}
	for i, s := range v.Sheets {
		if slices.ContainsFunc(v.Sheets[:i], func(o visit.Sheet) bool { return o.File == s.File }) {
			continue
		}
		id, _, _ := strings.Cut(s.File, ".")
		document := exchange.Document{ID: id, At: s.At, ContentType: contentTypes[path.Ext(s.File)]}
		for _, o := range v.Sheets {
			if o.File == s.File && o.Document != "" && !slices.Contains(document.Of, o.Document) {
				document.Of = append(document.Of, o.Document)
			}
		}
		if file, err := d.folder.FindEvidence(v.ID, s.File); err == nil {
			if err := d.measured(&document, file); err != nil {
				return nil, err
			}
		}
		all = append(all, document)
	}
	return all, nil
}

var contentTypes = map[string]string{".pdf": "application/pdf", ".png": "image/png", ".jpg": "image/jpeg", ".jpeg": "image/jpeg", ".tif": "image/tiff", ".tiff": "image/tiff"}

// measured adds size and digests of a file that is there.
func (d *Desk) measured(document *exchange.Document, file string) error {
	data, ok, err := d.folder.ReadAtMost(file, mostDocument)
	if isNoFile(err) || err == nil && !ok {
		return nil
	}
	if err != nil {
		return err
	}
	sum := sha1.Sum(data)
	document.Size, document.SHA1, document.SHA256 = len(data), sum[:], digest(data)
	return nil
}
