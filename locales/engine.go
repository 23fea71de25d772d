package locales

import (
	"fmt"
	"sync"

	"github.com/nicksnyder/go-i18n/v2/i18n"
	"github.com/nicksnyder/go-i18n/v2/i18n/template"

	"philtrum/locales/cldr"
)

// engine looks up the messages of one language and chooses their plural forms. Its bundle holds that
// language only, so that there is no other to fall back to, and placeholders stay as they are: filling them
// in is the printer's work.
type engine struct {
	tag    cldr.LanguageTag
	mu     sync.Mutex // a bundle is not safe while messages are added
	bundle *i18n.Bundle
	local  *i18n.Localizer
	pieces sync.Map // []piece by the id of a message with one form
}

func newEngine(tag string) (*engine, error) {
	t, err := cldr.Tag(tag)
	if err != nil {
		return nil, fmt.Errorf("language tag %q: %w", tag, err)
	}
	e := &engine{tag: t, bundle: i18n.NewBundle(t)}
	e.local = i18n.NewLocalizer(e.bundle, tag)
	return e, nil
}

func (e *engine) add(m message) error {
	e.mu.Lock()
	defer e.mu.Unlock()
	return e.bundle.AddMessages(e.tag, &i18n.Message{ID: m.id, Zero: m.forms[0], One: m.forms[1], Two: m.forms[2],
		Few: m.forms[3], Many: m.forms[4], Other: m.forms[other]})
}

// lookup gives the text of a message in the form that count asks for; count is nil for a message of one
// form. A form that is missing is an error, never another form.
func (e *engine) lookup(id string, count any) (string, error) {
	e.mu.Lock()
	defer e.mu.Unlock()
	text, tag, err := e.local.LocalizeWithTag(&i18n.LocalizeConfig{
		MessageID: id, PluralCount: count, TemplateParser: template.IdentityParser{},
	})
	switch {
	case err != nil:
		return "", err // beside the error the engine gives the form "other"
	case tag != e.tag:
		return "", fmt.Errorf("answered in %s", tag)
	}
	return text, nil
}
