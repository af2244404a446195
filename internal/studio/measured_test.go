package studio_test

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"platewright/internal/studio"
	"platewright/measure"
	"platewright/optics"
	"platewright/optics/bench"
)

// figure is a result of the bench.
func figure(name bench.Name, value, sd float64) bench.Result {
	low, high := value-4.3*sd, value+4.3*sd // the t-quantile of two degrees of freedom, from memory
	return bench.Result{Name: name, Value: &value, SD: &sd, Low95: &low, High95: &high}
}

func atStop(r bench.Result, n float64) bench.Result {
	r.AtFNumber = &n
	return r
}

// onDay is a reading of that day of November with these results.
func onDay(t *testing.T, day int, method studio.BenchMethod, results ...bench.Result) studio.LensReading {
	t.Helper()
	answer, err := json.Marshal(bench.Found{Results: results})
	if err != nil {
		t.Fatal(err)
	}
	return studio.LensReading{ID: studio.ID(fmt.Sprintf("reading-%02d-%s", day, method)), Lens: "lens-one", Method: method,
		Taken: time.Date(2026, 11, day, 23, 30, 0, 0, time.FixedZone("", 3600)), Answer: string(answer), Question: "{}"}
}

// Of each figure the newest reading counts, however the readings came in; one withdrawn does not.
func TestNewestReadingCounts(t *testing.T) {
	newest := onDay(t, 12, studio.TwoMagnifications, figure(bench.Focal, 304, 0.4))
	readings := []studio.LensReading{
		onDay(t, 14, studio.FarTarget, figure(bench.Focal, 999, 9)),
		newest,
		onDay(t, 3, studio.KnownObject, figure(bench.Focal, 290, 3)),
		{ID: "withdrawal", Lens: "lens-one", Method: studio.FarTarget, Taken: time.Date(2026, 11, 20, 0, 0, 0, 0, time.UTC), Withdraws: "reading-14-far target"},
		onDay(t, 30, studio.StopSizes, figure(bench.Pupil, 70, 0.1)),
	}
	k := studio.Known(bare(), readings)
	want := studio.Basis{Kind: studio.ByBench, Text: "measured 12 November 2026, two magnifications", On: newest.Taken, Reading: newest.ID}
	if k.Focal != 304 || k.FocalSD != 0.4 || math.Abs(float64(k.FocalBand)-1.72) > 1e-9 || k.FocalBasis != want {
		t.Errorf("focal %v ± %v, %+v; want 304 ± 0.4, %+v", k.Focal, k.FocalSD, k.FocalBasis, want)
	}
	if k.Lens.Focal != 300 {
		t.Errorf("what is written down is now %v", k.Lens.Focal)
	}
	// A figure no lens can have, and an answer nobody can read, are not reckoned with; the latter is told.
	odd := []studio.LensReading{newest, onDay(t, 13, studio.FarTarget, figure(bench.Focal, -5, 1)), onDay(t, 15, studio.FarTarget)}
	odd[2].Answer = `{"focal_mm": 4}`
	if k := studio.Known(bare(), odd); k.Focal != 304 || len(k.Unread) != 1 || k.Unread[0] != odd[2].ID {
		t.Errorf("focal %v, unread %v", k.Focal, k.Unread)
	}
	// What is measured comes before what is written down and what the form has.
	lens := bare()
	lens.Design, lens.PupilMag, lens.Circle, lens.BoardAhead = "portrait-1840", 1.1, 250, 20
	k = studio.Known(lens, []studio.LensReading{
		onDay(t, 1, studio.PupilSides, figure(bench.PupilMag, 0.92, 0.01)),
		onDay(t, 2, studio.ChemicalFocus, figure(bench.Chemical, 1.5, 0.2)),
		onDay(t, 3, studio.TwoMagnifications, figure(bench.Focal, 310, 0.3), figure(bench.FrontAhead, 25, 1), figure(bench.RearAhead, 40, 1)),
		onDay(t, 4, studio.TwoMagnifications, figure(bench.Focal, 311, 0.3), figure(bench.RearAhead, 400, 1)), // a rail not read from the board
	})
	if k.Focal != 311 || k.PupilMag != 0.92 || k.Chemical != 1.5 || math.Abs(float64(k.ChemicalBand)-0.86) > 1e-9 || k.FrontAhead != 25 || k.RearAhead != 40 {
		t.Errorf("got %+v", k)
	}
	for _, b := range []studio.Basis{k.PupilMagBasis, k.ChemicalBasis, k.PlanesBasis} {
		if b.Kind != studio.ByBench || !strings.HasPrefix(b.Text, "measured ") {
			t.Errorf("basis %+v", b)
		}
	}
	if want := optics.CoverageOf(250, optics.Lens{Focal: 311, Stop: 8, PupilMag: 0.92}); k.Stops[1].Half != want.Half {
		t.Errorf("the circle that is written down makes %v, want %v", k.Stops[1].Half, want.Half)
	}
	// The form is scaled to the measured focal length.
	lens.Focal = 311
	if want := studio.Known(lens, nil).Surface; k.Surface != want || k.SurfaceBasis.Kind != studio.ByForm {
		t.Errorf("surface %+v, want %+v", k.Surface, want)
	}
	if draw, known := (studio.Setup{Lens: lens, Known: &k, Extension: 400}).Draw(); draw != 360 || !known {
		t.Errorf("the bellows is drawn to %v, %v", draw, known)
	}
}

// The focal surface is that of the newest reading that has any, section by section.
func TestMeasuredSurface(t *testing.T) {
	even := onDay(t, 1, studio.FieldCurve, figure(bench.Curvature, 0.002, 1e-4), figure(bench.Fourth, 1e-8, 1e-9))
	both := onDay(t, 2, studio.FieldCurve, figure(bench.Curvature.Of(bench.Sagittal), 0.001, 1e-4), figure(bench.Curvature.Of(bench.Tangential), -0.003, 1e-4),
		figure(bench.Fourth.Of(bench.Tangential), 2e-8, 1e-9))
	one := onDay(t, 3, studio.FieldCurve, figure(bench.Curvature.Of(bench.Tangential), -0.004, 1e-4))
	lens := bare()
	lens.Design = "triplet"
	for _, tt := range []struct {
		name     string
		readings []studio.LensReading
		want     optics.FocalSurface
		says     string
	}{
		{"one curve", []studio.LensReading{even}, optics.Even(optics.Curve{Curvature: 0.002, Fourth: 1e-8}), "measured 1 November 2026, curvature"},
		{"two sections", []studio.LensReading{both, even}, optics.FocalSurface{Sagittal: optics.Curve{Curvature: 0.001},
			Tangential: optics.Curve{Curvature: -0.003, Fourth: 2e-8}}, "measured 2 November 2026, curvature"},
		{"one section", []studio.LensReading{even, both, one}, optics.Even(optics.Curve{Curvature: -0.004}), "taken so along it"},
	} {
		if k := studio.Known(lens, tt.readings); k.Surface != tt.want || k.SurfaceBasis.Kind != studio.ByBench || !strings.Contains(k.SurfaceBasis.Text, tt.says) {
			t.Errorf("%s: %+v, %+v", tt.name, k.Surface, k.SurfaceBasis)
		}
	}
}

// F-numbers go to the stops of their names, the nameless one to the full opening; shifts and coverage to the
// stops they were read at, coverage to smaller ones too.
func TestMeasuredStops(t *testing.T) {
	lens := studio.Lens{ID: "lens-one", Name: "Brass", Focal: 300, Circle: 250, Stops: []studio.Stop{{Name: "full", FNumber: 3.6}, {Name: "No. 2", FNumber: 5.6}, {Name: "No. 3", FNumber: 8}, {Name: "f/16", FNumber: 16}}}
	named := figure(bench.FNumber, 5.3, 0.05)
	named.Stop = "No. 2"
	k := studio.Known(lens, []studio.LensReading{
		onDay(t, 1, studio.PupilSize, figure(bench.FNumber, 3.8, 0.05)),
		onDay(t, 2, studio.StopSizes, named),
		onDay(t, 3, studio.FocusShift, atStop(figure(bench.FocusShift, 0.4, 0.1), 5.4), atStop(figure(bench.FocusShift, 0.6, 0.1), 8)),
		onDay(t, 4, studio.GoodCircle, atStop(figure(bench.HalfAngle, 22, 1), 8.2)),
		onDay(t, 5, studio.GoodCircle, atStop(figure(bench.HalfAngle, 15, 1), 3.8)),
		onDay(t, 2, studio.GoodCircle, atStop(figure(bench.HalfAngle, 30, 1), 3.8)),
	})
	for i, want := range []struct {
		f, shift, half float64
		basis, covers  string
	}{
		{3.8, 0, 15, "measured 1 November 2026, entrance pupil", "measured 5 November 2026, coverage"},
		{5.3, 0.4, 15, "measured 2 November 2026, stops", "measured 5 November 2026, coverage at f/3.8"},
		{8, 0.6, 22, "as written down", "measured 4 November 2026, coverage"},
		{16, 0, 22, "as written down", "measured 4 November 2026, coverage at f/8.2"},
	} {
		st := k.Stops[i]
		if float64(st.Measured) != want.f || float64(st.Shift) != want.shift || math.Abs(st.Half.Degrees()-want.half) > 1e-9 || st.Basis.Text != want.basis || st.CoverageBasis.Text != want.covers {
			t.Errorf("%s: %+v, want %+v", st.Name, st, want)
		}
	}
	if l, _, ok := k.At("No. 2"); !ok || l.Stop != 5.3 {
		t.Errorf("the lens at No. 2 is %+v", l)
	}
	s := studio.Setup{Lens: lens, Known: &k, Stop: "No. 3", Extension: 300}
	// identity: at infinity the circle is the cone's section a focal length from a thin lens.
	if got, want := float64(s.CircleAt()), 2*300*math.Tan(float64(22*measure.Degree)); math.Abs(got-want) > 1e-9 {
		t.Errorf("circle %g mm, want %g", got, want)
	}
}
