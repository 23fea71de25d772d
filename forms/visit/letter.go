package visit

import (
	"time"

	"philtrum/forms/source"
)

// Letter is what the patient chose about a letter to the family doctor, taken down by a member of staff. A
// visit without one has no choice on file, which is no permission.
type Letter struct {
	Agreed bool
	By     string
	At     time.Time
}

func (v reader) letter(n *source.Node) *Letter {
	if n == nil || n.Kind == source.Empty {
		return nil
	}
	f := v.Fields(n, "agreed", "by", "at")
	return &Letter{Agreed: v.YesNo(f.Need("agreed")), By: v.ID(f.Need("by")), At: v.Time(f.Need("at"))}
}

// Node is the entry of letter.
func (l *Letter) Node() *source.Node {
	if l == nil {
		return nil
	}
	return source.Map("agreed", said(l.Agreed, true), "by", text(l.By), "at", moment(l.At))
}
