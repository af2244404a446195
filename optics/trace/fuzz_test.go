package trace_test

import (
	"encoding/binary"
	"math"
	"testing"

	"pgregory.net/rapid"

	"platewright/measure"
	"platewright/optics/trace"
)

// read takes numbers from bytes: any bit pattern is a number a caller might hand in.
type read struct{ data []byte }

func (r *read) float() float64 {
	if len(r.data) < 8 {
		return 0
	}
	v := math.Float64frombits(binary.LittleEndian.Uint64(r.data))
	r.data = r.data[8:]
	return v
}

func (r *read) system() trace.System {
	s := trace.System{}
	for len(r.data) >= 40 && len(s.Surfaces) < 12 {
		s.Surfaces = append(s.Surfaces, trace.Surface{Curvature: r.float(), Thickness: measure.Length(r.float()),
			After: trace.Constant("glass", r.float()), Rim: measure.Length(r.float()), Stop: math.Signbit(r.float())})
	}
	return s
}

func floats(values ...float64) []byte {
	var data []byte
	for _, v := range values {
		data = binary.LittleEndian.AppendUint64(data, math.Float64bits(v))
	}
	return data
}

// FuzzTrace hands in any system and any ray: an answer is finite, its direction one long; all else is an error.
func FuzzTrace(f *testing.F) {
	lens := floats(.02, 6, 1.5, 20, -1, -.02, 3, 1, 20, 1)
	f.Add(lens, floats(0, 5, 0, 0, 0, 1), 0.1, 8.0, 0.3)
	f.Add(lens, floats(0, 30, 0, 0, 0, 1), 1.2, 1.0, 0.0)
	f.Add(lens, floats(1e9, -1e9, 1e9, 1, 1, 1e-9), -1.3, .3, 1e-6)
	f.Add(floats(1e3, -1e6, 4, 0, 1, -1e3, 1e6, 1, 0, -1, 1e-300, 1e6, 2, 1e6, 1), floats(1e-3, 1e-3, 0, .5, .5, .5), .5, 1000.0, 100.0)
	f.Add(floats(0, 1e6, 1.5, 0, -1, 0, 1e6, 1, 0, 1, 1e-9, 0, 4, 0, 1), floats(0, 0, 0, .9, .1, 1e-8), 1.39, .5, 0.0)
	f.Add(floats(math.NaN(), math.Inf(1), math.NaN(), math.Inf(-1), -1), floats(math.NaN(), 0, 0, 0, 0, math.Inf(1)), math.NaN(), math.NaN(), math.NaN())
	f.Fuzz(func(t *testing.T, system, ray []byte, field, stop, m float64) {
		in, from := read{system}, read{ray}
		r := trace.Ray{X: from.float(), Y: from.float(), Z: from.float(), L: from.float(), M: from.float(), N: from.float()}
		everything(t, in.system(), r, field, stop, m)
	})
}

// TestExtremes hands in what the fuzz target seldom finds: systems within the ranges, at their very ends. Kind: identity.
func TestExtremes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		signed := func(name string, low, high float64) float64 {
			if rapid.IntRange(0, 4).Draw(t, name+" none") == 0 {
				return 0
			}
			v := low * math.Pow(high/low, rapid.Float64Range(0, 1).Draw(t, name))
			if rapid.Bool().Draw(t, name+" negative") {
				return -v
			}
			return v
		}
		s := trace.System{}
		for range rapid.IntRange(1, 8).Draw(t, "surfaces") {
			n := rapid.SampledFrom([]float64{1, 1, 1.5, 1.8, 4}).Draw(t, "n")
			s.Surfaces = append(s.Surfaces, trace.Surface{Curvature: signed("c", 1e-12, 1e3), Thickness: measure.Length(signed("t", 1e-9, 1e6)),
				After: trace.Constant("glass", n), Rim: measure.Length(math.Abs(signed("rim", 1e-3, 1e6)))})
		}
		s.Surfaces[rapid.IntRange(0, len(s.Surfaces)-1).Draw(t, "stop")].Stop = true
		r := trace.Ray{X: signed("X", 1e-9, 1e9), Y: signed("Y", 1e-9, 1e9), Z: signed("Z", 1e-9, 1e9), L: signed("L", 1e-9, 1), M: signed("M", 1e-9, 1), N: 1}
		everything(t, s, r, signed("field", 1e-9, 1.5), math.Abs(signed("N", .3, 1000)), math.Abs(signed("m", 1e-6, 100)))
	})
}

// everything asks all there is to ask of a system and a ray, and holds every answer to be finite.
func everything(t rapid.TB, s trace.System, r trace.Ray, field, stop, m float64) {
	t.Helper()
	o, err := s.In(trace.LineD)
	if err != nil {
		return
	}
	finite := func(what string, values ...float64) {
		t.Helper()
		for _, v := range values {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("%s: %v", what, values)
			}
		}
	}
	first := o.FirstOrder()
	finite("first order", float64(first.Focal), float64(first.Back), float64(first.Front), float64(first.EntrancePupil), float64(first.ExitPupil),
		first.PupilMag, first.PupilPerStop, first.Bare, float64(first.Gap))
	whole := func(what string, r trace.Ray) {
		finite(what, r.X, r.Y, r.Z, r.L, r.M, r.N)
		if size := math.Hypot(math.Hypot(r.L, r.M), r.N); math.Abs(size-1) > 1e-6 {
			t.Fatalf("%s: %+v is %g long", what, r, size)
		}
	}
	if out, err := o.Trace(r); err == nil {
		whole("ray", out)
	}
	path, _ := o.Path(r)
	for _, p := range path {
		whole("path", p)
	}
	w, err := o.Work(trace.Conditions{Stop: measure.FNumber(stop), Magnification: m})
	if err != nil {
		return
	}
	finite("work", float64(w.Image), float64(w.Distance), w.Magnification)
	a := measure.Angle(field)
	if s, err := w.Third(a, trace.Band{}); err == nil {
		finite("sums", s.Total.S1, s.Total.S2, s.Total.S3, s.Total.S4, s.Total.S5, s.Invariant)
		bare, sagittal, tangential := s.Curvatures()
		finite("curvatures", bare, sagittal, tangential, s.Along(), s.Transverse())
	}
	if g, err := w.Foci(a); err == nil {
		finite("foci", float64(g.Height), float64(g.Sagittal), float64(g.Tangential), g.Distortion, g.Slope)
	}
	if b, err := w.Bundle(a, 2); err == nil {
		best := b.Best()
		finite("bundle", b.Open, float64(best.Behind), float64(best.RMS), float64(best.Height))
		if e, err := b.Encircled(best.Behind, .8); err == nil {
			finite("encircled", float64(e))
		}
	}
	if s, err := w.AxialFocus(); err == nil {
		finite("axial focus", float64(s.Behind), float64(s.RMS))
	}
	if open, err := w.Open(a, 5); err == nil && !(open >= 0 && open <= 1) {
		t.Fatalf("share open %g", open)
	}
}
