package paper_test

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"platewright/internal/paper"
	"platewright/measure"
)

// example is an invented plate of an invented studio.
func example(t testing.TB) paper.PassportPage {
	t.Helper()
	return paper.PassportPage{
		Number: "26-0147", Studio: "Atelier Fährmann & Łęcka", Place: "Weir Lane, Oxney", Made: "14 May 2026",
		Printed: time.Date(2026, 5, 14, 16, 5, 0, 0, time.UTC),
		Picture: shaded(t, 520, 680), Width: 4.25 * measure.Inch, Height: 5.5 * measure.Inch,
		Sitter: "Ødegård Čapková-Ψυχάρη, Жанна", Support: "black aluminium",
		Lens: "Petzval portrait 210 mm", Stop: "f/3.8, wide open", Exposure: "4 s (3-6), window and one reflector",
		Hand: "Odile Marchetti", Collodion: "Oxney no. 2, batch of 3 May", Bath: "Tall tank, silver bath of 45 grains", Developer: "iron and vinegar, summer strength",
		Fixer: "thiosulphate 20 %", Varnish: "sandarac and lavender", Verdict: "right; a little soft at the collar",
		Notes: "Second of two. The sitter's left eye was focused on; pour edge left uncut at her wish.",
		Code:  "HTTP://STUDIO.LOCAL/P/26-0147",
	}
}

func shaded(t testing.TB, w, h int) []byte {
	m := image.NewGray(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			dx, dy := float64(x-w/2)/float64(w), float64(y-h/2)/float64(h)
			m.SetGray(x, y, color.Gray{uint8(max(12, 190-700*(dx*dx+dy*dy)))})
		}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, m, nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func printed(t testing.TB, in paper.PassportPage) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := paper.Passport(&b, in); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// tool finds a program used as an oracle. It says so when the check is left out, and fails where
// the tools are required.
func tool(t *testing.T, name string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		if os.Getenv("PLATEWRIGHT_TOOLS") == "required" {
			t.Fatalf("%s is required and not installed", name)
		}
		t.Skipf("LEFT OUT: %s is not installed, so its reading was not compared", name)
	}
	return path
}

func filed(t *testing.T, in paper.PassportPage) string {
	t.Helper()
	name := filepath.Join(t.TempDir(), "passport.pdf")
	if err := os.WriteFile(name, printed(t, in), 0o600); err != nil {
		t.Fatal(err)
	}
	return name
}

func TestSamePlateSameBytes(t *testing.T) {
	if !bytes.Equal(printed(t, example(t)), printed(t, example(t))) {
		t.Error("the same passport printed twice differs")
	}
	other := example(t)
	other.Number = "26-0148"
	if bytes.Equal(printed(t, example(t)), printed(t, other)) {
		t.Error("two plates have one passport")
	}
}

// cases are a full sheet, a bare one, an over-full one, and one lying plate on Letter.
func cases(t *testing.T) map[string]paper.PassportPage {
	full := example(t)
	bare := paper.PassportPage{Number: "26-0001", Studio: "Oxney", Width: 165.1, Height: 215.9}
	over := example(t)
	over.Notes = strings.Repeat("The bath stood a day in the sun and was filtered twice. ", 60)
	over.Studio = strings.Repeat("Atelier of the Long Name ", 6)
	over.Lens = strings.Repeat("unmarked-brass-lens-with-no-spaces-", 8)
	over.Sitter = "王, a visitor"
	over.Varnish = "\x01"
	lying := example(t)
	lying.Sheet, lying.Width, lying.Height = paper.Letter, 215.9, 165.1
	lying.Picture = shaded(t, 680, 520)
	return map[string]paper.PassportPage{"full": full, "bare": bare, "over": over, "lying": lying}
}

// independent: qpdf finds the file sound.
func TestFileIsSound(t *testing.T) {
	qpdf := tool(t, "qpdf")
	for name, in := range cases(t) {
		if out, err := exec.Command(qpdf, "--check", filed(t, in)).CombinedOutput(); err != nil {
			t.Errorf("%s: %v: %s", name, err, out)
		}
	}
}

// independent: poppler reads the words back, accents and other alphabets too.
func TestWordsReadBack(t *testing.T) {
	pdftotext := tool(t, "pdftotext")
	read := func(in paper.PassportPage) string {
		out, err := exec.Command(pdftotext, "-layout", filed(t, in), "-").Output()
		if err != nil {
			t.Fatal(err)
		}
		return strings.Join(strings.Fields(string(out)), " ")
	}
	got := read(example(t))
	in := example(t)
	for _, want := range []string{in.Number, in.Studio, in.Place + ", " + in.Made, in.Hand, in.Collodion, in.Bath, in.Developer,
		in.Fixer, in.Varnish, "Ødegård Čapková-Ψυχάρη,", "Жанна", "107.95 mm · 4 1/4 in", "139.7 mm · 5 1/2 in", "30-40 %", "50 lux"} {
		if !strings.Contains(got, want) {
			t.Errorf("%q is not on the sheet: %s", want, got)
		}
	}
	all := cases(t)
	if got := read(all["over"]); !strings.Contains(got, "…") || !strings.Contains(got, "question mark") {
		t.Errorf("a cut text or an undrawable name is not shown as such: %s", got)
	}
	if got := read(all["bare"]); strings.Contains(got, "SITTER") || !strings.Contains(got, "no picture filed") {
		t.Errorf("a bare passport shows %s", got)
	}
	pages, err := exec.Command(tool(t, "pdfinfo"), filed(t, all["over"])).Output()
	if err != nil || !strings.Contains(string(pages), "Pages:           1\n") {
		t.Errorf("an over-full passport is not one page: %s %v", pages, err)
	}
}

// independent: a reader of codes finds the payload on the printed sheet.
func TestCodeIsRead(t *testing.T) {
	pdftoppm, zbarimg := tool(t, "pdftoppm"), tool(t, "zbarimg")
	for name, in := range cases(t) {
		png := filepath.Join(t.TempDir(), "sheet")
		if out, err := exec.Command(pdftoppm, "-png", "-r", "150", "-singlefile", filed(t, in), png).CombinedOutput(); err != nil {
			t.Fatalf("%v: %s", err, out)
		}
		out, err := exec.Command(zbarimg, "-q", "--raw", png+".png").Output()
		want := in.Code
		if want == "" {
			want = in.Number
		}
		if err != nil || strings.TrimSpace(string(out)) != want {
			t.Errorf("%s: code reads %q, want %q (%v)", name, out, want, err)
		}
	}
}

func TestRefusals(t *testing.T) {
	for says, change := range map[string]func(*paper.PassportPage){
		"number is empty":   func(p *paper.PassportPage) { p.Number = " " },
		"studio is empty":   func(p *paper.PassportPage) { p.Studio = "" },
		"width 0 mm":        func(p *paper.PassportPage) { p.Width = 0 },
		"height 5000 mm":    func(p *paper.PassportPage) { p.Height = 5000 },
		"picture":           func(p *paper.PassportPage) { p.Picture = []byte("no picture") },
		"code has":          func(p *paper.PassportPage) { p.Code = "plate é" },
		"code is 301":       func(p *paper.PassportPage) { p.Code = strings.Repeat("A", 301) },
		"sheet is 7; it is": func(p *paper.PassportPage) { p.Sheet = 7 },
	} {
		in := example(t)
		change(&in)
		var b bytes.Buffer
		err := paper.Passport(&b, in)
		if err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%v, want %q", err, says)
		}
		if b.Len() > 0 {
			t.Errorf("%q left %d bytes written", says, b.Len())
		}
	}
}

func BenchmarkPassport(b *testing.B) {
	in := example(b)
	for range b.N {
		printed(b, in)
	}
}

// TestEndlessNotes prints what fits of notes that go on for ever, without reading on for ever.
func TestEndlessNotes(t *testing.T) {
	for name, notes := range map[string]string{"one word": strings.Repeat("w", 200_000), "many words": strings.Repeat("wet plate ", 20_000)} {
		in := example(t)
		in.Notes = notes
		begun := time.Now()
		printed(t, in)
		if took := time.Since(begun); took > 5*time.Second {
			t.Errorf("%s: printed in %v, want under 5 s", name, took)
		}
	}
}

// independent: poppler reads the titles back as they are, whatever a PDF means by their signs.
func TestTitlesAreWords(t *testing.T) {
	pdfinfo := tool(t, "pdfinfo")
	in := example(t)
	in.Studio = `Plates) /JS (app.alert\(1\)) & <Sons> \ Łęcka`
	got, err := exec.Command(pdfinfo, filed(t, in)).Output()
	if err != nil || !strings.Contains(string(got), in.Studio) {
		t.Errorf("the studio %q is not in %s (%v)", in.Studio, got, err)
	}
}
