package picture

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"io"
)

// readPNGHead walks the chunks up to the first of the picture ([PNG2025] section 11).
func (p *Photograph) readPNGHead() error {
	off := int64(8)
	var told pngColours
	for i := range mostSegments {
		h, ok := p.section(off, 8)
		if !ok {
			return p.refuse("this PNG is cut off before its picture begins")
		}
		n, kind := int64(binary.BigEndian.Uint32(h)), string(h[4:])
		if n > 1<<31-1 || off+12+n > p.size && kind != "IDAT" {
			return p.refuse("this PNG is cut off or damaged at byte %d", off)
		}
		if (i == 0) != (kind == "IHDR") {
			return p.refuse("this PNG does not begin with its header")
		}
		switch kind {
		case "IHDR":
			if n != 13 {
				return p.refuse("this PNG's header is damaged")
			}
			b, ok := p.section(off+8, 17)
			if !ok || crc32.Update(crc32.ChecksumIEEE([]byte(kind)), crc32.IEEETable, b[:13]) != binary.BigEndian.Uint32(b[13:]) {
				return p.refuse("this PNG's header is damaged")
			}
			p.about.Width, p.about.Height = side32(b[0:]), side32(b[4:])
			p.about.Bits = int(b[8])
			channels, ok := map[byte]int{0: 1, 2: 3, 3: 1, 4: 2, 6: 4}[b[9]]
			if !ok {
				return p.refuse("this PNG has colour type %d, which does not exist", b[9])
			}
			p.about.Channels = channels
		case "IDAT":
			p.takeTold(told)
			return nil
		case "sRGB", "gAMA", "cICP":
			if b, ok := p.section(off+8, min(n, 4)); ok && n >= 1 {
				told.take(kind, b)
			}
		case "IEND":
			return p.refuse("this PNG holds no picture")
		case "eXIf":
			if b, ok := p.section(off+8, min(n, 1<<20)); ok {
				p.orientationFrom(b)
			}
		case "iCCP":
			if err := p.pngProfile(off+8, n); err != nil {
				p.leaveOut(fmt.Sprintf("could not be read (%v)", err))
			}
		}
		off += 12 + n
	}
	return p.refuse("this PNG has more than %d chunks before its picture", mostSegments)
}

// pngColours is what a PNG says of its colours besides a profile ([PNG2025] section 11.3.2).
type pngColours struct {
	sRGB  bool
	gamma float64 // exponent of encoding; 0 when none is told
	codes []byte  // primaries, transfer and matrix by code points; nil when none are told
}

func (t *pngColours) take(kind string, b []byte) {
	switch {
	case kind == "sRGB":
		t.sRGB = true
	case kind == "gAMA" && len(b) == 4:
		t.gamma = float64(binary.BigEndian.Uint32(b)) / 100000
	case kind == "cICP" && len(b) == 4:
		t.codes = b
	}
}

// takeTold leaves out what a PNG without a profile says of its colours when that is not sRGB: code points 1 and 13,
// or an exponent near 1/2.2.
func (p *Photograph) takeTold(t pngColours) {
	if p.profile != nil || p.unread != "" {
		return
	}
	switch {
	case t.codes != nil && (t.codes[0] != 1 || t.codes[1] != 13):
		p.leaveOut(fmt.Sprintf("is told by code points (primaries %d, transfer %d)", t.codes[0], t.codes[1]))
	case t.codes == nil && !t.sRGB && t.gamma != 0 && (t.gamma < 0.43 || t.gamma > 0.48):
		p.leaveOut(fmt.Sprintf("is told by an exponent of %.3g alone", t.gamma))
	}
}

// side32 reads a side; one above a thousand million is refused later whatever it was exactly.
func side32(b []byte) int { return int(min(binary.BigEndian.Uint32(b), 1<<30)) }

func (p *Photograph) pngProfile(off, n int64) error {
	b, ok := p.section(off, min(n, mostProfile))
	if !ok {
		return fmt.Errorf("cut off")
	}
	i := bytes.IndexByte(b, 0)
	if i < 1 || i > 79 || i+2 > len(b) {
		return fmt.Errorf("damaged name")
	}
	z, err := zlib.NewReader(bytes.NewReader(b[i+2:]))
	if err != nil {
		return err
	}
	profile, err := io.ReadAll(io.LimitReader(z, mostProfile+1))
	if err != nil {
		return err
	}
	if len(profile) > mostProfile {
		return fmt.Errorf("larger than 4 MB")
	}
	p.takeProfile(profile)
	return z.Close()
}
