package folder

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"time"

	"philtrum/forms/journal"
	"philtrum/forms/source"
)

const (
	journalFile = "journal.jsonl"
	// tornFile receives what a cut-off command left at the end of the journal.
	tornFile = "journal.torn"
	// longestLine is more than any entry can have.
	longestLine = 4096
	// tolerance is how far the clocks of two desks may differ before it is worth saying.
	tolerance = 5 * time.Minute
)

// Journal reads and verifies the whole chain. Problems name the first line that does not hold; the
// entries before it are given.
func (f *Folder) Journal() ([]journal.Entry, source.Problems, error) {
	var entries []journal.Entry
	problems, err := f.EachEntry(func(e journal.Entry) error {
		entries = append(entries, e)
		return nil
	})
	return entries, problems, err
}

// EachEntry verifies the chain entry by entry and hands each that holds to take, without keeping them. It
// ends at the first line that does not hold, which the problem names, or at an error of take.
func (f *Folder) EachEntry(take func(journal.Entry) error) (source.Problems, error) {
	file, err := os.Open(f.Join(journalFile))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("journal: %w", err)
	}
	defer file.Close()
	lines := bufio.NewScanner(file)
	lines.Buffer(make([]byte, 0, 2*longestLine), longestLine)
	lines.Split(wholeLines)
	var chain journal.Chain
	n := 0
	for lines.Scan() {
		n++
		e, err := journal.ParseLine(lines.Bytes())
		if err != nil {
			return source.Problems{journalProblem("problem.journal_line", n)}, nil
		}
		if reason := chain.Add(e); reason != "" {
			return source.Problems{journalProblem("problem.journal_"+reason, n)}, nil
		}
		if err := take(e); err != nil {
			return nil, err
		}
	}
	if err := lines.Err(); errors.Is(err, bufio.ErrTooLong) {
		return source.Problems{journalProblem("problem.journal_line", n+1)}, nil
	} else if err != nil {
		return nil, fmt.Errorf("journal: %w", err)
	}
	return nil, nil
}

// wholeLines parts at line ends and keeps everything else, a carriage return included.
func wholeLines(data []byte, atEnd bool) (int, []byte, error) {
	if i := bytes.IndexByte(data, '\n'); i >= 0 {
		return i + 1, data[:i], nil
	}
	if atEnd && len(data) > 0 {
		return len(data), data, nil
	}
	return 0, nil, nil
}

func journalProblem(id string, line int) source.Problem {
	return source.Problem{ID: id, Args: map[string]any{"line": line},
		Span: source.Span{File: journalFile, Line: line, Col: 1, EndLine: line, EndCol: 1}}
}

// nextLines are the lines that entries become at the end of the journal, whose lease is held.
func (f *Folder) nextLines(at time.Time, entries []entry) ([]string, error) {
	last, err := f.lastEntry()
	if err != nil {
		return nil, err
	}
	if at.Add(tolerance).Before(last.At) {
		f.notices.add(source.Problem{ID: "verify.clock_back", Span: source.Span{File: journalFile}})
	}
	var lines []string
	for _, e := range entries {
		next := journal.Next(last, e.what, e.subject, e.digest, at)
		if _, reason, ok := journal.Verify([]journal.Entry{journal.Next(journal.Entry{}, e.what, e.subject, e.digest, at)}); !ok {
			return nil, fmt.Errorf("journal: an entry that would not hold: %s", reason)
		}
		lines, last = append(lines, string(next.Line())), next
	}
	return lines, nil
}

// appendLines appends those lines that are not there yet.
func (f *Folder) appendLines(lines []string) error {
	if len(lines) == 0 {
		return nil
	}
	last, err := f.lastEntry()
	if err != nil {
		return err
	}
	var out bytes.Buffer
	for _, line := range missing(lines, last) {
		e, err := journal.ParseLine([]byte(line))
		if err != nil {
			return fmt.Errorf("batch: %w", err)
		}
		if e.Previous != last.Hash { // the journal was put back from a backup between the cut and now
			e = journal.Next(last, e.What, e.Subject, e.Digest, e.At)
		}
		out.Write(append(e.Line(), '\n'))
		last = e
	}
	return f.disk.extend(f.Join(journalFile), out.Bytes())
}

// missing are the lines behind the one that the journal already ends with.
func missing(lines []string, last journal.Entry) []string {
	end := string(last.Line())
	for i, line := range lines {
		if line == end {
			return lines[i+1:]
		}
	}
	return lines
}

// lastEntry reads and checks the end of the journal, whose lease is held; the zero Entry of none. An end
// that a cut-off command has left is set aside. One that was tampered with is noticed and followed all the
// same: nothing after the needle may wait for a journal to be restored, and [Folder.Journal] will always
// find the place.
func (f *Folder) lastEntry() (journal.Entry, error) {
	tail, size, err := f.journalTail()
	if err != nil || size == 0 {
		return journal.Entry{}, err
	}
	if end := bytes.LastIndexByte(tail, '\n') + 1; end < len(tail) {
		if err := f.mend(tail[end:], size); err != nil {
			return journal.Entry{}, err
		}
		return f.lastEntry()
	}
	tail = tail[:len(tail)-1]
	e, err := journal.ParseLine(tail[bytes.LastIndexByte(tail, '\n')+1:])
	if err != nil || !e.Holds() {
		f.notices.add(source.Problem{ID: "problem.journal_end", Span: source.Span{File: journalFile}})
	}
	return e, nil
}

// journalTail reads enough of the end of the journal for its last line.
func (f *Folder) journalTail() (tail []byte, size int64, err error) {
	file, err := os.Open(f.Join(journalFile))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, 0, nil
	}
	if err != nil {
		return nil, 0, fmt.Errorf("journal: %w", err)
	}
	defer file.Close()
	info, err := file.Stat()
	if err != nil {
		return nil, 0, fmt.Errorf("journal: %w", err)
	}
	size = info.Size()
	tail = make([]byte, min(size, 2*longestLine))
	if _, err := file.ReadAt(tail, size-int64(len(tail))); err != nil && !errors.Is(err, io.EOF) {
		return nil, 0, fmt.Errorf("journal: %w", err)
	}
	return tail, size, nil
}

// mend deals with a last line without its end: one that is whole gets it, another is set aside.
func (f *Folder) mend(torn []byte, size int64) error {
	if e, err := journal.ParseLine(torn); err == nil && e.Holds() {
		return f.disk.extend(f.Join(journalFile), []byte("\n"))
	}
	if err := f.disk.extend(f.Join(tornFile), append(bytes.Clone(torn), '\n')); err != nil {
		return err
	}
	if err := f.disk.shorten(f.Join(journalFile), size-int64(len(torn))); err != nil {
		return err
	}
	f.notices.add(source.Problem{ID: "problem.journal_torn", Args: map[string]any{"file": tornFile},
		Span: source.Span{File: journalFile}})
	return nil
}
