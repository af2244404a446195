package trace

import (
	"math"

	"platewright/measure"
)

// Step is a marginal and a chief ray near the axis at one surface, behind it.
type Step struct {
	Y, U       float64 // marginal ray: height mm, slope
	YBar, UBar float64 // chief ray
	Index      float64
}

// Invariant returns n(u ybar - ubar y), the same at every surface of a lens.
func (s Step) Invariant() float64 { return s.Index * (s.U*s.YBar - s.UBar*s.Y) }

// Paraxial returns the marginal and the chief ray of a field angle at every surface, by the
// first-order rules. The first step is before the lens, at its first vertex.
func (w Working) Paraxial(a measure.Angle) ([]Step, error) {
	f, err := w.field(a)
	if err != nil {
		return nil, err
	}
	return w.paraxial(f.tan), nil
}

func (w *Working) paraxial(tan float64) []Step {
	steps := make([]Step, 0, len(w.Optic.faces)+1)
	s := Step{Y: w.pupil, YBar: -w.enters * tan, UBar: tan, Index: 1}
	if d := float64(w.Distance); d != 0 {
		s.U = w.pupil / (d + w.enters)
		s.Y = s.U * d
	}
	steps = append(steps, s)
	for i, g := range w.Optic.faces {
		if i > 0 {
			s.Y += w.Optic.faces[i-1].t * s.U
			s.YBar += w.Optic.faces[i-1].t * s.UBar
		}
		k := (g.next - g.n) * g.c
		s.U = (g.n*s.U - s.Y*k) / g.next
		s.UBar = (g.n*s.UBar - s.YBar*k) / g.next
		s.Index = g.next
		steps = append(steps, s)
	}
	return steps
}

// Band is the span of colour over which the chromatic sums are taken. The zero Band asks for none.
type Band struct{ From, To measure.Length }

// Sums are the third-order sums, in mm, with the signs of [Welford1986].
type Sums struct {
	S1 float64 // spherical aberration, positive when undercorrected
	S2 float64 // coma
	S3 float64 // astigmatism
	S4 float64 // field curvature that remains without astigmatism
	S5 float64 // distortion
	C1 float64 // colour along the axis, over the band
	C2 float64 // colour across the field, over the band
}

func (s Sums) plus(t Sums) Sums {
	return Sums{s.S1 + t.S1, s.S2 + t.S2, s.S3 + t.S3, s.S4 + t.S4, s.S5 + t.S5, s.C1 + t.C1, s.C2 + t.C2}
}

// Third holds the third-order sums of a working lens for one field angle.
type Third struct {
	Total     Sums
	Each      []Sums  // by surface
	Invariant float64 // Lagrange invariant, mm

	slope, index               float64 // marginal slope and index behind the lens
	bare, sagittal, tangential float64
}

// Third returns the third-order sums for a field angle. They grow with the stop and the field as
// the theory's powers say, and are good for small ones only.
func (w Working) Third(a measure.Angle, band Band) (Third, error) {
	f, err := w.field(a)
	if err != nil {
		return Third{}, err
	}
	spread, err := w.spread(band)
	if err != nil {
		return Third{}, err
	}
	// Reckoned for a chief ray of slope one and brought to the field's by the powers of the theory, so
	// that curvatures hold at the axis too.
	steps := w.paraxial(1)
	t := Third{Each: make([]Sums, len(w.Optic.faces)), Invariant: steps[0].Invariant()}
	H2 := t.Invariant * t.Invariant
	for i, g := range w.Optic.faces {
		before, s := steps[i], steps[i+1]
		y, ybar := s.Y, s.YBar
		A, Abar := g.next*(s.U+y*g.c), g.next*(s.UBar+ybar*g.c)
		bend := s.U/g.next - before.U/g.n      // Δ(u/n)
		P := g.c * (1/g.next - 1/g.n)          // curvature times Δ(1/n)
		inv := 1/(g.next*g.next) - 1/(g.n*g.n) // Δ(1/n²)
		one := Sums{
			S1: -A * A * y * bend,
			S2: -A * Abar * y * bend,
			S3: -Abar * Abar * y * bend,
			S4: -H2 * P,
			// Abar/A (S3 + S4) with the division carried out, so that A may be zero.
			S5: Abar * (P*ybar*(2*Abar*y-A*ybar) - Abar*Abar*y*inv),
		}
		if spread != nil {
			c := spread[i+1]/g.next - spread[i]/g.n // Δ(δn/n)
			one.C1, one.C2 = A*y*c, Abar*y*c
		}
		t.Each[i] = one
		t.Total = t.Total.plus(one)
	}
	last := steps[len(steps)-1]
	t.slope, t.index = last.U, last.Index
	k := t.index / H2
	t.bare, t.sagittal, t.tangential = k*t.Total.S4, k*(t.Total.S3+t.Total.S4), k*(3*t.Total.S3+t.Total.S4)
	t.Invariant *= f.tan
	t.Total = t.Total.at(f.tan)
	for i := range t.Each {
		t.Each[i] = t.Each[i].at(f.tan)
	}
	return t, nil
}

// at brings the sums of a chief ray of slope one to another slope.
func (s Sums) at(tan float64) Sums {
	s.S2 *= tan
	s.C2 *= tan
	s.S3 *= tan * tan
	s.S4 *= tan * tan
	s.S5 *= tan * tan * tan
	return s
}

// spread returns the change of index over a band in every medium, nil for the zero band.
func (w *Working) spread(band Band) ([]float64, error) {
	if band == (Band{}) {
		return nil, nil
	}
	d := make([]float64, len(w.Optic.faces)+1)
	for i, f := range w.Optic.System.Surfaces {
		from, err := f.After.Index(band.From)
		if err != nil {
			return nil, err
		}
		to, err := f.After.Index(band.To)
		if err != nil {
			return nil, err
		}
		d[i+1] = from - to
	}
	return d, nil
}

// Transverse returns the third-order error of the marginal ray's height in the image plane, mm.
func (t Third) Transverse() float64 { return t.Total.S1 / (2 * t.index * t.slope) }

// Along returns the third-order distance from the paraxial image to where the marginal ray crosses the axis, mm.
func (t Third) Along() float64 { return -t.Total.S1 / (2 * t.index * t.slope * t.slope) }

// Curvatures returns the third-order curvatures of the image without astigmatism, and of the sagittal
// and the tangential image at the axis, 1/mm, positive when the edges focus nearer the lens. They are the
// same for every field angle.
func (t Third) Curvatures() (bare, sagittal, tangential float64) {
	return t.bare, t.sagittal, t.tangential
}

// Foci is where a narrow pencil about the real chief ray of a field angle comes to its two foci.
type Foci struct {
	Height     measure.Length // where the chief ray meets the paraxial image plane
	Sagittal   measure.Length // paraxial image plane to the sagittal focus, along the axis; negative nearer the lens
	Tangential measure.Length // the same for the tangential focus
	Distortion float64        // Height over that of the paraxial chief ray, less 1
	Slope      float64        // tangent of the chief ray's angle to the axis behind the lens
}

// Foci follows the narrow pencil about the chief ray of a field angle by Coddington's equations.
func (w Working) Foci(a measure.Angle) (Foci, error) {
	s, err := w.sightAt(a)
	if err != nil {
		return Foci{}, err
	}
	return w.foci(&s)
}

func (w *Working) foci(s *sight) (Foci, error) {
	r := w.start(s.field, 0, s.chief)
	// Half-widths of the pencil across and along the field, each perpendicular to the ray, and their
	// growth along it: heights and slopes instead of distances, so that no focus divides by zero.
	hs, ts, ht, tt := 1.0, 0.0, 1.0, 0.0
	if d := float64(w.Distance); d != 0 {
		way := math.Sqrt(d*d + (r.Y-s.y)*(r.Y-s.y))
		hs, ts, ht, tt = 1, 1/way, 1, 1/way
	}
	atY, atZ := r.Y, r.Z
	for i := range w.Optic.faces {
		f := &w.Optic.faces[i]
		in := r
		if cause := f.cross(&r, true); cause != 0 {
			return Foci{}, &Lost{Surface: i + 1, Cause: cause}
		}
		way := (r.Y-atY)*in.M + (r.Z-atZ)*in.N
		hs, ht = hs+way*ts, ht+way*tt
		normalY, normalZ := -f.c*r.Y, 1-f.c*r.Z
		before, after := in.M*normalY+in.N*normalZ, r.M*normalY+r.N*normalZ
		power := f.c * (f.next*after - f.n*before)
		// n'/s' = n/s + power;  n'cos²I'/t' = n cos²I/t + power [Welford1986]
		ts = (f.n*ts - hs*power) / f.next
		along := ht / before
		tt = (f.n*before*tt - along*power) / (f.next * after)
		ht = along * after
		atY, atZ = r.Y, r.Z-f.t
		r.Z -= f.t
	}
	r.Z -= float64(w.Image)
	if !(math.Abs(ts) > 1e-12) || !(math.Abs(tt) > 1e-12) {
		return Foci{}, w.astray()
	}
	height := r.Y - r.Z*r.M/r.N
	out := Foci{
		Height:     measure.Length(height),
		Sagittal:   measure.Length(r.Z - r.N*hs/ts),
		Tangential: measure.Length(r.Z - r.N*ht/tt),
		Slope:      r.M / r.N,
	}
	if ideal := w.ideal(s.field); ideal != 0 {
		out.Distortion = height/ideal - 1
	}
	return out, nil
}

// ideal returns the image height without distortion.
func (w *Working) ideal(f field) float64 {
	if w.Distance == 0 {
		return float64(w.Optic.first.Focal) * f.tan
	}
	beyond := float64(w.Distance) + float64(w.Optic.first.Front)
	return -f.y * float64(w.Optic.first.Focal) / beyond
}
