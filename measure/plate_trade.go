package measure

import (
	"math"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Least and greatest side of a plate this product plans for.
const (
	leastSide = 10 * Millimetre
	mostSide  = 1 * Metre
)

// sameSize is how near two sides must be to be one trade size written in another unit.
const sameSize = 10 * Micrometre

// tradeSize is a row of the table of trade sizes, upright.
type tradeSize struct {
	PlateSize
	aliases []string
}

// tradeSizes lists the plates the trade names, largest first. The fractions name a plate, not an
// area: a half plate has 0.42 of a whole plate's surface. Real plates and holders differ by a
// millimetre or two, so a holder records its own opening.
//
// Whole, half, quarter, sixth, ninth and sixteenth plate [PlateSizes19c]; eighth plate and the
// two largest [PlateForum757144]; the UK half plate is from memory; 4x5 to 11x14 are named by their
// sides in inches, which is common practice and has no source.
var tradeSizes = []tradeSize{
	upright("20x24", 20*Inch, 24*Inch, "mammoth 20x24"),
	upright("18x22", 18*Inch, 22*Inch, "mammoth", "mammoth 18x22"),
	upright("11x14", 11*Inch, 14*Inch),
	upright("8x10", 8*Inch, 10*Inch),
	upright("whole plate", 6.5*Inch, 8.5*Inch, "full plate", "whole", "full", "1/1"),
	upright("5x7", 5*Inch, 7*Inch),
	upright("UK half plate", 4.75*Inch, 6.5*Inch, "uk half", "british half plate", "british half", "english half plate", "half plate uk"),
	upright("half plate", 4.25*Inch, 5.5*Inch, "half", "us half plate", "us half", "1/2", "half plate us"),
	upright("4x5", 4*Inch, 5*Inch),
	upright("quarter plate", 3.25*Inch, 4.25*Inch, "quarter", "1/4"),
	upright("sixth plate", 2.75*Inch, 3.25*Inch, "sixth", "1/6"),
	upright("eighth plate", 2.125*Inch, 3.25*Inch, "eighth", "1/8"),
	upright("ninth plate", 2*Inch, 2.5*Inch, "ninth", "1/9"),
	upright("sixteenth plate", 1.375*Inch, 1.625*Inch, "sixteenth", "1/16"),
}

func upright(name string, width, height Length, aliases ...string) tradeSize {
	return tradeSize{PlateSize{Name: name, Width: width, Height: height}, aliases}
}

// PlateSizes returns the trade sizes, upright, largest first. The slice is the caller's own.
func PlateSizes() []PlateSize {
	sizes := make([]PlateSize, len(tradeSizes))
	for i, t := range tradeSizes {
		sizes[i] = t.PlateSize
	}
	return sizes
}

// plateNames is what a refusal offers.
func plateNames() string {
	names := make([]string, len(tradeSizes))
	for i, t := range tradeSizes {
		names[i] = t.Name
	}
	return strings.Join(names, ", ")
}

// byName finds a trade size by its name or an alias, in lower case.
func byName(name string) (PlateSize, bool) {
	for _, t := range tradeSizes {
		if strings.ToLower(t.Name) == name {
			return t.PlateSize, true
		}
		for _, a := range t.aliases {
			if a == name || a+" plate" == name {
				return t.PlateSize, true
			}
		}
	}
	return PlateSize{}, false
}

// NewPlateSize returns the plate of these sides, named when they are a trade size's.
func NewPlateSize(width, height Length) (PlateSize, error) {
	if err := Within("plate width", float64(width), float64(leastSide), float64(mostSide), "mm"); err != nil {
		return PlateSize{}, err
	}
	if err := Within("plate height", float64(height), float64(leastSide), float64(mostSide), "mm"); err != nil {
		return PlateSize{}, err
	}
	p := PlateSize{Width: width, Height: height}
	for _, t := range tradeSizes {
		switch {
		case near(width, t.Width) && near(height, t.Height):
			return t.PlateSize, nil
		case near(width, t.Height) && near(height, t.Width):
			return t.Turned(), nil
		}
	}
	return p, nil
}

func near(a, b Length) bool { return math.Abs(float64(a-b)) <= float64(sameSize) }

// ParsePlateSize reads a plate's size by its trade name ("whole plate", "half plate", "4x5") or by
// its sides, width first ("6 1/2 x 8 1/2 in", "165x216 mm", "13x18 cm"). Names stand upright
// unless "lying" follows; after sides, "upright" or "lying" turns them as needed. Sides without a unit are inches where they are a trade size's and are
// refused elsewhere, because 13x18 means centimetres to one reader and inches to another.
func ParsePlateSize(s string) (PlateSize, error) {
	r := reading{"plate size", s}
	text, err := r.tidy()
	if err != nil {
		return PlateSize{}, err
	}
	turn := func(p PlateSize) PlateSize { return p }
	for _, word := range []string{"lying", "upright"} {
		before, ok := strings.CutSuffix(text, word)
		if !ok {
			continue
		}
		text = strings.TrimRight(before, " ,")
		turn = func(p PlateSize) PlateSize {
			if (p.Width > p.Height) != (word == "lying") {
				return p.Turned()
			}
			return p
		}
	}
	name := strings.Join(strings.Fields(strings.NewReplacer(",", " ", "-", " ").Replace(text)), " ")
	if p, ok := byName(name); ok {
		return turn(p), nil
	}
	left, right, ok := sides(text)
	if first, _ := utf8.DecodeRuneInString(text); !ok || !(unicode.IsDigit(first) || vulgar[first] != 0 || strings.ContainsRune(".-x×", first)) {
		return PlateSize{}, r.refuse("no trade size has this name; use %s, or two sides such as 165 x 216 mm", plateNames())
	}
	w, wUnit, err := r.side(left)
	if err != nil {
		return PlateSize{}, err
	}
	h, hUnit, err := r.side(right)
	if err != nil {
		return PlateSize{}, err
	}
	if wUnit == 0 && hUnit == 0 {
		p, err := NewPlateSize(Length(w)*Inch, Length(h)*Inch)
		if err != nil || p.Name == "" {
			return PlateSize{}, r.refuse("say the unit: %s x %s in, cm or mm", figure(w, 6), figure(h, 6))
		}
		return turn(p), nil
	}
	if hUnit == 0 {
		return PlateSize{}, r.refuse("the second side has no unit")
	}
	if wUnit == 0 {
		wUnit = hUnit
	}
	p, err := NewPlateSize(Length(w)*wUnit, Length(h)*hUnit)
	if err != nil {
		return PlateSize{}, err
	}
	return turn(p), nil
}

// sides cuts a tidied text at its times sign: x, × or the word by.
func sides(text string) (left, right string, ok bool) {
	for _, sign := range []string{"×", "x", " by ", "*"} {
		if left, right, ok = strings.Cut(text, sign); ok {
			return strings.TrimSpace(left), strings.TrimSpace(right), true
		}
	}
	return "", "", false
}

// side reads one side; its unit is 0 when none was written.
func (r reading) side(s string) (value float64, unit Length, err error) {
	if s == "" {
		return 0, 0, r.refuse("a side is missing")
	}
	v, rest, err := r.number(s)
	if err != nil {
		return 0, 0, err
	}
	name := unitName(rest)
	if name == "" {
		return v, 0, nil
	}
	u, err := r.lengthUnit(name, 0)
	return v, Length(u), err
}

// String returns the trade name, or the sides in millimetres: "whole plate", "whole plate, lying",
// "165 x 216 mm". [ParsePlateSize] reads it back.
func (p PlateSize) String() string {
	if p.Name == "" {
		return figure(float64(p.Width), 6) + " x " + figure(float64(p.Height), 6) + " mm"
	}
	if p.Width > p.Height {
		return p.Name + ", lying"
	}
	return p.Name
}

// Format returns the sides, width first: "165.1 × 215.9 mm", or "6½ × 8½ in" to a sixteenth.
func (p PlateSize) Format(sys System) string {
	if sys == Metric {
		return fixed(float64(p.Width), 1) + " × " + fixed(float64(p.Height), 1) + " mm"
	}
	side := func(l Length) string { return mixed(math.Round(l.Inches() * 16)) }
	return side(p.Width) + " × " + side(p.Height) + " in"
}
