package paper_test

import (
	"bytes"
	"image/color"
	"image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"platewright/internal/paper"
)

// exampleCard is a card for an invented plate; its figures are those of a 300 mm lens at a quarter life size.
func exampleCard() paper.CardPage {
	arc := func(x, y, r, from, to float64) [][2]float64 {
		var points [][2]float64
		for i := range 25 {
			a := from + (to-from)*float64(i)/24
			points = append(points, [2]float64{x + r*math.Cos(a), y + r*math.Sin(a)})
		}
		return points
	}
	shell := append(arc(375, 0, 1500, -0.16, 0.16), arc(375, 0, 1520, 0.16, -0.16)...)
	side := paper.Drawing{Name: "From the side", Bar: 500, BarWord: "500 mm", Strokes: []paper.Stroke{
		{Points: [][2]float64{{0, -110}, {0, 110}}, Weight: paper.Heavy},
		{Points: [][2]float64{{375, -90}, {375, 90}}, Weight: paper.Heavy},
		{Points: [][2]float64{{0, 90}, {375, 70}}}, {Points: [][2]float64{{0, -90}, {375, -70}}},
		{Points: [][2]float64{{-150, 0}, {2100, 0}}, Weight: paper.Dashed},
		{Points: shell, Closed: true, Weight: paper.Hatched},
		{Points: arc(1875, 40, 110, 0, 2*math.Pi), Closed: true},
		{Points: [][2]float64{{375, -300}, {1875, -300}}, Weight: paper.Thin},
	}, Words: []paper.Word{{At: [2]float64{1125, -250}, Text: "1500 mm"}}}
	above := side
	above.Name = "From above"
	face := paper.Drawing{Name: "The plate's face", Strokes: []paper.Stroke{
		{Points: [][2]float64{{-82, -108}, {82, -108}, {82, 108}, {-82, 108}}, Closed: true, Weight: paper.Heavy},
		{Points: arc(0, 10, 38, 0, 2*math.Pi), Closed: true},
		{Points: arc(0, 10, 60, 0, 2*math.Pi), Closed: true, Weight: paper.Dashed},
	}}
	return paper.CardPage{
		Number: "26-0147", Studio: "Atelier Fährmann & Łęcka", Sitter: "Ødegård Čapková", Printed: time.Date(2026, 5, 14, 9, 0, 0, 0, time.UTC),
		Lens: "Portrait lens of 300", Stop: "f/4.5, half stop", Plate: "whole plate upright, 165.1 × 215.9 mm", Camera: "Tailboard camera",
		Main: []paper.Item{
			{Word: "Extension", Value: "375 mm", Other: "14 3/4 in, plate to principal plane"}, {Word: "Eye to lens board", Value: "1 512 mm", Other: "59 1/2 in"},
			{Word: "Lens above the floor", Value: "1 160 mm", Other: "45 11/16 in"}, {Word: "Cap off", Value: "4 s", Other: "3 to 6 s"},
			{Word: "Sharp from", Value: "1 493 mm", Other: "58 3/4 in"}, {Word: "to", Value: "1 507 mm", Other: "14 mm deep"},
		},
		Front:   []paper.Item{{Word: "Tilt", Value: "2.1° back"}, {Word: "Rise", Value: "12 mm"}},
		FocusOn: "right eye", Support: "seated, head rest",
		Rest: []paper.Item{{Word: "Magnification", Value: "0.25"}, {Word: "Effective", Value: "f/5.6"}, {Word: "Bellows", Value: "0.64 stop"},
			{Word: "Frame", Value: "660 × 864 mm"}, {Word: "Room behind the lens", Value: "1.4 m"}},
		Sharp: []paper.Item{{Word: "right eye", Value: "sharp", Other: "0.02"}, {Word: "left eye", Value: "sharp", Other: "0.06"}, {Word: "lips", Value: "sharp", Other: "0.09"},
			{Word: "nose tip", Value: "soft", Other: "0.21"}, {Word: "chin", Value: "soft", Other: "0.17"}, {Word: "right ear", Value: "gone", Other: "0.9"}, {Word: "left shoulder", Value: "gone", Other: "1.2"}},
		Cautions: []string{"Flash: nobody looks into the tube; ether stays away from the pack."},
		Side:     side, Above: above, Face: face, Code: "HTTP://STUDIO.LOCAL/P/26-0147",
	}
}

// cardCases are a full card, a bare one on Letter, and one with more than fits.
func cardCases() map[string]paper.CardPage {
	over := exampleCard()
	over.Lens = strings.Repeat("unmarked brass lens with a long story ", 9)
	over.Plate = strings.Repeat("plate ", 80)
	for range 30 {
		over.Rest = append(over.Rest, paper.Item{Word: strings.Repeat("a figure with a long name ", 4), Value: strings.Repeat("9", 60)})
		over.Cautions = append(over.Cautions, strings.Repeat("Heed this. ", 40))
		over.Sharp = append(over.Sharp, paper.Item{Word: strings.Repeat("ear ", 20), Value: "gone", Other: "9 mm"})
	}
	over.Sitter = "王, a visitor"
	return map[string]paper.CardPage{"full": exampleCard(), "bare": {Sheet: paper.Letter, Lens: "Lens"}, "over": over}
}

func filedCard(t *testing.T, in paper.CardPage) string {
	t.Helper()
	var b bytes.Buffer
	if err := paper.SetUpCard(&b, in); err != nil {
		t.Fatal(err)
	}
	return fileOf(t, b.Bytes())
}

func fileOf(t *testing.T, content []byte) string {
	t.Helper()
	name := filepath.Join(t.TempDir(), "paper.pdf")
	if err := os.WriteFile(name, content, 0o600); err != nil {
		t.Fatal(err)
	}
	return name
}

// read is what poppler reads of a file, its spaces drawn together.
func read(t *testing.T, file string) string {
	t.Helper()
	out, err := exec.Command(tool(t, "pdftotext"), "-layout", file, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	return strings.Join(strings.Fields(string(out)), " ")
}

// independent: qpdf finds the file sound, and poppler one page in it.
func TestCardIsSoundAndOnePage(t *testing.T) {
	qpdf, pdfinfo := tool(t, "qpdf"), tool(t, "pdfinfo")
	for name, in := range cardCases() {
		file := filedCard(t, in)
		if out, err := exec.Command(qpdf, "--check", file).CombinedOutput(); err != nil {
			t.Errorf("%s: %v: %s", name, err, out)
		}
		if out, err := exec.Command(pdfinfo, file).Output(); err != nil || !strings.Contains(string(out), "Pages:           1\n") {
			t.Errorf("%s is not one page: %s %v", name, out, err)
		}
	}
}

// independent: poppler reads on a card with more cautions than fit how many are left, and none on one that holds all.
func TestCardHidesNoCaution(t *testing.T) {
	cases := cardCases()
	if text := read(t, filedCard(t, cases["over"])); !strings.Contains(text, "Caution. 29 more on the floor's page") || strings.Count(text, "Caution.") != 3 {
		t.Errorf("what is left of 31 cautions is not told: %s", text)
	}
	few := cases["full"]
	few.Cautions = slices.Repeat([]string{"Heed this."}, 9)
	if text := read(t, filedCard(t, few)); strings.Count(text, "Caution. Heed this.") != 9 || strings.Contains(text, "more on") {
		t.Errorf("nine short cautions are not all told: %s", text)
	}
}

// independent: poppler reads back every figure the camera is set to.
func TestCardSaysEveryFigure(t *testing.T) {
	in := exampleCard()
	got := read(t, filedCard(t, in))
	want := []string{in.Number, in.Lens, in.Stop, in.Plate, in.Sitter, in.FocusOn, in.Support, "FRONT", "BACK", "square", in.Cautions[0], "From the side", "500 mm",
		"right eye 0.02, left eye 0.06, lips 0.09"}
	for _, items := range [][]paper.Item{in.Main, in.Front, in.Rest} {
		for _, i := range items {
			want = append(want, i.Value)
		}
	}
	for _, w := range want {
		if !strings.Contains(got, w) {
			t.Errorf("%q is not on the card: %s", w, got)
		}
	}
	if got := read(t, filedCard(t, cardCases()["over"])); !strings.Contains(got, "…") || !strings.Contains(got, "question mark") {
		t.Errorf("cut text or an undrawable name is not shown as such: %s", got)
	}
}

// independent: poppler reads back, word for word, the longest things that a hand sets, on both papers and in both units.
func TestCardCutsNothingSetByHand(t *testing.T) {
	set := func(far, near string) ([]paper.Item, []paper.Item, []paper.Item) {
		front := []paper.Item{{Word: "Rise", Value: far}, {Word: "Shift to the right", Value: far}, {Word: "Tilt 12.4°", Value: "top toward the sitter"},
			{Word: "Swing 7.9°", Value: "right side away from the sitter"}, {Word: "Or, swing carried by the tilt", Value: "12.4°, 7.9° right side away from the sitter"}}
		back := []paper.Item{{Word: "Tilt 10.0°, top toward the photographer", Value: "10.0°"}, {Word: "Swing 19.9°", Value: "left side toward the photographer"},
			{Word: "Or, swing carried by the tilt", Value: "10.0°, 19.9° left side toward the photographer"}}
		rest := []paper.Item{{Word: "Face", Value: "27.5° to the photographer's right"}, {Word: "Chin", Value: "12.5° down"}, {Word: "Shoulders", Value: "32.5° to the left"}, {Word: "Trunk", Value: "7.5° forward"},
			{Word: "Seat", Value: near}, {Word: "Fills the plate upright", Value: "428.4 mm × 560.2 mm of the sitter"}, {Word: "Effective f-number", Value: "f/5.66"}, {Word: "Bellows and pupils", Value: "0.64 stop"},
			{Word: "Magnification", Value: "0.385"}, {Word: "Sharp in depth at the nearer eye", Value: near + " to " + far}}
		return front, back, rest
	}
	for name, change := range map[string]func(*paper.CardPage){
		"metric": func(c *paper.CardPage) { c.Front, c.Back, c.Rest = set("1 428.4 mm", "428.4 mm") },
		"inch":   func(c *paper.CardPage) { c.Front, c.Back, c.Rest = set("56 15/16 in", "16 13/16 in") },
	} {
		for _, sheet := range []paper.Sheet{paper.A4, paper.Letter} {
			in := exampleCard()
			in.Sheet = sheet
			in.Lens, in.Stop = "The large unmarked brass portrait lens from the estate in Oxney", "f/4.5, the half stop that was filed out of sheet brass in the spring of 1998"
			in.Plate, in.Camera = "whole plate upright, 165.1 × 215.9 mm", "Tailboard camera of the back room, with the long bellows and the patched front, on the heavy stand"
			in.FocusOn, in.Support = "left shoulder, nearer the camera", "standing, with the head rest behind"
			change(&in)
			file := filedCard(t, in)
			out, err := exec.Command(tool(t, "pdftotext"), "-raw", file, "-").Output()
			if err != nil {
				t.Fatal(err)
			}
			bare := func(text string) string { return strings.Join(strings.Fields(text), "") } // a thin space is read as none
			got := bare(string(out))
			want := []string{in.Lens, in.Stop, in.Plate + "; " + in.Camera, "Focus on " + in.FocusOn, "Held " + in.Support}
			for _, items := range [][]paper.Item{in.Front, in.Back, in.Rest} {
				for _, i := range items {
					want = append(want, i.Word+" "+i.Value)
				}
			}
			for _, w := range want {
				if !strings.Contains(got, bare(w)) {
					t.Errorf("%s, sheet %d: %q is not on the card: %s", name, sheet, w, got)
				}
			}
			if strings.Contains(got, "…") {
				t.Errorf("%s, sheet %d: something is cut: %s", name, sheet, got)
			}
		}
	}
}

// independent: a page drawn by poppler is black on white, with no other colour anywhere.
func TestCardIsBlackOnWhite(t *testing.T) {
	picture := filepath.Join(t.TempDir(), "card")
	if out, err := exec.Command(tool(t, "pdftoppm"), "-png", "-r", "60", "-singlefile", filedCard(t, exampleCard()), picture).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	content, err := os.ReadFile(picture + ".png")
	if err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(bytes.NewReader(content))
	if err != nil {
		t.Fatal(err)
	}
	dark := 0
	for y := range img.Bounds().Dy() {
		for x := range img.Bounds().Dx() {
			c := color.NRGBAModel.Convert(img.At(x, y)).(color.NRGBA)
			if c.R != c.G || c.G != c.B {
				t.Fatalf("the point %d, %d has the colour %v", x, y, c)
			}
			if c.R < 128 {
				dark++
			}
		}
	}
	if share := float64(dark) / float64(img.Bounds().Dx()*img.Bounds().Dy()); share < 0.01 || share > 0.25 {
		t.Errorf("%.1f %% of the card is dark, want something drawn and most of it white", 100*share)
	}
}

func TestSameCardSameBytes(t *testing.T) {
	once, again := bytes.Buffer{}, bytes.Buffer{}
	for _, b := range []*bytes.Buffer{&once, &again} {
		if err := paper.SetUpCard(b, exampleCard()); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(once.Bytes(), again.Bytes()) {
		t.Error("the same card printed twice differs")
	}
}

func TestCardRefusals(t *testing.T) {
	for says, change := range map[string]func(*paper.CardPage){
		"lens is empty":     func(c *paper.CardPage) { c.Lens = " " },
		"main has 7":        func(c *paper.CardPage) { c.Main = append(c.Main, paper.Item{}) },
		"sheet is 7; it is": func(c *paper.CardPage) { c.Sheet = 7 },
		"code has":          func(c *paper.CardPage) { c.Code = "é" },
		"side: stroke 1":    func(c *paper.CardPage) { c.Side.Strokes[0].Points[0][0] = math.NaN() },
		"face: word 1":      func(c *paper.CardPage) { c.Face.Words = []paper.Word{{At: [2]float64{math.Inf(1), 0}}} },
		"scale bar":         func(c *paper.CardPage) { c.Above.Bar = -1 },
	} {
		in := exampleCard()
		change(&in)
		var b bytes.Buffer
		if err := paper.SetUpCard(&b, in); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%v, want %q", err, says)
		}
		if b.Len() > 0 {
			t.Errorf("%q left %d bytes written", says, b.Len())
		}
	}
}
