package colour

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"platewright/light"
)

// RGB is a colour in linear sRGB with the white of D65: 1, 1, 1 is a surface that sends back all light. Colours
// more saturated than sRGB holds have a component below 0; none that [RGB.Of] makes of a surface lies above 1.5.
type RGB struct{ R, G, B float64 }

// fromXYZ and toXYZ turn tristimulus values under D65 (Y of white 1) into linear sRGB and back. Both follow from
// the primaries and the white of sRGB [IEC61966].
var (
	fromXYZ = [3][3]float64{
		{3.2404541621141045, -1.5371385127977166, -0.498531409556016},
		{-0.9692660305051868, 1.8760108454466942, 0.04155601753034984},
		{0.05564343095911469, -0.20402591351675387, 1.0572251882231791},
	}
	toXYZ = [3][3]float64{
		{0.41245643908969226, 0.3575760776439511, 0.18043748326639894},
		{0.21267285140562253, 0.7151521552879021, 0.07217499330655958},
		{0.01933389558232931, 0.11919202588130293, 0.9503040785363679},
	}
)

// ParseRGB reads a colour as pages write it: #rrggbb or #rgb, in sRGB.
func ParseRGB(text string) (RGB, error) {
	digits, marked := strings.CutPrefix(strings.TrimSpace(text), "#")
	if len(digits) == 3 {
		d := digits
		digits = d[:1] + d[:1] + d[1:2] + d[1:2] + d[2:] + d[2:]
	}
	n, err := strconv.ParseUint(digits, 16, 32)
	if !marked || len(digits) != 6 || err != nil {
		return RGB{}, fmt.Errorf("%q is no colour; write # and six hexadecimal digits, two each for red, green and blue, as #b22222", text)
	}
	return Encoded(float64(n>>16)/255, float64(n>>8&255)/255, float64(n&255)/255), nil
}

// Encoded returns the colour with these encoded components of sRGB, 0 to 1.
func Encoded(r, g, b float64) RGB { return RGB{Linear(r), Linear(g), Linear(b)} }

// Hex writes the colour as ParseRGB reads it. Components outside sRGB are written as its nearest.
func (c RGB) Hex() string {
	byteOf := func(v float64) int { return int(math.Round(255 * Encode(within(v)))) }
	return fmt.Sprintf("#%02x%02x%02x", byteOf(c.R), byteOf(c.G), byteOf(c.B))
}

// Linear returns the linear light of an encoded component of sRGB [IEC61966].
func Linear(v float64) float64 {
	if v <= 0.04045 {
		return v / 12.92
	}
	return math.Pow((v+0.055)/1.055, 2.4)
}

// Encode returns the encoded component of linear light, the inverse of [Linear] [IEC61966].
func Encode(v float64) float64 {
	if v <= 0.0031308 {
		return 12.92 * v
	}
	return 1.055*math.Pow(v, 1/2.4) - 0.055
}

// Luminance returns what the eye counts: Y of the colour, 1 for white [IEC61966].
func (c RGB) Luminance() float64 {
	return toXYZ[1][0]*c.R + toXYZ[1][1]*c.G + toXYZ[1][2]*c.B
}

// XYZ returns the tristimulus values of the colour under D65, Y of white 1.
func (c RGB) XYZ() (X, Y, Z float64) { return times(toXYZ, c.R, c.G, c.B) }

// Of returns the colour of a reflectance in daylight D65, as an unerring camera would see it.
func Of(reflectance light.Spectrum) RGB {
	return ofXYZ(Tristimulus(reflectance, daylight65()))
}

func ofXYZ(X, Y, Z float64) RGB {
	r, g, b := times(fromXYZ, X, Y, Z)
	return RGB{r, g, b}
}

func times(m [3][3]float64, x, y, z float64) (a, b, c float64) {
	return m[0][0]*x + m[0][1]*y + m[0][2]*z, m[1][0]*x + m[1][1]*y + m[1][2]*z, m[2][0]*x + m[2][1]*y + m[2][2]*z
}

// visible is where the sums of colorimetry run, in nm [CIE15].
const visibleFrom, visibleTo, visibleStep = 380.0, 780.0, 5.0

// Tristimulus returns the tristimulus values of a reflectance in a light, summed from 380 to 780 nm by 5 nm; Y of
// a surface that sends back all light is 1.
func Tristimulus(reflectance, power light.Spectrum) (X, Y, Z float64) {
	return summed(reflectance, power, visibleStep)
}

func summed(reflectance, power light.Spectrum, step float64) (X, Y, Z float64) {
	x, y, z := light.Observer()
	all := 0.0
	for nm := visibleFrom; nm <= visibleTo; nm += step {
		s := power.At(nm)
		v := s * reflectance.At(nm)
		X, Y, Z = X+v*x.At(nm), Y+v*y.At(nm), Z+v*z.At(nm)
		all += s * y.At(nm)
	}
	return X / all, Y / all, Z / all
}

// Lab returns the CIE 1976 coordinates of a reflectance in a light, against the white of that light, summed by 10 nm
// as most surfaces are tabled [CIE15].
func Lab(reflectance, power light.Spectrum) (L, a, b float64) {
	X, Y, Z := summed(reflectance, power, stepNM)
	Xn, Yn, Zn := summed(sampled(firstNM, lastNM-firstNM, []float64{1, 1}), power, stepNM)
	fx, fy, fz := cubeRoot(X/Xn), cubeRoot(Y/Yn), cubeRoot(Z/Zn)
	return 116*fy - 16, 500 * (fx - fy), 200 * (fy - fz)
}

// Lightness returns L* of a luminance relative to white, 0 to 100 [CIE15].
func Lightness(Y float64) float64 { return 116*cubeRoot(Y) - 16 }

// cubeRoot is the cube root of CIE 1976, straight near black.
func cubeRoot(t float64) float64 {
	const d = 6.0 / 29
	if t > d*d*d {
		return math.Cbrt(t)
	}
	return t/(3*d*d) + 4.0/29
}

// within returns the nearest of 0 to 1; what is no number is 0.
func within(v float64) float64 {
	if !(v > 0) {
		return 0
	}
	return min(v, 1)
}

func daylight65() light.Spectrum {
	s, err := light.Named("D65")
	if err != nil {
		panic("the light of sRGB is missing: " + err.Error())
	}
	return s.Power
}
