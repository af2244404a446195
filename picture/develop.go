package picture

import (
	"bufio"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
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
		to = &inserter{w: buf, segments: segments}
	}
	if err := jpeg.Encode(to, p.img, &jpeg.Options{Quality: Quality}); err != nil {
		return fmt.Errorf("writing a JPEG: %w", err)
	}
	return buf.Flush()
}

func (p *Photograph) decode() (image.Image, error) {
	r := io.NewSectionReader(p.r, 0, p.size)
	var img image.Image
	var err error
	switch p.about.Format {
	case JPEG:
		img, err = jpeg.Decode(bufio.NewReaderSize(r, 1<<16))
	case PNG:
		img, err = png.Decode(bufio.NewReaderSize(r, 1<<16))
	default:
		img, err = p.decodeTIFF()
	}
	if err != nil {
		return nil, &Refusal{p.name, fmt.Sprintf("this %s is cut off or damaged", p.about.Format), "copy the whole file again, or save it anew as JPEG, PNG or TIFF"}
	}
	if s := img.Bounds().Size(); s.X != p.about.Width || s.Y != p.about.Height {
		return nil, p.refuse("this %s says %d x %d px and holds %d x %d px", p.about.Format, p.about.Width, p.about.Height, s.X, s.Y)
	}
	return planes(img), nil
}

// planes returns the picture as luma and chroma planes of eight bits, or as grey.
func planes(img image.Image) image.Image {
	b := img.Bounds()
	switch m := img.(type) {
	case *image.Gray:
		return m
	case *image.YCbCr:
		if m.SubsampleRatio != image.YCbCrSubsampleRatio411 && m.SubsampleRatio != image.YCbCrSubsampleRatio410 {
			return m
		}
	case *image.Gray16:
		out := image.NewGray(image.Rect(0, 0, b.Dx(), b.Dy()))
		for y := range b.Dy() {
			src, dst := m.Pix[y*m.Stride:], out.Pix[y*out.Stride:]
			for x := range b.Dx() {
				dst[x] = round8(src[2*x], src[2*x+1])
			}
		}
		return out
	}
	out := image.NewYCbCr(image.Rect(0, 0, b.Dx(), b.Dy()), image.YCbCrSubsampleRatio444)
	for y := range b.Dy() {
		i := y * out.YStride
		for x := range b.Dx() {
			var r, g, bl uint8
			switch m := img.(type) {
			case *image.RGBA:
				s := m.Pix[y*m.Stride+4*x:]
				r, g, bl = s[0], s[1], s[2]
			case *image.RGBA64:
				s := m.Pix[y*m.Stride+8*x : y*m.Stride+8*x+6]
				r, g, bl = round8(s[0], s[1]), round8(s[2], s[3]), round8(s[4], s[5])
			case *image.NRGBA:
				s := m.Pix[y*m.Stride+4*x : y*m.Stride+4*x+4]
				r, g, bl = s[0], s[1], s[2]
				if a := uint32(s[3]); a < 255 {
					r, g, bl = uint8(uint32(r)*a/255), uint8(uint32(g)*a/255), uint8(uint32(bl)*a/255)
				}
			default:
				c16r, c16g, c16b, _ := img.At(b.Min.X+x, b.Min.Y+y).RGBA()
				r, g, bl = round8(uint8(c16r>>8), uint8(c16r)), round8(uint8(c16g>>8), uint8(c16g)), round8(uint8(c16b>>8), uint8(c16b))
			}
			out.Y[i+x], out.Cb[i+x], out.Cr[i+x] = color.RGBToYCbCr(r, g, bl)
		}
	}
	return out
}

// round8 rounds sixteen bits, high byte first, to eight.
func round8(high, low uint8) uint8 {
	return uint8(((uint32(high)<<8|uint32(low))*255 + 32767) / 65535)
}
