package main

import (
	"bytes"
	"io/fs"
	"os"
	"strings"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/types"
	"github.com/rogpeppe/go-internal/testscript"

	"philtrum/forms"
)

// shippedQuestions writes the questions that the program ships, for a clinic that changes them: questions FILE.
func shippedQuestions(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: questions FILE")
	}
	data, err := fs.ReadFile(forms.Default, "lips.yaml")
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), data, 0o600))
}

// fillForm fills a form as somebody does on a screen: fill IN OUT VALUES, where VALUES has a line "field value" for
// each field. "tip field words" changes what a field asks instead, "script field" has it run a program.
func fillForm(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: fill IN OUT VALUES")
	}
	values, tips, scripted := map[string]string{}, map[string]string{}, ""
	for _, line := range strings.Split(strings.TrimSpace(ts.ReadFile(args[2])), "\n") {
		name, value, _ := strings.Cut(line, " ")
		if name == "tip" {
			name, value, _ = strings.Cut(value, " ")
			tips[name] = value
			continue
		}
		if name == "script" {
			scripted = value
			continue
		}
		values[name] = strings.ReplaceAll(value, `\n`, "\n")
	}
	data, err := os.ReadFile(ts.MkAbs(args[0]))
	ts.Check(err)
	filled, err := filledIn(data, values, tips, scripted)
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(args[1]), filled, 0o600))
}

// filledIn is a file with values in its fields, other words for people at some, and a script at one; "" at none.
func filledIn(data []byte, values, tips map[string]string, scripted string) ([]byte, error) {
	conf := model.NewDefaultConfiguration()
	conf.ValidationMode = model.ValidationRelaxed
	ctx, err := api.ReadContext(bytes.NewReader(data), conf)
	if err != nil {
		return nil, err
	}
	if err := api.ValidateContext(ctx); err != nil {
		return nil, err
	}
	root, err := ctx.Catalog()
	if err != nil {
		return nil, err
	}
	form, err := ctx.DereferenceDict(root["AcroForm"])
	if err != nil {
		return nil, err
	}
	fields, err := ctx.DereferenceArray(form["Fields"])
	if err != nil {
		return nil, err
	}
	for _, o := range fields {
		d, err := ctx.DereferenceDict(o)
		if err != nil {
			return nil, err
		}
		name, err := ctx.DereferenceText(d["T"])
		if err != nil {
			return nil, err
		}
		if tip, ok := tips[name]; ok {
			d["TU"] = types.StringLiteral(tip)
		}
		if name == scripted {
			d["AA"] = types.Dict{"K": types.Dict{"S": types.Name("JavaScript"), "JS": types.StringLiteral("event.value = 1")}}
		}
		value, ok := values[name]
		if !ok {
			continue
		}
		if *d.NameEntry("FT") != "Btn" {
			d["V"] = types.NewHexLiteral([]byte(types.EncodeUTF16String(value)))
			continue
		}
		d["V"] = types.Name(value)
		if kids := d.ArrayEntry("Kids"); kids != nil {
			for _, k := range kids {
				kid, err := ctx.DereferenceDict(k)
				if err != nil {
					return nil, err
				}
				if _, ok := kid.DictEntry("AP").DictEntry("N").Find(value); ok {
					kid["AS"] = types.Name(value)
				}
			}
			continue
		}
		d["AS"] = types.Name(value)
	}
	var out bytes.Buffer
	err = api.WriteContext(ctx, &out)
	return out.Bytes(), err
}
