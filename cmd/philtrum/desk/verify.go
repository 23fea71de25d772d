package desk

import (
	"crypto/sha256"
	"encoding/hex"
	"path"
	"strings"
	"time"

	"philtrum/cmd/philtrum/folder"
	"philtrum/forms/journal"
	"philtrum/forms/source"
	"philtrum/templates/pdf/sign"
)

// Verified is what verifying a folder found. The first problem is the first thing that does not hold: the
// journal before the files, the files in the order of their names.
type Verified struct {
	Entries  int    // of the journal
	Head     string // hash of the last
	Files    int    // of patients and visits
	Seals    int
	Signed   int // of the sealed files
	Problems source.Problems
	Notices  source.Problems // nothing is wrong with these, but somebody should know
}

// Verify checks the journal's chain; that every file of patients and visits is the one that was entered in it,
// under its own name; that nothing entered is missing; and that sealed files are what they were, signatures
// included. against is the hash of an entry as it was printed once, or its beginning; empty: none.
//
// The clinic's own three files and overlays are settings that people edit at any time, with no command that could enter
// it, and are not checked: every difference would be right. What was issued does not rest on them later: a paper's
// id is the digest of what it says. Whether a decision counts does rest on the roles in staff.yaml, as they stand.
func (d *Desk) Verify(against string) (Verified, error) {
	v := verifier{folder: d.folder, ledger: newLedger(normal(against))}
	problems, err := d.folder.EachEntry(func(e journal.Entry) error { return v.ledger.take(e) })
	if err != nil {
		return Verified{}, err
	}
	v.found.Entries, v.found.Head = v.ledger.entries, v.ledger.head
	v.found.Problems = problems
	if len(problems) > 0 {
		// What the entries behind the broken one say is not known, so that files cannot be held against them.
		return v.found, nil
	}
	if against != "" && !v.ledger.witnessed {
		v.problem("verify.head_unknown", "", nil)
	}
	// A demonstration tells its visits one after another, each at its own time.
	if v.ledger.backwards > 0 && !d.clinic.Demonstration {
		v.notice("verify.clock", journalName, map[string]any{"line": v.ledger.backwards})
	}
	if err := v.patients(); err != nil {
		return Verified{}, err
	}
	if err := v.visits(); err != nil {
		return Verified{}, err
	}
	if err := v.shared(); err != nil {
		return Verified{}, err
	}
	v.missing()
	return v.found, nil
}

// Head is the number of entries of the journal and the hash of the last, for printing.
func (d *Desk) Head() (entries int, hash string, problems source.Problems, err error) {
	problems, err = d.folder.EachEntry(func(e journal.Entry) error {
		entries, hash = e.Seq, e.Hash
		return nil
	})
	return entries, hash, problems, err
}

// normal leaves of a hash what counts: people copy it in groups.
func normal(hash string) string {
	return strings.ToLower(strings.NewReplacer(" ", "", "-", "", "\t", "").Replace(hash))
}

type verifier struct {
	folder *folder.Folder
	ledger *ledger
	found  Verified
}

func (v *verifier) problem(id, file string, args map[string]any) {
	v.found.Problems = append(v.found.Problems, source.Problem{ID: id, Args: args, Help: id + "_do", Span: source.Span{File: file}})
}

func (v *verifier) notice(id, file string, args map[string]any) {
	v.found.Notices = append(v.found.Notices, source.Problem{ID: id, Args: args, Span: source.Span{File: file}})
}

func (v *verifier) patients() error {
	names, err := v.folder.Under("patients")
	for _, name := range names {
		if path.Ext(name) != ".yaml" || strings.Count(name, "/") != 1 {
			continue
		}
		if err := v.own(name, strings.TrimSuffix(path.Base(name), ".yaml")); err != nil {
			return err
		}
	}
	return err
}

func (v *verifier) visits() error {
	names, err := v.folder.Under("visits")
	if err != nil {
		return err
	}
	for _, name := range names {
		parts := strings.Split(name, "/")
		if len(parts) < 4 {
			v.problem("verify.nobody_entered", name, nil)
			continue
		}
		switch {
		case len(parts) == 4 && parts[3] == "visit.yaml":
			err = v.own(name, parts[2])
		case len(parts) == 5 && parts[3] == "seals":
			err = v.seal(name)
		case len(parts) == 5 && parts[3] == "papers":
			err = v.paper(name)
		default:
			err = v.other(name)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// own checks the file of a patient or visit against its last entry.
func (v *verifier) own(name, id string) error {
	sum, err := v.sum(name)
	if err != nil {
		return err
	}
	s := v.ledger.subjects[id]
	switch {
	case s == nil || !s.known:
		v.notice("verify.by_hand", name, nil)
	case s.gone:
		v.problem("verify.not_gone", name, nil)
	case sum != s.last && s.closed:
		v.problem("verify.changed_closed", name, map[string]any{"line": s.line})
	case sum != s.last && v.ledger.digests[sum]:
		v.problem("verify.put_back", name, map[string]any{"line": s.line})
	case sum != s.last:
		v.notice("verify.edited", name, map[string]any{"line": s.line})
	case s.edited > 0:
		v.problem("verify.edited_closed", name, map[string]any{"line": s.edited})
	}
	if s != nil {
		s.seen = true
	}
	return nil
}

// paper checks an issued paper, whose name is its id.
func (v *verifier) paper(name string) error {
	sum, err := v.sum(name)
	if err != nil {
		return err
	}
	document := strings.TrimSuffix(path.Base(name), path.Ext(name))
	v.issued(name, document, sum)
	return nil
}

// issued says whether a file is the paper or sealed file that its name says.
func (v *verifier) issued(name, document string, sum [32]byte) bool {
	p := v.ledger.papers[document]
	switch {
	case p == nil && v.ledger.digests[sum]:
		v.problem("verify.swapped", name, nil)
	case p == nil:
		v.problem("verify.nobody_entered", name, nil)
	case !p.has(sum) && v.ledger.digests[sum]:
		p.seen = true
		v.problem("verify.swapped", name, nil)
	case !p.has(sum):
		p.seen = true
		v.problem("verify.changed", name, map[string]any{"line": p.line})
	default:
		p.seen = true
		return true
	}
	return false
}

// other checks what was attached to a visit: scans and photographs, whose names are their digests.
func (v *verifier) other(name string) error {
	sum, err := v.sum(name)
	if err != nil {
		return err
	}
	said := strings.TrimSuffix(path.Base(name), path.Ext(name))
	if p := v.ledger.papers[said[:min(len(said), 32)]]; p != nil {
		if p.seen = true; !p.has(sum) {
			v.problem("verify.changed", name, map[string]any{"line": p.line})
		}
		return nil
	}
	if !v.ledger.digests[sum] {
		v.problem("verify.nobody_entered", name, nil)
	}
	return nil
}

// shared checks the scans that hold pages of several visits, or wait in the tray.
func (v *verifier) shared() error {
	names, err := v.folder.Under(folder.Shared)
	for _, name := range names {
		if err := v.other(name); err != nil {
			return err
		}
	}
	return err
}

// seal checks a sealed file: its bytes, what it says of the journal, and its signature.
func (v *verifier) seal(name string) error {
	data, ok, err := v.folder.ReadAtMost(name, 2*mostSealed)
	if err != nil {
		return err
	}
	v.found.Files++
	v.found.Seals++
	document := strings.TrimSuffix(path.Base(name), path.Ext(name))
	if !ok || !v.issued(name, document, sha256.Sum256(data)) {
		return nil
	}
	index, ok := readIndex(data, document)
	if !ok {
		v.problem("verify.seal_unread", name, nil)
		return nil
	}
	if index.Head != "" && v.ledger.at(index.Entries) != index.Head {
		v.problem("verify.seal_witness", name, map[string]any{"line": index.Entries})
	}
	if index.Level == "" {
		return nil
	}
	v.found.Signed++
	if signatures := sign.Verify(data); len(signatures) != 1 || signatures[0].Err != nil || !signatures[0].Whole || signatures[0].Level != index.Level {
		v.problem("verify.seal_signature", name, nil)
	}
	return nil
}

// missing names what was entered and is not there, unless it was deleted for good.
func (v *verifier) missing() {
	for _, id := range v.ledger.order {
		if s := v.ledger.subjects[id]; s.known && !s.seen && !s.gone && s.first {
			v.problem("verify.missing", "", map[string]any{"what": id, "line": s.line})
		}
	}
	for _, id := range v.ledger.issued {
		p := v.ledger.papers[id]
		if file := v.ledger.subjects[id]; file != nil && file.gone {
			continue
		}
		if s := v.ledger.subjects[p.visit]; !p.seen && (s == nil || !s.gone) {
			v.problem("verify.missing", "", map[string]any{"what": id, "line": p.line})
		}
	}
}

// sum is the digest of a file, read in parts.
func (v *verifier) sum(name string) (sum [32]byte, err error) {
	v.found.Files++
	return v.folder.Sum(name)
}

// ledger is what the journal says of files.
type ledger struct {
	entries   int
	head      string
	hashes    [][32]byte
	digests   map[[32]byte]bool
	subjects  map[string]*subject
	order     []string // of subjects
	papers    map[string]*paperEntries
	issued    []string // ids of papers in order
	pending   []*paperEntries
	against   string
	witnessed bool
	latest    time.Time
	backwards int // line at which the clock was set back first
}

type subject struct {
	last   [32]byte
	line   int  // of the last entry with a digest of its file
	known  bool // there is such an entry
	first  bool // its first entry is that it was entered or opened: it has a file of its own
	closed bool
	edited int // line of an edit by hand after closing that nobody has explained
	gone   bool
	seen   bool
}

type paperEntries struct {
	sums  [][32]byte
	line  int
	visit string
	seen  bool
}

func (p *paperEntries) has(sum [32]byte) bool {
	for _, s := range p.sums {
		if s == sum {
			return true
		}
	}
	return false
}

func newLedger(against string) *ledger {
	return &ledger{digests: map[[32]byte]bool{}, subjects: map[string]*subject{}, papers: map[string]*paperEntries{}, against: against}
}

// at is the hash of an entry; empty where there is none.
func (l *ledger) at(entry int) string {
	if entry < 1 || entry > len(l.hashes) {
		return ""
	}
	return hex.EncodeToString(l.hashes[entry-1][:])
}

// tolerance is how far clocks of two desks may differ before it is worth saying.
const tolerance = 5 * time.Minute

func (l *ledger) take(e journal.Entry) error {
	l.entries, l.head = e.Seq, e.Hash
	l.hashes = append(l.hashes, sumOf(e.Hash))
	if l.against != "" && strings.HasPrefix(e.Hash, l.against) {
		l.witnessed = true
	}
	if l.backwards == 0 && e.At.Add(tolerance).Before(l.latest) {
		l.backwards = e.Seq
	}
	if e.At.After(l.latest) {
		l.latest = e.At
	}
	if e.Digest != "" {
		l.digests[sumOf(e.Digest)] = true
	}
	switch e.What {
	case journal.Issued, journal.Sealed, journal.Kept:
		l.paper(e)
	default:
		l.state(e)
	}
	return nil
}

func (l *ledger) paper(e journal.Entry) {
	p := l.papers[e.Subject]
	if p == nil {
		p = &paperEntries{}
		l.papers[e.Subject], l.issued = p, append(l.issued, e.Subject)
	}
	p.line, p.sums = e.Seq, append(p.sums, sumOf(e.Digest))
	l.pending = append(l.pending, p)
}

func (l *ledger) state(e journal.Entry) {
	s := l.subjects[e.Subject]
	if s == nil {
		s = &subject{first: e.What == "opened" || e.What == "entered"}
		l.subjects[e.Subject], l.order = s, append(l.order, e.Subject)
	}
	switch e.What {
	case journal.Filed, journal.Witnessed, journal.Attached:
		for _, p := range l.pending {
			p.visit = e.Subject
		}
		l.pending = nil
	case journal.Forgotten:
		s.gone = true
	case journal.Edited:
		if s.closed && s.edited == 0 {
			s.edited = e.Seq
		}
	case journal.Explained:
		s.edited = 0
	}
	if e.What == journal.Closed || e.What == journal.Witnessed {
		s.closed = true
	}
	if e.OfOwnFile() {
		s.last, s.line, s.known = sumOf(e.Digest), e.Seq, true
	}
}

func sumOf(digest string) (sum [32]byte) {
	_, _ = hex.Decode(sum[:], []byte(digest[:min(len(digest), 64)])) // the chain holds digests only
	return sum
}
