package sky_test

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"pgregory.net/rapid"

	"platewright/light"
	"platewright/light/sky"
	"platewright/measure"
)

const metre = measure.Metre

// pane is a window in metres that looks south, open, with all of the sky before it.
func pane(width, height, sill float64) sky.Window {
	return sky.Window{Facing: 180 * measure.Degree, Width: measure.Length(width) * metre, Height: measure.Length(height) * metre,
		Sill: measure.Length(sill) * metre, SkyShare: 1}
}

func weather(covered float64) sky.Weather {
	return sky.Weather{Clear: sky.UsualClear(), Covered: covered}
}

func under(t *testing.T, covered, zenith, azimuth float64) sky.Sky {
	t.Helper()
	k, err := weather(covered).Sky(sunUp(zenith, azimuth), 100)
	if err != nil {
		t.Fatal(err)
	}
	return k
}

func lit(t *testing.T, w sky.Window, s sky.Sitter, k sky.Sky) sky.Lit {
	t.Helper()
	out, err := w.At(s, k)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// A window without end shows the face half the dome: 0.396 of a covered sky's light on the ground [Littlefair1991] and,
// below the horizon, half of what the ground sends back.
func TestEndlessWindow(t *testing.T) {
	k := under(t, 1, 50, 180)
	got := lit(t, pane(100, 100, -50), sky.Sitter{Distance: 0.1 * metre}, k)
	near(t, "endless window, sky", float64(got.FromSky)/k.Global.Lux(), 0.396, 0.0015, "Littlefair1991")
	exact := 3.0 / 7 * (math.Pi/2 + 4.0/3) / math.Pi
	near(t, "endless window, sky", float64(got.FromSky)/k.Global.Lux(), exact, 0.001, "the integral")
	near(t, "endless window, ground", float64(got.FromGround)/k.Global.Lux(), 0.2/2, 0.0005, "the integral")
}

// Ground of even brightness through a window all below the face: the configuration factor of a rectangle from a point
// before its corner, parallel to it [Howell1982], four corners put together.
func TestGroundThroughWindow(t *testing.T) {
	corner := func(a, b float64) float64 { // a, b sides over the distance; odd in both
		p, q := math.Sqrt(1+a*a), math.Sqrt(1+b*b)
		return (a/p*math.Atan(b/p) + b/q*math.Atan(a/q)) / (2 * math.Pi)
	}
	k := under(t, 1, 40, 180)
	for _, c := range []struct{ width, height, sill, distance, aside float64 }{
		{1.2, 1.5, -2, 2, 0}, {3, 1, -1, 1, 0.4}, {0.3, 0.4, -0.4, 0.5, 3}, {6, 5, -5, 0.7, -1},
	} {
		got := lit(t, pane(c.width, c.height, c.sill), sky.Sitter{Distance: measure.Length(c.distance) * metre, Aside: measure.Length(c.aside) * metre}, k)
		l, r := (-c.width/2-c.aside)/c.distance, (c.width/2-c.aside)/c.distance
		b, top := c.sill/c.distance, (c.sill+c.height)/c.distance
		want := corner(r, top) - corner(l, top) - corner(r, b) + corner(l, b)
		near(t, "share of the ground", float64(got.FromGround)/(0.2*k.Global.Lux()), want, 2e-5*(1+want), "Howell1982")
		if got.FromSky != 0 {
			t.Errorf("a window below the face shows %v of sky", got.FromSky)
		}
	}
}

// The sky through a window, summed piece by piece over the glass with both cosines and the square of the way: another
// route to the same light, for covered, clear and mixed skies and turned receptors.
func TestWindowByPieces(t *testing.T) {
	for _, c := range []struct {
		covered, zenith, azimuth     float64
		width, height, sill          float64
		facing, distance, aside, off float64
	}{
		{1, 40, 180, 1.2, 1.5, 0.1, 180, 1.5, 0, 0},
		{0, 40, 150, 1.2, 1.5, 0.1, 180, 1.5, 0.3, 0},
		{0, 60, 0, 2, 2, -0.3, 10, 1, -0.5, 60},
		{0.5, 30, 90, 3, 2, 0, 80, 2, 1, -45},
		{0, 75, 250, 1, 2, 0.2, 20, 3, 2, 20},
	} {
		k := under(t, c.covered, c.zenith, c.azimuth)
		w := pane(c.width, c.height, c.sill)
		w.Facing = measure.Angle(c.facing) * measure.Degree
		got := lit(t, w, sky.Sitter{Distance: measure.Length(c.distance) * metre, Aside: measure.Length(c.aside) * metre, Turn: measure.Angle(c.off) * measure.Degree}, k)
		const n = 220
		sum := 0.0
		so, co := math.Sincos(c.off * math.Pi / 180)
		for i := range n {
			x := -c.width/2 - c.aside + c.width*(float64(i)+0.5)/n
			for j := range n {
				y := c.sill + c.height*(float64(j)+0.5)/n
				if y <= 0 {
					continue
				}
				r2 := x*x + y*y + c.distance*c.distance
				r := math.Sqrt(r2)
				face := (x*so + c.distance*co) / r
				l, err := k.Luminance(measure.Angle(math.Mod(c.facing+math.Atan2(x, c.distance)*180/math.Pi, 360))*measure.Degree, measure.Angle(math.Asin(y/r)))
				if err != nil {
					t.Fatal(err)
				}
				sum += l * max(face, 0) * c.distance / r / r2 * c.width / n * c.height / n
			}
		}
		near(t, "light through the window over that by pieces", float64(got.FromSky)/sum, 1, 0.008, "the same sum over the glass")
	}
}

// Far away a window is a point: luminance times its area over the square of the way.
func TestFarWindow(t *testing.T) {
	k := under(t, 1, 40, 180)
	got := lit(t, pane(0.5, 0.5, 0), sky.Sitter{Distance: 60 * metre}, k)
	l, err := k.Luminance(0, measure.Angle(math.Atan(0.25/60)))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "far window", float64(got.Illuminance)/(l*0.25/3600), 1, 2e-4, "inverse square")
}

// The sun through a window, followed by hand: at 45° and due south it falls as far down as the face is from the wall.
func TestSunThroughWindow(t *testing.T) {
	k := under(t, 0, 45, 180)
	at := func(w sky.Window, distance, aside float64) sky.Lit {
		return lit(t, w, sky.Sitter{Distance: measure.Length(distance) * metre, Aside: measure.Length(aside) * metre}, k)
	}
	w := pane(1, 1, 0.5) // glass from 0.5 to 1.5 m above the face
	for _, c := range []struct {
		distance, aside float64
		falls           bool
	}{{1, 0, true}, {0.45, 0, false}, {1.55, 0, false}, {1, 0.45, true}, {1, 0.55, false}} {
		got := at(w, c.distance, c.aside)
		if got.Direct != c.falls || !got.SunInRoom {
			t.Errorf("at %g m, %g aside: sun on the face %v, in the room %v", c.distance, c.aside, got.Direct, got.SunInRoom)
		}
		if want := map[bool]light.Kind{true: light.Sun, false: light.WindowLight}[c.falls]; got.Kind != want {
			t.Errorf("at %g m: kind %s, want %s", c.distance, got.Kind, want)
		}
	}
	near(t, "light of the sun", float64(at(w, 1, 0).FromSun)/k.Direct.Lux(), math.Sqrt2/2, 1e-9, "the cosine")
	w.NoSun = true
	if got := at(w, 1, 0); got.Direct || got.SunInRoom || got.FromSun != 0 {
		t.Error("the sun comes through the blind")
	}
	w.NoSun, w.Facing = false, 0
	if got := at(w, 1, 0); got.Direct || got.SunInRoom {
		t.Error("the southern sun comes in from the north")
	}
}

// What hides the sky leaves a fifth of its light [SplitFlux1966].
func TestSkyShare(t *testing.T) {
	k := under(t, 1, 45, 180)
	w, s := pane(1, 1.5, 0), sky.Sitter{Distance: metre}
	all := lit(t, w, s, k)
	w.SkyShare = 0.3
	some := lit(t, w, s, k)
	near(t, "light with a sky share of 0.3", float64((some.FromSky+some.FromFacade)/all.FromSky), 0.3+0.7*0.2, 1e-12, "SplitFlux1966")
	near(t, "share", some.SkyShare, 0.3/(0.3+0.7*0.2), 1e-12, "its definition")
}

func TestGlazing(t *testing.T) {
	k := under(t, 1, 45, 180)
	w, s := pane(0.2, 0.2, -0.1), sky.Sitter{Distance: 5 * metre}
	open := lit(t, w, s, k)
	uv := func(l sky.Lit) float64 { return l.Spectrum.Integral(300, 395) / l.Spectrum.Integral(400, 700) }
	for _, name := range []string{light.WindowGlass, light.Laminated, light.Acrylic} {
		w.Glazing = name
		got := lit(t, w, s, k)
		if r := float64(got.Illuminance / open.Illuminance); r < 0.8 || r > 0.95 {
			t.Errorf("%s passes %g of the light", name, r)
		}
		if uv(got) > uv(open)*0.98 {
			t.Errorf("%s passes all the ultraviolet", name)
		}
	}
	w.Glazing = "cardboard"
	if _, err := w.At(s, k); err == nil {
		t.Error("an unknown glazing was taken")
	}
}

func TestWindowRefuses(t *testing.T) {
	k := under(t, 1, 45, 180)
	good, s := pane(1, 1.5, 0), sky.Sitter{Distance: metre}
	for i, spoil := range []func(w *sky.Window, s *sky.Sitter){
		func(w *sky.Window, _ *sky.Sitter) { w.Width = 0 }, func(w *sky.Window, _ *sky.Sitter) { w.Height = measure.Length(math.NaN()) },
		func(w *sky.Window, _ *sky.Sitter) { w.Sill = 1e9 }, func(w *sky.Window, _ *sky.Sitter) { w.SkyShare = 1.1 },
		func(w *sky.Window, _ *sky.Sitter) { w.Facing = measure.Angle(math.Inf(1)) },
		func(_ *sky.Window, s *sky.Sitter) { s.Distance = 0 }, func(_ *sky.Window, s *sky.Sitter) { s.Turn = 200 * measure.Degree },
	} {
		w, s := good, s
		spoil(&w, &s)
		if _, err := w.At(s, k); err == nil {
			t.Errorf("bad window %d was taken", i)
		}
		if _, err := w.Day(time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC), place(50, 0, 0), weather(0), s, time.Hour); err == nil {
			t.Errorf("bad window %d was taken for a day", i)
		}
	}
}

// Whatever the window, the light is finite, its parts add up, less comes from further away, and left is as right.
func TestAnyWindow(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		f := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(r, name) }
		k, err := weather(rapid.SampledFrom([]float64{0, 0.5, 1}).Draw(r, "covered")).Sky(sunUp(f("zenith", 0, 90), 180), 50)
		if err != nil {
			r.Fatal(err)
		}
		w := pane(f("width", 0.05, 20), f("height", 0.05, 20), f("sill", -5, 5))
		w.Glazing = rapid.SampledFrom(append(light.Filters(), "")).Draw(r, "glazing")
		w.SkyShare = f("share", 0, 1)
		s := sky.Sitter{Distance: measure.Length(f("distance", 0.1, 20)) * metre, Aside: measure.Length(f("aside", -10, 10)) * metre,
			Turn: measure.Angle(f("turn", -180, 180)) * measure.Degree}
		got, err := w.At(s, k)
		if err != nil {
			r.Fatal(err)
		}
		if e := float64(got.Illuminance); !(e >= 0) || math.IsInf(e, 0) || got.FromSky < 0 || got.FromGround < 0 || got.FromSun < 0 {
			r.Fatalf("light %+v", got)
		}
		if lux := got.Spectrum.Lux(); math.Abs(lux-float64(got.Illuminance)) > 1e-6*(1+lux) {
			r.Fatalf("spectrum %g lx, parts %v", lux, got.Illuminance)
		}
		mirrored := s
		mirrored.Aside, mirrored.Turn = -s.Aside, -s.Turn
		if left, err := w.At(mirrored, k); err != nil || math.Abs(float64(left.Illuminance-got.Illuminance)) > 1e-6*(1+float64(got.Illuminance)) {
			r.Fatalf("left %v, right %v", left.Illuminance, got.Illuminance)
		}
		square := sky.Sitter{Distance: s.Distance}
		further := sky.Sitter{Distance: s.Distance * 1.5}
		if w.Sill < 0 && w.Sill+w.Height > 0 { // the face before the glass
			a, err1 := w.At(square, k)
			b, err2 := w.At(further, k)
			if err1 != nil || err2 != nil || float64(b.FromSky+b.FromGround+b.FromFacade) > float64(a.FromSky+a.FromGround+a.FromFacade)*1.06+1e-9 {
				r.Fatalf("%v near, %v further", a.Illuminance, b.Illuminance)
			}
		}
	})
}

// A day runs on without jumps and, at the equinox on the meridian's noon, alike on both sides of noon.
func TestDay(t *testing.T) {
	date := time.Date(2026, 6, 21, 9, 0, 0, 0, time.UTC)
	p := place(50, 0, 100)
	for _, covered := range []float64{0, 0.5, 1} {
		w := pane(1.5, 2, 0)
		w.Facing = 0 // north: the sun comes in only early and late
		day, err := w.Day(date, p, weather(covered), sky.Sitter{Distance: 2 * metre}, 10*time.Minute)
		if err != nil {
			t.Fatal(err)
		}
		if len(day) != 144 || !day[0].Time.Equal(time.Date(2026, 6, 21, 0, 0, 0, 0, time.UTC)) {
			t.Fatalf("%d hours from %v", len(day), day[0].Time)
		}
		open, err := weather(covered).Day(date, p, time.Minute)
		if err != nil {
			t.Fatal(err)
		}
		for i := 1; i < len(open); i++ {
			if a, b := open[i-1].Outside, open[i].Outside; a > 1 && b > 1 && math.Abs(math.Log2(float64(a/b))) > 0.25 {
				t.Errorf("from %v to %v the light jumps from %v to %v", open[i-1].Time, open[i].Time, a, b)
			}
			if open[i].Outside != open[i].Lit.Illuminance {
				t.Errorf("the open ground has %v and %v", open[i].Outside, open[i].Lit.Illuminance)
			}
		}
		d, err := sky.DayAt(date, p, sky.DeltaT(date))
		if err != nil {
			t.Fatal(err)
		}
		for _, way := range []time.Duration{time.Hour, 3 * time.Hour, 6 * time.Hour} {
			var e [2]float64
			for i, when := range []time.Time{d.Noon.Add(-way), d.Noon.Add(way)} {
				s, err := sky.SunAt(when, p, sky.UsualAir(), 70)
				if err != nil {
					t.Fatal(err)
				}
				k, err := weather(covered).Sky(s, 172)
				if err != nil {
					t.Fatal(err)
				}
				e[i] = k.Global.Lux()
			}
			near(t, "light before over after noon", e[0]/e[1], 1, 0.002, "symmetry at the solstice")
		}
	}
}

func TestYear(t *testing.T) {
	zone := time.FixedZone("", 3600)
	year, err := pane(1, 1.5, 0).Year(2024, zone, place(52, 13, 40), weather(1), sky.Sitter{Distance: 2 * metre}, 7, time.Hour)
	if err != nil {
		t.Fatal(err)
	}
	if len(year) != 53 || len(year[0]) != 24 || year[0][0].Time.Location() != zone {
		t.Fatalf("%d days of %d hours", len(year), len(year[0]))
	}
	best := func(day []sky.Hour) (out light.Lux) {
		for _, h := range day {
			out = max(out, h.Lit.Illuminance)
		}
		return out
	}
	if june, december := best(year[24]), best(year[50]); june < 2.5*december || june > 6*december {
		t.Errorf("under cloud June has %v, December %v", june, december)
	}
	if _, err := weather(1).Year(1700, zone, place(52, 13, 0), 7, time.Hour); err == nil {
		t.Error("the year 1700 was taken")
	}
	if _, err := weather(1).Year(2000, zone, place(52, 13, 0), 0, time.Hour); err == nil {
		t.Error("no step was taken")
	}
	if _, err := weather(1).Day(time.Date(2000, 1, 1, 0, 0, 0, 0, zone), place(92, 13, 0), time.Hour); err == nil {
		t.Error("latitude 92 was taken")
	}
	if _, err := weather(1).Day(time.Date(2000, 1, 1, 0, 0, 0, 0, zone), place(2, 13, 0), 0); err == nil {
		t.Error("a step of nothing was taken")
	}
}

func BenchmarkSunAt(b *testing.B) {
	p, t := place(50, 10, 100), time.Date(2026, 5, 1, 12, 0, 0, 0, time.UTC)
	for b.Loop() {
		if _, err := sky.SunAt(t, p, sky.UsualAir(), 70); err != nil {
			b.Fatal(err)
		}
	}
}

// A day every ten minutes, clear and covered, through a window.
func BenchmarkWindowDay(b *testing.B) {
	w, date := pane(1.5, 2, 0), time.Date(2026, 6, 21, 0, 0, 0, 0, time.UTC)
	w.Glazing = light.WindowGlass
	for b.Loop() {
		for _, covered := range []float64{0, 1} {
			if _, err := w.Day(date, place(50, 10, 100), weather(covered), sky.Sitter{Distance: 2 * metre}, 10*time.Minute); err != nil {
				b.Fatal(err)
			}
		}
	}
}

// A year, a day a week, hour by hour, clear and covered.
func BenchmarkWindowYear(b *testing.B) {
	w := pane(1.5, 2, 0)
	for b.Loop() {
		for _, covered := range []float64{0, 1} {
			if _, err := w.Year(2026, time.UTC, place(50, 10, 100), weather(covered), sky.Sitter{Distance: 2 * metre}, 7, time.Hour); err != nil {
				b.Fatal(err)
			}
		}
	}
}

// Rising and setting against a walk through the day minute by minute, at random places and days.
func TestAnyDay(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for range 60 {
		p := place(rng.Float64()*180-90, rng.Float64()*360-180, rng.Float64()*3000)
		if rng.IntN(3) == 0 {
			p = place([]float64{90, -90, 66.5, -67, 71, 80}[rng.IntN(6)], rng.Float64()*360-180, 0)
		}
		zone := time.FixedZone("", (rng.IntN(25)-12)*3600)
		date := time.Date(1800+rng.IntN(500), time.Month(1+rng.IntN(12)), 1+rng.IntN(28), rng.IntN(24), 0, 0, 0, zone)
		deltaT := sky.DeltaT(date)
		d, err := sky.DayAt(date, p, deltaT)
		if err != nil {
			t.Fatal(err)
		}
		up := func(when time.Time) float64 { // geocentric height less that of the horizon
			a, err := sky.AlmanacAt(when, deltaT)
			if err != nil {
				t.Fatal(err)
			}
			h := a.SiderealTime + p.Longitude - a.RightAscension
			return math.Asin(math.Sin(p.Latitude.Radians())*math.Sin(a.Declination.Radians())+math.Cos(p.Latitude.Radians())*math.Cos(a.Declination.Radians())*math.Cos(h.Radians()))*180/math.Pi + 0.8333
		}
		var rise, set *time.Time
		last := up(d.Start)
		for when := d.Start.Add(4 * time.Minute); !when.After(d.End); when = when.Add(4 * time.Minute) {
			now, w := up(when), when
			if last < 0 && now >= 0 && rise == nil {
				rise = &w
			}
			if last >= 0 && now < 0 {
				set = &w
			}
			last = now
		}
		for name, x := range map[string][2]*time.Time{"rise": {d.Rise, rise}, "set": {d.Set, set}} {
			switch got, want := x[0], x[1]; {
			case got == nil && want == nil:
			case got == nil || want == nil || got.After(*want) || want.Sub(*got) > 4*time.Minute+time.Second:
				t.Errorf("%s at %v on %v: %v, by minutes before %v", name, p, date, got, want)
			default:
				if h := up(*got); math.Abs(h) > 0.003 {
					t.Errorf("at %s the sun is %g° off the horizon", name, h)
				}
			}
		}
		if d.Rise == nil && d.Set == nil && d.NeverSets == d.NeverRises {
			t.Errorf("%v on %v neither rises nor sets, and is neither up nor down", p, date)
		}
		if d.Noon != nil {
			s, err := sky.SunAt(*d.Noon, p, sky.UsualAir(), deltaT)
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(s.HourAngle.Degrees()) > 0.006 && math.Abs(p.Latitude.Degrees()) < 89 {
				t.Errorf("at noon the sun is %g° from the meridian at %v", s.HourAngle.Degrees(), p)
			}
		}
	}
}

// Days of the polar year, and what the sun does at the pole [Reda2008]: round once in a day at one height.
func TestPolarDays(t *testing.T) {
	for _, c := range []struct {
		day              string
		p                sky.Place
		neverSets, never bool
	}{
		{"2026-06-21T12:00:00Z", place(69.65, 18.96, 0), true, false}, {"2026-12-21T12:00:00Z", place(69.65, 18.96, 0), false, true},
		{"2026-06-21T12:00:00Z", place(-90, 0, 2835), false, true}, {"2026-12-21T12:00:00Z", place(-90, 0, 2835), true, false},
		{"2026-06-21T12:00:00Z", place(60, 25, 0), false, false},
	} {
		d, err := sky.DayAt(at(t, c.day), c.p, 70)
		if err != nil {
			t.Fatal(err)
		}
		if d.NeverSets != c.neverSets || d.NeverRises != c.never || (d.Rise == nil) != (c.neverSets || c.never) || d.Noon == nil {
			t.Errorf("%s at %v: %+v", c.day, c.p, d)
		}
	}
	for hour := range 24 {
		when := time.Date(2026, 6, 21, hour, 0, 0, 0, time.UTC)
		s, err := sky.SunAt(when, place(90, 0, 0), sky.UsualAir(), 70)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "height at the pole", s.TrueElevation.Degrees(), s.Declination.Degrees(), 1e-9, "geometry")
		near(t, "azimuth at the pole from the meridian", math.Remainder(s.Azimuth.Degrees()-180-s.HourAngle.Degrees(), 360), 0, 1e-6, "geometry")
	}
}

// Any time and place gives a sun in range that moves by no more than it can.
func TestAnySun(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		p := place(rapid.Float64Range(-90, 90).Draw(r, "north"), rapid.Float64Range(-180, 180).Draw(r, "east"), rapid.Float64Range(-400, 8800).Draw(r, "up"))
		when := time.Unix(rapid.Int64Range(-5364662400, 10445000000).Draw(r, "unix"), rapid.Int64Range(0, 999999999).Draw(r, "ns"))
		a := sky.Air{PressureHPa: rapid.Float64Range(300, 1100).Draw(r, "hPa"), TemperatureC: rapid.Float64Range(-90, 60).Draw(r, "C")}
		s, err := sky.SunAt(when, p, a, sky.DeltaT(when))
		if err != nil {
			r.Fatal(err)
		}
		az, z, e := s.Azimuth.Degrees(), s.Zenith.Degrees(), s.TrueElevation.Degrees()
		if !(az >= 0 && az < 360) || !(z >= 0 && z <= 180) || !(e >= -90 && e <= 90) || !(s.Elevation >= s.TrueElevation) && e > -0.8 || math.Abs(s.Declination.Degrees()) > 23.5 || s.DistanceAU < 0.98 || s.DistanceAU > 1.02 {
			r.Fatalf("%+v", s)
		}
		later, err := sky.SunAt(when.Add(time.Second), p, a, sky.DeltaT(when))
		if err != nil {
			r.Fatal(err)
		}
		if step := math.Abs(later.TrueElevation.Degrees() - e); step > 0.0043 {
			r.Fatalf("in a second the sun moves %g° up", step)
		}
		k, err := weather(0.5).Sky(s, 1+when.YearDay()%365)
		if err != nil {
			r.Fatal(err)
		}
		if g := k.Global.Lux(); !(g >= 0 && g < 140_000) {
			r.Fatalf("light %g lx", g)
		}
	})
}

func TestSunRefuses(t *testing.T) {
	now := time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)
	for i, c := range []struct {
		when time.Time
		p    sky.Place
		a    sky.Air
		dt   float64
	}{
		{time.Date(1799, 1, 1, 0, 0, 0, 0, time.UTC), place(0, 0, 0), sky.UsualAir(), 70}, {time.Date(2301, 2, 1, 0, 0, 0, 0, time.UTC), place(0, 0, 0), sky.UsualAir(), 70},
		{now, place(90.1, 0, 0), sky.UsualAir(), 70}, {now, place(math.NaN(), 0, 0), sky.UsualAir(), 70}, {now, place(0, 181, 0), sky.UsualAir(), 70},
		{now, place(0, 0, 1e5), sky.UsualAir(), 70}, {now, place(0, 0, 0), sky.Air{PressureHPa: 82, TemperatureC: 12}, 70},
		{now, place(0, 0, 0), sky.Air{PressureHPa: 1000, TemperatureC: -273}, 70}, {now, place(0, 0, 0), sky.UsualAir(), math.NaN()},
	} {
		if _, err := sky.SunAt(c.when, c.p, c.a, c.dt); err == nil {
			t.Errorf("bad question %d was taken", i)
		}
	}
	if _, err := sky.DayAt(now, place(0, 500, 0), 70); err == nil {
		t.Error("longitude 500 was taken")
	}
	if _, err := sky.AlmanacAt(now.AddDate(900, 0, 0), 70); err == nil {
		t.Error("the year 2926 was taken")
	}
}
