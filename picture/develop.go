package picture

import (
	"bufio"
	"fmt"
	"image"
	"image/jpeg"
	"io"
)

// Sizes and quality of the pictures a studio files.
const (
	ViewSide  = 1600 // longest side of a view, px
	ThumbSide = 400  // longest side of a thumb, px
	Quality   = 95   // of the JPEGs written, on the scale of 1 to 100 that JPEG writers share
)

// Seen says how the photograph shows the plate.
type Seen int

// How a photograph shows its plate.
const (
	AsItLies    Seen = iota // as the plate lies on the stand: mirror-reversed, to be turned
	AlreadyTrue             // turned before, or the back of a glass plate: left as it is
)

// Picture is a decoded picture: eight bits, upright.
type Picture struct {
	img     image.Image // *image.YCbCr or *image.Gray
	profile []byte
}

// Size returns the picture's width and height in pixels.
func (p *Picture) Size() image.Point { return p.img.Bounds().Size() }

// Image returns the pixels, for reading only. The bounds may begin at 1 instead of 0.
func (p *Picture) Image() image.Image { return p.img }

// TrueView decodes the photograph, stands it upright and, unless it is AlreadyTrue, turns it left
// for right so that the sitter is seen as people see them.
func (p *Photograph) TrueView(seen Seen) (*Picture, error) {
	if seen != AsItLies && seen != AlreadyTrue {
		return nil, fmt.Errorf("%s: seen is %d; it is 0 (as it lies) or 1 (already true)", p.name, seen)
	}
	img, err := p.decode()
	if err != nil {
		return nil, err
	}
	t := turnOf(p.about.Orientation)
	if seen == AsItLies {
		t.mirrorX = !t.mirrorX
	}
	return &Picture{img: turn(img, t), profile: p.profile}, nil
}

// Mirrored turns the picture left for right in place.
func (p *Picture) Mirrored() { p.img = turn(p.img, turning{mirrorX: true}) }

// WriteJPEG writes the picture as a baseline JPEG of [Quality] with the photograph's ICC profile and
// no orientation mark: the pixels are upright. Chroma is stored at half the resolution.
func (p *Picture) WriteJPEG(w io.Writer) error {
	buf := bufio.NewWriterSize(w, 1<<16)
	var to io.Writer = buf
	if segments := profileSegments(p.profile); len(segments) > 0 {
		to = &inserter{w: buf, segments: segments, behind: 2}
	}
	if err := jpeg.Encode(to, p.img, &jpeg.Options{Quality: Quality}); err != nil {
		return fmt.Errorf("writing a JPEG: %w", err)
	}
	return buf.Flush()
}
