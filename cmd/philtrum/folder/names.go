package folder

import (
	"encoding/base32"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"slices"
	"strconv"
	"strings"

	"philtrum/forms/source"
)

// idLetters are 32 digits and letters without i, l, o and u: nothing that reads as 0 or 1, and few words.
var idLetters = base32.NewEncoding("0123456789abcdefghjkmnpqrstvwxyz").WithPadding(base32.NoPadding)

// NewID makes an id of 80 random bits: sixteen letters and digits.
func NewID(random io.Reader) (string, error) {
	var b [10]byte
	if _, err := io.ReadFull(random, b[:]); err != nil {
		return "", fmt.Errorf("new id: %w", err)
	}
	return idLetters.EncodeToString(b[:]), nil
}

// idForm has no dots and no capitals, so that an id is a harmless file name everywhere.
func idForm(id string) bool {
	if id == "" || len(id) > mostID || strings.Trim(id, idSigns) != "" {
		return false
	}
	return strings.Trim(id, "_-") == id
}

const (
	idSigns = "abcdefghijklmnopqrstuvwxyz0123456789_-"
	mostID  = 128
)

func checkID(id string) error {
	if !idForm(id) {
		return refuse(ErrName, source.Problem{ID: "problem.id_form"})
	}
	return nil
}

// PatientFile is the name of a patient's file.
func (f *Folder) PatientFile(id string) (string, error) {
	return "patients/" + id + ".yaml", checkID(id)
}

// NewVisitFile is the name of the file of a visit that begins in year.
func (f *Folder) NewVisitFile(id string, year int) (string, error) {
	if year < 1000 || year > 9999 {
		return "", refuse(ErrName, source.Problem{ID: "problem.id_form"})
	}
	return "visits/" + strconv.Itoa(year) + "/" + id + "/visit.yaml", checkID(id)
}

// VisitFile is the name of the file of a visit that is there: ErrNoFile otherwise.
func (f *Folder) VisitFile(id string) (string, error) {
	if err := checkID(id); err != nil {
		return "", err
	}
	years, err := f.years()
	if err != nil {
		return "", err
	}
	for _, year := range years {
		if name := path.Join("visits", year, id, "visit.yaml"); f.Has(name) {
			return name, nil
		}
	}
	return "", refuse(ErrNoFile, source.Problem{ID: "problem.no_such_file"})
}

// HasVisit says whether a visit goes by that id.
func (f *Folder) HasVisit(id string) bool {
	_, err := f.VisitFile(id)
	return err == nil
}

// PaperFile is the name of the file of a visit's paper, whether it is there or not.
func (f *Folder) PaperFile(visit, document string) (string, error) {
	return f.PaperFileAs(visit, document, ".pdf")
}

// PaperFileAs is the name of the same paper's file in another form, by its extension.
func (f *Folder) PaperFileAs(visit, document, extension string) (string, error) {
	name, err := f.VisitFile(visit)
	if err != nil {
		return "", err
	}
	return path.Join(path.Dir(name), "papers", document+extension), checkID(document)
}

// Patients are the ids of all patients, sorted.
func (f *Folder) Patients() ([]string, error) {
	entries, err := f.list("patients")
	var ids []string
	for _, e := range entries {
		id, ok := strings.CutSuffix(e.Name(), ".yaml")
		if ok && e.Type().IsRegular() && checkID(id) == nil {
			ids = append(ids, id)
		}
	}
	slices.Sort(ids)
	return ids, err
}

// Visits are the ids of all visits, by year, then sorted.
func (f *Folder) Visits() ([]string, error) {
	years, err := f.years()
	if err != nil {
		return nil, err
	}
	var ids []string
	for _, year := range years {
		entries, err := f.list("visits/" + year)
		if err != nil {
			return nil, err
		}
		for _, e := range entries {
			if e.IsDir() && checkID(e.Name()) == nil && f.Has(path.Join("visits", year, e.Name(), "visit.yaml")) {
				ids = append(ids, e.Name())
			}
		}
	}
	return ids, nil
}

func yearForm(name string) bool { return len(name) == 4 && strings.Trim(name, "0123456789") == "" }

func (f *Folder) years() ([]string, error) {
	entries, err := f.list("visits")
	var years []string
	for _, e := range entries {
		if e.IsDir() && yearForm(e.Name()) {
			years = append(years, e.Name())
		}
	}
	return years, err
}

// list reads a folder, sorted by name; one that is not there is empty.
func (f *Folder) list(name string) ([]fs.DirEntry, error) {
	entries, err := os.ReadDir(f.Join(name))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("list: %w", err)
	}
	return entries, nil
}
