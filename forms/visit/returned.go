package visit

import (
	"slices"
	"time"

	"philtrum/forms/source"
)

// Returned is a questionnaire, or a page of one, that came back: filled in on a screen and read, typed in from
// paper, or read back by somebody who compared what was typed with the paper.
type Returned struct {
	Document string
	Page     int    // of paper; 0: the whole
	Via      string // one of ReturnedVias
	File     string // SHA-256 and extension, of a file that was read
	At       time.Time
	By       string // who read, typed or compared it
	Span     source.Span
}

// How a questionnaire comes back.
const (
	FromScreen = "screen"
	FromPaper  = "paper"
	ReadBack   = "read_back"
)

// ReturnedVias are the words of a file.
var ReturnedVias = []string{FromScreen, FromPaper, ReadBack}

// LastReturned is the last entry of a document's page that came back in a way.
func (v Visit) LastReturned(document string, page int, via string) (Returned, bool) {
	for _, r := range slices.Backward(v.Returned) {
		if r.Document == document && r.Page == page && r.Via == via {
			return r, true
		}
	}
	return Returned{}, false
}

func (v reader) returned(n *source.Node) Returned {
	f := v.Fields(n, "document", "page", "via", "file", "at", "by")
	return Returned{
		Document: v.Text(f.Need("document")), Page: v.whole(f.Get("page")), Via: v.OneOf(f.Need("via"), ReturnedVias...),
		File: v.Text(f.Get("file")), At: v.Time(f.Need("at")), By: v.Text(f.Get("by")), Span: n.Span,
	}
}

// Node is an entry of returned.
func (r Returned) Node() *source.Node {
	return source.Map("document", text(r.Document), "page", whole(r.Page), "via", text(r.Via), "file", text(r.File),
		"at", moment(r.At), "by", text(r.By))
}
