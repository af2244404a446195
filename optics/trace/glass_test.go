package trace_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"platewright/measure"
	"platewright/optics/trace"
)

// TestGlassTable holds every catalogued glass to its printed index, V-number and to figures at other lines. Kind: published.
func TestGlassTable(t *testing.T) {
	for _, c := range []struct {
		name             string
		nd, v            float64
		n555, n420, h, g float64
	}{
		{"N-BK7", 1.51680, 64.17, 1.518274, 1.528385, 1.530240, 1.526685},
		{"N-K5", 1.52249, 59.48, 1.524094, 1.535271, 1.537345, 1.533376},
		{"K10", 1.50137, 56.41, 1.502993, 1.514365, 1.516493, 1.512426},
		{"LLF1", 1.54814, 45.75, 1.550318, 1.566071, 1.569107, 1.563328},
		{"LF5", 1.58144, 40.85, 1.584023, 1.602976, 1.606679, 1.599643},
		{"F5", 1.60342, 38.03, 1.606296, 1.627567, 1.631756, 1.623807},
		{"F2", 1.62004, 36.37, 1.623128, 1.646092, 1.650639, 1.642018},
	} {
		n := indexer(t, glass(t, c.name))
		compare(t, []check{
			{c.name + " n_d", n(trace.LineD), c.nd, 5.1e-6, "GlassIndex2017"},
			{c.name + " V", (n(trace.LineD) - 1) / (n(trace.LineF) - n(trace.LineC)), c.v, 5.1e-3, "GlassIndex2017"},
			{c.name + " at 555 nm", n(555e-6), c.n555, 6e-7, "PlateNotes2026"},
			{c.name + " at 420 nm", n(420e-6), c.n420, 6e-7, "PlateNotes2026"},
			{c.name + " at h", n(trace.LineH), c.h, 6e-7, "PlateNotes2026"},
			{c.name + " at g", n(trace.LineG), c.g, 6e-7, "PlateNotes2026"},
		})
	}
	for _, c := range []struct {
		name  string
		nd, v float64
	}{{"N-LAK9", 1.69100, 54.71}, {"N-SF5", 1.67271, 32.25}, {"N-SK16", 1.62041, 60.32}, {"N-SK15", 1.62296, 58.02}, {"E-LLF6", 1.531717, 48.862886}} {
		n := indexer(t, glass(t, c.name))
		compare(t, []check{
			{c.name + " n_d", n(trace.LineD), c.nd, 5.1e-6, "GlassIndex2017"},
			{c.name + " V", (n(trace.LineD) - 1) / (n(trace.LineF) - n(trace.LineC)), c.v, 5.1e-3, "GlassIndex2017"},
		})
	}
	silica := indexer(t, glass(t, "fused silica"))
	compare(t, []check{
		{"fused silica n_d", silica(trace.LineD), 1.458464, 6e-7, "PlateNotes2026"},
		{"fused silica V", (silica(trace.LineD) - 1) / (silica(trace.LineF) - silica(trace.LineC)), 67.82, 5e-3, "PlateNotes2026"},
	})
}

func indexer(t testing.TB, m trace.Medium) func(measure.Length) float64 {
	return func(at measure.Length) float64 {
		t.Helper()
		return must(m.Index(at))(t)
	}
}

// thin is a lens of no thickness: cemented glasses with the given curvatures.
func thin(curvatures []float64, glasses ...trace.Medium) trace.System {
	s := trace.System{}
	for i, c := range curvatures {
		after := trace.Air()
		if i < len(glasses) {
			after = glasses[i]
		}
		s.Surfaces = append(s.Surfaces, trace.Surface{Curvature: c, After: after, Stop: i == 0})
	}
	return s
}

func backOf(t testing.TB, s trace.System, at measure.Length) float64 {
	t.Helper()
	return float64(must(s.In(at))(t).FirstOrder().Back)
}

// achromat returns a thin pair of crown and flint that brings two colours together, with focal length 450
// in the eye's light.
func achromat(t testing.TB, crown, flint trace.Medium, one, two measure.Length) trace.System {
	a, b := indexer(t, crown), indexer(t, flint)
	da, db := a(one)-a(two), b(one)-b(two)
	ka := 1.0
	kb := -ka * da / db
	power := ka*(a(trace.Visual)-1) + kb*(b(trace.Visual)-1)
	ka, kb = ka/(450*power), kb/(450*power)
	return thin([]float64{ka / 2, -ka / 2, -ka/2 - kb}, crown, flint)
}

// TestChemicalFocus compares thin lenses with thin-lens arithmetic and with the handbook's rule, that an
// uncorrected lens is racked in by a fortieth. Kind: published, independent.
func TestChemicalFocus(t *testing.T) {
	bk7, f2, k5, lf5 := glass(t, "N-BK7"), glass(t, "F2"), glass(t, "N-K5"), glass(t, "LF5")
	alone := func(m trace.Medium, from, to measure.Length) float64 {
		s := thin([]float64{0.01, -0.01}, m)
		return backOf(t, s, to)/backOf(t, s, from) - 1
	}
	compare(t, []check{
		{"crown alone, 555 to 420 nm, %", 100 * alone(bk7, trace.Visual, trace.Plate), -1.914, 1e-3, "PlateNotes2026"},
		{"crown N-K5 alone, %", 100 * alone(k5, trace.Visual, trace.Plate), -2.088, 1e-3, "PlateNotes2026"},
		{"flint alone, %", 100 * alone(f2, trace.Visual, trace.Plate), -3.55, 6e-3, "PlateNotes2026"},
		{"crown alone, d to h", -1 / alone(bk7, trace.LineD, trace.LineH), 39.5, .05, "PlateNotes2026"},
		{"crown alone, d to h, a fortieth", -1 / alone(bk7, trace.LineD, trace.LineH), 40, .8, "ActinicRule1963"},
	})
	iLine := measure.Length(365.0146e-6)
	for _, c := range []struct {
		name         string
		crown, flint trace.Medium
		one, two     measure.Length
		want         [6]float64 // C, F, g, 420, h, i
	}{
		{"BK7 and F2, C to F", bk7, f2, trace.LineC, trace.LineF, [6]float64{.256, .256, 1.033, 1.485, 2.079, 4.805}},
		{"K5 and LF5, C to F", k5, lf5, trace.LineC, trace.LineF, [6]float64{.237, .237, .987, 1.431, 2.019, 4.762}},
		{"BK7 and F2, D to G'", bk7, f2, trace.LineSodium, trace.LineGPrime, [6]float64{.592, -.148, .150, .397, .754, 2.616}},
	} {
		s := achromat(t, c.crown, c.flint, c.one, c.two)
		eye := backOf(t, s, trace.Visual)
		for i, at := range []measure.Length{trace.LineC, trace.LineF, trace.LineG, trace.Plate, trace.LineH, iLine} {
			compare(t, []check{{c.name, backOf(t, s, at) - eye, c.want[i], 1e-3, "PlateNotes2026"}})
		}
	}
	compare(t, []check{{"bare radius of BK7 and F2 over the focal length", -1 / must(achromat(t, bk7, f2, trace.LineC, trace.LineF).In(trace.LineD))(t).FirstOrder().Bare / 450, -1.400, 2e-3, "PlateNotes2026"}})
}

// TestUnknownFlint shows why a form's chemical focus is not to be trusted: a change of one and a half in
// the flint's V-number, which nobody printed, moves the blue focus by 0.205 in 100. Kind: independent;
// the notes took one shape of dispersion for each kind of glass, this package blends two, hence a tenth.
func TestUnknownFlint(t *testing.T) {
	blue := func(v float64) float64 {
		s := form(t, "portrait-1840").System.Scaled(1)
		flint := trace.Normal("flint", 1.576, v)
		s.Surfaces[1].After, s.Surfaces[4].After = flint, flint
		return backOf(t, s, trace.Plate) - backOf(t, s, trace.Visual)
	}
	compare(t, []check{{"blue focus moved", blue(42.5) - blue(41), -.2054, .0205, "PlateNotes2026"}})
}

// TestMediaMeetTheirFigures checks that glasses known by a few figures give those figures back. Kind: identity.
func TestMediaMeetTheirFigures(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		nd := rapid.Float64Range(1.45, 1.75).Draw(t, "nd")
		v := rapid.Float64Range(30, 70).Draw(t, "V")
		n := func(m trace.Medium, at measure.Length) float64 {
			i, err := m.Index(at)
			if err != nil {
				t.Fatal(err)
			}
			return i
		}
		old := trace.Normal("old", nd, v)
		if got := (n(old, trace.LineD) - 1) / (n(old, trace.LineF) - n(old, trace.LineC)); math.Abs(n(old, trace.LineD)-nd) > 1e-12 || math.Abs(got-v) > 1e-9 {
			t.Fatalf("index %g, V %g; want %g and %g", n(old, trace.LineD), got, nd, v)
		}
		d := rapid.Float64Range(1.45, 1.75).Draw(t, "D")
		f := d + rapid.Float64Range(.004, .02).Draw(t, "F")
		g := f + rapid.Float64Range(.003, .02).Draw(t, "G'")
		lines := trace.ThreeLines("old", [3]trace.Reading{{At: trace.LineSodium, Index: d}, {At: trace.LineF, Index: f}, {At: trace.LineGPrime, Index: g}}, 400e-6, 700e-6)
		for at, want := range map[measure.Length]float64{trace.LineSodium: d, trace.LineF: f, trace.LineGPrime: g} {
			if got := n(lines, at); math.Abs(got-want) > 1e-12 {
				t.Fatalf("index %.12f, want %.12f", got, want)
			}
		}
	})
	// The two glasses the blend stands between come out as they are.
	for _, name := range []string{"N-K5", "LF5"} {
		real := indexer(t, glass(t, name))
		blend := indexer(t, trace.Normal("blend", real(trace.LineD), (real(trace.LineD)-1)/(real(trace.LineF)-real(trace.LineC))))
		for nm := 370.0; nm <= 700; nm += 10 {
			at := measure.Length(nm * 1e-6)
			compare(t, []check{{name + " blended", blend(at), real(at), 1e-12, "the glass itself"}})
		}
	}
	// Between them the blend is near a glass it does not know: LLF1 lies on the line of ordinary glasses.
	real := indexer(t, glass(t, "LLF1"))
	blend := indexer(t, trace.Normal("blend", 1.54814, 45.75))
	for _, at := range []measure.Length{trace.Plate, trace.LineG, trace.Visual} {
		compare(t, []check{{"LLF1 guessed by index and V", blend(at), real(at), 1e-4, "GlassIndex2017"}})
	}
}

func TestMediaRefuse(t *testing.T) {
	for name, err := range map[string]error{
		"beyond the data":   second(glass(t, "E-LLF6").Index(390e-6)),
		"no index":          second(trace.Medium{Name: "nothing"}.Index(trace.LineD)),
		"below air":         second(trace.Constant("foam", 0.8).Index(trace.LineD)),
		"not a number":      second(trace.Constant("foam", math.NaN()).Index(trace.LineD)),
		"a name not listed": second(trace.Glass("N-BK8")),
		"a colour of NaN":   second(trace.Air().Index(measure.Length(math.NaN()))),
	} {
		if err == nil {
			t.Errorf("%s was taken", name)
		}
	}
}

func second[T any](_ T, err error) error { return err }
