package intake

import (
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"

	"philtrum/forms"
	"philtrum/forms/measure"
	"philtrum/forms/source"

	"github.com/go-playground/validator/v10"
)

// checker runs the check words of forms through the validator. The validator panics on a tag that it does
// not know, so no text of a form ever becomes a tag: tagOf writes each.
type checker struct{ validate *validator.Validate }

func newChecker() checker {
	v := validator.New()
	for name, fn := range map[string]validator.Func{
		"decimal_least":  numberCheck(atLeast),
		"decimal_most":   numberCheck(atMost),
		"decimal_places": numberCheck(placesWithin),
		"names_within":   namesWithin,
	} {
		if err := v.RegisterValidation(name, fn); err != nil {
			panic(fmt.Sprintf("intake: register %s: %v", name, err))
		}
	}
	return checker{v}
}

// numberCheck compares exactly: numbers reach the validator as text, because it knows no decimals.
func numberCheck(holds func(have, bound string) bool) validator.Func {
	return func(f validator.FieldLevel) bool { return holds(f.Field().String(), f.Param()) }
}

func atLeast(have, bound string) bool {
	c, ok := forms.CompareNumbers(have, bound)
	return ok && c >= 0
}

func atMost(have, bound string) bool {
	c, ok := forms.CompareNumbers(have, bound)
	return ok && c <= 0
}

func placesWithin(have, bound string) bool {
	n, ok := forms.Decimals(have)
	most, err := strconv.Atoi(bound)
	return ok && err == nil && n <= most
}

func namesWithin(f validator.FieldLevel) bool {
	bound, err := strconv.Atoi(f.Param())
	names, ok := f.Field().Interface().([]string)
	if err != nil || !ok {
		return false
	}
	for _, name := range names {
		if utf8.RuneCountInString(name) > bound {
			return false
		}
	}
	return true
}

// tagOf gives the validator's tag for a check and the part of the value that it looks at; "" for checks
// that are about days.
func tagOf(c forms.Check, v forms.Value) (string, any) {
	arg := strings.Replace(c.Arg, ",", ".", 1)
	switch c.Word {
	case forms.Required:
		return "required", filled(v)
	case forms.Least:
		return "decimal_least=" + arg, v.Number.String()
	case forms.Most:
		return "decimal_most=" + arg, v.Number.String()
	case forms.Whole:
		return "decimal_places=0", v.Number.String()
	case forms.MostDecimals:
		return "decimal_places=" + arg, v.Number.String()
	case forms.Longest:
		if v.Kind == forms.Medicines {
			return "names_within=" + arg, v.Names
		}
		return "max=" + arg, v.Text
	case forms.SingleLine:
		return "excludesall=\r\n", v.Text
	case forms.Email:
		return "omitempty,email", v.Text
	case forms.Fewest:
		return "min=" + arg, size(v)
	case forms.MostOf:
		return "max=" + arg, size(v)
	}
	return "", nil
}

// filled is true where a given value says something.
func filled(v forms.Value) bool {
	switch v.Kind {
	case forms.Text:
		return strings.TrimSpace(v.Text) != ""
	case forms.SomeOf, forms.Medicines, forms.Entries:
		return size(v) > 0
	}
	return true
}

func size(v forms.Value) int { return len(v.Choices) + len(v.Names) + len(v.Entries) }

func (c checker) needs(field *forms.Question) bool {
	for _, check := range field.Checks {
		if check.Word == forms.Required {
			return true
		}
	}
	return false
}

// check reports the first check that a given answer fails.
func (r *reader) check(q *forms.Question, a forms.Answer, n *source.Node) {
	if a.State != forms.Given || a.Value.NotApplicable || len(r.Problems()) > 0 {
		return
	}
	for _, c := range q.Checks {
		if r.holds(c, a) {
			continue
		}
		args := map[string]any{"question": q.ID}
		if c.Arg != "" {
			args["bound"] = c.Arg
		}
		r.Report(n, "problem.check_"+c.Word, args)
		return
	}
}

func (r *reader) holds(c forms.Check, a forms.Answer) bool {
	if c.Word == forms.Past || c.Word == forms.Future {
		return r.dated(c.Word, a)
	}
	tag, part := tagOf(c, a.Value)
	return tag != "" && r.checks.validate.Var(part, tag) == nil
}

// dated compares with the day of the answer in the clinic's zone. Without that day nothing can be said
// here; that it is missing is a problem of its own.
func (r *reader) dated(word string, a forms.Answer) bool {
	if a.At.IsZero() {
		return true
	}
	day := measure.DateOf(a.At, a.At.Location())
	if word == forms.Past {
		return !a.Value.Date.Earliest().After(day)
	}
	return !a.Value.Date.Latest().Before(day)
}
