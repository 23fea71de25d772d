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
	for _, c := range []struct {
		name     string
		language string
		releases []Release
		want     State
	}{
		{"nobody", "es", nil, Draft},
		{"both", "es", []Release{{"es", "consent", es, "a", "b"}}, Released},
		{"no reviser", "es", []Release{{"es", "consent", es, "a", ""}}, Draft},
		{"no translator", "es", []Release{{"es", "consent", es, "", "b"}}, Draft},
		{"one person twice", "es", []Release{{"es", "consent", es, "a", "a"}}, Draft},
		{"one person, written otherwise", "es", []Release{{"es", "consent", es, "Ana Ruiz", "RUIZ,  Ana."}}, Draft},
		{"a dash for a name", "es", []Release{{"es", "consent", es, "a", "–"}}, Draft},
		{"another content", "es", []Release{{"es", "consent", en, "a", "b"}}, Draft},
		{"no content", "es", []Release{{"es", "consent", "", "a", "b"}}, Draft},
		{"another language", "es", []Release{{"en", "consent", es, "a", "b"}}, Draft},
		{"another group", "es", []Release{{"es", "record", es, "a", "b"}}, Draft},
		{"an older one beside it", "es", []Release{{"es", "consent", en, "a", "b"}, {"es", "consent", es, "c", "d"}}, Released},
		{"the source", "en", []Release{{"en", "consent", en, "a", "b"}}, Released},
	} {
		got, err := StateOf(fsys, c.language, "consent", c.releases)
		if err != nil || got != c.want {
			t.Errorf("%s: %s %v, want %s", c.name, got, err, c.want)
		}
	}
	if Of("es", "consent", "", []Release{{"es", "consent", "", "a", "b"}}) != Draft {
		t.Error("a signature for nothing counts")
	}
}

func TestRoles(t *testing.T) {
	if Roles("en") != [2]Role{Author, MedicalLead} || Roles("es") != [2]Role{Translator, Reviser} {
		t.Error("the wrong persons sign")
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
		"an argument": files("a: x\n", "a:\n  text: y\n  args: {n: count}\n"), "a blank": files("a: x\n", "a: y \n"),
		"one more message": files("a: x\n", "a: y\nb: z\n"), "a message's name": files("a: x\n", "b: y\n"),
	} {
		if digest(t, changed, "es") == d {
			t.Errorf("a change of %s leaves the digest", name)
		}
	}
	for name, same := range map[string]fstest.MapFS{
		"a comment": files("a: x\n", "# head\na: y\n\n# foot\n"), "a blank line": files("a: x\n\n", "a: y"),
	} {
		if digest(t, same, "es") != d {
			t.Errorf("%s changes the digest", name)
		}
	}
	noted := func(note string) fstest.MapFS {
		return files("a: x\n", "a:\n  text: y\n"+note+"  args: {n: count}\nb: z\n")
	}
	if digest(t, noted(""), "es") != digest(t, noted("  note: >-\n    where it\n    stands\n"), "es") {
		t.Error("a note to the translator changes the digest")
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
	both := []Release{{"es", "consent", digest(t, fsys, "es"), "a", "b"}}
	for _, c := range []struct {
		groups []string
		want   State
	}{{nil, Draft}, {[]string{"consent"}, Released}, {[]string{"consent", "absent"}, Draft}} {
		if got, err := All(fsys, "es", c.groups, both); err != nil || got != c.want {
			t.Errorf("%v: %s %v, want %s", c.groups, got, err, c.want)
		}
	}
}

// Warnings and choices are released on their own: changing another message of their file leaves them be.
func TestPortions(t *testing.T) {
	fsys := func(warning, other string) fstest.MapFS {
		return fstest.MapFS{"en/aftercare.yaml": {Data: []byte("aftercare.now.pain: " + warning + "\naftercare.title: " + other + "\n")}}
	}
	of := func(fsys fstest.MapFS, portion string) string {
		d, err := Digest(fsys, "en", portion)
		if err != nil {
			t.Fatal(err)
		}
		return d
	}
	base, warned, retitled := fsys("p", "t"), fsys("q", "t"), fsys("p", "u")
	if of(base, Warning) == of(warned, Warning) || of(base, "aftercare") != of(warned, "aftercare") {
		t.Error("a warning does not reopen the warnings alone")
	}
	if of(base, "aftercare") == of(retitled, "aftercare") || of(base, Warning) != of(retitled, Warning) {
		t.Error("another text does not reopen its group alone")
	}
	got := PortionsOf([]string{"paper", "aftercare", "paper"})
	if want := []string{Warning, Choice, "aftercare", "paper"}; !slices.Equal(got, want) {
		t.Errorf("portions %v, want %v", got, want)
	}
	for id, want := range map[string]string{"paper.yes": Choice, "paper.yesterday": "paper", "consent.choices.copy": Choice,
		"aftercare.signs.now": Warning, "aftercare.signature": "aftercare", "dissolving.choices.again": Choice,
		"dissolving.signs.rash_do": Warning, "information.after.emergency": Warning, "information.after.care": "information",
		"travel.call.here": Warning, "card.signs": Warning, "recall.danger.text": Warning, "card.emergency": Warning} {
		if got := PortionOf(id); got != want {
			t.Errorf("%s is released with %s, want %s", id, got, want)
		}
	}
}

func TestSamePerson(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want bool
	}{
		{"Oda Bergström", "oda  BERGSTRÖM", true},
		{"Oda Bergström", "Bergström, Oda", true},
		{"Oda Bergström", "Oda Bergstro\u0308m.", true},
		{"Oda Bergström", "Oda Bergholm", false},
		{"李明", "李 明", false},
		{"राम", "रमा", false},
		{"Oda Bergström", "Oda", false},
	} {
		if got := SamePerson(c.a, c.b); got != c.want {
			t.Errorf("%q and %q: %v", c.a, c.b, got)
		}
	}
}

// A portion that is gathered from several groups takes those that are there, and its digest follows each.
func TestPortionOfSeveralGroups(t *testing.T) {
	fsys := fstest.MapFS{"en/aftercare.yaml": {Data: []byte("aftercare.now.pain: p\n")}}
	first, err := Digest(fsys, "en", Warning)
	if err != nil {
		t.Fatal(err)
	}
	fsys["en/travel.yaml"] = &fstest.MapFile{Data: []byte("travel.call.here: c\ntravel.title: t\n")}
	second, err := Digest(fsys, "en", Warning)
	if err != nil || first == second {
		t.Errorf("a warning of another group leaves the digest (%v)", err)
	}
	if messages, err := Messages(fsys, "en", Warning); err != nil || len(messages) != 2 {
		t.Errorf("%d warnings (%v)", len(messages), err)
	}
	if _, err := Digest(fstest.MapFS{}, "en", Warning); err == nil {
		t.Error("no group, and yet a digest")
	}
}
