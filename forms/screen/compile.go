package screen

import (
	"slices"

	"philtrum/forms/source"

	"cel.dev/cel-go/cel"
	"cel.dev/cel-go/common/ast"
)

// program is a compiled condition with the variables that it reads, sorted.
type program struct {
	cel.Program
	reads []string
}

// compiler compiles conditions in the environments that they are written for, each made once.
type compiler struct {
	rules *Rules
	base  *cel.Env
	envs  map[string]*cel.Env
}

// scopes of conditions: the form; rules for each entry of a question; the fields of that question.
const formScope = ""

func (c *compiler) env(scope string) (*cel.Env, error) {
	if e, ok := c.envs[scope]; ok {
		return e, nil
	}
	vars := c.rules.variables()
	kind, id := splitScope(scope)
	if q, ok := c.rules.byID[id]; ok && kind != "" {
		extra := eachVariables(q.Question)
		if kind == "field" {
			extra = fieldVariables(q.Question)
		}
		for name, t := range extra {
			vars[name] = t
		}
	}
	e, err := c.base.Extend(declare(vars)...)
	if err == nil {
		c.envs[scope] = e
	}
	return e, err
}

func splitScope(scope string) (kind, id string) {
	for i := range scope {
		if scope[i] == ':' {
			return scope[:i], scope[i+1:]
		}
	}
	return "", ""
}

// condition compiles text, which must be true or false. Faults are reported at their column.
func (l *loader) condition(c *compiler, text, scope string, at source.Span) program {
	if done, ok := l.made[[2]string{scope, text}]; ok {
		return done
	}
	env, err := c.env(scope)
	if err != nil {
		l.ReportAt(at, "problem.rule_condition", map[string]any{"why": err.Error()})
		return program{}
	}
	parsed, issues := env.Compile(text)
	if issues != nil && issues.Err() != nil {
		for _, e := range issues.Errors() {
			l.ReportAt(shift(at, e.Location.Line(), e.Location.Column()), "problem.rule_condition", map[string]any{"why": e.Message})
		}
		return program{}
	}
	if !parsed.OutputType().IsExactType(cel.BoolType) {
		l.ReportAt(at, "problem.rule_not_yes_no", nil)
		return program{}
	}
	l.literals(c.rules, parsed, scope, at)
	done := l.plan(c, parsed, at)
	l.made[[2]string{scope, text}] = done
	l.checked = append(l.checked, checked{scope, text, parsed})
	return done
}

func (l *loader) plan(c *compiler, checked *cel.Ast, at source.Span) program {
	p, err := c.base.Program(checked)
	if err != nil {
		l.ReportAt(at, "problem.rule_condition", map[string]any{"why": err.Error()})
		return program{}
	}
	return program{Program: p, reads: reads(checked)}
}

// shift moves a span to a line and column inside the text that begins there.
func shift(s source.Span, line, column int) source.Span {
	if s.Line == 0 || line > 1 {
		return s
	}
	s.Col += column
	s.EndLine, s.EndCol = s.Line, s.Col+1
	return s
}

// reads lists the variables of a condition.
func reads(checked *cel.Ast) []string {
	var names []string
	ast.PostOrderVisit(checked.NativeRep().Expr(), ast.NewExprVisitor(func(e ast.Expr) {
		if e.Kind() == ast.IdentKind {
			names = append(names, e.AsIdent())
		}
	}))
	slices.Sort(names)
	return slices.Compact(names)
}

// literals proves that a choice is compared with its own options only and that nothing builds a map.
func (l *loader) literals(r *Rules, checked *cel.Ast, scope string, at source.Span) {
	info := checked.NativeRep().SourceInfo()
	ast.PostOrderVisit(checked.NativeRep().Expr(), ast.NewExprVisitor(func(e ast.Expr) {
		switch e.Kind() {
		case ast.MapKind, ast.StructKind:
			l.ReportAt(at, "problem.rule_no_maps", nil)
		case ast.CallKind:
			call := e.AsCall()
			if len(call.Args()) != 2 || !slices.Contains([]string{"_==_", "_!=_", "@in", "in"}, call.FunctionName()) {
				return
			}
			for i, arg := range call.Args() {
				options := r.optionsOf(call.Args()[1-i], scope)
				if options == nil {
					continue
				}
				for _, lit := range textLiterals(arg) {
					if !slices.Contains(options, lit) {
						where := info.GetStartLocation(e.ID())
						l.ReportAt(shift(at, where.Line(), where.Column()), "problem.rule_option", map[string]any{"option": lit})
					}
				}
			}
		}
	}))
}

// textLiterals are the text literals of an expression that is one, or a list of them.
func textLiterals(e ast.Expr) []string {
	switch e.Kind() {
	case ast.LiteralKind:
		if s, ok := e.AsLiteral().Value().(string); ok {
			return []string{s}
		}
	case ast.ListKind:
		var out []string
		for _, item := range e.AsList().Elements() {
			out = append(out, textLiterals(item)...)
		}
		return out
	}
	return nil
}

// optionsOf are the options of the choice that an expression names; nil for anything else.
func (r *Rules) optionsOf(e ast.Expr, scope string) []string {
	if e.Kind() != ast.IdentKind {
		return nil
	}
	name := e.AsIdent()
	kind, id := splitScope(scope)
	if q, ok := r.byID[name]; ok && q.entry == "" {
		return q.Options
	}
	if entries, ok := r.byID[id]; ok {
		if kind == "each" && len(name) > 5 {
			name = name[5:]
		}
		if f, ok := entries.Field(name); ok {
			return f.Options
		}
	}
	return nil
}
