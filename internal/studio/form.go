package studio

import (
	"platewright/measure"
	"platewright/optics"
	"platewright/optics/trace"
)

// ofForm fills what nobody told with what lenses of its form have, scaled to the focal length. What the
// form's drawing does not say, or cannot be traced for, stays unknown.
func (k *LensKnown) ofForm(distance measure.Length) {
	form, err := trace.FormOf(k.Lens.Design)
	if err != nil {
		return
	}
	far, err := form.Figures(trace.Use{Focal: k.Focal})
	if err != nil {
		return
	}
	basis := Basis{Kind: ByForm, Text: form.Basis()}
	if k.PupilMagBasis.Kind == ByNothing && far.FirstOrder.PupilMag >= optics.LeastPupilMag && far.FirstOrder.PupilMag <= optics.GreatestPupilMag {
		k.PupilMag, k.PupilMagBasis = far.FirstOrder.PupilMag, basis
	}
	if k.PlanesBasis.Kind == ByHand {
		middle := k.FrontAhead // written down is the middle of the two
		k.FrontAhead, k.RearAhead = middle+far.FirstOrder.Gap/2, middle-far.FirstOrder.Gap/2
		k.PlanesBasis.Text += "; how far the two lie apart " + form.Basis()
	}
	k.rimsOfForm(far, basis)
	here := far
	if near, err := form.Figures(trace.Use{Focal: k.Focal, Distance: distance}); distance > 0 && err == nil {
		here = near
	}
	if k.SurfaceBasis.Kind == ByNothing {
		k.Surface, k.SurfaceBasis = here.Surface, basis
	}
	if far.Chemical.Known && k.ChemicalBasis.Kind == ByNothing {
		k.ChemicalBasis.Text += "; the form's drawing has " + far.Chemical.AtInfinity.String() + ", " + far.Chemical.Caution
	}
	for i := range k.Stops {
		st := &k.Stops[i]
		if st.ShiftBasis.Kind == ByNothing {
			shift, err := shiftOf(far, k.widest(), st.Measured)
			shiftHere, wrong := shiftOf(here, k.widest(), st.Measured)
			if err == nil && wrong == nil {
				st.Shift, st.ShiftHere, st.ShiftBasis = shift, shiftHere, basis
			}
		}
		lens := optics.Lens{Focal: k.Focal, Stop: st.Measured, PupilMag: k.PupilMag}
		if st.CoverageBasis.Kind == ByNothing && far.Circle > 0 && lens.Check() == nil {
			st.Half, st.CoverageBasis = optics.CoverageOf(far.Circle, lens).Half, basis
		}
	}
}

// shiftOf is how far a form's focus at one stop lies behind that at a wider one.
func shiftOf(g trace.Figures, wide, stop measure.FNumber) (measure.Length, error) {
	at, err := g.At(stop)
	if err != nil {
		return 0, err
	}
	widest, err := g.At(wide)
	return at - widest, err
}

// rimsOfForm fills the clear diameters and the barrel where the record leaves them open.
func (k *LensKnown) rimsOfForm(far trace.Figures, basis Basis) {
	said := k.Rims != (optics.Rims{})
	lent := false
	for _, r := range []struct {
		own  *measure.Length
		form measure.Length
	}{
		{&k.Rims.Front, far.Rims.Front}, {&k.Rims.Rear, far.Rims.Rear}, {&k.Rims.Barrel, far.Rims.Barrel},
		{&k.Rims.ToEntrance, far.Rims.ToEntrance}, {&k.Rims.ToExit, far.Rims.ToExit},
	} {
		if *r.own == 0 && r.form != 0 {
			*r.own, lent = r.form, true
		}
	}
	switch known := k.Rims.Front > 0 && k.Rims.Rear > 0 && k.Rims.Barrel > 0; {
	case !lent || !known:
	case said:
		k.RimsBasis = Basis{Kind: ByForm, Text: "as written down, and what is not " + basis.Text}
	default:
		k.RimsBasis = basis
		if far.RimsBasis != "" {
			k.RimsBasis.Text += ": " + far.RimsBasis
		}
	}
}

// widest returns the largest opening the lens has.
func (k *LensKnown) widest() measure.FNumber {
	most := optics.GreatestStop
	for _, s := range k.Stops {
		most = min(most, s.Measured)
	}
	return most
}
