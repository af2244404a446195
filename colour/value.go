package colour

import (
	"fmt"
	"math"

	"platewright/collodion"
	"platewright/light"
	"platewright/measure"
)

// MidTone is the reflectance that a meter takes a scene to have, K pi / C with K 12.5 and C 250 [ISO2720]: a surface
// that sends back this share of the plate's light gets the exposure of a mid-tone.
const MidTone = 0.15707963267948966

// Value is how a surface comes out on the plate, next to how the eye sees it.
type Value struct {
	Actinic   float64 // share of the plate's light that comes back
	Low, High float64 // four of five such surfaces lie between; for a measured one, what other halides make of it
	Luminous  float64 // share of what the eye sees that comes back, under D65

	Stops measure.Stops // plate against eye: log2 of Actinic over Luminous, to both of which [Floor] is added

	Plate               float64 // reflectance of the finished plate there
	PlateLow, PlateHigh float64 // the same for Low and High
	Density             float64 // reflection density, -log10 of Plate

	// Greys from 0 to 255, encoded as sRGB: of the plate as it is beside white paper, and of what the eye sees without
	// its hue.
	Grey, EyeGrey uint8

	Words string // how it comes out, in words
	Basis string // what stands behind Actinic
}

// ValueOf returns how a colour, and what it is of, comes out in a kind of light with the usual sight. exposure is
// what the plate gets beyond a metered mid-tone, -10 to 10 stops.
func ValueOf(c RGB, m Material, k light.Kind, curve collodion.Curve, exposure measure.Stops) (Value, error) {
	s, err := SightFor(k)
	if err != nil {
		return Value{}, err
	}
	j, err := s.Judge(curve, exposure)
	if err != nil {
		return Value{}, err
	}
	return j.Colour(c, m)
}

// Judge tells the values of many surfaces in one light and at one exposure.
type Judge struct {
	trial    trial
	fit      Fit
	curve    collodion.Curve
	exposure measure.Stops
}

// Judge returns what tells values for this sight, a plate's curve and an exposure beyond a metered mid-tone, -10 to
// 10 stops.
func (s Sight) Judge(curve collodion.Curve, exposure measure.Stops) (*Judge, error) {
	if err := measure.Within("exposure", float64(exposure), -10, 10, "stops"); err != nil {
		return nil, err
	}
	if err := curve.Check(); err != nil {
		return nil, err
	}
	t, err := s.trial()
	if err != nil {
		return nil, err
	}
	fit, err := t.fit()
	if err != nil {
		return nil, err
	}
	return &Judge{t, fit, curve, exposure}, nil
}

// Fit returns the fit by which the judge reads colours.
func (j *Judge) Fit() Fit { return j.fit }

// Colour returns how a colour comes out, given what it is of.
func (j *Judge) Colour(c RGB, m Material) (Value, error) {
	for _, v := range []float64{c.R, c.G, c.B} {
		if err := measure.Within("a colour's component", v, -0.5, 2, ""); err != nil {
			return Value{}, err
		}
	}
	k, err := j.trial.correction(j.fit, m)
	if err != nil {
		return Value{}, err
	}
	log := float64(j.fit.Stops(c) + k.At(c))
	share := func(stops float64) float64 { return min(1, math.Exp2(stops)) }
	v := Value{Actinic: share(log), Low: share(log - float64(k.Band)), High: share(log + float64(k.Band)), Luminous: within(c.Luminance()), Basis: k.Basis}
	j.finish(&v, m)
	return v, nil
}

// Surface returns how a measured surface comes out: integrated, not told from its colour. Its band spans collodion
// of iodide alone and of bromide alone, when its sensitivity is the usual.
func (j *Judge) Surface(s Surface) (Value, error) {
	a, err := j.trial.sight.Actinic(s.Reflectance)
	if err != nil {
		return Value{}, err
	}
	v := Value{Actinic: within(a), Low: a, High: a, Luminous: within(Of(s.Reflectance).Luminance()), Basis: "measured: " + s.From}
	for _, h := range []collodion.Halides{{Iodide: 1}, {Bromide: 1}} {
		other := j.trial.sight
		if other.Sees, err = collodion.Sees(h); err != nil {
			return Value{}, err
		}
		b, err := other.Actinic(s.Reflectance)
		if err != nil {
			return Value{}, err
		}
		v.Low, v.High = min(v.Low, b), max(v.High, within(b))
	}
	m := None
	if s.Group == Skin {
		m = OfSkin
	}
	j.finish(&v, m)
	return v, nil
}

// finish tells from the shares what becomes of them on the plate.
func (j *Judge) finish(v *Value, m Material) {
	v.Stops = measure.StopsOf((v.Actinic + Floor) / (v.Luminous + Floor))
	on := func(share float64) float64 { return j.curve.Reflectance(share / MidTone * j.exposure.Factor()) }
	v.Plate, v.PlateLow, v.PlateHigh = on(v.Actinic), on(v.Low), on(v.High)
	v.Density = -math.Log10(v.Plate)
	v.Grey, v.EyeGrey = grey(v.Plate), grey(v.Luminous)
	black, white := Lightness(j.curve.Least), Lightness(j.curve.Most)
	v.Words = words((Lightness(v.Plate)-black)/(white-black), float64(v.Stops), m)
}

func grey(linear float64) uint8 { return uint8(math.Round(255 * Encode(within(linear)))) }

// words say where a tone lies on the plate, between its black (0) and its whitest silver (1) by lightness, and how it
// differs from what the eye sees. Where one word ends and the next begins is our own choice.
func words(tone, stops float64, m Material) string {
	place := "nearly black"
	for _, p := range []struct {
		from float64
		word string
	}{{0.15, "very dark"}, {0.3, "dark grey"}, {0.5, "middle grey"}, {0.72, "light grey"}, {0.9, "nearly white"}} {
		if tone >= p.from {
			place = p.word
		}
	}
	how := "about as it looks"
	switch {
	case stops <= -2.5:
		how = "far darker than it looks"
	case stops <= -1.3:
		how = "much darker than it looks"
	case stops <= -0.6:
		how = "darker than it looks"
	case stops >= 1.3:
		how = "much paler than it looks"
	case stops >= 0.4:
		how = "paler than it looks"
	}
	if m == OfSkin && stops < 0 {
		return fmt.Sprintf("%s; %s, as all skin is: light or expose for the face", place, how)
	}
	return place + "; " + how
}
