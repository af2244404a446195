package paper

import (
	"fmt"
	"io"
	"strings"
	"time"
)

// CardPage is what a set-up card says: everything the hand sets on the camera for one plate. Empty
// strings and lists leave their place out.
type CardPage struct {
	Sheet   Sheet
	Number  string // plate number; empty before the plate is planned
	Studio  string
	Sitter  string
	Printed time.Time // the instant written into the file as its date; zero writes none

	Lens   string // "Portrait lens 300"
	Stop   string // "f/4.5, half stop"
	Plate  string // "whole plate upright, 165.1 × 215.9 mm"
	Camera string

	// Main are the figures read from across the room, at most six: extension, eye to lens board, height
	// of the lens above the floor, seconds.
	Main []Item
	// Front and Back are what each standard is set to: tilt, swing, rise or fall, shift. An empty list
	// prints that it stands square.
	Front, Back []Item
	// Rest are the other figures: near and far limit, depth, effective f-number, bellows.
	Rest    []Item
	FocusOn string // "right eye"
	Support string // "seated, head rest"
	// Sharp are the landmarks with their blur on the plate: "right eye", "sharp", "0.04 mm".
	Sharp    []Item
	Cautions []string // only those that belong to this plate

	Side, Above, Face Drawing
	Code              string // ASCII for the code: plate number or address; empty prints none
}

// SetUpCard writes the set-up card of a plate as PDF, on one page.
func SetUpCard(w io.Writer, in CardPage) error {
	if err := in.check(); err != nil {
		return err
	}
	return fmt.Errorf("set-up card: not yet")
}

func (in *CardPage) check() error {
	switch {
	case in.Sheet != A4 && in.Sheet != Letter:
		return fmt.Errorf("sheet is %d; it is 0 (A4) or 1 (Letter)", in.Sheet)
	case strings.TrimSpace(in.Lens) == "":
		return fmt.Errorf("lens is empty; a set-up card needs the lens's name")
	case len(in.Main) > 6:
		return fmt.Errorf("main has %d figures; 6 at most are legible from across the room", len(in.Main))
	}
	for name, d := range map[string]Drawing{"side": in.Side, "above": in.Above, "face": in.Face} {
		if err := d.check(name); err != nil {
			return err
		}
	}
	return nil
}
