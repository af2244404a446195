package browsertest

import (
	"os"
	"path/filepath"
	"strconv"
	"testing"
)

// TestBench measures a lens as one does, by hand and by thumb: what the readings say follows while they are
// written, a reading that disagrees is told, one that cannot be read is told at its row, a further row appears by
// itself, and what is kept is on the lens's bench. The settings are those of a lens of 300 mm by e = f(1+m).
func TestBench(t *testing.T) {
	needBrowser(t)
	built, err := example()
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range devices {
		t.Run(d.name, func(t *testing.T) {
			t.Parallel()
			dir := filepath.Join(t.TempDir(), "studio")
			if err := os.CopyFS(dir, os.DirFS(built)); err != nil {
				t.Fatal(err)
			}
			b := open(t, serve(t, dir), d)
			b.light(day)
			b.goTo("/floor/bench")
			b.follow(".lens-line h3 a")
			bench := b.path()
			b.follow(".method h3 a")
			b.write("object", "200 mm")
			for i, setting := range [][2]string{{"330 mm", "20 mm"}, {"375 mm", "50 mm"}, {"450 mm", "100 mm"}, {"600 mm", "200 mm"}, {"345 mm", "30 mm"}} {
				b.write("rail_"+strconv.Itoa(i+1), setting[0])
				b.write("image_"+strconv.Itoa(i+1), setting[1])
			}
			const says300 = `/^Focal length (300|299\.9|11\.8)/.test(document.getElementById('strip').innerText)`
			b.wait("the focal length", says300)
			if rows := eval[int](b, `document.querySelectorAll('.row').length`); rows != 6 {
				t.Errorf("%d rows, want 6: the five written and one more", rows)
			}
			b.wait("what can be written down", `document.querySelector('input[name=write_focal]:checked')`)
			b.write("rail_4", "612 mm")
			b.wait("what disagrees", `document.querySelector('.disagreements li') && /disagrees/.test(document.getElementById('strip').innerText)`)
			b.write("rail_4", "six")
			b.wait("what cannot be read", `/Rail/.test(document.getElementById('said-row_4').innerText)`)
			b.write("rail_4", "600 mm")
			b.wait("the focal length again", says300+` && document.getElementById('said-row_4').innerText === ''`)
			b.settled()
			b.accessible(d.name + " with readings")
			b.follow(".keep button.primary")
			if at := b.path(); at[:len(bench)] != bench {
				t.Errorf("what is kept leads to %s, want %s", at, bench)
			}
			b.wait("what was kept", `/Kept with the lens/.test(document.querySelector('.notice').innerText)`)
		})
	}
}
