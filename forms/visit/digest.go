package visit

import (
	"crypto/sha256"
	"encoding/hex"
	"slices"
	"strconv"

	"philtrum/forms"
)

// Digest is the SHA-256, in hexadecimal, of what the named questions were answered, salted so that it
// cannot be guessed once the visit and its salt are gone. It depends on states and values alone: the order
// of questions, who answered, when and through what do not change it. A question without an answer
// counts as not asked. Also is anything else that a decision judged (a lot, a date), in order.
func Digest(salt string, answers map[string]forms.Answer, questions []string, also ...string) string {
	d := &digester{make([]byte, 0, 1024)}
	d.text("philtrum answers 1")
	d.text(salt)
	ids := slices.Clone(questions)
	slices.Sort(ids)
	ids = slices.Compact(ids)
	d.count(len(ids))
	for _, id := range ids {
		d.text(id)
		a, asked := answers[id]
		if !asked {
			d.text("not asked")
			continue
		}
		d.answer(a)
	}
	d.texts(also)
	sum := sha256.Sum256(d.whole)
	return hex.EncodeToString(sum[:])
}

// DigestOf is the Digest of the answer to one question.
func DigestOf(salt string, answers map[string]forms.Answer, question string) string {
	return Digest(salt, answers, []string{question})
}

// digester joins parts that cannot run into each other: each is led by its length.
type digester struct{ whole []byte }

func (d *digester) count(n int) { d.whole = append(strconv.AppendInt(d.whole, int64(n), 10), ':') }

func (d *digester) text(s string) {
	d.count(len(s))
	d.whole = append(d.whole, s...)
}

func (d *digester) texts(list []string) {
	d.count(len(list))
	for _, s := range list {
		d.text(s)
	}
}

func (d *digester) flag(b bool) { d.text(strconv.FormatBool(b)) }

func (d *digester) answer(a forms.Answer) {
	d.text(string(a.State))
	if a.State != forms.Given {
		return
	}
	v := a.Value
	d.text(string(v.Kind))
	d.flag(v.NotApplicable)
	d.flag(v.None)
	d.flag(v.Yes)
	d.text(v.Choice)
	choices := slices.Clone(v.Choices) // a set: the order in which boxes were ticked says nothing
	slices.Sort(choices)
	d.texts(choices)
	d.text(v.Date.String())
	d.text(v.Number.String())
	d.text(v.Text)
	d.texts(v.Names)
	d.count(len(v.Entries))
	for _, e := range v.Entries {
		names := make([]string, 0, len(e))
		for name := range e {
			names = append(names, name)
		}
		slices.Sort(names)
		d.count(len(names))
		for _, name := range names {
			d.text(name)
			d.answer(e[name])
		}
	}
}
