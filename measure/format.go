package measure

import (
	"math"
	"strconv"
	"strings"
	"time"
)

// fineLength is the length below which a rule in sixteenths of an inch says nothing useful; below
// it lengths are shown in millimetres in every system.
const fineLength = Inch / 2

// String returns the length in millimetres to six significant digits: "165.1 mm".
func (l Length) String() string { return figure(float64(l), 6) + " mm" }

// Format returns the length as a person of the system reads it off a rule: to a tenth of a
// millimetre, or to a sixteenth of an inch, feet from three feet up. What is shorter than 10 mm,
// or than half an inch, is shown in millimetres with three digits.
func (l Length) Format(sys System) string {
	size := Length(math.Abs(float64(l)))
	if sys == Metric {
		switch {
		case size < 10*Millimetre:
			return figure(float64(l), 3) + " mm"
		case size < Metre-0.05:
			return fixed(float64(l), 1) + " mm"
		}
		return fixed(l.Metres(), 3) + " m"
	}
	if size < fineLength {
		return figure(float64(l), 3) + " mm"
	}
	sign := ""
	if l < 0 {
		sign = "-"
	}
	sixteenths := math.Round(size.Inches() * 16)
	if sixteenths < 3*12*16 {
		return sign + mixed(sixteenths) + " in"
	}
	feet := math.Floor(sixteenths / (12 * 16))
	rest := sixteenths - feet*12*16
	if rest == 0 {
		return sign + fixed(feet, 0) + " ft"
	}
	return sign + fixed(feet, 0) + " ft " + mixed(rest) + " in"
}

// FormatDepth returns a depth of sharpness, which is judged more finely than a rule shows: in
// millimetres with three digits, and outside the metric system with the nearest sixteenth of an inch
// beside them, where there is one: "6.43 mm (1/4 in)".
func (l Length) FormatDepth(sys System) string {
	sixteenths := math.Round(l.Inches() * 16)
	if sys == Metric || l >= Yard || l < 0 {
		return l.Format(sys)
	}
	text := figure(float64(l), 3) + " mm"
	if sixteenths > 0 {
		text += " (" + mixed(sixteenths) + " in)"
	}
	return text
}

// mixed writes so many sixteenths as a whole number and a fraction: 6½, 3/16, 1 5/16.
func mixed(sixteenths float64) string {
	whole := math.Floor(sixteenths / 16)
	n := int(sixteenths - whole*16)
	if n == 0 {
		return fixed(whole, 0)
	}
	d := 16
	for n%2 == 0 {
		n, d = n/2, d/2
	}
	w := fixed(whole, 0)
	if whole == 0 {
		w = ""
	}
	for c, v := range vulgar {
		if v == float64(n)/float64(d) && d <= 8 {
			return w + string(c)
		}
	}
	if w != "" {
		w += " "
	}
	return w + strconv.Itoa(n) + "/" + strconv.Itoa(d)
}

// String returns the angle in degrees to a hundredth: "6.73°".
func (a Angle) String() string { return fixed(a.Degrees(), 2) + "°" }

// String returns the mass in grams to six significant digits: "31.1035 g".
func (m Mass) String() string { return figure(float64(m), 6) + " g" }

// Format returns the mass in the system's own unit with four significant digits: grams, grains
// below half an avoirdupois ounce, ounces that name themselves above it.
func (m Mass) Format(sys System) string {
	size := Mass(math.Abs(float64(m)))
	switch {
	case sys == Metric:
		return figure(float64(m), 4) + " g"
	case sys == Apothecary && size >= ApothecaryOunce/2:
		return figure(float64(m/ApothecaryOunce), 4) + " oz troy"
	case sys != Apothecary && size >= AvoirdupoisOunce/2:
		return figure(float64(m/AvoirdupoisOunce), 4) + " oz av"
	}
	return figure(m.Grains(), 4) + " gr"
}

// String returns the volume in millilitres to six significant digits: "28.4131 ml".
func (v Volume) String() string { return figure(float64(v), 6) + " ml" }

// Format returns the volume in the system's own unit with four significant digits: millilitres, or
// minims below a fluid drachm and fluid ounces above it. The country is named, because an ounce
// that does not say whose it is gets copied wrongly.
func (v Volume) Format(sys System) string {
	size := Volume(math.Abs(float64(v)))
	switch {
	case sys == Metric:
		return figure(float64(v), 4) + " ml"
	case sys == Imperial && size < ImperialFluidDrachm:
		return figure(float64(v/ImperialMinim), 4) + " imp minim"
	case sys == Imperial:
		return figure(float64(v/ImperialFluidOunce), 4) + " imp fl oz"
	case size < USFluidDram:
		return figure(float64(v/USMinim), 4) + " US minim"
	}
	return figure(float64(v/USFluidOunce), 4) + " US fl oz"
}

// String returns the aperture number to three significant digits: "f/4.5".
func (n FNumber) String() string { return "f/" + figure(float64(n), 3) }

// String returns the stops with their sign, to a hundredth: "+1 stop", "-0.33 stops".
func (s Stops) String() string {
	text := fixed(float64(s), 2)
	if s > 0 && text != "0" {
		text = "+" + text
	}
	if text == "+1" || text == "-1" {
		return text + " stop"
	}
	return text + " stops"
}

// String returns the exposure value to a tenth: "EV 12.3".
func (e EV) String() string { return "EV " + fixed(float64(e), 1) }

// String returns the temperature to a tenth of a degree Celsius: "20 °C".
func (c Celsius) String() string { return fixed(float64(c), 1) + " °C" }

// Format returns the temperature in degrees Celsius in the metric system and in degrees
// Fahrenheit in the others, to a tenth.
func (c Celsius) Format(sys System) string {
	if sys == Metric {
		return c.String()
	}
	return fixed(c.Fahrenheit(), 1) + " °F"
}

// FormatExposure writes an exposure time as it is counted: "4 s", "2.5 s", "1/4 s", "1 min 20 s".
// It keeps three significant digits below a minute and whole seconds above.
func FormatExposure(d time.Duration) string {
	s := d.Seconds()
	switch {
	case s < 0:
		return "-" + FormatExposure(-d)
	case s >= 59.95:
		whole := math.Round(s)
		minutes := math.Floor(whole / 60)
		if rest := whole - minutes*60; rest > 0 {
			return fixed(minutes, 0) + " min " + fixed(rest, 0) + " s"
		}
		return fixed(minutes, 0) + " min"
	case s > 0 && s < 0.6:
		if n := math.Round(1 / s); n < 1e5 && math.Abs(n*s-1) < 0.005 {
			return "1/" + fixed(n, 0) + " s"
		}
	}
	return figure(s, 3) + " s"
}

// Thin puts a thin space (U+2009) before every unit of a text this package wrote, as print does
// and a screen should: the figure and its unit then sit close. A fraction after a whole number
// keeps its ordinary space.
func Thin(text string) string {
	words := strings.Split(text, " ")
	var b strings.Builder
	for i, w := range words {
		switch {
		case i == 0:
		case strings.IndexFunc(w, func(c rune) bool { return c >= '0' && c <= '9' }) == 0 || w == "×":
			b.WriteByte(' ')
		case endsInFigure(words[i-1]):
			b.WriteRune('\u2009')
		default:
			b.WriteByte(' ')
		}
		b.WriteString(w)
	}
	return b.String()
}

func endsInFigure(w string) bool {
	r := []rune(w)
	if len(r) == 0 {
		return false
	}
	last := r[len(r)-1]
	return last >= '0' && last <= '9' || vulgar[last] != 0
}
