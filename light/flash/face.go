package flash

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// What a bright face gives a receptor is L times the integral of the cosine at the receptor over the solid angle in which
// it sees the face. Lambert turned that into a sum round the face's outline,
//
//	E = L/2 · ∮ n·(r × dr)/r²
//
// with r from the receptor to the outline and n the receptor's normal [Lambert1760]. What lies behind the receptor's own
// plane, its horizon, is cut off first.

// horizontal returns the unit vector level and square to v; x where v is upright.
func horizontal(v r3.Vec) r3.Vec {
	u := r3.Cross(r3.Vec{Y: 1}, v)
	if size := r3.Norm(u); size > 1e-12*r3.Norm(v) {
		return r3.Scale(1/size, u)
	}
	return r3.Vec{X: 1}
}

// faceSeen returns E/L of a rectangle with its middle at c from the receptor, shining along m, of the sides given, the
// first one level.
func faceSeen(c, m r3.Vec, width, height float64, n r3.Vec) float64 {
	if r3.Dot(m, c) >= 0 {
		return 0 // the receptor is behind the face
	}
	u := horizontal(m)
	v := r3.Cross(m, u)
	a, b := r3.Scale(width/2, u), r3.Scale(height/2, v)
	corners := [4]r3.Vec{
		r3.Sub(r3.Sub(c, a), b), r3.Sub(r3.Add(c, a), b), r3.Add(r3.Add(c, a), b), r3.Add(r3.Sub(c, a), b),
	}
	return polygonSeen(corners[:], n)
}

// polygonSeen returns E/L of a flat polygon whose corners, from the receptor, run anticlockwise as seen from where it
// shines to.
func polygonSeen(corners []r3.Vec, n r3.Vec) float64 {
	above := make([]r3.Vec, 0, len(corners)+2)
	for i, a := range corners { // cut at the horizon
		b := corners[(i+1)%len(corners)]
		ha, hb := r3.Dot(n, a), r3.Dot(n, b)
		if ha >= 0 {
			above = append(above, a)
		}
		if ha >= 0 != (hb >= 0) {
			above = append(above, r3.Add(a, r3.Scale(ha/(ha-hb), r3.Sub(b, a))))
		}
	}
	sum := 0.0
	for i, a := range above {
		sum += edge(a, above[(i+1)%len(above)], n)
	}
	return max(0, -sum/2)
}

// edge returns the integral along a straight edge: the angle under which it is seen times the cosine between n and the
// normal of the plane through edge and receptor [Lambert1760].
func edge(a, b, n r3.Vec) float64 {
	across := r3.Cross(a, b)
	size := r3.Norm(across)
	if size == 0 {
		return 0 // the edge points at the receptor
	}
	return math.Atan2(size, r3.Dot(a, b)) * r3.Dot(n, across) / size
}

// discSeen returns E/L of a disc with its middle at c from the receptor, shining along m. The outline is
// r = c + R (u cos φ + v sin φ), so that r² = A + B cos φ when u lies along c's part in the plane of the disc, and the
// integral is elementary.
func discSeen(c, m r3.Vec, R float64, n r3.Vec) float64 {
	if r3.Dot(m, c) >= 0 {
		return 0
	}
	lift := r3.Dot(n, c)
	leant := r3.Sub(n, r3.Scale(r3.Dot(n, m), m)) // the receptor's normal in the plane of the disc
	reach := R * r3.Norm(leant)
	if lift+reach <= 0 {
		return 0 // all of it is below the horizon
	}
	u := r3.Sub(c, r3.Scale(r3.Dot(c, m), m))
	if r3.Norm(u) > 1e-9*r3.Norm(c) {
		u = r3.Unit(r3.Sub(u, r3.Scale(r3.Dot(u, m), m))) // once more, for what was lost in the difference
	} else {
		u = horizontal(m) // on the axis any will do
	}
	v := r3.Cross(m, u)
	A := r3.Dot(c, c) + R*R
	B := 2 * R * r3.Dot(c, u)
	alpha := R * R * r3.Dot(n, m)
	beta := R * r3.Dot(n, r3.Cross(c, v))
	if lift >= reach { // all of it is seen: the known form of the tilted disc [Howell2010]
		s := math.Sqrt((A - B) * (A + B))
		return max(0, -math.Pi*(alpha/s-beta*B/(s*(s+A))))
	}
	gamma := -R * r3.Dot(n, r3.Cross(c, u))
	half := math.Acos(-lift / reach) // the outline is above the horizon so far to either side of leant
	middle := math.Atan2(r3.Dot(leant, v), r3.Dot(leant, u))
	arc := arcs{alpha, beta, gamma, A, B}
	from, to := middle-half, middle+half
	rim := func(phi float64) r3.Vec {
		sin, cos := math.Sincos(phi)
		return r3.Add(c, r3.Add(r3.Scale(R*cos, u), r3.Scale(R*sin, v)))
	}
	return max(0, -(arc.between(from, to)+edge(rim(to), rim(from), n))/2)
}

// arcs is the integrand (alpha + beta cos φ + gamma sin φ)/(A + B cos φ).
type arcs struct{ alpha, beta, gamma, A, B float64 }

// between returns its integral, by the known antiderivatives.
func (a arcs) between(from, to float64) float64 {
	sin0, cos0 := math.Sincos(from)
	sin1, cos1 := math.Sincos(to)
	if b := a.B / a.A; math.Abs(b) < 1e-6 { // as good as even: the first term in b is kept
		second := func(phi, sin, cos float64) float64 {
			return a.alpha*sin + a.beta*(phi+sin*cos)/2 + a.gamma*sin*sin/2
		}
		first := a.alpha*(to-from) + a.beta*(sin1-sin0) - a.gamma*(cos1-cos0)
		return (first - b*(second(to, sin1, cos1)-second(from, sin0, cos0))) / a.A
	}
	s := math.Sqrt((a.A - a.B) * (a.A + a.B))
	k := math.Sqrt((a.A - a.B) / (a.A + a.B))
	whole := func(phi float64) float64 { // of 1/(A + B cos φ), continuous over all turns
		return 2 / s * (math.Atan(k*math.Tan(phi/2)) + math.Pi*math.Floor((phi+math.Pi)/(2*math.Pi)))
	}
	return a.beta/a.B*(to-from) + (a.alpha-a.beta*a.A/a.B)*(whole(to)-whole(from)) -
		a.gamma/a.B*math.Log((a.A+a.B*cos1)/(a.A+a.B*cos0))
}
