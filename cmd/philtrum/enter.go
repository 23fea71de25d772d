package main

import (
	"slices"

	"github.com/spf13/cobra"

	"philtrum/cmd/philtrum/desk"
	"philtrum/cmd/philtrum/folder"
	"philtrum/forms/source"
	"philtrum/forms/visit"
	"philtrum/locales"
)

// newInit makes a clinic folder.
func (s *session) newInit() *cobra.Command {
	var place, zone string
	c := s.command("init DIR", func(_ *cobra.Command, args []string) error {
		if len(args) != 1 {
			return wrongUse{"cmd.init.which", nil}
		}
		language := s.settings.Language
		if language == "" {
			language = defaultLanguage
		}
		f, err := desk.Init(s.path(args[0]), desk.Start{Place: place, Zone: zone, Language: language}, s.policyWords, s.now())
		if isAbout(err, desk.ErrZone) {
			return wrongUse{"cmd.init.zone", nil}
		}
		if isAbout(err, folder.ErrExists) {
			return wrongUse{"cmd.init.exists", nil}
		}
		if err != nil {
			return err
		}
		s.voice.result(f.Path())
		s.voice.say("cmd.init.done", nil)
		return nil
	})
	c.Flags().StringVar(&place, "place", "GB-ENG", s.voice.text("cmd.flag.place", nil))
	c.Flags().StringVar(&zone, "zone", "Europe/London", s.voice.text("cmd.flag.zone", nil))
	return c
}

// policyWords gives the comments of a new clinic.yaml.
func (s *session) policyWords(id string, args map[string]string) (string, error) {
	words := locales.Args{}
	for key, value := range args {
		words[key] = locales.Text(value)
	}
	return s.voice.printer.Text(id, words)
}

// patientFields are what is asked of a new patient, in the order of a conversation; an empty answer leaves
// the field out. Fields are the keys of a patient's file.
var patientFields = []field{
	{key: "given"}, {key: "family"}, {key: "born"}, {key: "speaks"}, {key: "reads"},
	{key: "interpreter", options: []string{"no", "yes"}}, {key: "telephone"}, {key: "email"},
}

// newPatient enters a patient and prints the opaque number that stands for them in arguments.
func (s *session) newPatient() *cobra.Command {
	var from string
	c := s.command("patient", func(_ *cobra.Command, args []string) error {
		if len(args) > 0 {
			return wrongUse{"cmd.patient.no_names", nil}
		}
		d, err := s.desk()
		if err != nil {
			return err
		}
		node, err := s.nodeFrom(d, from, s.askPatient)
		if err != nil {
			return err
		}
		_, number, problems, err := d.NewPatient(node)
		if err != nil {
			return err
		}
		if len(problems) > 0 {
			return s.refuse(d, problems)
		}
		s.voice.result(number)
		return nil
	})
	c.Flags().StringVar(&from, "from", "", s.voice.text("cmd.flag.from", nil))
	return c
}

// visitKinds are the kinds of visit that can be opened.
var visitKinds = []string{
	string(visit.Consultation), string(visit.Treatment), string(visit.Review), string(visit.Dissolving),
	string(visit.Complication), string(visit.Call),
}

// askPatient asks for a patient. Whether they need an interpreter is asked as one question; the language is
// the one that they speak.
func (s *session) askPatient() (*source.Node, error) {
	node, err := s.askFields("patient", patientFields)
	if err != nil {
		return nil, err
	}
	speaks := ""
	for i, key := range node.Keys {
		switch key.Name {
		case "speaks":
			speaks = key.Value.Text
		case "interpreter":
			needed := source.Map("needed", key.Value.Text)
			if key.Value.Text == "yes" && speaks != "" {
				needed = source.Map("needed", "yes", "language", speaks)
			}
			node.Keys[i].Value = needed
		}
	}
	return node, nil
}

// newOpen opens a visit and prints its id.
func (s *session) newOpen() *cobra.Command {
	var o desk.Opening
	var kind, at string
	c := s.command("open PATIENT", func(_ *cobra.Command, args []string) error {
		if len(args) != 1 {
			return wrongUse{"cmd.open.which", nil}
		}
		d, err := s.desk()
		if err != nil {
			return err
		}
		o.Patient, o.Kind = args[0], visit.Kind(kind)
		if !slices.Contains(visitKinds, kind) {
			return wrongUse{"cmd.open.kind", locales.Args{"kinds": s.list(visitKinds)}}
		}
		if o.Practitioner, err = s.staff(d, o.Practitioner); err != nil {
			return err
		}
		if at == "" && s.terminal {
			if at, err = s.prompt().Text(s.voice.text("cmd.open.at", nil)); err != nil {
				return err
			}
		}
		if at == "" {
			return wrongUse{"cmd.which_time", nil}
		}
		if o.At, err = s.moment(d, at); err != nil {
			return err
		}
		id, problems, err := d.OpenVisit(o)
		if err != nil {
			return err
		}
		if len(problems) > 0 {
			return s.refuse(d, problems)
		}
		s.voice.result(id)
		return nil
	})
	c.Flags().StringVar(&kind, "kind", string(visit.Treatment), s.voice.text("cmd.flag.kind", nil))
	c.Flags().StringVar(&at, "at", "", s.voice.text("cmd.flag.at", nil))
	c.Flags().StringVar(&o.Practitioner, "practitioner", "", s.voice.text("cmd.flag.practitioner", nil))
	c.Flags().StringVar(&o.After, "after", "", s.voice.text("cmd.flag.after", nil))
	return c
}

// field is a key of a file that is asked at the terminal; options make it a choice.
type field struct {
	key     string
	options []string
	several bool
}

// askFields asks fields one after another; their words are cmd.<what>.ask.<key> and, for options,
// cmd.<what>.option.<option> where there is one.
func (s *session) askFields(what string, fields []field) (*source.Node, error) {
	prompt := s.prompt()
	var pairs []any
	for _, f := range fields {
		value, err := s.askField(prompt.Text, what, f)
		if err != nil {
			return nil, err
		}
		if value != nil {
			pairs = append(pairs, f.key, value)
		}
	}
	return source.Map(pairs...), nil
}

func (s *session) askField(text func(string) (string, error), what string, f field) (*source.Node, error) {
	label := s.voice.text("cmd."+what+".ask."+f.key, nil)
	if f.options == nil {
		line, err := text(label)
		if err != nil || line == "" {
			return nil, err
		}
		return source.Text(line), nil
	}
	words := make([]string, len(f.options))
	for i, option := range f.options {
		words[i] = s.optionWords(what, option)
	}
	if f.several {
		chosen, err := s.prompt().Some(label, words)
		if err != nil || len(chosen) == 0 {
			return nil, err
		}
		items := make([]*source.Node, len(chosen))
		for i, n := range chosen {
			items[i] = source.Text(f.options[n])
		}
		return source.List(items...), nil
	}
	n, err := s.prompt().Choose(label, words)
	if err != nil {
		return nil, err
	}
	return source.Text(f.options[n]), nil
}

// optionWords are the words of an option: those of the command, of the trade's terms, or the key itself
// (a product's own id).
func (s *session) optionWords(what, option string) string {
	for _, id := range []string{"cmd." + what + ".option." + option, "term." + option, "term.zone." + option, "term.plane." + option, "term.technique." + option, "term.kit." + option} {
		if s.voice.printer.Has(id) {
			return s.voice.text(id, nil)
		}
	}
	return option
}

// nodeFrom reads a command's YAML from a file or standard input, or asks for it.
func (s *session) nodeFrom(d *desk.Desk, from string, asked func() (*source.Node, error)) (*source.Node, error) {
	if from == "" {
		return asked()
	}
	name, data, err := s.readInput(from)
	if err != nil {
		return nil, wrongUse{"cmd.unreadable", locales.Args{"file": locales.Text(from)}}
	}
	s.given[name] = true
	node, problems := source.Parse(name, data)
	if len(problems) > 0 {
		return nil, s.refuse(d, problems)
	}
	return node, nil
}
