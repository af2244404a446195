package picture

import (
	"encoding/binary"
	"fmt"
	"strings"
	"unicode/utf16"
)

// takeProfile keeps an embedded ICC profile when its head is sound and its colour space can
// describe the picture ([ICC2010] section 7.2).
func (p *Photograph) takeProfile(b []byte) {
	if len(b) < 132 || string(b[36:40]) != "acsp" || int64(binary.BigEndian.Uint32(b)) > int64(len(b)) {
		p.leaveOut("is damaged")
		return
	}
	b = b[:max(132, binary.BigEndian.Uint32(b))] // TIFF writers may pad
	space := string(b[16:20])
	grey := p.about.Channels == 1 || p.about.Channels == 2
	if space != "RGB " && !(space == "GRAY" && grey) {
		p.leaveOut(fmt.Sprintf("is for %q", strings.TrimSpace(printable(space))))
		return
	}
	p.profile = b
	p.about.Profile = profileName(b)
}

// profileName returns a profile's description: textDescriptionType of version 2 or
// multiLocalizedUnicodeType of version 4 ([ICC2010] section 10.15). A profile without one is "unnamed".
func profileName(b []byte) string {
	const unnamed = "unnamed"
	be := binary.BigEndian
	count := int64(be.Uint32(b[128:]))
	for i := int64(0); i < count && i < 200; i++ {
		e := 132 + 12*i
		if e+12 > int64(len(b)) {
			return unnamed
		}
		if string(b[e:e+4]) != "desc" {
			continue
		}
		off, n := int64(be.Uint32(b[e+4:])), int64(be.Uint32(b[e+8:]))
		if off+n > int64(len(b)) || n < 16 {
			return unnamed
		}
		t := b[off : off+n]
		switch string(t[:4]) {
		case "desc":
			k := int64(be.Uint32(t[8:]))
			if k < 1 || 12+k > n {
				return unnamed
			}
			return printable(string(t[12 : 12+k]))
		case "mluc":
			if n < 28 || be.Uint32(t[8:]) < 1 {
				return unnamed
			}
			k, at := int64(be.Uint32(t[20:])), int64(be.Uint32(t[24:]))
			if at+k > n {
				return unnamed
			}
			var u []uint16
			for j := at; j+1 < at+k; j += 2 {
				u = append(u, be.Uint16(t[j:]))
			}
			return printable(string(utf16.Decode(u)))
		}
	}
	return unnamed
}

func printable(s string) string {
	s = strings.ToValidUTF8(strings.Map(func(c rune) rune {
		if c < ' ' || c == 0x7f {
			return -1
		}
		return c
	}, s), "")
	if r := []rune(s); len(r) > 100 {
		s = string(r[:100])
	}
	if s = strings.TrimSpace(s); s == "" {
		return "unnamed"
	}
	return s
}
