package visit

import (
	"slices"
	"strconv"
	"time"

	"philtrum/forms/source"
)

// Sheet is a page of evidence that was attached: which page of which issued paper it is, and where it stands in
// which file.
type Sheet struct {
	Document   string // empty: evidence that is no page of an issued paper
	Page, Of   int
	File       string // SHA-256 of the file and its extension
	Leaf       int    // page of the file, from 1
	At         time.Time
	By         string
	Via        string // one of SheetVias
	Why        string // of a page that was bound by hand
	Resolution int    // dots per inch; 0: not known
	Span       source.Span
}

// SheetVias are how a page was recognised.
var SheetVias = []string{"code", "hand"}

// Confirmation is what a person says of the scan of a paper, after comparing it with the original: it is legible,
// and these have signed it.
type Confirmation struct {
	Document  string
	At        time.Time
	By        string
	Legible   bool
	Signed    []string  // of Signers
	SignedAt  time.Time // when the patient signed, as it stands on the paper; zero: not said
	Original  string    // one of Originals
	Photos    []string  // uses of photographs that the patient agreed to, of PhotoUses
	Decisions []string  // rules whose decisions stand on the sheet, signed
	Span      source.Span
}

// Who may sign, what becomes of the sheet, and what a patient may agree to for photographs.
var (
	Signers   = []string{"patient", "representative", "practitioner", "prescriber", "interpreter", "witness"}
	Originals = []string{"kept", "destroyed", "with_patient"}
	PhotoUses = []string{"record", "teaching", "public"}
)

// Photograph is a picture of the patient that was attached. File is as it came, Copy without what the camera
// wrote of place, owner and device.
type Photograph struct {
	View, Stage string
	File, Copy  string    // SHA-256 and extension
	Taken       time.Time // as the camera wrote it, in the clinic's zone; zero: not known
	At          time.Time
	By          string
	Span        source.Span
}

// Evidence is how far the scan of a paper is.
type Evidence struct {
	Of        int
	Have      []int // pages that are there
	Missing   []int
	Confirmed *Confirmation // the last one
	Unsigned  []string      // who should have signed and did not, by the last confirmation
}

// Complete says whether every page is there and a person has confirmed them, with every signature.
func (e Evidence) Complete() bool {
	return e.Of > 0 && len(e.Missing) == 0 && e.Confirmed != nil && e.Confirmed.Legible && len(e.Unsigned) == 0
}

// EvidenceOf says how far the scan of an issued paper is.
func (v Visit) EvidenceOf(p Paper) Evidence {
	var e Evidence
	for _, s := range v.Sheets {
		if s.Document == p.Document && p.Document != "" {
			e.Of = max(e.Of, s.Of)
			e.Have = append(e.Have, s.Page)
		}
	}
	slices.Sort(e.Have)
	e.Have = slices.Compact(e.Have)
	for page := 1; page <= e.Of; page++ {
		if !slices.Contains(e.Have, page) {
			e.Missing = append(e.Missing, page)
		}
	}
	for i := range v.Confirmations {
		if c := &v.Confirmations[i]; c.Document == p.Document {
			e.Confirmed = c
		}
	}
	for _, who := range v.SignersOf(p.Kind) {
		if e.Confirmed == nil || !e.Confirmed.has(who) {
			e.Unsigned = append(e.Unsigned, who)
		}
	}
	return e
}

// has says whether somebody signed; a representative signs in the patient's place.
func (c *Confirmation) has(who string) bool {
	return slices.Contains(c.Signed, who) || who == "patient" && slices.Contains(c.Signed, "representative")
}

// SignersOf are those whose signatures a paper of this kind needs: common practice, no source.
func (v Visit) SignersOf(kind string) []string {
	switch kind {
	case "consent":
		who := []string{"patient", "practitioner"}
		if v.Interpreter != nil {
			who = append(who, "interpreter")
		}
		return who
	case "record":
		return []string{"practitioner"}
	case "questionnaire":
		return []string{"patient"}
	}
	return nil
}

// Proven says whether a standing consent has a complete scan, and which one it is.
func (v Visit) Proven() (Paper, bool) {
	for _, p := range slices.Backward(v.Standing()) {
		if p.Kind == "consent" && v.EvidenceOf(p).Complete() {
			return p, true
		}
	}
	return Paper{}, false
}

// AwaitsScan says whether a decision was copied from a sheet whose scan is not there, or does not show it.
func (v Visit) AwaitsScan(d Decision) bool {
	if d.Transcribed == "" {
		return false
	}
	for _, c := range v.Confirmations {
		paper := slices.IndexFunc(v.Papers, func(p Paper) bool { return p.Document == c.Document })
		if c.Legible && paper >= 0 && slices.Contains(c.Decisions, d.Rule) && len(v.EvidenceOf(v.Papers[paper]).Missing) == 0 {
			return false
		}
	}
	return true
}

// PhotoUses are the uses of photographs that the patient agreed to on the last confirmed consent; said is false
// without one.
func (v Visit) PhotoUses() (uses []string, said bool) {
	for _, c := range slices.Backward(v.Confirmations) {
		if slices.ContainsFunc(v.Papers, func(p Paper) bool { return p.Document == c.Document && p.Kind == "consent" }) {
			return c.Photos, true
		}
	}
	return nil, false
}

func (v reader) sheet(n *source.Node) Sheet {
	f := v.Fields(n, "document", "page", "of", "file", "leaf", "at", "by", "via", "why", "resolution")
	return Sheet{
		Document: v.Text(f.Get("document")), Page: v.whole(f.Get("page")), Of: v.whole(f.Get("of")),
		File: v.Text(f.Need("file")), Leaf: v.whole(f.Get("leaf")), At: v.Time(f.Need("at")), By: v.Text(f.Get("by")),
		Via: v.OneOf(f.Need("via"), SheetVias...), Why: v.Text(f.Get("why")), Resolution: v.whole(f.Get("resolution")),
		Span: n.Span,
	}
}

// whole reads a count; 0 without one.
func (v reader) whole(n *source.Node) int {
	if n == nil {
		return 0
	}
	return v.Int(n, 0, 1<<20)
}

func (v reader) confirmation(n *source.Node) Confirmation {
	f := v.Fields(n, "document", "at", "by", "legible", "signed", "signed_at", "original", "photos", "decisions")
	return Confirmation{
		Document: v.Text(f.Need("document")), At: v.Time(f.Need("at")), By: v.Text(f.Need("by")), Legible: v.YesNo(f.Get("legible")),
		Signed: v.words(f.Get("signed"), Signers), SignedAt: v.Time(f.Get("signed_at")),
		Original: v.OneOf(f.Get("original"), Originals...), Photos: v.words(f.Get("photos"), PhotoUses),
		Decisions: v.Texts(f.Get("decisions")), Span: n.Span,
	}
}

func (v reader) photograph(n *source.Node) Photograph {
	f := v.Fields(n, "view", "stage", "file", "copy", "taken", "at", "by")
	return Photograph{
		View: v.OneOf(f.Need("view"), Views...), Stage: v.OneOf(f.Get("stage"), Stages...), File: v.Text(f.Need("file")),
		Copy: v.Text(f.Get("copy")), Taken: v.Time(f.Get("taken")), At: v.Time(f.Need("at")), By: v.Text(f.Get("by")), Span: n.Span,
	}
}

// Node is an entry of scans.
func (s Sheet) Node() *source.Node {
	return source.Map("document", text(s.Document), "page", whole(s.Page), "of", whole(s.Of), "file", text(s.File),
		"leaf", whole(s.Leaf), "at", moment(s.At), "by", text(s.By), "via", text(s.Via), "why", text(s.Why),
		"resolution", whole(s.Resolution))
}

func whole(n int) *source.Node {
	if n == 0 {
		return nil
	}
	return source.Text(strconv.Itoa(n))
}

// Node is an entry of confirmed.
func (c Confirmation) Node() *source.Node {
	return source.Map("document", text(c.Document), "at", moment(c.At), "by", text(c.By), "legible", yes(c.Legible),
		"signed", texts(c.Signed), "signed_at", moment(c.SignedAt), "original", text(c.Original), "photos", texts(c.Photos),
		"decisions", texts(c.Decisions))
}

// Node is an entry of photographs.
func (p Photograph) Node() *source.Node {
	return source.Map("view", text(p.View), "stage", text(p.Stage), "file", text(p.File), "copy", text(p.Copy),
		"taken", moment(p.Taken), "at", moment(p.At), "by", text(p.By))
}
