package scene

import (
	"math"

	"platewright/measure"
	"platewright/optics"
)

// focus is where a target comes to a focus behind the lens, in the camera's coordinates: to the photographer's
// right, up, and backward.
type focus struct{ x, y, z float64 }

// foci returns where the targets come to a focus behind a lens that is square in the middle of the plate.
func foci(setup optics.Setup, at []optics.Point) ([]focus, error) {
	all := make([]focus, len(at))
	for i, p := range at {
		set, err := setup.FocusOn(p)
		if err != nil {
			return nil, err
		}
		spot, err := set.Spot(p)
		if err != nil {
			return nil, err
		}
		all[i] = focus{float64(spot.At.X), float64(spot.At.Y), float64(set.Camera.Extension)}
	}
	return all, nil
}

// depth returns how far apart, along the axis, the foci lie from a back of these slopes, and the extension at which they lie
// evenly about it.
func depth(of []focus, swing, tilt float64) (apart, extension float64) {
	low, high := math.Inf(1), math.Inf(-1)
	for _, f := range of {
		z := f.z - f.x*swing - f.y*tilt
		low, high = min(low, z), max(high, z)
	}
	return high - low, (low + high) / 2
}

// steepestBack is the slope beyond which no back is turned to follow the targets: 40 degrees.
var steepestBack = math.Tan(40 * math.Pi / 180)

// follow returns the slopes of the back, within limits, that bring the foci nearest to it. The distance apart has one
// valley over both slopes, so a search within a search finds it. What a movement gains less than a
// thousandth of its slope in it is not worth: so slopes that change nothing come out as none.
func follow(of []focus, mostSwing, mostTilt float64) (swing, tilt float64) {
	if mostTilt == 0 {
		return followSwing(of, mostSwing, 0), 0
	}
	cost := func(tilt float64) float64 {
		swing := followSwing(of, mostSwing, tilt)
		return effort(of, swing, tilt)
	}
	tilt = optics.LeastOf(-mostTilt, mostTilt, nearSlope, cost)
	return followSwing(of, mostSwing, tilt), tilt
}

// nearSlope is how near a slope is sought: a thousandth of what a scale shows.
const nearSlope = 1e-6

func followSwing(of []focus, most, tilt float64) float64 {
	if most == 0 {
		return 0
	}
	return optics.LeastOf(-most, most, nearSlope, func(swing float64) float64 { return effort(of, swing, tilt) })
}

func effort(of []focus, swing, tilt float64) float64 {
	const worth = 1e-3
	apart, _ := depth(of, swing, tilt)
	return apart + worth*(math.Abs(swing)+math.Abs(tilt))
}

// turn returns the camera's back at slopes, with the foci evenly about it.
func turn(c optics.Camera, of []focus, swing, tilt float64) optics.Camera {
	_, e := depth(of, swing, tilt)
	c.Back = optics.Movement{Swing: measure.Angle(math.Atan(swing)), Tilt: measure.Angle(math.Atan(tilt))}
	c.Extension = measure.Length(e)
	return c
}
