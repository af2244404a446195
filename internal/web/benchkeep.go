package web

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"platewright/internal/studio"
	"platewright/internal/web/screens/bench"
	"platewright/measure"
	fit "platewright/optics/bench"
)

// recordTicks are the fields of a lens's record as the ticks that write them are called.
var recordTicks = map[string]string{"focal_mm": "write_focal", "pupil_mag": "write_pupil_mag", "circle_mm": "write_circle", "board_ahead_mm": "write_board", "stops": "write_stops"}

// written is one thing that the bench can write into a lens's record.
type writing struct {
	tick   bench.Tick
	write  func(*studio.Lens)
	unsure bool // too little known to be written unasked
}

// writings are what the answer lets one write into the lens's record, where it says something new.
func (g *measuring) writings() []writing {
	if g.answer == nil {
		return nil
	}
	var all []writing
	add := func(name, word, was string, same bool, write func(*studio.Lens)) {
		if !same {
			all = append(all, writing{tick: bench.Tick{Name: name, Word: word, Was: was}, write: write})
		}
	}
	f, l := *g.answer, g.lens
	if r, ok := f.Get(fit.Focal); ok && r.Value != nil {
		v := measure.Length(rounded(*r.Value, 0.1))
		add("write_focal", "focal length "+g.long(v), "now "+g.long(l.Focal), v == l.Focal && !l.FocalGuessed, func(l *studio.Lens) { l.Focal, l.FocalGuessed = v, false })
	}
	if front, ok := f.Get(fit.FrontAhead); ok && front.Value != nil {
		if rear, ok := f.Get(fit.RearAhead); ok && rear.Value != nil {
			v := measure.Length(rounded((*front.Value+*rear.Value)/2, 0.1))
			add("write_board", "principal planes "+g.long(v)+" ahead of the board", "now "+g.long(l.BoardAhead), v == l.BoardAhead, func(l *studio.Lens) { l.BoardAhead = v })
		}
	} else if rear, ok := f.Get(fit.RearAhead); ok && rear.Value != nil {
		v := measure.Length(rounded(*rear.Value, 0.1))
		add("write_board", "principal plane "+g.long(v)+" ahead of the board", "now "+g.long(l.BoardAhead), v == l.BoardAhead, func(l *studio.Lens) { l.BoardAhead = v })
	}
	if i := len(all) - 1; i >= 0 && all[i].tick.Name == "write_board" {
		rear, _ := f.Get(fit.RearAhead)
		all[i].unsure = bandHalf(rear) > 5
	}
	if r, ok := f.Get(fit.PupilMag); ok && r.Value != nil {
		v := rounded(*r.Value, 0.001)
		add("write_pupil_mag", "exit pupil over entrance pupil "+figureOf(v, 3), "now "+figureOf(l.PupilMag, 3), v == l.PupilMag, func(l *studio.Lens) { l.PupilMag = v })
	}
	if r, ok := f.Get(fit.Circle); ok && r.Value != nil {
		v := measure.Length(math.Round(*r.Value))
		was := "nothing there now"
		if l.Circle > 0 {
			was = "now " + g.long(l.Circle)
		}
		add("write_circle", "circle of good definition "+g.long(v), was, v == l.Circle, func(l *studio.Lens) { l.Circle = v })
	}
	if stops := stopsWith(l, f); stops != nil {
		add("write_stops", "stops "+stopsShort(stops), "now "+stopsShort(l.Stops), slices.Equal(stops, l.Stops), func(l *studio.Lens) { l.Stops = stops })
	}
	return all
}

// stopsShort lists stops by name and number.
func stopsShort(stops []studio.Stop) string {
	var words []string
	for _, st := range stops {
		word := st.FNumber.String()
		if st.Name != word {
			word = st.Name + " " + word
		}
		words = append(words, word)
	}
	return strings.Join(words, ", ")
}

// stopsWith are a lens's stops with the f-numbers that were found: of a stop by its name, or of the full
// opening. A stop that is new is added. nil where none was found.
func stopsWith(l studio.Lens, f fit.Found) []studio.Stop {
	stops := slices.Clone(l.Stops)
	changed := false
	for _, r := range f.All(fit.FNumber) {
		if r.Value == nil {
			continue
		}
		digits := math.Pow(10, math.Floor(math.Log10(*r.Value))-1)
		n := measure.FNumber(rounded(*r.Value, digits))
		i := slices.IndexFunc(stops, func(s studio.Stop) bool { return s.Name == r.Stop })
		switch {
		case r.Stop == "" && len(stops) > 0:
			i = 0
		case i < 0:
			stops = append(stops, studio.Stop{Name: r.Stop, FNumber: n})
			changed = true
			continue
		}
		changed = true
		if stops[i].Name == stops[i].FNumber.String() && r.Stop == "" {
			stops[i].Name = n.String() // it was only called by its number
		}
		stops[i].FNumber = n
	}
	if !changed {
		return nil
	}
	slices.SortStableFunc(stops, func(a, b studio.Stop) int {
		switch {
		case a.FNumber < b.FNumber:
			return -1
		case a.FNumber > b.FNumber:
			return 1
		}
		return 0
	})
	return stops
}

// ticks are what can be written into the lens's record, ticked as long as nobody unticked them.
func (g *measuring) ticks() []bench.Tick {
	var all []bench.Tick
	for _, each := range g.writings() {
		each.tick.Checked = g.checked(each.tick.Name) || !each.unsure && !g.checked("offered_"+each.tick.Name)
		each.tick.Was = fmt.Sprintf("(%s)", each.tick.Was)
		all = append(all, each.tick)
	}
	return all
}

// changed is the lens's record with what was ticked, of the version the page was made from; nil when
// nothing was.
func (g *measuring) changed() *studio.Lens {
	l, any := g.lens, false
	l.Stops = slices.Clone(l.Stops)
	for _, each := range g.writings() {
		if g.checked(each.tick.Name) {
			each.write(&l)
			any = true
		}
	}
	if !any {
		return nil
	}
	l.Version = g.version()
	return &l
}
