package daylight_test

import (
	"encoding/xml"
	"errors"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"platewright/internal/web/screens/daylight"
)

// strip is a day with the sun up from 8 to 16 whose light goes as a sine, so that its seconds are known at every hour.
func strip() daylight.Strip {
	s := daylight.Strip{From: 7, To: 17, Up: [][2]float64{{8, 16}}, OnFace: [][2]float64{{13, 14.5}}, Least: 0.4, Longest: 8, Now: 12.5, Said: "a day",
		Bars: []daylight.Bar{{From: 9, To: 10.5, Name: "Ottilie Brandt"}, {From: 10, To: 11, Name: "A name that is far too long for so short a sitting", CalledOff: true}}}
	for h := 7.0; h <= 17; h += 0.25 {
		q := daylight.Point{Hour: h}
		if h > 8 && h < 16 {
			q.Lux = 4000 * math.Sin((h-8)/8*math.Pi)
			q.Seconds = 8000 / q.Lux
			q.Low, q.High = q.Seconds/1.5, q.Seconds*1.5
		}
		s.Clear.Points = append(s.Clear.Points, q)
		q.Lux, q.Seconds, q.Low, q.High = q.Lux/4, q.Seconds*4, q.Low*4, q.High*4
		s.Covered.Points = append(s.Covered.Points, q)
	}
	s.Clear.Use = [][2]float64{{9, 15}}
	return s
}

var numbers = regexp.MustCompile(`-?[0-9]+(\.[0-9]+)?`)

// points are the corners of the first path of a class.
func points(t *testing.T, svg, class string) [][2]float64 {
	t.Helper()
	m := regexp.MustCompile(`<path class="` + class + `" d="([^"]*)"`).FindStringSubmatch(svg)
	if m == nil {
		t.Fatalf("no path of class %s", class)
	}
	var all [][2]float64
	for _, each := range regexp.MustCompile(`[ML]`).Split(m[1], -1) {
		n := numbers.FindAllString(each, -1)
		if len(n) != 2 {
			continue
		}
		x, _ := strconv.ParseFloat(n[0], 64)
		y, _ := strconv.ParseFloat(n[1], 64)
		all = append(all, [2]float64{x, y})
	}
	return all
}

// wellFormed tells whether a drawing is XML and holds no figure that is none.
func wellFormed(t *testing.T, what, svg string) {
	t.Helper()
	if strings.Contains(svg, "NaN") || strings.Contains(svg, "Inf") {
		t.Errorf("%s holds a figure that is none", what)
	}
	d := xml.NewDecoder(strings.NewReader(svg))
	for {
		_, err := d.Token()
		if errors.Is(err, io.EOF) {
			return
		}
		if err != nil {
			t.Fatalf("%s: %v", what, err)
		}
	}
}

// identity: along the course of the seconds the places across are in proportion to the hours, and those up to the
// logarithm of the seconds, so that a doubling is the same height everywhere.
func TestDayIsDrawnToScale(t *testing.T) {
	s := strip()
	for _, red := range []bool{false, true} {
		for i, svg := range daylight.DrawDay(s, red) {
			name := map[int]string{0: "wide", 1: "narrow"}[i]
			wellFormed(t, name, svg)
			p := points(t, svg, "clear")
			var drawn []daylight.Point
			for _, q := range s.Clear.Points {
				if q.Seconds > 0 && q.Seconds <= 128 {
					drawn = append(drawn, q)
				}
			}
			if len(p) != len(drawn) {
				t.Fatalf("%s: %d places for %d moments", name, len(p), len(drawn))
			}
			first, middle, last := 0, len(p)/2, len(p)-1
			across := (p[last][0] - p[first][0]) / (drawn[last].Hour - drawn[first].Hour)
			up := (p[middle][1] - p[first][1]) / math.Log2(drawn[middle].Seconds/drawn[first].Seconds)
			if across <= 0 || up >= 0 {
				t.Fatalf("%s: hours run by %g, doublings by %g; later is to the right and longer is higher", name, across, up)
			}
			for k, q := range drawn {
				x := p[first][0] + across*(q.Hour-drawn[first].Hour)
				y := p[first][1] + up*math.Log2(q.Seconds/drawn[first].Seconds)
				if math.Abs(p[k][0]-x) > 0.11 || math.Abs(p[k][1]-y) > 0.11 {
					t.Errorf("%s: %g h is drawn at %v, want %.1f, %.1f", name, q.Hour, p[k], x, y)
				}
			}
			if strings.Contains(svg, "far too long") {
				t.Errorf("%s: a name runs beyond its sitting", name)
			}
		}
	}
}

// A day without light, and one without limits between which anything lies, are drawn all the same.
func TestDayIsAlwaysDrawn(t *testing.T) {
	dark := daylight.Strip{From: 8, To: 12, Least: 0.4, Longest: 8, Now: -1}
	bright := strip()
	bright.Least, bright.Longest = 0.4, 0.2
	for i := range bright.Clear.Points {
		bright.Clear.Points[i].Seconds /= 1e6
		bright.Clear.Points[i].Low /= 1e6
		bright.Clear.Points[i].High /= 1e6
	}
	for name, s := range map[string]daylight.Strip{"dark": dark, "bright": bright, "empty": {From: 0, To: 24, Least: 0.4, Longest: 3600, Now: 3}} {
		for _, svg := range daylight.DrawDay(s, false) {
			wellFormed(t, name, svg)
		}
	}
}

// Each class of hours is told from every other without colour: by what is drawn in its cell.
func TestYearIsToldByHatching(t *testing.T) {
	classes := []daylight.Class{daylight.Dark, daylight.Long, daylight.Slow, daylight.Quick, daylight.TooFast}
	var one []string
	for _, c := range classes {
		g := daylight.Grid{From: 11, To: 12, Least: 0.4, Longest: 8, Months: []daylight.Month{{Word: "January", Short: "J", Hours: []daylight.Cell{{Class: c}}}}}
		for _, svg := range daylight.DrawYear(g, true) {
			wellFormed(t, "a cell", svg)
		}
		svg := daylight.DrawYear(g, true)[0]
		one = append(one, regexp.MustCompile(`class="[a-z]+"`).ReplaceAllString(svg, ""))
	}
	for i := range one {
		for j := range i {
			if one[i] == one[j] {
				t.Errorf("the classes %d and %d are drawn alike but for their colour", classes[i], classes[j])
			}
		}
	}
	// The figures are the seconds; in red they stand in the table alone, where they are large enough to read.
	g := daylight.Grid{From: 11, To: 13, Months: []daylight.Month{{Word: "May", Short: "M", Hours: []daylight.Cell{{Seconds: 4.04, Class: daylight.Quick}, {Seconds: 0.31, Class: daylight.TooFast}}}}}
	if svg := daylight.DrawYear(g, false)[0]; !strings.Contains(svg, ">4</text>") || !strings.Contains(svg, ">.3</text>") {
		t.Error("the seconds are not written in the cells")
	}
	if svg := daylight.DrawYear(g, true)[0]; strings.Contains(svg, ">4</text>") {
		t.Error("in red seconds are written too small to read")
	}
}
