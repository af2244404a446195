package picture

import (
	"bufio"
	"compress/zlib"
	"encoding/binary"
	"errors"
	"fmt"
	"io"

	"golang.org/x/image/tiff/lzw"
)

// More tags of TIFF, needed to decode ([TIFF1992] sections 8, 14, 15, 19).
const (
	tagFillOrder   = 266
	tagStrips      = 273
	tagRowsInStrip = 278
	tagStripBytes  = 279
	tagPredictor   = 317
	tagColours     = 320
	tagTileWidth   = 322
	tagTileHeight  = 323
	tagTiles       = 324
	tagTileBytes   = 325
	tagExtra       = 338
	tagSampleKind  = 339
)

// mostBlocks is the most strips or tiles a TIFF may be cut into.
const mostBlocks = 1 << 20

// all returns every value of a tag of whole numbers.
func (p *Photograph) all(e entry) ([]uint32, bool) {
	width := int64(2)
	if e.long {
		width = 4
	}
	if e.bytes > width*mostBlocks {
		return nil, false
	}
	b, ok := p.section(e.off, e.bytes)
	if !ok {
		return nil, false
	}
	out := make([]uint32, e.bytes/width)
	for i := range out {
		if e.long {
			out[i] = e.order.Uint32(b[4*i:])
		} else {
			out[i] = uint32(e.order.Uint16(b[2*i:]))
		}
	}
	return out, true
}

// raster decodes a TIFF and hands it on in blocks, so that only some rows are held.
type raster struct {
	p             *Photograph
	order         binary.ByteOrder
	width, height int
	bits, samples int
	packing       int
	differences   bool
	blockW        int // of a strip or tile
	blockH        int
	offsets       []uint32
	lengths       []uint32
	kind          int  // photometric interpretation
	unmixed       bool // colour is not yet multiplied by its alpha
	colours       []uint32
	channels      int // of what is handed on: 1 or 3
	do            func(Block) error
}

// blocksTIFF decodes a TIFF block by block.
func (p *Photograph) blocksTIFF(do func(Block) error) error {
	dir, err := directory(p.section, p.size)
	if err != nil {
		return err
	}
	r := raster{
		p: p, width: p.about.Width, height: p.about.Height, bits: p.about.Bits, samples: p.about.Channels,
		packing: value(dir, tagCompression, 1), kind: value(dir, tagPhotometric, 1), unmixed: value(dir, tagExtra, 0) == 2,
		order: dir[tagWidth].order, do: do,
	}
	if k := value(dir, tagSampleKind, 1); k != 1 {
		return fmt.Errorf("its samples are of kind %d; whole numbers without sign are taken", k)
	}
	if value(dir, tagFillOrder, 1) != 1 {
		return errors.New("its bits are stored in reverse")
	}
	switch k := value(dir, tagPredictor, 1); k {
	case 1:
	case 2:
		r.differences = r.packing != 1 && r.packing != 32773
	default:
		return fmt.Errorf("its predictor %d is not known", k)
	}
	if r.kind == 3 {
		colours, ok := p.all(dir[tagColours])
		if !ok || len(colours) != 3*256 || r.bits != 8 {
			return errors.New("its table of colours is damaged")
		}
		r.colours = colours
	}
	offsets, lengths := tagStrips, tagStripBytes
	r.blockW, r.blockH = r.width, min(r.height, value(dir, tagRowsInStrip, 1<<30))
	if _, ok := dir[tagTiles]; ok {
		offsets, lengths = tagTiles, tagTileBytes
		r.blockW, r.blockH = value(dir, tagTileWidth, 0), value(dir, tagTileHeight, 0)
	}
	if r.blockW < 1 || r.blockH < 1 || r.blockW > LongestSide || r.blockH > LongestSide {
		return fmt.Errorf("its strips or tiles are %d x %d px", r.blockW, r.blockH)
	}
	var ok1, ok2 bool
	r.offsets, ok1 = p.all(dir[offsets])
	r.lengths, ok2 = p.all(dir[lengths])
	across, down := (r.width+r.blockW-1)/r.blockW, (r.height+r.blockH-1)/r.blockH
	if !ok1 || !ok2 || len(r.offsets) != across*down || len(r.lengths) != across*down {
		return fmt.Errorf("its %d strips or tiles are not all listed", across*down)
	}
	r.channels = 3
	if r.samples <= 2 && r.kind != 3 {
		r.channels = 1
	} else if r.kind == 2 && r.samples < 3 {
		return fmt.Errorf("it says RGB and has %d channels", r.samples)
	}
	for i := range r.offsets {
		if err := r.block(i, i%across*r.blockW, i/across*r.blockH); err != nil {
			return fmt.Errorf("strip or tile %d of %d: %w", i+1, len(r.offsets), err)
		}
	}
	return nil
}

// block decodes one strip or tile whose upper left corner lies at x, y.
func (r *raster) block(i, x, y int) error {
	off, n := int64(r.offsets[i]), int64(r.lengths[i])
	if off > r.p.size || n > r.p.size-off {
		return errors.New("it lies outside the file")
	}
	var src io.Reader = bufio.NewReaderSize(io.NewSectionReader(r.p.r, off, n), 1<<16)
	switch r.packing {
	case 5:
		z := lzw.NewReader(src, lzw.MSB, 8)
		defer z.Close()
		src = z
	case 8, 32946:
		z, err := zlib.NewReader(src)
		if err != nil {
			return err
		}
		defer z.Close()
		src = z
	case 32773:
		src = &packBits{src: src.(io.ByteReader)}
	}
	row := make([]byte, r.blockW*r.samples*r.bits/8)
	width, bottom := min(r.blockW, r.width-x), min(y+r.blockH, r.height)
	held := make([]uint16, width*r.channels*min(BlockRows, bottom-y))
	for ; y < bottom; y += BlockRows {
		b := Block{X: x, Y: y, Width: width, Height: min(BlockRows, bottom-y), Channels: r.channels}
		b.Samples = held[:b.Width*b.Height*b.Channels]
		for j := range b.Height {
			if _, err := io.ReadFull(src, row); err != nil {
				return err
			}
			if r.differences {
				r.sum(row)
			}
			r.put(b.Samples[j*b.Width*b.Channels:][:b.Width*b.Channels], row)
		}
		if err := r.do(b); err != nil {
			return err
		}
	}
	return nil
}

// sum undoes horizontal differencing ([TIFF1992] section 14).
func (r *raster) sum(row []byte) {
	if r.bits == 8 {
		for i := r.samples; i < len(row); i++ {
			row[i] += row[i-r.samples]
		}
		return
	}
	for i := 2 * r.samples; i+1 < len(row); i += 2 {
		r.order.PutUint16(row[i:], r.order.Uint16(row[i:])+r.order.Uint16(row[i-2*r.samples:]))
	}
}

// put hands on one row of a block in sixteen bits, laying transparency on black.
func (r *raster) put(dst []uint16, row []byte) {
	at := func(k int) uint32 {
		if r.bits == 8 {
			return uint32(row[k]) * 0x101
		}
		return uint32(r.order.Uint16(row[2*k:]))
	}
	for i := 0; i < len(dst); i += r.channels {
		k := i / r.channels * r.samples
		alpha := uint32(0xffff)
		if r.unmixed && (r.samples == 2 || r.samples == 4) {
			alpha = at(k + r.samples - 1)
		}
		onBlack := func(v uint32) uint16 {
			if alpha != 0xffff {
				v = v * alpha / 0xffff
			}
			return uint16(v)
		}
		switch {
		case r.kind == 0:
			dst[i] = onBlack(0xffff - at(k))
		case r.channels == 1:
			dst[i] = onBlack(at(k))
		case r.kind == 3:
			v := int(row[k])
			dst[i], dst[i+1], dst[i+2] = onBlack(r.colours[v]), onBlack(r.colours[256+v]), onBlack(r.colours[512+v])
		case r.kind == 1: // grey with extra channels
			dst[i] = onBlack(at(k))
			dst[i+1], dst[i+2] = dst[i], dst[i]
		default:
			dst[i], dst[i+1], dst[i+2] = onBlack(at(k)), onBlack(at(k+1)), onBlack(at(k+2))
		}
	}
}

// packBits unpacks byte runs ([TIFF1992] section 9).
type packBits struct {
	src   io.ByteReader
	left  int  // bytes still to come of the present run
	again bool // whether they are one byte repeated
	byte  byte
}

func (p *packBits) Read(b []byte) (int, error) {
	for n := range b {
		for p.left == 0 {
			c, err := p.src.ReadByte()
			if err != nil {
				return n, err
			}
			switch k := int8(c); {
			case k >= 0:
				p.left, p.again = int(k)+1, false
			case k != -128:
				p.left, p.again = 1-int(k), true
				if p.byte, err = p.src.ReadByte(); err != nil {
					return n, err
				}
			}
		}
		if !p.again {
			var err error
			if p.byte, err = p.src.ReadByte(); err != nil {
				return n, err
			}
		}
		b[n] = p.byte
		p.left--
	}
	return len(b), nil
}
