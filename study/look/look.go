// Package look computes how a colour photograph would come out on a wet collodion plate: a study, not a
// promise.
//
// The way of a pixel: the camera's colour, read by the photograph's own colour profile, becomes linear
// sRGB; [colour.Fit] tells from it the share of the plate's light that the surface sends back; exposure and the
// plate's curve make silver of it; the developer gives the silver its tone; and the picture is turned
// left for right, as a plate is. A colour that sRGB cannot hold is taken at sRGB's edge.
//
// Exposure 0 means that a surface sending back [colour.MidTone] of the plate's light gets the exposure of a metered
// mid-tone, and that white in the photograph is a surface that sends all light back. The photograph knows neither its
// own light nor what the camera's own rendering did to the tones; both are taken as they stand in it.
//
// [Render] does a whole photograph, [Reduce] makes a small one in linear light that [Sheet.Render] turns into many
// looks and [Sheet.Colour] reads colours from. Nothing here reads a file or a clock, or starts work side by side:
// the caller hands in [Each] for that. The same photograph and options give the same pixels.
package look

import (
	"fmt"
	"image"
	"io"
	"math"

	"platewright/collodion"
	"platewright/colour"
	"platewright/measure"
	"platewright/picture"
)

// Each hands out the work 0 to n-1, in any order, side by side if it can, and returns when all is done.
// A nil Each does one piece after another.
type Each func(n int, do func(i int))

func (e Each) all(n int, do func(i int)) {
	if e != nil {
		e(n, do)
		return
	}
	for i := range n {
		do(i)
	}
}

// Tagged is a part of a photograph that shows a material whose ultraviolet the camera cannot see. The part is told in
// percent of the sides from the upper left corner of the upright picture, not mirrored.
type Tagged struct {
	X, Y, Width, Height float64
	Material            colour.Material
}

// Limits of what is asked for.
const (
	MostTags     = 100
	LeastLongest = 64   // px
	MostLongest  = 4000 // px of a reduced photograph, which is held in linear light at twelve bytes a pixel
)

// Options is what a look is made with.
type Options struct {
	Sight      colour.Sight    // the light, the lens and the collodion
	Curve      collodion.Curve // of the plate
	Exposure   measure.Stops   // beyond a metered mid-tone, -10 to 10
	Tone       collodion.Tone  // of the developed silver; warm when empty
	Unmirrored bool            // seen as people see, not as the plate lies
	Measured   bool            // reflectances as they are beside white paper, instead of the plate's whitest silver seen as white
	Tagged     []Tagged        // of overlapping parts the last counts
	Longest    int             // of the sides, 64 to 4000 px; 0 for as large as the photograph
	AsSRGB     bool            // take the colours as sRGB whatever profile is embedded
	Unlabelled bool            // leave out the strip; for a screen that says itself what this is
}

// Check refuses what no look is made with, by name.
func (o Options) Check() error {
	if o.Tone != "" && !o.Tone.Valid() {
		return fmt.Errorf("no tone is called %q; there are %q", o.Tone, collodion.Tones())
	}
	if err := measure.Within("exposure", float64(o.Exposure), -10, 10, "stops"); err != nil {
		return err
	}
	if err := o.Curve.Check(); err != nil {
		return fmt.Errorf("the plate's curve: %w", err)
	}
	if o.Longest != 0 {
		if err := measure.Within("longest side", float64(o.Longest), LeastLongest, MostLongest, "px"); err != nil {
			return err
		}
	}
	if len(o.Tagged) > MostTags {
		return fmt.Errorf("%d parts are tagged; %d at most are taken", len(o.Tagged), MostTags)
	}
	for i, t := range o.Tagged {
		ok := t.X >= 0 && t.Y >= 0 && t.Width > 0 && t.Height > 0 && t.X+t.Width <= 100.0001 && t.Y+t.Height <= 100.0001
		if !ok {
			return fmt.Errorf("tagged part %d is %g,%g,%g,%g; place and size are percent of the picture and lie within it", i+1, t.X, t.Y, t.Width, t.Height)
		}
	}
	return nil
}

// Look is a photograph as the plate would show it, upright.
type Look struct {
	Notes  []string      // what it was made with and what it is not, in sentences
	Band   measure.Stops // how far what a colour sends back may lie off; four of five surfaces lie within
	Blacks float64       // share of the picture in the plate's blacks, within 5 % of its range, 0 to 1
	Whites float64       // the same for its whites

	tone   *image.Gray // codes of the silver
	silver *silver
}

// Study is the sentence that every look carries.
const Study = "a computed study, not a promise"

// Size returns width and height in px, the strip included.
func (l *Look) Size() image.Point { return l.tone.Rect.Size() }

// Image returns the pixels in sRGB, for reading only.
func (l *Look) Image() image.Image {
	return &image.Paletted{Pix: l.tone.Pix, Stride: l.tone.Stride, Rect: l.tone.Rect, Palette: l.silver.palette()}
}

// Quality of the JPEGs written, on the scale of 1 to 100 that JPEG writers share.
const Quality = 92

// WriteJPEG writes the look as a JPEG that is marked as sRGB and says in its description what it is.
func (l *Look) WriteJPEG(w io.Writer) error {
	return picture.EncodeJPEG(w, l.planes(), Quality, l.caption())
}

// WritePNG writes the look as a PNG of 256 tones, marked and described as the JPEG is.
func (l *Look) WritePNG(w io.Writer) error {
	return picture.EncodePNG(w, l.Image(), l.caption())
}

func (l *Look) caption() string {
	s := "Platewright: " + Study + "."
	for _, n := range l.Notes {
		s += " " + n
	}
	return s
}

// planes lays the silver's colours out as luma and chroma; a code of silver is its own luma.
func (l *Look) planes() image.Image {
	if l.silver.plain {
		return l.tone
	}
	m := l.tone
	w, h := m.Rect.Dx(), m.Rect.Dy()
	cw, ch := (w+1)/2, (h+1)/2
	chroma := make([]uint8, 2*cw*ch)
	out := &image.YCbCr{Y: m.Pix, YStride: m.Stride, Cb: chroma[:cw*ch], Cr: chroma[cw*ch:], CStride: cw,
		SubsampleRatio: image.YCbCrSubsampleRatio420, Rect: m.Rect}
	for y := range ch {
		upper, lower := m.Pix[2*y*m.Stride:], m.Pix[min(2*y+1, h-1)*m.Stride:]
		for x := range cw {
			x2 := min(2*x+1, w-1)
			v := (int(upper[2*x]) + int(upper[x2]) + int(lower[2*x]) + int(lower[x2]) + 2) / 4
			out.Cb[y*cw+x], out.Cr[y*cw+x] = l.silver.cb[v], l.silver.cr[v]
		}
	}
	return out
}

// Render makes the look of a photograph. It holds three bytes a pixel of a JPEG and two of a PNG or TIFF, whatever
// their depth; with Longest below the photograph's size it holds the small picture instead.
func Render(p *picture.Photograph, o Options, each Each) (*Look, error) {
	if err := o.Check(); err != nil {
		return nil, err
	}
	about := p.About()
	if o.Longest > 0 && o.Longest < max(about.Width, about.Height) {
		s, err := Reduce(p, o.Longest, o.AsSRGB, each)
		if err != nil {
			return nil, err
		}
		return s.Render(o, each)
	}
	colours, err := coloursOf(p, o.AsSRGB)
	if err != nil {
		return nil, err
	}
	if o.Tone == "" {
		o.Tone = collodion.Warm
	}
	e, err := newEye(o)
	if err != nil {
		return nil, err
	}
	e.read(colours)
	e.place(p.Stored, about.Width, about.Height)
	tone, err := seeAll(p, colours, e, each)
	if err != nil {
		return nil, err
	}
	tone = p.Upright(tone, !o.Unmirrored)
	return finish(tone, e, o, append(about.Notes, told(about, colours, o)))
}

// coloursOf returns how the photograph's samples become light.
func coloursOf(p *picture.Photograph, asSRGB bool) (*picture.Colours, error) {
	if asSRGB {
		return picture.SRGB(), nil
	}
	return p.Colours()
}

// told says how the photograph's colours were read.
func told(a picture.Particulars, c *picture.Colours, o Options) string {
	switch {
	case o.AsSRGB && a.Profile != "":
		return fmt.Sprintf("The colour profile %q was set aside as asked: %d bits taken as sRGB.", a.Profile, a.Bits)
	case o.AsSRGB:
		return fmt.Sprintf("Colours of %d bits taken as sRGB, as asked.", a.Bits)
	case a.Profile == "":
		return fmt.Sprintf("The photograph has no colour profile: its %d bits were taken as sRGB.", a.Bits)
	}
	return fmt.Sprintf("Colours of %d bits read by the embedded profile %q.", a.Bits, c.Name())
}

// finish counts the tones, lays the strip below and says what was done.
func finish(tone *image.Gray, e *eye, o Options, notes []string) (*Look, error) {
	l := &Look{tone: tone, silver: e.silver, Band: e.fit.Band()}
	var count [256]int
	w, h := tone.Rect.Dx(), tone.Rect.Dy()
	for y := range h {
		for _, v := range tone.Pix[y*tone.Stride:][:w] {
			count[v]++
		}
	}
	for v, n := range count {
		switch share := e.silver.share[v]; {
		case share < 0.05:
			l.Blacks += float64(n) / float64(w*h)
		case share > 0.95:
			l.Whites += float64(n) / float64(w*h)
		}
	}
	l.Notes = append(e.notes(o), notes...)
	l.Notes = append(l.Notes, fmt.Sprintf("%.0f %% of the picture lies in the plate's blacks, %.0f %% in its whites.", math.Floor(100*l.Blacks+0.5), math.Floor(100*l.Whites+0.5)))
	if !o.Unlabelled {
		var err error
		if l.tone, err = labelled(tone, e.silver, Study); err != nil {
			return nil, err
		}
	}
	return l, nil
}
