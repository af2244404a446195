package houserules

import (
	"fmt"
	"go/ast"
	"go/scanner"
	"go/token"
	"io/fs"
	"path"
	"regexp"
	"sort"
	"strconv"
	"strings"
	"testing"
)

const sourcesPage = "docs/SOURCES.md"

var (
	bracketed = regexp.MustCompile(`\[([^\[\]\n]{3,200})\]`)
	keyForm   = regexp.MustCompile(`^[A-Z][A-Za-z0-9]*[0-9]{2}[A-Za-z0-9]*$`)
	keyRow    = regexp.MustCompile("^\\| `([^`]*)` \\|")
)

// use is a key cited somewhere.
type use struct {
	key, where string
}

// keysOf returns the keys of a citation's inside: "SP811, app. B; HB44" names two.
func keysOf(inside string) []string {
	var keys []string
	for part := range strings.SplitSeq(inside, ";") {
		key, _, _ := strings.Cut(part, ",")
		if key = strings.TrimSpace(key); keyForm.MatchString(key) {
			keys = append(keys, key)
		}
	}
	return keys
}

// cited returns the keys of the citations in a text.
func cited(text string) []string {
	var keys []string
	for _, m := range bracketed.FindAllStringSubmatch(text, -1) {
		keys = append(keys, keysOf(m[1])...)
	}
	return keys
}

// uses collects every citation of the tree.
func uses(tree fs.FS) ([]use, error) {
	all, err := goFiles(tree)
	if err != nil {
		return nil, err
	}
	declared := map[string]map[string]bool{} // exported names of each folder: a doc link is no citation
	for _, f := range all {
		if declared[f.dir] == nil {
			declared[f.dir] = map[string]bool{}
		}
		for _, n := range exported(f.ast) {
			declared[f.dir][n.Name] = true
		}
	}
	var found []use
	for _, f := range all {
		add := func(keys []string, line int) {
			for _, k := range keys {
				if !declared[f.dir][k] {
					found = append(found, use{k, fmt.Sprintf("%s:%d", f.name, line)})
				}
			}
		}
		scanned := token.NewFileSet()
		file := scanned.AddFile(f.name, -1, len(f.text))
		var s scanner.Scanner
		s.Init(file, []byte(f.text), nil, scanner.ScanComments)
		for {
			pos, tok, lit := s.Scan()
			if tok == token.EOF {
				break
			}
			if tok == token.COMMENT || tok == token.STRING {
				for i, line := range strings.Split(lit, "\n") {
					add(cited(line), scanned.Position(pos).Line+i)
				}
			}
		}
		ast.Inspect(f.ast, func(n ast.Node) bool {
			kv, ok := n.(*ast.KeyValueExpr)
			if !ok {
				return true
			}
			name, isName := kv.Key.(*ast.Ident)
			lit, isText := kv.Value.(*ast.BasicLit)
			if isName && isText && lit.Kind == token.STRING && strings.EqualFold(name.Name, "source") {
				if text, err := strconv.Unquote(lit.Value); err == nil && !strings.Contains(text, "[") {
					add(keysOf(text), f.line(lit.Pos()))
				}
			}
			return true
		})
	}
	names, err := files(tree, true)
	if err != nil {
		return nil, err
	}
	for _, name := range names {
		data := strings.Contains("/"+name, "/testdata/")
		page := path.Ext(name) == ".md" && name != sourcesPage
		if !data && !page {
			continue
		}
		text, err := fs.ReadFile(tree, name)
		if err != nil {
			return nil, err
		}
		fenced := false
		for i, line := range strings.Split(string(text), "\n") {
			if page && strings.HasPrefix(strings.TrimSpace(line), "```") {
				fenced = !fenced
			}
			if page && fenced || data && !page && !strings.HasPrefix(line, "#") {
				continue
			}
			for _, k := range cited(line) {
				found = append(found, use{k, fmt.Sprintf("%s:%d", name, i+1)})
			}
		}
	}
	return found, nil
}

// exported returns the exported names a file declares: types, functions, methods, fields,
// constants and variables.
func exported(f *ast.File) []*ast.Ident {
	var names []*ast.Ident
	keep := func(id *ast.Ident) {
		if id.IsExported() {
			names = append(names, id)
		}
	}
	for _, d := range f.Decls {
		switch d := d.(type) {
		case *ast.FuncDecl:
			keep(d.Name)
		case *ast.GenDecl:
			for _, s := range d.Specs {
				switch s := s.(type) {
				case *ast.TypeSpec:
					keep(s.Name)
					ast.Inspect(s.Type, func(n ast.Node) bool {
						if field, ok := n.(*ast.Field); ok {
							for _, id := range field.Names {
								keep(id)
							}
						}
						return true
					})
				case *ast.ValueSpec:
					for _, id := range s.Names {
						keep(id)
					}
				}
			}
		}
	}
	return names
}

// defined reads the keys of the page of sources, and what is wrong with its rows.
func defined(tree fs.FS) (map[string]int, []string, error) {
	text, err := fs.ReadFile(tree, sourcesPage)
	if err != nil {
		return nil, nil, err
	}
	keys := map[string]int{}
	var problems []string
	for i, line := range strings.Split(string(text), "\n") {
		m := keyRow.FindStringSubmatch(line)
		if m == nil {
			continue
		}
		say := func(format string, args ...any) {
			problems = append(problems, fmt.Sprintf("%s:%d: %s", sourcesPage, i+1, fmt.Sprintf(format, args...)))
		}
		key := m[1]
		if !keyForm.MatchString(key) {
			say("%q is not the form of a key", key)
		}
		if first := keys[key]; first != 0 {
			say("%s is defined on line %d already", key, first)
		}
		keys[key] = i + 1
		cells := strings.Split(strings.Trim(strings.TrimSpace(line), "|"), " | ")
		if len(cells) != 4 {
			say("%s has %d columns, want 4: key, citation, what was taken, seen", key, len(cells))
			continue
		}
		seen := strings.ToLower(cells[3])
		if !strings.Contains(seen, "read") && !strings.Contains(seen, "quoted") && !strings.Contains(seen, "memory") {
			say("%s does not say whether it was read, is quoted, or is from memory", key)
		}
		if strings.TrimSpace(cells[1]) == "" || strings.TrimSpace(cells[2]) == "" {
			say("%s has an empty column", key)
		}
	}
	return keys, problems, nil
}

// citationRule checks that every key used is defined, and the form of the definitions.
func citationRule(tree fs.FS) ([]string, error) {
	keys, problems, err := defined(tree)
	if err != nil {
		return nil, err
	}
	found, err := uses(tree)
	if err != nil {
		return nil, err
	}
	for _, u := range found {
		if keys[u.key] == 0 {
			problems = append(problems, fmt.Sprintf("%s: source %s is not defined in %s", u.where, u.key, sourcesPage))
		}
	}
	return problems, nil
}

func TestCitationsAreDefined(t *testing.T) {
	holds(t, citationRule)
	tree := repository(t)
	keys, _, err := defined(tree)
	if err != nil {
		t.Fatal(err)
	}
	found, err := uses(tree)
	if err != nil {
		t.Fatal(err)
	}
	for _, u := range found {
		delete(keys, u.key)
	}
	var unused []string
	for k := range keys {
		unused = append(unused, k)
	}
	sort.Strings(unused)
	t.Logf("%d citations; defined and not used: %s", len(found), strings.Join(unused, " "))
}

func TestCitationRuleFinds(t *testing.T) {
	cite := func(inside string) string { return "[" + inside + "]" } // so that this file cites nothing itself
	page := "| `Known1999` | A. Author, *Work*, 1999 | all of it | read |\n"
	finds(t, citationRule, []broken{
		{"a tree in order", map[string]string{
			sourcesPage:               page,
			"optics/o.go":             "package optics\n// " + cite("Known1999, p. 3") + " and the link " + cite("Vec3D64") + "; " + cite("Vec3") + "\ntype Vec3D64 int\nvar x = row{Source: \"Known1999, p. 3\"}\nvar y = a" + cite("B10") + "\nvar re = \"" + cite("A-Z0-9") + "\"\n",
			"optics/testdata/a.csv":   "# " + cite("Known1999") + "\n1," + cite("Unknown2000") + "\n",
			"docs/ARCHITECTURE.md":    "See " + cite("Known1999") + ".\n```\n" + cite("Unknown2000") + "\n```\n",
			"optics/testdata/b_go.go": "package b\n// " + cite("Unknown2000") + "\n",
		}, nil},
		{"comment, string, field, page and data", map[string]string{
			sourcesPage:             page,
			"optics/o.go":           "package optics\n// " + cite("Unknown2001") + "\nvar a = \"" + cite("Known1999; Unknown2002, ch. 2") + "\"\nvar b = row{source: \"Unknown2003, p. 3\"}\n/*\n" + cite("Unknown2004") + "\n*/\n",
			"README.md":             "As " + cite("Unknown2005") + " says.",
			"optics/testdata/a.csv": "# from " + cite("Unknown2006"),
		}, []string{"optics/o.go:2: source Unknown2001", "o.go:3: source Unknown2002", "o.go:4: source Unknown2003", "o.go:6: source Unknown2004", "README.md:1: source Unknown2005", "a.csv:1: source Unknown2006"}},
		{"bad rows", map[string]string{sourcesPage: page + page + "| `nodigits` | a | b | read |\n| `Few10` | a | read |\n| `Unsure10` | a | b | somewhere |\n"},
			[]string{"defined on line 1 already", `"nodigits" is not the form`, "Few10 has 3 columns", "Unsure10 does not say"}},
	})
}
