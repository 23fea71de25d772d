package screen

import (
	"crypto/sha256"
	_ "embed"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io/fs"

	"philtrum/forms"
	"philtrum/forms/clinic"
	"philtrum/forms/medicine"

	"cel.dev/cel-go/cel"
	exprpb "google.golang.org/genproto/googleapis/api/expr/v1alpha1"
	"google.golang.org/protobuf/proto"
)

//go:generate go run philtrum/forms/screen/compile

// stored holds the shipped rules as proved and checked: reading and compiling them anew costs more than
// everything else that a check does.
//
//go:embed compiled.json
var stored []byte

// Compiled is the stored form of proved rules. It counts only for the very inputs that Key is the digest of;
// rules with a clinic's overlay have another key and are read and proved live.
type Compiled struct {
	Key      string
	Version  string
	Rules    []Rule
	Sources  map[string]string
	Programs []Checked
}

// Checked is a condition after parsing and type checking, as a protocol buffer.
type Checked struct {
	Scope, Text string
	Expr        []byte
}

// key is the digest of everything that proof and compilation look at.
func key(fsys fs.FS, form *forms.Form, lex *medicine.Lexicon) string {
	h := sha256.New()
	add := func(parts ...any) { fmt.Fprintf(h, "%q\n", fmt.Sprint(parts...)) }
	files, _ := fs.Glob(fsys, "rules/*.yaml")
	for _, file := range append(files, "sources.yaml") {
		data, _ := fs.ReadFile(fsys, file)
		add(file, len(data))
		h.Write(data)
	}
	for _, q := range form.Questions() {
		for _, f := range append([]*forms.Question{q}, q.Fields...) {
			add(f.ID, f.Kind, f.Options, f.When, f.Ahead, f.Visits)
		}
	}
	add(lex.Classes())
	for _, s := range clinic.Settings() {
		add(s.Kind, s.Key, s.Allowed)
	}
	return hex.EncodeToString(h.Sum(nil))
}

// fromStored restores the shipped rules if they were made from these very inputs.
func (r *Rules) fromStored(want string) bool {
	const lead = `{"Key":"`
	if len(stored) < len(lead)+len(want) || string(stored[len(lead):len(lead)+len(want)]) != want {
		return false
	}
	var c Compiled
	if json.Unmarshal(stored, &c) != nil {
		return false
	}
	base, err := newEnv()
	if err != nil {
		return false
	}
	programs := map[[2]string]program{}
	for _, p := range c.Programs {
		made, err := p.program(base)
		if err != nil {
			return false
		}
		programs[[2]string{p.Scope, p.Text}] = made
	}
	r.Version, r.rules, r.sources = c.Version, c.Rules, c.Sources
	for _, q := range r.asked {
		if q.When != "" {
			q.when = programs[[2]string{fieldScope(q), q.When}]
			q.upward = r.upward(q)
		}
	}
	for i := range r.rules {
		rule := &r.rules[i]
		for k := range rule.Outcomes {
			rule.Outcomes[k].program = programs[[2]string{eachScope(rule), rule.Outcomes[k].When}]
		}
	}
	return true
}

func (p Checked) program(base *cel.Env) (program, error) {
	var expr exprpb.CheckedExpr
	if err := proto.Unmarshal(p.Expr, &expr); err != nil {
		return program{}, err
	}
	checked := cel.CheckedExprToAst(&expr)
	made, err := base.Program(checked)
	if err != nil {
		return program{}, err
	}
	return program{Program: made, reads: reads(checked)}, nil
}

// Compile reads and proves the rules of fsys live and gives what is stored.
func Compile(fsys fs.FS, form *forms.Form, lex *medicine.Lexicon) ([]byte, error) {
	l := newLoader(form, lex)
	if problems := l.load(fsys); len(problems) > 0 {
		return nil, problems.Err()
	}
	c := Compiled{Key: key(fsys, form, lex), Version: l.rules.Version, Rules: l.rules.rules, Sources: l.rules.sources}
	for _, done := range l.checked {
		expr, err := cel.AstToCheckedExpr(done.ast)
		if err != nil {
			return nil, fmt.Errorf("store %q: %w", done.text, err)
		}
		expr.SourceInfo = nil
		data, err := proto.MarshalOptions{Deterministic: true}.Marshal(expr)
		if err != nil {
			return nil, fmt.Errorf("store %q: %w", done.text, err)
		}
		c.Programs = append(c.Programs, Checked{done.scope, done.text, data})
	}
	out, err := json.Marshal(c)
	return append(out, '\n'), err
}
