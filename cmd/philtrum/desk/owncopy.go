package desk

import (
	"archive/zip"
	"bytes"
	"path"
	"slices"
	"strings"
	"time"

	"philtrum/cmd/philtrum/folder"
	"philtrum/forms/journal"
	"philtrum/forms/source"
)

// OwnCopy is everything that the clinic keeps about a patient, for the patient.
type OwnCopy struct {
	Patient, Number string
	Reads           string
	Files           []CopiedFile
	Third           []ThirdParty // what a person has to look at before it is handed over
	Journal         []journal.Entry
	data            map[string][]byte
}

// CopiedFile is one file of the copy: a word for what it is, and its name in it.
type CopiedFile struct {
	What string // patient, visit, paper, other, recall, journal
	Name string
	Size int
}

// ThirdParty is a place in which somebody else is named, or may be.
type ThirdParty struct {
	File, Key string
	Line      int
	Sure      bool // the key is for another person's name; otherwise it is free text
}

// thirdKeys hold another person's name; freeKeys hold words that may.
var (
	thirdKeys = []string{"representative", "transcribed", "interpreter.name", "interpreter.number"}
	freeKeys  = []string{"alerts", "reason", "note", "notes", "reaction", "examination", "wish", "why", "done", "referred", "told", "response", "signs"}
)

// OwnCopy gathers it. Nothing is left out; staff, and whoever else is named, are flagged.
func (d *Desk) OwnCopy(id string) (OwnCopy, error) {
	c := OwnCopy{Patient: id, data: map[string][]byte{}}
	p, _, err := d.readPatient(id)
	if err != nil {
		return c, err
	}
	c.Number, c.Reads = p.Number, p.Reads
	name, err := d.folder.PatientFile(id)
	if err != nil {
		return c, err
	}
	if err := c.take(d.folder, "patient", name); err != nil {
		return c, err
	}
	ids, err := d.visitIDs(id, Whole)
	if err != nil {
		return c, err
	}
	subjects := map[string]bool{id: true}
	for _, visit := range ids {
		if err := d.copyVisit(&c, visit, subjects); err != nil {
			return c, err
		}
	}
	if err := d.copyRecalls(&c, id); err != nil {
		return c, err
	}
	entries, _, err := d.folder.Journal()
	if err != nil {
		return c, err
	}
	var lines bytes.Buffer
	for _, e := range entries {
		if subjects[e.Subject] {
			c.Journal = append(c.Journal, e)
			lines.Write(append(e.Line(), '\n'))
		}
	}
	if lines.Len() > 0 {
		c.put("journal", "journal.jsonl", lines.Bytes())
	}
	return c, nil
}

func (d *Desk) copyVisit(c *OwnCopy, id string, subjects map[string]bool) error {
	subjects[id] = true
	name, err := d.folder.VisitFile(id)
	if err != nil {
		return err
	}
	v, _, err := d.readVisit(id)
	if err != nil {
		return err
	}
	for _, p := range v.Papers {
		subjects[p.Document] = true
	}
	files, err := d.folder.Under(path.Dir(name))
	if err != nil {
		return err
	}
	for _, file := range files {
		what := "other"
		switch {
		case file == name:
			what = "visit"
		case path.Base(path.Dir(file)) == "papers":
			what = "paper"
		}
		if err := c.take(d.folder, what, file); err != nil {
			return err
		}
	}
	return nil
}

// copyRecalls takes what recalls say of the patient, without the other patients in them.
func (d *Desk) copyRecalls(c *OwnCopy, patient string) error {
	recalls, _, err := d.Recalls()
	if err != nil {
		return err
	}
	for _, r := range recalls {
		reached := r.reached(patient)
		if len(reached) == 0 {
			continue
		}
		list := source.List()
		for _, x := range reached {
			list.Items = append(list.Items, x.node())
		}
		node := r.node()
		node.Keys = append(node.Keys, source.Key{Name: "reached", Value: list})
		c.put("recall", "recalls/"+r.ID+".yaml", source.Write(node))
	}
	return nil
}

func (c *OwnCopy) take(f *folder.Folder, what, name string) error {
	data, err := f.Read(name)
	if err != nil {
		return err
	}
	c.put(what, name, data)
	return nil
}

func (c *OwnCopy) put(what, name string, data []byte) {
	c.data[name] = data
	c.Files = append(c.Files, CopiedFile{What: what, Name: name, Size: len(data)})
	if !strings.HasSuffix(name, ".yaml") {
		return
	}
	node, problems := source.Parse(name, data)
	if len(problems) > 0 || node == nil {
		c.Third = append(c.Third, ThirdParty{File: name}) // nobody can say who is in it
		return
	}
	c.flag(name, "", node)
}

// flag goes through a file for places in which others are named.
func (c *OwnCopy) flag(file, at string, n *source.Node) {
	for _, item := range n.Items {
		c.flag(file, at, item)
	}
	for _, k := range n.Keys {
		key := strings.TrimPrefix(at+"."+k.Name, ".")
		if k.Value == nil || k.Value.Kind == source.Empty || k.Value.Kind == source.Sequence && len(k.Value.Items) == 0 {
			continue
		}
		sure := slices.ContainsFunc(thirdKeys, func(t string) bool { return key == t || strings.HasSuffix(key, "."+t) })
		free := slices.Contains(freeKeys, k.Name) || strings.HasPrefix(key, "answers.") && k.Value.Kind == source.Scalar && strings.Contains(k.Value.Text, " ")
		if sure || free {
			c.Third = append(c.Third, ThirdParty{File: file, Key: key, Line: k.Span.Line, Sure: sure})
			continue
		}
		c.flag(file, key, k.Value)
	}
}

// Zip is the copy as one file, with a list in plain words in front. Its times are those of the copy, so that the
// same copy is the same file.
func (c OwnCopy) Zip(list string, at time.Time) ([]byte, error) {
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	add := func(name string, data []byte) error {
		file, err := w.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Deflate, Modified: at.UTC().Truncate(2 * time.Second)})
		if err == nil {
			_, err = file.Write(data)
		}
		return err
	}
	if err := add("list.txt", []byte(list)); err != nil {
		return nil, err
	}
	for _, f := range c.Files {
		if err := add(f.Name, c.data[f.Name]); err != nil {
			return nil, err
		}
	}
	err := w.Close()
	return out.Bytes(), err
}

// KeepCopy writes the copy beside the clinic folder, or wherever it is to go, and enters in the journal that it
// was made.
func (d *Desk) KeepCopy(c OwnCopy, to, list string) (string, error) {
	data, err := c.Zip(list, d.at)
	if err != nil {
		return "", err
	}
	id, err := folder.NewID(d.random)
	if err != nil {
		return "", err
	}
	file := path.Join(to, id+".zip")
	if err := folder.WriteFile(file, data); err != nil {
		return "", err
	}
	return file, d.folder.Enter(d.at, "copied", c.Patient, digest(data))
}
