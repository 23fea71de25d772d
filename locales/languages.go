package locales

import (
	"fmt"
	"io/fs"

	"philtrum/locales/cldr"
)

// readLanguages reads languages.yaml.
func readLanguages(fsys fs.FS) ([]listed, error) {
	data, err := fs.ReadFile(fsys, LanguagesFile)
	if err != nil {
		return nil, fmt.Errorf("list of languages: %w", err)
	}
	entries, ok := readFlat(string(data))
	if !ok {
		return nil, fmt.Errorf("%s cannot be read", LanguagesFile)
	}
	var all []listed
	for _, e := range entries {
		l := listed{Language: Language{Tag: e.key}}
		for _, f := range e.fields {
			switch f.key {
			case "name":
				l.Name = f.text
			case "direction":
				l.Direction = f.text
			case "digits":
				l.Digits = f.text
			case "formula":
				l.Formula = f.text
			case "regions":
				for _, p := range f.pairs {
					l.Regions = append(l.Regions, p.key)
					l.styles = append(l.styles, cldr.Style(p.value))
				}
			}
		}
		if len(l.Regions) == 0 {
			return nil, fmt.Errorf("%s: %s serves no region", LanguagesFile, e.key)
		}
		l.Region, l.DateStyle = l.Regions[0], l.styles[0]
		all = append(all, l)
	}
	return all, nil
}
