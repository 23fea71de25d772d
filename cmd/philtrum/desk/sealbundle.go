package desk

import (
	"bytes"
	"encoding/json"
	"path"
	"slices"
	"strings"
	"time"

	"philtrum/cmd/philtrum/folder"
	"philtrum/forms/journal"
	"philtrum/forms/source"
	"philtrum/forms/visit"
	"philtrum/templates"
	"philtrum/templates/pdf/sign"
)

// bundle is everything that goes into a visit's sealed file.
type bundle struct {
	visit, visitFile, visitDigest string
	files                         []bundled
	entries                       int    // of the journal
	head                          string // hash of its last entry
	before                        string // document id of the sealed file before, empty for the first
	beforeIndex                   sealIndex
	notices                       source.Problems
}

// bundled is one file: its name within the sealed file, in the clinic's folder, and what it is.
type bundled struct {
	name, file, what, digest string
	place                    int // on the cover
	data                     []byte
}

// Names within a sealed file.
const (
	indexName   = "index.json"
	journalName = "journal.jsonl"
)

// bundle gathers the files of a visit. A patient's file that is missing is noticed and left out: the papers
// hold what it said.
func (d *Desk) bundle(c Checked) (*bundle, source.Problems, error) {
	name, err := d.folder.VisitFile(c.Visit)
	if err != nil {
		return nil, nil, err
	}
	b := &bundle{visit: c.Visit, visitFile: name}
	names, err := d.folder.Under(path.Dir(name))
	if err != nil {
		return nil, nil, err
	}
	b.notices = d.elsewhere(c)
	if patient, err := d.folder.PatientFile(c.Case.Visit.Patient); err == nil {
		names = append(names, patient)
	}
	room, seals := int64(mostSealed), map[string]bool{}
	for _, file := range names {
		inside := strings.TrimPrefix(file, path.Dir(name)+"/")
		if strings.HasPrefix(inside, "seals/") {
			seals[strings.TrimSuffix(path.Base(inside), ".pdf")] = true
			continue
		}
		data, ok, err := d.folder.ReadAtMost(file, room)
		if isNoFile(err) {
			b.notices = append(b.notices, source.Problem{ID: "problem.no_such_file", Span: source.Span{File: file}})
			continue
		}
		if err != nil {
			return nil, nil, err
		}
		if !ok {
			return nil, one("seal.too_large", "most", mostSealed>>20), nil
		}
		room -= int64(len(data))
		b.add(file, inside, c.Case.Visit.Papers, data)
	}
	return b, nil, d.witness(b, c, seals)
}

// elsewhere notices scans that hold pages of other visits too: they are left out of a sealed file, which may be
// given to this patient.
func (d *Desk) elsewhere(c Checked) source.Problems {
	var notices source.Problems
	for _, sheet := range c.Case.Visit.Sheets {
		name, err := d.folder.FindEvidence(c.Visit, sheet.File)
		p := source.Problem{ID: "seal.shared", Span: source.Span{File: name}}
		if err == nil && strings.HasPrefix(name, folder.Shared+"/") && !slices.ContainsFunc(notices, func(n source.Problem) bool { return n.Span == p.Span }) {
			notices = append(notices, p)
		}
	}
	return notices
}

// Places on the cover: the visit, the patient, the papers as they were issued, what was attached, the journal.
const (
	placeVisit = iota
	placePatient
	placePapers
	placeAttached = 1 << 20
	placeJournal  = placeAttached + 1
)

// add names a file as the sealed file does.
func (b *bundle) add(file, inside string, papers []visit.Paper, data []byte) {
	f := bundled{
		name: strings.ReplaceAll(inside, "/", "-"), file: file, what: "attached", digest: digest(data), data: data, place: placeAttached,
	}
	document := strings.TrimSuffix(path.Base(inside), path.Ext(inside))
	issued := slices.IndexFunc(papers, func(p visit.Paper) bool { return p.Document == document })
	switch {
	case file == b.visitFile:
		f.what, f.place, b.visitDigest = "visit", placeVisit, f.digest
	case strings.HasPrefix(file, "patients/"):
		f.name, f.what, f.place = "patient.yaml", "patient", placePatient
	case strings.HasPrefix(inside, "papers/") && issued >= 0:
		f.what, f.place = papers[issued].Kind, placePapers+issued
		f.name = f.what + "-" + document[:min(len(document), 12)] + path.Ext(inside)
	}
	if strings.HasPrefix(inside, folder.Shared+"/") && len(document) == 64 {
		f.name = "scan-" + document[:16] + path.Ext(inside) // its whole digest stands beside it
	}
	if f.what == "attached" && path.Ext(inside) == ".pdf" {
		for _, s := range sign.Verify(data) {
			if s.Err != nil {
				b.notices = append(b.notices, source.Problem{ID: "seal.signature_broken", Span: source.Span{File: file}})
			}
		}
	}
	b.files = append(b.files, f)
}

// witness adds the visit's lines of the journal and remembers where the chain stands. Of a chain that does not
// hold, the part that does is taken, and that is told.
func (d *Desk) witness(b *bundle, c Checked, seals map[string]bool) error {
	subjects, digests := map[string]bool{c.Visit: true, c.Case.Visit.Patient: true}, map[string]bool{}
	for _, f := range b.files {
		digests[f.digest] = true
		subjects[strings.TrimSuffix(path.Base(f.file), path.Ext(f.file))] = true
	}
	var lines bytes.Buffer
	problems, err := d.folder.EachEntry(func(e journal.Entry) error {
		b.entries, b.head = e.Seq, e.Hash
		if subjects[e.Subject] || seals[e.Subject] || digests[e.Digest] && e.Digest != "" {
			lines.Write(append(e.Line(), '\n'))
		}
		if e.What == "sealed" && seals[e.Subject] {
			b.before = e.Subject
		}
		return nil
	})
	b.notices = append(b.notices, problems...)
	if err != nil {
		return err
	}
	b.files = append(b.files, bundled{
		name: journalName, what: "journal", digest: digest(lines.Bytes()), data: lines.Bytes(), place: placeJournal,
	})
	slices.SortStableFunc(b.files, func(x, y bundled) int { return x.place - y.place })
	if b.before == "" {
		return nil
	}
	data, ok, err := d.folder.ReadAtMost(d.sealFile(b.visitFile, b.before), 2*mostSealed)
	if err == nil && ok {
		b.beforeIndex, _ = readIndex(data, b.before)
	}
	if isNoFile(err) {
		err = nil // verify says so
	}
	return err
}

// sealIndex is index.json: what a sealed file holds, for programs.
type sealIndex struct {
	Seal     string     `json:"seal"` // document id
	Visit    string     `json:"visit"`
	SealedAt string     `json:"sealed_at"`
	By       string     `json:"by"`
	Level    string     `json:"level"` // empty: not signed
	Entries  int        `json:"journal_entries"`
	Head     string     `json:"journal_head"`
	Before   string     `json:"before"`
	Files    []fileLine `json:"files"`
}

type fileLine struct {
	Name   string `json:"name"`
	File   string `json:"file"` // in the clinic's folder
	What   string `json:"what"`
	Bytes  int    `json:"bytes"`
	SHA256 string `json:"sha256"`
}

// indexStart is how an index begins, by which it is found again in a file whose bytes are known to be ours.
const indexStart = `{"seal":"`

func (b *bundle) index(document string, cover *templates.Sealing) ([]byte, error) {
	index := sealIndex{
		Seal: document, Visit: b.visit, SealedAt: cover.At.Format(time.RFC3339), By: cover.By, Level: cover.Level,
		Entries: b.entries, Head: b.head, Before: b.before,
	}
	for _, f := range b.files {
		index.Files = append(index.Files, fileLine{f.name, f.file, f.what, len(f.data), f.digest})
	}
	return json.Marshal(index)
}

// readIndex finds the index of a sealed file by the file's own id, which no file within can hold.
func readIndex(file []byte, document string) (index sealIndex, ok bool) {
	start := bytes.LastIndex(file, []byte("\nstream\n"+indexStart+document+`"`))
	if start < 0 {
		return index, false
	}
	data := file[start+len("\nstream\n"):]
	end := bytes.Index(data, []byte("\nendstream"))
	if end < 0 || json.Unmarshal(data[:end], &index) != nil {
		return sealIndex{}, false
	}
	return index, true
}

// unchanged says whether the sealed file before holds the same files, lines of the journal aside, and is signed
// if one that is signed is asked for.
func (b *bundle) unchanged(signed bool) bool {
	if b.before == "" || signed && b.beforeIndex.Level == "" {
		return false
	}
	held := map[string]string{}
	for _, f := range b.beforeIndex.Files {
		held[f.File] = f.SHA256
	}
	for _, f := range b.files {
		if f.what != "journal" && held[f.file] != f.digest {
			return false
		}
	}
	return len(held) == len(b.files)
}
