// Package light tells what light does before it reaches the lens.
//
// This part is metering: from an incident reading and an exposure index to a time, and from there
// to the exposure that falls on the plate. The model is the meter's own [ISO2720]: an incident
// meter set to index S reads E and asks for N²/t = E S/C, a reflected-light meter for N²/t = L S/K.
// C and K are conventions that each maker chooses within a recommended range, so a time carries the
// band of that range; the band falls away when index and reading come from one meter.
//
// Symbols: E illuminance, L luminance, N aperture number, t time, S exposure index, H exposure at
// the plate, q the lens's share. A positive plate has no speed in the sense of the standards for
// negative and reversal films: S is the studio's own index for incident readings, found by test.
// There is no reciprocity term; none was found measured for wet collodion.
//
// The package refuses readings and settings that are not positive; it reads no clock and no meter.
package light

import (
	"math"

	"platewright/measure"
)

// Lux is an illuminance.
type Lux = measure.Lux

// LuxSeconds is a photometric exposure.
type LuxSeconds float64

// Seconds is an exposure time; it may be far shorter than the nanosecond of a [time.Duration].
type Seconds float64

// ExposureIndex is the speed set on the meter.
type ExposureIndex float64

// Constants of exposure meters. The standard recommends a range and leaves the choice to the maker
// [ISO2720]. With the pair 250 and 12.5, EV 0 at index 100 is 2.5 lx and 0.125 cd/m².
const (
	IncidentConstant     = 250.0 // lx·s, flat receptor, the value assumed
	IncidentConstantLow  = 240.0 // recommended range for a flat receptor; from memory
	IncidentConstantHigh = 400.0 // from memory
	ReflectedConstant    = 12.5  // cd·s/m²
)

// LensShare is q in the camera equation H = q L t/N²: what a typical lens lets through, vignetting
// and obliquity included, times pi/4 [ISO2721], from memory.
const LensShare = 0.65

// Scatter of a cap opened and closed by hand: the share of the time that counting aloud misses by
// [FechnerDay356] and the handling of the cap itself (an assumption of ours: measure your own).
const (
	CountingScatter = 0.07
	HandlingScatter = Seconds(0.1)
)

// IlluminanceAt returns the incident light at which a meter of constant [IncidentConstant] shows
// the exposure value.
func IlluminanceAt(ev measure.EV) Lux {
	return Lux(IncidentConstant / 100 * math.Exp2(float64(ev))) // E = C 2^EV/S, S = 100
}

// EVAt returns the exposure value that such a meter shows in the light.
func EVAt(e Lux) measure.EV { return measure.EV(math.Log2(float64(e) * 100 / IncidentConstant)) }

// FlashAt returns the incident light at which a flash meter of constant [IncidentConstant], set to index 100, shows
// the f-number.
func FlashAt(n measure.FNumber) LuxSeconds {
	return LuxSeconds(IncidentConstant / 100 * float64(n*n)) // H = C N²/S [ISO2720]
}

// Reading is what decides an exposure time.
type Reading struct {
	Light    Lux // incident, at the sitter's face, toward the camera
	Index    ExposureIndex
	Aperture measure.FNumber // as engraved; the bellows come on top
	Bellows  measure.Stops   // lost by the extension
	Actinic  measure.Stops   // what this light does to the plate beyond what the meter says
}

// Exposure is a time and what it does.
type Exposure struct {
	Time      Seconds
	Low, High Seconds    // the same for the ends of the incident constant's recommended range
	Plate     LuxSeconds // photometric, on the plate, of a mid-tone
}

// Expose returns the exposure that a reading asks for.
func (r Reading) Expose() (Exposure, error) {
	for _, c := range []struct {
		what string
		got  float64
	}{
		{"light", float64(r.Light)}, {"exposure index", float64(r.Index)}, {"aperture", float64(r.Aperture)},
	} {
		if !(c.got > 0) {
			return Exposure{}, &measure.RangeError{What: c.what, Got: c.got, Low: math.SmallestNonzeroFloat64, High: math.MaxFloat64}
		}
	}
	E, S, N := float64(r.Light), float64(r.Index), float64(r.Aperture)
	loss := (r.Bellows - r.Actinic).Factor()
	perC := N * N * loss / (E * S) // [ISO2720] t = C N²/(E S)
	t := IncidentConstant * perC

	L := ReflectedConstant * E / IncidentConstant         // both meters agree on a mid-tone of this luminance
	H := LensShare * L * t / (N * N * r.Bellows.Factor()) // [ISO2721] H = q L t/N²
	return Exposure{
		Time: Seconds(t), Low: Seconds(IncidentConstantLow * perC), High: Seconds(IncidentConstantHigh * perC),
		Plate: LuxSeconds(H),
	}, nil
}

// CapScatter returns the standard deviation of a time counted aloud and given by hand.
func CapScatter(t Seconds) Seconds {
	return Seconds(math.Hypot(CountingScatter*float64(t), float64(HandlingScatter)))
}

// LateCap returns the stops gained by a cap that closes one standard deviation late.
func LateCap(t, scatter Seconds) measure.Stops { return measure.StopsOf(1 + float64(scatter/t)) }
