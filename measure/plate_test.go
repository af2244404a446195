package measure_test

import (
	"math"
	"strings"
	"testing"

	"platewright/measure"
)

// published: sides in inches and millimetres as the sources of the table print them.
func TestTradeSizes(t *testing.T) {
	for _, tt := range []struct {
		name          string
		width, height float64 // inches
		source        string
	}{
		{"whole plate", 6.5, 8.5, "[PlateSizes19c]"},
		{"half plate", 4.25, 5.5, "[PlateSizes19c]; another page says 4.5 x 5.5"},
		{"UK half plate", 4.75, 6.5, "from memory"},
		{"quarter plate", 3.25, 4.25, "[PlateSizes19c]; elsewhere 3 1/8 x 4 1/8"},
		{"sixth plate", 2.75, 3.25, "[PlateSizes19c]; variants 2.5 x 3.5, 2 5/8 x 3 1/4"},
		{"eighth plate", 2.125, 3.25, "[PlateForum757144]"},
		{"ninth plate", 2, 2.5, "[PlateSizes19c]"},
		{"sixteenth plate", 1.375, 1.625, "[PlateSizes19c]"},
		{"18x22", 18, 22, "[PlateForum757144]"},
		{"20x24", 20, 24, "[PlateForum757144]"},
	} {
		p, err := measure.ParsePlateSize(tt.name)
		if err != nil {
			t.Errorf("%s: %v", tt.name, err)
			continue
		}
		if math.Abs(p.Width.Inches()-tt.width) > 1e-9 || math.Abs(p.Height.Inches()-tt.height) > 1e-9 {
			t.Errorf("%s = %g x %g in, want %g x %g %s", tt.name, p.Width.Inches(), p.Height.Inches(), tt.width, tt.height, tt.source)
		}
	}
	seen := map[string]bool{}
	for _, p := range measure.PlateSizes() {
		if p.Width >= p.Height {
			t.Errorf("%s is not upright", p.Name)
		}
		if seen[p.Name] {
			t.Errorf("%s twice", p.Name)
		}
		seen[p.Name] = true
	}
	// identity: the caller's slice is its own.
	measure.PlateSizes()[0].Name = "spoilt"
	if measure.PlateSizes()[0].Name == "spoilt" {
		t.Error("the table can be changed from outside")
	}
}

// unnamed is the sentence that lists the trade sizes.
const unnamed = `no trade size has this name; use 20x24, 18x22, 11x14, 8x10, whole plate, 5x7, UK half plate, half plate, 4x5, quarter plate, sixth plate, eighth plate, ninth plate, sixteenth plate, or two sides such as 165 x 216 mm`

func TestParsePlateSize(t *testing.T) {
	for _, tt := range []struct {
		in            string
		name          string
		width, height float64
		err           string
	}{
		{in: "whole plate", name: "whole plate", width: 165.1, height: 215.9},
		{in: "Full Plate", name: "whole plate", width: 165.1, height: 215.9},
		{in: "whole-plate, lying", name: "whole plate", width: 215.9, height: 165.1},
		{in: "8x10 in, lying", name: "8x10", width: 254, height: 203.2},
		{in: "10x8 upright", name: "8x10", width: 203.2, height: 254},
		{in: "16,5 x 21,6 cm lying", width: 216, height: 165},
		{in: "lying", err: `plate size "lying": ` + unnamed},
		{in: "8x10", name: "8x10", width: 203.2, height: 254},
		{in: "10x8", name: "8x10", width: 254, height: 203.2},
		{in: "8 × 10 inches", name: "8x10", width: 203.2, height: 254},
		{in: "8 by 10 in", name: "8x10", width: 203.2, height: 254},
		{in: "quarter", name: "quarter plate", width: 82.55, height: 107.95},
		{in: "1/4 plate", name: "quarter plate", width: 82.55, height: 107.95},
		{in: "half plate", name: "half plate", width: 107.95, height: 139.7},
		{in: "half plate, UK", name: "UK half plate", width: 120.65, height: 165.1},
		{in: "6 1/2 x 8 1/2 in", name: "whole plate", width: 165.1, height: 215.9},
		{in: "6½x8½", name: "whole plate", width: 165.1, height: 215.9},
		{in: "6½\" x 8½\"", name: "whole plate", width: 165.1, height: 215.9},
		{in: "165x216 mm", width: 165, height: 216},
		{in: "13x18 cm", width: 130, height: 180},
		{in: "13 cm x 180 mm", width: 130, height: 180},
		{in: "13x18", err: `plate size "13x18": say the unit: 13 x 18 in, cm or mm`},
		{in: "165x216", err: `plate size "165x216": say the unit: 165 x 216 in, cm or mm`},
		{in: "13 cm x 18", err: `plate size "13 cm x 18": the second side has no unit`},
		{in: "8x", err: `plate size "8x": a side is missing`},
		{in: "x", err: `plate size "x": a side is missing`},
		{in: "8x10x2 in", err: `plate size "8x10x2 in": the unit "x2 in" is not known here; use mm, cm, m, in, ft or yd`},
		{in: "2x3 mm", err: `plate width 2 mm is outside 10 to 1000 mm`},
		{in: "20 x 2000 mm", err: `plate height 2000 mm is outside 10 to 1000 mm`},
		{in: "sixty", err: `plate size "sixty": ` + unnamed},
		{in: "", err: `plate size "": nothing was given`},
	} {
		p, err := measure.ParsePlateSize(tt.in)
		if tt.err != "" {
			if err == nil || err.Error() != tt.err {
				t.Errorf("%q: error %v\nwant %s", tt.in, err, tt.err)
			}
			continue
		}
		if err != nil {
			t.Errorf("%q: %v", tt.in, err)
			continue
		}
		if p.Name != tt.name || math.Abs(float64(p.Width)-tt.width) > 1e-9 || math.Abs(float64(p.Height)-tt.height) > 1e-9 {
			t.Errorf("%q = %+v, want %s %g x %g", tt.in, p, tt.name, tt.width, tt.height)
		}
	}
}

// published: diagonals of the format table, to half a unit of the last digit [PlateSizes19c]; the
// diagonals themselves follow from the sides.
func TestDiagonals(t *testing.T) {
	for name, want := range map[string]float64{"8x10": 325.28, "whole plate": 271.79, "half plate": 176.55, "quarter plate": 135.90, "sixteenth plate": 54.07} {
		p, err := measure.ParsePlateSize(name)
		if err != nil {
			t.Fatal(err)
		}
		if got := p.Diagonal().Millimetres(); math.Abs(got-want) > 0.005 {
			t.Errorf("%s diagonal %.3f mm, want %.2f", name, got, want)
		}
		if p.LongSide() != p.Turned().Width || p.ShortSide() != p.Turned().Height {
			t.Errorf("%s turned is %v", name, p.Turned())
		}
	}
}

// identity: every trade size, upright and lying, and every alias reads back as itself.
func TestPlateSizesReadBack(t *testing.T) {
	for _, p := range measure.PlateSizes() {
		for _, q := range []measure.PlateSize{p, p.Turned()} {
			for _, text := range []string{q.String(), strings.ToUpper(q.String()), q.Format(measure.Metric), q.Format(measure.US)} {
				got, err := measure.ParsePlateSize(text)
				if err != nil {
					t.Errorf("%s: %v", text, err)
					continue
				}
				if math.Abs(float64(got.Width-q.Width)) > 0.8 || math.Abs(float64(got.Height-q.Height)) > 0.8 {
					t.Errorf("%s reads back as %+v, want %+v", text, got, q)
				}
			}
			if got, err := measure.ParsePlateSize(q.String()); err != nil || got != q {
				t.Errorf("%s reads back as %+v, %v", q, got, err)
			}
		}
	}
}
