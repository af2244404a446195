package trace

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"platewright/measure"
	"platewright/optics"
)

// Use is how a lens of a form is used. Of Distance and Magnification at most one is given; neither is
// the sitter at infinity.
type Use struct {
	Focal         measure.Length  // measured focal length of the lens the form stands for
	Stop          measure.FNumber // taking stop; 0 is the form's largest
	Distance      measure.Length  // front principal plane to the sitter's plane of focus
	Magnification float64
	Wavelength    measure.Length // colour of the focal surface, the shifts and the distortion; 0 is [Visual]
	Exposing      measure.Length // colour that makes the picture, for the chemical focus; 0 is [Plate]
}

// Figures is what the form says of a lens at one stop and distance: what is needed when nothing was
// measured. Places along the axis count from the image by rays near the axis in the same colour,
// positive behind it.
type Figures struct {
	Basis    string // what the figures are worth: of the form, not of this lens
	Inferred string // what the drawing does not say and was supplied

	Focal         measure.Length // in the eye's light, as the form now stands
	Stop          measure.FNumber
	Magnification float64
	FirstOrder    FirstOrder // in the colour asked for

	// Surface is fitted to the two foci along real chief rays over the field of good definition, at this
	// distance; Misfit is the largest difference of the fit, FitTo the greatest image height in it. Beyond
	// that height it is a guess.
	Surface optics.FocalSurface
	Misfit  measure.Length
	FitTo   measure.Length
	Across  []Foci // the foci the surface was fitted to, from the axis to the edge

	Half       measure.Angle  // half the field the form is meant for
	Circle     measure.Length // diameter of its image at this distance
	Distortion float64        // at the edge of that field, share of the image height

	Shifts   []StopShift // by stop, from the widest that lets light through down
	Chemical Chemical

	Rims      optics.Rims // zero where nothing is known
	RimsBasis string
}

// StopShift is where the best focus on the axis lies at a stop, and the radius (RMS) of the disc there.
type StopShift struct {
	Stop   measure.FNumber
	Behind measure.Length
	RMS    measure.Length
	Beyond bool // the stop is wider than the form was drawn for
}

// wider is by how much an old lens's stop may exceed that of the form it is taken for.
const wider = 1.5

// Chemical is what colour does to the focus between the eye's light and the plate's.
type Chemical struct {
	Known      bool           // false when the drawing says nothing about colour
	AtInfinity measure.Length // plate's focus behind the eye's, for optics.Setting.ImageShift
	Here       measure.Length // the same traced at this distance
	Caution    string
}

const chemicalCaution = "not to be trusted for a lens without a mark: in a form of crown and flint a change of one and a half in a glass's V-number can take the whole of it away; measure it with a stepped test plate"

// At returns where the best focus on the axis lies at a stop, between the stops of the table in proportion
// to the stop's area, as third-order spherical aberration has it.
func (g Figures) At(stop measure.FNumber) (measure.Length, error) {
	if len(g.Shifts) == 0 {
		return 0, fmt.Errorf("these figures hold no stops; they come from a form")
	}
	last := g.Shifts[len(g.Shifts)-1]
	if err := measure.Within("f-number", float64(stop), float64(g.Shifts[0].Stop), float64(optics.GreatestStop), ""); err != nil {
		return 0, err
	}
	area := func(n measure.FNumber) float64 { return 1 / float64(n*n) }
	i, found := slices.BinarySearchFunc(g.Shifts, stop, func(s StopShift, n measure.FNumber) int { return cmp.Compare(s.Stop, n) })
	switch {
	case found:
		return g.Shifts[i].Behind, nil
	case i == len(g.Shifts):
		return last.Behind * measure.Length(area(stop)/area(last.Stop)), nil
	}
	wide, small := g.Shifts[i-1], g.Shifts[i]
	share := (area(wide.Stop) - area(stop)) / (area(wide.Stop) - area(small.Stop))
	return wide.Behind + measure.Length(share)*(small.Behind-wide.Behind), nil
}

// Behind returns how far the image at the taking stop lies behind the one the operator focused at another
// stop, at this distance: the part of optics.Setup's Shift that comes of the stops. Chemical.Here is the other
// part, to be added by who trusts it.
func (g Figures) Behind(focused measure.FNumber) (measure.Length, error) {
	eye, err := g.At(focused)
	if err != nil {
		return 0, err
	}
	plate, err := g.At(g.Stop)
	if err != nil {
		return 0, err
	}
	return plate - eye, nil
}

// fields is over how many field angles a focal surface is fitted.
const fields = 8

// Figures returns what the form says of a lens of the given focal length in use.
func (f Form) Figures(u Use) (Figures, error) {
	if u.Stop == 0 {
		u.Stop = f.Largest
	}
	if u.Wavelength == 0 {
		u.Wavelength = Visual
	}
	if u.Exposing == 0 {
		u.Exposing = Plate
	}
	if err := measure.Within("f-number", float64(u.Stop), float64(f.Largest/wider), float64(optics.GreatestStop), ""); err != nil {
		err.(*measure.RangeError).Source = "the " + f.Name + " is drawn for its largest stop and a little more"
		return Figures{}, err
	}
	system, err := f.Scaled(u.Focal)
	if err != nil {
		return Figures{}, err
	}
	eye, err := system.In(Visual)
	if err != nil {
		return Figures{}, err
	}
	if u.Distance != 0 {
		if u.Magnification != 0 {
			return Figures{}, fmt.Errorf("both a distance and a magnification are given; give one")
		}
		near, far := optics.DistanceRange(eye.first.Focal)
		if err := measure.Within("distance", float64(u.Distance), float64(near), float64(far), "mm"); err != nil {
			return Figures{}, err
		}
		u.Magnification = float64(eye.first.Focal) / float64(u.Distance-eye.first.Focal)
	}
	seen, err := eye.Work(Conditions{Stop: u.Stop, Magnification: u.Magnification})
	if err != nil {
		return Figures{}, err
	}
	// The same place of the sitter and the same pupil in the colour asked for.
	here := Conditions{Pupil: measure.Length(2 * seen.pupil), Distance: seen.Distance}
	w := seen
	if u.Wavelength != Visual {
		o, err := system.In(u.Wavelength)
		if err != nil {
			return Figures{}, err
		}
		if w, err = o.Work(here); err != nil {
			return Figures{}, err
		}
	}
	out := Figures{
		Basis: f.Basis(), Inferred: f.Inferred,
		Focal: eye.first.Focal, Stop: u.Stop, Magnification: u.Magnification, FirstOrder: w.Optic.first,
		Half: f.Half, RimsBasis: f.RimsBasis,
	}
	k := measure.Length(u.Focal / 100)
	if f.Rims != (optics.Rims{}) {
		// A pupil in the rim itself is told as a micrometre from it, because zero says unknown.
		out.Rims = optics.Rims{Front: k * f.Rims.Front, Rear: k * f.Rims.Rear, Barrel: k * f.Rims.Barrel,
			ToEntrance: max(w.Optic.first.EntrancePupil, measure.Micrometre), ToExit: max(-w.Optic.first.ExitPupil, measure.Micrometre)}
	}
	if err := out.surface(w, f.Good, f.Half); err != nil {
		return Figures{}, fmt.Errorf("%s: %w", f.Name, err)
	}
	if err := out.shifts(w, u.Stop, f.Largest); err != nil {
		return Figures{}, fmt.Errorf("%s: %w", f.Name, err)
	}
	if err := out.chemical(system, u.Exposing, seen, here); err != nil {
		return Figures{}, err
	}
	return out, nil
}

// surface fits the two curves to the foci along the chief rays, by least squares in h² and h⁴.
func (g *Figures) surface(w Working, good, half measure.Angle) error {
	g.Across = make([]Foci, 0, fields+1)
	g.Across = append(g.Across, Foci{})
	var s22, s24, s44, sag2, sag4, tan2, tan4 float64
	heights := make([]float64, 0, fields)
	top := 0.0
	for i := 1; i <= fields; i++ {
		a := good * measure.Angle(float64(i)/fields)
		s, err := w.sightAt(a)
		if err != nil {
			return err
		}
		foci, err := w.foci(&s)
		if err != nil {
			return err
		}
		g.Across = append(g.Across, foci)
		top = w.ideal(s.field)
		heights = append(heights, top)
	}
	for i, h := range heights {
		// Heights in parts of the greatest keep the two sums of one size.
		r2 := (h / top) * (h / top)
		r4 := r2 * r2
		sagittal, tangential := -float64(g.Across[i+1].Sagittal), -float64(g.Across[i+1].Tangential)
		s22, s24, s44 = s22+r2*r2, s24+r2*r4, s44+r4*r4
		sag2, sag4 = sag2+r2*sagittal, sag4+r4*sagittal
		tan2, tan4 = tan2+r2*tangential, tan4+r4*tangential
	}
	det := s22*s44 - s24*s24
	curve := func(b2, b4 float64) optics.Curve {
		k2, k4 := (b2*s44-b4*s24)/det, (b4*s22-b2*s24)/det
		return optics.Curve{Curvature: 2 * k2 / (top * top), Fourth: k4 / (top * top * top * top)}
	}
	g.Surface = optics.FocalSurface{Sagittal: curve(sag2, sag4), Tangential: curve(tan2, tan4)}
	for i, h := range heights {
		at := measure.Length(h)
		for _, miss := range []measure.Length{g.Surface.Sagittal.Nearer(at) + g.Across[i+1].Sagittal, g.Surface.Tangential.Nearer(at) + g.Across[i+1].Tangential} {
			g.Misfit = max(g.Misfit, measure.Length(math.Abs(float64(miss))))
		}
	}
	edge, err := w.Foci(half)
	if err != nil {
		return err
	}
	g.FitTo, g.Circle, g.Distortion = measure.Length(top), 2*edge.Height, edge.Distortion
	return nil
}

// shifts finds the best focus on the axis at full stops, at the largest stop and at the taking stop. Wider
// stops than the form was drawn for are listed as far as light comes through them.
func (g *Figures) shifts(w Working, taking, largest measure.FNumber) error {
	stops := []measure.FNumber{largest / wider, largest, taking}
	for n := 1.0; n < 128; n *= math.Sqrt2 {
		if at := measure.FNumber(n); at > largest*1.01 && math.Abs(float64(at/taking)-1) > 0.01 {
			stops = append(stops, at)
		}
	}
	slices.Sort(stops)
	stops = slices.Compact(stops)
	g.Shifts = make([]StopShift, 0, len(stops))
	full := w
	var lost *Lost
	for _, n := range stops {
		k := float64(g.Stop / n)
		w.pupil, w.stop = full.pupil*k, full.stop*k
		beyond := n < largest
		spot, err := w.AxialFocus()
		if beyond && n != taking && errors.As(err, &lost) {
			continue
		}
		if beyond && errors.As(err, &lost) {
			return fmt.Errorf("at f/%.3g %w; it is drawn for f/%.3g and smaller stops", float64(n), err, float64(largest))
		}
		if err != nil {
			return err
		}
		g.Shifts = append(g.Shifts, StopShift{Stop: n, Behind: spot.Behind, RMS: spot.RMS, Beyond: beyond})
	}
	return nil
}

// chemical compares the focus of the light that makes the picture with that of the eye's.
func (g *Figures) chemical(system System, exposing measure.Length, seen Working, here Conditions) error {
	for _, s := range system.Surfaces {
		if !s.After.Colour {
			return nil
		}
	}
	blue, err := system.In(exposing)
	if err != nil {
		return err
	}
	w, err := blue.Work(here)
	if err != nil {
		return err
	}
	g.Chemical = Chemical{Known: true, AtInfinity: blue.first.Back - seen.Optic.first.Back, Here: w.Image - seen.Image, Caution: chemicalCaution}
	return nil
}
