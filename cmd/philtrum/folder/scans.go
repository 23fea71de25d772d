package folder

import (
	"path"
	"slices"
	"strings"

	"philtrum/forms/source"
)

// trayFolder holds what waits in the tray, an item a file; sharedFolder holds files of evidence that are not of
// one visit alone.
const (
	trayFolder   = "tray"
	sharedFolder = "scans"
)

// FindPaper is the visit that a document was issued for; empty if there is none.
func (f *Folder) FindPaper(document string) (visit string, err error) {
	if err := checkID(document); err != nil {
		return "", nil
	}
	years, err := f.years()
	if err != nil {
		return "", err
	}
	for _, year := range slices.Backward(years) {
		entries, err := f.list("visits/" + year)
		if err != nil {
			return "", err
		}
		for _, e := range entries {
			if checkID(e.Name()) == nil && f.exists(path.Join("visits", year, e.Name(), "papers", document+".pdf")) {
				return e.Name(), nil
			}
		}
	}
	return "", nil
}

// EvidenceFile is the name of a file of evidence by the digest of its content: of a visit, or with no visit of
// several.
func (f *Folder) EvidenceFile(visit, digest, extension string) (string, error) {
	if err := checkID(digest); err != nil {
		return "", err
	}
	if err := checkID(extension); err != nil {
		return "", err
	}
	if visit == "" {
		return path.Join(sharedFolder, digest+"."+extension), nil
	}
	name, err := f.VisitFile(visit)
	if err != nil {
		return "", err
	}
	return path.Join(path.Dir(name), sharedFolder, digest+"."+extension), nil
}

// FindEvidence is where a file of evidence of a visit is, by digest and extension: with the visit or with those
// of several. ErrNoFile if it is in neither place.
func (f *Folder) FindEvidence(visit, file string) (string, error) {
	digest, extension, _ := strings.Cut(file, ".")
	for _, whose := range []string{visit, ""} {
		name, err := f.EvidenceFile(whose, digest, extension)
		if err != nil {
			return "", err
		}
		if f.Has(name) {
			return name, nil
		}
	}
	return "", refuse(ErrNoFile, source.Problem{ID: "problem.no_such_file"})
}

// TrayFile is the name of an item of the tray.
func (f *Folder) TrayFile(item string) (string, error) {
	return path.Join(trayFolder, item+".yaml"), checkID(item)
}

// Tray are the ids of all items of the tray, sorted.
func (f *Folder) Tray() ([]string, error) {
	entries, err := f.list(trayFolder)
	var ids []string
	for _, e := range entries {
		if id, ok := strings.CutSuffix(e.Name(), ".yaml"); ok && e.Type().IsRegular() && checkID(id) == nil {
			ids = append(ids, id)
		}
	}
	return ids, err
}

// Creates says whether the batch creates a file of that name already.
func (b *Batch) Creates(name string) bool {
	return slices.ContainsFunc(b.writes, func(w *write) bool { return w.name == name && w.make == nil })
}
