package templates

import (
	"strings"
	"time"

	"philtrum/locales"
)

// Sealing is what the cover of a sealed file says of it; nil on every other paper.
type Sealing struct {
	At      time.Time
	By      string // id of the staff
	Entries int    // of the journal before this file
	Head    string // hash of the last of them
	Before  string // document id of the sealed file that this one follows
	Level   string // what the signature reaches; empty: the file is not signed
	Holder  string // whose certificate, as it says
	Issuer  string
	Until   time.Time // when it expires
	Files   []SealedFile
}

// SealedFile is one of the files within.
type SealedFile struct {
	Name   string // within the sealed file
	What   string // one of sealedKinds, or the kind of an issued paper
	Digest string // SHA-256 in hexadecimal
}

// sealedKinds are those of files that are no issued papers; each has its message.
var sealedKinds = []string{"visit", "patient", "journal", "attached"}

func (f *Facts) sealing() Sealing {
	if f.Seal == nil {
		return Sealing{}
	}
	return *f.Seal
}

func init() {
	values["visit_number"] = text(func(f *Facts) string { return f.Visit.ID }, "visit.id")
	values["sealed_at"] = moment(func(f *Facts) time.Time { return f.sealing().At })
	values["sealed_by"] = text(func(f *Facts) string { return f.person(f.sealing().By).Name }, "staff.name")
	values["seal_entries"] = count(func(f *Facts) int { return f.sealing().Entries })
	values["seal_head"] = text(func(f *Facts) string { return inGroups(f.sealing().Head) }, "journal.hash")
	values["seal_before"] = text(func(f *Facts) string { return inGroups(f.sealing().Before) }, "seal.document")
	values["seal_level"] = text(func(f *Facts) string { return f.sealing().Level }, "seal.level")
	values["seal_holder"] = text(func(f *Facts) string { return f.sealing().Holder }, "seal.holder")
	values["seal_issuer"] = text(func(f *Facts) string { return f.sealing().Issuer }, "seal.issuer")
	values["seal_until"] = moment(func(f *Facts) time.Time { return f.sealing().Until })
	truths["seal_signed"] = func(f *Facts) bool { return f.sealing().Level != "" }
	lists["sealed_files"] = listOf{
		fields: kinds{"name": locales.KindText, "what": locales.KindRef, "digest": locales.KindText},
		items:  sealedFiles,
	}
}

func sealedFiles(f *Facts) []item {
	var out []item
	for _, file := range f.sealing().Files {
		what := term("paper", file.What)
		if contains(sealedKinds, file.What) {
			what = locales.Ref("seal.file." + file.What)
		}
		out = append(out, item{values: map[string]locales.Value{
			"name": textOr(file.Name, "seal.name"), "what": what, "digest": textOr(inGroups(file.Digest), "seal.digest"),
		}})
	}
	return out
}

// inGroups parts a digest so that it can be read out and compared, and may be broken over lines.
func inGroups(digest string) string {
	const size = 8
	var groups []string
	for len(digest) > size {
		groups, digest = append(groups, digest[:size]), digest[size:]
	}
	return strings.Join(append(groups, digest), " ")
}
