package booking_test

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"
	"golang.org/x/text/encoding/htmlindex"
	"golang.org/x/text/encoding/unicode"

	"philtrum/forms/booking"
	"philtrum/forms/measure"
)

var update = flag.Bool("update", false, "rewrite the expected tables")

var today = measure.Date{Year: 2026, Month: time.December, Day: 3}

// months as a catalogue of messages has them; here those that the lists below use.
func months() map[string]time.Month {
	return map[string]time.Month{
		booking.Fold("December"): 12, booking.Fold("Dec"): 12, booking.Fold("diciembre"): 12, booking.Fold("grudnia"): 12,
		booking.Fold("décembre"): 12, booking.Fold("May"): 5, booking.Fold("mayo"): 5, booking.Fold("Januar"): 1,
	}
}

// Lists as front desks have them, each with the table that is read from it.
func TestLists(t *testing.T) {
	for name, data := range lists(t) {
		t.Run(name, func(t *testing.T) {
			o := booking.Options{
				Today: today, Months: months(),
			}
			if strings.HasPrefix(name, "told") {
				o.Order, o.Encoding = booking.MonthDay, "windows-1250"
				o.Columns = map[booking.Field]string{booking.Name: "Who", booking.Born: "When born", booking.Moment: "When"}
				o.Kinds = map[string]string{"lips 0.5": "treatment"}
			}
			list, err := booking.Read(data, o)
			got := table(list, err)
			golden := filepath.Join("testdata", name+".txt")
			if *update {
				if err := os.WriteFile(golden, []byte(got), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(golden)
			if err != nil {
				t.Fatal(err)
			}
			if got != string(want) {
				t.Errorf("got\n%s\nwant\n%s", got, want)
			}
		})
	}
}

func table(l booking.List, err error) string {
	var b strings.Builder
	if err != nil {
		fmt.Fprintln(&b, "error:", err)
		return b.String()
	}
	fmt.Fprintf(&b, "encoding %q delimiter %q sheet %q headings in line %d\n", l.Encoding, l.Delimiter, l.Sheet, l.Heading)
	for _, c := range l.Columns {
		fmt.Fprintf(&b, "column %s: %q", c.Field, c.Heading)
		if c.Order != "" {
			fmt.Fprintf(&b, " %s, judged by line %d", c.Order, c.Judged)
		}
		fmt.Fprintln(&b)
	}
	fmt.Fprintf(&b, "ignored %q\n", l.Ignored)
	for _, d := range l.Doubts {
		fmt.Fprintln(&b, "doubt", d.ID, d.Field, d.Args)
	}
	for _, r := range l.Rows {
		name := r.Name
		if name == "" {
			name = r.Family + " | " + r.Given
		}
		fmt.Fprintf(&b, "%d: %s  born %s  on %s %02d:%02d", r.Line, name, r.Born, r.On, r.Hour, r.Minute)
		for _, s := range []string{r.Reference, r.Telephone, r.Email, r.Language, r.Kind, r.Practitioner} {
			if s != "" {
				b.WriteString("  " + s)
			}
		}
		fmt.Fprintln(&b)
		if r.Cancelled {
			fmt.Fprintln(&b, "   cancelled")
		}
		for _, d := range r.Doubts {
			fmt.Fprintln(&b, "   doubt", d.ID, d.Field, d.Args)
		}
	}
	for _, s := range l.Skipped {
		fmt.Fprintln(&b, "skipped", s.Line, s.Reason)
	}
	return b.String()
}

func lists(t *testing.T) map[string][]byte {
	encode := func(name, s string) []byte {
		e, err := htmlindex.Get(name)
		if err != nil {
			t.Fatal(err)
		}
		out, err := e.NewEncoder().Bytes([]byte(s))
		if err != nil {
			t.Fatal(err)
		}
		return out
	}
	utf16, err := unicode.UTF16(unicode.LittleEndian, unicode.UseBOM).NewEncoder().Bytes([]byte(
		"Imię i nazwisko\tData ur.\tTermin\n\"Wójcik, Łucja\"\t31.05.1990\t04.12.2026 09:30\nZofia Żak\t01.02.1985\t04.12.2026 10:15\n"))
	if err != nil {
		t.Fatal(err)
	}
	return map[string][]byte{
		"mark_and_semicolons": []byte("\ufeffDate;Time;Last name;First name;Date of birth;Mobile;Language;Service;Notes\r\n" +
			"04/12/2026;09:30;Aldridge;Mara;31/05/1990;=\"07700900123\";Polish;Lip filler;likes tea\r\n" +
			"04/12/2026;10.15;\"Orme; Lyle\";Tess;02/03/1988;;EN;Review;\r\n\r\nTotal;2;;;;;;;\r\n"),
		"utf16_tabs": utf16,
		"month_first": []byte("Patient name,DOB,Appointment\nRue Ashdown,05/31/1990,12/04/2026 2:15 PM\n" +
			"Ida Thorne,02/03/1988,12/04/2026 12:05 am\n"),
		"order_from_births": []byte("Name,Date of birth,Date,Time\nRue Ashdown,31/05/1990,04/12/2026,9:00\nIda Thorne,02/03/1988,04/12/2026,9:30\n"),
		"order_open":        []byte("Name,Date of birth,Date,Time\nRue Ashdown,01/05/1990,04/12/2026,9:00\n"),
		"order_broken":      []byte("Name,Date of birth,Date,Time\nRue Ashdown,31/05/1990,04/12/2026,9:00\nIda Thorne,05/31/1988,04/12/2026,9:30\n"),
		"words_of_months":   []byte("Nombre y apellidos;Fecha de nacimiento;Cita\nInés Prado Vila;1 de mayo de 1990;viernes, 4 de diciembre de 2026, 17:30\n"),
		"by_day": []byte("Clinic list\n\nTime,Patient,Birth date\nFriday 4 December 2026,,\n9:00,Rue Ashdown,1990-05-31\n" +
			"9:30,Ida Thorne,1988-03-02\nFri 11 Dec 2026,,\n10:00–10:30,Rue Ashdown,1990-05-31\n"),
		"doubles": []byte("Name,Born,Date,Time\nRue Ashdown,1990-05-31,2026-12-04,9:00\nRUE  ASHDOWN,1990-05-31,2026-12-04,09:00\n" +
			"Rue Ashdown,1990-05-31,2026-12-04,15:00\n"),
		"unclear": []byte("Name,Born,Date,Time,Type,Language\n,1990-05-31,2026-12-04,9:00,Lips,EN\nRue Ashdown,31.11.1990,2026-12-04,25:00,Nose job,Klingon\n" +
			"=HYPERLINK(A1),2027-01-01,2026-12-04,9:15,Review,\n"),
		"western_bytes": encode("windows-1252", "Nom;Prénom;Né(e) le;Rendez-vous\nLefèvre;Zoé;31/05/1990;04/12/2026 14h30\n"),
		"told":          encode("windows-1250", "Who;When born;When;Type\nŁucja Wójcik;05/06/1990;12/04/2026 9:30;Lips 0.5\n"),
		"ten_scripts": []byte("Name\tDate of birth\tDate\tTime\tLanguage\n" +
			"María José Núñez\t1990-05-31\t2026-12-04\t9:00\tespañol\nŁucja Żółć\t1990-05-31\t2026-12-04\t9:10\tPolish\n" +
			"ليلى الحداد\t٣١/٠٥/١٩٩٠\t٢٠٢٦-١٢-٠٤\t٩:٢٠\tالعربية\nआशा वर्मा\t३१-०५-१९९०\t2026-12-04\t9:30\tहिन्दी\n" +
			"陈小雨\t1990年5月31日\t2026年12月4日\t9点40分\t中文\nΕλένη Δήμου\t1990-05-31\t2026-12-04\t9:50\tEN\n" +
			"Ольга Ким\t31.05.1990\t4.12.2026\t10:00\tEN\nדנה לוי\t1990-05-31\t2026-12-04\t10:10\tEN\n" +
			"สุดา ใจดี\t1990-05-31\t2026-12-04\t10:20\tEN\n김하늘\t1990. 5. 31.\t2026. 12. 4.\t10:30\tEN\n"),
		"times": []byte("Name,Born,Date,Time\nA Bell,1990-05-31,2026-12-04,9.30\nB Bell,1990-05-31,2026-12-04,9h30\nC Bell,1990-05-31,2026-12-04,0930\n" +
			"D Bell,1990-05-31,2026-12-04,930\nE Bell,1990-05-31,2026-12-04,14 h 30\nF Bell,1990-05-31,2026-12-04,14 Uhr 30\n" +
			"G Bell,1990-05-31,2026-12-04,下午2点30分\nH Bell,1990-05-31,2026-12-04,下午2:30-3:00\nI Bell,1990-05-31,2026-12-04,٢:٣٠ م\nJ Bell,1990-05-31,2026-12-04,٩:٣٠ صباحًا\n" +
			"K Bell,1990-05-31,2026-12-04,शाम 6:15\nL Bell,1990-05-31,2026-12-04,오후 2시 30분\nM Bell,1990-05-31,2026-12-04,2:00 - 3:00 pm\nN Bell,1990-05-31,2026-12-04,11:30–1:00 p. m.\n" +
			"O Bell,1990-05-31,2026-12-04,godz. 10.15\nP Bell,1990-05-31,2026-12-04,9 Uhr bis 10 Uhr\nQ Bell,1990-05-31,2026-12-04,12:15 am\nR Bell,1990-05-31,2026-12-04,30.12.1899 10:45:00\n"),
		"times_unclear": []byte("Name,Born,Date,Time\nA Bell,1990-05-31,2026-12-04,9-10\nB Bell,1990-05-31,2026-12-04,9–10 Uhr\nC Bell,1990-05-31,2026-12-04,2:30 zzz\n" +
			"D Bell,1990-05-31,2026-12-04,上午13:30\nE Bell,1990-05-31,2026-12-04,2460\nF Bell,1990-05-31,2026-12-04,9h3\nG Bell,1990-05-31,2026-12-04,9\n"),
		"moments": []byte("Name;Born;Start\nA Bell;31.05.1990;04.12.2026 14:30\nB Bell;31.05.1990;٠٤/١٢/٢٠٢٦م ٩:٣٠ ص\nC Bell;31.05.1990;2026年12月4日 下午3点05分\nD Bell;31.05.1990;4 Dec 2026, 2.15 pm\n"),
		"statuses": []byte("Ref,Name,Born,Date,Time,Status,Preferred language\n1,Rue Ashdown,1990-05-31,2026-12-04,9:00,Confirmed,fr-CH\n2,Ida Thorne,1988-03-02,2026-12-04,9:30,Canceled,zh-TW\n" +
			"3,Tess Orme,1988-03-05,2026-12-04,10:00,no-show,zh_CN\n4,Mara Bell,1988-03-06,2026-12-04,10:30,abgesagt,pt-BR\n5,Lyle Bell,1988-03-07,2026-12-04,11:00,purple,xx-YY\n"),
		"central_bytes":     encode("windows-1250", "Imię;Nazwisko;Data urodzenia;Data wizyty;Godzina;Język\nŻaneta;Gżegżółka;31.05.1990 r.;4.12.2026 r.;10.15;polski\n"),
		"chinese_bytes":     encode("gb18030", "姓名,出生日期,预约日期,时间,手机号\n陈小雨,1985/2/1,2026/12/4,上午9点30分,13800138000\n"),
		"power_of_ten":      []byte("Name,Born,Date,Time,Mobile\nRue Ashdown,1990-05-31,2026-12-04,9:00,4.47701E+11\n"),
		"old_workbook":      append([]byte("\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"), make([]byte, 600)...),
		"page":              []byte("\n<HTML><table><tr><td>Name</td></tr></table>"),
		"workbook_raw":      numbers(t),
		"german_name":       []byte("Name;Vorname;Geburtsdatum;Termin\nVoss;Ida;31.05.90;04.12.26 9 Uhr\n"),
		"headings_repeated": []byte("Name,Born,Date,Time\nRue Ashdown,1990-05-31,2026-12-04,9:00\nName,Born,Date,Time\nIda Thorne,1988-03-02,2026-12-04,9:30\n"),
		"no_list":           []byte("hello\nthere\n"),
		"no_birth":          []byte("Name,Date,Time\nRue Ashdown,2026-12-04,9:00\n"),
		"workbook":          sheet(t),
		"workbook_broken":   []byte("PK\x03\x04 nothing that opens"),
	}
}

// sheet is a workbook with a title across, a merged day, real dates, a formula with and one without a value.
func sheet(t *testing.T) []byte {
	book := excelize.NewFile()
	defer book.Close()
	set := func(at string, v any) {
		if err := book.SetCellValue("Sheet1", at, v); err != nil {
			t.Fatal(err)
		}
	}
	must := func(err error) {
		if err != nil {
			t.Fatal(err)
		}
	}
	style := func(at string, format int) {
		id, err := book.NewStyle(&excelize.Style{NumFmt: format})
		must(err)
		must(book.SetCellStyle("Sheet1", at, at, id))
	}
	set("A1", "Riverside, list of visits")
	must(book.MergeCell("Sheet1", "A1", "E1"))
	for i, h := range []string{"Date", "Time", "Full name", "Date of birth", "Visits so far"} {
		set(string(rune('A'+i))+"3", h)
	}
	set("A4", time.Date(2026, 12, 4, 0, 0, 0, 0, time.UTC))
	style("A4", 14)
	must(book.MergeCell("Sheet1", "A4", "A6"))
	for i, name := range []string{"Rue Ashdown", "Ida Thorne", "Tess Orme"} {
		row := fmt.Sprint(i + 4)
		set("B"+row, 0.375+float64(i)/48)
		style("B"+row, 20)
		set("C"+row, name)
		if row != "6" {
			set("D"+row, time.Date(1990, 5, 28+i, 0, 0, 0, 0, time.UTC))
			style("D"+row, 14)
		}
	}
	must(book.SetCellFormula("Sheet1", "C6", "CONCAT(\"Tess\",\" Orme\")"))
	set("C6", "Tess Orme")
	must(book.SetCellFormula("Sheet1", "D6", "DATE(1990,5,30)"))
	set("A8", "Total")
	set("E8", 3)
	var b bytes.Buffer
	must(book.Write(&b))
	return b.Bytes()
}

// numbers is a workbook whose dates, times and telephones are numbers without a look of their own, with a day beside
// its time, and with a sum that counts the names.
func numbers(t *testing.T) []byte {
	book := excelize.NewFile()
	defer book.Close()
	for row, cells := range [][]any{
		{"Patient/in", "Geb.-Datum", "Termin", "Zeit", "Handy"},
		{"Grün, Ina", 33024, 46360, 0.395833333333333, 491512345678.0},
		{"Weiß, Uli", "31.05.1990", "04.12.2026", "10:30", 4.91512345679e+11},
		{"Gelb, An", 33025, 46360.4375, nil, nil},
		{"Summe", nil, nil, nil, nil},
		{"3", nil, nil, nil, nil},
	} {
		if err := book.SetSheetRow("Sheet1", fmt.Sprint("A", row+1), &cells); err != nil {
			t.Fatal(err)
		}
	}
	var b bytes.Buffer
	if err := book.Write(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// Whatever the bytes are, reading ends, and every row of a list has what a visit needs or a doubt about it.
func FuzzRead(f *testing.F) {
	f.Add([]byte("Name,Born,Date,Time\nRue Ashdown,1990-05-31,2026-12-04,9:00\n"), "")
	f.Add([]byte("Name;Vorname;Geburtsdatum;Termin\nVoss;Ida;31.05.90;04.12.26 9 Uhr\n"), "windows-1252")
	f.Add([]byte("\xff\xfeN\x00a\x00"), "")
	f.Fuzz(func(t *testing.T, data []byte, encoding string) {
		list, err := booking.Read(data, booking.Options{Today: today, Encoding: encoding, Months: months()})
		if err != nil {
			return
		}
		for _, r := range list.Rows {
			whole := (r.Name != "" || r.Given != "" || r.Family != "") && !r.Born.IsZero() && !r.On.IsZero() && r.HasTime
			if !whole && len(r.Doubts) == 0 {
				t.Errorf("line %d lacks something and nobody is told: %+v", r.Line, r)
			}
			if r.Hour > 23 || r.Minute > 59 {
				t.Errorf("line %d: %d:%d", r.Line, r.Hour, r.Minute)
			}
		}
	})
}
