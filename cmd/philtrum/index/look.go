package index

import (
	"crypto/rand"
	"database/sql"
	"encoding/hex"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"
)

// Looking is what a look did.
type Looking struct {
	Files   int // of visits and patients there are
	Read    int // that were new or changed
	Removed int // that are gone
}

// settled is how old a file's time must be to be trusted: within it a file may change again and keep its size
// and time.
const settled = 2 * time.Second

// Look compares every file of a visit or patient with what is known of it and reads what changed. now is the
// time of the machine.
func (x *Index) Look(now time.Time) (Looking, error) {
	secret, err := x.secret()
	if err != nil {
		return Looking{}, err
	}
	tail, err := x.journalEnd()
	if err != nil {
		return Looking{}, err
	}
	known, err := x.known()
	if err != nil {
		return Looking{}, err
	}
	names, err := x.names()
	if err != nil {
		return Looking{}, err
	}
	l := Looking{Files: len(names)}
	tx, err := x.db.Begin()
	if err != nil {
		return l, failed(err)
	}
	defer func() { _ = tx.Rollback() }() // after a commit it does nothing
	empty := len(known) == 0
	if empty {
		if err := dropWays(tx); err != nil {
			return l, err
		}
	}
	w, err := newWriter(tx, empty)
	if err != nil {
		return l, err
	}
	trusted := now.Add(-settled)
	err = x.readAll(names, known, secret, trusted, func(s *seen) error {
		l.Read++
		return w.put(s)
	})
	if err != nil {
		return l, err
	}
	for key := range known {
		l.Removed++
		if err := w.remove(key); err != nil {
			return l, err
		}
	}
	if err := x.finish(tx, tail, len(names), now, empty); err != nil {
		return l, err
	}
	return l, nil
}

func dropWays(tx *sql.Tx) error {
	for _, line := range strings.Split(strings.TrimSpace(ways), "\n") {
		name := strings.Fields(strings.SplitN(line, "EXISTS ", 2)[1])[0]
		if name == "visit_id" {
			continue
		}
		if _, err := tx.Exec("DROP INDEX IF EXISTS " + name); err != nil {
			return failed(err)
		}
	}
	return nil
}

func (x *Index) finish(tx *sql.Tx, tail mark, files int, now time.Time, built bool) error {
	if _, err := tx.Exec(ways); err != nil {
		return failed(err)
	}
	for key, value := range map[string]string{
		"looked": strconv.FormatInt(now.Unix(), 10), "files": strconv.Itoa(files),
		"journal_size": strconv.FormatInt(tail.size, 10), "journal_line": tail.line,
	} {
		if _, err := tx.Exec("INSERT OR REPLACE INTO meta VALUES (?, ?)", key, value); err != nil {
			return failed(err)
		}
	}
	if err := tx.Commit(); err != nil {
		return failed(err)
	}
	if built && x.path != "" {
		_, err := x.db.Exec("PRAGMA wal_checkpoint(truncate)")
		return failed(err)
	}
	return nil
}

// secret is the key of [personKey], drawn once for an index. It comes from the machine, because it protects
// what is in a file of the machine and enters nothing that is printed.
func (x *Index) secret() ([]byte, error) {
	if key, err := hex.DecodeString(x.get("secret")); err == nil && len(key) == 16 {
		return key, nil
	}
	key := make([]byte, 16)
	if _, err := rand.Read(key); err != nil {
		return nil, failed(err)
	}
	return key, x.set("secret", hex.EncodeToString(key))
}

// name is a file of the folder: of a visit, or of a patient where year is empty.
type name struct{ year, id string }

func (n name) file() string {
	if n.year == "" {
		return "patients/" + n.id + ".yaml"
	}
	return "visits/" + n.year + "/" + n.id + "/visit.yaml"
}

type stamp struct{ size, time int64 }

func (x *Index) known() (map[name]stamp, error) {
	known := make(map[name]stamp, x.Files())
	for _, query := range []string{"SELECT '', id, size, time FROM patient", "SELECT year, id, size, time FROM visit"} {
		rows, err := x.db.Query(query)
		if err != nil {
			return nil, failed(err)
		}
		for rows.Next() {
			var n name
			var s stamp
			if err := rows.Scan(&n.year, &n.id, &s.size, &s.time); err != nil {
				return nil, errors.Join(failed(err), rows.Close())
			}
			known[n] = s
		}
		if err := errors.Join(rows.Err(), rows.Close()); err != nil {
			return nil, failed(err)
		}
	}
	return known, nil
}

// names lists the folder.
func (x *Index) names() ([]name, error) {
	var all []name
	patients, err := x.list("patients")
	if err != nil {
		return nil, err
	}
	for _, e := range patients {
		if id, ok := strings.CutSuffix(e, ".yaml"); ok && isID(id) {
			all = append(all, name{id: id})
		}
	}
	years, err := x.list("visits")
	if err != nil {
		return nil, err
	}
	for _, year := range years {
		if len(year) != 4 || strings.Trim(year, "0123456789") != "" {
			continue
		}
		visits, err := x.list("visits/" + year)
		if err != nil {
			return nil, err
		}
		for _, id := range visits {
			if isID(id) {
				all = append(all, name{year, id})
			}
		}
	}
	return all, nil
}

func isID(s string) bool {
	return s != "" && strings.Trim(s, "abcdefghijklmnopqrstuvwxyz0123456789_-") == ""
}

// list names what is in a folder; one that is not there is empty.
func (x *Index) list(dir string) ([]string, error) {
	file, err := os.Open(filepath.Join(x.root, filepath.FromSlash(dir)))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, failed(err)
	}
	defer file.Close()
	names, err := file.Readdirnames(-1)
	return names, failed(err)
}
