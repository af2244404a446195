package paper_test

import (
	"bytes"
	"math"
	"os/exec"
	"strings"
	"testing"
	"time"

	"platewright/internal/paper"
)

func exampleBrief() paper.BriefPage {
	return paper.BriefPage{
		Studio: "Atelier Fährmann & Łęcka", Light: "window", Printed: time.Date(2026, 11, 12, 9, 0, 0, 0, time.UTC),
		Tones: []paper.BriefTone{{Word: "nearly black", Grey: 0.1, Things: []string{"black suit", "navy suit"}},
			{Word: "dark grey", Grey: 0.3, Things: []string{"red scarf"}, Otherwise: []string{"red scarf: much darker than it looks"}},
			{Word: "nearly white", Grey: 0.9, Things: []string{"white shirt"}}},
		Ask: []string{"Spectacles: bring an empty frame."}, Study: "A study, not a promise.",
	}
}

func briefCases() map[string]paper.BriefPage {
	long := exampleBrief()
	for range 5 {
		long.Tones = append(long.Tones, paper.BriefTone{Word: "middle grey", Grey: 0.5, Things: strings.Fields(strings.Repeat("something ", 60)), Otherwise: strings.Fields(strings.Repeat("otherwise ", 60))})
	}
	return map[string]paper.BriefPage{"full": exampleBrief(), "letter": {Sheet: paper.Letter, Tones: exampleBrief().Tones}, "long": long}
}

func printedBrief(t *testing.T, in paper.BriefPage) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := paper.Brief(&b, in); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// independent: qpdf finds the file sound, poppler one page.
func TestBriefIsSound(t *testing.T) {
	qpdf, info := tool(t, "qpdf"), tool(t, "pdfinfo")
	for name, in := range briefCases() {
		file := fileOf(t, printedBrief(t, in))
		if out, err := exec.Command(qpdf, "--check", file).CombinedOutput(); err != nil {
			t.Errorf("%s: %v: %s", name, err, out)
		}
		if out, err := exec.Command(info, file).Output(); err != nil || !strings.Contains(string(out), "Pages:           1\n") {
			t.Errorf("%s: not one page: %s %v", name, out, err)
		}
	}
}

// independent: poppler reads back everything, the darkest first.
func TestBriefSaysAll(t *testing.T) {
	in := exampleBrief()
	got := read(t, fileOf(t, printedBrief(t, in)))
	at := 0
	for _, w := range []string{in.Studio, "What to wear", "window", "Nearly black", "black suit, navy suit", "Dark grey", "red scarf: much darker than it looks", "Nearly white", "white shirt", in.Ask[0], in.Study} {
		n := strings.Index(got[at:], w)
		if n < 0 {
			t.Fatalf("%q is not on the sheet in its place: %s", w, got)
		}
		at += n
	}
	if !bytes.Equal(printedBrief(t, in), printedBrief(t, exampleBrief())) {
		t.Error("the same brief printed twice differs")
	}
}

func TestBriefRefusals(t *testing.T) {
	for says, change := range map[string]func(*paper.BriefPage){
		"sheet is 7; it is": func(b *paper.BriefPage) { b.Sheet = 7 },
		"tones are empty":   func(b *paper.BriefPage) { b.Tones = nil },
		"tones: 9 are more": func(b *paper.BriefPage) { b.Tones = make([]paper.BriefTone, 9) },
		"ask: 9 sentences":  func(b *paper.BriefPage) { b.Ask = make([]string, 9) },
		"it is 0 (black)":   func(b *paper.BriefPage) { b.Tones[1].Grey = math.NaN() },
	} {
		in := exampleBrief()
		change(&in)
		var b bytes.Buffer
		if err := paper.Brief(&b, in); err == nil || !strings.Contains(err.Error(), says) || b.Len() > 0 {
			t.Errorf("%v and %d bytes, want %q and none", err, b.Len(), says)
		}
	}
}
