package release

import (
	"slices"
	"testing"
	"testing/fstest"
)

func files(en, es string) fstest.MapFS {
	return fstest.MapFS{"en/consent.yaml": {Data: []byte(en)}, "es/consent.yaml": {Data: []byte(es)}}
}

func digest(t *testing.T, fsys fstest.MapFS, language string) string {
	t.Helper()
	d, err := Digest(fsys, language, "consent")
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func TestStates(t *testing.T) {
	fsys := files("consent.title: Your consent\n", "consent.title: Su consentimiento\n")
	en, es := digest(t, fsys, "en"), digest(t, fsys, "es")
	sign := func(language, digest string, role Role, by string) Release {
		return Release{Language: language, Group: "consent", Digest: digest, Role: role, By: by, On: "2026-03-04"}
	}
	for _, c := range []struct {
		name     string
		language string
		releases []Release
		want     State
		missing  []Role
	}{
		{"nobody", "es", nil, Draft, []Role{Translator, Reviser}},
		{"one of two", "es", []Release{sign("es", es, Translator, "a")}, Draft, []Role{Reviser}},
		{"both", "es", []Release{sign("es", es, Translator, "a"), sign("es", es, Reviser, "b")}, Released, nil},
		{"one person twice", "es", []Release{sign("es", es, Translator, "a"), sign("es", es, Reviser, "a")}, Draft, nil},
		{"revised by a second as well", "es", []Release{sign("es", es, Translator, "a"), sign("es", es, Reviser, "a"),
			sign("es", es, Reviser, "c")}, Released, nil},
		{"another content", "es", []Release{sign("es", en, Translator, "a"), sign("es", en, Reviser, "b")}, Draft,
			[]Role{Translator, Reviser}},
		{"another language", "es", []Release{sign("en", es, Translator, "a"), sign("en", es, Reviser, "b")}, Draft,
			[]Role{Translator, Reviser}},
		{"nameless", "es", []Release{sign("es", es, Translator, ""), sign("es", es, Reviser, "b")}, Draft, []Role{Translator}},
		{"roles of a translation for the source", "en", []Release{sign("en", en, Translator, "a"), sign("en", en, Reviser, "b")},
			Draft, []Role{Author, MedicalLead}},
		{"the source", "en", []Release{sign("en", en, Author, "a"), sign("en", en, MedicalLead, "b")}, Released, nil},
	} {
		got, err := StateOf(fsys, c.language, "consent", c.releases)
		if err != nil || got != c.want {
			t.Errorf("%s: %s %v, want %s", c.name, got, err, c.want)
		}
		if got := Missing(c.language, "consent", digest(t, fsys, c.language), c.releases); !slices.Equal(got, c.missing) {
			t.Errorf("%s: missing %v, want %v", c.name, got, c.missing)
		}
	}
}

func TestDigestFollowsContent(t *testing.T) {
	base := files("a: x\n", "a: y\n")
	d := digest(t, base, "es")
	if digest(t, files("a: x\r\n", "a: y\r\n"), "es") != d {
		t.Error("line ends change the digest")
	}
	for name, changed := range map[string]fstest.MapFS{
		"the translation": files("a: x\n", "a: z\n"), "its source": files("a: w\n", "a: y\n"),
		"bytes moved between the two": files("a: x\n\n", "a: y"), "a blank": files("a: x\n", "a: y \n"),
	} {
		if digest(t, changed, "es") == d {
			t.Errorf("a change of %s leaves the digest", name)
		}
	}
	if digest(t, base, "en") != digest(t, files("a: x\n", "a: other\n"), "en") {
		t.Error("the source's digest follows a translation")
	}
	if _, err := Digest(base, "es", "absent"); err == nil {
		t.Error("an absent group has a digest")
	}
}

func TestAll(t *testing.T) {
	fsys := files("a: x\n", "a: y\n")
	es := digest(t, fsys, "es")
	both := []Release{{"es", "consent", es, Translator, "a", "2026-03-04"}, {"es", "consent", es, Reviser, "b", "2026-03-05"}}
	for _, c := range []struct {
		groups []string
		want   State
	}{{nil, Draft}, {[]string{"consent"}, Released}, {[]string{"consent", "absent"}, Draft}} {
		if got, err := All(fsys, "es", c.groups, both); err != nil || got != c.want {
			t.Errorf("%v: %s %v, want %s", c.groups, got, err, c.want)
		}
	}
}
