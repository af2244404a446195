// Package optics computes where a view camera is sharp: conjugates, extension and effective
// f-number, depth of field, the spot every point is drawn as, what is sharp along every ray, how far the lens
// covers the plate, and the movements that lay a plane of sharpness through three points.
//
// The model is paraxial: two principal planes, an entrance and an exit pupil. [Lens.PupilMag] is the
// exit pupil's diameter over the entrance pupil's; 1 is the thin lens and any lens symmetrical
// about its stop. Depth of field follows from similar triangles at the entrance pupil and is exact
// within that model, near the lens as well as far from it. A square camera with a flat field is a [Setting].
//
// A [Setup] adds what is not square and not flat: both standards' movements, rise, fall and shift, a
// focal surface with a sagittal and a tangential section ([FocalSurface]), and the shift of focus between
// the light and stop one focuses with and those that make the picture. Its spots are the projection
// of the exit pupil's disc on the plate. What the model does not know: spherical aberration and coma as
// spread of light (their best focus may be told as a shift), how the focal surface changes with distance, distortion,
// the size of the pupil off the axis. Package optics/trace knows these for lenses whose glasses are known.
//
// Symbols: f focal length, N marked f-number, p pupil magnification, m magnification, s sitter to
// front principal plane, u sitter to entrance pupil, v rear principal plane to plate, D = f/N
// diameter of the entrance pupil, c blur disc on the plate, a unit vector along the lens's axis, J distance
// of the hinge line. They are related by [Conj1995; PupilDof04]
//
//	1/s + 1/v = 1/f    m = v/s = f/(s-f)    s = f(1+1/m)    v = f(1+m)    u = f(1/m+1/p)
//
// and for a lens turned about its principal point by
//
//	X' = f X/(f - a·X)    q = p - a/f    sin(turn) = f/J
//
// where the subject's plane is p·X = 1 and the plate's q·X' = 1. The entrance pupil lies f(1-1/p) before the
// front principal plane and the exit pupil f(1-p) behind the rear one.
//
// Coordinates: the lens's front principal point is the origin, x to the photographer's right, y up,
// z toward the sitter; behind the lens z' is measured backward from the rear principal point.
// Positive tilt leans the top of a standard backward, positive swing turns its right-hand side
// backward; both are the slopes of the standard, so that a back set to extension E holds
// z' = E + x' tan(swing) + y' tan(tilt). Places on the plate ([PlatePoint]) are measured in its own plane from its
// middle; the camera's z axis meets it at [Setup.Centre].
//
// Where to begin: [Lens.AtDistance] (or [Lens.AtMagnification]) for a square camera; [Through] followed by
// [Plane.WithinLimits] for movements on a camera that has only so much of them ([Plane.ByBack] and [Plane.ByFront]
// on one that does everything), [AboutBoard] when the lens turns about its board; [Setup.FocusOn], [Setup.Spot], [Setup.Along] and
// [Setup.Covers] for a camera set up; [Rims] for the cat's eye.
//
// Settings and movements agree with the closed formulas in extended arithmetic to one part in a million over
// the whole of the stated ranges; limits along a ray are drawn as long as the blur asked to one part in a thousand million over
// a studio's. Outside the ranges, and where no set-up exists, there is an error and no number: a
// [measure.RangeError], an [InsideFocal], a [BeyondLimits], a [ShortCircle], or one of the Err values, each of which
// says what would make it possible.
package optics
