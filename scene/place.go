package scene

import (
	"errors"
	"math"

	"platewright/measure"
	"platewright/optics"
	"platewright/pose"
)

// BelowEyes is how far below the sitter's eyes the middle of a picture is proposed, for a picture so high at the
// sitter: so that the eyes come to lie a third from its top, and nearer the top of one higher than about half a
// metre, whose upper third would be empty, and of a whole figure, whose crown has to be in it. Common practice, no source.
func BelowEyes(frameUp measure.Length) measure.Length {
	return max(frameUp/6, 0.38*frameUp-112)
}

// evenly returns the set-up focused by eye so that the foci of all the points lie evenly about the plate, as it is moved.
func evenly(setup optics.Setup, at []optics.Point) (optics.Setup, error) {
	if len(at) == 0 {
		return optics.Setup{}, errors.New("nothing is named that the camera is to be focused between")
	}
	low, high := math.Inf(1), math.Inf(-1)
	for _, p := range at {
		set, err := setup.FocusOn(p)
		if err != nil {
			return optics.Setup{}, err
		}
		low, high = min(low, float64(set.Camera.Extension)), max(high, float64(set.Camera.Extension))
	}
	setup.Camera.Extension = measure.Length((low + high) / 2)
	return setup, setup.Check()
}

// focusedBy returns the set-up focused on the landmark of that place, or between the landmarks that are named.
func (s Shot) focusedBy(setup optics.Setup, on pose.Vec) (optics.Setup, error) {
	if len(s.Between) == 0 {
		return setup.FocusOn(s.before(on))
	}
	at := make([]optics.Point, len(s.Between))
	for i, name := range s.Between {
		var err error
		if at[i], err = s.At(name); err != nil {
			return optics.Setup{}, err
		}
	}
	return evenly(setup, at)
}

// Steady returns how far the landmarks may move, toward the camera or away, until one of those that are sharp is not,
// and which of them are sharp. Nothing is sharp of them when there are none.
func (s Shot) Steady(names []pose.Landmark) (measure.Length, []pose.Landmark, error) {
	at := make([]optics.Point, len(names))
	for i, name := range names {
		var err error
		if at[i], err = s.At(name); err != nil {
			return 0, nil, err
		}
	}
	blurs, play, err := play(s.Setup, s.Blur, at)
	if err != nil {
		return 0, nil, err
	}
	var sharp []pose.Landmark
	for i, b := range blurs {
		if StateOf(b, s.Blur) == Sharp {
			sharp = append(sharp, names[i])
		}
	}
	return play, sharp, nil
}

// play returns how blurred the points are, and how far they may move, toward the camera or away, until one of those that
// are sharp is not; nothing when none is.
func play(setup optics.Setup, limit measure.Length, at []optics.Point) (blurs []measure.Length, play measure.Length, err error) {
	least := math.Inf(1)
	sharp := 0
	blurs = make([]measure.Length, len(at))
	for i, p := range at {
		spot, err := setup.Spot(p)
		if err != nil {
			return nil, 0, err
		}
		blurs[i] = spot.Long
		if StateOf(spot.Long, limit) != Sharp {
			continue
		}
		sharp++
		reach, err := setup.Along(spot.At, limit)
		if err != nil {
			return nil, 0, err
		}
		least = min(least, float64(p.Z-reach.Near.Z))
		if !reach.Endless {
			least = min(least, float64(reach.Far.Z-p.Z))
		}
	}
	if sharp == 0 {
		return blurs, 0, nil
	}
	return blurs, measure.Length(max(0, least)), nil
}

// FocusApart reports whether a landmark that is focused on is not sharp because lines along and across the radius come
// to a focus apart there: its blur then is the least there is at this stop.
func (s Shot) FocusApart(m Mark) bool {
	return s.Setup.Surface.Sagittal != s.Setup.Surface.Tangential && s.Setup.Shift == 0 && len(s.Between) == 0 &&
		m.Name == s.focusOn() && m.State != Sharp
}
