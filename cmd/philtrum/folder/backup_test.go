package folder

import (
	"archive/tar"
	"bytes"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"filippo.io/age"

	"github.com/google/go-cmp/cmp"
)

// locks are a key pair; scrypt would cost a second a test.
func locks(t testing.TB) (Lock, Key) {
	t.Helper()
	id, err := age.GenerateX25519Identity()
	if err != nil {
		t.Fatal(err)
	}
	lock, err := KeyLock([]string{id.Recipient().String()})
	if err != nil {
		t.Fatal(err)
	}
	key, err := ReadKey([]byte("# of the invented clinic\n" + id.String() + "\n"))
	if err != nil {
		t.Fatal(err)
	}
	return lock, key
}

func contents(t *testing.T, f *Folder) map[string]string {
	t.Helper()
	all := map[string]string{}
	for _, name := range files(t, f) {
		if !strings.HasPrefix(filepath.Base(name), ".") {
			all[name] = read(t, f, name)
		}
	}
	return all
}

func TestBackupAndRestore(t *testing.T) {
	f := made(t)
	if err := issue(f).Commit(); err != nil {
		t.Fatal(err)
	}
	lock, key := locks(t)
	file, dir := filepath.Join(t.TempDir(), "monday.age"), filepath.Join(t.TempDir(), "again")
	copied, err := f.Backup(file, lock)
	if err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(file)
	if err != nil || bytes.Contains(data, []byte("papers:")) || bytes.Contains(data, []byte("patients/p1.yaml")) {
		t.Error("the backup shows what it holds", err)
	}
	restored, err := Restore(file, dir, key)
	if err != nil || restored != copied {
		t.Fatal(restored, copied, err)
	}
	again, err := Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(contents(t, f), contents(t, again)); diff != "" {
		t.Error(diff)
	}
	left, err := os.ReadDir(filepath.Dir(file))
	if err != nil || len(left) != 1 {
		t.Error("something is left beside the backup", left, err)
	}
	if _, err := f.Backup(file, lock); !errors.Is(err, ErrExists) {
		t.Error("a backup was overwritten:", err)
	}
	if _, err := Restore(file, dir, key); !errors.Is(err, ErrExists) {
		t.Error("a folder was overwritten:", err)
	}
	if _, err := f.Backup(f.Join("visits/x.age"), lock); !errors.Is(err, ErrInside) {
		t.Error("a backup within the folder:", err)
	}
}

// Whatever is done to a backup, it restores the whole or nothing.
func TestADamagedBackupRestoresNothing(t *testing.T) {
	f := made(t)
	lock, key := locks(t)
	file := filepath.Join(t.TempDir(), "monday.age")
	if _, err := f.Backup(file, lock); err != nil {
		t.Fatal(err)
	}
	whole, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	_, other := locks(t)
	try := func(name string, data []byte, key Key, want error) {
		t.Helper()
		bad, dir := filepath.Join(t.TempDir(), "bad.age"), filepath.Join(t.TempDir(), "again")
		if err := os.WriteFile(bad, data, 0o600); err != nil {
			t.Fatal(err)
		}
		if _, err := Restore(bad, dir, key); !errors.Is(err, want) {
			t.Errorf("%s: %v", name, err)
		}
		left, err := os.ReadDir(filepath.Dir(dir))
		if err != nil || len(left) > 0 {
			t.Errorf("%s leaves %v, %v", name, left, err)
		}
	}
	try("another key", whole, other, ErrKey)
	for at := 0; at < len(whole); at += len(whole)/23 + 1 {
		try("cut off", whole[:at], key, ErrBackup)
	}
	for at := len(whole) - 1; at > len(whole)/2; at -= len(whole)/23 + 1 {
		broken := bytes.Clone(whole)
		broken[at] ^= 1
		try("changed", broken, key, ErrBackup)
	}
	try("something behind", append(bytes.Clone(whole), "x"...), key, ErrBackup)
}

func TestArchivesThatAreNotOursAreRefused(t *testing.T) {
	lock, key := locks(t)
	good := tar.Header{Typeflag: tar.TypeReg, Name: "clinic.yaml", Size: 1, Mode: 0o600}
	for name, change := range map[string]func(*tar.Header){
		"out of the folder":  func(h *tar.Header) { h.Name = "../escaped" },
		"from the root":      func(h *tar.Header) { h.Name = "/escaped" },
		"through the middle": func(h *tar.Header) { h.Name = "visits/../../escaped" },
		"a drive":            func(h *tar.Header) { h.Name = "c:escaped" },
		"backslashes":        func(h *tar.Header) { h.Name = `..\escaped` },
		"a hidden file":      func(h *tar.Header) { h.Name = ".intent.json" },
		"a long name":        func(h *tar.Header) { h.Name = strings.Repeat("a", longestName+1) },
		"deep folders":       func(h *tar.Header) { h.Name = strings.Repeat("a/", deepestNames) + "a" },
		"a link":             func(h *tar.Header) { h.Typeflag, h.Linkname, h.Size = tar.TypeSymlink, "/etc", 0 },
		"a hard link":        func(h *tar.Header) { h.Typeflag, h.Linkname, h.Size = tar.TypeLink, "/etc/passwd", 0 },
		"a folder":           func(h *tar.Header) { h.Typeflag, h.Size = tar.TypeDir, 0 },
		"another marker":     nil,
	} {
		dir := t.TempDir()
		file := filepath.Join(dir, "bad.age")
		out, err := os.Create(file)
		if err != nil {
			t.Fatal(err)
		}
		locked, err := age.Encrypt(out, lock.recipients...)
		if err != nil {
			t.Fatal(err)
		}
		w := tar.NewWriter(locked)
		write := func(h tar.Header) {
			if err := w.WriteHeader(&h); err != nil {
				t.Fatal(name, err)
			}
			if _, err := io.CopyN(w, zeros{}, h.Size); err != nil {
				t.Fatal(err)
			}
		}
		if change != nil {
			write(tar.Header{Typeflag: tar.TypeReg, Name: marker})
		}
		write(good)
		if change != nil {
			bad := good
			change(&bad)
			write(bad)
		}
		if err := errors.Join(w.Close(), locked.Close(), out.Close()); err != nil {
			t.Fatal(err)
		}
		if _, err := Restore(file, filepath.Join(dir, "again"), key); !errors.Is(err, ErrBackup) {
			t.Errorf("%s: %v", name, err)
		}
		left, err := os.ReadDir(dir)
		if err != nil || len(left) != 1 {
			t.Errorf("%s leaves %v, %v", name, left, err)
		}
	}
}

// A backup that asks for more work than ours is not opened.
func TestABackupThatAsksForTooMuchWorkIsRefused(t *testing.T) {
	r, err := age.NewScryptRecipient("passphrase")
	if err != nil {
		t.Fatal(err)
	}
	r.SetWorkFactor(10)
	var out bytes.Buffer
	w, err := age.Encrypt(&out, r)
	if err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	costly := bytes.Replace(out.Bytes(), []byte(" 10\n"), []byte(" 30\n"), 1)
	file := filepath.Join(t.TempDir(), "bad.age")
	if err := os.WriteFile(file, costly, 0o600); err != nil {
		t.Fatal(err)
	}
	key, err := PassphraseKey("passphrase")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Restore(file, filepath.Join(t.TempDir(), "again"), key); !errors.Is(err, ErrBackup) {
		t.Error(err)
	}
}

// What others write while the backup is being made belongs together in it.
func TestABackupOfAFolderInUseIsConsistent(t *testing.T) {
	f := made(t)
	stop := make(chan struct{})
	done := make(chan error)
	go func() {
		for i := 0; ; i++ {
			select {
			case <-stop:
				done <- nil
				return
			default:
			}
			b := f.Batch(noon)
			name := "visits/2026/v1/papers/d" + strings.Repeat("x", i%7+1) + string(rune('a'+i%26)) + string(rune('a'+i/26%26)) + ".pdf"
			if f.Has(name) {
				continue
			}
			b.Create(name, []byte("%PDF "+name))
			b.Update(visitFile, func(old []byte) ([]byte, error) { return append(old, "# "+name+"\n"...), nil })
			b.EnterFile("filed", "v1", visitFile)
			if err := b.Commit(); err != nil {
				done <- err
				return
			}
		}
	}()
	lock, key := locks(t)
	for i := range 5 {
		file, dir := filepath.Join(t.TempDir(), "monday.age"), filepath.Join(t.TempDir(), "again")
		if _, err := f.Backup(file, lock); err != nil {
			t.Fatal(i, err)
		}
		if _, err := Restore(file, dir, key); err != nil {
			t.Fatal(i, err)
		}
		again, err := Open(dir)
		if err != nil {
			t.Fatal(err)
		}
		entries, problems, err := again.Journal()
		if err != nil || len(problems) > 0 {
			t.Fatal(problems, err)
		}
		last := entries[len(entries)-1]
		if sum := digest([]byte(read(t, again, visitFile))); last.Digest != "" && last.Digest != sum {
			t.Errorf("round %d: the visit is not the one of the last entry", i)
		}
		papers, err := again.Under("visits/2026/v1/papers")
		if err != nil {
			t.Fatal(err)
		}
		if n := strings.Count(read(t, again, visitFile), "# "); n != len(papers) {
			t.Errorf("round %d: %d papers, %d named", i, len(papers), n)
		}
	}
	close(stop)
	if err := <-done; err != nil {
		t.Error(err)
	}
}

func FuzzExtract(f *testing.F) {
	var out bytes.Buffer
	w := tar.NewWriter(&out)
	for _, name := range []string{marker, "clinic.yaml", "../x"} {
		if err := w.WriteHeader(&tar.Header{Typeflag: tar.TypeReg, Name: name}); err != nil {
			f.Fatal(err)
		}
	}
	f.Add(out.Bytes())
	f.Fuzz(func(t *testing.T, data []byte) {
		dir := t.TempDir()
		inside := filepath.Join(dir, "inside")
		_, _ = extract(bytes.NewReader(data), inside, int64(len(data)))
		left, err := os.ReadDir(dir)
		if err != nil || len(left) > 1 {
			t.Error("something outside", left, err)
		}
	})
}
