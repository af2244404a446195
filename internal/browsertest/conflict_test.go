package browsertest

import (
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestConflict lets two devices change one lens at once: the second is refused, sees both, loses
// nothing of what was typed, and chooses.
func TestConflict(t *testing.T) {
	needBrowser(t)
	built, err := example()
	if err != nil {
		t.Fatal(err)
	}
	dir := filepath.Join(t.TempDir(), "studio")
	if err := os.CopyFS(dir, os.DirFS(built)); err != nil {
		t.Fatal(err)
	}
	s := serve(t, dir)
	found, _, err := crawl(s.base)
	if err != nil {
		t.Fatal(err)
	}
	for i, d := range devices {
		for j, light := range []string{day, lamp, red} {
			t.Run(d.name+"/"+light, func(t *testing.T) {
				lens := found["/floor/lenses/{id}"][0]
				theirs, ours := open(t, s, desk), open(t, s, d)
				ours.excuse(refusedStatus)
				ours.light(light)
				theirs.goTo(lens)
				ours.goTo(lens)
				said, typed := fmt.Sprintf("their word %d%d", i, j), fmt.Sprintf("our word %d%d", i, j)
				theirs.write("note", said)
				if got := theirs.follow("form.record button.primary"); got != http.StatusOK {
					t.Fatalf("the first change is answered with %d", got)
				}
				ours.write("note", typed)
				if got := ours.follow("form.record button.primary"); got != http.StatusConflict {
					t.Fatalf("the second change is answered with %d, want 409; the page says:\n%s", got, ours.text())
				}
				whole := eval[string](ours, `document.querySelector('#work').innerText + [...document.querySelectorAll('#work input, #work textarea')].map(e => e.value).join('\n')`)
				for _, word := range []string{said, typed} {
					if !strings.Contains(whole, word) {
						t.Errorf("%s: %q is not on the page:\n%s", ours.where(), word, whole)
					}
				}
				if light == red {
					onlyRed(t, d.name+" conflict", ours.picture())
				} else {
					ours.accessible(d.name + " " + light + " conflict")
				}
				theirs.goTo(lens)
				if got := eval[string](theirs, `document.querySelector('#work [name=note]').value`); got != said {
					t.Errorf("the second change has overwritten the first: the note is %q, want %q", got, said)
				}
			})
		}
	}
}
