package light

import "fmt"

// Tube is what a flash head lets out of its ultraviolet.
type Tube string

// Tubes. Which one a head has decides more for the plate than lens glass or halides: look for the colour of the tube.
const (
	ClearTube Tube = "clear"   // quartz or clear glass, no stop
	PartUV    Tube = "part UV" // behind plain glass or a dome
	UVCut     Tube = "UV cut"  // a gold or amber tube or front: nothing below 405 nm
)

// Tubes returns all tubes.
func Tubes() []Tube { return []Tube{ClearTube, PartUV, UVCut} }

// Choices returns the texts of [Tubes].
func (Tube) Choices() []string { return []string{string(ClearTube), string(PartUV), string(UVCut)} }

// Kind returns the kind of source that such a head is.
func (t Tube) Kind() Kind {
	switch t {
	case ClearTube:
		return ClearFlash
	case PartUV:
		return PartFlash
	}
	return CutFlash
}

// Flash returns the light of a xenon flash head by its tube, relative power, 300 to 780 nm at 5 nm, 1 in the mean of
// 540 to 570 nm. It is our own rounded mean of the measured heads of a class, its lines smoothed away: from head to head
// 7 % from 400 to 700 nm and a quarter below 400 nm [PlateNotes2026]. Power and age move it further.
func Flash(t Tube) (Source, error) {
	var s Spectrum
	switch t {
	case ClearTube:
		s = flashClear
	case PartUV:
		s = flashPart
	case UVCut:
		s = flashCut
	default:
		return Source{}, fmt.Errorf("no flash tube is called %q; known are clear, part UV, UV cut", shortened(string(t)))
	}
	return Source{Name: "flash, " + string(t), Kind: t.Kind(), Power: s.fine(),
		From: "An estimate: the rounded mean of measured heads of this class; from head to head 7 % in the visible and a quarter below 400 nm."}, nil
}
