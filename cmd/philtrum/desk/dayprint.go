package desk

import (
	"bytes"
	"cmp"
	"errors"
	"slices"
	"strings"
	"sync"

	"philtrum/forms/clinic"
	"philtrum/forms/measure"
	"philtrum/forms/source"
	"philtrum/forms/visit"
	"philtrum/templates"
	"philtrum/templates/layout"
	"philtrum/templates/pdf"
	"philtrum/templates/text"
)

// Names of the files for the printer.
const (
	printPatients = "patients.pdf"
	printClinic   = "clinic.pdf"
)

// forClinic are the papers that stay with the practitioner.
func forClinic(kind string) bool { return kind == "record" || kind == "summary" || kind == kindAdverse }

// print puts the day's papers together in the order of time. Copies of other days are cleared.
func (d *Desk) print(r DayRequest, result *DayResult) (source.Problems, error) {
	sheets, problems := d.printer().template("summary")
	if len(problems) > 0 {
		return problems, nil
	}
	list := d.dayList(r, result.Visits)
	sheet := templates.SheetName("record", cmp.Or(r.Page, d.clinic.Page))
	document, problems := templates.ComposeDay(sheets, sheet, list)
	if len(problems) > 0 {
		return problems, nil
	}
	first, err := d.printed(document)
	if err != nil {
		return nil, err
	}
	patients, own := [][]byte(nil), [][]byte{first}
	for i, v := range result.Visits {
		theirs, ours := v.copies()
		if r.Separators && len(theirs) > 0 {
			document, problems := templates.ComposeSeparator(sheets, sheet, list, list.Visits[i])
			if len(problems) > 0 {
				return problems, nil
			}
			separator, err := d.printed(document)
			if err != nil {
				return nil, err
			}
			patients = append(patients, separator)
		}
		patients, own = append(patients, theirs...), append(own, ours...)
	}
	if err := d.folder.ClearPrints(r.On.String()); err != nil {
		return nil, err
	}
	return nil, d.merge(r.On, result, map[string][][]byte{printPatients: patients, printClinic: own})
}

func (v DayVisit) copies() (theirs, ours [][]byte) {
	for _, p := range v.Papers {
		switch {
		case p.data == nil:
		case forClinic(p.Kind):
			ours = append(ours, p.data)
		default:
			theirs = append(theirs, p.data)
		}
	}
	return theirs, ours
}

// merge puts the files of each pass together, both at once.
func (d *Desk) merge(on measure.Date, result *DayResult, passes map[string][][]byte) error {
	press := d.printer().press
	names := []string{printClinic, printPatients}
	merged, failed := make([][]byte, len(names)), make([]error, len(names))
	var group sync.WaitGroup
	for i, name := range names {
		if len(passes[name]) > 0 {
			group.Go(func() {
				var out bytes.Buffer
				failed[i] = press.Join(&out, passes[name])
				merged[i] = out.Bytes()
			})
		}
	}
	group.Wait()
	if err := errors.Join(failed...); err != nil {
		return err
	}
	for i, name := range names {
		if merged[i] == nil {
			continue
		}
		file, err := d.folder.Print(on.String(), name, merged[i])
		if err != nil {
			return err
		}
		result.Prints = append(result.Prints, file)
	}
	return nil
}

// printed sets a paper of the clinic's own and writes it.
func (d *Desk) printed(document layout.Document) ([]byte, error) {
	setter := d.printer().engine.NewSetter(text.Options{Lang: document.Lang, PrintMissing: true})
	result := layout.Place(document, setter)
	said := document.Digest()
	var out bytes.Buffer
	info := pdf.Info{DocumentID: digest(said[:])[:32], Title: result.Title, Producer: "philtrum"}
	err := d.printer().press.Write(&out, result, setter.Fonts(), info)
	return out.Bytes(), err
}

// dayList is what the clinic's list of the day says.
func (d *Desk) dayList(r DayRequest, visits []DayVisit) templates.Day {
	day := templates.Day{Clinic: d.clinic, On: r.On, Kit: d.expiringKit(r.On)}
	day.Printer, _ = d.catalogue.Printer(d.clinic.Language)
	if _, head, problems, err := d.Head(); err == nil && len(problems) == 0 {
		day.Head = head
	}
	wanted := map[string]int{}
	for _, v := range visits {
		line := d.dayVisit(v)
		for _, p := range line.Products {
			wanted[p]++
		}
		day.Visits = append(day.Visits, line)
	}
	for _, p := range d.stock.Products {
		if n := wanted[p.Name]; n > 0 {
			day.Needs = append(day.Needs, templates.DayNeed{Product: p.Name, Visits: n, Stock: inStock(p, r.On)})
		}
	}
	return day
}

// inStock counts the pieces that have not expired on a day; -1 where no stock is kept.
func inStock(p clinic.Product, on measure.Date) int {
	if len(p.Stock) == 0 {
		return -1
	}
	n := 0
	for _, lot := range p.Stock {
		if !lot.Expiry.Before(on) {
			n += lot.Count
		}
	}
	return n
}

func (d *Desk) expiringKit(on measure.Date) []clinic.KitItem {
	var items []clinic.KitItem
	for _, k := range d.stock.Kit {
		if !k.Lot.Expiry.IsZero() && !k.Lot.Expiry.After(on.AddDays(expiryAhead)) {
			items = append(items, k)
		}
	}
	return items
}

func (d *Desk) dayVisit(v DayVisit) templates.DayVisit {
	c := v.Checked.Case
	line := templates.DayVisit{
		At: d.dueAt(v), Kind: string(c.Visit.Kind), Number: c.Patient.Number, Initials: Initials(c.Patient),
		Language: d.languageName(c.Patient.Reads), Large: slices.Contains(c.Patient.Needs, "large_print"),
		Findings: v.Checked.Report.Findings, Unanswered: len(v.Checked.Report.Unanswered()),
		Problems: len(v.Checked.Problems), Treated: c.Visit.Treatment != nil,
	}
	if p, ok := d.person(c.Visit.Practitioner); ok {
		line.Practitioner = p.Name
	}
	if len(v.Problems) > 0 {
		line.Problems, line.Number = len(v.Problems), v.Visit
		return line
	}
	if c.Patient.Interpreter.Needed {
		line.Interpreter, line.Booked = d.languageName(cmp.Or(c.Patient.Interpreter.Language, c.Patient.Speaks)), c.Visit.Interpreter != nil
	}
	line.Products = d.plannedProducts(c.Visit)
	line.Missing = missing(c.Visit, c.Patient)
	for _, p := range v.Papers {
		line.Papers = append(line.Papers, templates.DayPaper{Kind: p.Kind, Pages: p.Pages, Refused: !p.made()})
	}
	return line
}

// missing are what a visit still lacks, as messages day.missing.
func missing(v visit.Visit, p visit.Patient) []string {
	var all []string
	add := func(lacks bool, word string) {
		if lacks {
			all = append(all, word)
		}
	}
	injects := v.Kind == visit.Treatment || v.Kind == visit.Dissolving
	_, handed := v.HandedFirst("information")
	add(p.Reads == "", "language")
	add(injects && !handed, "information")
	add(injects && v.IdentitySeen == nil, "identity")
	add(injects && len(v.Plan.Zones) == 0, "plan")
	add(p.Interpreter.Needed && v.Interpreter == nil, "interpreter")
	return all
}

// plannedProducts are the lines that a plan names.
func (d *Desk) plannedProducts(v visit.Visit) []string {
	var names []string
	for _, p := range d.stock.Products {
		if p.ID == v.Plan.Product {
			names = append(names, p.Name)
		}
	}
	return names
}

// languageName is what a language calls itself, with its tag where that is all that is known.
func (d *Desk) languageName(tag string) string {
	base, _, _ := strings.Cut(tag, "-")
	for _, l := range d.catalogue.Languages() {
		if l.Tag == tag || l.Tag == base || strings.HasPrefix(tag, l.Tag) {
			return l.Name
		}
	}
	if tag == "none" {
		return ""
	}
	return tag
}
