package chemistry_test

import (
	"os"
	"regexp"
	"strings"
	"testing"

	"platewright/chemistry"
)

// Identity: the works are those of docs/SOURCES.md, word for word, and each is named by a recipe or a
// note.
func TestCitations(t *testing.T) {
	text, err := os.ReadFile("../docs/SOURCES.md")
	if err != nil {
		t.Fatal(err)
	}
	defined := map[string]string{}
	for _, row := range regexp.MustCompile("(?m)^\\| `(\\w+)` \\| (.*?) \\|").FindAllStringSubmatch(string(text), -1) {
		defined[row[1]] = strings.ReplaceAll(row[2], "*", "")
	}
	named := map[string]bool{}
	for _, r := range chemistry.Recipes(true) {
		sources := []string{r.Source}
		for _, p := range r.Parts {
			if p.Source != "" {
				sources = append(sources, p.Source)
			}
		}
		for _, source := range sources {
			c, ok := chemistry.CitationOf(source)
			if !ok && !strings.HasPrefix(source, "from memory") {
				t.Errorf("%s: the source %q is neither a work that is listed nor from memory", r.Name, source)
			}
			named[c.Key] = true
		}
		m, err := chemistry.Mix(chemistry.Mixing{Recipe: r, AllowCyanide: true})
		if err != nil {
			t.Fatal(err)
		}
		for _, note := range m.Notes {
			for _, key := range regexp.MustCompile(`\[(\w+)\]`).FindAllStringSubmatch(note, -1) {
				if _, ok := chemistry.CitationOf(key[1]); !ok {
					t.Errorf("%s: a note names %s, which is not listed: %s", r.Name, key[1], note)
				}
				named[key[1]] = true
			}
		}
	}
	for _, c := range chemistry.Citations() {
		if want := defined[c.Key]; c.Work != want {
			t.Errorf("%s is %q, docs/SOURCES.md has %q", c.Key, c.Work, want)
		}
		if !named[c.Key] {
			t.Errorf("%s is listed and named by no recipe and no note", c.Key)
		}
	}
	if c, ok := chemistry.CitationOf(chemistry.Citations()[0].Key + ", p. 3"); !ok || c != chemistry.Citations()[0] {
		t.Errorf("a key with a place names %+v, %t", c, ok)
	}
	for _, none := range []string{"", "grandmother's notebook", "Nobody"} {
		if c, ok := chemistry.CitationOf(none); ok {
			t.Errorf("%q names %+v", none, c)
		}
	}
}
