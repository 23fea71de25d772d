package main

import (
	"time"

	"github.com/spf13/cobra"

	"philtrum/cmd/philtrum/desk"
	"philtrum/cmd/philtrum/index"
	"philtrum/locales"
)

// newIndex brings the index of this machine up to date with every file of the folder.
func (s *session) newIndex() *cobra.Command {
	var anew bool
	c := s.command("index", func(*cobra.Command, []string) error {
		d, err := s.deskAfterNeedle()
		if err != nil {
			return err
		}
		begun := time.Now()
		if err := d.Index(anew); err != nil {
			return err
		}
		done := d.Searched()
		s.tellSearched(d)
		s.voice.result(s.voice.text("search.index.done", locales.Args{
			"files": locales.Count(done.Files), "read": locales.Count(done.Read), "removed": locales.Count(done.Removed),
			"seconds": locales.Number(seconds(time.Since(begun))),
		}))
		return nil
	})
	c.Flags().BoolVar(&anew, "anew", false, s.voice.text("search.flag.anew", nil))
	return c
}

// seconds with one decimal, as a decimal number.
func seconds(d time.Duration) string {
	tenths := int64(d.Round(100*time.Millisecond) / (100 * time.Millisecond))
	return itoa(tenths/10) + "." + itoa(tenths%10)
}

// tellSearched says what a person has to know of how an answer came about.
func (s *session) tellSearched(d *desk.Desk) {
	done := d.Searched()
	switch done.Remade {
	case index.Broken, index.Foreign, index.Older:
		s.voice.say("search.index.remade_"+done.Remade, nil)
	}
	if done.Memory {
		s.voice.say("search.index.memory", nil)
	}
	if !done.Whole && !done.Looked.IsZero() {
		s.voice.say("search.index.quick", locales.Args{"at": locales.DateTime(done.Looked.In(d.Clinic().Zone))})
	}
}
