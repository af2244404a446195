package houserules

import (
	"fmt"
	"go/scanner"
	"go/token"
	"io/fs"
	"path"
	"regexp"
	"strings"
	"testing"
	"unicode"
)

const namesPage = "docs/NAMES.md"

var quoted = regexp.MustCompile("`([^`]+)`")

// vocabulary is what the page of names forbids and excepts.
type vocabulary struct {
	words   map[string]string // forbidden word to the word we use
	pattern *regexp.Regexp    // any forbidden word, whole, in any case, with a plural s
	phrases *regexp.Regexp    // any allowed phrase
}

// readNames reads the tables of the page of names.
func readNames(tree fs.FS) (vocabulary, error) {
	text, err := fs.ReadFile(tree, namesPage)
	if err != nil {
		return vocabulary{}, err
	}
	v := vocabulary{words: map[string]string{}}
	var words, phrases []string
	allowing := false
	for line := range strings.SplitSeq(string(text), "\n") {
		if strings.HasPrefix(line, "#") {
			allowing = strings.Contains(strings.ToLower(line), "allowed phrases")
		}
		if !strings.HasPrefix(line, "|") {
			continue
		}
		cells := strings.Split(strings.Trim(strings.TrimSpace(line), "|"), "|")
		if allowing {
			for _, m := range quoted.FindAllStringSubmatch(cells[0], -1) {
				phrases = append(phrases, regexp.QuoteMeta(m[1]))
			}
			continue
		}
		if len(cells) != 4 {
			return v, fmt.Errorf("%s: %q has %d columns, want 4", namesPage, line, len(cells))
		}
		for _, m := range quoted.FindAllStringSubmatch(cells[3], -1) {
			w := strings.ToLower(m[1])
			v.words[w] = strings.TrimSpace(cells[0])
			words = append(words, strings.ReplaceAll(regexp.QuoteMeta(w), " ", `[ \-]`))
		}
	}
	if len(words) == 0 {
		return v, fmt.Errorf("%s forbids no word: its tables are not as this test reads them", namesPage)
	}
	v.pattern = regexp.MustCompile(`(?i)\b(` + strings.Join(words, "|") + `)(s|es)?\b`)
	v.phrases = regexp.MustCompile(`(?i)\b(` + strings.Join(append(phrases, `\x00`), "|") + `)`)
	return v, nil
}

// in returns the forbidden words of a text.
func (v vocabulary) in(text string) []string {
	text = v.phrases.ReplaceAllStringFunc(text, func(p string) string { return strings.Repeat("_", len(p)) })
	var found []string
	for _, m := range v.pattern.FindAllStringSubmatch(text, -1) {
		w := strings.ToLower(m[1])
		if v.words[w] == "" {
			w = strings.ReplaceAll(w, "-", " ")
		}
		found = append(found, fmt.Sprintf("%q is not our word; it is %s", w, v.words[w]))
	}
	return found
}

// spaced writes a name of code as words: StudioHTTPUser is "studio http user".
func spaced(name string) string {
	var b strings.Builder
	r := []rune(name)
	for i, c := range r {
		if i > 0 && unicode.IsUpper(c) && (unicode.IsLower(r[i-1]) || i+1 < len(r) && unicode.IsLower(r[i+1])) || c == '_' {
			b.WriteByte(' ')
		}
		if c != '_' {
			b.WriteRune(c)
		}
	}
	return b.String()
}

// wordRule looks for forbidden words in comments, texts and exported names of Go code and in the
// whole of templates, scripts, styles, SQL and documents.
func wordRule(tree fs.FS) ([]string, error) {
	v, err := readNames(tree)
	if err != nil {
		return nil, err
	}
	var problems []string
	say := func(name string, line int, found []string) {
		for _, f := range found {
			problems = append(problems, fmt.Sprintf("%s:%d: %s (see %s)", name, line, f, namesPage))
		}
	}
	all, err := goFiles(tree)
	if err != nil {
		return nil, err
	}
	for _, f := range all {
		if strings.HasSuffix(f.name, "_templ.go") {
			continue // the template itself is read below
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
					say(f.name, scanned.Position(pos).Line+i, v.in(line))
				}
			}
		}
		for _, id := range exported(f.ast) {
			say(f.name, f.line(id.Pos()), v.in(spaced(id.Name)))
		}
	}
	names, err := files(tree, false)
	if err != nil {
		return nil, err
	}
	for _, name := range names {
		switch path.Ext(name) {
		case ".templ", ".js", ".css", ".html", ".md", ".sql":
		default:
			continue
		}
		if name == namesPage || name == sourcesPage {
			continue // one lists the words, the other quotes titles
		}
		text, err := fs.ReadFile(tree, name)
		if err != nil {
			return nil, err
		}
		for i, line := range strings.Split(string(text), "\n") {
			say(name, i+1, v.in(line))
		}
	}
	return problems, nil
}

func TestWordsAreOurs(t *testing.T) { holds(t, wordRule) }

func TestWordRuleFinds(t *testing.T) {
	// The words of these trees are invented, so that this file breaks no rule itself.
	page := "| word | meaning | unit | not used |\n|---|---|---|---|\n| sitter | a person | | `zorble`, blurb |\n| stop | a disc | | `q-stop`, `grint hole` |\n## Allowed phrases\n| phrase | whose |\n|---|---|\n| `net zorble` | net |\n"
	finds(t, wordRule, []broken{
		{"a tree in order", map[string]string{
			namesPage:      page,
			"optics/o.go":  "package optics\n// A net zorble and a blurb; zorbled.\nvar zorble = \"Net Zorble\"\n",
			"docs/NEWS.md": "qstop\n",
		}, nil},
		{"everywhere", map[string]string{
			namesPage:                        page,
			"optics/o.go":                    "package optics\n// Zorbles come.\nvar a = \"the zorble\"\ntype ZorbleID int\ntype T struct {\n\tMyZorble int\n}\nfunc (t T) SetZorble() {}\n",
			"internal/web/shared/a.templ":    "<b>Q-Stop</b>",
			"internal/web/shared/a_templ.go": "package shared\n// zorble\n",
			"internal/web/shared/a.js":       "// grint holes\n// grint-hole",
			"internal/web/shared/a.css":      "/* zorble */",
			"internal/web/shared/a.min.js":   "zorble",
			"README.md":                      "\nzorble and net zorble",
		}, []string{`o.go:2: "zorble" is not our word; it is sitter`, "o.go:3:", "o.go:4:", "o.go:6:", "o.go:8:", `a.templ:1: "q-stop"`, `a.js:1: "grint hole"`, `a.js:2: "grint hole"`, "a.css:1", "README.md:2"}},
	})
	if _, err := wordRule(mapTree(map[string]string{namesPage: "| a | b | c | d |\n"})); err == nil {
		t.Error("a page of names that forbids nothing was taken")
	}
}
