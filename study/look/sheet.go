package look

import (
	"fmt"
	"image"
	"image/color"
	"io"
	"math"

	"platewright/collodion"
	"platewright/colour"
	"platewright/measure"
	"platewright/picture"
)

// Sheet is a photograph reduced, upright and not mirrored, in linear light: what looks are tried on and colours
// are read from. It is not changed once made.
type Sheet struct {
	name    string
	about   picture.Particulars
	colours *picture.Colours
	w, h    int
	pix     []float32 // linear sRGB, three figures a pixel
}

// Reduce decodes a photograph and reduces it in linear light until its longest side has longest px, each
// new pixel being the mean of the area it covers; a smaller one keeps its size. asSRGB sets an embedded profile aside.
func Reduce(p *picture.Photograph, longest int, asSRGB bool, each Each) (*Sheet, error) {
	if err := measure.Within("longest side", float64(longest), LeastLongest, MostLongest, "px"); err != nil {
		return nil, err
	}
	colours, err := coloursOf(p, asSRGB)
	if err != nil {
		return nil, err
	}
	a := p.About()
	scale := min(1, float64(longest)/float64(max(a.Width, a.Height)))
	w, h := max(1, int(math.Round(float64(a.Width)*scale))), max(1, int(math.Round(float64(a.Height)*scale)))
	m := newMeans(a.Width, a.Height, w, h)
	if a.Format == picture.JPEG {
		l, err := linesOf(p, colours)
		if err != nil {
			return nil, err
		}
		each.all((h+band-1)/band, func(i int) {
			s, part := l.scratch(), m.part(i*band, min((i+1)*band, h))
			for y := part.firstSource(); y < part.lastSource(); y++ {
				part.add(0, y, l.light(y, s))
			}
		})
	} else {
		part := m.part(0, h) // blocks come one after another, for they share rows of the result
		err := blocks(p, nil, func(b picture.Block, y int, lin []float32) {
			colours.Linear(lin, b.Row(y), b.Channels)
			part.add(b.X, b.Y+y, lin)
		})
		if err != nil {
			return nil, err
		}
	}
	s := &Sheet{name: p.Name(), about: a, colours: colours, w: w, h: h, pix: m.sum}
	s.stand(p)
	return s, nil
}

// stand turns the pixels upright.
func (s *Sheet) stand(p *picture.Photograph) {
	if s.about.Orientation == 1 {
		return
	}
	w, h := s.w, s.h
	if s.about.Orientation >= 5 {
		w, h = h, w
	}
	pix := make([]float32, len(s.pix))
	for y := range h {
		for x := range w {
			sx, sy := p.Stored((float64(x)+0.5)/float64(w), (float64(y)+0.5)/float64(h))
			from := 3 * (int(sy*float64(s.h))*s.w + int(sx*float64(s.w)))
			copy(pix[3*(y*w+x):][:3], s.pix[from:from+3])
		}
	}
	s.w, s.h, s.pix = w, h, pix
}

// Size returns width and height in px.
func (s *Sheet) Size() image.Point { return image.Pt(s.w, s.h) }

// Colour returns the mean colour around a place, in percent of the sides from the upper left corner: over a square of
// the width across, in percent of the longest side, and of one pixel at least. Components beyond what a display can show are kept.
func (s *Sheet) Colour(x, y, across float64) (colour.RGB, error) {
	for _, v := range []struct {
		what      string
		got, most float64
	}{{"place across", x, 100}, {"place down", y, 100}, {"width of the reading", across, 50}} {
		if err := measure.Within(v.what, v.got, 0, v.most, "%"); err != nil {
			return colour.RGB{}, err
		}
	}
	half := across / 200 * float64(max(s.w, s.h))
	at := func(share float64, side int) (from, to int) {
		c := share / 100 * float64(side)
		from = max(0, min(side-1, int(math.Floor(c-half+0.5))))
		if half < 0.5 {
			from = min(side-1, int(c))
		}
		return from, max(from+1, min(side, int(math.Floor(c+half+0.5))))
	}
	x0, x1 := at(x, s.w)
	y0, y1 := at(y, s.h)
	var sum [3]float64
	for v := y0; v < y1; v++ {
		for u := x0; u < x1; u++ {
			for c := range sum {
				sum[c] += float64(s.pix[3*(v*s.w+u)+c])
			}
		}
	}
	n := float64((x1 - x0) * (y1 - y0))
	return colour.RGB{R: sum[0] / n, G: sum[1] / n, B: sum[2] / n}, nil
}

// Render makes the look of the reduced photograph. Longest and AsSRGB of the options are what the sheet was made with, and are not
// looked at again.
func (s *Sheet) Render(o Options, each Each) (*Look, error) {
	if err := o.Check(); err != nil {
		return nil, err
	}
	if o.Tone == "" {
		o.Tone = collodion.Warm
	}
	e, err := newEye(o)
	if err != nil {
		return nil, err
	}
	e.place(func(x, y float64) (float64, float64) { return x, y }, s.w, s.h)
	tone := image.NewGray(image.Rect(0, 0, s.w, s.h))
	each.all((s.h+band-1)/band, func(i int) {
		for y := i * band; y < min((i+1)*band, s.h); y++ {
			row := tone.Pix[y*tone.Stride:][:s.w]
			e.see(row, s.pix[3*y*s.w:][:3*s.w], 0, y)
			if !o.Unmirrored {
				for a, b := 0, len(row)-1; a < b; a, b = a+1, b-1 {
					row[a], row[b] = row[b], row[a]
				}
			}
		}
	})
	notes := append(append([]string{}, s.about.Notes...), told(s.about, s.colours, o))
	if max(s.w, s.h) < max(s.about.Width, s.about.Height) {
		notes = append(notes, fmt.Sprintf("Reduced from %d x %d to %d x %d px in linear light before the plate saw it.", s.about.Width, s.about.Height, s.w, s.h))
	}
	return finish(tone, e, o, notes)
}

// WriteJPEG writes the reduced photograph itself, in sRGB, to be seen beside the look.
func (s *Sheet) WriteJPEG(w io.Writer) error {
	m := image.NewYCbCr(image.Rect(0, 0, s.w, s.h), image.YCbCrSubsampleRatio444)
	code := codes()
	at := func(v float32) uint8 { return code[int(max(0, min(1, v))*codeSteps+0.5)] }
	for i := range s.w * s.h {
		y, cb, cr := color.RGBToYCbCr(at(s.pix[3*i]), at(s.pix[3*i+1]), at(s.pix[3*i+2]))
		k := i/s.w*m.YStride + i%s.w
		m.Y[k], m.Cb[k], m.Cr[k] = y, cb, cr
	}
	return picture.EncodeJPEG(w, m, Quality, "The photograph beside which a look was computed.")
}

const codeSteps = 1 << 14

// codes returns sRGB codes of linear light in steps of 1/16384.
func codes() *[codeSteps + 1]uint8 {
	var t [codeSteps + 1]uint8
	for i := range t {
		t[i] = uint8(math.Round(255 * colour.Encode(float64(i)/codeSteps)))
	}
	return &t
}

// means gathers the mean of the area under each pixel of a smaller picture.
type means struct {
	sw, sh, w, h int
	fx, fy       float64
	cell         []int     // of a source column: the first new column it falls to
	share        []float32 // of a source column: how much of it falls there; the rest falls to the next
	sum          []float32
}

func newMeans(sw, sh, w, h int) *means {
	m := &means{sw: sw, sh: sh, w: w, h: h, fx: float64(sw) / float64(w), fy: float64(sh) / float64(h)}
	m.cell, m.share = make([]int, sw), make([]float32, sw)
	for x := range m.cell {
		m.cell[x], m.share[x] = split(x, m.fx, w)
	}
	m.sum = make([]float32, 3*w*h)
	return m
}

// split returns to which new pixel the source pixel at falls, and the share of it that does.
func split(at int, f float64, n int) (int, float32) {
	i := min(int(float64(at)/f), n-1)
	rest := float64(i+1)*f - float64(at)
	if rest >= 1-1e-9 || i == n-1 {
		return i, 1
	}
	return i, float32(rest)
}

// part is the rows low to high of the result, which one hand gathers.
type part struct {
	*means
	low, high int
	across    []float32 // one source row, summed by new columns
}

func (m *means) part(low, high int) *part {
	return &part{m, low, high, make([]float32, 3*(m.w+1))}
}

func (p *part) firstSource() int { return int(float64(p.low) * p.fy) }
func (p *part) lastSource() int  { return min(p.sh, int(math.Ceil(float64(p.high)*p.fy))) }

// add takes a run of a source row, weighted so that the sums become means.
func (p *part) add(x, y int, lin []float32) {
	n := len(lin) / 3
	first, last := p.cell[x], min(p.cell[x+n-1]+1, p.w-1)
	sums := p.across[3*first : 3*last+3]
	clear(sums)
	for i := range n {
		k, s := 3*(p.cell[x+i]-first), p.share[x+i]
		r, g, b := lin[3*i], lin[3*i+1], lin[3*i+2]
		sums[k] += s * r
		sums[k+1] += s * g
		sums[k+2] += s * b
		if s < 1 {
			sums[k+3] += (1 - s) * r
			sums[k+4] += (1 - s) * g
			sums[k+5] += (1 - s) * b
		}
	}
	row, s := split(y, p.fy, p.h)
	p.lay(row, first, sums, s)
	if s < 1 {
		p.lay(row+1, first, sums, 1-s)
	}
}

func (p *part) lay(row, first int, sums []float32, share float32) {
	if row < p.low || row >= p.high {
		return
	}
	k := share / float32(p.fx*p.fy)
	dst := p.sum[3*(row*p.w+first):]
	for i, v := range sums {
		dst[i] += k * v
	}
}
