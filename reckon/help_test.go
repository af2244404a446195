package reckon

import (
	"strings"
	"testing"
	"unicode/utf8"
)

// The help of every reckoning names each key with what is allowed, the sources and an example.
func TestHelp(t *testing.T) {
	for _, r := range append(New().All(), toy()) {
		help := r.Help()
		for _, f := range r.Fields {
			if !strings.Contains(help, "\n  "+f.Key+"\n") {
				t.Errorf("%s: the help lacks %s", r.Name, f.Key)
			}
		}
		for _, s := range r.Sources {
			if !strings.Contains(help, s) {
				t.Errorf("%s: the help lacks the source %s", r.Name, s)
			}
		}
		for _, part := range []string{r.Title, "\nQuestion\n", "\nAnswer\n", "  notes\n", "\nExample\n", "| platewright reckon " + r.Name + "\n"} {
			if !strings.Contains(help, part) {
				t.Errorf("%s: the help lacks %q", r.Name, part)
			}
		}
		before, _, _ := strings.Cut(help, "\nExample\n")
		for line := range strings.Lines(before) {
			if n := utf8.RuneCountInString(line); n > 100 {
				t.Errorf("%s: a line of the help has %d letters: %s", r.Name, n, line)
			}
		}
	}
}

// The help of mix lists what can be mixed by name, and each name is answered.
func TestHelpListsTheShelf(t *testing.T) {
	r, _ := New().Lookup("mix")
	_, after, ok := strings.Cut(r.Help(), "\nNames for recipe, one a line\n")
	names, _, _ := strings.Cut(after, "\n\n")
	if !ok || strings.Count(names, "\n") < 10 {
		t.Fatalf("the help of mix lists no recipes:\n%s", r.Help())
	}
	for name := range strings.SplitSeq(names, "\n") {
		question, err := r.FromPairs([]string{"recipe=" + strings.TrimPrefix(name, "  ")})
		if err != nil {
			t.Fatal(err)
		}
		if _, err := r.Answer(question); err != nil {
			t.Errorf("the help lists %q: %v", name, err)
		}
		if strings.Contains(name, "cyanide") {
			t.Errorf("the help puts %q forward", name)
		}
	}
}

func TestHelpSaysWhatIsAllowed(t *testing.T) {
	help := toy().Help()
	for _, want := range []string{
		"  length_mm\n      above 0 to 5000 mm; required\n",
		"  ratio\n      0 to below 1; default 0.5\n",
		"  wide_m\n      at least 0 m; one of wide_m | tall_m\n",
		"  move\n      back | front; default \"back\"\n",
		"  name\n      text; may be left out\n",
		"  centre_mm\n      list of 2, each -100 to 100 mm; default [0,0]\n",
		"  tags\n      list of 0 to 3, each text; default []\n",
		"  parts[].amount_g\n      0 to 1000 g; default 1\n",
		"  plate.width_mm\n      10 to 1000 mm; required in this shape\n",
		"\n\n  source.kind\n      \"daylight\"\n",
		"  curve_mm\n      any finite number mm; may be left out\n",
		"  nothing\n      number, or null\n",
	} {
		if !strings.Contains(help, want) {
			t.Errorf("the help lacks\n%s", want)
		}
	}
	if t.Failed() {
		t.Log(help)
	}
}
