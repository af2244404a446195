package floor

import "platewright/measure"

// scaleBar draws a rule divided in five and returns the height used.
func (s *stage) scaleBar(y float64) float64 {
	total, unit, word := barLength(s.Units, s.sheet.width()*0.3*s.scale)
	if total == 0 {
		return y
	}
	x := 2.0
	step := float64(total) / 5 / s.scale
	for i := range 5 {
		b := box{x + float64(i)*step, y + 2, x + float64(i+1)*step, y + 6}
		if i%2 == 0 {
			s.rect("solid", b)
		} else {
			s.rect("outline", b)
		}
	}
	s.line("outline", point{x, y + 4}, point{x + 5*step, y + 4}, ` data-length="bar" data-mm="`, at(float64(total)), `"`)
	s.text(point{x + 5*step + 8, y + 4}, "start", formatFigure(total.Over(unit))+"\u2009"+word)
	return y + max(10, 1.1*s.size)
}

// barLength is the longest round length of at most so many millimetres, with its unit; 0 when even the
// shortest is longer.
func barLength(units measure.System, most float64) (total, unit measure.Length, word string) {
	if units == measure.Metric {
		for _, l := range []measure.Length{50, 100, 250, 500, 1000, 2500, 5000, 10000, 50000, 100000, 1e6} {
			if float64(l) <= most {
				total = l
			}
		}
		if total >= 1000 {
			return total, measure.Metre, "m"
		}
		return total, measure.Millimetre, "mm"
	}
	unit, word = measure.Inch, "in"
	for _, l := range []measure.Length{2.5, 5, 10, 20} {
		if float64(l*measure.Inch) <= most {
			total = l * measure.Inch
		}
	}
	for _, l := range []measure.Length{2.5, 5, 10, 25, 50, 100, 500, 2500} {
		if float64(l*measure.Foot) <= most {
			total, unit, word = l*measure.Foot, measure.Foot, "ft"
		}
	}
	return total, unit, word
}

func lengthOf(mm float64) measure.Length { return measure.Length(mm) }
