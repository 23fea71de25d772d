package pdf

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"strconv"
)

// Join puts papers that a press has written one after another into one file for a printer. It takes their
// pages with what those need, and leaves out what a file says of itself beyond them: tags, bookmarks, archive
// metadata. So the file is no paper of its own. Objects that are equal are written once: papers of a day share
// most of their fonts. Forms on a screen and sealed files are refused; they are not for a printer.
//
// It stands here and not on a general reader because it needs to know nothing but how this package writes, and
// a day's several hundred papers are joined in a tenth of the time.
func (p *Press) Join(w io.Writer, papers [][]byte) error {
	out, packed := p.buffer(), p.buffer()
	defer p.release(out)
	defer p.release(packed)
	out.b = append(out.b, "%PDF-1.7\n%\xE2\xE3\xCF\xD3\n"...)
	j := joiner{
		a:       assembler{press: p, out: out, packed: packed, places: make([]place, 1, 1<<12)},
		written: map[[sha256.Size]byte]int{},
	}
	catalog, tree := j.a.reserve(), j.a.reserve()
	for i, paper := range papers {
		if err := j.add(paper, tree); err != nil {
			return fmt.Errorf("pdf: join file %d: %w", i+1, err)
		}
	}
	if len(j.pages) == 0 {
		return errors.New("pdf: nothing to join")
	}
	j.a.object(tree, func(b []byte) []byte { return appendPageTree(b, j.pages) })
	j.a.object(catalog, func(b []byte) []byte {
		return append(appendRef(append(b, "<</Type/Catalog/Pages "...), tree), ">>"...)
	})
	if err := j.a.end(catalog, 0); err != nil {
		return err
	}
	_, err := w.Write(out.b)
	return err
}

// joiner writes the pages of several files into one.
type joiner struct {
	a       assembler
	pages   []int
	written map[[sha256.Size]byte]int // numbers of objects by what they say

	from   *finished
	copied map[int]int // numbers of objects of that file in the new one
}

func (j *joiner) add(paper []byte, tree int) error {
	var err error
	if j.from, err = readFinished(paper); err != nil {
		return err
	}
	j.copied = map[int]int{}
	pages, err := j.from.pages()
	if err != nil {
		return err
	}
	for _, n := range pages {
		page, err := j.from.object(n)
		if err != nil {
			return err
		}
		if err := j.addPage(page.body, tree); err != nil {
			return err
		}
	}
	return nil
}

// addPage writes a page anew with what shows of it: its size, resources and contents.
func (j *joiner) addPage(page []byte, tree int) error {
	_, box, _ := bytes.Cut(page, []byte("/MediaBox["))
	box, _, ok := bytes.Cut(box, []byte("]"))
	resources, resourced := numberAfter(page, "/Resources ")
	contents, filled := numberAfter(page, "/Contents ")
	if !ok || !resourced || !filled || bytes.Contains(page, []byte("/Annots")) {
		return fmt.Errorf("%w: a page with more or less than its contents", errFinished)
	}
	var err error
	if resources, err = j.copy(resources); err != nil {
		return err
	}
	if contents, err = j.copy(contents); err != nil {
		return err
	}
	num := j.a.reserve()
	j.pages = append(j.pages, num)
	j.a.object(num, func(b []byte) []byte {
		b = appendRef(append(b, "<</Type/Page/Parent "...), tree)
		b = appendRef(append(b, "/Resources "...), resources)
		b = append(append(append(b, "/MediaBox["...), box...), ']')
		return append(appendRef(append(b, "/Contents "...), contents), ">>"...)
	})
	return nil
}

// copy writes an object of the file with all that it refers to, and gives its number in the new one. Nothing
// that a page shows refers back to it, so this comes to an end.
func (j *joiner) copy(n int) (int, error) {
	if num, ok := j.copied[n]; ok {
		if num == 0 {
			return 0, fmt.Errorf("%w: object %d refers to itself", errFinished, n)
		}
		return num, nil
	}
	j.copied[n] = 0
	o, err := j.from.object(n)
	if err != nil {
		return 0, err
	}
	body, err := j.renumber(o.body)
	if err != nil {
		return 0, err
	}
	num := j.write(body, o)
	j.copied[n] = num
	return num, nil
}

func (j *joiner) renumber(body []byte) ([]byte, error) {
	refs := references(body)
	if len(refs) == 0 {
		return body, nil
	}
	out := make([]byte, 0, len(body)+4*len(refs))
	at := 0
	for _, r := range refs {
		num, err := j.copy(r.number)
		if err != nil {
			return nil, err
		}
		out = appendRef(append(out, body[at:r.start]...), num)
		at = r.end
	}
	return append(out, body[at:]...), nil
}

// write writes an object, or finds the one that says the same.
func (j *joiner) write(body []byte, o object) int {
	sum := sha256.New()
	sum.Write(strconv.AppendInt(nil, int64(len(body)), 10)) // so that body and data cannot be taken for each other
	sum.Write(body)
	sum.Write(o.data)
	key := [sha256.Size]byte(sum.Sum(nil))
	if num, ok := j.written[key]; ok {
		return num
	}
	num := j.a.reserve()
	j.written[key] = num
	if o.stream {
		j.a.stream(num, string(body), o.data)
	} else {
		j.a.object(num, func(b []byte) []byte { return append(b, body...) })
	}
	return num
}
