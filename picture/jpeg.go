package picture

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"io"
)

// most of what is read of a head: markers, chunks, directory entries, and bytes of a profile.
const (
	mostSegments = 20_000
	mostEntries  = 4_096
	mostProfile  = 4 << 20
)

const profileMark = "ICC_PROFILE\x00"

// readJPEGHead walks the segments up to the first scan ([T81] annex B): frame header, orientation in
// APP1 [Exif232], profile pieces in APP2 ([ICC2010] annex B.4).
func (p *Photograph) readJPEGHead() error {
	pieces := map[int][]byte{}
	wanted, total := 0, 0
	framed := false
	off := int64(2)
	for range mostSegments {
		b, ok := p.section(off, 4)
		if !ok {
			return p.refuse("this JPEG is cut off before its picture begins")
		}
		if b[0] != 0xff {
			return p.refuse("this JPEG is damaged at byte %d", off)
		}
		mark := b[1]
		if mark == 0xff { // fill byte
			off++
			continue
		}
		if mark == 0x01 || (mark >= 0xd0 && mark <= 0xd8) { // without a length
			off += 2
			continue
		}
		if mark == 0xd9 {
			return p.refuse("this JPEG ends before its picture begins")
		}
		n := int64(binary.BigEndian.Uint16(b[2:])) - 2
		if n < 0 || off+4+n > p.size {
			return p.refuse("this JPEG is cut off or damaged at byte %d", off)
		}
		switch {
		case mark == 0xc4 || mark == 0xc8 || mark == 0xcc: // tables
		case mark >= 0xc0 && mark <= 0xcf:
			f, ok := p.section(off+4, n)
			if !ok || n < 6 {
				return p.refuse("this JPEG's frame header is damaged")
			}
			if mark > 0xc2 {
				return &Refusal{p.name, "this is a rare kind of JPEG (lossless, arithmetic or hierarchical)", "save it anew as an ordinary JPEG"}
			}
			p.about.Bits, p.about.Channels = int(f[0]), int(f[5])
			p.about.Height, p.about.Width = int(binary.BigEndian.Uint16(f[1:])), int(binary.BigEndian.Uint16(f[3:]))
			p.about.Progressive = mark == 0xc2
			if p.about.Bits != 8 {
				return &Refusal{p.name, fmt.Sprintf("this is a rare kind of JPEG (%d bits)", f[0]), "save it anew as an ordinary JPEG"}
			}
			if c := p.about.Channels; c != 1 && c != 3 {
				return &Refusal{p.name, fmt.Sprintf("this JPEG has %d channels, as for a printing press", c), "grey or colour is taken; save it as RGB"}
			}
			framed = true
		case mark == 0xda:
			if !framed {
				return p.refuse("this JPEG has a scan without a frame header")
			}
			p.joinProfile(pieces, wanted)
			return nil
		case mark == 0xe1:
			if s, ok := p.section(off+4, n); ok && bytes.HasPrefix(s, []byte("Exif\x00\x00")) {
				p.orientationFrom(s[6:])
			}
		case mark == 0xe2 && n > 14:
			s, ok := p.section(off+4, n)
			if !ok || !bytes.HasPrefix(s, []byte(profileMark)) {
				break
			}
			total += len(s) - 14
			if total > mostProfile {
				p.leaveOut("is larger than 4 MB")
				wanted = -1
				break
			}
			if wanted == 0 {
				wanted = int(s[13])
			}
			pieces[int(s[12])] = s[14:]
		}
		off += 4 + n
	}
	return p.refuse("this JPEG has more than %d segments before its picture", mostSegments)
}

func (p *Photograph) joinProfile(pieces map[int][]byte, wanted int) {
	if wanted <= 0 {
		if len(pieces) > 0 && p.unread == "" {
			p.leaveOut("is in pieces that are not counted")
		}
		return
	}
	var profile []byte
	for i := 1; i <= wanted; i++ {
		piece, ok := pieces[i]
		if !ok {
			p.leaveOut(fmt.Sprintf("lacks its piece %d of %d", i, wanted))
			return
		}
		profile = append(profile, piece...)
	}
	p.takeProfile(profile)
}

// profilePiece is the most a segment can hold: 65535 less its length, mark and two counts.
const profilePiece = 65535 - 2 - len(profileMark) - 2

// profileSegments returns the APP2 segments that carry a profile in a JPEG ([ICC2010] annex B.4).
func profileSegments(profile []byte) []byte {
	count := (len(profile) + profilePiece - 1) / profilePiece
	var out []byte
	for i := range count {
		piece := profile[i*profilePiece : min((i+1)*profilePiece, len(profile))]
		out = append(out, 0xff, 0xe2)
		out = binary.BigEndian.AppendUint16(out, uint16(2+len(profileMark)+2+len(piece)))
		out = append(out, profileMark...)
		out = append(out, byte(i+1), byte(count))
		out = append(out, piece...)
	}
	return out
}

// inserter passes a file on and puts segments behind its first bytes.
type inserter struct {
	w        io.Writer
	segments []byte
	behind   int // how many bytes
	seen     int // bytes passed, up to behind
}

func (i *inserter) Write(b []byte) (int, error) {
	n := 0
	if i.seen < i.behind {
		k := min(i.behind-i.seen, len(b))
		m, err := i.w.Write(b[:k])
		n, i.seen = n+m, i.seen+m
		if err != nil {
			return n, err
		}
		if i.seen == i.behind {
			if _, err := i.w.Write(i.segments); err != nil {
				return n, err
			}
		}
		b = b[k:]
	}
	m, err := i.w.Write(b)
	return n + m, err
}
