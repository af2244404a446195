package collodion_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"platewright/collodion"
	"platewright/measure"
)

// pairsOf returns what three pairs of lights do to a film, with an error of its own on each when r is given.
func pairsOf(t testing.TB, truth collodion.Sensitivity, sigma measure.Stops, r *rand.Rand) []collodion.Pair {
	t.Helper()
	none, lens := filter(t, "none"), filter(t, "old crown-flint")
	var out []collodion.Pair
	for _, p := range [][2]string{{"D65", "LED-B3"}, {"D65", "flash UV cut"}, {"flash clear", "flash UV cut"}} {
		a, err := truth.Actinic(source(t, p[0]), none, lens)
		if err != nil {
			t.Fatal(err)
		}
		b, err := truth.Actinic(source(t, p[1]), none, lens)
		if err != nil {
			t.Fatal(err)
		}
		more := a.Stops - b.Stops
		if r != nil {
			more += sigma * measure.Stops(r.NormFloat64())
		}
		out = append(out, collodion.Pair{A: collodion.Lit{Source: source(t, p[0]), Glazing: none}, B: collodion.Lit{Source: source(t, p[1]), Glazing: none}, More: more, Sigma: sigma})
	}
	return out
}

// Pairs without error, and sure of it, give back the film they were reckoned from.
func TestPairsGiveTheFilmBack(t *testing.T) {
	film, lens := usualFilm(t), filter(t, "old crown-flint")
	for _, tt := range []struct {
		edge float64
		uv   measure.Stops
	}{{0, 0}, {8, 0}, {-12, .5}, {15, -1}, {-5, 1.2}} {
		truth, err := film.Fitted(tt.edge, tt.uv)
		if err != nil {
			t.Fatal(err)
		}
		f, err := film.FitPairs(pairsOf(t, truth, .01, nil), lens)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "edge", f.EdgeNM, tt.edge, .3, "identity; what was believed beforehand pulls a little")
		near(t, "ultraviolet", float64(f.UV), float64(tt.uv), .05, "identity")
		if f.Rest > 1 || f.EdgeSD > 2.5 || f.UVSD > .2 {
			t.Errorf("edge %g, uv %g: %+v", tt.edge, float64(tt.uv), f)
		}
		fitted, err := film.FittedTo(f)
		if err != nil {
			t.Fatal(err)
		}
		for _, name := range []string{"LED-B1", "LED-B5", "D75", "flash part UV"} {
			a, b, before := actinic(t, truth, name), actinic(t, fitted, name), actinic(t, film, name)
			near(t, "fitted film under "+name, float64(b.Stops), float64(a.Stops), .03, "identity")
			if b.High-b.Low > (before.High-before.Low)/2 {
				t.Errorf("%s: fitted to a hundredth of a stop, the band is still %v to %v, before %v to %v", name, b.Low, b.High, before.Low, before.High)
			}
		}
	}
}

// Over many films drawn from what is believed beforehand and plates with honest errors, the truth lies within one standard
// deviation as often as it should.
func TestFitIsAsSureAsItSays(t *testing.T) {
	film, lens := usualFilm(t), filter(t, "old crown-flint")
	r := rand.New(rand.NewPCG(4, 2026))
	const films = 150
	edges, uvs := 0, 0
	for range films {
		edge := math.Max(-22, math.Min(22, collodion.EdgeSD*r.NormFloat64()))
		uv := collodion.UVSD * measure.Stops(r.NormFloat64())
		truth, err := film.Fitted(edge, uv)
		if err != nil {
			t.Fatal(err)
		}
		f, err := film.FitPairs(pairsOf(t, truth, .3, r), lens)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(f.EdgeNM-edge) < f.EdgeSD {
			edges++
		}
		if math.Abs(float64(f.UV-uv)) < float64(f.UVSD) {
			uvs++
		}
		if !(f.EdgeSD <= collodion.EdgeSD+1e-9 && f.UVSD <= collodion.UVSD+1e-9) {
			t.Errorf("pairs made it less sure: %+v", f)
		}
	}
	// 0.683 of 150 is 102.4, and one standard deviation of that count 5.7: three either way.
	for what, n := range map[string]int{"edge": edges, "ultraviolet": uvs} {
		if n < 85 || n > 120 {
			t.Errorf("the %s lay within one standard deviation %d times of %d, want about 102", what, n, films)
		}
	}
}

// One pair that the ultraviolet hardly enters tells of the edge and leaves the ultraviolet as it was believed.
func TestOnePair(t *testing.T) {
	film, lens, none := usualFilm(t), filter(t, "old crown-flint"), filter(t, "none")
	cut := collodion.Lit{Source: source(t, "flash UV cut"), Glazing: none}
	led := collodion.Lit{Source: source(t, "LED-B3"), Glazing: none}
	a, b := actinic(t, film, "flash UV cut"), actinic(t, film, "LED-B3")
	f, err := film.FitPairs([]collodion.Pair{{A: cut, B: led, More: a.Stops - b.Stops + .4, Sigma: .1}}, lens)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "ultraviolet", float64(f.UV), 0, .1, "hardly anything of it in either light")
	near(t, "its standard deviation", float64(f.UVSD), float64(collodion.UVSD), .02, "as before")
	if !(f.EdgeNM < -3 && f.EdgeSD < collodion.EdgeSD) {
		t.Errorf("an LED that does less than thought: %+v", f)
	}
	// Pairs that contradict one another are said to.
	wrong := []collodion.Pair{{A: cut, B: led, More: 2, Sigma: .1}, {A: cut, B: led, More: 0, Sigma: .1}}
	if f, err = film.FitPairs(wrong, lens); err != nil || f.Rest < 2 {
		t.Errorf("contradicting pairs: %+v, %v", f, err)
	}
}

func BenchmarkFitPairs(b *testing.B) {
	film, lens := usualFilm(b), filter(b, "old crown-flint")
	truth, err := film.Fitted(6, .4)
	if err != nil {
		b.Fatal(err)
	}
	pairs := pairsOf(b, truth, .3, nil)
	for b.Loop() {
		if _, err := film.FitPairs(pairs, lens); err != nil {
			b.Fatal(err)
		}
	}
}
