package read_test

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"strings"
	"testing"
	"time"

	"philtrum/templates/pdf/read"
)

// formFile is a file with a page and these further objects, from number 5 on; form is the body of the form.
func formFile(form string, objects ...string) []byte {
	var out bytes.Buffer
	var places []int
	add := func(body string) {
		places = append(places, out.Len())
		fmt.Fprintf(&out, "%d 0 obj\n%s\nendobj\n", len(places), body)
	}
	out.WriteString("%PDF-1.7\n")
	add("<</Type/Catalog/Pages 2 0 R/AcroForm 4 0 R>>")
	add("<</Type/Pages/Count 1/Kids[3 0 R]/MediaBox[0 0 595 842]>>")
	add("<</Type/Page/Parent 2 0 R>>")
	add(form)
	for _, o := range objects {
		add(o)
	}
	start := out.Len()
	fmt.Fprintf(&out, "xref\n0 %d\n0000000000 65535 f \n", len(places)+1)
	for _, at := range places {
		fmt.Fprintf(&out, "%010d 00000 n \n", at)
	}
	fmt.Fprintf(&out, "trailer\n<</Size %d/Root 1 0 R>>\nstartxref\n%d\n%%%%EOF\n", len(places)+1, start)
	return out.Bytes()
}

func stream(dict string, data []byte) string {
	var packed bytes.Buffer
	z := zlib.NewWriter(&packed)
	_, _ = z.Write(data)
	_ = z.Close()
	return fmt.Sprintf("<<%s/Filter/FlateDecode/Length %d>>\nstream\n%s\nendstream", dict, packed.Len(), packed.String())
}

func formOf(t *testing.T, file []byte) (read.Form, error) {
	t.Helper()
	f, err := read.Open(file)
	if err != nil {
		return read.Form{}, err
	}
	return f.FormOf()
}

func TestFormValues(t *testing.T) {
	cases := []struct {
		name, body string
		want       []string
	}{
		{"text of the document's own encoding", "<</FT/Tx/T(a)/V(caf\\351 \\200 \\240)>>", []string{"café • €"}},
		{"text in UTF-8", "<</FT/Tx/T(a)/V<EFBBBFD8A7D984>>>", []string{"ال"}},
		{"text in UTF-16", "<</FT/Tx/T(a)/V<FEFF014100F30064017A>>>", []string{"Łódź"}},
		{"UTF-16 the other way round", "<</FT/Tx/T(a)/V<FFFE4101F3006400>>>", []string{"Łód"}},
		{"beyond the first plane", "<</FT/Tx/T(a)/V<FEFFD842DFB7>>>", []string{"𠮷"}},
		{"empty", "<</FT/Tx/T(a)/V()>>", nil},
		{"box", "<</FT/Btn/T(a)/V/yes/AS/yes/AP<</N<</yes 4 0 R/Off 4 0 R>>>>>>", []string{"yes"}},
		{"box that is off", "<</FT/Btn/T(a)/V/Off/AS/Off/AP<</N<</yes 4 0 R/Off 4 0 R>>>>>>", nil},
		{"box whose look and value disagree", "<</FT/Btn/T(a)/V/yes/AS/no/AP<</N<</yes 4 0 R/no 4 0 R>>>>>>", []string{"yes", "no"}},
		{"choice", "<</FT/Ch/T(a)/V(11)/Opt[(10)(11)]>>", []string{"11"}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			form, err := formOf(t, formFile("<</Fields[5 0 R]>>", c.body))
			if err != nil || len(form.Fields) != 1 {
				t.Fatalf("%v, %d fields", err, len(form.Fields))
			}
			if got := form.Fields[0].Values; strings.Join(got, "|") != strings.Join(c.want, "|") {
				t.Errorf("got %q, want %q", got, c.want)
			}
		})
	}
}

// A form that was made to harm ends soon, with an error or marked as one that acts by itself.
func TestHostileForms(t *testing.T) {
	var many strings.Builder
	var bodies []string
	for i := range 6000 {
		fmt.Fprintf(&many, "%d 0 R ", i+5)
		bodies = append(bodies, fmt.Sprintf("<</FT/Tx/T(f%d)>>", i))
	}
	var deep []string
	for i := range 40 {
		deep = append(deep, fmt.Sprintf("<</T(d%d)/Kids[%d 0 R]>>", i, i+6))
	}
	deep = append(deep, "<</FT/Tx/T(end)>>")
	cases := []struct {
		name   string
		file   []byte
		active bool // it is read, and marked
	}{
		{"a field that is its own part", formFile("<</Fields[5 0 R]>>", "<</T(a)/Kids[5 0 R]>>"), false},
		{"fields in a ring", formFile("<</Fields[5 0 R]>>", "<</T(a)/Kids[6 0 R]>>", "<</T(b)/Kids[5 0 R]>>"), false},
		{"too many fields", formFile("<</Fields["+many.String()+"]>>", bodies...), false},
		{"fields too deep", formFile("<</Fields[5 0 R]>>", deep...), false},
		{"a value that unpacks to a bomb", formFile("<</Fields[5 0 R]>>", "<</FT/Tx/T(a)/V 6 0 R>>", stream("", make([]byte, 64<<20))), false},
		{"a value without end", formFile("<</Fields[5 0 R]>>", "<</FT/Tx/T(a)/V("+strings.Repeat("x", 1<<20)+")>>"), false},
		{"a script of a field", formFile("<</Fields[5 0 R]>>", "<</FT/Tx/T(a)/AA<</K<</S/JavaScript/JS(app.alert(1))>>>>>>"), true},
		{"another kind of form", formFile("<</Fields[5 0 R]/XFA 6 0 R>>", "<</FT/Tx/T(a)>>", stream("", []byte("<xdp/>"))), true},
		{"no fields", formFile("<</Fields[]>>"), false},
		{"a catalogue of itself", formFile("4 0 R"), false},
		{"no file", []byte("%PDF-1.7\n"), false},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			done := make(chan struct{})
			go func() {
				defer close(done)
				form, err := formOf(t, c.file)
				if (err == nil) != c.active || c.active && !form.Active {
					t.Errorf("err %v, active %v", err, form.Active)
				}
			}()
			select {
			case <-done:
			case <-time.After(30 * time.Second):
				t.Fatal("no end")
			}
		})
	}
}

func FuzzForm(f *testing.F) {
	f.Add(formFile("<</Fields[5 0 R]>>", "<</FT/Tx/T(a)/V(b)>>"))
	f.Add(formFile("<</Fields[5 0 R]>>", "<</FT/Btn/T(a)/V/yes/Kids[6 0 R]>>", "<</AS/yes/AP<</N<</yes 4 0 R>>>>>>"))
	f.Add(formFile("<</Fields[5 0 R 6 0 R]/DR<</Font<<>>>>/XFA 8 0 R>>", "<</FT/Tx/T(a)/TU(b)/V 7 0 R/AA<</K<</S/JavaScript/JS(1)>>>>>>",
		"<</FT/Ch/T<FEFF0062>/Opt[(x)[(y)(z)]]/V[(x)(y)]>>", stream("", []byte("\xFE\xFF\x00a")), stream("", []byte("<xdp/>"))))
	f.Add(formFile("<</Fields[5 0 R]>>", "<</T(a)/FT/Btn/Kids[6 0 R 7 0 R]/V/one>>", "<</T(b)/Parent 5 0 R/Kids[7 0 R]>>", "<</Parent 6 0 R/AS/one/AP<</N<</one 4 0 R/Off 4 0 R>>>>>>"))
	f.Fuzz(func(_ *testing.T, data []byte) {
		if file, err := read.Open(data); err == nil {
			_, _ = file.FormOf()
		}
	})
}
