package clinic

import (
	_ "embed"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"sync"

	"philtrum/forms"
	"philtrum/forms/source"
)

// Setting is a key of the policy: what it is by default, its bounds and where they come from. Its reason
// in words is the message "policy.<Key>".
type Setting struct {
	Key     string
	Kind    SettingKind
	Default string
	Least   string // windows and thresholds
	Most    string
	Allowed []string // choices
	Unit    string   // thresholds
	Trust   string   // read, secondary, memory, practice
	Source  string   // empty where Trust is practice
	Span    source.Span
}

// SettingKind is what a setting holds.
type SettingKind string

// Kinds of settings.
const (
	AWindow    SettingKind = "window"
	AThreshold SettingKind = "threshold"
	AChoice    SettingKind = "choice"
)

//go:embed policy.yaml
var policyFile []byte

// Settings lists every key of a policy, in the order of the clinic's file. Callers change nothing in it.
var Settings = sync.OnceValue(func() []Setting {
	settings, problems := readSettings("policy.yaml", policyFile)
	if err := problems.Err(); err != nil {
		panic(fmt.Sprintf("clinic: embedded policy: %v", err))
	}
	return settings
})

// DefaultPolicy is the policy of a clinic that has set nothing.
func DefaultPolicy() Policy {
	p := newPolicy()
	for _, s := range Settings() {
		p.set(s, s.Default)
	}
	return p
}

func newPolicy() Policy {
	return Policy{map[string]Window{}, map[string]string{}, map[string]string{}, map[string]source.Span{}}
}

func (p Policy) set(s Setting, text string) {
	switch s.Kind {
	case AWindow:
		p.Windows[s.Key], _ = ParseWindow(text)
	case AThreshold:
		d, _ := forms.ParseNumber(text)
		p.Thresholds[s.Key] = d.String()
	case AChoice:
		p.Custom[s.Key] = text
	}
}

// ReflectionDays is the reflection period that counts: the law's or the clinic's, whichever is longer.
func (p Policy) ReflectionDays(law int) int {
	days := (p.Windows["reflection"].mostHours() + 23) / 24
	return max(law, days)
}

func readSettings(file string, data []byte) ([]Setting, source.Problems) {
	root, problems := packed().Parse(file, data)
	if len(problems) > 0 {
		return nil, problems
	}
	r := &source.Reader{}
	f := r.Fields(root, "windows", "thresholds", "choices")
	var all []Setting
	for _, part := range []struct {
		key  string
		kind SettingKind
	}{{"windows", AWindow}, {"thresholds", AThreshold}, {"choices", AChoice}} {
		for _, k := range r.Entries(f.Need(part.key)) {
			all = append(all, readSetting(k, part.kind, r))
		}
	}
	return all, r.Problems()
}

// readSetting reads "default | least to most | trust | source"; choices have "one or other" as bounds.
func readSetting(k source.Key, kind SettingKind, r *source.Reader) Setting {
	s := Setting{Key: k.Name, Kind: kind, Span: k.Span}
	parts := strings.Split(r.Text(k.Value), " | ")
	if len(parts) < 3 || len(parts) > 4 || !slices.Contains([]string{"read", "secondary", "memory", "practice"}, parts[2]) {
		r.ReportAt(k.Span, "problem.policy_row", map[string]any{"key": k.Name})
		return s
	}
	s.Default, s.Trust = parts[0], parts[2]
	if len(parts) == 4 {
		s.Source = parts[3]
	}
	switch kind {
	case AChoice:
		s.Allowed = strings.Split(parts[1], " or ")
		return s
	case AThreshold:
		s.Default, s.Unit, _ = strings.Cut(parts[0], " ")
	}
	s.Least, s.Most, _ = strings.Cut(parts[1], " to ")
	return s
}

// check names what is wrong with text as the value of s, "" if nothing is.
func (s Setting) check(text string) string {
	switch s.Kind {
	case AWindow:
		w, ok := ParseWindow(text)
		least, _ := ParseWindow(s.Least)
		most, _ := ParseWindow(s.Most)
		return outcome(ok, "problem.window", w.leastHours() >= least.leastHours() && w.mostHours() <= most.mostHours())
	case AThreshold:
		low, ok := forms.CompareNumbers(text, s.Least)
		high, _ := forms.CompareNumbers(text, s.Most)
		return outcome(ok, "problem.number_form", low >= 0 && high <= 0)
	}
	return outcome(true, "", slices.Contains(s.Allowed, text))
}

func outcome(readable bool, unreadable string, within bool) string {
	switch {
	case !readable:
		return unreadable
	case !within:
		return "problem.policy_bounds"
	}
	return ""
}

// readPolicy reads the clinic's settings over the defaults.
func readPolicy(n *source.Node, r *source.Reader) Policy {
	p := DefaultPolicy()
	settings := Settings()
	keys := make([]string, len(settings))
	for i, s := range settings {
		keys[i] = s.Key
	}
	f := r.Fields(n, keys...)
	for _, s := range settings {
		v := f.Get(s.Key)
		if v == nil {
			continue
		}
		text := r.Text(v)
		switch id := s.check(text); id {
		case "":
			p.set(s, text)
			p.Spans[s.Key] = v.Span
		case "problem.policy_bounds":
			r.Report(v, s.boundsProblem(), s.bounds())
		default:
			r.Report(v, id, nil)
		}
	}
	return p
}

func (s Setting) boundsProblem() string {
	if s.Kind == AChoice {
		return "problem.policy_choice"
	}
	return "problem.policy_bounds"
}

func (s Setting) bounds() map[string]any {
	if s.Kind == AChoice {
		return map[string]any{"key": s.Key, "allowed": strings.Join(s.Allowed, ", ")}
	}
	return map[string]any{"key": s.Key, "least": s.Least, "most": s.Most}
}

// ParseWindow reads a length of time: a whole number of at most four digits and hours, days, weeks or
// months ("48 hours").
func ParseWindow(s string) (Window, bool) {
	count, unit, _ := strings.Cut(s, " ")
	if len(count) == 0 || len(count) > 4 || strings.Trim(count, "0123456789") != "" {
		return Window{}, false
	}
	n, _ := strconv.Atoi(count)
	switch strings.TrimSuffix(unit, "s") {
	case "hour":
		return Window{Hours: n}, true
	case "day":
		return Window{Days: n}, true
	case "week":
		return Window{Weeks: n}, true
	case "month":
		return Window{Months: n}, true
	}
	return Window{}, false
}

// String writes the window as ParseWindow reads it; no time is "0 days".
func (w Window) String() string {
	switch {
	case w.Hours > 0:
		return plural(w.Hours, "hour")
	case w.Weeks > 0:
		return plural(w.Weeks, "week")
	case w.Months > 0:
		return plural(w.Months, "month")
	}
	return plural(w.Days, "day")
}

func plural(n int, unit string) string {
	if n == 1 {
		return "1 " + unit
	}
	return strconv.Itoa(n) + " " + unit + "s"
}

// leastHours and mostHours are the shortest and the longest that a window can come to: months have 28 to
// 31 days.
func (w Window) leastHours() int { return w.Hours + 24*(w.Days+7*w.Weeks+28*w.Months) }
func (w Window) mostHours() int  { return w.Hours + 24*(w.Days+7*w.Weeks+31*w.Months) }
