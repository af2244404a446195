package sky

import (
	"math"

	"platewright/light"
	"platewright/measure"
)

// Window is an upright rectangular opening in a wall, with the sky and the ground before it.
//
// The sky's brightness is summed over what the sitter's face sees of it through the opening, direction by direction;
// the ground before it is evenly bright. What hides part of the sky, buildings or trees, is taken as spread over the
// whole opening and a fifth as bright as the sky it hides [SplitFlux1966]; it is not asked whether it hides the sun. The
// room's own walls are left out: in a light room they add to the shadow side.
type Window struct {
	Facing   measure.Angle  // azimuth it looks out to
	Width    measure.Length // of the glass, without its bars
	Height   measure.Length
	Sill     measure.Length // the glass's lower edge above the sitter's face; negative below it
	SkyShare float64        // share of the sky before it that nothing hides, 0 to 1
	Glazing  string         // a name of [light.FilterOf]; empty is an open window
	NoSun    bool           // a blind or a cloth keeps the direct sun out; what it takes of the sky is the glazing's to say
}

// Sitter is the face that a window lights and the way the meter looks there: an upright receptor.
type Sitter struct {
	Distance measure.Length // square from the wall of the window to the face
	Aside    measure.Length // to the right of the window's middle, looking out
	Turn     measure.Angle  // of the receptor to the right, looking out; zero looks squarely at the window's wall
}

// Lit is the light at a sitter's face.
type Lit struct {
	Spectrum    light.Spectrum // W/m²/nm
	Illuminance light.Lux
	FromSky     light.Lux // its parts
	FromFacade  light.Lux // of what hides the sky
	FromGround  light.Lux
	FromSun     light.Lux
	Direct      bool    // the sun falls on the face
	SunInRoom   bool    // the sun comes in through the window, on the face or beside it
	SkyFactor   float64 // the light at the face over that on level open ground
	SkyShare    float64 // share of the light that comes from the open sky
	Kind        light.Kind
	Band        measure.Stops // either way, of the weather
}

// Limits of windows and rooms.
const (
	leastPane, mostPane = 0.05, 100.0 // m
	mostSill            = 50.0        // m
	leastWay, mostWay   = 0.1, 100.0  // m
)

// Check refuses a window that cannot be reckoned.
func (w Window) Check() error {
	for _, x := range []struct {
		what      string
		got       float64
		low, high float64
		unit      string
	}{
		{"direction of the window", w.Facing.Degrees(), -360, 360, "deg"},
		{"width of the window", w.Width.Metres(), leastPane, mostPane, "m"},
		{"height of the window", w.Height.Metres(), leastPane, mostPane, "m"},
		{"sill above the face", w.Sill.Metres(), -mostSill, mostSill, "m"},
		{"share of the sky", w.SkyShare, 0, 1, ""},
	} {
		if err := measure.Within(x.what, x.got, x.low, x.high, x.unit); err != nil {
			return err
		}
	}
	_, err := w.glazing()
	return err
}

func (w Window) glazing() (light.Filter, error) {
	if w.Glazing == "" {
		return light.FilterOf(light.NoGlass)
	}
	return light.FilterOf(w.Glazing)
}

// Check refuses a sitter where none can sit.
func (s Sitter) Check() error {
	if err := measure.Within("distance from the window", s.Distance.Metres(), leastWay, mostWay, "m"); err != nil {
		return err
	}
	if err := measure.Within("way aside of the window's middle", s.Aside.Metres(), -mostWay, mostWay, "m"); err != nil {
		return err
	}
	return measure.Within("turn of the receptor", s.Turn.Degrees(), -180, 180, "deg")
}

// At returns the light at a sitter's face under a sky. The error is a [measure.RangeError] or a sentence about the
// glazing.
func (w Window) At(s Sitter, k Sky) (Lit, error) {
	v, err := w.seenBy(s)
	if err != nil {
		return Lit{}, err
	}
	if err := k.Sun.check(); err != nil {
		return Lit{}, err
	}
	return v.under(&k)
}

// view is a window as a face sees it: what does not change with the hour.
type view struct {
	window Window
	turn   float64
	pass   grid
	eye    grid // what a spectrum on the grid is summed with for lux behind the glass
	glazed bool
	up     []ray   // directions of the sky
	ground float64 // what ground of even brightness gives, per unit of radiance
	edges  [4]float64
	way    float64
}

// ray is a direction from the face through the window: its turn from the window's own direction, its elevation, and
// what a unit of radiance from there gives.
type ray struct{ turn, sin, cos, weight float64 }

func (w Window) seenBy(s Sitter) (view, error) {
	if err := w.Check(); err != nil {
		return view{}, err
	}
	if err := s.Check(); err != nil {
		return view{}, err
	}
	glass, err := w.glazing()
	if err != nil {
		return view{}, err
	}
	v := view{window: w, turn: s.Turn.Radians(), pass: sampled(glass.Pass), glazed: glass.Name != light.NoGlass, way: s.Distance.Metres()}
	photopic := sampled(light.V())
	for i := range v.eye {
		v.eye[i] = light.LumensPerWatt * photopic[i] * v.pass[i] * stepNM
	}
	half, aside, sill := w.Width.Metres()/2, s.Aside.Metres(), w.Sill.Metres()
	v.edges = [4]float64{-half - aside, half - aside, sill, sill + w.Height.Metres()} // left, right, bottom, top as the face sees them
	left := max(math.Atan(v.edges[0]/v.way), v.turn-math.Pi/2)
	right := min(math.Atan(v.edges[1]/v.way), v.turn+math.Pi/2)
	if !(left < right) {
		return v, nil // the receptor looks away from the window
	}
	for _, a := range gauss(left, right) {
		c := math.Cos(a.at)
		bottom, top := math.Atan(v.edges[2]*c/v.way), math.Atan(v.edges[3]*c/v.way)
		across := math.Cos(a.at-v.turn) * a.weight
		if top > 0 {
			for _, b := range gauss(max(bottom, 0), top) {
				sin, cos := math.Sincos(b.at)
				v.up = append(v.up, ray{a.at, sin, cos, across * cos * cos * b.weight * v.angled(c*cos)})
			}
		}
		if bottom < 0 {
			for _, b := range gauss(bottom, min(top, 0)) {
				cos := math.Cos(b.at)
				v.ground += across * cos * cos * b.weight * v.angled(c*cos)
			}
		}
	}
	return v, nil
}

// angled is what the glass lets through at a slant, over that at right angles, by the cosine of the slant [Rivero1958].
func (v *view) angled(cos float64) float64 {
	if !v.glazed {
		return 1
	}
	sin := math.Sqrt(max(1-cos*cos, 0))
	return min(1.018*cos*(1+sin*sin*sin), 1)
}

// under is the light that the view lets in from a sky.
func (v *view) under(k *Sky) (Lit, error) {
	w := v.window
	var blue, grey float64
	from := (w.Facing - k.Sun.Azimuth).Radians()
	for _, r := range v.up {
		b, g := k.parts(from+r.turn, r.sin, r.cos)
		blue += b * r.weight
		grey += g * r.weight
	}
	var sky, all grid
	sky.add(blue, &k.blue)
	sky.add(grey, &k.grey)
	seen := light.Lux(sky.by(&v.eye))
	all.add(w.SkyShare+(1-w.SkyShare)*facadeOfSky, &sky)
	out := Lit{Kind: light.WindowLight, Band: k.Band, FromSky: seen * light.Lux(w.SkyShare), FromFacade: seen * light.Lux((1-w.SkyShare)*facadeOfSky)}

	outside := k.blue
	outside.add(1, &k.grey)
	outside.add(k.sunUp(), &k.direct)
	back := k.Albedo / math.Pi * v.ground
	out.FromGround = light.Lux(back * outside.by(&v.eye))
	all.add(back, &outside)

	if sun, onFace, inRoom := v.sun(k.Sun); inRoom && !w.NoSun && k.direct != (grid{}) {
		out.SunInRoom, out.Direct = true, onFace && sun > 0
		if out.Direct {
			out.FromSun = light.Lux(sun * k.direct.by(&v.eye))
			out.Kind = light.Sun
			all.add(sun, &k.direct)
		}
	}
	for i := range all {
		all[i] *= v.pass[i]
	}
	var err error
	if out.Spectrum, err = all.spectrum(); err != nil {
		return Lit{}, err
	}
	out.Illuminance = out.FromSky + out.FromFacade + out.FromGround + out.FromSun
	if g := k.Global.Lux(); g > 0 {
		out.SkyFactor = float64(out.Illuminance) / g
	}
	if out.Illuminance > 0 {
		out.SkyShare = float64(out.FromSky / out.Illuminance)
	}
	return out, nil
}

// facadeOfSky is how bright a facade or a tree is, over the sky it hides [SplitFlux1966].
const facadeOfSky = 0.2

// sun tells what the sun gives on the receptor, per unit of its light, whether its line to the face goes through the
// opening, and whether it shines through the window at all.
func (v *view) sun(s Sun) (share float64, onFace, inRoom bool) {
	turn := half((s.Azimuth - v.window.Facing).Radians())
	sin, cos := math.Sincos(s.Elevation.Radians())
	out := math.Cos(turn) * cos // along the way out of the window
	if !(out > 1e-6) || sin < -math.Sin(sunRadius*degree) {
		return 0, false, false
	}
	x, y := v.way*math.Tan(turn), v.way*sin/out
	onFace = x >= v.edges[0] && x <= v.edges[1] && y >= v.edges[2] && y <= v.edges[3]
	return max(cos*math.Cos(turn-v.turn), 0) * v.angled(out), onFace, true
}

// node is a place and a weight of a sum that stands for an integral.
type node struct{ at, weight float64 }

// gauss returns Gauss and Legendre's eight places and weights between two ends [AbramowitzStegun1964, 25.4.30].
func gauss(low, high float64) [8]node {
	x := [4]float64{0.1834346424956498, 0.5255324099163290, 0.7966664774136267, 0.9602898564975363}
	w := [4]float64{0.3626837833783620, 0.3137066458778873, 0.2223810344533745, 0.1012285362903763}
	mid, half := (low+high)/2, (high-low)/2
	var out [8]node
	for i := range 4 {
		out[2*i] = node{mid - half*x[i], half * w[i]}
		out[2*i+1] = node{mid + half*x[i], half * w[i]}
	}
	return out
}
