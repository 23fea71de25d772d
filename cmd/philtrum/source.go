package main

// sourceTitle is the title of a rule's source in the language of the session. A source that a clinic has added or
// changed is named as its own file names it.
func (s *session) sourceTitle(key, citation string) string {
	id := "screen.source." + key
	if !s.voice.printer.Has(id) {
		return citation
	}
	shipped, err := s.catalogue.Printer(defaultLanguage)
	if err != nil {
		return citation
	}
	if title, err := shipped.Text(id, nil); err != nil || title != citation {
		return citation
	}
	return s.voice.text(id, nil)
}
