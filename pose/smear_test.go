package pose_test

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"platewright/measure"
	"platewright/pose"
)

// steady returns the chance that the rms about the mean over a time is at most so much.
func steady(t testing.TB, rms, during float64) float64 {
	t.Helper()
	p, err := unit().NoSmear(pose.Smear{Magnification: 0.5, Blur: measure.Length(2 * rms), During: taus(during)})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// usual returns the rms that is to be expected over a time.
func usual(t testing.TB, during float64) float64 {
	t.Helper()
	w, err := unit().UsualSmear(pose.Smear{Magnification: 0.5, During: taus(during)})
	if err != nil {
		t.Fatal(err)
	}
	return float64(w) / 2
}

// exact figures of the closed form, by script, to their last digit.
func TestSpread(t *testing.T) {
	for _, tt := range []struct{ during, want, tol float64 }{{1, 0.51404, 5e-6}, {2, 0.6575, 5e-5}, {1e-4, math.Sqrt(1e-4 / 3), 1e-6}, {2e-3, math.Sqrt(2e-3/3 - 4e-6/12 + 8e-9/60), 1e-9}, {5000, 1, 3e-4}} {
		toward, across, err := unit().Spread(taus(tt.during))
		if err != nil || math.Abs(float64(toward)-tt.want) > tt.tol || across != toward {
			t.Errorf("over %gτ the rms is %.6fσ (%v), want %g [by script]", tt.during, float64(toward), err, tt.want)
		}
	}
	// by script: rms of the place on the plate at 0.43 in 4 s, on one axis: seated 0.60 mm, head rest 0.14, standing 1.0
	for support, want := range map[pose.Support]float64{pose.Seated: 0.60, pose.HeadRest: 0.14, pose.Standing: 1.0} {
		sway, err := pose.SwayOf(support)
		if err != nil {
			t.Fatal(err)
		}
		if _, across, err := sway.Spread(4 * time.Second); err != nil || math.Abs(0.43*float64(across)-want) > 0.006 {
			t.Errorf("%s: %.4f mm (%v), want %g [by script]", support, 0.43*float64(across), err, want)
		}
	}
}

// identity: the mean square over a time is that of the correlation (1+ωΔ) exp(-ωΔ), ω = 2/τ, summed over pairs of
// moments, and the mean square that the chances imply.
func TestUsualSmear(t *testing.T) {
	for _, during := range []float64{1e-4, 0.02, 0.06, 0.3, 1, 4, 30, 80} {
		const n = 4000
		pairs := 0.0
		for i := range n { // pairs of moments apart by x share 2 (1-x)
			x := (float64(i) + 0.5) / n
			apart := 2 * during * x
			pairs += 2 * (1 - x) * (-math.Expm1(-apart) - apart*math.Exp(-apart)) / n
		}
		mean := usual(t, during) * usual(t, during)
		if math.Abs(mean/pairs-1) > 1e-4 {
			t.Errorf("over %gτ the mean square is %.9f, over pairs of moments %.9f", during, mean, pairs)
		}
		sum := 0.0
		const top = 5
		for i := range n {
			rms := (float64(i) + 0.5) / n * top
			sum += 2 * rms * (1 - steady(t, rms*math.Sqrt(mean), during)) * top / n
		}
		if math.Abs(sum-1) > 0.001 {
			t.Errorf("over %gτ the chances imply %.6f of the mean square", during, sum)
		}
	}
}

// independent: heads that move by chance along the smooth process, place and speed stepped exactly, seed fixed; 8,000
// heads tell a chance to 0.0056.
func TestSmearByChance(t *testing.T) {
	rnd := rand.New(rand.NewPCG(7, 7))
	const heads, steps = 8000, 200
	for _, tt := range []struct{ during, rms float64 }{{0.1, 0.05}, {0.5, 0.15}, {1, 0.3}, {1, 0.5}, {4, 0.5}, {4, 0.9}, {12, 0.9}, {70, 0.97}} {
		d := 2 * tt.during / steps
		e := math.Exp(-d)
		xx, xy, yx, yy := e*(1+d), e*d, -e*d, e*(1-d) // place and speed over ω, from step to step
		px := math.Sqrt(1 - xx*xx - xy*xy)            // what chance adds, for both to stay of deviation one
		pxy := -(xx*yx + xy*yy) / px
		py := math.Sqrt(1 - yx*yx - yy*yy - pxy*pxy)
		calm := 0
		for range heads {
			x, y := rnd.NormFloat64(), rnd.NormFloat64()
			sum, squares := x/2, x*x/2
			for i := range steps {
				a, b := rnd.NormFloat64(), rnd.NormFloat64()
				x, y = xx*x+xy*y+px*a, yx*x+yy*y+pxy*a+py*b
				weight := 1.0
				if i == steps-1 {
					weight = 0.5
				}
				sum, squares = sum+weight*x, squares+weight*x*x
			}
			if squares/steps-sum/steps*sum/steps <= tt.rms*tt.rms {
				calm++
			}
		}
		if got, want := steady(t, tt.rms, tt.during), float64(calm)/heads; math.Abs(got-want) > 0.02 {
			t.Errorf("over %gτ the rms is at most %gσ with %.4f, by chance %.4f", tt.during, tt.rms, got, want)
		}
	}
}

// identity: within a flash a head moves evenly at a normal speed of deviation 2σ/τ, and an even stretch is √12 rms long.
// So a flash of a thousandth of a second stands a sitter still who in the published minute goes 36.8 cm.
func TestSmearWithinAFlash(t *testing.T) {
	for _, during := range []float64{1e-5, 4e-4, 6e-4, 2e-3} {
		even := 2 * during / math.Sqrt(12)
		if got := usual(t, during); math.Abs(got/even-1) > 0.001 {
			t.Errorf("over %gτ the rms is %.8fσ, of an even motion %.8f", during, got, even)
		}
		for _, k := range []float64{0.2, 1, 2.5} {
			if got, want := steady(t, k*even, during), math.Erf(k/math.Sqrt2); math.Abs(got-want) > 0.001 {
				t.Errorf("over %gτ the rms is at most %.3g of the usual with %.5f, want %.5f", during, k, got, want)
			}
		}
	}
	standing, err := pose.SwayOf(pose.Standing)
	if err != nil {
		t.Fatal(err)
	}
	flash := pose.Smear{Magnification: 0.43, Blur: 0.1, During: time.Millisecond}
	width, err := standing.UsualSmear(flash)
	if err != nil {
		t.Fatal(err)
	}
	// 6.13 mm/s of path is, along one of two axes, at most so much in a thousandth of a second, times 4/√12 and 0.43
	if most := 6.13e-3 * 0.43 * 4 / math.Sqrt(12); float64(width) > most {
		t.Errorf("a flash smears a standing sitter by %v, want at most %.4f mm [HeadMotion20]", width, most)
	}
	if p, err := standing.NoSmear(flash); err != nil || p < 0.99999 {
		t.Errorf("a flash stands a standing sitter still with %g (%v)", p, err)
	}
}

// identity: a chance, and one that falls with magnification and rises with the blur; it falls with time as long
// as less is asked for than the whole sway, about which the rms gathers in the end.
func TestSmearIsMonotone(t *testing.T) {
	rnd := rand.New(rand.NewPCG(9, 9))
	for range 3000 {
		rms, during := math.Exp(14*rnd.Float64()-9), math.Exp(19*rnd.Float64()-11)
		p := steady(t, rms, during)
		if p < 0 || p > 1 || math.IsNaN(p) {
			t.Fatalf("rms %g over %gτ: %g", rms, during, p)
		}
		if more := steady(t, 1.05*rms, during); more < p-1e-6 {
			t.Errorf("over %gτ: %.8f at %g, %.8f at a twentieth more", during, p, rms, more)
		}
		if longer := steady(t, rms, 1.05*during); rms < 0.7 && longer > p+1e-6 {
			t.Errorf("rms %g: %.8f over %gτ, %.8f over a twentieth more", rms, p, during, longer)
		}
	}
	if p := steady(t, 0.1, 0); p != 1 {
		t.Errorf("a flash of no time smears with %g", 1-p)
	}
}

// published: what the sways are fitted to.
func TestSwayAgainstPublishedFigures(t *testing.T) {
	standing, err := pose.SwayOf(pose.Standing)
	if err != nil {
		t.Fatal(err)
	}
	if standing.Toward != 5.0 || standing.Across != 3.3 {
		t.Errorf("standing %v toward, %v across; want 5.0 and 3.3 mm [CopTable2014]", standing.Toward, standing.Across)
	}
	// path of the head in a minute: 36.8 cm, deviation 8.0 between people
	speed, err := standing.Speed()
	if path := speed * 60 / 10; err != nil || math.Abs(path-36.8) > 8.0 {
		t.Errorf("a standing head goes %.1f cm in a minute (%v), want 36.8 ± 8.0 [HeadMotion20]", path, err)
	}
	// identity: mean speed of alike velocities is √(π/2) of their deviation, 2/τ by σ; of one alone √(2/π).
	for _, tt := range []struct {
		across measure.Length
		want   float64
	}{{4, 8 * math.Sqrt(math.Pi/2)}, {0.001, 8 * math.Sqrt(2/math.Pi)}} {
		if got, err := (pose.Sway{Toward: 4, Across: tt.across, Settle: time.Second}).Speed(); err != nil || math.Abs(got-tt.want) > 1e-5 {
			t.Errorf("speed %.6f (%v), want %.6f", got, err, tt.want)
		}
	}
	// by script: σ 4 mm and velocities of 4.9 mm/s settle in 1.6 s
	if got := 2 * 4 / 4.9; math.Abs(got-standing.Settle.Seconds()) > 0.05 {
		t.Errorf("settling %v, want %.2f s [HeadMotion20]", standing.Settle, got)
	}
	for _, s := range pose.Supports() {
		usual, err1 := pose.SwayOf(s)
		calm, restless, err2 := pose.SwayRange(s)
		if err1 != nil || err2 != nil || calm.Toward >= usual.Toward || usual.Toward >= restless.Toward || calm.Across >= usual.Across || usual.Across >= restless.Across {
			t.Errorf("%s: %+v is not between %+v and %+v (%v, %v)", s, usual, calm, restless, err1, err2)
		}
	}
	// a rest at the back of the head holds no better than a mask about all of it: 0.27 to 0.29 mm
	if rest, err := pose.SwayOf(pose.HeadRest); err != nil || rest.Toward < 0.29 {
		t.Errorf("head rest %v (%v), a mask 0.27 to 0.29 mm [MaskMotion2019]", rest.Toward, err)
	}
}

// published rates; the chances by script.
func TestBlinks(t *testing.T) {
	for _, tt := range []struct {
		seconds int
		want    float64
	}{{2, 0.433}, {4, 0.678}, {8, 0.896}} {
		b, err := pose.Blinks(pose.BlinksAtRest, time.Duration(tt.seconds)*time.Second)
		if err != nil || math.Abs(b.Chance-tt.want) > 0.0005 {
			t.Errorf("a blink in %d s: %.4f (%v), want %g [Blinks1997; by script]", tt.seconds, b.Chance, err, tt.want)
		}
		if math.Abs(b.OpenShare-0.958) > 0.0005 || math.Abs(float64(b.Ghost)+0.06) > 0.005 {
			t.Errorf("open %.4f of the time, %v; want 0.958 and 0.06 stop less [by script]", b.OpenShare, b.Ghost)
		}
	}
	b, err := pose.Blinks(pose.BlinksAtRest, time.Second)
	if err != nil || math.Abs(float64(b.One)-math.Log2(0.7)) > 1e-9 {
		t.Errorf("one blink of 0.3 s in 1 s costs %v (%v)", b.One, err)
	}
	if b, err := pose.Blinks(pose.BlinksAtRest, time.Millisecond); err != nil || b.One != -10 || math.IsInf(float64(b.Ghost), 0) {
		t.Errorf("shut all through a flash: %v, %v", b.One, err)
	}
}

func BenchmarkNoSmear(b *testing.B) {
	s, _ := pose.SwayOf(pose.Seated)
	for b.Loop() {
		if _, err := s.NoSmear(pose.Smear{Magnification: 0.43, Blur: 0.1, During: 2 * time.Second}); err != nil {
			b.Fatal(err)
		}
	}
}
