package houserules

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"sort"
	"strings"
	"testing"
	"testing/fstest"
)

const modulePath = "platewright"

// repository is the tree the rules are applied to.
func repository(t *testing.T) fs.FS {
	t.Helper()
	root := "../.."
	if _, err := os.Stat(root + "/go.mod"); err != nil {
		t.Fatalf("the root of the module is not two folders up: %v", err)
	}
	return os.DirFS(root)
}

// files returns the text files of the tree in order, without what others wrote: version control,
// modules of their own, vendored scripts, folders the go command passes over. Generated code stays.
// Test data is left out unless asked for.
func files(tree fs.FS, withTestdata bool) ([]string, error) {
	var names []string
	err := fs.WalkDir(tree, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		base := path.Base(name)
		if d.IsDir() {
			switch {
			case name == ".":
				return nil
			case base == "node_modules", base == "vendor", base == "third_party", base == "vendored":
				return fs.SkipDir
			case base == "testdata" && !withTestdata:
				return fs.SkipDir
			case strings.HasPrefix(base, ".") && base != ".ci", strings.HasPrefix(base, "_"):
				return fs.SkipDir
			}
			if _, err := fs.Stat(tree, name+"/go.mod"); err == nil {
				return fs.SkipDir // a module of its own
			}
			return nil
		}
		if strings.Contains(base, ".min.") || base == "go.sum" {
			return nil
		}
		if strings.HasPrefix(name, ".ci/") || textKinds[path.Ext(base)] {
			names = append(names, name)
		}
		return nil
	})
	return names, err
}

var textKinds = map[string]bool{
	".go": true, ".templ": true, ".js": true, ".css": true, ".html": true, ".md": true, ".sql": true, ".sh": true,
	".txt": true, ".csv": true, ".tsv": true, ".json": true, ".jsonl": true, ".toml": true, ".yml": true, ".yaml": true, ".mod": true,
}

// goFile is a parsed file of the tree.
type goFile struct {
	name string // path in the tree
	dir  string // the package's path below the module's, "." at the root
	test bool
	set  *token.FileSet
	ast  *ast.File
	text string
}

func (f goFile) line(p token.Pos) int { return f.set.Position(p).Line }

// goFiles parses the Go files of the tree outside testdata.
func goFiles(tree fs.FS) ([]goFile, error) {
	names, err := files(tree, false)
	if err != nil {
		return nil, err
	}
	var all []goFile
	for _, name := range names {
		if path.Ext(name) != ".go" {
			continue
		}
		text, err := fs.ReadFile(tree, name)
		if err != nil {
			return nil, err
		}
		set := token.NewFileSet()
		parsed, err := parser.ParseFile(set, name, text, parser.ParseComments|parser.SkipObjectResolution)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		all = append(all, goFile{name, path.Dir(name), strings.HasSuffix(name, "_test.go"), set, parsed, string(text)})
	}
	return all, nil
}

// rule is a check of a tree; it returns one sentence a problem, path and line first.
type rule func(tree fs.FS) ([]string, error)

// holds fails the test with every problem the rule finds in the repository.
func holds(t *testing.T, r rule) {
	t.Helper()
	problems, err := r(repository(t))
	if err != nil {
		t.Fatal(err)
	}
	sort.Strings(problems)
	for _, p := range problems {
		t.Error(p)
	}
}

// broken is a small tree and the problem the rule must find in it; none means a tree in order.
type broken struct {
	name string
	tree map[string]string
	want []string // a part of each problem, in any order
}

// finds runs the rule on small trees and demands exactly the problems named.
func finds(t *testing.T, r rule, trees []broken) {
	t.Helper()
	for _, b := range trees {
		t.Run(b.name, func(t *testing.T) {
			tree := fstest.MapFS{}
			for name, text := range b.tree {
				tree[name] = &fstest.MapFile{Data: []byte(text)}
			}
			problems, err := r(tree)
			if err != nil {
				t.Fatal(err)
			}
			if len(problems) != len(b.want) {
				t.Errorf("%d problems, want %d: %q", len(problems), len(b.want), problems)
			}
			for _, w := range b.want {
				found := false
				for _, p := range problems {
					found = found || strings.Contains(p, w)
				}
				if !found {
					t.Errorf("no problem says %q: %q", w, problems)
				}
			}
		})
	}
}
