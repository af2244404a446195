package pose

import (
	"errors"

	"platewright/measure"
)

// Who is whose body is asked for: one of the constants, or a [Child].
type Who string

// Grown people.
const (
	Woman Who = "woman"
	Man   Who = "man"
	Adult Who = "adult" // the mean of both
)

// Body is the size of a sitter.
type Body struct {
	Who        Who
	Percentile float64        // at which every dimension was taken
	EyeSpan    measure.Length // between the pupils
	Source     string         // citation keys
}

// BodyOf returns a body all of whose dimensions lie at the given percentile (1 to 99) of these people.
func BodyOf(who Who, percentile float64) (Body, error) {
	return Body{}, errors.New("bodies are not there yet")
}

// Scaled returns the body with every length multiplied by k.
func (b Body) Scaled(k float64) Body {
	b.EyeSpan *= measure.Length(k)
	return b
}
