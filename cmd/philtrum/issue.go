package main

import (
	"os"
	"path/filepath"
	"slices"

	"github.com/spf13/cobra"

	"philtrum/cmd/philtrum/desk"
	"philtrum/cmd/philtrum/folder"
	"philtrum/locales"
)

// newIssue issues papers of a visit: all or the named ones.
func (s *session) newIssue() *cobra.Command {
	var r desk.Request
	var to, dump string
	var blank bool
	c := s.command("issue VISIT [PAPER...]", func(_ *cobra.Command, args []string) error {
		r.Page = s.settings.Page
		if blank {
			return s.issueBlank(args, r, to)
		}
		d, id, kinds, err := s.afterNeedle(args, len(desk.Kinds()))
		if err != nil {
			return s.blankInstead(args, r, to, err)
		}
		for _, kind := range kinds {
			if !slices.Contains(desk.Kinds(), kind) {
				return wrongUse{"cmd.which_paper", locales.Args{"papers": s.list(desk.Kinds())}}
			}
		}
		if r.As == "pdf" {
			r.As = ""
		}
		if r.As != "" && !slices.Contains(desk.Forms(), r.As) {
			return wrongUse{"cmd.issue.which_form", locales.Args{"forms": s.list(append([]string{"pdf"}, desk.Forms()...))}}
		}
		r.Kinds = kinds
		if dump != "" {
			return s.dumpPapers(d, id, r, dump)
		}
		issued, problems, err := d.Issue(id, r)
		if err != nil {
			return s.blankInstead(kinds, r, to, s.issueFailure(err, r.Language, r.With))
		}
		if len(problems) > 0 {
			return s.blankInstead(kinds, r, to, s.refuse(d, problems))
		}
		return s.tellIssued(d, issued, to)
	})
	c.Flags().StringVar(&r.Language, "lang", "", s.voice.text("cmd.flag.lang", nil))
	c.Flags().StringVar(&r.As, "as", "", s.voice.text("cmd.flag.as", nil))
	c.Flags().StringVar(&r.With, "with", "", s.voice.text("cmd.flag.with", nil))
	c.Flags().BoolVar(&r.LargePrint, "large", false, s.voice.text("cmd.flag.large", nil))
	c.Flags().BoolVar(&blank, "blank", false, s.voice.text("cmd.flag.blank", nil))
	c.Flags().StringVar(&to, "to", "", s.voice.text("cmd.flag.to", nil))
	c.Flags().StringVar(&dump, "dump", "", "")
	_ = c.Flags().MarkHidden("dump")
	return c
}

// issueFailure names a language that no catalogue serves as a mistake in the call.
func (s *session) issueFailure(err error, asked ...string) error {
	if isAbout(err, desk.ErrLanguage) {
		language := ""
		for _, tag := range asked {
			if _, err := s.catalogue.Printer(tag); err != nil && tag != "" {
				language = tag
			}
		}
		var tags []string
		for _, l := range s.catalogue.Languages() {
			tags = append(tags, l.Tag)
		}
		return wrongUse{"cmd.no_language", locales.Args{"language": locales.Text(language), "languages": s.list(tags)}}
	}
	return err
}

// showFindings are the papers on which somebody reads what was found.
var showFindings = []string{"consent", "summary", "deferral"}

// tellIssued prints a path a line for what was issued, tells what was refused and why, and copies where
// asked. A refused paper ends with status 1; the others stand.
func (s *session) tellIssued(d *desk.Desk, issued []desk.Issued, to string) error {
	// All papers of one call rest on the same check, so one note is enough.
	shows := func(p desk.Issued) bool { return slices.Contains(showFindings, p.Kind) || len(p.Refused) > 0 }
	if i := slices.IndexFunc(issued, shows); i >= 0 {
		if err := d.NoteShown(issued[i].Checked); err != nil {
			return err
		}
	}
	refused := false
	for _, paper := range issued {
		for _, p := range paper.Notices {
			s.voice.say(p.ID, wordArgs(p.Args))
		}
		if len(paper.Problems) > 0 || len(paper.Refused) > 0 {
			refused = true
			s.tellRefused(d, paper)
			continue
		}
		path := d.Folder().Join(paper.File)
		if to != "" {
			copied, err := s.copyTo(path, to, paper)
			if err != nil {
				return err
			}
			path = copied
		}
		s.voice.result(path)
	}
	if refused {
		return ended{statusHeld}
	}
	return nil
}

// tellRefused says which paper was not issued, and each thing that stands in the way.
func (s *session) tellRefused(d *desk.Desk, paper desk.Issued) {
	s.voice.say("cmd.issue.refused", locales.Args{"paper": locales.Ref("term.paper." + paper.Kind)})
	for _, f := range paper.Refused {
		s.printFindingTo(s.err, d, paper.Checked, f)
	}
	if len(paper.Problems) > 0 {
		_ = s.refuse(d, paper.Problems)
	}
}

// copyTo copies an issued file under a readable name that tells nothing of the patient: kind and document
// id.
func (s *session) copyTo(path, dir string, paper desk.Issued) (string, error) {
	data, err := os.ReadFile(path)
	if err != nil {
		return "", err
	}
	target := s.path(dir)
	if err := os.MkdirAll(target, 0o700); err != nil {
		return "", err
	}
	name := filepath.Join(target, paper.Name())
	return name, folder.WriteFile(name, data)
}

// dumpPapers prints a stage of the papers for those who work on the tool.
func (s *session) dumpPapers(d *desk.Desk, id string, r desk.Request, stage string) error {
	text, problems, err := d.Dump(id, r, stage)
	if err != nil {
		return err
	}
	if len(problems) > 0 {
		return s.refuse(d, problems)
	}
	s.voice.result(text)
	return nil
}
