// Package pose is the sitter before the camera: a head and bust of stated size with the places on it
// that must be sharp, set in a pose, and how still it keeps while the plate is exposed.
//
// Figure coordinates: the origin is midway between the eyes (their corneas) after posing, x runs to
// the photographer's right, y up, z away from the camera, all in millimetres. The sitter's right eye
// lies at x < 0 when the face is frontal. Add the distance from the lens's front principal point to
// z and it is a point before the camera.
//
// Sizes are those of surveys [ANSUR2012; Feingold1974; FacialNorms2016; WHOGrowth2007], the depths of
// a face's middle line are triangulated from one measured face [FaceScan2013], and the skull, neck and
// trunk between are drawn by eye: good for what is sharp and for a drawing, not for a likeness. Hair,
// clothes and expression are not in it, and a part of the surface that faces the camera counts as seen
// even where another part stands before it.
//
// Stillness is two independent Ornstein-Uhlenbeck processes with σ and τ of published sway: X is the
// place of the head in σ, t a time in τ, h half the depth in σ, m the magnification. Smear, for which the speed
// counts, takes their smooth likeness of the same σ and the same integral of the correlation. Slow drift, sudden
// moves and motion up and down are not in it.
package pose
