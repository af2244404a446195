package picture

import (
	"bufio"
	"compress/zlib"
	"encoding/binary"
	"errors"
	"hash"
	"hash/crc32"
	"io"
)

// Colour types of PNG ([PNG2025] section 6.1).
const (
	pngGrey      = 0
	pngRGB       = 2
	pngPalette   = 3
	pngGreyAlpha = 4
	pngRGBAlpha  = 6
)

var errPNG = errors.New("damaged")

// pngRows reads a PNG that is not interlaced row by row.
type pngRows struct {
	kind, bits int
	colours    [256][3]uint16 // of a palette, laid on black
	known      int            // colours of the palette
	absent     [3]uint16      // the colour that counts as transparent
	keyed      bool
}

// idat joins the chunks of the picture into one stream and checks their sums ([PNG2025] sections 5 and 10).
type idat struct {
	r    *bufio.Reader
	left uint32
	sum  hash.Hash32
	done bool
}

func (d *idat) Read(b []byte) (int, error) {
	for d.left == 0 {
		if d.done {
			return 0, io.EOF
		}
		var h [8]byte
		if d.sum != nil {
			if _, err := io.ReadFull(d.r, h[:4]); err != nil {
				return 0, err
			}
			if binary.BigEndian.Uint32(h[:]) != d.sum.Sum32() {
				return 0, errPNG
			}
		}
		if _, err := io.ReadFull(d.r, h[:]); err != nil {
			return 0, err
		}
		if string(h[4:]) != "IDAT" {
			d.done = true
			continue
		}
		d.left = binary.BigEndian.Uint32(h[:])
		d.sum = crc32.NewIEEE()
		d.sum.Write(h[4:])
	}
	n, err := d.r.Read(b[:min(uint32(len(b)), d.left)])
	d.sum.Write(b[:n])
	d.left -= uint32(n)
	return n, err
}

// pngBody reads the chunks before the picture and returns where the first of the picture begins.
func (p *Photograph) pngBody(r *pngRows) (at int64, interlaced bool, err error) {
	head, ok := p.section(16, 13)
	if !ok {
		return 0, false, errPNG
	}
	r.bits, r.kind = int(head[8]), int(head[9])
	interlaced = head[12] != 0
	if head[10] != 0 || head[11] != 0 || head[12] > 1 {
		return 0, false, errPNG
	}
	at = 8
	for range mostSegments {
		h, ok := p.section(at, 8)
		if !ok {
			return 0, false, errPNG
		}
		n, kind := int64(binary.BigEndian.Uint32(h)), string(h[4:])
		if kind == "IDAT" {
			return at, interlaced, nil
		}
		if kind == "PLTE" || kind == "tRNS" {
			b, ok := p.section(at+8, min(n, 769)+4)
			if !ok || n > 768 || crc32.Update(crc32.ChecksumIEEE(h[4:]), crc32.IEEETable, b[:n]) != binary.BigEndian.Uint32(b[n:]) {
				return 0, false, errPNG
			}
			r.palette(kind, b[:n])
		}
		at += 12 + n
	}
	return 0, false, errPNG
}

// palette reads PLTE or tRNS ([PNG2025] sections 11.2.2 and 11.3.1.1).
func (r *pngRows) palette(chunk string, b []byte) {
	switch {
	case chunk == "PLTE" && r.kind == pngPalette:
		r.known = len(b) / 3
		for i := range r.known {
			for c := range 3 {
				r.colours[i][c] = uint16(b[3*i+c]) * 0x101
			}
		}
	case chunk == "PLTE":
	case r.kind == pngPalette:
		for i, alpha := range b[:min(len(b), 256)] {
			for c := range 3 {
				r.colours[i][c] = uint16(uint32(r.colours[i][c]) * uint32(alpha) / 255)
			}
		}
	case r.kind == pngGrey && len(b) >= 2, r.kind == pngRGB && len(b) >= 6:
		r.keyed = true
		for c := range min(3, len(b)/2) {
			r.absent[c] = binary.BigEndian.Uint16(b[2*c:])
			if r.bits == 8 {
				r.absent[c] = r.absent[c] & 0xff * 0x101
			}
		}
	}
}

func (p *Photograph) blocksPNG(do func(Block) error) error {
	r := &pngRows{}
	at, interlaced, err := p.pngBody(r)
	if err != nil {
		return err
	}
	a := p.about
	channels := 3
	if r.kind == pngGrey || r.kind == pngGreyAlpha {
		channels = 1
	}
	if interlaced {
		return p.interlaced(channels, do)
	}
	if r.kind == pngPalette && (r.known == 0 || r.bits != 8) {
		return errPNG
	}
	z, err := zlib.NewReader(&idat{r: bufio.NewReaderSize(io.NewSectionReader(p.r, at, p.size-at), 1<<16)})
	if err != nil {
		return err
	}
	defer z.Close()
	pixel := a.Channels * a.Bits / 8
	row, above := make([]byte, 1+a.Width*pixel), make([]byte, 1+a.Width*pixel)
	samples := make([]uint16, a.Width*channels*min(BlockRows, a.Height))
	for y := 0; y < a.Height; y += BlockRows {
		b := Block{Y: y, Width: a.Width, Height: min(BlockRows, a.Height-y), Channels: channels}
		b.Samples = samples[:b.Width*b.Height*channels]
		for j := range b.Height {
			if _, err := io.ReadFull(z, row); err != nil {
				return err
			}
			if err := unfilter(row[0], row[1:], above[1:], pixel); err != nil {
				return err
			}
			if err := r.widen(b.Row(j), row[1:]); err != nil {
				return err
			}
			row, above = above, row
		}
		if y+b.Height == a.Height { // the stream ends here, and its sum is right
			if n, err := io.ReadFull(z, row[:1]); n != 0 || err != io.EOF {
				return errPNG
			}
		}
		if err := do(b); err != nil {
			return err
		}
	}
	return nil
}

// unfilter undoes the filter of a row ([PNG2025] section 9); pixel is the bytes of a pixel.
func unfilter(filter byte, row, above []byte, pixel int) error {
	switch filter {
	case 0:
	case 1:
		for i := pixel; i < len(row); i++ {
			row[i] += row[i-pixel]
		}
	case 2:
		for i, v := range above {
			row[i] += v
		}
	case 3:
		for i := range pixel {
			row[i] += above[i] / 2
		}
		for i := pixel; i < len(row); i++ {
			row[i] += uint8((int(row[i-pixel]) + int(above[i])) / 2)
		}
	case 4:
		for i := range pixel {
			row[i] += above[i]
		}
		for i := pixel; i < len(row); i++ {
			a, b, c := int(row[i-pixel]), int(above[i]), int(above[i-pixel])
			pa, pb, pc := abs(b-c), abs(a-c), abs(a+b-2*c)
			switch {
			case pa <= pb && pa <= pc:
				row[i] += uint8(a)
			case pb <= pc:
				row[i] += uint8(b)
			default:
				row[i] += uint8(c)
			}
		}
	default:
		return errPNG
	}
	return nil
}

func abs(v int) int { return max(v, -v) }

// widen hands a row on in sixteen bits, laying transparency on black.
func (r *pngRows) widen(dst []uint16, row []byte) error {
	at := func(k int) uint16 { return uint16(row[k]) * 0x101 }
	if r.bits == 16 {
		at = func(k int) uint16 { return binary.BigEndian.Uint16(row[2*k:]) }
	}
	switch r.kind {
	case pngPalette:
		for x, v := range row {
			if int(v) >= r.known {
				return errPNG
			}
			copy(dst[3*x:], r.colours[v][:])
		}
	case pngGrey:
		for x := range dst {
			if dst[x] = at(x); r.keyed && dst[x] == r.absent[0] {
				dst[x] = 0
			}
		}
	case pngGreyAlpha:
		for x := range dst {
			dst[x] = uint16(uint32(at(2*x)) * uint32(at(2*x+1)) / 65535)
		}
	case pngRGB:
		if r.bits == 8 && !r.keyed {
			for i, v := range row {
				dst[i] = uint16(v) * 0x101
			}
			return nil
		}
		for i := 0; i < len(dst); i += 3 {
			dst[i], dst[i+1], dst[i+2] = at(i), at(i+1), at(i+2)
			if r.keyed && [3]uint16(dst[i:i+3]) == r.absent {
				dst[i], dst[i+1], dst[i+2] = 0, 0, 0
			}
		}
	case pngRGBAlpha:
		for i := 0; i < len(dst)/3; i++ {
			alpha := uint32(at(4*i + 3))
			for c := range 3 {
				dst[3*i+c] = uint16(uint32(at(4*i+c)) * alpha / 65535)
			}
		}
	}
	return nil
}
