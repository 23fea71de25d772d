package index

import (
	"bytes"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"philtrum/forms/journal"
)

// mark is where the journal ended.
type mark struct {
	size int64
	line string // its last line
}

func (x *Index) journalEnd() (mark, error) {
	file, err := os.Open(filepath.Join(x.root, "journal.jsonl"))
	if errors.Is(err, fs.ErrNotExist) {
		return mark{}, nil
	}
	if err != nil {
		return mark{}, failed(err)
	}
	defer file.Close()
	info, err := file.Stat()
	if err != nil {
		return mark{}, failed(err)
	}
	line, err := lineBefore(file, info.Size())
	return mark{info.Size(), line}, err
}

// longestLine is more than an entry of the journal can have.
const longestLine = 4096

// lineBefore is the line that ends at a place of the journal.
func lineBefore(file io.ReaderAt, end int64) (string, error) {
	tail := make([]byte, min(end, longestLine))
	if _, err := file.ReadAt(tail, end-int64(len(tail))); err != nil && !errors.Is(err, io.EOF) {
		return "", failed(err)
	}
	tail = bytes.TrimSuffix(tail, []byte("\n"))
	return string(tail[bytes.LastIndexByte(tail, '\n')+1:]), nil
}

// most entries of the journal that Follow goes through; with more, a look is as quick.
const mostNews = 4 << 20

// Follow reads the visits and patients that the journal names since the last look. Where the journal is not
// the one that was there, or too much was written, ok is false and a look is needed.
func (x *Index) Follow(now time.Time) (ok bool, err error) {
	if x.Looked().IsZero() {
		return false, nil
	}
	news, end, ok, err := x.news()
	if err != nil || !ok || len(news) == 0 {
		return ok, err
	}
	secret, err := x.secret()
	if err != nil {
		return false, err
	}
	tx, err := x.db.Begin()
	if err != nil {
		return false, failed(err)
	}
	defer func() { _ = tx.Rollback() }()
	w, err := newWriter(tx, false)
	if err != nil {
		return false, err
	}
	for id := range news {
		if err := x.again(w, id, secret, now.Add(-settled)); err != nil {
			return false, err
		}
	}
	for key, value := range map[string]string{"journal_size": strconv.FormatInt(end.size, 10), "journal_line": end.line} {
		if _, err := tx.Exec("INSERT OR REPLACE INTO meta VALUES (?, ?)", key, value); err != nil {
			return false, failed(err)
		}
	}
	return true, failed(tx.Commit())
}

// news are the subjects of the journal's entries since the last look.
func (x *Index) news() (map[string]bool, mark, bool, error) {
	end, err := x.journalEnd()
	size := x.number("journal_size")
	if err != nil || end.size < size || end.size-size > mostNews {
		return nil, end, false, err
	}
	file, err := os.Open(filepath.Join(x.root, "journal.jsonl"))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, end, true, nil
	}
	if err != nil {
		return nil, end, false, failed(err)
	}
	defer file.Close()
	if line, err := lineBefore(file, size); err != nil || line != x.get("journal_line") {
		return nil, end, false, err
	}
	data := make([]byte, end.size-size)
	if _, err := file.ReadAt(data, size); err != nil && !errors.Is(err, io.EOF) {
		return nil, end, false, failed(err)
	}
	news := map[string]bool{}
	for line := range bytes.Lines(data) {
		e, err := journal.ParseLine(bytes.TrimSuffix(line, []byte("\n")))
		if err != nil {
			return nil, end, false, nil
		}
		if isID(e.Subject) {
			news[e.Subject] = true
		}
	}
	return news, end, true, nil
}

// again reads the file of a visit or a patient with that id, if there is one.
func (x *Index) again(w *writer, id string, secret []byte, trusted time.Time) error {
	years, err := x.list("visits")
	if err != nil {
		return err
	}
	found := false
	for _, n := range append([]name{{id: id}}, named(years, id)...) {
		s, err := x.one(n, nil, secret, trusted)
		if err != nil {
			return err
		}
		if s == nil || s.gone {
			continue
		}
		found = true
		if err := w.put(s); err != nil {
			return err
		}
	}
	if !found {
		return errors.Join(w.remove(name{id: id}), w.remove(name{year: "-", id: id}))
	}
	return nil
}

func named(years []string, id string) []name {
	var all []name
	for _, year := range years {
		if len(year) == 4 && strings.Trim(year, "0123456789") == "" {
			all = append(all, name{year, id})
		}
	}
	return all
}
