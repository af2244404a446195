package desk

import (
	"fmt"
	"math"
	"strconv"
	"unicode/utf8"

	"platewright/internal/web/shared"
)

// Strip is a day drawn as one line of hours, sittings on it and the plates wanted beside it.
type Strip struct {
	Bars []Bar
	Now  float64 // hours since midnight; below zero when it is another day
	Said string  // the whole drawing in a sentence
}

// Bar is a sitting on the strip. Hours count from midnight.
type Bar struct {
	From, To      float64
	Name          string
	Plates        int
	Width, Height float64 // of a plate, mm
	CalledOff     bool
}

// from and to are the hours drawn: the working day, and whatever falls outside it.
func (s Strip) from() float64 {
	from := 9.0
	for _, b := range s.Bars {
		from = min(from, math.Floor(b.From))
	}
	if s.Now >= 0 {
		from = min(from, math.Floor(s.Now))
	}
	return max(from, 0)
}

func (s Strip) to() float64 {
	to := 18.0
	for _, b := range s.Bars {
		to = max(to, math.Ceil(b.To))
	}
	if s.Now >= 0 {
		to = max(to, math.Ceil(s.Now))
	}
	return to
}

// placed is a bar with its lane: sittings at one time stand in several.
type placed struct {
	Bar
	lane int
	ends float64 // where the next bar of its lane begins, or the strip ends
}

func (s Strip) placed() (bars []placed, lanes int) {
	var free []float64 // when each lane is free again
	last := map[int]int{}
	for _, b := range s.Bars {
		lane := 0
		for lane < len(free) && free[lane] > b.From+1e-9 {
			lane++
		}
		if lane == len(free) {
			free = append(free, 0)
		}
		free[lane] = b.To
		if i, ok := last[lane]; ok {
			bars[i].ends = b.From
		}
		last[lane] = len(bars)
		bars = append(bars, placed{Bar: b, lane: lane, ends: s.to()})
	}
	return bars, max(1, len(free))
}

// The lying strip, for a desk's width, and the standing one, for a phone's. Both in pixels of a
// drawing shown about as large as it is.
const (
	lyingWidth = 800.0
	lyingEdge  = 14.0
	laneHeight = 52.0
	barHeight  = 18.0
	standWidth = 328.0
	standHour  = 46.0
	standLine  = 58.0
)

// geometry turns hours and lanes into places on a drawing.
type geometry struct {
	from, to float64
	lanes    int
}

func (s Strip) geometry() geometry {
	_, lanes := s.placed()
	return geometry{s.from(), s.to(), lanes}
}

func (g geometry) x(hour float64) float64 {
	return lyingEdge + (lyingWidth-2*lyingEdge)*(hour-g.from)/(g.to-g.from)
}

// base is where the line of hours lies.
func (g geometry) base() float64 { return 30 + laneHeight*float64(g.lanes) }

// bar is the upper edge of a lane's sittings; their names stand over it.
func (g geometry) bar(lane int) float64 { return g.base() - barHeight - laneHeight*float64(lane) }

func (g geometry) lyingHeight() float64 { return g.base() + 104 }

func (g geometry) y(hour float64) float64 { return 12 + standHour*(hour-g.from) }

func (g geometry) standHeight() float64 { return g.y(g.to) + 16 }

// standLane is the width of a lane of the standing strip; the plates stand at its right.
func (g geometry) standLane() float64 { return (standWidth - standLine - 70) / float64(g.lanes) }

// tick is a line of the ruler.
type tick struct {
	hour   float64
	length float64
	figure string // empty between the hours
}

func (g geometry) ticks() []tick {
	var all []tick
	for q := 0; g.from+float64(q)/4 <= g.to+1e-9; q++ {
		t := tick{hour: g.from + float64(q)/4, length: 5}
		switch q % 4 {
		case 0:
			t.length = 14
			t.figure = strconv.Itoa(int(math.Round(t.hour)) % 24)
		case 2:
			t.length = 9
		}
		all = append(all, t)
	}
	return all
}

// plateScale draws plates to one scale, in pixels a millimetre; a very large one is drawn smaller.
const plateScale = 0.16

// outline is a plate drawn on the strip.
type outline struct{ x, y, w, h float64 }

// mostOutlines is how many plates of a sitting are drawn; the rest is said.
const mostOutlines = 6

func (b Bar) outline() (w, h float64) {
	k := plateScale * min(1, 260/max(b.Width, b.Height, 1))
	return max(5, b.Width*k), max(5, b.Height*k)
}

func (b Bar) outlines(x, y, room float64) (all []outline, rest string) {
	w, h := b.outline()
	n := min(b.Plates, mostOutlines, max(1, int((room+4)/(w+4))))
	for i := range n {
		all = append(all, outline{x + float64(i)*(w+4), y, w, h})
	}
	if b.Plates > n {
		rest = fmt.Sprintf("+%d", b.Plates-n)
	}
	return all, rest
}

// fit shortens a name to a width, at so many pixels a letter.
func fit(name string, width, letter float64) string {
	most := int(width / letter)
	if utf8.RuneCountInString(name) <= most {
		return name
	}
	if most < 3 {
		return ""
	}
	return string([]rune(name)[:most-1]) + "…"
}

func n(v float64) string { return strconv.FormatFloat(math.Round(v*10)/10, 'f', -1, 64) }

func box(w, h float64) string { return "0 0 " + n(w) + " " + n(h) }

// anchor and side put the word beside the now-mark on the side with more room.
func anchor(g geometry, now float64) string {
	if side(g, now) < 0 {
		return "end"
	}
	return "start"
}

func side(g geometry, now float64) float64 {
	if g.x(now) > lyingWidth-80 {
		return -1
	}
	return 1
}

// letterOf is about how wide a letter of a name is, in pixels; red light draws them larger.
func letterOf(light shared.Light) float64 {
	if light == shared.Red {
		return 12.5
	}
	return 9
}
