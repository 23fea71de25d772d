package desk

import (
	"bytes"
	"cmp"
	"fmt"
	"hash/fnv"
	"image"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"philtrum/templates/layout"
	"philtrum/templates/pdf"
)

// strip is a line of a page, or what of it stands in one piece: the words and the place of what is painted.
type strip struct {
	want      string
	tongues   string // what Tesseract is asked to read, "hin+eng"
	page      int
	x, y      layout.Length // top left corner
	w, h      layout.Length
	key       string // what looks the same has the same
	got       string
	wanted    []rune
	forgotten int
}

// strips are the lines of a paper. Pieces that stand on one baseline with no more than a wide space between them are
// one; bullets, lines to write on, boxes, drawings and codes are not to be read.
func strips(p *seenPaper) []strip {
	var out []strip
	for _, page := range p.made.result.Pages {
		for i := range page.Items {
			item := &page.Items[i]
			out = appendStrip(out, p, page.Number, item.Rect.X, item.Rect.Y, item.Line)
			for _, l := range item.Labels {
				out = appendStrip(out, p, page.Number, l.At.X, l.At.Y, l.Line)
			}
		}
	}
	for i := range out {
		s := &out[i]
		s.wanted = readSigns(s.want)
		s.tongues = tongues(p.language, s.tongues, s.want)
		s.key = s.tongues + "\n" + s.key
	}
	return slices.DeleteFunc(out, func(s strip) bool { return len(s.wanted) == 0 })
}

func appendStrip(out []strip, p *seenPaper, page int, x, baseline layout.Length, l layout.Line) []strip {
	text := readable(l)
	if strings.TrimSpace(text) == "" || len(l.Runs) == 0 || len(readSigns(text)) == 0 {
		return out
	}
	size, key, lang := layout.Length(0), text, ""
	for _, r := range l.Runs {
		size = max(size, r.Size)
		lang = cmp.Or(lang, r.Lang)
		key += fmt.Sprintf("|%d %d %d", r.Font, r.Size, r.Ink)
	}
	s := strip{want: text, page: page, x: x, y: baseline - l.Ascent, w: l.Width, h: l.Ascent + l.Descent, key: key, tongues: lang}
	if n := len(out) - 1; n >= 0 && out[n].page == page && out[n].y+out[n].h-l.Descent == baseline && lang == out[n].tongues {
		last := &out[n]
		if gap := max(x-last.x-last.w, last.x-x-s.w); gap < size && gap > -size/10 {
			end := max(last.x+last.w, x+s.w)
			last.x = min(last.x, x)
			last.w, last.want, last.key = end-last.x, last.want+text, last.key+key
			return out
		}
	}
	return append(out, s)
}

// tongues are the languages in which a strip is read: its own, and those of the scripts in it, that of the most signs
// first. Figures and codes alone are read as English, whose reader knows them best.
func tongues(paper, lang, text string) string {
	own := sights[paper].name
	for tag, s := range sights {
		if lang != "" && (lang == tag || strings.HasPrefix(lang, tag+"-")) {
			own = s.name
		}
	}
	count := map[string]int{}
	for _, r := range text {
		switch {
		case unicode.Is(unicode.Arabic, r):
			count["ara"]++
		case unicode.Is(unicode.Devanagari, r):
			count["hin"]++
		case unicode.Is(unicode.Han, r):
			count["chi_sim"]++
		case r < unicode.MaxASCII && unicode.IsDigit(r), unicode.Is(unicode.Latin, r):
			if slices.Contains([]string{"eng", "spa", "fra", "deu", "pol"}, own) {
				count[own]++
			} else {
				count["eng"]++
			}
		}
	}
	names := slices.Sorted(maps.Keys(count))
	slices.SortStableFunc(names, func(a, b string) int { return count[b] - count[a] })
	if len(names) == 0 {
		return own
	}
	return strings.Join(names, "+")
}

// readSigns is text as reading compares it: without spaces, bullets, hyphens at a line's end and marks of direction.
func readSigns(s string) []rune {
	return []rune(strings.Map(func(r rune) rune {
		switch r {
		case '•', '·', '-', '\u2010', '\u2011', '_', '|':
			return -1
		}
		return r
	}, squeezed(norm.NFKC.String(s))))
}

// lostIn is how many signs of a strip are not read. Of a line in which both directions meet, the parts come in an order
// of the reader's own: there the signs are counted without it.
func (s *strip) lostIn(got []rune) int {
	arabic := func(r rune) bool { return unicode.Is(unicode.Arabic, r) && unicode.IsLetter(r) }
	if !slices.ContainsFunc(s.wanted, arabic) || !slices.ContainsFunc(s.wanted, func(r rune) bool {
		return unicode.IsDigit(r) || unicode.Is(unicode.Latin, r)
	}) {
		return unread(s.wanted, got)
	}
	count := map[rune]int{}
	for _, r := range got {
		count[r]++
	}
	lost := 0
	for _, r := range s.wanted {
		if count[r]--; count[r] < 0 {
			lost++
		}
	}
	return lost
}

// unread is how many signs of want the longest common subsequence with got leaves out.
func unread(want, got []rune) int {
	before, row := make([]int, len(got)+1), make([]int, len(got)+1)
	for _, w := range want {
		for j, g := range got {
			if row[j+1] = max(row[j], before[j+1]); w == g {
				row[j+1] = before[j] + 1
			}
		}
		before, row = row, before
	}
	return len(want) - before[len(got)]
}

// eye reads the papers of one language.
type eye struct {
	t                        *testing.T
	dir, pdftoppm, tesseract string
	whole                    bool              // every line is read, not a sample of them
	strips                   map[string]*strip // what has been cut out, by its look
	lists                    map[string][]*strip
}

func (e *eye) read(papers []*seenPaper) {
	e.lists = map[string][]*strip{}
	all := make([][]strip, len(papers))
	for i, p := range papers {
		all[i] = strips(p)
		if !e.whole {
			all[i] = slices.DeleteFunc(all[i], unsampled)
		}
		if err := e.cut(p, all[i]); err != nil {
			e.t.Error(err)
			return
		}
	}
	for tongues, list := range e.lists {
		if err := e.look(tongues, list); err != nil {
			e.t.Error(tongues, err)
			return
		}
	}
	for i, p := range papers {
		counted := map[string]bool{} // what stands on every page counts once
		for _, s := range all[i] {
			seen := e.strips[s.key]
			if counted[s.key] {
				continue
			}
			counted[s.key] = true
			p.wanted, p.lost = p.wanted+len(s.wanted), p.lost+seen.forgotten
			if seen.forgotten > 0 {
				p.worst = append(p.worst, misread{seen.forgotten, s.want, seen.got, s.page})
			}
		}
	}
}

// sample is of how many lines one is read where the test is no trial.
const sample = 4

// unsampled says whether a line is left out of the sample. The lines that look the same are in or out together.
func unsampled(s strip) bool {
	h := fnv.New32a()
	h.Write([]byte(s.key))
	return h.Sum32()%sample != 0
}

// cut draws the pages of a paper and cuts out the strips whose look is new.
func (e *eye) cut(p *seenPaper, all []strip) error {
	var file bytes.Buffer
	if err := pdf.Write(&file, p.made.result, p.made.fonts, pdf.Info{DocumentID: p.made.document, Producer: "test"}); err != nil {
		return err
	}
	path := filepath.Join(e.dir, "paper.pdf")
	if err := os.WriteFile(path, file.Bytes(), 0o600); err != nil {
		return err
	}
	page, drawn := 0, (*image.Gray)(nil)
	for i := range all {
		s := &all[i]
		if e.strips[s.key] != nil {
			continue
		}
		if s.page != page {
			page = s.page
			n := strconv.Itoa(page)
			data, err := exec.Command(e.pdftoppm, "-gray", "-r", strconv.Itoa(sightDots), "-f", n, "-l", n, path).Output()
			if err != nil {
				return err
			}
			if drawn, err = greyOf(data); err != nil {
				return err
			}
		}
		e.strips[s.key] = s
		if err := os.WriteFile(e.picture(len(e.lists[s.tongues]), s.tongues), s.cutOf(drawn), 0o600); err != nil {
			return err
		}
		e.lists[s.tongues] = append(e.lists[s.tongues], s)
	}
	return nil
}

func (e *eye) picture(n int, tongues string) string {
	return filepath.Join(e.dir, fmt.Sprintf("%s-%06d.pgm", tongues, n))
}

// look reads pictures of one line each.
func (e *eye) look(tongues string, list []*strip) error {
	var names strings.Builder
	for i := range list {
		names.WriteString(e.picture(i, tongues) + "\n")
	}
	path := filepath.Join(e.dir, tongues+".txt")
	if err := os.WriteFile(path, []byte(names.String()), 0o600); err != nil {
		return err
	}
	cmd := exec.Command(e.tesseract, path, "-", "-l", tongues, "--psm", rawLine, "--dpi", strconv.Itoa(sightDots))
	cmd.Env = append(os.Environ(), "OMP_THREAD_LIMIT=1")
	out, err := cmd.Output()
	if err != nil {
		return err
	}
	pages := strings.Split(string(out), "\f")
	if len(pages) < len(list) {
		return fmt.Errorf("%d pictures, %d texts", len(list), len(pages))
	}
	for i, s := range list {
		s.got = strings.TrimSpace(pages[i])
		s.forgotten = s.lostIn(readSigns(s.got))
	}
	return nil
}

// rawLine tells Tesseract that a picture is one line of text; its search for lines drops short ones with many dots.
const rawLine = "13"

// sightDots is how fine pages are drawn, in dots to the inch.
const sightDots = 300

func greyOf(data []byte) (*image.Gray, error) {
	var w, h, most int
	if _, err := fmt.Sscanf(string(data[:min(len(data), 32)]), "P5\n%d %d\n%d", &w, &h, &most); err != nil || len(data) < w*h {
		return nil, fmt.Errorf("not a picture: %v", err)
	}
	return &image.Gray{Pix: data[len(data)-w*h:], Stride: w, Rect: image.Rect(0, 0, w, h)}, nil
}

// cutOf is the strip as a picture, with a margin of its own ground.
func (s *strip) cutOf(page *image.Gray) []byte {
	dots := func(l layout.Length) int { return int(l) * sightDots / (72 * int(layout.Pt)) }
	r := image.Rect(dots(s.x)-3, dots(s.y)-1, dots(s.x+s.w)+4, dots(s.y+s.h)+2).Intersect(page.Rect)
	const margin = 16
	w, h := r.Dx()+2*margin, r.Dy()+2*margin
	ground := groundOf(page, r)
	out := fmt.Appendf(nil, "P5\n%d %d\n255\n", w, h)
	for y := range h {
		for x := range w {
			at := image.Pt(x-margin, y-margin).Add(r.Min)
			if at.In(r) {
				out = append(out, page.GrayAt(at.X, at.Y).Y)
			} else {
				out = append(out, ground)
			}
		}
	}
	return out
}

// groundOf is the commonest grey of a part of a page.
func groundOf(page *image.Gray, r image.Rectangle) uint8 {
	var count [256]int
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			count[page.GrayAt(x, y).Y]++
		}
	}
	most := 0
	for grey := range count {
		if count[grey] > count[most] {
			most = grey
		}
	}
	return uint8(most)
}
