package text

import (
	"embed"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"
)

//go:embed patterns/*.tex
var patternFiles embed.FS

// Least letters of a word that is hyphenated, and those that stay before and behind the hyphen. The
// pattern files ask for no more than two and three.
const (
	leastWord   = 6
	leastBefore = 2
	leastBehind = 3
)

// patternFile names the file for a language; empty if the language has none or does not hyphenate.
func patternFile(tag string) string {
	base, rest, _ := strings.Cut(strings.ToLower(tag), "-")
	switch base {
	case "en":
		if rest == "gb" || rest == "ie" || rest == "au" || rest == "nz" || rest == "za" {
			return "hyph-en-gb"
		}
		return "hyph-en-us"
	case "de":
		return "hyph-de-1996"
	case "el":
		return "hyph-el-monoton"
	case "fr", "es", "it", "pt", "pl", "da", "hr", "nl", "ru", "uk", "tr", "sv":
		return "hyph-" + base
	}
	return ""
}

// liang hyphenates by F. M. Liang's method: patterns of letters with numbers between them; at each place
// of a word the greatest number counts, and odd numbers allow a hyphen.
type liang struct {
	patterns map[string]string // letters, '.' for a word's edge -> digits before each and behind the last
	words    map[string]string // exceptions, likewise
	longest  int               // letters of a pattern
}

// hyphenators holds the languages that have been asked for.
type hyphenators struct {
	mu     sync.Mutex
	byFile map[string]*liang
}

// of gives the hyphenator of a language, nil if there is none.
func (h *hyphenators) of(tag string) *liang {
	name := patternFile(tag)
	if name == "" {
		return nil
	}
	h.mu.Lock()
	defer h.mu.Unlock()
	if l, ok := h.byFile[name]; ok {
		return l
	}
	data, err := patternFiles.ReadFile("patterns/" + name + ".tex")
	if err != nil {
		panic(err) // the files are part of the program
	}
	if h.byFile == nil {
		h.byFile = map[string]*liang{}
	}
	h.byFile[name] = readPatterns(string(data))
	return h.byFile[name]
}

// readPatterns reads the groups \patterns and \hyphenation of a TeX pattern file.
func readPatterns(file string) *liang {
	l := &liang{patterns: make(map[string]string, len(file)/patternBytes), words: map[string]string{}}
	group := ""
	for line := range strings.Lines(file) {
		line, _, _ = strings.Cut(line, "%")
		for _, word := range strings.Fields(line) {
			for _, name := range []string{`\patterns{`, `\hyphenation{`} {
				if after, ok := strings.CutPrefix(word, name); ok {
					group, word = name, after
				}
			}
			word, closed := strings.CutSuffix(word, "}")
			switch {
			case word == "" || group == "" || strings.HasPrefix(word, `\`):
			case group == `\patterns{`:
				letters, digits := splitPattern(word)
				l.patterns[letters] = digits
				l.longest = max(l.longest, len(digits)-1)
			default:
				letters, digits := splitPattern(strings.ReplaceAll(word, "-", "9"))
				l.words[letters] = digits
			}
			if closed {
				group = ""
			}
		}
	}
	return l
}

// patternBytes is about what a pattern takes in a file.
const patternBytes = 8

// splitPattern parts a pattern like "1b2l" into its letters and the digits between them ("120").
func splitPattern(word string) (letters, digits string) {
	var room [2][48]byte
	a, b := room[0][:0], room[1][:0]
	open := byte('0')
	for _, r := range word {
		if r >= '0' && r <= '9' {
			open = byte(r)
			continue
		}
		a, b = utf8.AppendRune(a, r), append(b, open)
		open = '0'
	}
	return string(a), string(append(b, open))
}

// points gives the places, in letters from its start, where a lower-case word may be hyphenated.
func (l *liang) points(word []rune) []int {
	if len(word) < leastWord {
		return nil
	}
	marks := make([]byte, len(word)+3) // before each letter of ".word." and behind the last
	if digits, ok := l.words[string(word)]; ok {
		copy(marks[1:], digits)
	} else {
		dotted := append(append([]rune{'.'}, word...), '.')
		for i := range dotted {
			for j := i + 1; j <= len(dotted) && j-i <= l.longest; j++ {
				for k, d := range []byte(l.patterns[string(dotted[i:j])]) {
					marks[i+k] = max(marks[i+k], d)
				}
			}
		}
	}
	var out []int
	for at := leastBefore; at <= len(word)-leastBehind; at++ {
		if marks[at+1]%2 == 1 && voiced(word[:at]) && voiced(word[at:]) {
			out = append(out, at)
		}
	}
	return out
}

// voiced says whether letters hold a vowel: what has none is no syllable.
func voiced(letters []rune) bool {
	for _, r := range letters {
		if strings.ContainsRune(vowels, r) {
			return true
		}
	}
	return false
}

// vowels are those of the languages that are hyphenated.
const vowels = "aeiouyàáâãäåāăąæèéêëēėęěìíîïīįıòóôõöōőøœùúûüūůűųýÿ" + "аеёиіїоуыэюяє" + "αεηιουωάέήίόύώϊϋΐΰ"

// hyphenPoints gives the places in a piece, in bytes of its text and ascending, where it may be
// hyphenated: at soft hyphens, and by patterns if the request wants that. Values and fields, words in
// capitals and right-to-left text are left whole.
func (s *Setter) hyphenPoints(pc *piece) []int32 {
	l := &s.line
	if pc.kind != pieceText || pc.level%2 == 1 {
		return nil
	}
	var out []int32
	for _, at := range l.p.soft {
		if at > pc.start && at < pc.end {
			out = append(out, at-pc.start)
		}
	}
	if len(out) > 0 || !l.req.Hyphenate || pc.own {
		return out
	}
	rules := s.engine.hyphens.of(s.langOf(l.req, &l.req.Spans[pc.span]))
	if rules == nil {
		return nil
	}
	text := l.p.text[pc.start:pc.end]
	for at := 0; at < len(text); {
		word, offsets, next := letterRun(text, at)
		for _, k := range rules.points(word) {
			out = append(out, offsets[k])
		}
		at = next
	}
	return out
}

// letterRun reads a run of letters from byte at, in lower case, with the offset of each; a run that holds
// a capital behind its first letter comes back empty. next is where to go on.
func letterRun(text string, at int) (word []rune, offsets []int32, next int) {
	shouts := false
	for i, r := range text[at:] {
		if !unicode.IsLetter(r) {
			if len(word) == 0 {
				continue
			}
			next = at + i
			break
		}
		shouts = shouts || len(word) > 0 && unicode.IsUpper(r)
		word = append(word, unicode.ToLower(r))
		offsets = append(offsets, int32(at+i))
	}
	if next == 0 {
		next = len(text)
	}
	if shouts {
		word = nil
	}
	return word, offsets, next
}

// hyphenate ends the line inside the unit [i, end), with a hyphen, as late as it can.
func (s *Setter) hyphenate(i, end int) (next int, ok bool) {
	l := &s.line
	if !l.req.Hyphenate && len(l.p.soft) == 0 {
		return 0, false
	}
	advance, blanks := l.advance, l.blanks
	best, bestAt := -1, int32(0)
	for k := i; k < end && l.fits(advance, blanks); k++ {
		pt := l.partAt(k)
		w := l.wordOf(&pt)
		if w == nil {
			blanks += l.blankOf(&l.p.pieces[k])
			continue
		}
		for _, at := range s.hyphenPoints(&l.p.pieces[k]) {
			if width, ok := w.before(at); ok && l.fits(advance+width+int64(s.hyphenWord(k).advance), blanks) {
				best, bestAt = k, at
			}
		}
		advance += int64(w.advance)
	}
	if best < 0 {
		return 0, false
	}
	for ; i < best; i++ {
		l.push(l.partAt(i))
	}
	head, tail := l.parted(l.partAt(best), bestAt)
	l.push(head)
	l.cuts = append(l.cuts, s.hyphenWord(best))
	l.push(part{piece: head.piece, cut: int32(len(l.cuts) - 1), start: head.end, end: head.end, level: head.level})
	l.hyphen, l.rest, l.resting = true, tail, true
	return best, true
}

// before is the advance of a left-to-right word up to byte at, if a cluster starts there.
func (w *word) before(at int32) (advance int64, ok bool) {
	for i, c := range w.clusters {
		if w.starts[i] == at {
			return advance, i > 0
		}
		advance += int64(c.advance)
	}
	return 0, false
}

// softHyphen is how an inserted hyphen reads: ISO 32000-1, 14.8.2.2.3 asks for U+00AD where the text has
// none of its own.
const softHyphen = "\u00AD"

// hyphenWord is a hyphen in the face of piece i.
func (s *Setter) hyphenWord(i int) *word {
	pc := &s.line.p.pieces[i]
	key := shaping{text: softHyphen, script: scriptOfFamily(pc.face.family())}
	if w := s.epoch.word(pc.face, key); w != nil {
		return w
	}
	shown := key
	shown.text = "-"
	if s.engine.face(pc.face).has('\u2010') {
		shown.text = "\u2010"
	}
	w := &word{}
	if shaped := s.word(pc.face, shown, false); len(shaped.clusters) > 0 {
		c := *shaped.clusters[0]
		c.text = softHyphen
		w.clusters = []*cluster{s.epoch.tables[pc.face].intern(c.appendKey(nil), c)}
		w.starts, w.advance = []int32{0}, c.advance
	}
	s.epoch.keepWord(pc.face, key, w)
	return w
}
