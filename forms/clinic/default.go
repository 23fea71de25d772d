package clinic

import (
	"bytes"
	_ "embed"
	"fmt"
	"strings"
	"text/template"

	"philtrum/forms/source"
)

//go:embed clinic.yaml.tmpl
var fileTemplate string

// Words gives the text of a message of the group "policy" with its placeholders filled.
type Words func(id string, args map[string]string) (string, error)

// DefaultFile writes a new clinic.yaml for c: who and where it is, then every setting of the policy,
// commented out, with its reason, default, bounds and trust. Empty fields of c are left out, but for those
// that a clinic has to have. The only errors are those of words and of the template.
func DefaultFile(c Clinic, words Words) ([]byte, error) {
	w := fileWriter{words}
	t, err := template.New("clinic.yaml").Funcs(template.FuncMap{
		"comment":  func(id string) (string, error) { return w.comment("", id, nil) },
		"reason":   w.reason,
		"scalar":   scalar,
		"settings": Settings,
	}).Parse(fileTemplate)
	if err != nil {
		return nil, fmt.Errorf("clinic: template: %w", err)
	}
	if c.Page == "" {
		c.Page = "A4"
	}
	var out bytes.Buffer
	err = t.Execute(&out, struct {
		Clinic
		Zone string
	}{c, c.Zone.String()})
	if err != nil {
		return nil, fmt.Errorf("clinic: new file: %w", err)
	}
	return out.Bytes(), nil
}

// scalar writes s so that it reads back as s, on one line.
func scalar(s string) string {
	s = strings.Join(strings.Fields(s), " ")
	return strings.TrimSuffix(string(source.Write(source.Text(s))), "\n")
}

type fileWriter struct{ words Words }

// reason is a setting's comment: why it is there, what it is by default and where that comes from.
func (w fileWriter) reason(s Setting) (string, error) {
	why, err := w.comment("  ", "policy."+s.Key, nil)
	if err != nil {
		return "", err
	}
	id, args := "policy.file.bounds", map[string]string{"least": s.Least, "most": s.Most}
	if s.Kind == AChoice {
		id, args = "policy.file.choices", map[string]string{"allowed": strings.Join(s.Allowed, ", ")}
	}
	bounds, err := w.comment("  ", id, args)
	if err != nil {
		return "", err
	}
	var from map[string]string // only a source that somebody read is named
	if s.Source != "" {
		from = map[string]string{"source": s.Source}
	}
	trust, err := w.comment("  ", "policy.file.trust_"+s.Trust, from)
	return why + "\n" + bounds + "\n" + trust, err
}

const commentWidth = 100

// comment is a message as comment lines.
func (w fileWriter) comment(indent, id string, args map[string]string) (string, error) {
	text, err := w.words(id, args)
	if err != nil {
		return "", err
	}
	var lines []string
	line := indent + "#"
	for _, word := range strings.Fields(text) {
		if len(line)+1+len(word) > commentWidth && line != indent+"#" {
			lines = append(lines, line)
			line = indent + "#"
		}
		line += " " + word
	}
	return strings.Join(append(lines, line), "\n"), nil
}
