package index_test

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"philtrum/cmd/philtrum/index"
)

// go test ./cmd/philtrum/index -run '^$' -bench . -args -visits 200000
var (
	visits = flag.Int("visits", 5000, "visits of the clinic that the benchmarks invent")
	keep   = flag.String("keep", "", "folder in which the invented clinic stays, for runs of the command")
)

var zones = []string{"UL-VB", "UL-VBODY", "LL-VB", "LL-VBODY", "UL-TM"}

// invent writes a clinic of n visits of n/3 patients, of which one in fifty has no lot, and one in thirty of
// a twentieth of the time the lot that is asked for. What is written follows from n alone.
func invent(tb testing.TB, root string, n int) {
	tb.Helper()
	random := rand.New(rand.NewPCG(1, uint64(n)))
	patients := max(1, n/3)
	for i := range patients {
		write(tb, filepath.Join(root, "patients", fmt.Sprintf("p%09d.yaml", i)), fmt.Sprintf(
			"id: p%09d\nnumber: n%09d\ngiven: Given%d\nfamily: Family%d\nborn: %d-%02d-%02d\ntelephone: 01632 %06d\nspeaks: en\nreads: en\n",
			i, i, i%977, i/977, 1950+i%50, 1+i%12, 1+i%28, i%1000000))
	}
	start := time.Date(2016, 1, 4, 9, 0, 0, 0, time.UTC)
	for i := range n {
		at := start.Add(time.Duration(i) * 25 * time.Minute)
		lot := fmt.Sprintf("B%05d", i/40)
		switch {
		case i%50 == 49:
			lot = ""
		case i%30 == 7 && i > n/2 && i < n/2+n/20:
			lot = "R1077"
		}
		id := fmt.Sprintf("v%015d", i)
		write(tb, filepath.Join(root, "visits", fmt.Sprint(at.Year()), id, "visit.yaml"), visitText(id, random.IntN(patients), at, lot))
	}
}

func visitText(id string, patient int, at time.Time, lot string) string {
	var w strings.Builder
	fmt.Fprintf(&w, "id: %s\npatient: p%09d\nkind: treatment\nappointment: %s\npractitioner: amara\nsalt: 8cp7xbzsyna2yty6\nanswers:\n",
		id, patient, at.Format(time.RFC3339))
	for q := range 50 {
		fmt.Fprintf(&w, "  question_number_%d: no\n", q)
	}
	fmt.Fprintf(&w, "plan:\n  wish: A little more shape.\n  zones:\n    - UL\n  greatest: 0.8\n  product: soft\n  review_on: %s\n", at.AddDate(0, 0, 14).Format("2006-01-02"))
	fmt.Fprintf(&w, "papers:\n  - kind: consent\n    document: a0c1c9a52b76623f616d20c4430a6a02\n    language: en\n    at: %s\n", at.Format(time.RFC3339))
	fmt.Fprintf(&w, "states:\n  - state: consented\n    at: %s\n    by: amara\ntreatment:\n  start: %s\n  by: amara\n  syringes:\n    - product: soft\n", at.Format(time.RFC3339), at.Format("2006-01-02 15:04"))
	if lot != "" {
		fmt.Fprintf(&w, "      lot: %s\n", lot)
	}
	fmt.Fprint(&w, "      device: \"09520123450014\"\n      expiry: 2030-01-31\n      labelled: 1.0\n      discarded: 0.5\n  rows:\n")
	for i, zone := range zones {
		fmt.Fprintf(&w, "    - zone: %s\n      side: right\n      plane: submucosal\n      technique: bolus\n      instrument: needle\n      gauge: 30G\n      product: soft\n      syringe: 1\n      volume: 0.1%d\n      refill: \"2 s, pink\"\n", zone, i)
	}
	return w.String()
}

func write(tb testing.TB, path, text string) {
	tb.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		tb.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		tb.Fatal(err)
	}
}

// clinic is where the benchmarks of a run share their clinic.
var clinic = sync.OnceValue(func() string {
	if *keep != "" {
		return *keep
	}
	dir, err := os.MkdirTemp("", "philtrum-index-")
	if err != nil {
		panic(err)
	}
	return dir
})

var made bool

func TestMain(m *testing.M) {
	code := m.Run()
	if made && *keep == "" {
		_ = os.RemoveAll(clinic())
	}
	os.Exit(code)
}

func inventOnce(b *testing.B) (root, path string) {
	b.Helper()
	root, path = filepath.Join(clinic(), "clinic"), filepath.Join(clinic(), "index.sqlite")
	if _, err := os.Stat(root); err != nil {
		invent(b, root, *visits)
	}
	made = true
	return root, path
}

func open(tb testing.TB, root, path string) *index.Index {
	tb.Helper()
	x, err := index.Open(path, root, time.UTC)
	if err != nil {
		tb.Fatal(err)
	}
	return x
}

func look(tb testing.TB, x *index.Index) index.Looking {
	tb.Helper()
	l, err := x.Look(time.Now())
	if err != nil {
		tb.Fatal(err)
	}
	return l
}

// BenchmarkBuild makes the index from nothing.
func BenchmarkBuild(b *testing.B) {
	root, path := inventOnce(b)
	b.ReportAllocs()
	for b.Loop() {
		_ = os.Remove(path)
		x := open(b, root, path)
		look(b, x)
		if err := x.Close(); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(*visits)*float64(b.N)/b.Elapsed().Seconds(), "visits/s")
}

// BenchmarkLook looks at every file and finds nothing changed.
func BenchmarkLook(b *testing.B) {
	root, path := inventOnce(b)
	x := open(b, root, path)
	defer x.Close()
	look(b, x)
	for b.Loop() {
		look(b, x)
	}
}

// BenchmarkLot opens the index as a new process would, follows the journal and asks for a lot.
func BenchmarkLot(b *testing.B) {
	root, path := inventOnce(b)
	x := open(b, root, path)
	look(b, x)
	_ = x.Close()
	for b.Loop() {
		x := open(b, root, path)
		if ok, err := x.Follow(time.Now()); err != nil || !ok {
			b.Fatal(ok, err)
		}
		a, err := x.Lot(index.Question{Lot: "r1077"})
		if err != nil || *visits >= 1200 && len(a.Certain) == 0 {
			b.Fatal(err, len(a.Certain))
		}
		_ = x.Close()
	}
}
