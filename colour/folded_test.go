package colour_test

import (
	"math"
	"testing"

	"platewright/collodion"
	"platewright/colour"
)

// identity: the tables and the law agree to 0.01 stop over the whole of sRGB, in every kind of light.
func TestFoldedAgrees(t *testing.T) {
	for _, k := range []string{"daylight", "shade", "flash, clear tube", "flash, UV cut", "LED"} {
		fit := fitFor(t, kind(k))
		folded := fit.Fold()
		blue, greatest := fit.ByCode(256, colour.Linear)
		worst, worstCode := 0.0, 0.0
		for r := 0; r < 256; r += 15 {
			for g := 0; g < 256; g += 5 {
				for b := range 256 {
					c := colour.Encoded(float64(r)/255, float64(g)/255, float64(b)/255)
					want := float64(fit.Stops(c))
					worst = math.Max(worst, math.Abs(want-float64(folded.Stops(float32(c.R), float32(c.G), float32(c.B)))))
					worstCode = math.Max(worstCode, math.Abs(want-math.Min(0, float64(blue[b]+greatest[max(r, g, b)]))))
				}
			}
		}
		t.Logf("%s: tables of linear light within %.6f stop, by code within %.6f", k, worst, worstCode)
		if worst > 0.01 || worstCode > 0.01 {
			t.Errorf("%s: tables err by %.4f and %.4f stop, at most 0.01", k, worst, worstCode)
		}
		// near black the law bends most
		for v := 0.0; v <= 0.004; v += 0.000013 {
			for _, g := range []float64{0, 0.0007, 0.5} {
				c := colour.RGB{R: v / 2, G: g, B: v}
				if d := math.Abs(float64(fit.Stops(c)) - float64(folded.Stops(float32(c.R), float32(c.G), float32(c.B)))); d > 0.01 {
					t.Fatalf("%s: %v errs by %.4f stop", k, c, d)
				}
			}
		}
	}
}

// What lies outside sRGB, or is no number, is taken at the nearest that lies inside.
func TestFoldedOutside(t *testing.T) {
	fit := fitFor(t, "daylight")
	folded := fit.Fold()
	nan, inf := float32(math.NaN()), float32(math.Inf(1))
	for _, tt := range []struct{ r, g, b, R, G, B float32 }{
		{-1, 0.5, 0.2, 0, 0.5, 0.2}, {2, 3, inf, 1, 1, 1}, {nan, 0.3, nan, 0, 0.3, 0}, {nan, nan, nan, 0, 0, 0}, {0.1, 0.2, -inf, 0.1, 0.2, 0},
	} {
		got, want := folded.Stops(tt.r, tt.g, tt.b), folded.Stops(tt.R, tt.G, tt.B)
		if got != want || math.IsNaN(float64(got)) || math.IsInf(float64(got), 0) {
			t.Errorf("%v: %v, want %v", tt, got, want)
		}
		if s := fit.Seen(colour.RGB{R: float64(tt.r), G: float64(tt.g), B: float64(tt.b)}); !(s > 0 && s <= 1) {
			t.Errorf("%v: law sees %v", tt, s)
		}
	}
}

// More light in a channel never makes a surface darker on the plate.
func TestFitRises(t *testing.T) {
	for _, k := range kinds(t) {
		fit := fitFor(t, k)
		if !(fit.Blue > 0 && fit.Greatest > 0 && fit.K > 0 && fit.Seen(colour.RGB{R: 1, G: 1, B: 1}) <= 1) {
			t.Errorf("%s: %+v", k, fit)
		}
		for _, h := range []collodion.Halides{{Iodide: 1}, {Bromide: 1}} {
			s, err := colour.SightFor(k)
			if err != nil {
				t.Fatal(err)
			}
			if s.Sees, err = collodion.Sees(h); err != nil {
				t.Fatal(err)
			}
			other, err := s.Fit()
			if err != nil || !(other.Blue > 0 && other.Greatest > 0 && other.LeaveOneOut > 0.15 && other.LeaveOneOut < 0.45) {
				t.Errorf("%s, %+v: %+v %v", k, h, other, err)
			}
		}
	}
}

func BenchmarkFoldedPixel(b *testing.B) {
	folded := fitFor(b, "daylight").Fold()
	sum := float32(0)
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		v := float32(i&1023) / 1023
		sum += folded.Stops(v, 1-v, v*v)
	}
	_ = sum
}

func BenchmarkCodedPixel(b *testing.B) {
	blue, greatest := fitFor(b, "daylight").ByCode(256, colour.Linear)
	sum := float32(0)
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		r, g, c := uint8(i), uint8(i>>1), uint8(i>>2)
		sum += min(0, blue[c]+greatest[max(r, g, c)])
	}
	_ = sum
}

func BenchmarkFullPixel(b *testing.B) {
	fit := fitFor(b, "daylight")
	sum := 0.0
	for i := 0; b.Loop(); i++ {
		v := float64(i&1023) / 1023
		sum += float64(fit.Stops(colour.RGB{R: v, G: 1 - v, B: v * v}))
	}
	_ = sum
}

func BenchmarkFitFor(b *testing.B) {
	for b.Loop() {
		fitFor(b, "daylight")
	}
}

func BenchmarkFold(b *testing.B) {
	fit := fitFor(b, "daylight")
	for b.Loop() {
		fit.Fold()
	}
}
