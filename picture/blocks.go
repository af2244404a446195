package picture

import (
	"bufio"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"io"
)

// BlockRows is the most rows of a [Block].
const BlockRows = 64

// MostInterlacedPixels is the most pixels of an interlaced PNG of sixteen bits whose samples are
// asked for: it is held whole, eight bytes a pixel, before the first row is known.
const MostInterlacedPixels = 40_000_000

// Block is a rectangle of samples as the file stores them: not turned upright, not mirrored.
// A sample of eight bits is spread to sixteen (255 is 65535); transparent pixels lie on black.
type Block struct {
	X, Y          int // of the upper left pixel
	Width, Height int // px; at most BlockRows high
	Channels      int // 1 grey; 3 red, green, blue
	Samples       []uint16
}

// Row returns the samples of one row of the block.
func (b Block) Row(y int) []uint16 {
	n := b.Width * b.Channels
	return b.Samples[y*n : y*n+n]
}

// Blocks decodes a PNG or TIFF and hands it on in blocks, each pixel once; a block's samples are
// valid until do returns. Besides them some rows are held, whatever the size of the picture; an
// interlaced PNG is held whole. An error of do ends the work and is returned. A JPEG has [Photograph.Planes].
func (p *Photograph) Blocks(do func(Block) error) error {
	var stopped error
	hand := func(b Block) error {
		stopped = do(b)
		return stopped
	}
	var err error
	switch p.about.Format {
	case PNG:
		err = p.blocksPNG(hand)
	case TIFF:
		err = p.blocksTIFF(hand)
	default:
		return fmt.Errorf("%s: a %s has planes, no blocks", p.name, p.about.Format)
	}
	var refused *Refusal
	switch {
	case stopped != nil:
		return stopped
	case errors.As(err, &refused):
		return err
	case err != nil:
		return p.damaged()
	}
	return nil
}

// Planes decodes a JPEG into luma and chroma of eight bits, or into grey: an [image.YCbCr] or an
// [image.Gray] that belongs to the caller.
func (p *Photograph) Planes() (image.Image, error) {
	if p.about.Format != JPEG {
		return nil, fmt.Errorf("%s: a %s has blocks, no planes", p.name, p.about.Format)
	}
	return p.decode()
}

func (p *Photograph) damaged() error {
	return &Refusal{p.name, fmt.Sprintf("this %s is cut off or damaged", p.about.Format), "copy the whole file again, or save it anew as JPEG, PNG or TIFF"}
}

func (p *Photograph) decode() (image.Image, error) {
	if p.about.Format != JPEG {
		return p.gather()
	}
	img, err := jpeg.Decode(bufio.NewReaderSize(io.NewSectionReader(p.r, 0, p.size), 1<<16))
	if err != nil {
		return nil, p.damaged()
	}
	if s := img.Bounds().Size(); s.X != p.about.Width || s.Y != p.about.Height {
		return nil, p.refuse("this %s says %d x %d px and holds %d x %d px", p.about.Format, p.about.Width, p.about.Height, s.X, s.Y)
	}
	return planes(img), nil
}

// gather rounds the blocks of a photograph to planes of eight bits.
func (p *Photograph) gather() (image.Image, error) {
	area := image.Rect(0, 0, p.about.Width, p.about.Height)
	var grey *image.Gray
	var colour *image.YCbCr
	err := p.Blocks(func(b Block) error {
		switch {
		case b.Channels == 1 && grey == nil:
			grey = image.NewGray(area)
		case b.Channels == 3 && colour == nil:
			colour = image.NewYCbCr(area, image.YCbCrSubsampleRatio444)
		}
		for j := range b.Height {
			row := b.Row(j)
			if grey != nil {
				dst := grey.Pix[(b.Y+j)*grey.Stride+b.X:]
				for x, v := range row {
					dst[x] = round8(v)
				}
				continue
			}
			at := (b.Y+j)*colour.YStride + b.X
			for x := range b.Width {
				colour.Y[at+x], colour.Cb[at+x], colour.Cr[at+x] = color.RGBToYCbCr(round8(row[3*x]), round8(row[3*x+1]), round8(row[3*x+2]))
			}
		}
		return nil
	})
	switch {
	case err != nil:
		return nil, err
	case grey != nil:
		return grey, nil
	}
	return colour, nil
}

// round8 rounds sixteen bits to eight.
func round8(v uint16) uint8 { return uint8((uint32(v)*255 + 32767) / 65535) }

// planes returns what a JPEG was decoded to as luma and chroma planes, or as grey.
func planes(img image.Image) image.Image {
	switch m := img.(type) {
	case *image.Gray:
		return m
	case *image.YCbCr:
		if m.SubsampleRatio != image.YCbCrSubsampleRatio411 && m.SubsampleRatio != image.YCbCrSubsampleRatio410 {
			return m
		}
	}
	b := img.Bounds()
	out := image.NewYCbCr(image.Rect(0, 0, b.Dx(), b.Dy()), image.YCbCrSubsampleRatio444)
	for y := range b.Dy() {
		i := y * out.YStride
		for x := range b.Dx() {
			r, g, bl, _ := img.At(b.Min.X+x, b.Min.Y+y).RGBA()
			out.Y[i+x], out.Cb[i+x], out.Cr[i+x] = color.RGBToYCbCr(round8(uint16(r)), round8(uint16(g)), round8(uint16(bl)))
		}
	}
	return out
}

// interlaced decodes a PNG whose rows come in seven passes, whole.
func (p *Photograph) interlaced(channels int, do func(Block) error) error {
	a := p.about
	if a.Bits == 16 && a.Width*a.Height > MostInterlacedPixels {
		return &Refusal{p.name, fmt.Sprintf("this PNG of 16 bits is interlaced and has %.0f megapixels", a.Megapixels()),
			"an interlaced one may have 40 megapixels; save it without interlacing"}
	}
	img, err := png.Decode(bufio.NewReaderSize(io.NewSectionReader(p.r, 0, p.size), 1<<16))
	if err != nil {
		return err
	}
	samples := make([]uint16, a.Width*channels)
	for y := range a.Height {
		for x := range a.Width {
			r, g, b, _ := img.At(x, y).RGBA()
			if channels == 1 {
				samples[x] = uint16(g)
			} else {
				samples[3*x], samples[3*x+1], samples[3*x+2] = uint16(r), uint16(g), uint16(b)
			}
		}
		if err := do(Block{Y: y, Width: a.Width, Height: 1, Channels: channels, Samples: samples}); err != nil {
			return err
		}
	}
	return nil
}
