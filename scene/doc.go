// Package scene sets the sitter before the camera: what of them falls sharp on the plate, where it
// lies there, and which of the studio's lenses, stops, distances and movements can make a wanted picture.
//
// A [Shot] is a camera set up ([optics.Setup]) with a figure before it ([pose.Figure]). It lists the
// landmarks sharp, soft or gone ([Shot.Landmarks]), tells the sharp share of the face ([Shot.Share]), draws
// lines of equal blur on the plate ([Shot.Face]) and the sharp shell in elevation ([Shot.Shell]), and finds the
// movements that lay the shell through three landmarks ([Shot.Through]). [Choose] ranks all that a studio
// owns by what a wanted picture asks for.
//
// The model is that of its two makings: paraxial optics with pupils, movements and a curved focal surface, and
// a head and bust of published measures, smooth and without hair. Blur is geometric: the long axis of the
// blur ellipse on the plate; diffraction is told beside it and never decides whether a landmark counts
// as sharp. What the lens does beyond that, its spherical aberration above all, softens everything alike and is left
// out. A patch of the face counts as seen when it faces the lens; a nose hides nothing behind it.
//
// Coordinates are those of package optics: the lens's front principal point is the origin, x to the
// photographer's right, y up, z toward the sitter, millimetres. A place on the plate counts from the plate's middle,
// and the image is upside down.
package scene
