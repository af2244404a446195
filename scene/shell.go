package scene

import (
	"platewright/measure"
	"platewright/optics"
)

// Section is a plane through the camera's z axis in which the sharp shell is drawn.
type Section string

// Sections: the upright plane of the side elevation, and the level one of the elevation from above.
const (
	Side  Section = "side"
	Above Section = "above"
)

// Band is the sharp shell in a section: what the plate shows within the blur limit lies between Near and Far. Each line runs
// through points of the section, along the plate from its lower (or left-hand) edge to its upper (or
// right-hand) one, so from the top of the sitter to the bottom, or from right to left. Where the plate stands so that nothing
// is drawn within the blur, a line has no point; where sharpness has no end, Far has none, and Endless says that there are
// such places.
type Band struct {
	Near, Sharp, Far []optics.Point
	Endless          bool
}

// shellPoints is how many places on the plate a section of the shell is drawn through.
const shellPoints = 41

// Shell returns the sharp shell in a section, over the height or the width of the plate. It is an error when the
// plate stands across no light of the lens anywhere in the section.
func (s Shot) Shell(section Section) (Band, error) {
	var b Band
	var last error
	reached := false
	c, size := s.Setup.Centre, s.Setup.Plate
	for i := range shellPoints {
		t := measure.Length(float64(i)/(shellPoints-1) - 0.5)
		q := optics.PlatePoint{X: c.X, Y: t * size.Height}
		if section == Above {
			q = optics.PlatePoint{X: t * size.Width, Y: c.Y}
		}
		r, err := s.Setup.Along(q, s.Blur)
		if err != nil {
			last = err
			continue
		}
		reached = true
		if !r.Beyond {
			b.Sharp = append(b.Sharp, r.Sharp)
		}
		if r.Nothing {
			continue
		}
		b.Near = append(b.Near, r.Near)
		if r.Endless {
			b.Endless = true
		} else {
			b.Far = append(b.Far, r.Far)
		}
	}
	if !reached {
		return Band{}, last
	}
	return b, nil
}
