package look

import (
	"fmt"
	"math"

	"platewright/collodion"
	"platewright/colour"
	"platewright/measure"
	"platewright/picture"
)

// The table from stops to silver runs from lowest by steps of 1/perStop stop: finer than a code of the silver.
const (
	lowest  = -14
	perStop = 256
)

// eye is a plate's sight, exposure and curve folded: from linear sRGB to a code of silver by table look-ups.
type eye struct {
	fit    colour.Fit
	fold   *colour.Folded
	silver *silver
	table  [-lowest*perStop + 1]uint8 // code of silver by the logarithm of what the surface sends back
	tags   []tag

	// For a photograph whose samples go through one curve: what each sample adds to the stops when it is the blue one, and
	// when it is the greatest of its pixel.
	blue, greatest []float32
}

// tag is a tagged part in stored pixels, with what its material does.
type tag struct {
	Tagged
	does           colour.Correction
	x0, y0, x1, y1 int
}

func newEye(o Options) (*eye, error) {
	fit, err := o.Sight.Fit()
	if err != nil {
		return nil, err
	}
	e := &eye{fit: fit, fold: fit.Fold(), silver: newSilver(o)}
	for i := range e.table {
		stops := measure.Stops(lowest+float64(i)/perStop) + o.Exposure
		e.table[i] = e.silver.code(o.Curve.Reflectance(stops.Factor() / colour.MidTone))
	}
	known := map[colour.Material]colour.Correction{}
	for _, t := range o.Tagged {
		does, ok := known[t.Material]
		if !ok {
			if does, err = o.Sight.Correction(t.Material); err != nil {
				return nil, err
			}
			known[t.Material] = does
		}
		e.tags = append(e.tags, tag{Tagged: t, does: does})
	}
	return e, nil
}

// place finds the tagged parts in a picture of w x h px whose pixels lie as stored tells.
func (e *eye) place(stored func(x, y float64) (float64, float64), w, h int) {
	for i := range e.tags {
		t := &e.tags[i]
		ax, ay := stored(t.X/100, t.Y/100)
		bx, by := stored((t.X+t.Width)/100, (t.Y+t.Height)/100)
		t.x0, t.x1 = edge(min(ax, bx), w), edge(max(ax, bx), w)
		t.y0, t.y1 = edge(min(ay, by), h), edge(max(ay, by), h)
	}
}

func edge(share float64, side int) int { return min(side, int(math.Round(share*float64(side)))) }

// see turns a run of linear pixels, which begins at x, y, into codes of silver.
func (e *eye) see(dst []uint8, lin []float32, x, y int) {
	for i := range dst {
		dst[i] = e.code(e.fold.Stops(lin[3*i], lin[3*i+1], lin[3*i+2]))
	}
	for _, t := range e.tags {
		if y < t.y0 || y >= t.y1 {
			continue
		}
		for i := max(0, t.x0-x); i < min(len(dst), t.x1-x); i++ {
			r, g, b := lin[3*i], lin[3*i+1], lin[3*i+2]
			more := t.does.At(colour.RGB{R: float64(r), G: float64(g), B: float64(b)})
			dst[i] = e.code(min(0, e.fold.Stops(r, g, b)+float32(more)))
		}
	}
}

// read prepares the eye for a photograph's colours.
func (e *eye) read(c *picture.Colours) {
	if curve := c.Curve(); curve != nil {
		last := float64(len(curve) - 1)
		e.blue, e.greatest = e.fit.ByCode(len(curve), func(v float64) float64 { return float64(curve[int(v*last+0.5)]) })
	}
}

// seeSamples turns a run of samples into codes of silver; lin holds its linear light where that is needed.
func (e *eye) seeSamples(dst []uint8, c *picture.Colours, samples []uint16, channels int, lin []float32, x, y int) {
	switch {
	case e.blue != nil && len(e.tags) == 0 && channels == 1:
		for i, v := range samples {
			dst[i] = e.code(min(0, e.blue[v]+e.greatest[v]))
		}
	case e.blue != nil && len(e.tags) == 0:
		for i := range dst {
			s := samples[3*i : 3*i+3]
			dst[i] = e.code(min(0, e.blue[s[2]]+e.greatest[max(s[0], s[1], s[2])]))
		}
	default:
		c.Linear(lin, samples, channels)
		e.see(dst, lin, x, y)
	}
}

// code reads the table at the nearest step; what is darker than its beginning is its beginning.
func (e *eye) code(stops float32) uint8 {
	i := int((stops-lowest)*perStop + 0.5)
	return e.table[max(0, min(i, len(e.table)-1))]
}

// notes say what the look was made with.
func (e *eye) notes(o Options) []string {
	// A study, not a promise, comes first wherever the notes are read.
	notes := []string{
		"This is " + Study + ": no camera sees what the plate sees.",
		fmt.Sprintf("Light: %s (%s).", o.Sight.Light.Kind, o.Sight.Light.Name),
		fmt.Sprintf("Exposure %s from that of a metered mid-tone: at 0 a surface that sends back %.1f %% of the plate's light comes to the middle; the photograph's white is taken as a surface that sends all back.", o.Exposure, 100*colour.MidTone),
		fmt.Sprintf("What a colour sends back is told to %.1f stop either way for four of five surfaces; ultraviolet that the camera cannot see decides the rest.", float64(e.fit.Band())),
		"Plate's curve: " + o.Curve.From + ".",
		"Tone of the silver: " + string(o.Tone) + ". " + collodion.FromTones + ".",
	}
	if o.Exposure > 0 {
		notes = append(notes, "So much exposure also greys the blacks of the whole plate, which is not shown.")
	}
	for _, t := range e.tags {
		notes = append(notes, fmt.Sprintf("Tagged %s at %g,%g,%g,%g %%: within %.1f stop (%s).", t.Material, t.X, t.Y, t.Width, t.Height, float64(t.does.Band), t.does.Basis))
	}
	if o.Measured {
		notes = append(notes, "Shown with its reflectances as they are beside white paper.")
	} else {
		notes = append(notes, "Shown with the plate's whitest silver seen as white and its black as black; beside white paper the plate is darker and its blacks are paler.")
	}
	if o.Unmirrored {
		return append(notes, "Not mirrored: as people see it, not as the plate shows it.")
	}
	return append(notes, "Mirrored, as the plate is.")
}
