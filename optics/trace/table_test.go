package trace_test

import (
	"math"
	"testing"

	"platewright/measure"
	"platewright/optics/trace"
)

// TestPrintedRayTable follows the two rays of a textbook's worked example, from a point 300 before the lens and
// from one 20 above it, at every surface. Kind: published.
func TestPrintedRayTable(t *testing.T) {
	s := trace.System{Surfaces: []trace.Surface{
		{Curvature: 0.02, Thickness: 10, After: trace.Constant("first", 1.5), Stop: true},
		{Curvature: -0.02, Thickness: 2, After: trace.Constant("second", 1.6)}, {After: trace.Air()},
	}}
	w := work(t, must(s.In(trace.LineD))(t), trace.Conditions{Pupil: 20, Distance: 300})
	steps := must(w.Paraxial(measure.Angle(math.Atan(-20. / 300))))(t)
	const source = "ModernOptics2008, example 3.1"
	compare(t, []check{
		{"y1", steps[1].Y, 10, 1e-12, source},
		{"n'u' behind surface 1", steps[1].Index * steps[1].U, -.0666, 1e-4, source},
		{"y2", steps[2].Y, 9.555, 1e-3, source},
		{"n'u' behind surface 2", steps[2].Index * steps[2].U, -.047555, 1e-6, source},
		{"y3", steps[3].Y, 9.496111, 5e-7, source},
		{"n'u' behind surface 3", steps[3].Index * steps[3].U, -.047555, 1e-6, source},
		{"image distance; the print divides rounded figures", float64(w.Image), 199.6846, 3e-3, source},
		{"y3 of the ray from 20 above", steps[3].YBar, -.52888, 1e-5, source},
		{"n'u' of the ray from 20 above", steps[3].Index * steps[3].UBar, -.067555, 1e-6, source},
	})
}

// TestContributionsByAnotherBook reckons spherical aberration, coma, astigmatism and curvature of every surface as
// transverse errors by the arrangement of a second book, from angles of incidence, and compares with the sums.
// Kind: identity.
func TestContributionsByAnotherBook(t *testing.T) {
	for _, f := range trace.Forms() {
		o := must(must(f.Scaled(100))(t).In(trace.LineD))(t)
		for _, m := range []float64{0, 0.43} {
			w := work(t, o, trace.Conditions{Stop: f.Largest, Magnification: m})
			steps := must(w.Paraxial(f.Half))(t)
			got := third(t, w, f.Half)
			inv := steps[0].Index * (steps[0].YBar*steps[0].U - steps[0].Y*steps[0].UBar)
			last := steps[len(steps)-1]
			h := inv / (last.Index * last.U) // image height
			back := 1 / (2 * last.Index * last.U)
			for i, surface := range o.System.Surfaces {
				// [ModernOptics2008, eq. 6.2]
				n, n2, c := steps[i].Index, steps[i+1].Index, surface.Curvature
				y, yp, u2, up2 := steps[i+1].Y, steps[i+1].YBar, steps[i+1].U, steps[i+1].UBar
				in, ip := n2/n*(c*y+u2), n2/n*(c*yp+up2) // angles of incidence
				B := n * (n2 - n) / (2 * n2 * inv) * y * (u2 + in)
				Bp := n * (n2 - n) / (2 * n2 * inv) * yp * (up2 + ip)
				up := ip - c*yp
				DC := h * (Bp*in*ip + (up2*up2-up*up)/2)
				each := got.Each[i]
				size := 1e-9 * (math.Abs(h) + 1)
				compare(t, []check{
					{f.Key + " TSC", B * in * in * h, each.S1 * back, size, "ModernOptics2008"},
					{f.Key + " CC", B * in * ip * h, each.S2 * back, size, "ModernOptics2008"},
					{f.Key + " TAC", B * ip * ip * h, each.S3 * back, size, "ModernOptics2008"},
					{f.Key + " TPC", (n2 - n) * c * h * inv / (2 * n * n2), each.S4 * back, size, "ModernOptics2008"},
					{f.Key + " DC", DC, each.S5 * back, size, "ModernOptics2008"},
				})
			}
		}
	}
}
