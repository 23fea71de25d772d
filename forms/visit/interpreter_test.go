package visit

import "testing"

func TestInterpreted(t *testing.T) {
	attends := func(name, number, language string) *InterpreterAttends {
		return &InterpreterAttends{Name: name, Number: number, Language: language}
	}
	for _, c := range []struct {
		name          string
		speaks, asked string
		i             *InterpreterAttends
		want          bool
	}{
		{"nobody", "hi", "", nil, false},
		{"nobody who is named", "hi", "", attends("", " ", "hi"), false},
		{"known by a number alone", "hi", "", attends("", "I-7", "hi"), true},
		{"the patient's language", "hi", "", attends("P. Lind", "", "hi-IN"), true},
		{"another language", "hi", "", attends("P. Lind", "", "es"), false},
		{"a language that nobody wrote", "hi", "", attends("P. Lind", "", ""), false},
		{"the language asked for", "pa", "hi", attends("P. Lind", "", "hi"), true},
		{"not the one asked for", "pa", "hi", attends("P. Lind", "", "pa"), false},
		{"a patient of whom nothing is known", "", "", attends("P. Lind", "", "es"), true},
		{"signs, for one who speaks the clinic's language", "en-US", "", attends("P. Lind", "", "bfi"), true},
	} {
		v := Visit{Interpreter: c.i}
		p := Patient{Speaks: c.speaks, Interpreter: Interpreter{Language: c.asked}}
		if got := v.Interpreted(p, "en-GB"); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
	}
}
