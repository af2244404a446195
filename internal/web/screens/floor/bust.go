package floor

// The sitter's outline, in millimetres from where the eye's front meets the line of sight.
// Heights and breadths are the means of men and women of a survey of grown people, rounded:
// crown 111 above the eye, chin 108 below, notch of the breastbone 197 below, head 195 long and 151
// wide, 63 between the pupils, shoulders 480 across the muscles, chest 250 deep [ANSUR2012].
// What lies between is drawn by eye.

// place is a point of the outline: back counts away from the camera, up from the eye.
type place struct{ back, up float64 }

// cutBelow is where the outline is broken off, below the eye.
const cutBelow = 400.0

// profile runs from the chest up over the face and down the back, looking toward the camera.
var profile = []place{
	{-4, -cutBelow}, {2, -335}, {22, -265}, {52, -205}, {64, -178}, {60, -150}, {46, -125}, {24, -115}, {4, -108}, {-5, -96},
	{-3, -85}, {-9, -78}, {-8, -71}, {-5, -66}, {-12, -60}, {-11, -53}, {-6, -46}, {-11, -41}, {-25, -37}, {-25, -31}, {-17, -15}, {-9, 2}, {-6, 12},
	{-11, 22}, {-12, 36}, {-8, 55}, {4, 78}, {30, 100}, {72, 111}, {118, 105}, {155, 78}, {175, 38}, {174, 0}, {160, -38},
	{143, -68}, {138, -95}, {143, -125}, {158, -155}, {180, -190}, {203, -240}, {214, -300}, {216, -350}, {212, -cutBelow},
}

// Strokes within the profile.
var (
	ear = []place{{92, -34}, {80, -18}, {78, 2}, {86, 20}, {100, 24}, {109, 12}, {105, -6}, {97, -18}, {92, -34}}
	lid = []place{{4, 6}, {10, 8}, {20, 2}}
	eye = []place{{1, 5}, {0, 0}, {2, -6}, {12, -4}, {21, 0}, {10, 5}, {1, 5}}
	jaw = []place{{92, -34}, {90, -62}, {74, -90}, {46, -112}}

	hair   = []place{{-5, 62}, {18, 74}, {44, 68}, {62, 46}, {70, 24}, {76, 14}, {84, 30}, {104, 28}, {116, 8}, {120, -24}, {132, -50}, {150, -54}}
	collar = []place{{58, -152}, {80, -168}, {108, -156}, {140, -118}}
)

// across is a point of the outline from the front: right counts to the right.
type across struct{ right, up float64 }

// half is the right half of the outline from the front, from the crown down.
var half = []across{
	{0, 111}, {38, 104}, {66, 76}, {75, 38}, {75, 0}, {71, -34}, {62, -66}, {43, -95}, {22, -107}, {0, -108},
}

// Strokes within the outline from the front, each drawn to both sides.
var (
	hairline    = []across{{6, 79}, {20, 84}, {40, 76}, {56, 56}, {64, 34}, {70, 12}}
	collarFront = []across{{56, -138}, {40, -152}, {20, -174}, {3, -196}, {12, -224}, {2, -cutBelow}}
)

// shoulder is the right side below the head.
var shoulder = []across{
	{56, -82}, {56, -128}, {64, -160}, {100, -187}, {160, -208}, {205, -230}, {231, -270}, {240, -330}, {240, -cutBelow},
}

// above is the right half of the head from above, from the nose back.
var above = []place{{-25, 0}, {-20, 10}, {-11, 16}, {-10, 40}, {12, 64}, {60, 75.5}, {115, 72}, {155, 50}, {172, 22}, {175, 0}}

// shouldersAbove is the right half of the shoulders from above, from the chest back.
var shouldersAbove = []place{{-4, 0}, {2, 90}, {30, 190}, {75, 232}, {115, 240}, {160, 226}, {190, 170}, {206, 80}, {212, 0}}
