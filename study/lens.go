package study

import "math"

// boxBlur replaces a picture by the mean over squares of side 2r+1, twice, which comes near a soft
// disc. Edges are repeated. r is in pixels and may have a fraction.
func boxBlur(src []float32, w, h int, r float64) []float32 {
	out := make([]float32, len(src))
	tmp := make([]float32, len(src))
	copy(out, src)
	if r <= 0 {
		return out
	}
	for range 2 {
		blurRows(tmp, out, w, h, r)
		blurColumns(out, tmp, w, h, r)
	}
	return out
}

func blurRows(dst, src []float32, w, h int, r float64) {
	n := int(r)
	part := float32(r - float64(n))
	inv := 1 / (2*float32(r) + 1)
	for y := range h {
		row, to := src[y*w:y*w+w], dst[y*w:y*w+w]
		at := func(x int) float32 { return row[max(0, min(w-1, x))] }
		sum := float32(0)
		for x := -n; x <= n; x++ {
			sum += at(x)
		}
		for x := range w {
			if x-n-1 >= 0 && x+n+1 < w {
				to[x] = (sum + part*(row[x-n-1]+row[x+n+1])) * inv
				sum += row[x+n+1] - row[x-n]
			} else {
				to[x] = (sum + part*(at(x-n-1)+at(x+n+1))) * inv
				sum += at(x+n+1) - at(x-n)
			}
		}
	}
}

func blurColumns(dst, src []float32, w, h int, r float64) {
	n := int(r)
	part := float32(r - float64(n))
	inv := 1 / (2*float32(r) + 1)
	row := func(y int) []float32 { y = max(0, min(h-1, y)); return src[y*w : y*w+w] }
	sum := make([]float32, w)
	for y := -n; y <= n; y++ {
		for x, v := range row(y) {
			sum[x] += v
		}
	}
	for y := range h {
		to := dst[y*w : y*w+w]
		before, after, leaves := row(y-n-1), row(y+n+1), row(y-n)
		for x := range to {
			to[x] = (sum[x] + part*(before[x]+after[x])) * inv
			sum[x] += after[x] - leaves[x]
		}
	}
}

// shrunk halves a picture by means of four; the last odd row or column is left out.
func shrunk(src []float32, w, h int) ([]float32, int, int) {
	w2, h2 := w/2, h/2
	out := make([]float32, w2*h2)
	for y := range h2 {
		a, b := src[2*y*w:], src[(2*y+1)*w:]
		for x := range w2 {
			out[y*w2+x] = (a[2*x] + a[2*x+1] + b[2*x] + b[2*x+1]) / 4
		}
	}
	return out, w2, h2
}

// level is a picture blurred to a known radius, kept small where the blur is large.
type level struct {
	pix    []float32
	w, h   int
	shrink int     // 1, 2, 4, 8
	radius float64 // in pixels of the whole picture
}

// at returns the level at a pixel of the whole picture, between its own four nearest.
func (l *level) at(x, y int) float32 {
	if l.shrink == 1 {
		return l.pix[y*l.w+x]
	}
	k := 1 / float32(l.shrink)
	fx, fy := (float32(x)+0.5)*k-0.5, (float32(y)+0.5)*k-0.5
	fx, fy = max(0, min(float32(l.w)-1.001, fx)), max(0, min(float32(l.h)-1.001, fy))
	ix, iy := int(fx), int(fy)
	u, v := fx-float32(ix), fy-float32(iy)
	p := l.pix[iy*l.w+ix:]
	return (p[0]*(1-u)+p[1]*u)*(1-v) + (p[l.w]*(1-u)+p[l.w+1]*u)*v
}

// levels blurs a picture to growing radii: the sharp one, then each twice the last.
func levels(src []float32, w, h int) []level {
	out := []level{{src, w, h, 1, 0}, {boxBlur(src, w, h, 1.5), w, h, 1, 1.5}}
	small, sw, sh, shrink := src, w, h, 1
	for _, r := range []float64{3.5, 7.5, 15, 30} {
		if sw > 16 && sh > 16 {
			small, sw, sh = shrunk(small, sw, sh)
			shrink *= 2
		}
		out = append(out, level{boxBlur(small, sw, sh, r/float64(shrink)), sw, sh, shrink, r})
	}
	return out
}

// throughLens lays the blurred figure over the background. light is the figure's, cover where it is,
// radius the wanted blur of each of its pixels in pixels.
func throughLens(light, cover, radius, behind []float32, w, h int) []float32 {
	// The blur of a pixel beside the figure is that of the figure near it.
	near := make([]float32, len(radius))
	for i := range near {
		near[i] = radius[i] * cover[i]
	}
	small, sw, sh := shrunk(near, w, h)
	smallCover, _, _ := shrunk(cover, w, h)
	wide := level{boxBlur(small, sw, sh, 6), sw, sh, 2, 0}
	wideCover := level{boxBlur(smallCover, sw, sh, 6), sw, sh, 2, 0}
	ls, cs := levels(light, w, h), levels(cover, w, h)
	// blend returns light and cover at a pixel blurred to a radius.
	blend := func(x, y int, r float64, inside bool) (v, a float32) {
		k := 0
		for k < len(ls)-2 && ls[k+1].radius < r {
			k++
		}
		t := float32(max(0, min(1, (r-ls[k].radius)/(ls[k+1].radius-ls[k].radius))))
		v = ls[k].at(x, y)*(1-t) + ls[k+1].at(x, y)*t
		if inside && r < 9 {
			return v, 1
		}
		return v, min(1, cs[k].at(x, y)*(1-t)+cs[k+1].at(x, y)*t)
	}
	wanted := func(i int, wide float64) float64 {
		if cover[i] > 0 { // inside, its own blur counts, so that the eye stays sharp beside the cheek
			return 0.35*wide + 0.65*float64(radius[i])
		}
		return wide
	}
	out := make([]float32, len(light))
	copy(out, behind)
	for y := 0; y < h; y += 2 {
		for x := 0; x < w; x += 2 {
			c := wideCover.at(x, y)
			if c < 1e-4 {
				continue
			}
			r := float64(wide.at(x, y) / c)
			whole := x+1 < w && y+1 < h
			if whole && r > 5 && wanted(y*w+x, r) > 5 { // so soft that four pixels are alike
				v, a := blend(x, y, wanted(y*w+x, r), c > 0.9999)
				for _, i := range [4]int{y*w + x, y*w + x + 1, (y+1)*w + x, (y+1)*w + x + 1} {
					out[i] = v + behind[i]*(1-a)
				}
				continue
			}
			for k := y; k < min(y+2, h); k++ {
				for j := x; j < min(x+2, w); j++ {
					i := k*w + j
					v, a := blend(j, k, wanted(i, r), c > 0.9999)
					out[i] = v + behind[i]*(1-a)
				}
			}
		}
	}
	return out
}

// hollows returns how shut in each pixel of the figure is, 0 open to 1: its depth below the mean of
// its surroundings, near and wide.
func hollows(v *seen, perMM float64) []float32 {
	w, h := v.width, v.height
	depth, cover := make([]float32, w*h), make([]float32, w*h)
	for i, of := range v.of {
		if of != nothing {
			depth[i], cover[i] = v.depth[i]+500, 1
		}
	}
	d2, sw, sh := shrunk(depth, w, h)
	c2, _, _ := shrunk(cover, w, h)
	d4, sw4, sh4 := shrunk(d2, sw, sh)
	c4, _, _ := shrunk(c2, sw, sh)
	out := make([]float32, w*h)
	for _, r := range []struct{ mm, slack, full float64 }{{5, 0.8, 9}, {18, 3, 34}} {
		px := max(0.5, r.mm*perMM/4)
		bd := level{boxBlur(d4, sw4, sh4, px), sw4, sh4, 4, 0}
		bc := level{boxBlur(c4, sw4, sh4, px), sw4, sh4, 4, 0}
		for y := 0; y < h; y += 2 {
			for x := 0; x < w; x += 2 {
				c := bc.at(x, y)
				if c < 0.02 {
					continue
				}
				mean := bd.at(x, y) / c
				for k := y; k < min(y+2, h); k++ {
					for j := x; j < min(x+2, w); j++ {
						if i := k*w + j; cover[i] > 0 {
							shut := step(r.slack, r.full, float64(mean-depth[i])) * 0.75
							out[i] = float32(1 - (1-float64(out[i]))*(1-shut))
						}
					}
				}
			}
		}
	}
	return out
}

// backdrop is a painted cloth far behind, its clouds drawn round the middle by the lens.
func backdrop(w, h int, perMM float64, seed uint64, lightFrom float64) []float32 {
	const cell = 4
	gw, gh := w/cell+2, h/cell+2
	grid := make([]float32, gw*gh)
	for j := range gh {
		for i := range gw {
			x, y := (float64(i*cell)-float64(w)/2)/perMM, (float64(j*cell)-float64(h)*0.45)/perMM
			r, a := math.Hypot(x, y), math.Atan2(y, x)
			swirl := clouds(a*3+0.004*r, r*0.016, seed+100)*step(80, 260, r) + clouds(x*0.008, y*0.008, seed+101)
			v := 0.03 * math.Exp(0.42*swirl) * (1 + 0.55*bell(r-40, 190)) * (1 - lightFrom*x/700)
			grid[j*gw+i] = float32(v)
		}
	}
	out := make([]float32, w*h)
	for y := range h {
		for x := range w {
			ix, iy := x/cell, y/cell
			u, v := float32(x%cell)/cell, float32(y%cell)/cell
			p := grid[iy*gw+ix:]
			out[y*w+x] = (p[0]*(1-u)+p[1]*u)*(1-v) + (p[gw]*(1-u)+p[gw+1]*u)*v
		}
	}
	return out
}
