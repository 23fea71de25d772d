package index_test

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"philtrum/cmd/philtrum/index"
	"philtrum/forms/journal"
	"philtrum/forms/measure"

	"pgregory.net/rapid"
)

// folder is a clinic folder with these visits, and a place for its index.
func folder(t testing.TB, visits map[string]string) (root, path string) {
	t.Helper()
	dir := t.TempDir()
	root = filepath.Join(dir, "clinic")
	for id, text := range visits {
		visitFile(t, root, id, text)
	}
	return root, filepath.Join(dir, "index.sqlite")
}

func visitFile(t testing.TB, root, id, rest string) {
	t.Helper()
	write(t, filepath.Join(root, "visits", "2026", id, "visit.yaml"), "id: "+id+"\npatient: p1\nkind: treatment\nappointment: 2026-12-04 10:00\n"+rest)
}

func given(lots ...string) string {
	var w strings.Builder
	w.WriteString("treatment:\n  syringes:\n")
	for _, lot := range lots {
		fmt.Fprintf(&w, "    - product: soft\n      lot: %q\n", lot)
	}
	return w.String()
}

func ask(t testing.TB, x *index.Index, lot string) (certain, possible []string) {
	t.Helper()
	a, err := x.Lot(index.Question{Lot: lot, Products: []string{"soft"}})
	if err != nil {
		t.Fatal(err)
	}
	ids := func(uses []index.Use) []string {
		var all []string
		for _, u := range uses {
			if !slices.Contains(all, u.Visit) {
				all = append(all, u.Visit)
			}
		}
		return all
	}
	return ids(a.Certain), ids(a.Possible)
}

func TestLotIsComparedAsLabelsAreRead(t *testing.T) {
	root, path := folder(t, map[string]string{
		"a": given("0012"), "b": given(" ab-12 "), "c": given("AB12"), "d": given("12"), "e": given("A812"), "f": given("OO12"), "g": given("AB I2"),
	})
	x := open(t, root, path)
	defer x.Close()
	look(t, x)
	for _, c := range []struct {
		lot               string
		certain, possible []string
	}{
		{"0012", []string{"a"}, []string{"f"}},
		{"AB-12", []string{"b"}, []string{"c", "g"}},
		{"ab12 ", []string{"c"}, []string{"b", "g"}},
		{"12", []string{"d"}, nil},
		{"", nil, nil},
		{"' OR 1=1 --", nil, nil},
	} {
		certain, possible := ask(t, x, c.lot)
		if !slices.Equal(certain, c.certain) || !slices.Equal(possible, c.possible) {
			t.Errorf("%q: %v and perhaps %v, want %v and perhaps %v", c.lot, certain, possible, c.certain, c.possible)
		}
	}
}

// Which of several syringes a row drew on may be open; every one of them is then a possible recipient's.
func TestWhoMayHaveHadALot(t *testing.T) {
	rows := "  rows:\n    - zone: UL-VB\n      product: soft\n      volume: 0.2\n"
	root, path := folder(t, map[string]string{
		"known": given("L1"), "two": given("L1", "L2") + rows, "none": given("") + rows, "broken": "treatment: [",
		"named": given("L1", "L2") + "  rows:\n    - zone: UL-VB\n      lot: L2\n      volume: 0.2\n",
	})
	x := open(t, root, path)
	defer x.Close()
	look(t, x)
	a, err := x.Lot(index.Question{Lot: "L1"})
	if err != nil {
		t.Fatal(err)
	}
	why := map[string]string{}
	for _, u := range a.Certain {
		why[u.Visit] = "certain"
	}
	for _, u := range a.Possible {
		why[u.Visit] = u.Why
	}
	want := map[string]string{"known": "certain", "named": "certain", "two": index.WhyUnsure, "none": index.WhyNoLot, "broken": index.WhyUnread}
	if fmt.Sprint(why) != fmt.Sprint(want) {
		t.Errorf("got %v, want %v", why, want)
	}
}

// What was changed, added or removed is seen by the next look, and only that is read.
func TestLookReadsWhatChanged(t *testing.T) {
	root, path := folder(t, map[string]string{"a": given("L1"), "b": given("L2"), "c": given("L3")})
	x := open(t, root, path)
	defer x.Close()
	later := time.Now().Add(time.Hour)
	if l, err := x.Look(later); err != nil || l != (index.Looking{Files: 3, Read: 3}) {
		t.Fatal(l, err)
	}
	if l, err := x.Look(later); err != nil || l != (index.Looking{Files: 3}) {
		t.Fatal(l, err)
	}
	visitFile(t, root, "a", given("L2", "L4"))
	visitFile(t, root, "d", given("L1"))
	if err := os.RemoveAll(filepath.Join(root, "visits", "2026", "b")); err != nil {
		t.Fatal(err)
	}
	if l, err := x.Look(later); err != nil || l != (index.Looking{Files: 3, Read: 2, Removed: 1}) {
		t.Fatal(l, err)
	}
	for lot, want := range map[string]string{"L1": "d", "L2": "a", "L3": "c", "L4": "a"} {
		if certain, _ := ask(t, x, lot); fmt.Sprint(certain) != "["+want+"]" {
			t.Errorf("%s: %v, want %s", lot, certain, want)
		}
	}
}

// A file that was written a moment ago is read again, because its size and time may stay the same.
func TestLookDistrustsFreshFiles(t *testing.T) {
	root, path := folder(t, map[string]string{"a": given("L1")})
	x := open(t, root, path)
	defer x.Close()
	look(t, x)
	if l := look(t, x); l.Read != 1 {
		t.Errorf("read %d of 1", l.Read)
	}
}

// Whatever is in the index's place, a search answers from the files, and says why it had to begin anew.
func TestBrokenIndexIsMadeAnew(t *testing.T) {
	root, path := folder(t, map[string]string{"a": given("L1")})
	other, _ := folder(t, map[string]string{"z": given("L1")})
	sound := func() []byte {
		x := open(t, root, path)
		look(t, x)
		_ = x.Close()
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		return data
	}
	whole := sound()
	for name, c := range map[string]struct {
		data []byte
		root string
		want string
	}{
		"missing":     {nil, root, index.New},
		"cut":         {whole[:len(whole)/2], root, index.Broken},
		"empty":       {[]byte{}, root, index.Broken},
		"other bytes": {[]byte(strings.Repeat("not an index ", 2000)), root, index.Broken},
		"foreign":     {whole, other, index.Foreign},
		"sound":       {whole, root, ""},
	} {
		t.Run(name, func(t *testing.T) {
			for _, tail := range []string{"", "-wal", "-shm"} {
				_ = os.Remove(path + tail)
			}
			if c.data != nil {
				if err := os.WriteFile(path, c.data, 0o600); err != nil {
					t.Fatal(err)
				}
			}
			x := open(t, c.root, path)
			defer x.Close()
			if x.Remade() != c.want {
				t.Errorf("made anew because %q, want %q", x.Remade(), c.want)
			}
			look(t, x)
			if certain, _ := ask(t, x, "L1"); len(certain) != 1 {
				t.Errorf("found %v", certain)
			}
		})
	}
}

// Bytes turned over within it are told as damage or change nothing, and never panic.
func TestDamageWithinIsNoticed(t *testing.T) {
	root, path := folder(t, map[string]string{"a": given("L1"), "b": given("L2")})
	x := open(t, root, path)
	look(t, x)
	_ = x.Close()
	whole, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	for at := 100; at < len(whole); at += 509 {
		data := slices.Clone(whole)
		for i := at; i < min(at+40, len(data)); i++ {
			data[i] ^= 0xff
		}
		if err := os.WriteFile(path, data, 0o600); err != nil {
			t.Fatal(err)
		}
		x, err := index.Open(path, root, time.UTC)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := x.Look(time.Now()); err != nil && !index.Damaged(err) {
			t.Errorf("byte %d: %v", at, err)
		}
		_ = x.Close()
	}
}

// Following the journal reads what it names and needs no look; another journal needs one.
func TestFollow(t *testing.T) {
	root, path := folder(t, map[string]string{"a": given("L1"), "b": given("L2")})
	var last journal.Entry
	enter := func(subject string) {
		last = journal.Next(last, "treated", subject, "", time.Unix(1, 0))
		file, err := os.OpenFile(filepath.Join(root, "journal.jsonl"), os.O_CREATE|os.O_APPEND|os.O_WRONLY, 0o600)
		if err == nil {
			_, err = file.Write(append(last.Line(), '\n'))
			_ = file.Close()
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	enter("a")
	x := open(t, root, path)
	defer x.Close()
	if ok, err := x.Follow(time.Now()); ok || err != nil {
		t.Fatal("followed from nothing", err)
	}
	look(t, x)
	visitFile(t, root, "a", given("L9"))
	visitFile(t, root, "c", given("L9"))
	enter("a")
	enter("c")
	if ok, err := x.Follow(time.Now()); !ok || err != nil {
		t.Fatal(ok, err)
	}
	if certain, _ := ask(t, x, "L9"); fmt.Sprint(certain) != "[a c]" {
		t.Errorf("found %v", certain)
	}
	if certain, _ := ask(t, x, "L1"); len(certain) != 0 {
		t.Errorf("still %v", certain)
	}
	if err := os.WriteFile(filepath.Join(root, "journal.jsonl"), []byte("{}\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if ok, err := x.Follow(time.Now()); ok || err != nil {
		t.Error("another journal was followed", err)
	}
}

// No name or date of birth is in the index, and both find the patient.
func TestPeopleAreFoundAndNotKept(t *testing.T) {
	root, path := folder(t, nil)
	write(t, filepath.Join(root, "patients", "p1.yaml"), "id: p1\nnumber: n1\ngiven: Wilhelmina\nfamily: Ostrowska-Quill\nborn: 1986-03-04\n")
	x := open(t, root, path)
	look(t, x)
	born := measure.Date{Year: 1986, Month: 3, Day: 4}
	for _, c := range []struct {
		name string
		born measure.Date
		want string
	}{
		{"Wilhelmina Ostrowska-Quill", born, "[p1]"}, {"  ostrowska-quill   WILHELMINA ", born, "[p1]"},
		{"Wilhelmina", born, "[]"}, {"", born, "[]"}, {"Wilhelmina Ostrowska-Quill", born.AddDays(1), "[]"},
	} {
		if ids, err := x.Named(c.name, c.born); err != nil || fmt.Sprint(ids) != c.want {
			t.Errorf("%q: %v %v", c.name, ids, err)
		}
	}
	if id, err := x.Patient("n1"); err != nil || id != "p1" {
		t.Error(id, err)
	}
	_ = x.Close()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	for _, secret := range []string{"Wilhelmina", "Ostrowska", "1986"} {
		if strings.Contains(string(data), secret) {
			t.Errorf("%q is in the index", secret)
		}
	}
}

// However a folder came about by changes, its index answers as one that is made from nothing.
func TestIndexIsAsGoodAsNew(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		dir, err := os.MkdirTemp("", "philtrum-index-")
		if err != nil {
			r.Fatal(err)
		}
		defer os.RemoveAll(dir)
		root := filepath.Join(dir, "clinic")
		x, err := index.Open(filepath.Join(dir, "index.sqlite"), root, time.UTC)
		if err != nil {
			r.Fatal(err)
		}
		defer x.Close()
		lot := rapid.SampledFrom([]string{"L1", "l1", "LI", "L2", "", "0O", "00"})
		for range rapid.IntRange(1, 8).Draw(r, "changes") {
			id := rapid.SampledFrom([]string{"a", "b", "c"}).Draw(r, "visit")
			switch rapid.IntRange(0, 2).Draw(r, "change") {
			case 0:
				_ = os.RemoveAll(filepath.Join(root, "visits", "2026", id))
			default:
				visitFile(t, root, id, given(lot.Draw(r, "lot"), lot.Draw(r, "lot")))
			}
			if rapid.Bool().Draw(r, "look") {
				if _, err := x.Look(time.Now()); err != nil {
					r.Fatal(err)
				}
			}
		}
		if _, err := x.Look(time.Now()); err != nil {
			r.Fatal(err)
		}
		fresh, err := index.Open("", root, time.UTC)
		if err != nil {
			r.Fatal(err)
		}
		defer fresh.Close()
		if _, err := fresh.Look(time.Now()); err != nil {
			r.Fatal(err)
		}
		asked := lot.Draw(r, "asked")
		certain, possible := ask(t, x, asked)
		wantCertain, wantPossible := ask(t, fresh, asked)
		if !slices.Equal(certain, wantCertain) || !slices.Equal(possible, wantPossible) {
			r.Fatalf("%q: %v %v, made from nothing %v %v", asked, certain, possible, wantCertain, wantPossible)
		}
	})
}

// A visit is followed by a later one of the same patient, or by one that names it; a review only by a review or
// by one that names it.
func TestUnfinishedVisitsKnowWhatFollowedThem(t *testing.T) {
	const planned = "plan:\n  review_on: 2026-12-18\n"
	for name, c := range map[string]struct {
		other              string
		followed, reviewed bool
	}{
		"nothing":             {"", false, false},
		"an earlier one":      {"patient: p1\nkind: review\nappointment: 2026-12-01 10:00\n", false, false},
		"a later one":         {"patient: p1\nkind: treatment\nappointment: 2026-12-20 10:00\n", true, false},
		"a later review":      {"patient: p1\nkind: review\nappointment: 2026-12-20 10:00\n", true, true},
		"one that names it":   {"patient: p1\nkind: treatment\nafter: a\nappointment: 2026-12-01 10:00\n", true, true},
		"somebody else's":     {"patient: p2\nkind: review\nappointment: 2026-12-20 10:00\n", false, false},
		"at the same moment":  {"patient: p1\nkind: review\nappointment: 2026-12-04 10:00\n", false, false},
		"one without patient": {"kind: review\nappointment: 2026-12-20 10:00\n", false, false},
	} {
		root, _ := folder(t, map[string]string{"a": planned + given("B1")})
		if c.other != "" {
			write(t, filepath.Join(root, "visits", "2026", "b", "visit.yaml"), "id: b\n"+c.other)
		}
		write(t, filepath.Join(root, "patients", "p1.yaml"), "id: p1\nnumber: n7\n")
		x := open(t, root, "")
		look(t, x)
		found := 0
		err := x.EachUnfinished("review", func(u index.Unfinished) {
			if u.Visit != "a" {
				return
			}
			found++
			if !u.Open.Has(index.Review) || u.Number != "n7" || u.Followed != c.followed || u.Reviewed != c.reviewed {
				t.Errorf("%s: %+v", name, u)
			}
		})
		if err != nil || found != 1 {
			t.Errorf("%s: %d visits, %v", name, found, err)
		}
		_ = x.Close()
	}
}
