package main

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"math/rand/v2"
	"os"
	"os/exec"
	"slices"
	"strconv"
	"sync"
	"testing"

	"rsc.io/qr"

	"philtrum/cmd/philtrum/desk"
	"philtrum/locales"
	"philtrum/templates/code"
	"philtrum/templates/code/read"
	"philtrum/templates/code/worn"
)

// The trial of scans: pages of the papers of three patients at 150 and 200 dots per inch, turned, with noise and
// pen strokes over a twentieth of the page, shuffled, among unrelated pages. All of it follows from the seed.
const (
	trialSeed      = 20261204
	trialPages     = 500
	trialUnrelated = 200
	trialPen       = 0.05
)

var (
	trialDots    = []int{150, 200}
	trialDegrees = []float64{0, 1, -1, 3, -3, 90, 180, 183}
	trialSigmas  = []float64{10, 25}
)

// trialSheet is a page before it is worn.
type trialSheet struct {
	page code.Page
	file string
}

// TestScanTrial runs a tenth of the trial, the whole of it with PHILTRUM_TRIALS=1.
func TestScanTrial(t *testing.T) {
	if _, err := exec.LookPath("pdftoppm"); err != nil {
		if os.Getenv("PHILTRUM_REQUIRE_TOOLS") != "" {
			t.Fatal("pdftoppm is missing")
		}
		t.Skip("pdftoppm is missing")
	}
	part := 10
	if os.Getenv("PHILTRUM_TRIALS") != "" {
		part = 1
	}
	ours, strangers, known := trialPapers(t)
	count := outcome{}
	var runs []trialRun
	for i := range trialPages / part {
		runs = append(runs, trialRun{i: i, ours: true})
	}
	for i := range trialUnrelated / part {
		runs = append(runs, trialRun{i: i})
	}
	shuffle := rand.New(rand.NewPCG(trialSeed, 0))
	shuffle.Shuffle(len(runs), func(i, j int) { runs[i], runs[j] = runs[j], runs[i] })
	var group sync.WaitGroup
	var lock sync.Mutex
	queue := make(chan trialRun)
	for range 2 {
		group.Go(func() {
			for r := range queue {
				result := r.do(ours, strangers, known)
				lock.Lock()
				count.add(r, result)
				lock.Unlock()
			}
		})
	}
	for _, r := range runs {
		queue <- r
	}
	close(queue)
	group.Wait()
	t.Log(count.String())
	if count.wrong > 0 {
		t.Errorf("%d pages went to a wrong paper", count.wrong)
	}
	// 99 of 100 reach their paper. In a tenth of the trial a single page is two in a hundred: one may be missed.
	if count.pages-count.right > max(1, count.pages/100) {
		t.Errorf("only %d of %d pages went to their papers", count.right, count.pages)
	}
}

// outcome counts what became of the pages.
type outcome struct {
	pages, right, lost, unrelated, wrong int
	numbers                              []int // of the lost ones
}

func (o *outcome) String() string {
	return fmt.Sprintf("%d pages: %d to the right paper, %d to the tray; %d unrelated pages; %d to a wrong paper; lost %v",
		o.pages, o.right, o.lost, o.unrelated, o.wrong, o.numbers)
}

const (
	wentRight = iota
	wentTray
	wentWrong
)

func (o *outcome) add(r trialRun, result int) {
	if r.ours {
		o.pages++
	} else {
		o.unrelated++
	}
	switch {
	case result == wentWrong:
		o.wrong++
	case r.ours && result == wentRight:
		o.right++
	case r.ours:
		o.lost++
		o.numbers = append(o.numbers, r.i)
	}
}

// trialRun is one page of the trial.
type trialRun struct {
	i    int
	ours bool
}

// do wears a page and looks for its code.
func (r trialRun) do(ours, strangers []trialSheet, known map[string]bool) int {
	stream := uint64(2*r.i + 1)
	if r.ours {
		stream++
	}
	random := rand.New(rand.NewPCG(trialSeed, stream))
	dots := trialDots[r.i%2]
	wear := worn.Wear{Degrees: trialDegrees[r.i/2%8], Sigma: trialSigmas[r.i/16%2], Pen: trialPen}
	sheet := ours[random.IntN(len(ours))]
	if !r.ours && r.i%4 == 0 {
		sheet = strangers[random.IntN(len(strangers))]
	}
	picture := sheet.rasterised(dots)
	if !r.ours && r.i%4 != 0 {
		recode(picture, dots, r.i%4 != 1, random)
	}
	found := read.Pages(worn.Page(picture, wear, random))
	switch {
	case len(found) == 1 && r.ours && found[0].Page == sheet.page:
		return wentRight
	case slices.ContainsFunc(found, func(f read.Found) bool { return known[f.Document] }):
		return wentWrong
	}
	return wentTray
}

// recode takes a page's foot away, and may put a code of another kind there, or one that is almost ours.
func recode(g *image.Gray, dots int, coded bool, random *rand.Rand) {
	h := g.Rect.Dy()
	draw.Draw(g, image.Rect(0, h*88/100, g.Rect.Dx(), h), image.White, image.Point{}, draw.Src)
	foreign := []string{"https://clinic.example/leaflet", "P1WF2TF2BB9MQH1WPMPTC7MQ1Y00203GGGX", "(01)09506000134352(10)0012"}[random.IntN(3)]
	if !coded {
		return
	}
	symbol, err := qr.Encode(foreign, qr.M)
	if err != nil {
		panic(err)
	}
	stamp(g, symbol, image.Pt(g.Rect.Dx()/8, h*89/100), dots*200/254/symbol.Size)
}

func stamp(g *image.Gray, symbol *qr.Code, at image.Point, module int) {
	for y := range symbol.Size * module {
		for x := range symbol.Size * module {
			if symbol.Black(x/module, y/module) {
				g.SetGray(at.X+x, at.Y+y, color.Gray{Y: 20})
			}
		}
	}
}

// trialPapers are the pages of all papers of three patients of the demonstration, and pages of the same papers on
// another size of paper, which were never issued: strangers' papers with codes as ours.
func trialPapers(t *testing.T) (ours, strangers []trialSheet, known map[string]bool) {
	shown := demonstration(t)
	catalogue, err := locales.Load(locales.Default)
	if err != nil {
		t.Fatal(err)
	}
	known = map[string]bool{}
	d, problems, err := desk.Open(shown.Folder, catalogue, shown.Visits[0].Checked.Case.Visit.Appointment, bytes.NewReader(nil))
	if err != nil || len(problems) > 0 {
		t.Fatal(err, problems)
	}
	var patients []string
	for _, v := range shown.Visits {
		checked, err := d.Check(v.Checked.Visit)
		if err != nil {
			t.Fatal(err)
		}
		patient := checked.Case.Visit.Patient
		if len(checked.Case.Visit.Papers) < 3 || len(patients) == 3 && !slices.Contains(patients, patient) {
			continue
		}
		if !slices.Contains(patients, patient) {
			patients = append(patients, patient)
		}
		for _, p := range checked.Case.Visit.Papers {
			name, err := shown.Folder.PaperFile(checked.Visit, p.Document)
			if err != nil {
				t.Fatal(err)
			}
			known[p.Document] = true
			ours = append(ours, sheetsOf(t, shown.Folder.Join(name), p.Document)...)
		}
	}
	if len(patients) != 3 {
		t.Fatalf("papers of %d patients", len(patients))
	}
	other := demonstration(t)
	if d, problems, err = desk.Open(other.Folder, catalogue, other.Visits[0].Checked.Case.Visit.Appointment, bytes.NewReader(nil)); err != nil || len(problems) > 0 {
		t.Fatal(err, problems)
	}
	issued, problems, err := d.Issue(other.Visits[0].Checked.Visit, desk.Request{Page: "Letter", Kinds: []string{"record", "aftercare"}})
	if err != nil || len(problems) > 0 {
		t.Fatal(err, problems)
	}
	for _, p := range issued {
		if known[p.Document] {
			t.Fatal("a stranger's paper is one of ours")
		}
		for n := range p.Pages {
			strangers = append(strangers, trialSheet{code.Page{Document: p.Document, Number: n + 1, Of: p.Pages}, other.Folder.Join(p.File)})
		}
	}
	return ours, strangers, known
}

// sheetsOf are the pages of an issued paper.
func sheetsOf(t *testing.T, file, document string) []trialSheet {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	found, err := read.File(data)
	if err != nil {
		t.Fatal(err)
	}
	var sheets []trialSheet
	for i := range found {
		sheets = append(sheets, trialSheet{code.Page{Document: document, Number: i + 1, Of: len(found)}, file})
	}
	return sheets
}

// rasterised is the page as a picture.
func (s trialSheet) rasterised(dots int) *image.Gray {
	page := strconv.Itoa(s.page.Number)
	data, err := exec.Command("pdftoppm", "-gray", "-r", strconv.Itoa(dots), "-f", page, "-l", page, s.file).Output()
	if err != nil {
		panic(err)
	}
	var w, h, most int
	if _, err := fmt.Sscanf(string(data[:32]), "P5\n%d %d\n%d", &w, &h, &most); err != nil || len(data) < w*h {
		panic(fmt.Sprint("not a picture: ", err))
	}
	return &image.Gray{Pix: data[len(data)-w*h:], Stride: w, Rect: image.Rect(0, 0, w, h)}
}
