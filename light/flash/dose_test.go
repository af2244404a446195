package flash_test

import (
	"math"
	"strings"
	"testing"

	"platewright/light"
	"platewright/light/flash"
	"platewright/measure"
)

// published: 50 W/m² of UVA reach 10 000 J/m² in 200 s; ends of the risk groups at 1000, 300 and 100 s.
func TestUVATime(t *testing.T) {
	for _, tt := range []struct{ irradiance, want, tol float64 }{{50, 200, 1e-9}, {33, 300, 5}, {100, 100, 1e-9}} {
		got, unbounded, err := flash.UVATime(tt.irradiance)
		if err != nil || unbounded || math.Abs(float64(got)-tt.want) > tt.tol {
			t.Errorf("%g W/m²: %g s, %v, %v, want %g [IEC62471, 4.3.2]", tt.irradiance, got, unbounded, err, tt.want)
		}
	}
	if _, unbounded, err := flash.UVATime(10); err != nil || !unbounded {
		t.Errorf("10 W/m²: %v, %v, want no bound [IEC62471, 4.3.2]", unbounded, err)
	}
	if got, unbounded, err := flash.ActinicTime(0.3); err != nil || unbounded || math.Abs(float64(got)-100) > 1e-9 {
		t.Errorf("0.3 W/m² weighted: %g s, %v, want 30/E = 100 [IEC62471, 4.3.1]", got, err)
	}
	if _, _, err := flash.UVATime(math.NaN()); err == nil {
		t.Error("an irradiance that is no number is not refused")
	}
}

// published: the fact sheet's flash of 12 000 lx s, to the digits printed.
func TestFlashHazard(t *testing.T) {
	d, err := flash.Hazard(light.ClearTube, 12000)
	if err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		name           string
		got, want, tol float64
	}{{"UVA", d.UVA, 11, 0.5}, {"S-weighted", d.ActinicUV, 0.04, 0.005}, {"B-weighted", d.Blue, 12, 0.5}} {
		if math.Abs(tt.got-tt.want) > tt.tol {
			t.Errorf("%s %g J/m², want %g ± %g [PlateNotes2026, B8]", tt.name, tt.got, tt.want, tt.tol)
		}
	}
	cut, err := flash.Hazard(light.UVCut, 12000)
	if err != nil || cut.UVA != 0 || cut.ActinicUV != 0 {
		t.Errorf("an UV-cut tube gives %+v, %v, want no ultraviolet [PlateNotes2026, B8]", cut, err)
	}
	part, err := flash.Hazard(light.PartUV, 12000)
	if err != nil || !(part.UVA > 0 && part.UVA < d.UVA) {
		t.Errorf("a part-UV tube gives %+v, %v, want less than a clear one", part, err)
	}
}

// identity: a panel's irradiance is what its spectrum adds up to; its UVA, all in the band, is that too; its weighted light is
// the weight at its peak, nearly.
func TestPanel(t *testing.T) {
	p := flash.Panel{PeakNM: 365, WidthNM: 10, Irradiance: 50}
	s, err := p.Spectrum()
	if err != nil || math.Abs(s.Integral(200, 800)-50) > 1e-9 {
		t.Fatalf("the spectrum adds up to %g W/m², %v", s.Integral(200, 800), err)
	}
	d, err := p.Over(200)
	if err != nil || math.Abs(d.UVA-flash.UVALimit) > 1 {
		t.Errorf("200 s of 50 W/m² give %g J/m², %v, want 10 000 [IEC62471, 4.3.2]", d.UVA, err)
	}
	if want := 1e4 * 1.1e-4; math.Abs(d.ActinicUV/want-1) > 0.05 {
		t.Errorf("weighted by S %g J/m², want about %g [ICNIRP2004], from memory", d.ActinicUV, want)
	}
	blue, err := flash.Panel{PeakNM: 437, WidthNM: 2, Irradiance: 1}.Over(1)
	if err != nil || math.Abs(blue.Blue-1) > 0.01 {
		t.Errorf("a line at 437 nm weighs %g, %v, want 1.0 [IEC62471]", blue.Blue, err)
	}
	if _, err := (flash.Panel{PeakNM: 254, WidthNM: 5, Irradiance: 1}).Over(1); err == nil {
		t.Error("a lamp of 254 nm, below the weights, is not refused")
	}
}

// published: B is 10^((450-nm)/50) from 500 to 600 nm; S is about 0.3·0.736^(nm-300) + 10^(2-0.0163 nm) within 30 % but near
// 315 to 320 nm, from memory.
func TestWeights(t *testing.T) {
	line := func(nm float64) flash.Dose {
		v := []float64{0, 0.2, 0}
		s, err := light.NewSpectrum(nm-5, 5, v)
		if err != nil {
			t.Fatal(err)
		}
		d, err := flash.DoseOf(s)
		if err != nil {
			t.Fatal(err)
		}
		return d
	}
	for nm := 500.0; nm <= 600; nm += 5 {
		if got, want := line(nm).Blue, math.Pow(10, (450-nm)/50); math.Abs(got/want-1) > 5e-3 {
			t.Errorf("B at %g nm is %g, want %g [IEC62471]", nm, got, want)
		}
	}
	for nm := 325.0; nm <= 400; nm += 5 {
		if got, want := line(nm).ActinicUV, 0.3*math.Pow(0.736, nm-300)+math.Pow(10, 2-0.0163*nm); math.Abs(got/want-1) > 0.3 {
			t.Errorf("S at %g nm is %g, want %g within 30 %% [ICNIRP2004], from memory", nm, got, want)
		}
	}
}

func TestAgainstLimits(t *testing.T) {
	held, err := flash.Dose{UVA: 5000, ActinicUV: 45, Blue: 12}.Against(1)
	if err != nil || len(held) != 3 {
		t.Fatal(held, err)
	}
	if !strings.Contains(held[0].Sentence, "150 %") || !strings.Contains(held[0].Sentence, "passed") || !strings.Contains(held[1].Sentence, "50 %") {
		t.Errorf("%q, %q", held[0].Sentence, held[1].Sentence)
	}
	long, err := flash.Dose{UVA: 5000}.Against(2000)
	if err != nil || long[1].Limit != 20000 {
		t.Errorf("over 2000 s the UVA limit is %v, %v, want 10 W/m² of that time [IEC62471, 4.3.2]", long[1].Limit, err)
	}
	if _, err := (flash.Dose{UVA: math.Inf(1)}).Against(1); err == nil {
		t.Error("an endless dose is not refused")
	}
}

// No sentence calls anything safe, whatever the head.
func TestNothingIsCalledSafe(t *testing.T) {
	var all []string
	for _, tube := range light.Tubes() {
		for _, d := range []measure.Length{0.2 * m, 3 * m} {
			h := flash.Head{Energy: 1000, Efficacy: 26, Tube: tube, Distance: d, Pops: 3, Spread: flash.Spread{Kind: flash.Bare}}
			all = append(all, h.Cautions()...)
			dose, err := h.Hazard()
			if err != nil {
				t.Fatal(err)
			}
			held, err := dose.Against(1)
			if err != nil {
				t.Fatal(err)
			}
			for _, l := range held {
				all = append(all, l.Sentence)
			}
		}
	}
	panel, err := flash.Panel{PeakNM: 385, WidthNM: 12, Irradiance: 50}.Cautions(8)
	if err != nil || !strings.Contains(strings.Join(panel, " "), "200 s") {
		t.Errorf("%v, %v", panel, err)
	}
	for _, s := range append(all, panel...) {
		if strings.Contains(strings.ToLower(s), "safe") || strings.Contains(s, "harmless") {
			t.Errorf("%q", s)
		}
	}
	if len(all) < 20 {
		t.Errorf("only %d sentences", len(all))
	}
}

func BenchmarkRig(b *testing.B) {
	r := flash.Rig{
		Heads: []flash.Head{
			{Energy: 2400, Efficacy: 26, Distance: 1.2 * m, Angle: 0.8, Above: 0.5 * m, Spread: flash.Spread{Kind: flash.Softbox, Width: 0.8 * m, Height: 1.2 * m, Efficiency: 0.6}},
			{Energy: 600, Efficacy: 26, Distance: 2 * m, Angle: -0.6, Spread: flash.Spread{Kind: flash.Softbox, Round: true, Width: m, Efficiency: 0.6}},
		},
		Boards: []flash.Board{{Width: m, Height: 2 * m, Distance: m, Angle: -1, Reflectance: 0.9}},
		Room:   &flash.Room{Surface: 90, Reflectance: 0.5},
	}
	for b.Loop() {
		if _, err := r.At(); err != nil {
			b.Fatal(err)
		}
	}
}

// identity: the dose of a day is that of its flashes, added.
func TestDosesAdd(t *testing.T) {
	a, err := flash.Hazard(light.ClearTube, 5000)
	if err != nil {
		t.Fatal(err)
	}
	b, err := flash.Hazard(light.ClearTube, 7000)
	if err != nil {
		t.Fatal(err)
	}
	both, err := flash.Hazard(light.ClearTube, 12000)
	if got := a.Plus(b); err != nil || math.Abs(got.UVA-both.UVA) > 1e-9 || math.Abs(got.Blue-both.Blue) > 1e-9 || math.Abs(got.ActinicUV-both.ActinicUV) > 1e-12 {
		t.Errorf("5000 and 7000 lx s come to %+v, %v, 12 000 to %+v", got, err, both)
	}
}

func TestShotRefuses(t *testing.T) {
	good := flash.Shot{Index: 1, Aperture: 4}
	for what, change := range map[string]func(*flash.Shot){
		"exposure index": func(s *flash.Shot) { s.Index = 0 },
		"aperture":       func(s *flash.Shot) { s.Aperture = measure.FNumber(math.NaN()) },
		"bellows stops":  func(s *flash.Shot) { s.Bellows = -1 },
		"actinic stops":  func(s *flash.Shot) { s.Actinic = 30 },
	} {
		s := good
		change(&s)
		if _, err := s.Needs(); err == nil || !strings.HasPrefix(err.Error(), what) {
			t.Errorf("%s: %v", what, err)
		}
	}
	if _, err := good.Largest(0); err == nil {
		t.Error("no light has a stop")
	}
	if _, err := flash.GuideNumber(0, 1); err == nil {
		t.Error("no beam has a guide number")
	}
	if _, err := flash.BeamOf(0, 1); err == nil {
		t.Error("no guide number has a beam")
	}
}
