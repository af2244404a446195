// Package picture turns a photograph of a plate into the pictures a studio files.
//
// A plate taken in a camera is mirror-reversed. [Open] reads the head of a photograph from the
// copy stand (JPEG, PNG or TIFF), [Photograph.TrueView] decodes it, stands it upright and turns it
// left for right, and [Picture.WriteJPEG] and [Picture.Reduced] make the files that are kept.
//
// The model: pixels are worked on as eight-bit luma and chroma planes, in place where the turn
// allows it; samples of sixteen bits are rounded to eight, so the photograph itself stays the
// master. Reduction averages areas in linear light, taking the sRGB curve for the file's own; a
// profile with another curve is carried along but its curve is not used for averaging. Transparent
// pixels are laid on black. An embedded ICC profile goes unchanged into every JPEG written.
//
// What is refused, by name and before any pixel is decoded: more than 200 megapixels, a side above
// 30000 px, a bit depth other than 8 or 16, a file too short for the size it claims, and whatever
// is not one of the three formats. A progressive JPEG keeps every coefficient in memory while it
// is decoded and may have 100 megapixels. A PNG and a TIFF are decoded some rows at a time; only an
// interlaced PNG is held whole, and of sixteen bits it may have 40 megapixels.
//
// For the look of a photograph on a plate, [Photograph.Blocks] and [Photograph.Planes] give the samples, in
// sixteen bits where the file has them, and [Photograph.Colours] what light they stand for, by the
// embedded profile. Nothing here reads a file, a clock or the network.
package picture

import (
	"bytes"
	"fmt"
	"io"
	"strings"
)

// Limits of what is taken. They are ours: a 200-megapixel frame is the largest a copy camera gives.
const (
	MostPixels            = 200_000_000
	MostProgressivePixels = 100_000_000
	LongestSide           = 30_000
)

// allowed closes the sentences about files that are none of the three formats.
const allowed = "a JPEG, PNG or TIFF of up to 200 megapixels is taken"

// Refusal says why a file is not taken as a photograph of a plate.
type Refusal struct {
	Name    string // the file, as it was called
	Found   string // what it is
	Allowed string // what is taken instead
}

func (r *Refusal) Error() string {
	return fmt.Sprintf("%s: %s; %s", r.Name, r.Found, r.Allowed)
}

// Format is the file format of a photograph.
type Format string

// The formats taken.
const (
	JPEG Format = "JPEG"
	PNG  Format = "PNG"
	TIFF Format = "TIFF"
)

// Particulars is what the head of a photograph says.
type Particulars struct {
	Format      Format
	Width       int // as stored, before the orientation is applied
	Height      int
	Bits        int    // per sample
	Channels    int    // as stored: 1 grey, 2 grey with alpha, 3 colour, 4 colour with alpha
	Orientation int    // 1 to 8 [Exif232]; 1 when the file says nothing
	Profile     string // description of the embedded ICC profile; empty when there is none
	Progressive bool
	Notes       []string // what was set aside while reading, in sentences
}

// Megapixels returns the number of pixels in millions.
func (p Particulars) Megapixels() float64 { return float64(p.Width) * float64(p.Height) / 1e6 }

// Photograph is an opened file whose head has been read and found acceptable.
type Photograph struct {
	name    string
	r       io.ReaderAt
	size    int64
	about   Particulars
	profile []byte
	// otherSpace is whether EXIF says that the colours are not sRGB.
	otherSpace bool
	unread     string // why a profile that is embedded was left out; empty when it was not
}

// Name returns the name the file was opened by.
func (p *Photograph) Name() string { return p.name }

// About returns what the head of the file says.
func (p *Photograph) About() Particulars { return p.about }

// Profile returns the embedded ICC profile, nil when there is none.
func (p *Photograph) Profile() []byte { return bytes.Clone(p.profile) }

// Open reads the head of a photograph of size bytes and refuses, by name, what cannot be taken.
// No pixel is decoded and memory stays within a few megabytes whatever the file claims.
func Open(r io.ReaderAt, size int64, name string) (*Photograph, error) {
	name = shown(name)
	p := &Photograph{name: name, r: r, size: size, about: Particulars{Orientation: 1}}
	if size <= 0 {
		return nil, &Refusal{name, "the file is empty", allowed}
	}
	head := make([]byte, min(size, 512))
	if _, err := r.ReadAt(head, 0); err != nil && err != io.EOF {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	var err error
	switch {
	case bytes.HasPrefix(head, []byte("\xff\xd8\xff")):
		p.about.Format = JPEG
		err = p.readJPEGHead()
	case bytes.HasPrefix(head, []byte("\x89PNG\r\n\x1a\n")):
		p.about.Format = PNG
		err = p.readPNGHead()
	case bytes.HasPrefix(head, []byte("II*\x00")), bytes.HasPrefix(head, []byte("MM\x00*")):
		p.about.Format = TIFF
		err = p.readTIFFHead()
	default:
		return nil, &Refusal{name, "this is " + whatItIs(head), allowed}
	}
	if err != nil {
		return nil, err
	}
	if err := p.checkSize(); err != nil {
		return nil, err
	}
	if p.otherSpace && p.profile == nil && p.unread == "" {
		p.leaveOut("is only told by EXIF as another space than sRGB (cameras that write Adobe RGB do so)")
	}
	return p, nil
}

// shown makes a name fit to stand in a sentence.
func shown(name string) string {
	name = strings.Map(func(c rune) rune {
		if c < ' ' || c == 0x7f {
			return -1
		}
		return c
	}, name)
	if i := strings.LastIndexAny(name, `/\`); i >= 0 {
		name = name[i+1:]
	}
	if r := []rune(name); len(r) > 80 {
		name = string(r[:77]) + "..."
	}
	if name == "" {
		return "photograph"
	}
	return name
}

// checkSize refuses absurd sizes, and files too short to hold what they claim.
func (p *Photograph) checkSize() error {
	a := p.about
	found := fmt.Sprintf("this %s is %d x %d px", a.Format, a.Width, a.Height)
	switch {
	case a.Width < 1 || a.Height < 1:
		return p.refuse("%s", found+", a side is nothing")
	case a.Width > LongestSide || a.Height > LongestSide:
		return &Refusal{p.name, found, fmt.Sprintf("a side may be %d px at most", LongestSide)}
	case int64(a.Width)*int64(a.Height) > MostPixels:
		return &Refusal{p.name, fmt.Sprintf("%s, %.0f megapixels", found, a.Megapixels()), "200 megapixels at most are taken"}
	case a.Progressive && int64(a.Width)*int64(a.Height) > MostProgressivePixels:
		return &Refusal{p.name, fmt.Sprintf("%s, %.0f megapixels, stored progressively", found, a.Megapixels()),
			"a progressive JPEG may have 100 megapixels; save it as a baseline JPEG"}
	case a.Bits != 8 && a.Bits != 16:
		return &Refusal{p.name, fmt.Sprintf("this %s keeps too few or too odd a number of tones (%d bits)", a.Format, a.Bits), "save it anew as an ordinary JPEG"}
	}
	// The least a file of this size can weigh. JPEG: one bit for each 8 x 8 block of luma. PNG and
	// TIFF: deflate yields at most 1032 bytes for one, LZW with its longest strings some 2600.
	least := int64(a.Width) * int64(a.Height) / 512
	if a.Format != JPEG {
		least = int64(a.Width) * int64(a.Height) * int64(a.Bits/8) * int64(a.Channels) / 3000
	}
	if p.size < least {
		return p.refuse("%s but the file is only %d bytes, too short to hold that: it is cut off or damaged", found, p.size)
	}
	return nil
}

func (p *Photograph) refuse(format string, args ...any) error {
	return &Refusal{p.name, fmt.Sprintf(format, args...), allowed}
}

// leaveOut notes that the embedded profile was left out, and why.
func (p *Photograph) leaveOut(why string) {
	p.unread = why
	p.note("the colour profile %s and was left out", why)
}

func (p *Photograph) note(format string, args ...any) {
	p.about.Notes = append(p.about.Notes, fmt.Sprintf(format, args...))
}

// section returns n bytes at off, refusing what lies outside the file.
func (p *Photograph) section(off, n int64) ([]byte, bool) {
	if off < 0 || n < 0 || off > p.size || n > p.size-off {
		return nil, false
	}
	b := make([]byte, n)
	if k, err := p.r.ReadAt(b, off); k < len(b) && err != nil {
		return nil, false
	}
	return b, true
}

// whatItIs names a file by its first bytes.
func whatItIs(head []byte) string {
	at := func(off int, s string) bool { return len(head) >= off+len(s) && string(head[off:off+len(s)]) == s }
	switch {
	case at(0, "GIF8"):
		return "a GIF"
	case at(0, "BM"):
		return "a BMP"
	case at(0, "RIFF") && at(8, "WEBP"):
		return "a WebP"
	case at(4, "ftypheic"), at(4, "ftypheix"), at(4, "ftypmif1"):
		return "a HEIF picture, as telephones write it"
	case at(4, "ftypavif"):
		return "an AVIF picture"
	case at(4, "ftyp"):
		return "a film or a picture in a film's container"
	case at(0, "%PDF"):
		return "a PDF"
	case at(0, "II+\x00"), at(0, "MM\x00+"):
		return "a BigTIFF"
	case at(0, "\x00\x00\x00\x0cjP"), at(0, "\xff\x4f\xff\x51"):
		return "a JPEG 2000 picture"
	case at(0, "\xff\x0a"), at(0, "\x00\x00\x00\x0cJXL"):
		return "a JPEG XL picture"
	case at(0, "8BPS"):
		return "a layered picture"
	case at(0, "PK\x03\x04"):
		return "a ZIP archive"
	case at(0, "II"), at(0, "MM"):
		return "a camera's raw file or a damaged TIFF"
	}
	for _, c := range head {
		if c == 0 || (c < ' ' && c != '\n' && c != '\r' && c != '\t') {
			return "no picture that is known here"
		}
	}
	return "text"
}
