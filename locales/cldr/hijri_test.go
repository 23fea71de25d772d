package cldr

import (
	"encoding/json"
	"testing"
)

// Known days of the Umm al-Qura calendar (ICU; the first two also stand in published calendars, from memory).
func TestBeside(t *testing.T) {
	for _, c := range []struct {
		region string
		day    Day
		want   string
	}{
		{"ar-SA", Day{2026, 2, 18}, "1 رمضان 1447 هـ"},
		{"ar-KW", Day{2026, 3, 20}, "1 شوال 1447 هـ"},
		{"ar-SA", Day{2026, 12, 4}, "24 جمادى الآخرة 1448 هـ"},
		{"ar-001", Day{2026, 12, 4}, ""}, {"ar-EG", Day{2026, 12, 4}, ""}, {"hi-IN", Day{2026, 12, 4}, ""},
		{"ar-SA", Day{2026, 12, 0}, ""}, {"ar-SA", Day{1990, 1, 1}, ""}, {"ar-SA", Day{2090, 1, 1}, ""}, {"ar-SA", Day{}, ""},
	} {
		if got := must(t, c.region, "latn").Beside(c.day); got != c.want {
			t.Errorf("%s %v: %q, want %q", c.region, c.day, got, c.want)
		}
	}
	if got := must(t, "ar-SA", "arab").Beside(Day{2026, 2, 18}); got != "١ رمضان ١٤٤٧ هـ" {
		t.Error(got)
	}
}

const besideIntl = `
const f = new Intl.DateTimeFormat('ar-SA-u-ca-islamic-umalqura-nu-latn', {dateStyle: 'long', timeZone: 'UTC'});
const out = [];
for (let i = 0; i < 731; i++) out.push(f.format(new Date(Date.UTC(2027, 0, 1 + i))));
process.stdout.write(JSON.stringify(out));
`

func TestTwoYearsBesideAgainstIntl(t *testing.T) {
	var want []string
	if err := json.Unmarshal(node(t, "-e", besideIntl), &want); err != nil {
		t.Fatal(err)
	}
	l, day := must(t, "ar-SA", "latn"), Day{2027, 1, 1}
	for _, w := range want {
		same(t, "ar-SA", l.Beside(day), w)
		day = next(day)
	}
}
