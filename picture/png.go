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
			return nil
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
