package picture

import (
	"encoding/binary"
)

// lut is a profile's table from the device to the connecting space ([ICC2010] sections 10.8 to 10.10):
// curves, a grid of colours, curves, a matrix, curves. Absent parts are nil.
type lut struct {
	in, middle, out [3][]float32 // curves over 16 bits
	grid            [3]int
	nodes           []float32 // three figures a node, the last channel running fastest
	matrix          *[12]float32
	lab             bool
	scale           float32    // of a connecting XYZ
	light, chroma   float32    // of a connecting Lab: what 1 stands for
	toSRGB          [9]float32 // from the connecting XYZ
}

// lut reads a table from device to connecting space.
func (r *reader) lut(t []byte, lab bool) (*lut, error) {
	be := binary.BigEndian
	if len(t) < 32 {
		return nil, r.refuse("is damaged: its table is cut off")
	}
	kind := string(t[:4])
	if t[8] != 3 || t[9] != 3 {
		return nil, r.refuse("has a table of %d channels to %d, where 3 to 3 is read", t[8], t[9])
	}
	l := &lut{lab: lab, scale: 65535.0 / 32768, light: 100, chroma: 255}
	for i, v := range inverse(sRGBColorants()) {
		l.toSRGB[i] = float32(v)
	}
	var err error
	switch kind {
	case "mft1", "mft2":
		g, in, out, at, width := int(t[10]), 256, 256, 48, 1
		if kind == "mft2" {
			if len(t) < 52 {
				return nil, r.refuse("is damaged: its table is cut off")
			}
			in, out, at, width = int(be.Uint16(t[48:])), int(be.Uint16(t[50:])), 52, 2
			if lab { // 16 bits of Lab as version 2 has them, white at 0xff00 ([ICC2010] section 10.8)
				l.light, l.chroma = 100*65535.0/65280, 255*65535.0/65280
			}
		}
		if in < 2 || out < 2 || in > 4096 || out > 4096 || g < 2 {
			return nil, r.refuse("is damaged: its table has %d, %d and %d steps", in, g, out)
		}
		if len(t) < at+width*3*(in+g*g*g+out) {
			return nil, r.refuse("is damaged: its table is cut off")
		}
		read := func(n int) []float32 {
			v := samples(t[at:], n, width)
			at += n * width
			return v
		}
		for i := range 3 {
			l.in[i] = spread(read(in))
		}
		l.grid = [3]int{g, g, g}
		l.nodes = read(3 * g * g * g)
		for i := range 3 {
			l.out[i] = spread(read(out))
		}
	case "mAB ":
		err = r.lutAB(l, t)
	default:
		return nil, r.refuse("has a table of the kind %q", printable(kind))
	}
	return l, err
}

// lutAB reads a lutAToBType ([ICC2010] section 10.10).
func (r *reader) lutAB(l *lut, t []byte) error {
	be := binary.BigEndian
	part := func(at int) ([]byte, bool, error) {
		off := int64(be.Uint32(t[at:]))
		if off == 0 {
			return nil, false, nil
		}
		if off < 32 || off >= int64(len(t)) {
			return nil, false, r.refuse("is damaged: a part of its table lies outside")
		}
		return t[off:], true, nil
	}
	for _, c := range []struct {
		at   int
		into *[3][]float32
	}{{12, &l.out}, {20, &l.middle}, {28, &l.in}} {
		b, there, err := part(c.at)
		if err != nil {
			return err
		}
		for i := 0; there && i < 3; i++ {
			f, n, err := r.curve(b)
			if err != nil {
				return err
			}
			c.into[i] = tabulated(f)
			if n = (n + 3) / 4 * 4; n < len(b) {
				b = b[n:]
			} else {
				b = nil
			}
		}
	}
	b, there, err := part(16)
	if err != nil {
		return err
	}
	if there {
		if len(b) < 48 {
			return r.refuse("is damaged: the matrix of its table is cut off")
		}
		l.matrix = new([12]float32)
		for i := range l.matrix {
			l.matrix[i] = float32(fixed(b[4*i:]))
		}
	}
	if b, there, err = part(24); err != nil || !there {
		return err
	}
	if len(b) < 20 {
		return r.refuse("is damaged: the grid of its table is cut off")
	}
	n, width := 3, int(b[16])
	for i := range l.grid {
		l.grid[i] = int(b[i])
		if l.grid[i] < 2 {
			return r.refuse("is damaged: the grid of its table has %d steps", l.grid[i])
		}
		n *= l.grid[i]
	}
	if width != 1 && width != 2 || len(b) < 20+n*width {
		return r.refuse("is damaged: the grid of its table is cut off")
	}
	l.nodes = samples(b[20:], n, width)
	return nil
}

// samples reads n figures of one or two bytes as 0 to 1.
func samples(b []byte, n, width int) []float32 {
	out := make([]float32, n)
	for i := range out {
		if width == 1 {
			out[i] = float32(b[i]) / 255
		} else {
			out[i] = float32(binary.BigEndian.Uint16(b[2*i:])) / 65535
		}
	}
	return out
}

// spread lays the curve through points out over all samples of 16 bits.
func spread(points []float32) []float32 {
	wide := make([]float64, len(points))
	for i, v := range points {
		wide[i] = float64(v)
	}
	return tabulated(along(wide))
}

func through(curves *[3][]float32, v *[3]float32) {
	if curves[0] == nil {
		return
	}
	for i, c := range curves {
		x := max(0, min(1, v[i])) * 65535
		k := min(int(x), 65534)
		v[i] = c[k] + (x-float32(k))*(c[k+1]-c[k])
	}
}

// linear returns the linear sRGB of one pixel.
func (l *lut) linear(r, g, b uint16) (float32, float32, float32) {
	v := [3]float32{float32(r) / 65535, float32(g) / 65535, float32(b) / 65535}
	through(&l.in, &v)
	if l.nodes != nil {
		v = l.between(v)
	}
	through(&l.middle, &v)
	if m := l.matrix; m != nil {
		v = [3]float32{
			m[0]*v[0] + m[1]*v[1] + m[2]*v[2] + m[9],
			m[3]*v[0] + m[4]*v[1] + m[5]*v[2] + m[10],
			m[6]*v[0] + m[7]*v[1] + m[8]*v[2] + m[11],
		}
	}
	through(&l.out, &v)
	if l.lab {
		fy := (l.light*v[0] + 16) / 116
		fx, fz := fy+(l.chroma*v[1]-128)/500, fy-(l.chroma*v[2]-128)/200
		v = [3]float32{float32(connection[0]) * labInverse(fx), labInverse(fy), float32(connection[2]) * labInverse(fz)}
	} else {
		for i := range v {
			v[i] *= l.scale
		}
	}
	m := &l.toSRGB
	return m[0]*v[0] + m[1]*v[1] + m[2]*v[2], m[3]*v[0] + m[4]*v[1] + m[5]*v[2], m[6]*v[0] + m[7]*v[1] + m[8]*v[2]
}

// labInverse undoes the cube root of CIE Lab ([ICC2010] annex A; CIE 15).
func labInverse[F float32 | float64](t F) F {
	if t > 6.0/29 {
		return t * t * t
	}
	return (t - 4.0/29) * 3 * 6 * 6 / 29 / 29
}

// between interpolates in the grid by the tetrahedron that holds the colour: from the cell's lowest corner along
// the channel that is farthest through the cell, then the next, then the last.
func (l *lut) between(v [3]float32) [3]float32 {
	step := [3]int{3 * l.grid[1] * l.grid[2], 3 * l.grid[2], 3}
	at := 0
	var part [3]float32
	for i := range 3 {
		x := max(0, min(1, v[i])) * float32(l.grid[i]-1)
		k := min(int(x), l.grid[i]-2)
		part[i] = x - float32(k)
		at += k * step[i]
	}
	order := [3]int{0, 1, 2}
	if part[order[0]] < part[order[1]] {
		order[0], order[1] = order[1], order[0]
	}
	if part[order[1]] < part[order[2]] {
		order[1], order[2] = order[2], order[1]
	}
	if part[order[0]] < part[order[1]] {
		order[0], order[1] = order[1], order[0]
	}
	low := l.nodes[at : at+3]
	out := [3]float32{low[0], low[1], low[2]}
	for _, i := range order {
		at += step[i]
		next := l.nodes[at : at+3]
		for j := range out {
			out[j] += part[i] * (next[j] - low[j])
		}
		low = next
	}
	return out
}
