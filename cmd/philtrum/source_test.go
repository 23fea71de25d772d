package main

import (
	"strings"
	"testing"

	"philtrum/forms/screen"
	"philtrum/forms/source"
	"philtrum/locales"

	"io/fs"
)

// Every source of a shipped rule has its title in every language, and the English one is what the file says, so
// that a clinic's own source is told from it.
func TestSourcesHaveTitles(t *testing.T) {
	data, err := fs.ReadFile(screen.Default, "sources.yaml")
	if err != nil {
		t.Fatal(err)
	}
	root, problems := source.Parse("sources.yaml", data)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	c, err := locales.Load(locales.Default)
	if err != nil {
		t.Fatal(err)
	}
	for _, tag := range []string{"en", "es"} {
		p, err := c.Printer(tag)
		if err != nil {
			t.Fatal(err)
		}
		for _, key := range root.Keys {
			title, err := p.Text("screen.source."+key.Name, nil)
			if err != nil {
				t.Errorf("%s: %v", tag, err)
			}
			if tag == "en" && title != strings.TrimSpace(key.Value.Text) {
				t.Errorf("%s: %q is not %q", key.Name, title, key.Value.Text)
			}
		}
	}
}
