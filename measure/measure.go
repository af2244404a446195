// Package measure names the quantities of the plate maker's trade: lengths, masses, volumes,
// angles, stops and temperatures, with the old weights and measures beside the metric ones.
//
// A quantity that only scales has one type, whose base is what the trade reads off brass, scale
// or cylinder: [Length] is millimetres, [Mass] grams, [Volume] millilitres, [Angle] radians. A
// quantity with an offset or a logarithm is named after its unit: [Celsius], [Stops], [EV].
// Times of the process are [time.Duration].
//
// What is ambiguous has no name here: there is no "ounce", only four of them kept apart
// ([AvoirdupoisOunce], [ApothecaryOunce], [ImperialFluidOunce], [USFluidOunce]).
//
// The package promises exact conversion factors, each with its source; parsers that take what
// people write ([ParseLength], [ParseExposure], [ParseFNumber], [ParseMass], [ParseVolume],
// [ParseTemperature], [ParseEV], [ParsePlateSize]); and writers whose text the parsers read back:
// String for the base unit, Format for a reader's [System], [Thin] for screens.
//
// It refuses, in a sentence that says what to write instead, units it does not know, ounces and
// pints nobody has settled, figures that can be read two ways (1,500), negative amounts, and what
// lies outside bounds no slip of the finger should pass ([RangeError]). Rounding happens only in
// what is shown: Format is for reading, never for computing on.
package measure

import "math"

// Length is a length in millimetres.
type Length float64

// Units of length. The inch is 25.4 mm exactly [SP811].
const (
	Micrometre Length = 0.001
	Millimetre Length = 1
	Centimetre Length = 10
	Metre      Length = 1000
	Inch       Length = 25.4
	Foot       Length = 12 * Inch
	Yard       Length = 3 * Foot
)

// Millimetres returns the length in millimetres.
func (l Length) Millimetres() float64 { return float64(l) }

// Inches returns the length in inches.
func (l Length) Inches() float64 { return float64(l / Inch) }

// Metres returns the length in metres.
func (l Length) Metres() float64 { return float64(l / Metre) }

// Over returns the ratio of l to other.
func (l Length) Over(other Length) float64 { return float64(l) / float64(other) }

// Angle is an angle in radians.
type Angle float64

// Degree is the angle unit people read; pi/180 rad by definition.
const Degree Angle = math.Pi / 180

// Degrees returns the angle in degrees.
func (a Angle) Degrees() float64 { return float64(a / Degree) }

// Radians returns the angle in radians.
func (a Angle) Radians() float64 { return float64(a) }

// Mass is a mass in grams.
type Mass float64

// Units of mass. The grain, 64.79891 mg exactly, is the one unit common to every old system;
// the ounces are not one ounce [SP811].
const (
	Milligram        Mass = 0.001
	Gram             Mass = 1
	Kilogram         Mass = 1000
	Grain            Mass = 0.06479891
	Scruple          Mass = 20 * Grain
	ApothecaryDrachm Mass = 60 * Grain
	AvoirdupoisDram  Mass = AvoirdupoisOunce / 16
	AvoirdupoisOunce Mass = 437.5 * Grain
	ApothecaryOunce  Mass = 480 * Grain // the troy ounce is the same
	AvoirdupoisPound Mass = 7000 * Grain
	TroyPound        Mass = 5760 * Grain
)

// Grams returns the mass in grams.
func (m Mass) Grams() float64 { return float64(m) }

// Grains returns the mass in grains.
func (m Mass) Grains() float64 { return float64(m / Grain) }

// Volume is a volume in millilitres.
type Volume float64

// Units of volume. The US gallon is 231 cubic inches, the imperial gallon 4.54609 litres, both
// exact [SP811]; the US fluid ounce is a 128th, the imperial fluid ounce a 160th of its gallon.
const (
	Millilitre Volume = 1
	Litre      Volume = 1000

	USGallon     Volume = 3785.411784
	USQuart      Volume = USGallon / 4
	USPint       Volume = USGallon / 8 // 16 US fluid ounces
	USFluidOunce Volume = USGallon / 128
	USFluidDram  Volume = USFluidOunce / 8
	USMinim      Volume = USFluidOunce / 480

	ImperialGallon      Volume = 4546.09
	ImperialQuart       Volume = ImperialGallon / 4
	ImperialPint        Volume = ImperialGallon / 8 // 20 imperial fluid ounces
	ImperialFluidOunce  Volume = ImperialGallon / 160
	ImperialFluidDrachm Volume = ImperialFluidOunce / 8
	ImperialMinim       Volume = ImperialFluidOunce / 480
)

// Millilitres returns the volume in millilitres.
func (v Volume) Millilitres() float64 { return float64(v) }

// Litres returns the volume in litres.
func (v Volume) Litres() float64 { return float64(v / Litre) }

// FNumber is an aperture number, the focal length over the entrance pupil's diameter.
type FNumber float64

// Stops is a logarithm to base two of a ratio of exposures; one stop more is twice the light.
type Stops float64

// StopsOf returns the stops of a ratio of exposures. The ratio must be positive and finite.
func StopsOf(ratio float64) Stops { return Stops(math.Log2(ratio)) }

// Factor returns the ratio of exposures the stops stand for.
func (s Stops) Factor() float64 { return math.Exp2(float64(s)) }

// EV is an exposure value at exposure index 100: it rises as the light does.
type EV float64

// Celsius is a temperature on the Celsius scale, a point and not a difference.
type Celsius float64

// Fahrenheit returns the temperature on the Fahrenheit scale.
func (c Celsius) Fahrenheit() float64 { return float64(c)*9/5 + 32 }

// FromFahrenheit converts a reading in degrees Fahrenheit.
func FromFahrenheit(f float64) Celsius { return Celsius((f - 32) * 5 / 9) }
