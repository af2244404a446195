package picture

import (
	"encoding/binary"
	"fmt"
)

// Tags of TIFF that are read ([TIFF1992] section 8; 34675 [ICC2010] annex B.2).
const (
	tagWidth       = 256
	tagHeight      = 257
	tagBits        = 258
	tagCompression = 259
	tagPhotometric = 262
	tagOrientation = 274
	tagSamples     = 277
	tagPlanar      = 284
	tagExif        = 34665
	tagColourSpace = 40961 // [Exif232]: 1 is sRGB, 65535 another
	tagProfile     = 34675
)

// entry is one line of a TIFF directory, its values read as far as they are needed here.
type entry struct {
	values []uint32 // the first few, for SHORT and LONG
	off    int64    // where the bytes lie
	bytes  int64
	long   bool // LONG rather than SHORT
	order  binary.ByteOrder
}

// directory reads the first TIFF directory through read, which returns bytes of the file.
// All lengths are checked against size before anything is read.
func directory(read func(off, n int64) ([]byte, bool), size int64) (map[int]entry, error) {
	h, ok := read(0, 8)
	if !ok {
		return nil, fmt.Errorf("it is cut off")
	}
	var order binary.ByteOrder = binary.LittleEndian
	if h[0] == 'M' {
		order = binary.BigEndian
	}
	return directoryAt(read, size, order, int64(order.Uint32(h[4:])))
}

// directoryAt reads a TIFF directory at a place.
func directoryAt(read func(off, n int64) ([]byte, bool), size int64, order binary.ByteOrder, at int64) (map[int]entry, error) {
	c, ok := read(at, 2)
	if !ok || at < 8 {
		return nil, fmt.Errorf("its directory lies outside the file")
	}
	count := int64(order.Uint16(c))
	if count == 0 || count > mostEntries {
		return nil, fmt.Errorf("its directory has %d entries where 1 to %d are allowed", count, mostEntries)
	}
	b, ok := read(at+2, 12*count)
	if !ok {
		return nil, fmt.Errorf("its directory of %d entries is cut off", count)
	}
	dir := make(map[int]entry)
	widths := [...]int64{1: 1, 2: 1, 3: 2, 4: 4, 5: 8, 6: 1, 7: 1, 8: 2, 9: 4, 10: 8, 11: 4, 12: 8}
	for i := int64(0); i < count; i++ {
		b := b[12*i : 12*i+12]
		tag, kind, n := int(order.Uint16(b)), int(order.Uint16(b[2:])), int64(order.Uint32(b[4:]))
		if kind < 1 || kind >= len(widths) {
			continue // kinds of later standards are passed over, as [TIFF1992] section 2 asks
		}
		e := entry{off: at + 2 + 12*i + 8, bytes: n * widths[kind], long: kind == 4, order: order}
		value := b[8:12]
		if e.bytes > 4 {
			e.off = int64(order.Uint32(value))
			if e.off > size || e.bytes > size-e.off {
				return nil, fmt.Errorf("its tag %d claims %d bytes that the file does not have", tag, e.bytes)
			}
			value, ok = read(e.off, min(e.bytes, 64))
			if !ok {
				return nil, fmt.Errorf("its tag %d cannot be read", tag)
			}
		}
		for j := int64(0); j < n && j < 8; j++ {
			switch kind {
			case 3:
				e.values = append(e.values, uint32(order.Uint16(value[2*j:])))
			case 4:
				e.values = append(e.values, order.Uint32(value[4*j:]))
			}
		}
		dir[tag] = e
	}
	return dir, nil
}

// value returns the first value of a tag, or what stands for it when it is missing.
func value(dir map[int]entry, tag int, missing uint32) int {
	if e, ok := dir[tag]; ok && len(e.values) > 0 {
		return int(min(e.values[0], 1<<30))
	}
	return int(missing)
}

func (p *Photograph) readTIFFHead() error {
	dir, err := directory(p.section, p.size)
	if err != nil {
		return p.refuse("this TIFF is damaged: %v", err)
	}
	p.about.Width, p.about.Height = value(dir, tagWidth, 0), value(dir, tagHeight, 0)
	p.about.Channels = value(dir, tagSamples, 1)
	p.about.Bits = value(dir, tagBits, 1)
	for _, b := range dir[tagBits].values {
		if int(b) != p.about.Bits {
			return p.refuse("this TIFF has channels of %d and %d bits", p.about.Bits, b)
		}
	}
	if c := p.about.Channels; c < 1 || c > 4 {
		return p.refuse("this TIFF has %d channels, where 1 to 4 are taken", c)
	}
	switch k := value(dir, tagCompression, 1); k {
	case 1, 5, 8, 32773, 32946:
	default:
		return &Refusal{p.name, fmt.Sprintf("this TIFF is packed by scheme %d", k), "a TIFF without packing, or packed by LZW, deflate or PackBits, is taken"}
	}
	switch k := value(dir, tagPhotometric, 1); {
	case k == 0 && p.about.Channels <= 2, k == 1, k == 2, k == 3:
	default:
		return &Refusal{p.name, fmt.Sprintf("this TIFF is stored as colour kind %d", k), "a grey or RGB TIFF is taken"}
	}
	if value(dir, tagPlanar, 1) != 1 && p.about.Channels > 1 {
		return &Refusal{p.name, "this TIFF keeps its channels apart", "save it with the channels interleaved"}
	}
	p.setOrientation(value(dir, tagOrientation, 1))
	if e, ok := dir[tagProfile]; ok {
		if e.bytes > mostProfile {
			p.leaveOut("is larger than 4 MB")
		} else if b, ok := p.section(e.off, e.bytes); ok {
			p.takeProfile(b)
		}
	}
	return nil
}

// orientationFrom reads the orientation from an EXIF block, which is a small TIFF [Exif232].
// A damaged block is passed over with a note.
func (p *Photograph) orientationFrom(b []byte) {
	if len(b) < 8 || (string(b[:4]) != "II*\x00" && string(b[:4]) != "MM\x00*") {
		p.note("the EXIF block is damaged, so the picture is taken as upright")
		return
	}
	read := func(off, n int64) ([]byte, bool) {
		if off < 0 || n < 0 || off > int64(len(b)) || n > int64(len(b))-off {
			return nil, false
		}
		return b[off : off+n], true
	}
	dir, err := directory(read, int64(len(b)))
	if err != nil {
		p.note("the EXIF block is damaged, so the picture is taken as upright")
		return
	}
	p.setOrientation(value(dir, tagOrientation, 1))
	e, ok := dir[tagExif]
	if !ok || len(e.values) == 0 {
		return
	}
	more, err := directoryAt(read, int64(len(b)), e.order, int64(e.values[0]))
	p.otherSpace = err == nil && value(more, tagColourSpace, 1) == 0xffff
}

func (p *Photograph) setOrientation(o int) {
	if o < 1 || o > 8 {
		p.note("the orientation %d does not exist, so the picture is taken as upright", o)
		o = 1
	}
	p.about.Orientation = o
}
