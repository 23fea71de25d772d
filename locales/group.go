package locales

import (
	"fmt"
	"io/fs"

	"github.com/nicksnyder/go-i18n/v2/i18n"
	"github.com/nicksnyder/go-i18n/v2/i18n/template"

	"philtrum/forms/source"
	"philtrum/locales/cldr"
)

// group is one file of messages. The bundle holds one language only, so that there is no other to fall
// back to.
type group struct {
	bundle *i18n.Bundle
	local  *i18n.Localizer
	args   map[string]declared
}

func readGroup(fsys fs.FS, tag, name string) (*group, error) {
	file := tag + "/" + name + ".yaml"
	data, err := fs.ReadFile(fsys, file)
	if err != nil {
		return nil, err
	}
	messages, problems := reread(file, data, func(e []flatEntry, r *source.Reader) []message {
		return readMessages(e, name, r)
	})
	if len(problems) > 0 {
		return nil, problems.Err()
	}
	return newGroup(tag, messages)
}

func newGroup(tag string, messages []message) (*group, error) {
	t, err := cldr.Tag(tag)
	if err != nil {
		return nil, fmt.Errorf("language tag %q: %w", tag, err)
	}
	g := &group{bundle: i18n.NewBundle(t), args: make(map[string]declared, len(messages))}
	list := make([]*i18n.Message, len(messages))
	for i, m := range messages {
		list[i] = &i18n.Message{ID: m.id, Zero: m.forms[0], One: m.forms[1], Two: m.forms[2],
			Few: m.forms[3], Many: m.forms[4], Other: m.forms[5]}
		g.args[m.id] = m.declared
	}
	if err := g.bundle.AddMessages(t, list...); err != nil {
		return nil, err
	}
	g.local = i18n.NewLocalizer(g.bundle, tag)
	return g, nil
}

// lookup gives the text of a message in the form that count asks for; count is nil for a message of one
// form. A form that is missing is an error, never another form.
func (g *group) lookup(id string, count any) (string, error) {
	text, _, err := g.local.LocalizeWithTag(&i18n.LocalizeConfig{
		MessageID: id, PluralCount: count, TemplateParser: template.IdentityParser{},
	})
	if err != nil {
		return "", err
	}
	return text, nil
}
