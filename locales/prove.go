package locales

import (
	"errors"
	"io/fs"
	"slices"
	"strings"

	"philtrum/forms/source"
	"philtrum/locales/cldr"
)

// Prove reads every file of a file system and reports all that is wrong: with the list of languages, with
// each message by itself (markup, placeholders, plural forms), between languages (every message of one
// stands in all, with the same placeholders and kinds) and with words that a glossary rules out. The first
// language that has messages is the one that the others are held against.
func Prove(fsys fs.FS) source.Problems {
	var r source.Reader
	data, err := fs.ReadFile(fsys, LanguagesFile)
	if err != nil {
		r.ReportAt(source.Span{File: LanguagesFile}, "problem.file_missing", nil)
		return r.Problems()
	}
	var base *proved
	for _, l := range readLanguages(readEntries(LanguagesFile, data, true, &r), &r) {
		groups := groupsOf(fsys, l.Tag)
		if len(groups) == 0 {
			continue
		}
		p := prove(fsys, l.Tag, groups, &r)
		if base == nil {
			base = p
			continue
		}
		compare(base, p, &r)
	}
	return r.Problems()
}

// proved is all that a language's files hold.
type proved struct {
	tag    string
	groups []string
	byID   map[string]message
}

func prove(fsys fs.FS, tag string, groups []string, r *source.Reader) *proved {
	p := &proved{tag: tag, groups: groups, byID: map[string]message{}}
	words := proveGlossary(fsys, tag, r)
	for _, group := range groups {
		file := tag + "/" + group + ".yaml"
		data, err := fs.ReadFile(fsys, file)
		if err != nil {
			r.ReportAt(source.Span{File: file}, "problem.file_missing", nil)
			continue
		}
		for _, m := range readMessages(readEntries(file, data, true, r), group, r) {
			proveMessage(tag, m, r)
			for i, text := range m.forms {
				words.prove(text, m.at[i], r)
				if of, is := strange(tag, text); is && !verbatim(m.id) {
					r.ReportAt(m.at[i], "problem.message_language", map[string]any{"id": m.id, "language": tag, "of": of})
				}
			}
			p.byID[m.id] = m
		}
	}
	return p
}

// proveMessage checks a message by itself.
func proveMessage(tag string, m message, r *source.Reader) {
	if m.void {
		return
	}
	used := map[string]bool{}
	for i, text := range m.forms {
		if text != "" || m.plural == "" && i == other {
			proveText(m, i, used, r)
		}
	}
	for _, h := range m.holders {
		if !used[h.name] && (h.name != m.plural) {
			r.ReportAt(m.span, "problem.message_placeholder_unused", map[string]any{"id": m.id, "name": h.name})
		}
	}
	if m.plural != "" {
		proveForms(tag, m, r)
	}
}

func proveText(m message, form int, used map[string]bool, r *source.Reader) {
	text, at := m.forms[form], m.at[form]
	if strings.TrimSpace(text) == "" {
		r.ReportAt(at, "problem.message_empty", map[string]any{"id": m.id})
		return
	}
	if text != strings.TrimRight(text, " \t") {
		r.ReportAt(at, "problem.message_space", map[string]any{"id": m.id})
	}
	pieces, err := parseText(text)
	if wrong := (*markupError)(nil); errors.As(err, &wrong) {
		r.ReportAt(at, wrong.id, map[string]any{"id": m.id})
		return
	}
	for _, piece := range pieces {
		if !piece.holder {
			continue
		}
		if _, ok := m.holder(piece.text); !ok {
			r.ReportAt(at, "problem.message_placeholder_undeclared", map[string]any{"id": m.id, "name": piece.text})
		}
		used[piece.text] = true
	}
}

// proveForms checks that a message has a text for every plural category of its language and no other.
func proveForms(tag string, m message, r *source.Reader) {
	needed := cldr.Categories(tag)
	for i, name := range categories {
		args := map[string]any{"id": m.id, "form": name, "language": tag}
		need := slices.Contains(needed, cldr.Category(name))
		has := m.at[i].Line != 0
		switch {
		case need && !has:
			r.ReportAt(m.span, "problem.message_form_missing", args)
		case need && m.forms[i] == "":
			r.ReportAt(m.at[i], "problem.message_empty", map[string]any{"id": m.id})
		case !need && has:
			r.ReportAt(m.at[i], "problem.message_form_unneeded", args)
		}
	}
}

// compare holds a language against the first one.
func compare(base, p *proved, r *source.Reader) {
	missing := map[string]bool{}
	for _, group := range base.groups {
		if !slices.Contains(p.groups, group) {
			missing[group] = true
			r.ReportAt(source.Span{File: p.tag + "/" + group + ".yaml"}, "problem.message_group_missing",
				map[string]any{"group": group, "language": p.tag})
		}
	}
	for _, id := range sortedKeys(base.byID) {
		m, ok := p.byID[id]
		if !ok {
			if group := GroupOf(id); !missing[group] {
				r.ReportAt(source.Span{File: p.tag + "/" + group + ".yaml"}, "problem.message_missing",
					map[string]any{"id": id, "language": p.tag})
			}
			continue
		}
		compareHolders(base, base.byID[id], m, r)
		if said := m.forms[other]; said == base.byID[id].forms[other] && long(said) && !verbatim(id) {
			r.ReportAt(m.at[other], "problem.message_same", map[string]any{"id": id, "language": base.tag})
		}
	}
	for _, id := range sortedKeys(p.byID) {
		if _, ok := base.byID[id]; !ok {
			r.ReportAt(p.byID[id].span, "problem.message_extra", map[string]any{"id": id, "language": base.tag})
		}
	}
}

func compareHolders(base *proved, want, got message, r *source.Reader) {
	for _, h := range want.holders {
		args := map[string]any{"id": want.id, "name": h.name, "language": base.tag}
		g, ok := got.holder(h.name)
		switch {
		case !ok:
			r.ReportAt(got.span, "problem.message_placeholder_missing", args)
		case g.kind != h.kind:
			args["kind"] = string(h.kind)
			r.ReportAt(got.span, "problem.message_placeholder_kind", args)
		}
	}
	for _, h := range got.holders {
		if _, ok := want.holder(h.name); !ok {
			r.ReportAt(got.span, "problem.message_placeholder_extra",
				map[string]any{"id": want.id, "name": h.name, "language": base.tag})
		}
	}
}

func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}
