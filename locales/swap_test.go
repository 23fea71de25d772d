package locales

import (
	"io/fs"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
)

// Every text of the program is taken for one of its own language.
func TestNoTextIsStrange(t *testing.T) {
	offered(t, func(tag string, m Message) {
		for _, f := range m.Forms {
			if of, is := strange(tag, f.Text); is && !verbatim(m.ID) {
				t.Errorf("%s: %s looks like %q: %q", tag, m.ID, of, f.Text)
			}
		}
	})
}

// A sentence that stands in the file of another language is told. Short ones are not told by their words, which
// is why the release of every text hangs on its digest. The share asked for is what the list of words reached.
func TestSwappedSentencesAreTold(t *testing.T) {
	told, all := map[string]int{}, map[string]int{}
	offered(t, func(tag string, m Message) {
		if verbatim(m.ID) {
			return
		}
		for other := range scripts {
			if other == tag {
				continue
			}
			for _, f := range m.Forms {
				if _, _, words := measured(f.Text, scripts[tag]); len(words) < 8 {
					continue
				}
				pair := tag + " in " + other
				all[pair]++
				if _, is := strange(other, f.Text); is {
					told[pair]++
				}
			}
		}
	})
	for pair, n := range all {
		if told[pair]*100 < n*80 {
			t.Errorf("%s: %d of %d sentences are told", pair, told[pair], n)
		}
	}
}

// offered visits every message of every language of the program, commands aside.
func offered(t *testing.T, visit func(tag string, m Message)) {
	t.Helper()
	c, err := Load(Default)
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range c.Languages() {
		for _, group := range Groups(Default, l.Tag) {
			messages, err := Messages(Default, l.Tag, group)
			if err != nil {
				t.Fatal(err)
			}
			for _, m := range messages {
				visit(l.Tag, m)
			}
		}
	}
}

// The mutations that harm most: each is a problem of its own, at its message.
func TestMutationsAreCaught(t *testing.T) {
	whole := func() fstest.MapFS {
		fsys := fstest.MapFS{}
		err := fs.WalkDir(Default, ".", func(name string, d fs.DirEntry, err error) error {
			group := strings.TrimSuffix(d.Name(), ".yaml")
			if err != nil || d.IsDir() || !slices.Contains([]string{"languages", "consent", "paper", "revision"}, group) {
				return err
			}
			data, err := fs.ReadFile(Default, name)
			fsys[name] = &fstest.MapFile{Data: data}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
		return fsys
	}
	text := func(fsys fstest.MapFS, tag, id string) string {
		messages, err := Messages(fsys, tag, GroupOf(id))
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range messages {
			if m.ID == id {
				return m.Forms[len(m.Forms)-1].Text
			}
		}
		t.Fatalf("no message %s in %s", id, tag)
		return ""
	}
	replace := func(fsys fstest.MapFS, file, old, with string) {
		data := string(fsys[file].Data)
		if !strings.Contains(data, old) {
			t.Fatalf("%s does not hold %q", file, old)
		}
		fsys[file].Data = []byte(strings.Replace(data, old, with, 1))
	}
	for _, c := range []struct {
		name, problem string
		change        func(fstest.MapFS)
	}{
		{"a message of English in the Spanish file", "problem.message_same", func(f fstest.MapFS) {
			replace(f, "es/consent.yaml", text(f, "es", "consent.says.result"), text(f, "en", "consent.says.result"))
		}},
		{"a message of Spanish in the English file", "problem.message_language", func(f fstest.MapFS) {
			replace(f, "en/consent.yaml", text(f, "en", "consent.says.result"), text(f, "es", "consent.says.result"))
		}},
		{"another script", "problem.message_language", func(f fstest.MapFS) {
			replace(f, "es/consent.yaml", text(f, "es", "consent.says.stop"), "وعدك بذلك أحد")
		}},
		{"a placeholder dropped", "problem.message_placeholder_unused", func(f fstest.MapFS) {
			replace(f, "es/paper.yaml", text(f, "es", "paper.supersedes"), strings.ReplaceAll(text(f, "es", "paper.supersedes"), "{supersedes}", ""))
		}},
		{"a placeholder renamed", "problem.message_placeholder_undeclared", func(f fstest.MapFS) {
			replace(f, "es/paper.yaml", "{supersedes}", "{superseded}")
		}},
		{"a plural form dropped", "problem.message_form_missing", func(f fstest.MapFS) {
			data := string(f["es/revision.yaml"].Data)
			i := strings.Index(data, "  many: ")
			end := i + strings.IndexByte(data[i:], '\n') + 1
			f["es/revision.yaml"].Data = []byte(data[:i] + data[end:])
		}},
		{"a message dropped", "problem.message_missing", func(f fstest.MapFS) {
			replace(f, "es/consent.yaml", "consent.says.stop:", "consent.says.stopped:")
		}},
		{"a file dropped", "problem.message_group_missing", func(f fstest.MapFS) { delete(f, "es/consent.yaml") }},
		{"a sign of strength left open", "problem.message_strong_open", func(f fstest.MapFS) {
			replace(f, "es/consent.yaml", text(f, "es", "consent.says.stop"), text(f, "es", "consent.says.stop")+" **x")
		}},
	} {
		fsys := whole()
		before := map[string]int{}
		for _, p := range Prove(fsys) {
			before[p.ID]++
		}
		c.change(fsys)
		after := map[string]int{}
		for _, p := range Prove(fsys) {
			after[p.ID]++
		}
		if after[c.problem] <= before[c.problem] {
			t.Errorf("%s: no %s among %v", c.name, c.problem, after)
		}
	}
}
