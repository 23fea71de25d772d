// Package journal is the append-only chain in which a clinic's folder records what happened: each entry
// holds the hash of the one before, so that an entry cannot be altered, removed or put in between
// without every later hash failing.
//
// An entry has ids and digests only; names, reasons and old values stay in the files that the digests
// are of. Erasing a visit therefore leaves the chain whole and tells nothing, as the salt that went into
// its digests is gone with it. A chain alone does not show that its end was cut off: compare the last
// hash with one that was printed or kept elsewhere.
package journal

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"time"
)

// Entry is one line of journal.jsonl.
type Entry struct {
	Seq      int       // from 1
	At       time.Time // to the second, UTC in the file
	What     string    // "opened", "issued", "handed", "decided", …
	Subject  string    // the id of the visit, patient or paper
	Digest   string    // of the file or paper, in hexadecimal; may be empty
	Previous string    // the hash of the entry before; empty for the first
	Hash     string    // SHA-256 of the canonical line without it
}

// canonical is the form whose hash is taken: the fields in this order, one JSON object without spaces.
type canonical struct {
	Seq      int    `json:"seq"`
	At       string `json:"at"`
	What     string `json:"what"`
	Subject  string `json:"subject"`
	Digest   string `json:"digest"`
	Previous string `json:"previous"`
}

type line struct {
	canonical
	Hash string `json:"hash"`
}

// Next is the entry that follows previous; the zero Entry begins a chain.
func Next(previous Entry, what, subject, digest string, at time.Time) Entry {
	e := Entry{
		Seq:      previous.Seq + 1,
		At:       at.UTC().Truncate(time.Second),
		What:     what,
		Subject:  subject,
		Digest:   digest,
		Previous: previous.Hash,
	}
	e.Hash = e.sum()
	return e
}

func (e Entry) canonical() canonical {
	return canonical{e.Seq, e.At.UTC().Format(time.RFC3339), e.What, e.Subject, e.Digest, e.Previous}
}

func (e Entry) sum() string {
	sum := sha256.Sum256(encode(e.canonical()))
	return hex.EncodeToString(sum[:])
}

// encode cannot fail: the types hold strings and numbers only.
func encode(v any) []byte {
	b, err := json.Marshal(v)
	if err != nil {
		panic(fmt.Sprintf("journal: %v", err))
	}
	return b
}

// Line is the entry as a line of the journal, without line end.
func (e Entry) Line() []byte { return encode(line{e.canonical(), e.Hash}) }

// errLine says nothing of the line, which may be anything.
var errLine = errors.New("journal: not an entry")

// Signs of the fields of an entry, and how many they may have.
const (
	lower   = "abcdefghijklmnopqrstuvwxyz"
	numbers = "0123456789"

	wordSigns   = lower + numbers + "_"
	idSigns     = lower + "ABCDEFGHIJKLMNOPQRSTUVWXYZ" + numbers + "._-"
	digestSigns = numbers + "abcdef"

	mostWord, mostID, mostDigest = 32, 128, 128
)

func word(s string) bool {
	return s != "" && s[0] >= 'a' && s[0] <= 'z' && made(s, wordSigns, mostWord)
}

// made says whether a text is made of these signs alone, and no more than most of them.
func made(s, signs string, most int) bool {
	return len(s) <= most && strings.Trim(s, signs) == ""
}

// ParseLine reads a line. Only the exact form that [Entry.Line] writes is an entry: another spelling of
// the same content would leave two files for one chain. It does not check the hash; [Verify] does.
func ParseLine(b []byte) (Entry, error) {
	var l line
	if err := json.Unmarshal(b, &l); err != nil {
		return Entry{}, errLine
	}
	at, err := time.Parse(time.RFC3339, l.At)
	if err != nil {
		return Entry{}, errLine
	}
	e := Entry{l.Seq, at.UTC(), l.What, l.Subject, l.Digest, l.Previous, l.Hash}
	if string(e.Line()) != string(b) {
		return Entry{}, errLine
	}
	return e, nil
}

// Reasons that [Verify] gives.
const (
	ReasonHash     = "hash"     // the entry's content is not what its hash was taken of
	ReasonSequence = "sequence" // its number does not follow
	ReasonPrevious = "previous" // it does not follow the entry before
	ReasonForm     = "form"     // a field holds something else than a word, an id or a digest
)

// Verify checks a whole chain. If it does not hold, first is the index of the first entry that breaks it
// and reason one of the Reasons. An empty chain holds. Times are not compared: a clock that was set back
// must not make an honest chain fail for ever.
func Verify(entries []Entry) (first int, reason string, ok bool) {
	var chain Chain
	for i, e := range entries {
		if reason := chain.Add(e); reason != "" {
			return i, reason, false
		}
	}
	return 0, "", true
}

// Chain is as much of a chain as is needed to judge the next entry: its zero value is ready.
type Chain struct{ last Entry }

// Add takes the next entry, or gives the reason why it cannot stand here.
func (c *Chain) Add(e Entry) (reason string) {
	if reason := e.follows(c.last); reason != "" {
		return reason
	}
	c.last = e
	return ""
}

// Last is the entry that the chain ends with so far; the zero Entry of none.
func (c *Chain) Last() Entry { return c.last }

// Holds says whether the entry's content is what its hash was taken of.
func (e Entry) Holds() bool { return e.Hash == e.sum() }

// follows names why e cannot stand behind previous, or is empty.
func (e Entry) follows(previous Entry) string {
	switch {
	case !e.Holds():
		return ReasonHash
	case e.Seq != previous.Seq+1:
		return ReasonSequence
	case e.Previous != previous.Hash:
		return ReasonPrevious
	case !word(e.What) || !made(e.Subject, idSigns, mostID) || !made(e.Digest, digestSigns, mostDigest):
		return ReasonForm
	}
	return ""
}
