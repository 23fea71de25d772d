package desk

import (
	"slices"
	"strings"
	"testing"

	"philtrum/forms/source"
)

// A returned pack counts only as two named persons signed for exactly what the catalogue says, once.
func TestPacksThatDoNotCount(t *testing.T) {
	d, _ := told(t)
	releasedIn(d, "en")
	pack, err := d.Pack("es", false)
	if err != nil {
		t.Fatal(err)
	}
	other, err := d.Pack("fr", false)
	if err != nil {
		t.Fatal(err)
	}
	signs := map[string]string{"method": "human", "translator.name": "Oda Bergström", "translator.qualification": "sworn translator",
		"translator.date": "2026-12-02", "reviser.name": "Luis Amador", "reviser.qualification": "nurse", "reviser.date": "2026-12-03"}
	at := slices.IndexFunc(pack.Rows, func(r PackRow) bool { return r.ID == "aftercare.call.heading" })
	edited := pack.Rows[at]
	edited.Target += "."
	moved := pack.Rows[at]
	moved.Source += "."
	for _, c := range []struct {
		name, row, says, more string
		rows                  func() []PackRow
		want                  string
	}{
		{name: "a line that nobody filled in", row: "reviser.qualification", want: "revision.pack.unsigned"},
		{name: "a dash for a name", row: "reviser.name", says: "—", want: "revision.pack.unsigned"},
		{name: "one person twice", row: "reviser.name", says: "oda  BERGSTRÖM", want: "revision.pack.same_person"},
		{name: "one person twice, family name first", row: "reviser.name", says: "Bergstro\u0308m, Oda", want: "revision.pack.same_person"},
		{name: "a day to come", row: "reviser.date", says: "2026-12-05", want: "revision.pack.date"},
		{name: "revised before it was translated", row: "reviser.date", says: "2026-12-01", want: "revision.pack.date"},
		{name: "a day in two readings", row: "translator.date", says: "02/12/2026", want: "revision.pack.date"},
		{name: "no way of translating", row: "method", says: "by heart", want: "revision.pack.method"},
		{name: "a text of another wording", rows: func() []PackRow { return withRow(pack.Rows, at, edited) }, want: "revision.pack.changed"},
		{name: "a source of another wording", rows: func() []PackRow { return withRow(pack.Rows, at, moved) }, want: "revision.pack.changed"},
		{name: "a text in two wordings", rows: func() []PackRow { return slices.Insert(slices.Clone(pack.Rows), at, edited) }, want: "revision.pack.changed"},
		{name: "a text taken out", rows: func() []PackRow { return slices.Delete(slices.Clone(pack.Rows), at, at+1) }, want: "revision.pack.missing"},
		{name: "a text put in", rows: func() []PackRow {
			return slices.Insert(slices.Clone(pack.Rows), at, PackRow{Portion: "warning", ID: "aftercare.call.more", Target: "x"})
		}, want: "revision.pack.extra"},
		{name: "an open remark", more: "warning,aftercare.call.heading,,\"" + pack.Rows[at].Source + "\",\"" + pack.Rows[at].Target + "\",,unclear\r\n", want: "revision.pack.remark"},
		{name: "another language's", rows: func() []PackRow { return other.Rows }, want: "revision.pack.changed"},
		{name: "without what comes first", rows: func() []PackRow {
			return slices.DeleteFunc(slices.Clone(pack.Rows), func(r PackRow) bool { return r.Portion == "warning" })
		}, want: "revision.pack.first"},
	} {
		rows := pack.Rows
		if c.rows != nil {
			rows = c.rows()
		}
		filled := func(row string) string {
			if row == c.row {
				return c.says
			}
			return signs[row]
		}
		signed, err := d.Signed("es", append(returnedList(t, rows, filled), c.more...))
		if err != nil || !slices.Contains(problemIDs(signed.Problems), c.want) || slices.Contains(signed.Released, "warning") {
			t.Errorf("%s: %v %v (%v), want %s", c.name, signed.Released, problemIDs(signed.Problems), err, c.want)
		}
	}
	twice := strings.Replace(string(returnedList(t, pack.Rows, func(row string) string { return signs[row] })), "sign,reviser.name,",
		"sign,reviser.name,,,Ana Ruiz,,\r\nsign,reviser.name,", 1)
	if signed, err := d.Signed("es", []byte(twice)); err == nil {
		t.Errorf("two revisers in two lines: %+v", signed)
	}
	if _, states, _ := d.LanguageState("es"); slices.ContainsFunc(states, PortionState.Released) {
		t.Error("something is released")
	}
	if signed, err := d.Signed("es", returnedList(t, pack.Rows, func(row string) string { return signs[row] })); err != nil || len(signed.Problems) > 0 {
		t.Errorf("a sound pack: %+v (%v)", signed, err)
	}
	if _, states, _ := d.LanguageState("es"); !allReleased(states) {
		t.Error("a sound pack releases nothing")
	}
}

func withRow(rows []PackRow, i int, with PackRow) []PackRow {
	rows = slices.Clone(rows)
	rows[i] = with
	return rows
}

// returnedList is a pack's list with the persons' lines filled in.
func returnedList(t *testing.T, rows []PackRow, filled func(row string) string) []byte {
	t.Helper()
	data, err := Pack{Rows: rows}.List(func(row string) string { return "prompt." + row })
	if err != nil {
		t.Fatal(err)
	}
	text := string(data)
	for _, row := range signRows {
		text = strings.Replace(text, "prompt."+row+",,", "prompt."+row+",\""+filled(row)+"\",", 1)
	}
	return []byte(text)
}

func problemIDs(problems source.Problems) []string {
	var out []string
	for _, p := range problems {
		out = append(out, p.ID)
	}
	return out
}
