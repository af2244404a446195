package houserules

import (
	"fmt"
	"go/ast"
	"go/token"
	"io/fs"
	"path"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// listed finds a package's row in the table of floors.
func listed(pkg string) (place, bool) {
	if p, ok := floors[pkg]; ok {
		return p, true
	}
	p, ok := floors[path.Dir(pkg)+"/*"]
	return p, ok
}

// under says whether an import path is the module or package root or lies below it.
func under(imported, root string) bool {
	return imported == root || strings.HasPrefix(imported, root+"/")
}

func sidewaysAllowed(from place, to string) bool {
	return slices.Contains(from.sideways, to) || slices.Contains(from.sideways, path.Dir(to)+"/*")
}

// importRule checks the floors of every import.
func importRule(tree fs.FS) ([]string, error) {
	all, err := goFiles(tree)
	if err != nil {
		return nil, err
	}
	var problems []string
	unlisted := map[string]bool{}
	for _, f := range all {
		from, ok := listed(f.dir)
		if !ok {
			if !unlisted[f.dir] {
				unlisted[f.dir] = true
				problems = append(problems, fmt.Sprintf("%s: package %s has no floor; see the table in internal/houserules", f.name, f.dir))
			}
			continue
		}
		for _, spec := range f.ast.Imports {
			imported, err := strconv.Unquote(spec.Path.Value)
			if err != nil {
				return nil, fmt.Errorf("%s: %w", f.name, err)
			}
			if why := refused(f, from, imported); why != "" {
				problems = append(problems, fmt.Sprintf("%s:%d: %s", f.name, f.line(spec.Pos()), why))
			}
		}
	}
	return problems, nil
}

// refused says why a file of a package may not import a path, or nothing when it may.
func refused(f goFile, from place, imported string) string {
	if strings.Contains(imported, "sqlite") && !under(imported, sqliteDriver) && !under(imported, modulePath) {
		return fmt.Sprintf("%s is not the SQLite driver of this house, which is %s", imported, sqliteDriver)
	}
	if f.test || from.floor == onlyTests {
		return ""
	}
	if to, ours := strings.CutPrefix(imported, modulePath+"/"); ours {
		target, ok := listed(to)
		switch {
		case !ok:
			return fmt.Sprintf("it imports %s, which has no floor", to)
		case target.floor == onlyTests:
			return fmt.Sprintf("it imports %s, which serves tests only", to)
		case target.floor > from.floor:
			return fmt.Sprintf("floor %d imports upward: %s is on floor %d", from.floor, to, target.floor)
		case target.floor == from.floor && !sidewaysAllowed(from, to):
			return fmt.Sprintf("floor %d imports sideways: %s is not listed for %s", from.floor, to, f.dir)
		}
		return ""
	}
	if from.floor > highestPure {
		return ""
	}
	for _, barred := range barredBelow {
		if imported == barred || strings.HasSuffix(barred, "/") && strings.HasPrefix(imported, barred) {
			return fmt.Sprintf("floor %d may not import %s", from.floor, imported)
		}
	}
	if first, _, _ := strings.Cut(imported, "/"); strings.Contains(first, ".") &&
		!slices.ContainsFunc(foreignBelow, func(m string) bool { return under(imported, m) }) {
		return fmt.Sprintf("floor %d may not import %s; the modules it may are listed in internal/houserules", from.floor, imported)
	}
	return ""
}

// purityRule checks that the lower floors keep no clock, no goroutines and no state.
func purityRule(tree fs.FS) ([]string, error) {
	all, err := goFiles(tree)
	if err != nil {
		return nil, err
	}
	variables := map[string]map[string]bool{} // of each package
	for _, f := range all {
		if f.test {
			continue
		}
		if variables[f.dir] == nil {
			variables[f.dir] = map[string]bool{}
		}
		for _, d := range f.ast.Decls {
			if g, ok := d.(*ast.GenDecl); ok && g.Tok == token.VAR {
				for _, s := range g.Specs {
					for _, n := range s.(*ast.ValueSpec).Names {
						variables[f.dir][n.Name] = true
					}
				}
			}
		}
	}
	var problems []string
	for _, f := range all {
		if p, ok := listed(f.dir); !ok || f.test || p.floor == onlyTests || p.floor > highestPure {
			continue
		}
		say := func(at ast.Node, format string, args ...any) {
			problems = append(problems, fmt.Sprintf("%s:%d: %s", f.name, f.line(at.Pos()), fmt.Sprintf(format, args...)))
		}
		imports := importNames(f)
		for _, d := range f.ast.Decls {
			fn, ok := d.(*ast.FuncDecl)
			if ok && fn.Recv == nil && fn.Name.Name == "init" {
				say(fn, "the lower floors have no func init")
			}
			var local map[string]bool
			if ok {
				local = localNames(fn)
			}
			ast.Inspect(d, func(n ast.Node) bool {
				switch n := n.(type) {
				case *ast.GoStmt:
					say(n, "the lower floors start no goroutine")
				case *ast.SelectorExpr:
					if id, ok := n.X.(*ast.Ident); ok && !local[id.Name] && slices.Contains(barredCalls[imports[id.Name]], n.Sel.Name) {
						say(n, "the lower floors do not use %s.%s", imports[id.Name], n.Sel.Name)
					}
				case *ast.AssignStmt:
					if n.Tok != token.DEFINE {
						for _, left := range n.Lhs {
							if name := changed(left, variables[f.dir], local); name != "" {
								say(n, "the package variable %s is changed", name)
							}
						}
					}
				case *ast.IncDecStmt:
					if name := changed(n.X, variables[f.dir], local); name != "" {
						say(n, "the package variable %s is changed", name)
					}
				case *ast.CallExpr:
					if id, ok := n.Fun.(*ast.Ident); ok && (id.Name == "delete" || id.Name == "clear") && len(n.Args) > 0 {
						if name := changed(n.Args[0], variables[f.dir], local); name != "" {
							say(n, "the package variable %s is changed", name)
						}
					}
				}
				return true
			})
		}
	}
	return problems, nil
}

// importNames maps the names by which a file calls the packages it imports to their paths.
func importNames(f goFile) map[string]string {
	names := map[string]string{}
	for _, spec := range f.ast.Imports {
		p := strings.Trim(spec.Path.Value, `"`)
		name := path.Base(p)
		if strings.HasPrefix(name, "v") && len(name) == 2 {
			name = path.Base(path.Dir(p))
		}
		if spec.Name != nil {
			name = spec.Name.Name
		}
		names[name] = p
	}
	return names
}

// localNames returns every name a function declares inside itself; a package variable so shadowed
// is not looked at in that function.
func localNames(fn *ast.FuncDecl) map[string]bool {
	names := map[string]bool{}
	fields := func(l *ast.FieldList) {
		if l == nil {
			return
		}
		for _, f := range l.List {
			for _, n := range f.Names {
				names[n.Name] = true
			}
		}
	}
	fields(fn.Recv)
	ast.Inspect(fn, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.FuncType:
			fields(n.Params)
			fields(n.Results)
		case *ast.AssignStmt:
			if n.Tok == token.DEFINE {
				for _, l := range n.Lhs {
					if id, ok := l.(*ast.Ident); ok {
						names[id.Name] = true
					}
				}
			}
		case *ast.RangeStmt:
			if n.Tok == token.DEFINE {
				for _, e := range []ast.Expr{n.Key, n.Value} {
					if id, ok := e.(*ast.Ident); ok {
						names[id.Name] = true
					}
				}
			}
		case *ast.ValueSpec:
			for _, id := range n.Names {
				names[id.Name] = true
			}
		}
		return true
	})
	return names
}

// changed returns the package variable an assignment to left would change.
func changed(left ast.Expr, variables, local map[string]bool) string {
	for {
		switch e := left.(type) {
		case *ast.Ident:
			if variables[e.Name] && !local[e.Name] {
				return e.Name
			}
			return ""
		case *ast.IndexExpr:
			left = e.X
		case *ast.SelectorExpr:
			left = e.X
		case *ast.StarExpr:
			left = e.X
		case *ast.ParenExpr:
			left = e.X
		default:
			return ""
		}
	}
}

func TestImportsGoDownward(t *testing.T) { holds(t, importRule) }

func TestLowerFloorsArePure(t *testing.T) { holds(t, purityRule) }

func TestImportRuleFinds(t *testing.T) {
	measure := "package measure\n"
	finds(t, importRule, []broken{
		{"a tree in order", map[string]string{
			"measure/m.go":                   measure + `import "math"`,
			"optics/o.go":                    "package optics\nimport (\n\"platewright/measure\"\n\"gonum.org/v1/gonum/mat\"\n)",
			"internal/web/web.go":            "package web\nimport _ \"platewright/internal/web/screens/desk\"",
			"internal/web/screens/desk/d.go": "package desk\nimport _ \"platewright/internal/web/shared\"",
			"internal/web/shared/s.go":       "package shared\nimport _ \"net/http\"",
			"internal/store/s.go":            "package store\nimport _ \"modernc.org/sqlite\"",
			"tools/go.mod":                   "module tools",
			"tools/t.go":                     "package tools\nimport _ \"github.com/mattn/go-sqlite3\"",
			"optics/testdata/bad.go":         "package bad\nimport _ \"os\"",
		}, nil},
		{"a package without a floor", map[string]string{"helpers/h.go": "package helpers"}, []string{"package helpers has no floor"}},
		{"an import of one without a floor", map[string]string{"optics/o.go": "package optics\nimport _ \"platewright/helpers\""}, []string{"imports helpers, which has no floor"}},
		{"an upward import", map[string]string{"measure/m.go": measure + `import _ "platewright/optics"`}, []string{"measure/m.go:2: floor 0 imports upward: optics is on floor 1"}},
		{"a sideways import", map[string]string{"light/l.go": "package light\nimport _ \"platewright/optics\""}, []string{"imports sideways: optics is not listed for light"}},
		{"two floors of three", map[string]string{"internal/cli/c.go": "package cli\nimport _ \"platewright/internal/store\""}, []string{"imports sideways"}},
		{"a screen that imports a screen", map[string]string{"internal/web/screens/desk/d.go": "package desk\nimport _ \"platewright/internal/web/screens/floor\""}, []string{"imports sideways"}},
		{"a folder below a screen", map[string]string{"internal/web/screens/desk/parts/p.go": "package parts"}, []string{"has no floor"}},
		{"product code that imports test help", map[string]string{"internal/store/s.go": "package store\nimport _ \"platewright/internal/studio/studiotest\""}, []string{"serves tests only"}},
		{"barred packages", map[string]string{"reckon/r.go": "package reckon\nimport (\n_ \"os\"\n_ \"net/http\"\n_ \"database/sql\"\n_ \"log/slog\"\n_ \"sync\"\n)"},
			[]string{"import os", "import net/http", "import database/sql", "import log/slog", "import sync"}},
		{"a module not listed", map[string]string{"picture/p.go": "package picture\nimport _ \"github.com/google/uuid\""}, []string{"may not import github.com/google/uuid"}},
		{"tests are free", map[string]string{"measure/m_test.go": "package measure\nimport _ \"os\""}, nil},
		{"another SQLite driver", map[string]string{"internal/store/s.go": "package store\nimport _ \"github.com/mattn/go-sqlite3\"", "internal/store/s_test.go": "package store\nimport _ \"github.com/ncruces/go-sqlite3/driver\""},
			[]string{"github.com/mattn/go-sqlite3 is not", "github.com/ncruces/go-sqlite3/driver is not"}},
	})
}

func TestPurityRuleFinds(t *testing.T) {
	finds(t, purityRule, []broken{
		{"a tree in order", map[string]string{
			"measure/m.go":        "package measure\nimport \"time\"\nvar table = map[string]int{\"a\": 1}\nfunc F(d time.Duration) int { table := map[string]int{}; table[\"b\"] = 2; return table[\"b\"] }",
			"internal/store/s.go": "package store\nimport \"time\"\nvar n int\nfunc init() { n++; go func() { _ = time.Now() }() }",
			"measure/m_test.go":   "package measure\nimport \"time\"\nvar start = time.Now()",
		}, nil},
		{"a clock", map[string]string{"light/l.go": "package light\nimport \"time\"\nvar begin = time.Now()\nfunc F() float64 { return time.Since(begin).Seconds() }"},
			[]string{"light/l.go:3: the lower floors do not use time.Now", "l.go:4: the lower floors do not use time.Since"}},
		{"a clock under another name", map[string]string{"light/l.go": "package light\nimport clock \"time\"\nfunc F() { _ = clock.Now() }"}, []string{"time.Now"}},
		{"chance and print", map[string]string{"light/l.go": "package light\nimport (\n\"fmt\"\n\"math/rand/v2\"\n)\nfunc F() { fmt.Println(rand.Float64()) }"},
			[]string{"fmt.Println", "math/rand/v2.Float64"}},
		{"init and goroutine", map[string]string{"internal/studio/s.go": "package studio\nfunc init() {}\nfunc F() { go F() }"}, []string{"no func init", "no goroutine"}},
		{"changed state", map[string]string{
			"optics/a.go": "package optics\nvar cache = map[string]int{}\nvar list []int\nvar count int\nvar p struct{ x int }",
			"optics/b.go": "package optics\nfunc F() { cache[\"a\"] = 1; list = append(list, 1); count++; p.x = 2; delete(cache, \"a\") }",
		}, []string{"variable cache", "variable list", "variable count", "variable p", "variable cache"}},
	})
}
