// Package index is the search through a clinic folder: a file of SQLite that is made from the folder's visits
// and patients and can be made again at any time. The truth is the folder; the index belongs to one machine
// and one folder, and holds no name, no address and no answer: ids, days, lots, zones and volumes.
//
// A search is as good as the last look at the files. [Index.Look] compares size and time of every file and
// reads what changed; [Index.Follow] reads what the journal says was changed since, which takes a moment
// only and misses what was edited by hand.
package index

import (
	"database/sql"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	_ "modernc.org/sqlite" // driver
)

// version of the tables; a file of another version is made anew.
const version = "2"

// Why an index was made anew.
const (
	New     = "new"     // there was none
	Broken  = "broken"  // it was cut short or is no index
	Foreign = "foreign" // it belongs to another folder
	Older   = "version" // another version of the program made it
)

// Index is the index of one clinic folder. It is for one goroutine.
type Index struct {
	db    *sql.DB
	path  string // empty: in memory
	root  string
	zone  *time.Location
	fresh string // why it was made anew; empty: it was there
}

// Open opens the index of the clinic folder at root in the file at path, or in memory where path is empty.
// Times without an offset are those of zone. One that is missing, cut short, of another folder or version is
// begun anew: [Index.Remade] says so, and the next Look fills it.
func Open(path, root string, zone *time.Location) (*Index, error) {
	x := &Index{path: path, root: root, zone: zone}
	if path == "" {
		return x, x.begin(New)
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return nil, fmt.Errorf("index: %w", err)
	}
	why := whole(path)
	if why == "" {
		var err error
		if why, err = x.attach(); err != nil {
			why = Broken
		}
	}
	if why == "" {
		return x, nil
	}
	return x, x.begin(why)
}

// Remade says why the index was begun anew since it was opened: one of the reasons, or nothing.
func (x *Index) Remade() string { return x.fresh }

// Close gives the file up.
func (x *Index) Close() error {
	if x.db == nil {
		return nil
	}
	err := x.db.Close()
	x.db = nil
	return err
}

// whole says why a file is no index to be opened. The head of a file of SQLite has the size of its pages at
// byte 16 and their number at byte 28 (SQLite, database file format 1.3).
func whole(path string) string {
	file, err := os.Open(path)
	if errors.Is(err, os.ErrNotExist) {
		return New
	}
	if err != nil {
		return Broken
	}
	defer file.Close()
	head := make([]byte, 100)
	if _, err := io.ReadFull(file, head); err != nil || string(head[:16]) != "SQLite format 3\x00" {
		return Broken
	}
	info, err := file.Stat()
	size := int64(binary.BigEndian.Uint16(head[16:]))
	if size == 1 {
		size = 65536
	}
	if err != nil || info.Size() < size*int64(binary.BigEndian.Uint32(head[28:])) {
		return Broken
	}
	return ""
}

// connect opens the database with settings for a file that others may be reading.
func (x *Index) connect(name string) error {
	db, err := sql.Open("sqlite", name)
	if err != nil {
		return fmt.Errorf("index: %w", err)
	}
	db.SetMaxOpenConns(1)
	x.db = db
	return nil
}

func (x *Index) attach() (why string, err error) {
	if err := x.connect("file:" + filepath.ToSlash(x.path) + "?_pragma=busy_timeout(10000)&_pragma=synchronous(off)"); err != nil {
		return Broken, err
	}
	var made, root string
	err = x.db.QueryRow("SELECT (SELECT v FROM meta WHERE k = 'version'), (SELECT v FROM meta WHERE k = 'root')").Scan(&made, &root)
	switch {
	case err != nil:
		why = Broken
	case made != version:
		why = Older
	case root != x.root:
		why = Foreign
	}
	if why != "" {
		_ = x.Close()
	}
	return why, nil
}

// begin makes an empty index in place of whatever was there.
func (x *Index) begin(why string) error {
	_ = x.Close()
	x.fresh = why
	name := ":memory:"
	if x.path != "" {
		for _, tail := range []string{"", "-wal", "-shm", "-journal"} {
			if err := os.Remove(x.path + tail); err != nil && !errors.Is(err, os.ErrNotExist) {
				return fmt.Errorf("index: %w", err)
			}
		}
		file, err := os.OpenFile(x.path, os.O_CREATE|os.O_WRONLY, 0o600)
		if err == nil {
			err = file.Close()
		}
		if err != nil {
			return fmt.Errorf("index: %w", err)
		}
		name = "file:" + filepath.ToSlash(x.path) + "?_pragma=busy_timeout(10000)&_pragma=synchronous(off)&_pragma=journal_mode(wal)"
	}
	if err := x.connect(name); err != nil {
		return err
	}
	if _, err := x.db.Exec(tables); err != nil {
		return fmt.Errorf("index: %w", err)
	}
	return x.set("root", x.root)
}

// tables of the index. An entry is one use of a lot: a row of the treatment, a syringe that no row names, an
// anaesthetic, or a planned row.
const tables = `
CREATE TABLE meta (k TEXT PRIMARY KEY, v TEXT) WITHOUT ROWID;
INSERT INTO meta VALUES ('version', '` + version + `');
CREATE TABLE patient (id TEXT PRIMARY KEY, size INTEGER, time INTEGER, unread INTEGER, number TEXT, person BLOB);
CREATE TABLE visit (
	n INTEGER PRIMARY KEY, id TEXT, year TEXT, size INTEGER, time INTEGER, unread INTEGER, patient TEXT, kind TEXT,
	at INTEGER, practitioner TEXT, after TEXT, treated INTEGER, open INTEGER, review TEXT
);
CREATE TABLE entry (
	visit INTEGER, what INTEGER, sure INTEGER, product TEXT, device TEXT, lot TEXT, norm TEXT, near TEXT, zone TEXT, side TEXT,
	volume INTEGER, at INTEGER
);
` + ways

// ways are the indexes of the tables; a build makes them last, because that is quicker.
const ways = `
CREATE UNIQUE INDEX IF NOT EXISTS visit_id ON visit (id);
CREATE INDEX IF NOT EXISTS visit_patient ON visit (patient);
CREATE INDEX IF NOT EXISTS visit_open ON visit (open) WHERE open > 0;
CREATE INDEX IF NOT EXISTS visit_unread ON visit (unread) WHERE unread > 0;
CREATE INDEX IF NOT EXISTS visit_at ON visit (at);
CREATE INDEX IF NOT EXISTS patient_number ON patient (number);
CREATE INDEX IF NOT EXISTS entry_visit ON entry (visit);
CREATE INDEX IF NOT EXISTS entry_near ON entry (near);
CREATE INDEX IF NOT EXISTS entry_none ON entry (at) WHERE norm = '';
`

func (x *Index) set(key, value string) error {
	_, err := x.db.Exec("INSERT OR REPLACE INTO meta VALUES (?, ?)", key, value)
	return failed(err)
}

func (x *Index) get(key string) string {
	var value string
	_ = x.db.QueryRow("SELECT v FROM meta WHERE k = ?", key).Scan(&value) // absent is empty
	return value
}

func (x *Index) number(key string) int64 {
	n, _ := strconv.ParseInt(x.get(key), 10, 64)
	return n
}

// Looked is when every file was last looked at; zero for never.
func (x *Index) Looked() time.Time {
	n := x.number("looked")
	if n == 0 {
		return time.Time{}
	}
	return time.Unix(n, 0)
}

// Files is how many files of visits and patients the index knows.
func (x *Index) Files() int { return int(x.number("files")) }

// Damaged says whether an error tells of a file that was cut short or overwritten: the index has to be made
// anew, and nothing is lost by that.
func Damaged(err error) bool {
	var e interface{ Code() int }
	if errors.As(err, &e) && slices.Contains([]int{generic, corrupt, notDatabase}, e.Code()&0xff) {
		return true
	}
	// A column that holds another kind of value than was put there.
	return err != nil && strings.Contains(err.Error(), "Scan error")
}

// Result codes of SQLite.
const (
	generic     = 1 // no such table, and the like: another file
	corrupt     = 11
	notDatabase = 26
)

// Renew begins the index anew, as one that is damaged.
func (x *Index) Renew() error { return x.begin(Broken) }

// Clear begins the index anew because somebody asks for it.
func (x *Index) Clear() error { return x.begin(New) }

func failed(err error) error {
	if err == nil {
		return nil
	}
	return fmt.Errorf("index: %w", err)
}
