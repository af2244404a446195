package picture

import (
	"encoding/binary"
	"fmt"
	"math"
	"strings"
)

// Colours turns the samples of a photograph into linear light: red, green and blue of sRGB's own
// primaries under D65 [IEC61966], 1 being the white that the profile connects to. A colour that lies outside
// sRGB has a negative share, or one above 1; both are kept. Colours is not changed once made.
type Colours struct {
	name   string
	curves [3][]float32 // of 65536 steps; one sample's light. Only the first of a grey profile
	matrix *[9]float32  // from the profile's light to linear sRGB; nil when it is the same
	table  *lut         // of a profile that keeps a table
	grey   bool
}

// ProfileError says why an embedded colour profile cannot be used.
type ProfileError struct {
	File    string // the photograph, empty when a profile alone was read
	Profile string // the profile's own description; empty when it could not be read
	Found   string // what is the matter
}

func (e *ProfileError) Error() string {
	s := fmt.Sprintf("the colour profile %q %s", e.Profile, e.Found)
	if e.Profile == "" {
		s = "the colour profile " + e.Found
	}
	if e.File != "" {
		s = e.File + ": " + s
	}
	return s + "; a grey or RGB profile with curves and colorants, or with a table, is read: save the picture as sRGB, or say that its colours are to be taken as sRGB"
}

// Name returns the profile's description, "sRGB" for sRGB taken for granted.
func (c *Colours) Name() string { return c.name }

// Colours returns how the photograph's samples become light: by its profile, or as sRGB when it
// carries none. A profile that is embedded and cannot be used is a [ProfileError].
func (p *Photograph) Colours() (*Colours, error) {
	switch {
	case p.unread != "":
		return nil, &ProfileError{p.name, "", p.unread}
	case p.profile == nil:
		return SRGB(), nil
	}
	c, err := ReadProfile(p.profile)
	if e, ok := err.(*ProfileError); ok {
		e.File = p.name
	}
	return c, err
}

// SRGB returns the colours of sRGB.
func SRGB() *Colours {
	t := tabulated(func(v float64) float64 { return sRGBLinear(v) })
	return &Colours{name: "sRGB", curves: [3][]float32{t, t, t}}
}

// Linear fills dst with the linear red, green and blue of samples, three figures a pixel. The samples
// are of 16 bits, one a pixel when channels is 1, three when it is 3. A photograph of one channel with an RGB profile is
// read as equal red, green and blue; one of three with a grey profile by its green.
func (c *Colours) Linear(dst []float32, samples []uint16, channels int) {
	n := len(samples) / channels
	dst = dst[:3*n]
	at := [3]int{0, 1, 2}
	if channels == 1 {
		at = [3]int{}
	}
	switch {
	case c.grey:
		g := at[1]
		for i := range n {
			v := c.curves[0][samples[channels*i+g]]
			dst[3*i], dst[3*i+1], dst[3*i+2] = v, v, v
		}
	case c.table != nil:
		for i := range n {
			s := samples[channels*i:]
			dst[3*i], dst[3*i+1], dst[3*i+2] = c.table.linear(s[at[0]], s[at[1]], s[at[2]])
		}
	case c.matrix == nil:
		r, g, b := c.curves[0], c.curves[1], c.curves[2]
		for i := range n {
			s := samples[channels*i:]
			dst[3*i], dst[3*i+1], dst[3*i+2] = r[s[at[0]]], g[s[at[1]]], b[s[at[2]]]
		}
	default:
		r, g, b := c.curves[0], c.curves[1], c.curves[2]
		m := *c.matrix
		for i := range n {
			s := samples[channels*i:]
			x, y, z := r[s[at[0]]], g[s[at[1]]], b[s[at[2]]]
			dst[3*i] = m[0]*x + m[1]*y + m[2]*z
			dst[3*i+1] = m[3]*x + m[4]*y + m[5]*z
			dst[3*i+2] = m[6]*x + m[7]*y + m[8]*z
		}
	}
}

// Curve returns the one curve that all of a pixel's samples go through, over all samples of 16 bits, when that is all
// there is to do: for a grey profile, and for sRGB. Otherwise it returns nil. It is for reading only.
func (c *Colours) Curve() []float32 {
	if c.matrix != nil || c.table != nil {
		return nil
	}
	return c.curves[0]
}

// tabulated returns a curve as a table over all samples of 16 bits.
func tabulated(f func(float64) float64) []float32 {
	t := make([]float32, 1<<16)
	for i := range t {
		t[i] = float32(f(float64(i) / 65535))
	}
	return t
}

// reader is a profile's bytes with its tags.
type reader struct {
	b    []byte
	name string
	tags map[string][]byte
}

func (r *reader) refuse(format string, args ...any) error {
	return &ProfileError{Profile: r.name, Found: fmt.Sprintf(format, args...)}
}

// ReadProfile reads an ICC profile of version 2 or 4 ([ICC2010] sections 7 to 10): a grey curve, three
// curves with colorants, or a table from the device (lut8, lut16, lutAToB). Where a profile has
// tables for several intents the colorimetric one is taken, else the first. Memory stays below
// 20 MB for a profile of 4 MB.
func ReadProfile(b []byte) (*Colours, error) {
	r := &reader{b: b, name: "unnamed", tags: map[string][]byte{}}
	if len(b) < 132 || string(b[36:40]) != "acsp" {
		return nil, r.refuse("has no head")
	}
	if len(b) > mostProfile {
		return nil, r.refuse("has %d bytes, more than 4 MB", len(b))
	}
	r.name = profileName(b)
	be := binary.BigEndian
	count := int64(be.Uint32(b[128:]))
	if count > 200 || 132+12*count > int64(len(b)) {
		return nil, r.refuse("claims %d tags, which it does not have", count)
	}
	for i := range count {
		e := b[132+12*i:]
		off, n := int64(be.Uint32(e[4:])), int64(be.Uint32(e[8:]))
		if off+n > int64(len(b)) {
			return nil, r.refuse("is damaged: its tag %q lies outside", printable(string(e[:4])))
		}
		r.tags[string(e[:4])] = b[off : off+n]
	}
	class, space, pcs := string(b[12:16]), string(b[16:20]), string(b[20:24])
	switch class {
	case "scnr", "mntr", "prtr", "spac":
	default:
		return nil, r.refuse("is of the class %q, which describes no picture", printable(class))
	}
	if pcs != "XYZ " && pcs != "Lab " {
		return nil, r.refuse("connects by %q, where XYZ or Lab is known", printable(pcs))
	}
	c := &Colours{name: r.name}
	var err error
	switch space {
	case "GRAY":
		c.grey = true
		err = r.greyCurve(c, pcs == "Lab ")
	case "RGB ":
		table := r.tags["A2B1"]
		if table == nil {
			table = r.tags["A2B0"]
		}
		if table != nil {
			c.table, err = r.lut(table, pcs == "Lab ")
		} else {
			err = r.colorants(c)
		}
	default:
		return nil, r.refuse("is for %q", strings.TrimSpace(printable(space)))
	}
	if err != nil {
		return nil, err
	}
	// A profile in order sends its lightest sample near white. What is far off is damaged.
	white := make([]float32, 3)
	c.Linear(white, []uint16{0xffff, 0xffff, 0xffff}, 3)
	if y := luminance(white); !(y > 0.2 && y < 2.5) {
		return nil, r.refuse("is damaged: its white has the luminance %.3g, where 0.2 to 2.5 is likely", y)
	}
	return c, nil
}

// luminance is Y of linear sRGB [IEC61966].
func luminance(c []float32) float64 {
	return 0.2126*float64(c[0]) + 0.7152*float64(c[1]) + 0.0722*float64(c[2])
}

// greyCurve reads the one curve of a grey profile: luminance, or lightness where the profile connects by Lab.
func (r *reader) greyCurve(c *Colours, lab bool) error {
	f, err := r.curveTag("kTRC")
	if err != nil {
		return err
	}
	c.curves[0] = tabulated(func(v float64) float64 {
		if v = f(v); lab {
			v = labInverse((100*v + 16) / 116)
		}
		return v
	})
	return nil
}

func (r *reader) colorants(c *Colours) error {
	var m [9]float64
	for i, tag := range []string{"rXYZ", "gXYZ", "bXYZ"} {
		t := r.tags[tag]
		if len(t) < 20 || string(t[:4]) != "XYZ " {
			return r.refuse("lacks its colorant %s", tag)
		}
		for j := range 3 {
			v := fixed(t[8+4*j:])
			if math.Abs(v) > 4 {
				return r.refuse("is damaged: its colorant %s has the figure %.4g", tag, v)
			}
			m[3*j+i] = v
		}
	}
	made := map[string][]float32{}
	for i, tag := range []string{"rTRC", "gTRC", "bTRC"} {
		key := string(r.tags[tag])
		if made[key] == nil {
			f, err := r.curveTag(tag)
			if err != nil {
				return err
			}
			made[key] = tabulated(f)
		}
		c.curves[i] = made[key]
	}
	to := product(inverse(sRGBColorants()), m)
	var out [9]float32
	for i, v := range to {
		out[i] = float32(v)
	}
	c.matrix = &out
	return nil
}

// The white that profiles connect to ([ICC2010] section 7.2.16).
var connection = [3]float64{0.9642, 1, 0.8249}

// sRGBWhite is D65 as [IEC61966] has it.
func sRGBWhite() [3]float64 { return [3]float64{0.3127 / 0.3290, 1, (1 - 0.3127 - 0.3290) / 0.3290} }

// sRGBColorants returns the columns red, green, blue of sRGB as a profile has them: the primaries and
// white of [IEC61966], brought to the connecting white by the Bradford transform ([ICC2010] annex E).
func sRGBColorants() [9]float64 {
	xy := [3][2]float64{{0.64, 0.33}, {0.30, 0.60}, {0.15, 0.06}}
	white := sRGBWhite()
	var p [9]float64
	for i, c := range xy {
		p[i], p[3+i], p[6+i] = c[0]/c[1], 1, (1-c[0]-c[1])/c[1]
	}
	s := times(inverse(p), white)
	for i := range 3 {
		for j := range 3 {
			p[3*j+i] *= s[i]
		}
	}
	return product(adaptation(), p)
}

// adaptation brings the white of sRGB to the connecting white.
func adaptation() [9]float64 {
	white := sRGBWhite()
	bradford := [9]float64{0.8951, 0.2664, -0.1614, -0.7502, 1.7135, 0.0367, 0.0389, -0.0685, 1.0296}
	from, to := times(bradford, white), times(bradford, connection)
	scale := [9]float64{0: to[0] / from[0], 4: to[1] / from[1], 8: to[2] / from[2]}
	return product(inverse(bradford), product(scale, bradford))
}

func times(m [9]float64, v [3]float64) (out [3]float64) {
	for i := range 3 {
		out[i] = m[3*i]*v[0] + m[3*i+1]*v[1] + m[3*i+2]*v[2]
	}
	return out
}

func product(a, b [9]float64) (out [9]float64) {
	for i := range 3 {
		for j := range 3 {
			for k := range 3 {
				out[3*i+j] += a[3*i+k] * b[3*k+j]
			}
		}
	}
	return out
}

// inverse returns the inverse of a matrix that is known to have one.
func inverse(m [9]float64) (out [9]float64) {
	minor := func(r, c int) float64 {
		a, b := (r+1)%3, (r+2)%3
		d, e := (c+1)%3, (c+2)%3
		return m[3*a+d]*m[3*b+e] - m[3*a+e]*m[3*b+d]
	}
	det := m[0]*minor(0, 0) + m[1]*minor(0, 1) + m[2]*minor(0, 2)
	for i := range 3 {
		for j := range 3 {
			out[3*j+i] = minor(i, j) / det
		}
	}
	return out
}

// fixed reads an s15Fixed16Number ([ICC2010] section 4.6).
func fixed(b []byte) float64 { return float64(int32(binary.BigEndian.Uint32(b))) / 65536 }

func (r *reader) curveTag(tag string) (func(float64) float64, error) {
	t := r.tags[tag]
	if t == nil {
		return nil, r.refuse("lacks its curve %s", tag)
	}
	f, _, err := r.curve(t)
	return f, err
}

// curve reads a curveType or a parametricCurveType ([ICC2010] sections 10.5 and 10.15) and says how
// many bytes it takes. Curves run from 0 to 1 and are held there.
func (r *reader) curve(t []byte) (f func(float64) float64, n int, err error) {
	be := binary.BigEndian
	if len(t) < 12 {
		return nil, 0, r.refuse("is damaged: a curve is cut off")
	}
	switch string(t[:4]) {
	case "curv":
		count := int64(be.Uint32(t[8:]))
		if count > 1<<17 || 12+2*count > int64(len(t)) {
			return nil, 0, r.refuse("is damaged: a curve claims %d points", count)
		}
		n = 12 + 2*int(count)
		switch count {
		case 0:
			return held, n, nil
		case 1:
			g := float64(be.Uint16(t[12:])) / 256
			return func(v float64) float64 { return held(math.Pow(held(v), g)) }, n, nil
		}
		points := make([]float64, count)
		for i := range points {
			points[i] = float64(be.Uint16(t[12+2*i:])) / 65535
		}
		return along(points), n, nil
	case "para":
		kind := int(be.Uint16(t[8:]))
		counts := [...]int{1, 3, 4, 5, 7}
		if kind >= len(counts) || len(t) < 12+4*counts[min(kind, 4)] {
			return nil, 0, r.refuse("has a curve by a formula that is unknown or cut off (%d)", kind)
		}
		var p [7]float64 // g a b c d e f
		for i := range counts[kind] {
			p[i] = fixed(t[12+4*i:])
		}
		return formula(kind, p), 12 + 4*counts[kind], nil
	}
	return nil, 0, r.refuse("has a curve of the kind %q", printable(string(t[:4])))
}

// formula is a parametric curve ([ICC2010] table 65).
func formula(kind int, p [7]float64) func(float64) float64 {
	g, a, b, c, d, e, f := p[0], p[1], p[2], p[3], p[4], p[5], p[6]
	low := func(float64) float64 { return 0 }
	switch kind {
	case 0:
		a, d = 1, 0
	case 1, 2: // with c = 0 in the first; here d is where the base is nothing
		d, e = 0, c
		if a != 0 {
			d = -b / a
		}
		low = func(float64) float64 { return c }
	case 3:
		low = func(v float64) float64 { return c * v }
	case 4:
		low = func(v float64) float64 { return c*v + f }
	}
	return func(v float64) float64 {
		if v = held(v); v < d {
			return held(low(v))
		}
		return held(math.Pow(max(0, a*v+b), g) + e)
	}
}

// held keeps a figure between 0 and 1, where curves are defined; what is no number becomes 0.
func held(v float64) float64 {
	if !(v > 0) {
		return 0
	}
	return min(v, 1)
}

// along returns the curve through evenly spaced points.
func along(points []float64) func(float64) float64 {
	last := float64(len(points) - 1)
	return func(v float64) float64 {
		x := held(v) * last
		i := min(int(x), len(points)-2)
		return points[i] + (x-float64(i))*(points[i+1]-points[i])
	}
}
