package pose

import (
	"errors"
	"time"

	"platewright/measure"
)

// Support is what steadies the sitter.
type Support string

// The supports.
const (
	Standing Support = "standing"
	Seated   Support = "seated"
	HeadRest Support = "head rest"
)

// Sway is how far and how fast a head moves about its place: each axis a stationary Gaussian process.
type Sway struct {
	Toward measure.Length // standard deviation toward the lens and away
	Across measure.Length // standard deviation across
	Settle float64        // seconds after which the place is forgotten to 1/e
}

// SwayOf returns the sway of a support.
func SwayOf(s Support) (Sway, error) { return Sway{}, errors.New("sway is not there yet") }

// Hold asks for the chance of keeping in depth.
type Hold struct {
	Half   measure.Length // half the depth that is sharp
	Offset measure.Length // how far the eyes lie off the plane focused on, either way: it narrows the depth
	Wait   time.Duration  // from focusing to the cap coming off
	During time.Duration  // the exposure
}

// StaysWithin returns the chance that the head keeps within the depth from first to last.
func (s Sway) StaysWithin(q Hold) (float64, error) { return 0, errors.New("sway is not there yet") }

// Holds is a table of StaysWithin for one sway, for those who ask thousands of times.
type Holds struct{}

// NewHolds computes the table for a wait between focusing and the cap coming off.
func NewHolds(s Sway, wait time.Duration) (*Holds, error) {
	return nil, errors.New("sway is not there yet")
}

// StaysWithin is [Sway.StaysWithin] for the table's wait, to 0.005.
func (h *Holds) StaysWithin(half, offset measure.Length, during time.Duration) float64 { return 0 }
