package text

// Own holds what the papers of one visit share of its values and fields, shaped: whoever makes several of
// them gives each the same Own and drops it with the visit. The zero value is ready. It is not safe for
// concurrent use.
type Own struct {
	epoch      *epoch
	words      map[localWord]*word
	paragraphs map[string]*paragraph
}

// begin readies it for a setter. What was shaped in an older epoch has other cluster ids and is of no use.
func (o *Own) begin(e *epoch) {
	if o.epoch != e {
		*o = Own{epoch: e, words: map[localWord]*word{}, paragraphs: map[string]*paragraph{}}
	}
}
