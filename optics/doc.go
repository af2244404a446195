// Package optics computes where a view camera is sharp: conjugates, extension and effective
// f-number, depth of field, the plate's view of the sitter, and the movements that lay a plane of
// sharpness through three points.
//
// The model is paraxial: two principal planes, an entrance and an exit pupil. [Lens.PupilMag] is the
// exit pupil's diameter over the entrance pupil's; 1 is the thin lens and any lens symmetrical
// about its stop. Depth of field follows from similar triangles at the entrance pupil and is exact
// within that model, near the lens as well as far from it. What the model does not know: field
// curvature, astigmatism, spherical aberration and the shift of focus when stopping down, so that
// a portrait lens of the Petzval kind is softer away from its axis than [Setting.Depth] says.
//
// Symbols: f focal length, N marked f-number, p pupil magnification, m magnification, s sitter to
// front principal plane, u sitter to entrance pupil, v rear principal plane to plate, c blur disc on
// the plate. They are related by [Conj1995]
//
//	1/s + 1/v = 1/f    m = v/s = f/(s-f)    s = f(1+1/m)    v = f(1+m)    u = f(1/m+1/p)
//
// Coordinates: the lens's front principal point is the origin, x to the photographer's right, y up,
// z toward the sitter; behind the lens z' is measured backward from the rear principal point.
// Positive tilt leans the top of a standard backward, positive swing turns its right-hand side
// backward; both are the slopes of the standard, so that a back set to extension E holds
// z' = E + x' tan(swing) + y' tan(tilt).
//
// Two calls answer most questions: [Lens.AtDistance] (or [Lens.AtMagnification]) for a square
// camera, and [Through] followed by [Plane.ByBack] or [Plane.ByFront] for movements.
//
// Every figure agrees with the closed formulas in extended arithmetic to one part in a million over
// the whole of the stated ranges. Outside them, and where no set-up exists, there is an error and no number.
package optics
