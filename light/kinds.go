package light

import "slices"

// Kind is the class of a source. It is kept with every speed that was found: a speed holds for its own kind, and from one
// kind to another the actinic ratio comes between.
type Kind string

// Kinds of sources.
const (
	Sun         Kind = "sun"      // direct sun with its sky
	Shade       Kind = "shade"    // open shade under a blue sky
	Overcast    Kind = "overcast" // a covered sky
	AnyDaylight Kind = "daylight" // not told which
	WindowLight Kind = "window"   // daylight in a room
	Tungsten    Kind = "tungsten"
	Fluorescent Kind = "fluorescent"
	WhiteLED    Kind = "LED"
	ClearFlash  Kind = "flash, clear tube"
	PartFlash   Kind = "flash, part UV"
	CutFlash    Kind = "flash, UV cut"
	OwnSpectrum Kind = "own spectrum"
)

// Kinds returns all kinds of sources in the order in which people choose among them.
func Kinds() []Kind {
	return []Kind{Sun, Shade, Overcast, AnyDaylight, WindowLight, Tungsten, Fluorescent, WhiteLED, ClearFlash, PartFlash, CutFlash, OwnSpectrum}
}

// Valid tells that k is one of [Kinds].
func (k Kind) Valid() bool { return slices.Contains(Kinds(), k) }

// Choices returns the texts of [Kinds].
func (Kind) Choices() []string {
	var out []string
	for _, k := range Kinds() {
		out = append(out, string(k))
	}
	return out
}

// Source is a light by its spectrum. Power is relative unless From says otherwise: only its shape counts.
type Source struct {
	Name  string
	Kind  Kind
	Power Spectrum
	From  string // where the figures come from and how sure they are, a sentence
}
