package studio

import (
	"time"

	"platewright/measure"
	"platewright/optics"
)

// BasisKind says where a figure of a lens comes from.
type BasisKind string

// The bases, from the best down.
const (
	ByBench   BasisKind = "measured"     // on this lens, on the bench
	ByHand    BasisKind = "written down" // in the lens's record
	ByForm    BasisKind = "of the form"  // of the form the lens is built like, scaled to its focal length
	ByNothing BasisKind = "unknown"      // what is taken then is said
)

// Basis is where a figure comes from, in a form that can be shown beside it.
type Basis struct {
	Kind    BasisKind
	Text    string    // "measured 12 November 2026, two magnifications"; "as written down"; "of the form, not of this lens"; "unknown: taken as flat"
	On      time.Time // when it was measured; zero otherwise
	Reading ID        // the reading it is from; empty otherwise
}

// LensKnown is what is known of a lens and on what basis, ready for package optics. Every figure can be
// reckoned with; what its basis is worth is for the one who reads it.
type LensKnown struct {
	Lens Lens // as written down

	Focal      measure.Length
	FocalSD    measure.Length // standard deviation; 0 when none is known
	FocalBand  measure.Length // half the interval that holds it nineteen times in twenty, as the bench tells it; 0 when none is known
	FocalBasis Basis

	PupilMag      float64
	PupilMagBasis Basis

	// FrontAhead and RearAhead are how far the front and the rear principal plane lie ahead of the lens
	// board, toward the sitter; negative behind it.
	FrontAhead, RearAhead measure.Length
	PlanesBasis           Basis

	Stops []StopKnown // in the order of Lens.Stops

	Surface      optics.FocalSurface
	SurfaceBasis Basis

	// Chemical is how far the focus that makes the picture lies behind the one the eye sees, at
	// infinity; positive away from the lens.
	Chemical      measure.Length
	ChemicalBand  measure.Length // half its interval, as FocalBand
	ChemicalBasis Basis

	Rims      optics.Rims
	RimsBasis Basis

	Unread []ID // readings that count and whose answer cannot be read, so that nothing here is from them
}

// StopKnown is what is known of a lens at one of its stops.
type StopKnown struct {
	Stop                          // as written down
	Measured      measure.FNumber // the f-number to reckon with: the measured one where there is one
	Basis         Basis
	Shift         measure.Length // how far the focus at this stop lies behind that at the full opening, at infinity
	ShiftHere     measure.Length // the same for the sitter's distance: see [KnownAt]
	ShiftBasis    Basis
	Half          measure.Angle // half the angle of good definition, from the exit pupil; 0 when unknown
	CoverageBasis Basis
}

// Known puts together what is written down of a lens and what the bench found: of each figure the newest
// reading that stands, else what is written down, else what lenses of its form have, else what is taken
// when nothing is known. Dates are told in the zone of each reading's Taken.
func Known(l Lens, readings []LensReading) LensKnown { return KnownAt(l, readings, 0) }

// KnownAt is [Known] for a sitter at that distance from the front principal plane; 0 is far away. A focal
// surface and a shift of the stops that are the form's are those of the distance, where the form can be traced
// for it. A measured shift is brought there by (1 + m)², which holds only about the distance it was measured
// at: it comes of spherical aberration, which changes with the distance.
func KnownAt(l Lens, readings []LensReading, distance measure.Length) LensKnown {
	k := asWritten(l)
	k.ofBench(readings)
	k.shiftAt(distance)
	k.ofForm(distance)
	k.cover()
	return k
}

// asWritten is what the lens's record says.
func asWritten(l Lens) LensKnown {
	l = readyLens(l)
	k := LensKnown{Lens: l, Focal: l.Focal, PupilMag: l.PupilMag, FocalBasis: written, PupilMagBasis: written}
	if l.FocalGuessed {
		k.FocalBasis = Basis{Kind: ByHand, Text: "a guess: the bench has not measured it yet"}
	}
	if l.PupilMag == 1 {
		k.PupilMagBasis = unknownAs("1")
	}
	k.FrontAhead, k.RearAhead, k.PlanesBasis = l.BoardAhead, l.BoardAhead, written
	if l.BoardAhead == 0 {
		k.PlanesBasis = unknownAs("at the lens board")
	}
	k.Rims = optics.Rims{Front: l.FrontGlass, Rear: l.RearGlass, Barrel: l.Barrel}
	k.RimsBasis = written
	if l.FrontGlass == 0 || l.RearGlass == 0 || l.Barrel == 0 {
		k.RimsBasis = unknownAs("cutting nothing off")
	}
	k.SurfaceBasis, k.ChemicalBasis = unknownAs("flat"), unknownAs("none")
	for _, s := range l.Stops {
		st := StopKnown{Stop: s, Measured: s.FNumber, Basis: written, ShiftBasis: unknownAs("none"), CoverageBasis: unknownAs("covering the plate")}
		if l.Circle > 0 {
			st.CoverageBasis = written
		}
		k.Stops = append(k.Stops, st)
	}
	k.cover()
	return k
}

// cover lays the cone of the circle that is written down, with focal length and pupils as they are known.
func (k *LensKnown) cover() {
	for i := range k.Stops {
		st := &k.Stops[i]
		lens := optics.Lens{Focal: k.Focal, Stop: st.Measured, PupilMag: k.PupilMag}
		if st.CoverageBasis.Kind == ByHand && lens.Check() == nil {
			st.Half = optics.CoverageOf(k.Lens.Circle, lens).Half
		}
	}
}

var written = Basis{Kind: ByHand, Text: "as written down"}

func unknownAs(taken string) Basis { return Basis{Kind: ByNothing, Text: "unknown: taken as " + taken} }

// At returns the lens at one of its stops as package optics takes it, and what is known of that stop.
func (k LensKnown) At(stop string) (optics.Lens, StopKnown, bool) {
	for _, s := range k.Stops {
		if s.Name == stop {
			return optics.Lens{Focal: k.Focal, Stop: s.Measured, PupilMag: k.PupilMag}, s, true
		}
	}
	return optics.Lens{}, StopKnown{}, false
}

// Circle returns the diameter of the circle of good definition at a stop, at infinity; 0 when it is unknown.
func (k LensKnown) Circle(s StopKnown) measure.Length {
	cone, _ := s.Coverage()
	return cone.AtInfinity(optics.Lens{Focal: k.Focal, PupilMag: k.PupilMag})
}

// OwnCircle returns the largest circle that was measured or written down of the lens itself, at any of its stops; 0 when
// none was. What a form is drawn for refuses no lens a plate.
func (k LensKnown) OwnCircle() measure.Length {
	var most measure.Length
	for _, s := range k.Stops {
		if s.CoverageBasis.Kind == ByBench || s.CoverageBasis.Kind == ByHand {
			most = max(most, k.Circle(s))
		}
	}
	return most
}

// Coverage returns the cone of good definition at that stop.
func (s StopKnown) Coverage() (optics.Coverage, bool) {
	return optics.Coverage{Half: s.Half}, s.Half > 0
}

// shiftAt brings what was measured of the stops' shift to a distance.
func (k *LensKnown) shiftAt(distance measure.Length) {
	for i := range k.Stops {
		st := &k.Stops[i]
		st.ShiftHere = st.Shift
		lens := optics.Lens{Focal: k.Focal, Stop: st.Measured, PupilMag: k.PupilMag}
		if set, err := lens.AtDistance(distance); distance > 0 && err == nil {
			st.ShiftHere = set.ImageShift(st.Shift)
		}
	}
}
