package folder

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"strings"

	"philtrum/forms/journal"
)

// noteEdits adds an entry for every file of a patient or visit that is no longer as its last entry says: it was
// edited by hand. Whoever edits may; but the chain then shows that it was no command, and what the file was when
// it was found. The journal's lease is held.
func (b *Batch) noteEdits() error {
	var found []entry
	for _, w := range b.staged {
		subject, ok := subjectOf(w.name)
		if !ok || w.make == nil || !b.enters(subject) {
			continue
		}
		last, known, err := b.folder.lastDigest(subject)
		if err != nil {
			return err
		}
		if now := digest(w.old); known && last != now {
			found = append(found, entry{what: journal.Edited, subject: subject, digest: now})
		}
	}
	b.entries = append(found, b.entries...)
	return nil
}

// enters says whether the batch has an entry with a digest of the subject's file.
func (b *Batch) enters(subject string) bool {
	for _, e := range b.entries {
		if e.subject == subject && e.file != "" {
			return true
		}
	}
	return false
}

// subjectOf is the id of the patient or visit whose file this is.
func subjectOf(name string) (string, bool) {
	switch dir, base := path.Split(name); {
	case dir == "patients/" && strings.HasSuffix(base, ".yaml"):
		return strings.TrimSuffix(base, ".yaml"), true
	case strings.HasPrefix(name, "visits/") && base == "visit.yaml":
		return path.Base(dir), true
	}
	return "", false
}

// lastDigest is the digest of a patient's or visit's file by its last entry. The journal is read from its end,
// where the entries of the day are.
func (f *Folder) lastDigest(subject string) (digest string, known bool, err error) {
	file, err := os.Open(f.Join(journalFile))
	if errors.Is(err, fs.ErrNotExist) {
		return "", false, nil
	}
	if err != nil {
		return "", false, fmt.Errorf("journal: %w", err)
	}
	defer file.Close()
	info, err := file.Stat()
	if err != nil {
		return "", false, fmt.Errorf("journal: %w", err)
	}
	const block = 256 << 10
	buffer := make([]byte, block+longestLine)
	for end := info.Size(); end > 0; end -= min(end, block) {
		start := max(0, end-block)
		// A line that crosses the end of the block is read whole.
		part := buffer[:min(info.Size(), end+longestLine)-start]
		if _, err := file.ReadAt(part, start); err != nil && !errors.Is(err, io.EOF) {
			return "", false, fmt.Errorf("journal: %w", err)
		}
		if digest, ok := lastOf(part, int(end-start), subject); ok {
			return digest, true, nil
		}
	}
	return "", false, nil
}

// lastOf looks for the last entry of a subject that begins before a limit.
func lastOf(part []byte, limit int, subject string) (string, bool) {
	key := []byte(`"subject":"` + subject + `"`)
	for at := bytes.LastIndex(part, key); at >= 0; at = bytes.LastIndex(part[:at], key) {
		start := bytes.LastIndexByte(part[:at], '\n') + 1
		length := bytes.IndexByte(part[start:], '\n')
		if length < 0 {
			length = len(part) - start
		}
		if start >= limit {
			continue
		}
		if e, err := journal.ParseLine(part[start : start+length]); err == nil && e.Subject == subject && e.OfOwnFile() {
			return e.Digest, true
		}
	}
	return "", false
}
