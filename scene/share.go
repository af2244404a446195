package scene

import "errors"

// Share returns the share of the face's front that is sharp, by area: of the patches of the face that
// the lens sees, those whose blur is within the limit. It is an error when the lens sees none of the face.
func (s Shot) Share() (float64, error) {
	pupil := s.pupil()
	sharp, all := 0.0, 0.0
	for _, p := range s.Figure.Patches {
		if !p.Face {
			continue
		}
		at := s.before(p.At)
		if !faces(p.Normal, at, pupil) {
			continue
		}
		spot, err := s.Setup.Spot(at)
		if err != nil {
			return 0, err
		}
		all += p.Area
		if spot.Long <= s.Blur {
			sharp += p.Area
		}
	}
	if all == 0 {
		return 0, errors.New("the face is turned away: the lens sees none of its front")
	}
	return sharp / all, nil
}
