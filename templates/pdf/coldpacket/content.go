package main

import (
	"embed"
	"encoding/json"
	"fmt"
	"strings"
	"time"

	"philtrum/templates/layout"
)

//go:embed content
var files embed.FS

// content is the text of a packet in one language, and its drawing.
type content struct {
	Lang, Dir, Page, Of, Clin string
	Names                     []string
	Docs                      []struct {
		ID, Title string
		Blocks    []block
	}
	drawing *layout.Drawing
}

// block is a part of a paper: h, p, ul, kv, table, dated, diagram or sign.
type block struct {
	T, Text      string
	Items        json.RawMessage
	Rows         [][]string
	Head, Labels []string
	Widths       []int

	list  []string
	pairs [][]string
}

func load(lang string) (*content, error) {
	c := &content{}
	if err := decode(lang, c); err != nil {
		return nil, err
	}
	for i := range c.Docs {
		for j := range c.Docs[i].Blocks {
			b := &c.Docs[i].Blocks[j]
			if len(b.Items) == 0 {
				continue
			}
			into := any(&b.list)
			if b.T == "dated" {
				into = &b.pairs
			}
			if err := json.Unmarshal(b.Items, into); err != nil {
				return nil, fmt.Errorf("content %s: %w", lang, err)
			}
		}
	}
	var d diagram
	if err := decode("diagram", &d); err != nil {
		return nil, err
	}
	var err error
	c.drawing, err = d.drawing()
	return c, err
}

func decode(name string, into any) error {
	data, err := files.ReadFile("content/" + name + ".json")
	if err != nil {
		return err
	}
	if err := json.Unmarshal(data, into); err != nil {
		return fmt.Errorf("content %s: %w", name, err)
	}
	return nil
}

// values are what packet i puts into the texts.
func (c *content) values(i int) map[string]string {
	base := time.Date(2027, 3, 1, 0, 0, 0, 0, time.UTC).AddDate(0, 0, i%28)
	v := map[string]string{
		"name": c.Names[i%len(c.Names)], "clin": c.Clin, "ref": fmt.Sprintf("KN-2041-%04d", i+1),
		"dob": fmt.Sprintf("%d-0%d-1%d", 1950+i%45, 1+i%9, i%10), "date": base.Format(time.DateOnly),
	}
	for _, day := range []int{0, 1, 2, 7, 14, 42} {
		v[fmt.Sprint("d", day)] = base.AddDate(0, 0, day).Format(time.DateOnly)
	}
	return v
}

// filled makes spans of a text: its words, and the values that it names in braces.
func filled(s string, values map[string]string) []layout.Span {
	if !strings.Contains(s, "{") {
		return []layout.Span{{Text: s}}
	}
	var spans []layout.Span
	for s != "" {
		words, rest, found := strings.Cut(s, "{")
		if words != "" {
			spans = append(spans, layout.Span{Text: words})
		}
		if !found {
			break
		}
		name, after, _ := strings.Cut(rest, "}")
		spans = append(spans, layout.Span{Text: values[name], Value: true, Field: name})
		s = after
	}
	return spans
}
