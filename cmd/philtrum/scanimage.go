package main

import (
	"path/filepath"

	"philtrum/locales"
)

// codesOn reads the codes on photographs of boxes. A photograph without one that can be read is told: the code
// has to be typed then.
func (s *session) codesOn(images []string) ([]string, error) {
	files, err := s.evidence(images)
	if err != nil {
		return nil, err
	}
	var codes []string
	for i, data := range files {
		answer := s.look(childSymbols, data)
		name := locales.Text(filepath.Base(images[i]))
		switch {
		case answer.Fault != "":
			s.voice.say("attach.image_unread", locales.Args{"file": name, "why": locales.Ref("attach.why." + string(answer.Fault))})
		case len(answer.Symbols) == 0:
			s.voice.say("attach.image_no_code", locales.Args{"file": name})
		}
		for _, found := range answer.Symbols {
			codes = append(codes, found.Text)
		}
	}
	if len(codes) == 0 && len(images) > 0 {
		return nil, ended{statusHeld}
	}
	return codes, nil
}
