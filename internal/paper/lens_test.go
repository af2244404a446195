package paper_test

import (
	"bytes"
	"fmt"
	"math"
	"os/exec"
	"strings"
	"testing"
	"time"

	"platewright/internal/paper"
)

// exampleLens is the sheet of an invented lens.
func exampleLens() paper.LensPage {
	var line [][2]float64
	var marks []paper.GraphMark
	for h := 0.0; h <= 80; h += 10 {
		line = append(line, [2]float64{h, -h * h / 2 / 900})
		marks = append(marks, paper.GraphMark{X: h, Y: -h*h/2/900 + 0.1*math.Sin(h), Disagrees: h == 50})
	}
	curve := paper.Graph{Name: "Field curve", XWord: "height on the glass, mm", YWord: "focus nearer the lens, mm", Line: line, LineWord: "fitted", Marks: marks, YDown: true,
		More: []paper.GraphLine{{Word: "of the form", Points: [][2]float64{{0, 0}, {40, -1.2}, {80, -4.4}}}}}
	shift := curve
	shift.Name, shift.More, shift.YDown = "Focus shift", nil, false
	return paper.LensPage{
		Studio: "Atelier Fährmann & Łęcka", Name: "Unmarked brass, 300", Form: "portrait, two cells apart", Note: "From the estate of a studio in Oxney; rear flint once reversed.",
		Printed: time.Date(2026, 11, 12, 9, 0, 0, 0, time.UTC),
		Known: []paper.Known{
			{Word: "Focal length", Value: "302.4 mm (301.1-303.7)", Basis: "measured 12 November 2026, two magnifications, 5 settings"},
			{Word: "Exit over entrance pupil", Value: "0.91 (0.89-0.93)", Basis: "measured 12 November 2026"},
			{Word: "Chemical focus", Value: "1.2 mm longer", Basis: "of the form, not of this lens"},
		},
		Stops:  []paper.StopRow{{Name: "1", FNumber: "f/4.2", Pupil: "72 mm", Hole: "56.7 mm", Basis: "measured"}, {Name: "2", FNumber: "f/8", Pupil: "37.8 mm", Hole: "29.8 mm", Basis: "to be cut"}},
		Holes:  []paper.HoleRow{{FNumber: "f/5.6", Across: "42.5 ± 0.4 mm", Other: "1.673 ± 0.016 in", Basis: "from readings of 12 November 2026"}},
		Graphs: []paper.Graph{curve, shift},
		Readings: []paper.ReadingRow{{Date: "12 November 2026", Method: "two magnifications", Found: "302.4 mm ± 1.3", By: "Odile Marchetti"},
			{Date: "3 November 2026", Method: "far target", Found: "296 mm ± 4", Withdrawn: true}},
		Disagrees: []string{"At 50 mm on the glass the focus was read 0.9 mm from the curve through the others, four times what a reading scatters. It is kept; read that height again."},
	}
}

func lensCases() map[string]paper.LensPage {
	long := exampleLens()
	for i := range 200 {
		long.Readings = append(long.Readings, paper.ReadingRow{Date: "1 May 2026", Method: "far target", Found: fmt.Sprintf("no. %d", i), By: strings.Repeat("word ", 30)})
	}
	long.Note = strings.Repeat("A long note. ", 400)
	long.Name = strings.Repeat("no-spaces-anywhere", 20)
	return map[string]paper.LensPage{"full": exampleLens(), "bare": {Sheet: paper.Letter, Name: "王"}, "long": long}
}

func printedLens(t *testing.T, in paper.LensPage) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := paper.LensSheet(&b, in); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// independent: qpdf finds the file sound.
func TestLensSheetIsSound(t *testing.T) {
	qpdf := tool(t, "qpdf")
	for name, in := range lensCases() {
		if out, err := exec.Command(qpdf, "--check", fileOf(t, printedLens(t, in))).CombinedOutput(); err != nil {
			t.Errorf("%s: %v: %s", name, err, out)
		}
	}
}

// independent: poppler reads back everything that is known, on as many sheets as it takes.
func TestLensSheetSaysAll(t *testing.T) {
	in := exampleLens()
	got := read(t, fileOf(t, printedLens(t, in)))
	want := []string{in.Name, in.Form, in.Studio, in.Note, "read that height again", "withdrawn: 296 mm ± 4", "Field curve", "of the form", "56.7 mm", "to be cut",
		"HOLES TO CUT", "42.5 ± 0.4 mm", "1.673 ± 0.016 in"}
	for _, k := range in.Known {
		want = append(want, k.Word, k.Value, k.Basis)
	}
	for _, w := range want {
		if !strings.Contains(got, w) {
			t.Errorf("%q is not on the sheet: %s", w, got)
		}
	}
	got = read(t, fileOf(t, printedLens(t, lensCases()["long"])))
	for i := range 200 {
		if !strings.Contains(got, fmt.Sprintf("no. %d", i)) {
			t.Errorf("reading %d is not on the sheets", i)
		}
	}
	if got := read(t, fileOf(t, printedLens(t, lensCases()["bare"]))); !strings.Contains(got, "question mark") {
		t.Errorf("an undrawable name is not told: %s", got)
	}
}

// independent: poppler finds no second sheet where lower graphs make room for the last rows on the first.
func TestLensSheetSparesASheet(t *testing.T) {
	in := exampleLens()
	for len(in.Readings) < 11 {
		in.Readings = append(in.Readings, in.Readings[0])
	}
	out, err := exec.Command(tool(t, "pdfinfo"), fileOf(t, printedLens(t, in))).Output()
	if err != nil || !strings.Contains(string(out), "Pages:           1\n") {
		t.Errorf("not one page: %s %v", out, err)
	}
}

func TestSameLensSameBytes(t *testing.T) {
	if !bytes.Equal(printedLens(t, exampleLens()), printedLens(t, exampleLens())) {
		t.Error("the same lens sheet printed twice differs")
	}
}

func TestLensSheetRefusals(t *testing.T) {
	for says, change := range map[string]func(*paper.LensPage){
		"name is empty":     func(l *paper.LensPage) { l.Name = "" },
		"sheet is 7; it is": func(l *paper.LensPage) { l.Sheet = 7 },
		"2001 are more":     func(l *paper.LensPage) { l.Readings = make([]paper.ReadingRow, 2001) },
		`graph "Field`:      func(l *paper.LensPage) { l.Graphs[0].Marks[0].Y = math.NaN() },
	} {
		in := exampleLens()
		change(&in)
		var b bytes.Buffer
		if err := paper.LensSheet(&b, in); err == nil || !strings.Contains(err.Error(), says) || b.Len() > 0 {
			t.Errorf("%v and %d bytes, want %q and none", err, b.Len(), says)
		}
	}
}
