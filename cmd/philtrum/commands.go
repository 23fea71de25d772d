package main

import (
	"github.com/spf13/cobra"

	"philtrum/cmd/philtrum/desk"
	"philtrum/forms/source"
	"philtrum/locales"
)

// commands is the tree of commands. Words come from locales: cmd.<name>.short says what a command is for,
// cmd.<name>.long how it is used, cmd.<name>.example shows it.
func (s *session) commands() *cobra.Command {
	cobra.EnableCommandSorting = false // they stand in the order of a visit
	root := s.command("philtrum COMMAND", nil)
	root.RunE = s.noCommand
	root.Version = version()
	root.SilenceErrors, root.SilenceUsage = true, true
	root.CompletionOptions.HiddenDefaultCmd = true
	root.SetIn(s.in)
	root.SetOut(s.out)
	root.SetErr(s.err)
	root.SetFlagErrorFunc(func(_ *cobra.Command, err error) error { return flagError{err} })
	flags := root.PersistentFlags()
	clinic := flags.String("clinic", "", s.voice.text("cmd.flag.clinic", nil))
	flags.String("language", "", s.voice.text("cmd.flag.language", nil)) // read by languageFlag
	root.PersistentPreRun = func(*cobra.Command, []string) {
		if *clinic != "" {
			s.settings.Clinic = *clinic
		}
	}
	root.SetUsageTemplate(s.usage())
	root.Flags().BoolP("version", "v", false, s.voice.text("cmd.flag.version", nil))
	root.SetHelpCommand(&cobra.Command{Hidden: true})
	for _, g := range s.groups() {
		root.AddGroup(&cobra.Group{ID: g.id, Title: s.voice.text("cmd.group."+g.id, nil)})
		for _, c := range g.commands {
			c.GroupID = g.id
			root.AddCommand(c)
		}
	}
	root.AddCommand(s.newPages())
	s.completeFlags(root)
	return root
}

// noCommand shows the list of commands, or says of a word that it is none.
func (s *session) noCommand(root *cobra.Command, args []string) error {
	if len(args) == 0 {
		return root.Help()
	}
	var names []string
	for _, c := range root.Commands() {
		if c.IsAvailableCommand() {
			names = append(names, c.Name())
		}
	}
	word := locales.Text(args[0])
	if near := source.Nearest(args[0], names); near != "" {
		return wrongUse{"cmd.no_command_near", locales.Args{"word": word, "near": locales.Text("philtrum " + near)}}
	}
	return wrongUse{"cmd.no_command", locales.Args{"word": word}}
}

// group is a part of the list of commands.
type group struct {
	id       string
	commands []*cobra.Command
}

// groups are the commands as a clinic meets them.
func (s *session) groups() []group {
	return []group{
		{"desk", []*cobra.Command{
			s.newPatient(), s.newOpen(), s.newImport(), s.newDay(), s.newMove(), s.newDue(), s.newFollowUps(), s.newHandOver(),
		}},
		{"visit", []*cobra.Command{
			s.newAsk(), s.newCheck(), s.newDecide(), s.newNote(), s.newIdentity(), s.newInterpreter(), s.newStay(), s.newPlan(),
			s.newHanded(), s.newTreat(), s.newReview(), s.newClose(), s.newIncident(), s.newReported(), s.newFHIR(), s.newLetter(), s.newAmend(),
		}},
		{"papers", []*cobra.Command{
			s.newIssue(), s.newScan(), s.newRead(), s.newAttach(), s.newConfirm(), s.newTray(), s.newPhotos(), s.newSeal(),
		}},
		{"find", []*cobra.Command{
			s.newLot(), s.newRecall(), s.newReached(), s.newHistory(), s.newCopy(), s.newCase(), s.newForget(), s.newIndex(),
		}},
		{"clinic", []*cobra.Command{
			s.newInit(), s.newReady(), s.newRules(), s.newClauses(), s.newReadability(), s.newLanguage(), s.newProve(), s.newVerify(),
			s.newBackup(), s.newRestore(), s.newDemo(),
		}},
	}
}

// usage is how a command's help is laid out, in the words of the language.
func (s *session) usage() string {
	word := func(name string) string { return s.voice.text("cmd.help."+name, nil) }
	return word("usage") + `
  {{.UseLine}}{{if .HasAvailableSubCommands}}{{if .Groups}}{{$commands := .Commands}}{{range $group := .Groups}}

{{.Title}}{{range $commands}}{{if and (eq .GroupID $group.ID) .IsAvailableCommand}}
  {{rpad .Name .NamePadding}} {{.Short}}{{end}}{{end}}{{end}}{{else}}

` + word("commands") + `{{range .Commands}}{{if .IsAvailableCommand}}
  {{rpad .Name .NamePadding}} {{.Short}}{{end}}{{end}}{{end}}{{end}}{{if .HasExample}}

` + word("example") + `
{{.Example}}{{end}}{{if .HasAvailableLocalFlags}}

` + word("flags") + `
{{.LocalFlags.FlagUsages | trimTrailingWhitespaces}}{{end}}{{if .HasAvailableInheritedFlags}}

` + word("flags_everywhere") + `
{{.InheritedFlags.FlagUsages | trimTrailingWhitespaces}}{{end}}
`
}

// command makes a command with its words. use is the line of usage; run may be nil for a group.
func (s *session) command(use string, run func(*cobra.Command, []string) error) *cobra.Command {
	c := &cobra.Command{Use: use, RunE: run, Args: anyArgs, DisableFlagsInUseLine: true}
	c.Flags().BoolP("help", "h", false, s.voice.text("cmd.flag.help", nil))
	if run != nil {
		c.ValidArgsFunction = s.completed(use)
	}
	id := "cmd." + c.Name()
	c.Short = s.voice.text(id+".short", nil)
	c.Long = s.voice.text(id+".long", nil)
	if s.voice.printer.Has(id + ".example") {
		c.Example = s.voice.text(id+".example", nil)
	}
	return c
}

// anyArgs lets a command judge its own arguments, so that one voice tells what is wrong with them.
func anyArgs(*cobra.Command, []string) error { return nil }

// visits resolves the visits that the arguments name; with none, a person at a terminal chooses one.
func (s *session) visits(d *desk.Desk, words []string) ([]string, error) {
	if len(words) == 0 {
		id, err := s.chooseVisit(d)
		return []string{id}, err
	}
	ids := make([]string, 0, len(words))
	for _, word := range words {
		id, err := d.Resolve(word)
		switch {
		case err == nil:
			ids = append(ids, id)
		case isAbout(err, desk.ErrNoVisit):
			return nil, wrongUse{"cmd.no_visit", locales.Args{"visit": locales.Text(word)}}
		case isAbout(err, desk.ErrSeveral):
			return nil, wrongUse{"cmd.several_visits", locales.Args{"visit": locales.Text(word)}}
		default:
			return nil, err
		}
	}
	return ids, nil
}

// visit is visits for commands that take one visit; rest are the arguments behind it.
func (s *session) visit(d *desk.Desk, args []string, most int) (id string, rest []string, err error) {
	if len(args) > most+1 {
		return "", nil, wrongUse{"cmd.too_many", nil}
	}
	first := args
	if len(args) > 0 {
		first, rest = args[:1], args[1:]
	}
	ids, err := s.visits(d, first)
	if err != nil {
		return "", nil, err
	}
	return ids[0], rest, nil
}

// chooseVisit lets a person choose from the visits of today and later, by time and initials.
func (s *session) chooseVisit(d *desk.Desk) (string, error) {
	if !s.terminal {
		return "", wrongUse{"cmd.which_visit", nil}
	}
	lines, err := d.Visits()
	if err != nil {
		return "", err
	}
	var ids, words []string
	for _, line := range lines {
		if line.At.Before(s.now().AddDate(0, 0, -1)) {
			continue
		}
		ids = append(ids, line.ID)
		words = append(words, s.voice.text("cmd.visit_line", locales.Args{
			"at": locales.DateTime(line.At.In(d.Clinic().Zone)), "initials": locales.Text(line.Initials),
			"kind": locales.Ref("term.visit." + string(line.Kind)),
		}))
	}
	if len(ids) == 0 {
		return "", wrongUse{"cmd.no_visits", nil}
	}
	choice, err := s.prompt().Choose(s.voice.text("cmd.choose_visit", nil), words)
	if err != nil {
		return "", err
	}
	return ids[choice], nil
}
