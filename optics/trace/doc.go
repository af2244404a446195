// Package trace follows light through lenses made of spherical surfaces, surface by surface, and
// serves the forms of lens whose design is known in kind.
//
// It answers first-order figures (focal length, principal planes, pupils), real rays with their
// failures named, third-order sums, the focal surfaces along the real chief ray, best focus, spots,
// the share of the pupil that the rims leave open, and what stop and colour do to the focus. Its
// limits: spheres and planes with one common axis, no diffraction, no stray light, glass without
// flaws. A prescription is one maker's drawing: a [Form] scaled to a focal length is believable for
// an unmeasured lens of that kind and is never that lens, as [Figures] says in its Basis.
//
// Axes here follow the light: z runs from the sitter through the lens to the plate, zero at the vertex
// of the first surface; y is up and x to the photographer's right. (Package optics counts z toward
// the sitter.) A curvature is positive when the centre lies on the plate's side of the surface. A
// field angle is that of the chief ray before the lens, positive when the ray climbs, so that at
// infinity a positive angle has its image at a positive y.
//
// Symbols: c curvature, t thickness, n index, y and u height and slope of the marginal ray, with a
// bar those of the chief ray, H the Lagrange invariant n(u ybar - ubar y), S1 to S5 the third-order
// sums with the signs of [Welford1986]: S1 is positive when spherical aberration is undercorrected.
//
// The way through: a [System] in a colour is an [Optic]; an optic with a stop and a distance is a
// [Working]; a working optic answers everything else.
//
//	optic, err := form.System.In(trace.LineD)
//	work, err := optic.Work(trace.Conditions{Stop: 3.6, Distance: 2000})
//	foci, err := work.Foci(10 * measure.Degree)
package trace
