package study

import "math"

// surface is how a place reflects the light the plate sees.
type surface struct {
	albedo float64
	gloss  float64 // strength of the highlight
	tight  bool    // whether it is small, as on skin and hair, or wide, as on cloth
	facing vec
	hair   bool
	spark  float64 // the window mirrored in the eye
}

// skinAt returns the surface of the head: skin, lips, eyes, brows, hair.
func (s *sitter) skinAt(m, facing vec) surface {
	angle, y, x := math.Atan2(m.x, m.z), m.y/mix(1, s.long, 0.6), m.x
	out := surface{facing: facing, gloss: 0.05, tight: true}
	ax := math.Abs(x)
	skin := s.skin * (1 + 0.12*clouds(x*0.06, y*0.06+3*angle, s.seed+70) + 0.07*noise(x*0.7, y*0.7, s.seed+71))
	frontal := m.z > 20
	if frontal && y < 30 && y > -110 {
		skin *= 1 - 0.10*bell(ax-42, 14)*bell(y+24, 12) - 0.06*bell(x, 12)*bell(y+36, 10) // what is red is dark
		skin *= 1 - 0.16*bell(ax-31, 15)*bell(y-1, 9)
		if s.freckles > 0 && ax < 62 {
			f := step(0.42, 0.75, noise(x*0.55, y*0.55, s.seed+72)) * bell(y+18, 26)
			skin *= 1 - 0.5*s.freckles*f
		}
	}
	out.albedo = skin
	if frontal {
		out.albedo *= 1 - 0.85*bell(ax-6.5, 2.7)*bell(y+46.8, 1.9)
		s.lips(&out, x, ax, y)
		s.eye(&out, x, ax, y)
		// brows
		arch := 19.5 + 4.5*bell(ax-38, 14) - 0.1*(ax-30)*step(30, 60, ax)
		b := step(11, 17, ax) * step(56, 42, ax) * bell(y-arch, mix(4.2, 2.2, step(20, 50, ax))*mix(0.75, 1.15, step(0.5, 1.3, s.brow)))
		b *= 0.72 + 0.28*noise(x*1.1+y*0.7, y*0.5, s.seed+73)
		out.albedo = mix(out.albedo, min(0.035+0.5*s.hairShade, 0.7*out.albedo), min(1, 1.15*b))
	}
	share, _ := s.hairAt(angle, y, x)
	if share > 0 {
		fine := 0.5
		if y < -45 && frontal { // a beard is finer and curls
			fine = 1.4
		}
		strand := s.strands(angle, y, fine)
		if fine > 1 {
			strand = 0.35*strand + 0.45*noise(x*0.55+y*0.2, y*0.22-0.3*ax, s.seed+82)
		}
		h := s.hairSurface(facing, strand)
		out.albedo = mix(out.albedo, h.albedo, share)
		out.gloss = mix(out.gloss, h.gloss, share)
		if share > 0.5 {
			out.facing, out.hair = h.facing, true
		}
	}
	return out
}

func (s *sitter) lips(out *surface, x, ax, y float64) {
	if ax > 30 || y > -52 || y < -88 {
		return
	}
	open := -68.5 + 0.0016*ax*ax
	upper := open + (7.2-1.8*bell(x, 3))*math.Sqrt(max(0, 1-ax*ax/640))
	lower := open - 9.4*math.Sqrt(max(0, 1-ax*ax/470))
	in := step(lower-1, lower+1.6, y) * step(upper+1, upper-1, y)
	out.albedo *= 1 - 0.42*in
	out.gloss += 0.05 * in
	out.albedo *= 1 - 0.75*bell(y-open, 0.8)*step(27, 22, ax)
}

// eye paints the opening between the lids.
func (s *sitter) eye(out *surface, x, ax, y float64) {
	const half = 15.0
	u, v := ax-31.5, y-0.06*(ax-31.5)
	if math.Abs(u) > 22 || math.Abs(v) > 16 {
		return
	}
	side := math.Copysign(1, x)
	t := max(0, 1-(u/half)*(u/half))
	upper := (5.5-1.3*s.age)*math.Pow(t, 0.75) + 0.2
	lower := -4.1*math.Pow(t, 0.9) - 0.2
	in := step(upper+0.35, upper-0.35, v) * step(lower-0.35, lower+0.35, v) * step(half+0.3, half-0.5, math.Abs(u))
	// crease over the lid, its shadow, lashes
	out.albedo *= 1 - 0.42*bell(v-upper-4.2+0.5*s.age, 1.0)*step(18, 12, math.Abs(u))
	out.albedo *= 1 - 0.90*bell(v-upper-0.2, 1.25)*step(17, 13, math.Abs(u))
	out.albedo *= 1 - 0.5*bell(v-lower+0.3, 0.8)*step(16, 11, math.Abs(u))
	if in == 0 {
		return
	}
	gx := 11 * math.Sin(s.gaze) * side // in the direction of u
	iu, iv := u-gx, v-0.9
	r := math.Hypot(iu, iv)
	white := 0.30 * (1 - 0.45*step(8, 15, math.Abs(u)))
	white *= 1 - 0.6*step(upper-3.2, upper, v)
	ring := s.iris * (0.8 + 0.3*noise(iu*0.9, iv*0.9, s.seed+74))
	ring = mix(ring, 0.02, step(4.4, 5.9, r))
	ring *= 1 - 0.5*step(upper-3.2, upper, v)
	ball := mix(white, ring, step(6.5, 5.8, r))
	ball = mix(ball, 0.008, step(3.2, 2.6, r))
	out.albedo = mix(out.albedo, ball, in)
	out.gloss = mix(out.gloss, 0.04, in)
	out.spark = in * r
}

// hairSurface is hair; strand is the noise of its strands, about -1 to 1.
func (s *sitter) hairSurface(facing vec, strand float64) surface {
	h := surface{albedo: s.hairShade * (1 + 0.55*strand), gloss: (0.045 + 0.6*s.hairShade) * (1 + 0.9*strand), tight: true, hair: true}
	h.facing = facing.add(vec{0.22 * strand, 0.06 * strand, 0}).normal()
	return h
}

func (s *sitter) surfaceAt(of stuff, m, facing vec) surface {
	switch of {
	case headStuff:
		return s.skinAt(m, facing)
	case hairStuff:
		return s.hairSurface(facing, noise(math.Atan2(m.x, m.y-40)*20, math.Hypot(m.x, m.y)*0.02, s.seed+83))
	case linenStuff:
		lace := 1.0
		if s.dress == gown {
			lace = 0.72 + 0.28*step(-0.25, 0.3, noise(m.x*0.55, m.y*0.55, s.seed+90)+0.4*noise(m.x*1.3, m.y*1.3, s.seed+91))
		}
		return surface{albedo: 0.62 * lace, gloss: 0.02, facing: facing}
	case silkStuff:
		k := 0.05
		switch s.dress {
		case smock:
			k = 0.12 * (1 + 0.12*noise(m.x*0.5, m.y*0.02, s.seed+95))
		case shawl:
			k = 0.13 * (1 + 0.5*step(0.1, 0.3, math.Sin(m.x*0.16+0.5*noise(m.x*0.02, m.y*0.02, s.seed+92))*math.Sin(m.y*0.16)))
		}
		return surface{albedo: k * (1 + 0.1*noise(m.x, m.y*0.3, s.seed+93)), gloss: 0.09, facing: facing}
	}
	// coat and gown: dark wool, with shirt and buttons at the front
	c := surface{albedo: 0.045 * (1 + 0.25*noise(m.x*1.2, m.y*1.2, s.seed+94)), gloss: 0.012, facing: facing}
	if s.dress == coat && m.z > 0 {
		if open := s.opening(m.y); math.Abs(m.x) < open {
			in := step(open, open-2, math.Abs(m.x))
			waistcoat := step(-205, -212, m.y+0.35*math.Abs(m.x))
			shirt := mix(0.55*(1-0.12*bell(math.Mod(math.Abs(m.x)+100, 9)-4.5, 0.8)), 0.075, waistcoat)
			c.albedo = mix(c.albedo, shirt, in)
		}
	}
	if s.dress == gown && m.z > 0 {
		c.gloss = 0.05
		b := math.Mod(m.y+1000, 30) - 15
		if r := math.Hypot(m.x, b); r < 5 {
			c.albedo, c.gloss = 0.09, 0.25
		}
	}
	return c
}

// light is how the room is lit.
type light struct {
	key, fill vec // directions toward them
	keyPower  float64
	fillPower float64
	sky       float64
}

// lamp is what shading needs besides the pixel.
type lamp struct {
	light
	v         *seen
	s         *sitter
	shadow    *shade
	hollow    []float32
	around    [9]point
	key, fill vec
	half      vec // between the window and the lens
	strand    vec // along falling hair
	spark     vec // the window's place on the eye
}

// lightPixels returns the light from each pixel of the figure, 0 where there is none. Where the lens
// will blur by radius anyway, four pixels share one reckoning.
func lightPixels(v *seen, s *sitter, l light, shadow *shade, hollow, radius []float32) []float32 {
	out := make([]float32, len(v.of))
	a := lamp{light: l, v: v, s: s, shadow: shadow, hollow: hollow, around: taps(), key: l.key.normal(), fill: l.fill.normal()}
	a.half = a.key.add(vec{0, 0, 1}).normal()
	a.strand = vec{0, 1, 0}.turned(s.head)
	a.spark = a.key.scaled(4.2).unturned(s.head)
	w, h := v.width, v.height
	for y := 0; y < h; y += 2 {
		for x := 0; x < w; x += 2 {
			i := y*w + x
			if x+1 < w && y+1 < h {
				of := v.of[i]
				if of == v.of[i+1] && of == v.of[i+w] && of == v.of[i+w+1] {
					if of == nothing {
						continue
					}
					lit := a.lit(i)
					if radius[i] > 1.9 {
						c := float32(a.at(i, lit))
						out[i], out[i+1], out[i+w], out[i+w+1] = c, c, c, c
						continue
					}
					for _, k := range [4]int{i, i + 1, i + w, i + w + 1} {
						out[k] = float32(a.at(k, lit))
					}
					continue
				}
			}
			for k := y; k < min(y+2, h); k++ {
				for j := x; j < min(x+2, w); j++ {
					if v.of[k*w+j] != nothing {
						out[k*w+j] = float32(a.at(k*w+j, a.lit(k*w+j)))
					}
				}
			}
		}
	}
	return out
}

func (a *lamp) facing(i int) vec {
	f := a.v.facing[i]
	return vec{float64(f[0]), float64(f[1]), float64(f[2])}.normal()
}

// lit is the share of the window that the pixel's place sees.
func (a *lamp) lit(i int) float64 {
	return a.shadow.lit(a.v.place(i).add(a.facing(i).scaled(3)), &a.around)
}

// at returns the light that leaves the pixel's place toward the lens.
func (a *lamp) at(i int, lit float64) float64 {
	m := a.v.made[i]
	made := vec{float64(m[0]), float64(m[1]), float64(m[2])}
	c := a.s.surfaceAt(a.v.of[i], made, a.facing(i))
	n := c.facing
	open := 1 - float64(a.hollow[i])
	direct := max(0, (n.dot(a.key)+0.28)/1.28)
	direct *= direct * (1.15 - 0.15*direct)
	e := a.keyPower*direct*lit + a.fillPower*(0.5+0.5*n.dot(a.fill))*open + a.sky*(0.6+0.4*n.y)*open
	e *= 0.35 + 0.65*open
	x := e * c.albedo
	if c.gloss > 0 {
		g := 0.0
		if c.hair {
			t := a.strand.sub(n.scaled(a.strand.dot(n))).normal()
			th := t.dot(a.half)
			th = max(0, 1-th*th)
			th *= th * th
			g = th * th * th * max(0, n.dot(a.key)+0.2)
		} else {
			g = max(0, n.dot(a.half))
			g *= g
			g *= g
			g *= g
			if c.tight {
				g *= g
			}
		}
		x += a.keyPower * c.gloss * g * (0.3 + 0.7*lit) * (0.4 + 0.6*open)
	}
	if c.spark > 0 {
		side := math.Copysign(1, made.x)
		du, dv := made.x-side*31.5-11*math.Sin(a.s.gaze)-a.spark.x, made.y-0.9-max(1.2, a.spark.y)
		x += 0.9 * step(1.35, 0.75, math.Hypot(du, dv*0.85))
	}
	return x
}

// place returns where in the room a pixel's surface lies.
func (v *seen) place(i int) vec {
	z := float64(v.depth[i])
	k := v.scale * v.distance / (v.distance - z)
	x, y := float64(i%v.width)+0.5, float64(i/v.width)+0.5
	return vec{(x-float64(v.width)/2)/k + v.centre.x, (float64(v.height)/2-y)/k + v.centre.y, z}
}
