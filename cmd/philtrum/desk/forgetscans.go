package desk

import (
	"maps"
	"path"
	"slices"
	"strings"

	"philtrum/cmd/philtrum/folder"
	"philtrum/forms/visit"
)

// sharedScans are the files of no visit alone and the items of the tray, beside visits that are to be deleted.
type sharedScans struct {
	items   []string // of the tray, to be deleted
	files   []string // names in the clinic folder, to be deleted
	staying []string // hold pages of what is deleted, and of others too
}

// scansOf finds what a pile of paper scanned as one holds of visits that are to be deleted. A file goes with the last
// visit that has a page in it; until then it is evidence of the others, byte for byte, and stays.
func (d *Desk) scansOf(gone map[string]bool) (sharedScans, error) {
	var s sharedScans
	kept, left, documents := map[string]bool{}, map[string]bool{}, map[string]bool{}
	visits, err := d.folder.Visits()
	if err != nil {
		return s, err
	}
	for _, id := range visits {
		v, problems, err := d.readVisit(id)
		if err != nil {
			return s, err
		}
		if !gone[id] && len(problems) > 0 {
			return sharedScans{}, nil // it may hold on to any of them
		}
		for _, file := range evidenceOf(v) {
			if gone[id] {
				left[file] = true
			} else {
				kept[file] = true
			}
		}
		for _, p := range v.Papers {
			documents[p.Document] = gone[id]
		}
	}
	items, err := d.folder.Tray()
	if err != nil {
		return s, err
	}
	for _, id := range items {
		item, problems, err := d.readItem(id)
		if err != nil {
			return s, err
		}
		switch {
		case len(problems) > 0:
			return sharedScans{}, nil
		case item.Bound != nil && gone[item.Bound.Visit], item.Bound == nil && documents[item.Document]:
			s.items, left[item.File] = append(s.items, id), true
		default:
			kept[item.File] = true
		}
	}
	for _, file := range slices.Sorted(maps.Keys(left)) {
		digest, extension, _ := strings.Cut(file, ".")
		name, err := d.folder.EvidenceFile("", digest, extension)
		switch {
		case err != nil:
			return s, err
		case !d.folder.Has(name):
		case kept[file]:
			s.staying = append(s.staying, name)
		default:
			s.files = append(s.files, name)
		}
	}
	return s, nil
}

// evidenceOf are the files in which a visit has pages or pictures.
func evidenceOf(v visit.Visit) []string {
	var files []string
	for _, sheet := range v.Sheets {
		files = append(files, sheet.File)
	}
	for _, p := range v.Photographs {
		files = append(files, p.File, p.Copy)
	}
	return slices.DeleteFunc(files, func(f string) bool { return f == "" })
}

// tombstones puts the deletion of scans and items into the journal, and says by which ids.
func (s sharedScans) tombstones(batch *folder.Batch) (gone []string) {
	for _, name := range s.files {
		id := path.Base(name)[:32]
		batch.Enter(forgotten, id, "")
		gone = append(gone, id)
	}
	for _, id := range s.items {
		batch.Enter(forgotten, id, "")
		gone = append(gone, id)
	}
	return gone
}

// sharedFile is the name of the scan of several visits, or of the item of the tray, that goes by an id of the journal;
// empty where there is none.
func (d *Desk) sharedFile(id string) (string, error) {
	if name, err := d.folder.TrayFile(id); err == nil && d.folder.Has(name) {
		return name, nil
	}
	names, err := d.folder.Under(folder.Shared)
	for _, name := range names {
		if strings.HasPrefix(path.Base(name), id) && len(id) == 32 {
			return name, nil
		}
	}
	return "", err
}
