package templates_test

import (
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"philtrum/forms/clinic"
	"philtrum/forms/measure"
	"philtrum/forms/visit"
	"philtrum/templates"
	"philtrum/templates/layout"
)

func compose(t testing.TB, name string, f templates.Facts, tag string) layout.Document {
	t.Helper()
	c := heldCatalogue(t)
	doc, problems := templates.Compose(templates.Paper{Kind: name, Template: load(t, name), Printer: tongue(t, c, tag), Clinic: tongue(t, c, "en"), Facts: f})
	for _, p := range problems {
		t.Fatalf("%s: %s %v", name, p.ID, p.Args)
	}
	return doc
}

// spansOf are all spans of a document in reading order.
func spansOf(doc layout.Document) []layout.Span {
	var out []layout.Span
	var visit func(v reflect.Value)
	visit = func(v reflect.Value) {
		switch v.Kind() {
		case reflect.Pointer, reflect.Interface:
			if !v.IsNil() {
				visit(v.Elem())
			}
		case reflect.Slice, reflect.Array:
			for i := range v.Len() {
				visit(v.Index(i))
			}
		case reflect.Struct:
			if s, ok := v.Interface().(layout.Span); ok {
				out = append(out, s)
				return
			}
			for i := range v.NumField() {
				if v.Type().Field(i).IsExported() {
					visit(v.Field(i))
				}
			}
		}
	}
	visit(reflect.ValueOf(doc))
	return out
}

func textOf(doc layout.Document) string {
	var b strings.Builder
	for _, s := range spansOf(doc) {
		b.WriteString(strings.ReplaceAll(s.Text, "\u200b", "") + " ")
	}
	return b.String()
}

func blocksOf(doc layout.Document) []layout.Block {
	var out []layout.Block
	var visit func([]layout.Block)
	visit = func(all []layout.Block) {
		for _, b := range all {
			out = append(out, b)
			switch b := b.(type) {
			case *layout.Panel:
				visit(b.Blocks)
			case *layout.Group:
				visit(b.Blocks)
			case *layout.Columns:
				for _, c := range b.Columns {
					visit(c)
				}
			}
		}
	}
	visit(doc.Blocks)
	return out
}

// Nothing printed says that a treatment is safe, clear or certain, and nothing advertises.
func TestForbiddenWords(t *testing.T) {
	words := regexp.MustCompile(`(?i)\b(safe|safely|safety|clear|cleared|guarantee[ds]?|perfect|beautiful|discount|best result|risk-free|painless)\b`)
	for _, name := range papers {
		for _, f := range []templates.Facts{plannedFacts(t), treatedFacts(t), heldFacts(t)} {
			if found := words.FindString(textOf(compose(t, name, f, "en"))); found != "" {
				t.Errorf("%s says %q", name, found)
			}
		}
	}
}

// The intended purpose stands on every paper; the name and date of birth and the kind of paper stand on
// every page, the demonstration and the draft too.
func TestEveryPageSaysWhatItIs(t *testing.T) {
	f := plannedFacts(t)
	f.Issue.Draft = true
	for _, name := range papers {
		doc := compose(t, name, f, "en")
		head, foot := textOf(layout.Document{Head: doc.Head}), textOf(layout.Document{Foot: doc.Foot})
		for _, want := range []string{"Marta Okonedo-Lindqvist", "14 March 1991"} {
			if !strings.Contains(head, want) {
				t.Errorf("%s: head %q lacks %q", name, head, want)
			}
		}
		for _, want := range []string{"Demonstration", "Draft", "b4n8xk2w7qd5m", "Version\u00a0 " + load(t, name).Version, "English"} {
			if !strings.Contains(foot, want) {
				t.Errorf("%s: foot %q lacks %q", name, foot, want)
			}
		}
		if !slices.ContainsFunc(doc.Foot.End, func(s layout.Span) bool { return s.Pages }) {
			t.Errorf("%s: foot has no count of pages", name)
		}
		if !strings.Contains(foot, "never replaces their advice") {
			t.Errorf("%s does not say what it is for", name)
		}
		if doc.Sheet.CodeSide != layout.MM(20) {
			t.Errorf("%s keeps %d for the code", name, doc.Sheet.CodeSide)
		}
		if strings.Contains(doc.Title, "Marta") || strings.Contains(doc.Title, "lip") {
			t.Errorf("%s: the title %q is not neutral", name, doc.Title)
		}
	}
}

// A paper in another language than the clinic's has its kind and its signing prompts in both.
func TestSigningPromptsInBothLanguages(t *testing.T) {
	doc := compose(t, "consent", plannedFacts(t), "es")
	if len(doc.Blocks) == 0 || len(doc.Blocks[0].(*layout.Title).Alt) == 0 {
		t.Fatal("the title has no second language")
	}
	inClinic := func(spans []layout.Span) bool {
		return slices.ContainsFunc(spans, func(s layout.Span) bool { return s.Lang == "en-GB" })
	}
	for _, b := range blocksOf(doc) {
		if sign, ok := b.(*layout.Signature); ok {
			for _, field := range sign.Fields {
				if !inClinic(field.Label) {
					t.Errorf("signature %s: %v has no second language", sign.ID, field.Label)
				}
			}
		}
	}
	if !inClinic(doc.Head.End) {
		t.Error("the head does not name the kind of paper in the clinic's language")
	}
	for _, s := range spansOf(compose(t, "consent", plannedFacts(t), "en")) {
		if s.Lang != "" {
			t.Errorf("a paper in one language has %q in %s", s.Text, s.Lang)
		}
	}
}

// The night number is the first thing on an aftercare sheet, as a number, with the emergency number of the
// place, and the dated instructions come in the order in which they end.
func TestAftercareIsInOrder(t *testing.T) {
	doc := compose(t, "aftercare", treatedFacts(t), "en")
	panel, ok := doc.Blocks[1].(*layout.Panel)
	if !ok || panel.Tone != layout.ToneWarning {
		t.Fatal("the sheet does not begin with the warning")
	}
	number, ok := panel.Blocks[1].(*layout.Paragraph)
	if !ok || number.Role != layout.RoleNumber || number.Text[0].Text != "01632 960 999" {
		t.Errorf("the number to call is %+v", number)
	}
	if doc.Sheet.Styles[layout.RoleNumber].Size < 20*layout.Pt {
		t.Error("the number to call is below 20 points")
	}
	if !strings.Contains(textOf(layout.Document{Blocks: panel.Blocks}), "999") {
		t.Error("no emergency number in the warning")
	}
	var whens []string
	for _, b := range blocksOf(doc) {
		if d, ok := b.(*layout.Dated); ok {
			for _, i := range d.Items {
				whens = append(whens, textOf(layout.Document{Head: layout.Furniture{Start: i.When}}))
			}
		}
	}
	want := []string{
		"Until  18:30  on  4 Dec 2026 ", "Until  02:30  on  5 Dec 2026 ", "Until  14:30  on  5 Dec 2026 ", "Until  14:30  on  6 Dec 2026 ",
		"Until  6 Dec 2026 ", "Until  18 Dec 2026 ", "Until  1 Jan 2027 ", "At all times ",
	}
	if got := slices.Compact(slices.Clone(whens)); !slices.Equal(got, want) {
		t.Errorf("instructions end\n%q\nnot\n%q", got, want)
	}
}

// A clock that changes in between does not move the hour count: 24 hours after 14:30 on the eve of the
// end of summer time is 13:30.
func TestHoursCrossTheChangeOfClocks(t *testing.T) {
	f := treatedFacts(t)
	f.Visit.Treatment.Start, f.Visit.Treatment.End = at(10, 24, 14, 0), at(10, 24, 14, 30)
	if text := textOf(compose(t, "aftercare", f, "en")); !strings.Contains(text, "Until  13:30  on  25 Oct 2026") {
		t.Error("24 hours over the change of clocks do not end at 13:30")
	}
}

// A clinic's own windows are the ones printed; a window of nothing leaves its line out.
func TestWindowsAreTheClinics(t *testing.T) {
	f := treatedFacts(t)
	f.Clinic.Policy.Windows["aftercare_make_up"] = clinic.Window{Hours: 48}
	f.Clinic.Policy.Windows["aftercare_vaccine"] = clinic.Window{}
	text := textOf(compose(t, "aftercare", f, "en"))
	if strings.Contains(text, "02:30") || strings.Contains(text, "A vaccine that you need") {
		t.Error("the sheet does not follow the policy")
	}
}

// Before a treatment there is no date to count from: instructions say how long they hold.
func TestAftercareBeforeTreatmentSaysLengths(t *testing.T) {
	text := textOf(compose(t, "aftercare", plannedFacts(t), "en"))
	for _, want := range []string{"For  24  hours after", "For  2  weeks after"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q", want)
		}
	}
	if strings.Contains(text, "Until") {
		t.Error("an end is printed though nothing was done yet")
	}
}

// What is open stands above the signatures as boxes, says that the paper is not valid before, and nothing
// is ticked or left to be overlooked.
func TestOpenPointsAreBoxes(t *testing.T) {
	doc := compose(t, "consent", heldFacts(t), "en")
	text := textOf(doc)
	for _, want := range []string{
		"Not valid before these are completed", "There is a cold sore now.", "INR not above", "Are you breastfeeding?",
		"Are you pregnant?", "Given 13 days ago, no swelling.", "You bruise more easily",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("the signing copy lacks %q", want)
		}
	}
	var order []string
	for _, b := range blocksOf(doc) {
		if id := metaOf(b).ID; slices.Contains([]string{"open", "on_the_day", "sign_patient", "witness", "interpreter"}, id) {
			order = append(order, id)
		}
	}
	if want := []string{"open", "on_the_day", "sign_patient", "witness", "interpreter"}; !slices.Equal(order, want) {
		t.Errorf("parts come as %v, not %v", order, want)
	}
}

func metaOf(b layout.Block) layout.Meta {
	return reflect.ValueOf(b).Elem().FieldByName("Meta").Interface().(layout.Meta)
}

// Whatever is wrong with a treatment is printed on its record; nothing is left out.
func TestRecordPrintsItsFindings(t *testing.T) {
	f := treatedFacts(t)
	g := f.Visit.Treatment
	g.Syringes[0].Expiry = measure.Date{Year: 2026, Month: 11, Day: 30}
	g.Rows[0].Volume, g.Rows[0].VolumeText = measure.Zero(), "half a mil"
	g.Rows[1].Zone, g.Rows[1].Side = "CHIN", "midline"
	g.Rows[2].Volume = measure.MustVolume("1.4")
	g.Unread = []visit.Unread{{Where: "rows.1.volume", Text: "half a mil"}}
	text := textOf(compose(t, "record", f, "en"))
	for _, want := range []string{"expired on", "30 November 2026", "half a mil", "is outside the zones of the consent", "more than the", "chin", "Could not be read"} {
		if !strings.Contains(text, want) {
			t.Errorf("the record lacks %q", want)
		}
	}
}

// The map tells in words what it shows.
func TestMapHasItsText(t *testing.T) {
	for _, b := range blocksOf(compose(t, "record", treatedFacts(t), "en")) {
		if fig, ok := b.(*layout.Figure); ok {
			for _, want := range []string{"0.15\u00a0mL, upper lip border (right)", "0.20\u00a0mL, tubercle of the lower lip (left)"} {
				if !strings.Contains(fig.Alt, want) {
					t.Errorf("the map's text %q lacks %q", fig.Alt, want)
				}
			}
			return
		}
	}
	t.Error("the record has no map")
}

// Every value is isolated from the words around it, and every text of a person names its field.
func TestValuesAreMarked(t *testing.T) {
	for _, s := range spansOf(compose(t, "record", treatedFacts(t), "en")) {
		for _, typed := range []string{"Marta", "Velva", "chlorhexidine", "0012", "£280"} {
			if strings.Contains(s.Text, typed) && (!s.Value || s.Field == "") {
				t.Errorf("%q is a value without mark or field: %+v", typed, s)
			}
		}
	}
}

// Equal papers are equal documents, however often they are made.
func TestComposeIsPure(t *testing.T) {
	for _, name := range papers {
		first := compose(t, name, heldFacts(t), "es").Dump()
		for range 5 {
			if again := compose(t, name, heldFacts(t), "es").Dump(); again != first {
				t.Fatalf("%s differs from run to run", name)
			}
		}
	}
}
