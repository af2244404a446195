package flash_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"platewright/light"
	"platewright/light/flash"
	"platewright/measure"
)

// lambertian returns a head with a softbox whose face has the luminance times time L, lm s/(sr m²).
func lambertian(L float64, s flash.Spread, distance measure.Length) flash.Head {
	area := s.Width.Metres() * s.Height.Metres()
	if s.Round {
		area = math.Pi * s.Width.Metres() * s.Width.Metres() / 4
	}
	s.Kind, s.Efficiency = flash.Softbox, 1
	return flash.Head{Energy: flash.Joules(math.Pi * L * area / 20), Efficacy: 20, Spread: s, Distance: distance}
}

func disc(diameter measure.Length) flash.Spread { return flash.Spread{Width: diameter, Round: true} }

func box(w, h measure.Length) flash.Spread { return flash.Spread{Width: w, Height: h} }

const m = measure.Metre

func dose(t interface {
	Helper()
	Fatal(...any)
}, h flash.Head, turn measure.Angle) float64 {
	t.Helper()
	d, err := h.DoseTurned(turn)
	if err != nil {
		t.Fatal(err)
	}
	return float64(d)
}

// published: figures of the fact sheet's independent script.
func TestFiniteSources(t *testing.T) {
	bare := flash.Head{Energy: 1000, Efficacy: 35, Spread: flash.Spread{Kind: flash.Bare}, Distance: 1.5 * m}
	soft := flash.Head{Energy: 2400, Efficacy: 40, Distance: 1.2 * m,
		Spread: flash.Spread{Kind: flash.Softbox, Round: true, Width: 0.8 * m, Efficiency: 0.6}}
	large := soft
	large.Energy, large.Spread.Width = 4800, 1*m
	twice := soft
	twice.Pops = 2
	for _, tt := range []struct {
		name           string
		got, want, tol float64
	}{
		{"L50 disc of R 0.4 m, L 5000, at 1 m, lx", dose(t, lambertian(5000, disc(0.8*m), m), 0), 2166.616, 0.01},
		{"L51 face of 0.8 x 1.2 m, L 5000, at 1.2 m, lx", dose(t, lambertian(5000, box(0.8*m, 1.2*m), 1.2*m), 0), 2696.417, 0.01},
		{"L52 softbox, 2400 J, lx s", dose(t, soft, 0), 11459, 1},
		{"softbox, 4800 J, R 0.5 m, lx s", dose(t, large, 0), 21698, 0.5},
		{"two pops, lx s", dose(t, twice, 0), 2 * 11459, 2},
		{"bare tube, 1000 J, 1.5 m, lx s", dose(t, bare, 0), 1238, 0.5},
	} {
		if math.Abs(tt.got-tt.want) > tt.tol {
			t.Errorf("%s = %.6f, want %g ± %g [PlateNotes2026]", tt.name, tt.got, tt.want, tt.tol)
		}
	}
	if beam, err := bare.Beam(); err != nil || math.Abs(beam-2785) > 0.5 {
		t.Errorf("beam of the bare tube = %g cd s, %v, want 2785 [PlateNotes2026]", beam, err)
	}
	for _, tt := range []struct {
		h    flash.Head
		a    measure.Stops
		want float64
		tol  float64
	}{{soft, 0, 6.77, 0.005}, {large, 0, 9.3, 0.05}, {soft, measure.StopsOf(0.597), 5.2, 0.05}} {
		n, err := flash.Shot{Index: 1, Actinic: tt.a}.Largest(light.LuxSeconds(dose(t, tt.h, 0)))
		if err != nil || math.Abs(float64(n)-tt.want) > tt.tol {
			t.Errorf("at index 1 and %v it takes f/%.3f, %v, want f/%g [PlateNotes2026]", tt.a, n, err, tt.want)
		}
	}
}

// published: guide numbers.
func TestGuideNumber(t *testing.T) {
	for _, tt := range []struct {
		beam   float64
		index  light.ExposureIndex
		want   float64
		tol    float64
		source string
	}{
		{13926.06, 100, 74.635, 0.001, "PlateNotes2026, L53"}, {13926.06, 1, 7.4635, 0.0001, "PlateNotes2026, B5"},
	} {
		got, err := flash.GuideNumber(tt.beam, tt.index)
		if err != nil || math.Abs(got.Metres()-tt.want) > tt.tol {
			t.Errorf("guide number of %g cd s at index %g = %g m, %v, want %g [%s]", tt.beam, tt.index, got.Metres(), err, tt.want, tt.source)
		}
		back, err := flash.BeamOf(got, tt.index)
		if err != nil || math.Abs(back/tt.beam-1) > 1e-12 {
			t.Errorf("the beam comes back as %g, %v", back, err)
		}
	}
	// The trade's GN in feet = sqrt(0.05 S BCPS), from memory, is the same rule with the constant 215: 264 ft = 80.4 m.
	trade := math.Sqrt(0.05*100*13926.06) * 0.3048
	got, err := flash.GuideNumber(13926.06, 100)
	if err != nil || math.Abs(trade/got.Metres()-math.Sqrt(light.IncidentConstant/215)) > 0.002 {
		t.Errorf("the trade's %g m over ours %g m, %v, is not the root of 250/215", trade, got.Metres(), err)
	}
}

// numeric returns what a face gives a receptor at the origin turned by an angle, by cutting the face into small parts: an
// independent route, with cosine and inverse square alone.
func numeric(L, w, h, d float64, round bool, turn float64) float64 {
	const n = 500
	sum := 0.0
	sin, cos := math.Sincos(turn)
	for i := range n {
		for j := range n {
			var x, y, area float64
			if round { // rings
				r, phi := w/2*(float64(i)+0.5)/n, 2*math.Pi*(float64(j)+0.5)/n
				x, y = r*math.Cos(phi), r*math.Sin(phi)
				area = r * (w / 2 / n) * (2 * math.Pi / n)
			} else {
				x, y = w*((float64(i)+0.5)/n-0.5), h*((float64(j)+0.5)/n-0.5)
				area = w * h / n / n
			}
			r2 := x*x + y*y + d*d
			at := max(0, (x*sin+d*cos)/math.Sqrt(r2)) // at the receptor
			sum += L * at * (d / math.Sqrt(r2)) * area / r2
		}
	}
	return sum
}

// independent: closed forms against sums over small parts, turned receptors and cut horizons among them.
func TestAgainstSums(t *testing.T) {
	for _, turn := range []float64{0, 20, 50, 80, 95, 120, 150, -70, 180} {
		for _, s := range []flash.Spread{disc(0.8 * m), box(0.8*m, 1.2*m), box(1.5*m, 0.3*m)} {
			for _, d := range []float64{0.15, 0.5, 1.2, 4} {
				got := dose(t, lambertian(5000, s, measure.Length(d)*m), measure.Angle(turn)*measure.Degree)
				want := numeric(5000, s.Width.Metres(), s.Height.Metres(), d, s.Round, turn*math.Pi/180)
				if math.Abs(got-want) > 5e-4*want+2e-2 {
					t.Errorf("%+v at %g m turned by %g°: %.5f lx s, want %.5f by summing", s, d, turn, got, want)
				}
			}
		}
	}
}

// identity: far off, both faces are a point with the same beam; what inverse square overstates is (R²+d²)/d².
func TestLimits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		R := rapid.Float64Range(0.01, 1).Draw(t, "R")
		d := rapid.Float64Range(0.02, 30).Draw(t, "d")
		got := dose(t, lambertian(5000, disc(measure.Length(2*R)*m), measure.Length(d)*m), 0)
		if want := math.Pi * 5000 * R * R / (R*R + d*d); math.Abs(got/want-1) > 1e-9 {
			t.Fatalf("disc R %g at %g: %g, want %g [Howell2010]", R, d, got, want)
		}
		turn := rapid.Float64Range(-89, 89).Draw(t, "turn")
		far := measure.Length(300*(R+1)) * m
		for _, s := range []flash.Spread{disc(measure.Length(2*R) * m), box(measure.Length(R)*m, measure.Length(2*R)*m)} {
			h := lambertian(5000, s, far)
			beam, err := h.Beam()
			if err != nil {
				t.Fatal(err)
			}
			got := dose(t, h, measure.Angle(turn)*measure.Degree)
			want := beam / (far.Metres() * far.Metres()) * math.Cos(turn*math.Pi/180)
			if math.Abs(got/want-1) > 1e-4/math.Cos(turn*math.Pi/180) {
				t.Fatalf("%+v at %v turned by %g: %g, want %g by inverse square", s, far, turn, got, want)
			}
		}
	})
}

// identity: a face cut in two gives what its halves give; a receptor close to a very large face gets pi L, turned by a right
// angle half of it.
func TestFaces(t *testing.T) {
	huge := lambertian(1, box(20*m, 20*m), 0.02*m)
	if got := dose(t, huge, 0); math.Abs(got/math.Pi-1) > 1e-4 {
		t.Errorf("before an endless face %g, want pi [Lambert1760]", got)
	}
	if got := dose(t, huge, 90*measure.Degree); math.Abs(got/math.Pi-0.5) > 2e-3 {
		t.Errorf("square to an endless face %g pi, want 0.5 [Lambert1760]", got/math.Pi)
	}
	if got := dose(t, huge, 60*measure.Degree); math.Abs(got/math.Pi-0.75) > 2e-3 {
		t.Errorf("at 60 degrees to an endless face %g pi, want (1+cos 60°)/2 [Lambert1760]", got/math.Pi)
	}
	if got := dose(t, lambertian(1, disc(m), m), 180*measure.Degree); got != 0 {
		t.Errorf("a receptor with its back to the disc gets %g", got)
	}
	rapid.Check(t, func(t *rapid.T) { // an inscribed disc gives less than the square, a circumscribed one more, however turned
		side := rapid.Float64Range(0.05, 2).Draw(t, "side")
		d := measure.Length(rapid.Float64Range(0.05, 5).Draw(t, "d")) * m
		turn := measure.Angle(rapid.Float64Range(-180, 180).Draw(t, "turn")) * measure.Degree
		in := dose(t, lambertian(1e4, disc(measure.Length(side)*m), d), turn)
		sq := dose(t, lambertian(1e4, box(measure.Length(side)*m, measure.Length(side)*m), d), turn)
		out := dose(t, lambertian(1e4, disc(measure.Length(side*math.Sqrt2)*m), d), turn)
		if in > sq+1e-6 || sq > out+1e-6 {
			t.Fatalf("side %g at %v turned %v: inscribed %g, square %g, circumscribed %g", side, d, turn, in, sq, out)
		}
	})
}

// independent: a feathered softbox, on turned receptors whose horizon cuts its face too, against the parts of the face.
func TestFeather(t *testing.T) {
	for _, f := range []float64{-60, -20, 10, 45, 80} {
		for _, turn := range []float64{0, -75, 60, 95} {
			for _, s := range []flash.Spread{disc(0.6 * m), box(0.6*m, 0.9*m)} {
				h := lambertian(5000, s, 0.5*m)
				h.Feather = measure.Angle(f) * measure.Degree
				const n = 400
				sin, cos := math.Sincos(f * math.Pi / 180)
				nx, nz := math.Sincos(turn * math.Pi / 180)
				want := 0.0
				for i := range n {
					for j := range n {
						x, y := s.Width.Metres()*((float64(i)+0.5)/n-0.5), s.Height.Metres()*((float64(j)+0.5)/n-0.5)
						area := s.Width.Metres() * s.Height.Metres() / n / n
						if s.Round { // rings
							r, phi := s.Width.Metres()/2*(float64(i)+0.5)/n, 2*math.Pi*(float64(j)+0.5)/n
							x, y = r*math.Cos(phi), r*math.Sin(phi)
							area = r * s.Width.Metres() / 2 / n * 2 * math.Pi / n
						}
						px, pz := x*cos, 0.5-x*sin // the face turned about its upright middle
						r := math.Sqrt(px*px + y*y + pz*pz)
						shine := (px*sin + pz*cos) / r // along its normal, at the receptor's direction
						want += 5000 * max(0, shine) * max(0, (px*nx+pz*nz)/r) * area / (r * r)
					}
				}
				if got := dose(t, h, measure.Angle(turn)*measure.Degree); math.Abs(got-want) > 2e-3*want+0.02 {
					t.Errorf("%+v feathered by %g°, receptor turned by %g°: %g, want %g by summing", s, f, turn, got, want)
				}
			}
		}
	}
	bare := flash.Head{Energy: 100, Efficacy: 20, Spread: flash.Spread{Kind: flash.Bare}, Distance: m}
	straight := dose(t, bare, 0)
	bare.Feather = 70 * measure.Degree
	if got := dose(t, bare, 0); math.Abs(got/straight-1) > 1e-12 {
		t.Errorf("a bare tube turned gives %g, straight %g", got, straight)
	}
}

// identity: the beam that a gain is taken to make holds the tube's energy, summed over all directions.
func TestReflectorKeepsEnergy(t *testing.T) {
	for _, gain := range []float64{2, 4, 6, 12, 40} {
		sum := 0.0
		const n = 4000
		for i := range n {
			f := (float64(i) + 0.5) / n * 90
			h := flash.Head{Energy: 10, Efficacy: 20, Spread: flash.Spread{Kind: flash.Reflector, Gain: gain}, Distance: m}
			if f > 89 {
				continue // what goes out at so flat an angle is little
			}
			h.Feather = measure.Angle(f) * measure.Degree
			sum += dose(t, h, 0) * 2 * math.Pi * math.Sin(f*math.Pi/180) * math.Pi / 2 / n
		}
		if gain > 2 && math.Abs(sum/200-1) > 1e-2 {
			t.Errorf("gain %g sends out %g lm s of 200", gain, sum)
		}
	}
}

func TestHeadRefuses(t *testing.T) {
	good := flash.Head{Energy: 1000, Efficacy: 30, Distance: m, Spread: flash.Spread{Kind: flash.Softbox, Width: m, Height: m, Efficiency: 0.6}}
	if _, err := good.Dose(); err != nil {
		t.Fatal(err)
	}
	nan := math.NaN()
	for what, change := range map[string]func(*flash.Head){
		"energy":                func(h *flash.Head) { h.Energy = flash.Joules(nan) },
		"efficacy":              func(h *flash.Head) { h.Efficacy = 0 },
		"distance":              func(h *flash.Head) { h.Distance = 0 },
		"pops":                  func(h *flash.Head) { h.Pops = -1 },
		"trim":                  func(h *flash.Head) { h.Trim = measure.Stops(math.Inf(1)) },
		"feather":               func(h *flash.Head) { h.Feather = math.Pi },
		"height above the face": func(h *flash.Head) { h.Above = 2 * m },
		"efficiency":            func(h *flash.Head) { h.Spread.Efficiency = 1.5 },
		"width":                 func(h *flash.Head) { h.Spread.Width = 0 },
		"height":                func(h *flash.Head) { h.Spread.Height = 0 },
		"gain":                  func(h *flash.Head) { h.Spread = flash.Spread{Kind: flash.Reflector} },
	} {
		h := good
		change(&h)
		_, err := h.Dose()
		var re *measure.RangeError
		if !errors.As(err, &re) || re.What != what {
			t.Errorf("%s: error %v, want a range error about it", what, err)
		}
	}
	bad := good
	bad.Spread.Kind = "candle"
	if _, err := bad.Dose(); err == nil || !strings.Contains(err.Error(), "candle") {
		t.Errorf("an unknown spread: %v", err)
	}
}
