package main

import (
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"philtrum/cmd/philtrum/desk"
	"philtrum/locales"
)

// readingJSON is a paper of `readability --json`; README.md documents the keys.
type readingJSON struct {
	Paper     string   `json:"paper"`
	Language  string   `json:"language"`
	Formula   string   `json:"formula,omitempty"`
	Score     float64  `json:"score"`
	Easier    string   `json:"easier,omitempty"` // higher or lower
	Aim       float64  `json:"aim,omitempty"`
	Met       *bool    `json:"met,omitempty"` // absent where the language has no aim
	Words     int      `json:"words"`
	Sentences int      `json:"sentences"`
	Length    float64  `json:"length"` // words in a sentence on average; of Chinese, signs
	Exempt    []string `json:"exempt"`
	// Unexplained are terms that the paper uses before it explains them.
	Unexplained []string       `json:"unexplained"`
	Worst       []sentenceJSON `json:"worst"`
}

type sentenceJSON struct {
	Score    float64 `json:"score"`
	Sentence string  `json:"sentence"`
}

// newReadability says how hard the papers for patients are to read.
func (s *session) newReadability() *cobra.Command {
	var asJSON bool
	c := s.command("readability [PAPER]", func(_ *cobra.Command, args []string) error {
		only := ""
		switch {
		case len(args) > 1:
			return wrongUse{"cmd.too_many", nil}
		case len(args) == 1:
			if only = args[0]; !slices.Contains(desk.Kinds(), only) {
				return wrongUse{"cmd.which_paper", locales.Args{"papers": s.list(desk.Kinds())}}
			}
		}
		d, err := s.desk()
		if err != nil {
			return err
		}
		readings, problems, err := d.Readability(only)
		if err != nil {
			return err
		}
		if len(problems) > 0 {
			return s.refuse(d, problems)
		}
		if asJSON {
			return s.voice.json(readingsJSON(readings))
		}
		for _, r := range readings {
			s.tellReading(r, only != "")
		}
		return nil
	})
	c.Flags().BoolVar(&asJSON, "json", false, s.voice.text("cmd.flag.json", nil))
	return c
}

func (s *session) tellReading(r desk.Reading, worst bool) {
	args := locales.Args{
		"paper": locales.Text(r.Paper), "language": locales.Text(r.Language),
		"words": locales.Number(strconv.Itoa(r.Words)),
	}
	if r.Formula == "" {
		args["sentences"] = locales.Number(strconv.Itoa(r.Sentences))
		s.voice.result(s.voice.text("readability.counts"+signs(r.Language), args))
	} else {
		args["score"], args["formula"] = tenths(r.Score), locales.Text(r.Formula)
		s.voice.result(s.voice.text("readability.line", args))
	}
	if len(r.Unexplained) > 0 {
		s.voice.result("  " + s.voice.text("readability.unexplained", locales.Args{"terms": s.list(r.Unexplained)}))
	}
	if !worst {
		return
	}
	s.voice.result("  " + s.voice.text("readability.length"+signs(r.Language), locales.Args{"length": tenths(length(r))}))
	switch {
	case r.Formula == "":
		s.voice.result("  " + s.voice.text("readability.longest", nil))
	case r.Aim == 0 && r.Ease:
		s.voice.result("  " + s.voice.text("readability.ease_no_aim", nil))
	case r.Aim == 0:
		s.voice.result("  " + s.voice.text("readability.grade_no_aim", nil))
	case r.Ease:
		s.voice.result("  " + s.voice.text("readability.ease", locales.Args{"aim": tenths(r.Aim)}))
	default:
		s.voice.result("  " + s.voice.text("readability.grade", locales.Args{"aim": tenths(r.Aim)}))
	}
	for _, sentence := range r.Worst {
		s.voice.result("  " + s.voice.text("readability.sentence", locales.Args{
			"score": tenths(sentence.Score), "sentence": locales.Text(sentence.Text)}))
	}
}

// signs is the end of the ids for a language whose signs are counted, as it has no spaces between words.
func signs(language string) string {
	if strings.HasPrefix(language, "zh") {
		return "_signs"
	}
	return ""
}

// length is how many words a sentence has on average.
func length(r desk.Reading) float64 { return float64(r.Words) / float64(max(r.Sentences, 1)) }

func tenths(f float64) locales.Value { return locales.Number(strconv.FormatFloat(f, 'f', 1, 64)) }

func rounded(f float64) float64 {
	n, err := strconv.ParseFloat(strconv.FormatFloat(f, 'f', 1, 64), 64)
	if err != nil {
		return f
	}
	return n
}

func readingsJSON(all []desk.Reading) []readingJSON {
	out := make([]readingJSON, 0, len(all))
	for _, r := range all {
		j := readingJSON{Paper: r.Paper, Language: r.Language, Formula: r.Formula, Score: rounded(r.Score), Aim: r.Aim,
			Words: r.Words, Sentences: r.Sentences, Exempt: append([]string{}, r.Exempt...), Worst: []sentenceJSON{},
			Length: rounded(length(r)), Unexplained: append([]string{}, r.Unexplained...)}
		if r.Aim != 0 {
			j.Met = &r.Met
		}
		if r.Formula != "" {
			j.Easier = map[bool]string{true: "higher", false: "lower"}[r.Ease]
		}
		for _, w := range r.Worst {
			j.Worst = append(j.Worst, sentenceJSON{rounded(w.Score), w.Text})
		}
		out = append(out, j)
	}
	return out
}
