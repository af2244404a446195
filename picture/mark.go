package picture

import (
	"bufio"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"image"
	"image/jpeg"
	"image/png"
	"io"
	"math"
	"strings"
	"unicode/utf16"
)

// EncodeJPEG writes a picture whose samples are sRGB as a JPEG that says so and carries a caption: an EXIF
// description, an ICC profile of sRGB, and a comment. The caption is of ASCII; other letters become "?".
func EncodeJPEG(w io.Writer, m image.Image, quality int, caption string) error {
	caption = ascii(caption)
	segments := segment(0xe1, append([]byte("Exif\x00\x00"), described(caption)...))
	segments = append(segments, profileSegments(SRGBProfile())...)
	segments = append(segments, segment(0xfe, []byte(caption))...)
	buf := bufio.NewWriterSize(w, 1<<16)
	if err := jpeg.Encode(&inserter{w: buf, segments: segments, behind: 2}, m, &jpeg.Options{Quality: quality}); err != nil {
		return fmt.Errorf("writing a JPEG: %w", err)
	}
	return buf.Flush()
}

// pngHeadBytes is the signature and the first chunk of a PNG ([PNG2025] sections 5.2 and 11.2.1).
const pngHeadBytes = 8 + 12 + 13

// EncodePNG writes a picture whose samples are sRGB as a PNG that says so and carries a caption of ASCII.
func EncodePNG(w io.Writer, m image.Image, caption string) error {
	chunks := chunk("sRGB", []byte{1}) // relative colorimetric
	chunks = append(chunks, chunk("tEXt", []byte("Description\x00"+ascii(caption)))...)
	buf := bufio.NewWriterSize(w, 1<<16)
	e := png.Encoder{CompressionLevel: png.BestSpeed}
	if err := e.Encode(&inserter{w: buf, segments: chunks, behind: pngHeadBytes}, m); err != nil {
		return fmt.Errorf("writing a PNG: %w", err)
	}
	return buf.Flush()
}

// mostCaption keeps a caption within a segment.
const mostCaption = 4000

func ascii(s string) string {
	s = strings.Map(func(c rune) rune {
		if c < ' ' || c > '~' {
			return '?'
		}
		return c
	}, s)
	return s[:min(len(s), mostCaption)]
}

func segment(mark byte, body []byte) []byte {
	return append(binary.BigEndian.AppendUint16([]byte{0xff, mark}, uint16(2+len(body))), body...)
}

func chunk(kind string, body []byte) []byte {
	b := binary.BigEndian.AppendUint32(nil, uint32(len(body)))
	b = append(append(b, kind...), body...)
	return binary.BigEndian.AppendUint32(b, crc32.ChecksumIEEE(b[4:]))
}

// described is an EXIF block that holds a description and says sRGB ([Exif232] tags 270, 34665, 40961).
func described(caption string) []byte {
	text := caption + "\x00"
	for len(text) < 5 { // so that it never stands in the entry itself
		text += "\x00"
	}
	be := binary.BigEndian
	const directory, second = 8, 8 + 2 + 2*12 + 4
	const textAt = second + 2 + 12 + 4
	b := []byte("MM\x00*\x00\x00\x00\x08")
	entry := func(tag, kind uint16, n, value uint32) {
		b = be.AppendUint16(b, tag)
		b = be.AppendUint16(b, kind)
		b = be.AppendUint32(b, n)
		b = be.AppendUint32(b, value)
	}
	b = be.AppendUint16(b, 2)
	entry(270, 2, uint32(len(text)), textAt)
	entry(34665, 4, 1, second)
	b = be.AppendUint32(b, 0)
	b = be.AppendUint16(b, 1)
	entry(40961, 3, 1, 1<<16)
	b = be.AppendUint32(b, 0)
	return append(b, text...)
}

// SRGBProfile returns an ICC profile of sRGB of version 4 ([ICC2010]): the colorants of its primaries and its curve as a formula.
func SRGBProfile() []byte {
	words := func(s string) []byte {
		u := utf16.Encode([]rune(s))
		b := []byte("mluc\x00\x00\x00\x00\x00\x00\x00\x01\x00\x00\x00\x0cenUS")
		b = binary.BigEndian.AppendUint32(b, uint32(2*len(u)))
		b = binary.BigEndian.AppendUint32(b, 28)
		for _, c := range u {
			b = binary.BigEndian.AppendUint16(b, c)
		}
		return b
	}
	numbers := func(head string, v ...float64) []byte {
		b := []byte(head)
		for _, x := range v {
			b = binary.BigEndian.AppendUint32(b, uint32(int32(math.Round(x*65536))))
		}
		return b
	}
	c := sRGBColorants()
	xyz := func(v ...float64) []byte { return numbers("XYZ \x00\x00\x00\x00", v...) }
	curve := numbers("para\x00\x00\x00\x00\x00\x03\x00\x00", 2.4, 1/1.055, 0.055/1.055, 1/12.92, 0.04045)
	m := adaptation()
	tags := []struct {
		name string
		body []byte
	}{
		{"desc", words("sRGB")}, {"cprt", words("No copyright, use freely")},
		{"wtpt", xyz(connection[0], connection[1], connection[2])},
		{"chad", numbers("sf32\x00\x00\x00\x00", m[:]...)},
		{"rXYZ", xyz(c[0], c[3], c[6])}, {"gXYZ", xyz(c[1], c[4], c[7])}, {"bXYZ", xyz(c[2], c[5], c[8])},
		{"rTRC", curve}, {"gTRC", nil}, {"bTRC", nil},
	}
	b := make([]byte, 132, 1024)
	copy(b[8:], "\x04\x20\x00\x00mntrRGB XYZ ")
	copy(b[24:], "\x07\xea\x00\x01\x00\x01\x00\x00\x00\x00\x00\x00acsp")
	copy(b[68:], numbers("", connection[:]...))
	be := binary.BigEndian
	be.PutUint32(b[128:], uint32(len(tags)))
	at := len(b) + 12*len(tags)
	var bodies []byte
	var off, n uint32
	for _, t := range tags {
		if t.body != nil { // a tag without its own body shares the one before
			for len(bodies)%4 != 0 {
				bodies = append(bodies, 0)
			}
			off, n = uint32(at+len(bodies)), uint32(len(t.body))
			bodies = append(bodies, t.body...)
		}
		b = append(b, t.name...)
		b = be.AppendUint32(b, off)
		b = be.AppendUint32(b, n)
	}
	b = append(b, bodies...)
	be.PutUint32(b, uint32(len(b)))
	return b
}
