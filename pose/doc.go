// Package pose is the sitter before the camera: a head and bust of stated size with the places on it
// that must be sharp, set in a pose, and how still it keeps while the plate is exposed.
//
// Figure coordinates: the origin is midway between the eyes (their corneas) after posing, x runs to
// the photographer's right, y up, z away from the camera, all in millimetres. The sitter's right eye
// lies at x < 0 when the face is frontal. Add the distance from the lens's front principal point to
// z and it is a point before the camera.
package pose
