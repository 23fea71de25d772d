package main

import (
	"crypto/x509"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"philtrum/cmd/philtrum/desk"
	"philtrum/forms/source"
	"philtrum/locales"
	"philtrum/templates/pdf/sign"
)

// newVerify checks a clinic folder, or the signatures of PDF files, and says the first thing that does not hold
// and what to do.
func (s *session) newVerify() *cobra.Command {
	var head, all, asJSON bool
	var against, trust string
	c := s.command("verify [FILE…]", func(_ *cobra.Command, args []string) error {
		if len(args) > 0 {
			return s.verifyFiles(args, trust)
		}
		d, err := s.deskAfterNeedle()
		if err != nil {
			return err
		}
		if head {
			return s.head(d)
		}
		found, err := d.Verify(against)
		if err != nil {
			return err
		}
		if asJSON {
			return s.verifiedJSON(found)
		}
		return s.verified(d, found, all)
	})
	c.Flags().BoolVar(&head, "head", false, s.voice.text("cmd.flag.head", nil))
	c.Flags().StringVar(&against, "against", "", s.voice.text("cmd.flag.against", nil))
	c.Flags().BoolVar(&all, "all", false, s.voice.text("cmd.flag.all_problems", nil))
	c.Flags().StringVar(&trust, "trust", "", s.voice.text("cmd.flag.trust", nil))
	c.Flags().BoolVar(&asJSON, "json", false, s.voice.text("cmd.flag.json", nil))
	return c
}

// head prints where the chain stands, for paper.
func (s *session) head(d *desk.Desk) error {
	entries, hash, problems, err := d.Head()
	if err != nil {
		return err
	}
	if len(problems) > 0 {
		return s.refuse(d, problems)
	}
	s.voice.result(s.voice.text("verify.head", locales.Args{"n": locales.Count(entries), "hash": locales.Text(groups(hash))}))
	return nil
}

// groups parts a hash as it is printed on paper.
func groups(hash string) string {
	const size = 8
	var parts []string
	for ; len(hash) > size; hash = hash[size:] {
		parts = append(parts, hash[:size])
	}
	return strings.Join(append(parts, hash), " ")
}

func (s *session) verified(d *desk.Desk, found desk.Verified, all bool) error {
	for _, p := range found.Notices {
		s.voice.say("verify.notice", locales.Args{"file": locales.Text(place(p.Span)), "what": locales.Text(s.voice.text(p.ID, wordArgs(p.Args)))})
	}
	if n := len(found.Problems); n > 0 {
		shown := found.Problems
		if !all {
			shown = shown[:1]
		}
		_ = s.refuse(d, shown)
		if !all && n > 1 {
			s.voice.say("verify.more", locales.Args{"n": locales.Count(n - 1)})
		}
		return ended{statusHeld}
	}
	s.voice.result(s.voice.text("cmd.verify.done", locales.Args{"n": locales.Count(found.Entries)}))
	s.voice.result(s.voice.text("verify.files", locales.Args{"n": locales.Count(found.Files)}))
	if found.Seals > 0 {
		s.voice.result(s.voice.text("verify.seals", locales.Args{"n": locales.Count(found.Seals), "signed": locales.Number(strconv.Itoa(found.Signed))}))
	}
	return nil
}

// verifiedJSON gives the same to programs.
func (s *session) verifiedJSON(found desk.Verified) error {
	err := s.voice.json(struct {
		Entries  int           `json:"entries"`
		Head     string        `json:"head"`
		Files    int           `json:"files"`
		Seals    int           `json:"seals"`
		Signed   int           `json:"signed"`
		Problems []problemJSON `json:"problems"`
		Notices  []problemJSON `json:"notices"`
	}{found.Entries, found.Head, found.Files, found.Seals, found.Signed, s.voice.asJSON(found.Problems), s.voice.asJSON(found.Notices)})
	if err == nil && len(found.Problems) > 0 {
		err = ended{statusHeld}
	}
	return err
}

// largestPDF bounds what is read to look for signatures.
const largestPDF = 1 << 30

// verifyFiles checks the signatures of PDF files: whether the bytes are those that were signed, and what the
// certificate says. Trust is judged only against roots that the caller names.
func (s *session) verifyFiles(files []string, trust string) error {
	var roots *x509.CertPool
	if trust != "" {
		data, err := readUpTo(s.path(trust), 1<<24)
		if err == nil {
			roots = x509.NewCertPool()
		}
		if err != nil || !roots.AppendCertsFromPEM(data) {
			return s.refuse(nil, source.Problems{{ID: "verify.no_roots", Span: source.Span{File: trust}}})
		}
	}
	bad := false
	for _, file := range files {
		data, err := readUpTo(s.path(file), largestPDF)
		if err != nil {
			return s.refuse(nil, source.Problems{{ID: "verify.no_file", Span: source.Span{File: file}}})
		}
		signatures := sign.Verify(data)
		if len(signatures) == 0 {
			s.voice.result(file + ": " + s.voice.text("verify.not_signed", nil))
			bad = true
		}
		for _, one := range signatures {
			bad = s.signature(func(text string) { s.voice.result(filepath.ToSlash(file) + ": " + text) }, one, roots) || bad
		}
	}
	if bad {
		return ended{statusHeld}
	}
	return nil
}

// signature tells of one signature; bad says that it does not hold, or not for the whole file.
func (s *session) signature(tell func(string), one sign.Signature, roots *x509.CertPool) (bad bool) {
	line := func(id string, args locales.Args) { tell(s.voice.text(id, args)) }
	if one.Err != nil {
		line("verify.signature_broken", nil)
		if one.Holder == "" {
			return true
		}
	} else if one.Level != "" {
		line("verify.signature_level", locales.Args{"level": locales.Text(one.Level)})
	} else {
		line("verify.signature_holds", nil)
	}
	line("verify.signature_by", locales.Args{
		"holder": locales.Text(one.Holder), "issuer": locales.Text(one.Issuer),
		"from": locales.DateTime(one.From), "to": locales.DateTime(one.To),
	})
	if !one.Claimed.IsZero() {
		line("verify.signature_claimed", locales.Args{"at": locales.DateTime(one.Claimed)})
	}
	if one.Timestamp {
		line("verify.signature_timestamp", nil)
	}
	switch {
	case roots == nil:
		line("verify.signature_trust_open", nil)
	case one.Trust(roots, s.now()):
		line("verify.signature_trusted", nil)
	default:
		line("verify.signature_untrusted", nil)
		bad = true
	}
	if !one.Whole {
		line("verify.signature_part", locales.Args{"n": locales.Text(strconv.Itoa(one.Covers))})
	}
	return bad || one.Err != nil || !one.Whole
}

// tellSignatures says of files that come from outside which of them are signed and whether that holds. It refuses
// nothing: evidence is kept as it is, and can be verified again at any time.
func (s *session) tellSignatures(names []string, files [][]byte) {
	for i, data := range files {
		for _, one := range sign.Verify(data) {
			s.signature(func(text string) {
				s.voice.say("verify.notice", locales.Args{"file": locales.Text(filepath.Base(names[i]) + ": "), "what": locales.Text(text)})
			}, one, nil)
		}
	}
}
