package flash_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"platewright/light"
	"platewright/light/flash"
	"platewright/measure"
)

func bareAt(energy flash.Joules, d, angle, above float64) flash.Head {
	return flash.Head{Energy: 2 * energy, Efficacy: 20 * math.Pi, Spread: flash.Spread{Kind: flash.Bare}, // 10 cd s for each of the joules named
		Distance: measure.Length(d) * m, Angle: measure.Angle(angle) * measure.Degree, Above: measure.Length(above) * m}
}

// by hand: a bare head of 1000 cd s 2 m off at 45 degrees to the right gives the right half of the face, square to it, 250
// lx s, the front 250 cos 45°, the left half nothing; a second one of a quarter at the left makes the ratio two stops.
func TestRatioByHand(t *testing.T) {
	r := flash.Rig{Heads: []flash.Head{bareAt(100, 2, 45, 0)}}
	lit, err := r.At()
	if err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		name      string
		got, want float64
	}{{"right", float64(lit.Right), 250}, {"left", float64(lit.Left), 0}, {"front", float64(lit.Front), 250 * math.Sqrt2 / 2}} {
		if math.Abs(tt.got-tt.want) > 1e-9 {
			t.Errorf("%s half gets %g lx s, want %g by hand", tt.name, tt.got, tt.want)
		}
	}
	if lit.Left == 0 {
		if _, known := lit.Ratio(); known {
			t.Error("a dark half has a ratio")
		}
	}
	r.Heads = append(r.Heads, bareAt(25, 2, -45, 0))
	if lit, err = r.At(); err != nil {
		t.Fatal(err)
	}
	if ratio, known := lit.Ratio(); !known || math.Abs(float64(ratio)-2) > 1e-9 {
		t.Errorf("100 J against 25 J are %g stops apart, want 2 by hand", ratio)
	}
	r.Face = 45 * measure.Degree // the halves now look at 90° and at the camera
	if lit, err = r.At(); err != nil {
		t.Fatal(err)
	}
	if want := 250 * math.Sqrt2 / 2; math.Abs(float64(lit.Right)-want) > 1e-9 {
		t.Errorf("turned by 45° the right half gets %g, want %g by hand", lit.Right, want)
	}
}

// identity: the sum of the bounces. A share rho of the light falls evenly on the room, a share rho of that again, and so on.
func TestRoomIsTheSumOfItsBounces(t *testing.T) {
	for _, rho := range []float64{0, 0.1, 0.5, 0.9} {
		room := flash.Room{Surface: 80, Reflectance: rho}
		got, err := room.Adds(30000)
		if err != nil {
			t.Fatal(err)
		}
		want, left := 0.0, 30000.0
		for range 2000 {
			left *= rho
			want += left / 80
		}
		if math.Abs(float64(got)-want) > 1e-6 {
			t.Errorf("a room of %g adds %g lx s, want %g by its bounces [Sumpner1892]", rho, got, want)
		}
	}
	// independent: a white hollow ball of radius 1 with a bare tube in its middle: on its wall the light is the direct one
	// times 1/(1 - rho), known of every integrating sphere.
	sphere := flash.Room{Surface: 4 * math.Pi, Reflectance: 0.8}
	h := bareAt(100, 1, 0, 0)
	lit, err := flash.Rig{Heads: []flash.Head{h}, Room: &sphere}.At()
	if err != nil || math.Abs(float64(lit.Front)/1000-5) > 1e-9 {
		t.Errorf("in the ball %g lx s, %v, want 5 times the direct 1000 [Sumpner1892]", lit.Front, err)
	}
}

// independent: a small far board by hand, and a board wide as the world as a Lambertian wall.
func TestBoard(t *testing.T) {
	h := bareAt(1000, 3, 90, 0) // 10 000 cd s at the right
	b := flash.Board{Width: 0.02 * m, Height: 0.02 * m, Distance: 2 * m, Angle: -90 * measure.Degree, Reflectance: 0.9}
	lit, err := flash.Rig{Heads: []flash.Head{h}, Boards: []flash.Board{b}, Cheek: 90 * measure.Degree}.At()
	if err != nil {
		t.Fatal(err)
	}
	want := 1e4 / 25 * 0.9 / math.Pi * 0.0004 / 4 // E on it, L, times its solid angle
	if got := float64(lit.Left); math.Abs(got/want-1) > 1e-4 {
		t.Errorf("a small board gives %g lx s, want %g by hand", got, want)
	}
	// On a wide near board the light falls off toward its rim; its parts must come to the same as finer parts of it.
	wide := b
	wide.Width, wide.Height, wide.Distance = 1.2*m, 1.8*m, 0.8*m
	lit, err = flash.Rig{Heads: []flash.Head{h}, Boards: []flash.Board{wide}, Cheek: 90 * measure.Degree}.At()
	if err != nil {
		t.Fatal(err)
	}
	sum := 0.0
	const n = 300
	for i := range n {
		for j := range n {
			z, y := 1.2*((float64(i)+0.5)/n-0.5), 1.8*((float64(j)+0.5)/n-0.5)
			lamp := math.Sqrt(3.8*3.8 + z*z + y*y)
			face := math.Sqrt(0.8*0.8 + z*z + y*y)
			E := 1e4 * 3.8 / lamp / (lamp * lamp)
			sum += 0.9 / math.Pi * E * (0.8 / face) * (0.8 / face) / (face * face) * 1.2 * 1.8 / n / n
		}
	}
	if got := float64(lit.Left); math.Abs(got/sum-1) > 5e-3 {
		t.Errorf("a wide board gives %g lx s, want %g by summing", got, sum)
	}
}

func randomHead(t *rapid.T, name string) flash.Head {
	h := flash.Head{
		Energy:   flash.Joules(rapid.Float64Range(10, 5000).Draw(t, name+" J")),
		Efficacy: rapid.Float64Range(15, 45).Draw(t, name+" lm/J"),
		Distance: measure.Length(rapid.Float64Range(0.3, 6).Draw(t, name+" m")) * m,
		Angle:    measure.Angle(rapid.Float64Range(-80, 80).Draw(t, name+" angle")) * measure.Degree,
		Pops:     rapid.IntRange(0, 8).Draw(t, name+" pops"),
		Spread:   flash.Spread{Kind: rapid.SampledFrom(flash.Kinds()).Draw(t, name+" kind")},
	}
	switch h.Spread.Kind {
	case flash.Reflector, flash.Umbrella:
		h.Spread.Gain = rapid.Float64Range(0.5, 20).Draw(t, name+" gain")
	case flash.Softbox:
		h.Spread.Efficiency = rapid.Float64Range(0.2, 1).Draw(t, name+" efficiency")
		h.Spread.Width = measure.Length(rapid.Float64Range(0.1, 2).Draw(t, name+" width")) * m
		h.Spread.Height = measure.Length(rapid.Float64Range(0.1, 2).Draw(t, name+" height")) * m
		h.Spread.Round = rapid.Bool().Draw(t, name+" round")
	}
	return h
}

// identity: light adds. Two heads give the sum of each, n pops n times one, twice the energy twice the light; the mirror
// image of a rig swaps the halves of the face.
func TestLightAdds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := randomHead(t, "a"), randomHead(t, "b")
		at := func(hs ...flash.Head) flash.Lit {
			lit, err := flash.Rig{Heads: hs, Room: &flash.Room{Surface: 90, Reflectance: 0.4}}.At()
			if err != nil {
				t.Fatal(err)
			}
			return lit
		}
		same := func(what string, got, want light.LuxSeconds) {
			if math.Abs(float64(got-want)) > 1e-9*float64(want)+1e-9 {
				t.Fatalf("%s: %g, want %g", what, got, want)
			}
		}
		one, two, both := at(a), at(b), at(a, b)
		same("front of both", both.Front, one.Front+two.Front)
		same("right of both", both.Right, one.Right+two.Right)
		double := a
		double.Energy *= 2
		same("double energy", at(double).Left, 2*one.Left)
		single := a
		single.Pops = 1
		same("pops", one.Front, light.LuxSeconds(max(1, a.Pops))*at(single).Front)
		mirror := a
		mirror.Angle = -a.Angle
		same("mirror", at(mirror).Left, one.Right)
		if both.Room > both.Front || both.Front < both.Heads[0] {
			t.Fatalf("parts beyond the whole: %+v", both)
		}
	})
}

// identity: what is solved for gives back what was needed.
func TestSolvedGivesBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := randomHead(t, "h")
		shot := flash.Shot{Index: light.ExposureIndex(math.Exp(rapid.Float64Range(-2, 2).Draw(t, "ln S"))),
			Aperture: measure.FNumber(rapid.Float64Range(1, 22).Draw(t, "N")),
			Bellows:  measure.Stops(rapid.Float64Range(0, 2).Draw(t, "bellows")), Actinic: measure.Stops(rapid.Float64Range(-2, 2).Draw(t, "actinic"))}
		needs, err := shot.Needs()
		if err != nil {
			t.Fatal(err)
		}
		if got, err := shot.Largest(needs); err != nil || math.Abs(float64(got/shot.Aperture)-1) > 1e-9 {
			t.Fatalf("largest f-number %g, %v, want %g", got, err, shot.Aperture)
		}
		if got, err := shot.Least(needs); err != nil || math.Abs(float64(got/shot.Index)-1) > 1e-9 {
			t.Fatalf("least index %g, %v, want %g", got, err, shot.Index)
		}
		turn := measure.Angle(rapid.Float64Range(-80, 80).Draw(t, "turn")) * measure.Degree
		room := &flash.Room{Surface: 60, Reflectance: rapid.Float64Range(0, 0.8).Draw(t, "room")}
		e, err := h.EnergyFor(needs, room, turn)
		if err != nil {
			t.Fatal(err)
		}
		if e < flash.LeastEnergy || e > flash.MostEnergy {
			return
		}
		h.Energy = e
		direct, err := h.DoseTurned(turn)
		if err != nil {
			t.Fatal(err)
		}
		adds, err := room.Adds(h.Leaves())
		if err != nil || math.Abs(float64((direct+adds)/needs)-1) > 1e-9 {
			t.Fatalf("%g J give %g, %v, want %g", e, direct+adds, err, needs)
		}
		if direct > 1e-3*needs { // else the room alone gives all, and the distance decides nothing
			d, err := h.Farthest(needs, adds, turn)
			if err != nil || math.Abs(d.Over(h.Distance)-1) > 1e-6 {
				t.Fatalf("farthest %v, %v, want %v", d, err, h.Distance)
			}
		}
	})
}

func TestOutOfReach(t *testing.T) {
	soft := flash.Head{Energy: 100, Efficacy: 30, Distance: m, Spread: flash.Spread{Kind: flash.Softbox, Round: true, Width: m, Efficiency: 0.5}}
	_, err := soft.Farthest(20000, 0, 0) // at the cloth: k Q/(pi R²) = 1500/(pi/4) = 1910 lx s
	if err == nil || !strings.Contains(err.Error(), "at no distance") || !strings.Contains(err.Error(), "10 times") {
		t.Errorf("a light out of reach: %v", err)
	}
	_, err = soft.Farthest(100, 200, 0)
	if err == nil || !strings.Contains(err.Error(), "room alone") {
		t.Errorf("a room that suffices: %v", err)
	}
	soft.Spread = flash.Spread{Kind: flash.Bare}
	_, err = soft.Farthest(100, 0, 120*measure.Degree)
	if err == nil || !strings.Contains(err.Error(), "turn the light or the face") {
		t.Errorf("a face turned away: %v", err)
	}
	if _, err := soft.EnergyFor(100, nil, 120*measure.Degree); err == nil {
		t.Error("no energy lights a face turned away, and yet there is one")
	}
}

// identity: a calibrated head gives what was read, and a judged plate's error is taken off.
func TestCalibration(t *testing.T) {
	h := flash.Head{Energy: 1200, Efficacy: 26, Distance: 2 * m, Spread: flash.Spread{Kind: flash.Reflector, Gain: 5}}
	read := light.FlashAt(16)
	metered, err := h.Metered(flash.Reading{Light: read, Energy: 600, Distance: 1 * m, Pops: 2})
	if err != nil {
		t.Fatal(err)
	}
	if d, err := metered.Dose(); err != nil || math.Abs(float64(d/read)*4-1) > 1e-9 { // the same energy in all, at twice the distance
		t.Errorf("metered %g lx s at 600 J, two pops, 1 m; at 1200 J, one pop, 2 m %g, %v, want a quarter", read, d, err)
	}
	judged := flash.Judged{Energy: 1200, Distance: 1.5 * m, Shot: flash.Shot{Index: 0.8, Aperture: 5.6, Bellows: 0.5}, Error: 1}
	right, err := h.Judged(judged)
	if err != nil {
		t.Fatal(err)
	}
	right.Distance = judged.Distance
	right.Energy = 600 // a stop too much then, so half the energy
	d, err := right.Dose()
	if err != nil {
		t.Fatal(err)
	}
	if n, err := judged.Shot.Largest(d); err != nil || math.Abs(float64(n)-5.6) > 1e-9 {
		t.Errorf("the judged plate at half the energy takes f/%g, %v, want 5.6", n, err)
	}
}

// identity: a rig moved as far as it may go, or fired at the share of energy told, gives what the shot needs.
func TestReach(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rig := flash.Rig{Heads: []flash.Head{randomHead(t, "a"), randomHead(t, "b")}}
		shot := flash.Shot{Index: 1, Aperture: measure.FNumber(rapid.Float64Range(2, 16).Draw(t, "N"))}
		r, err := rig.Reach(shot)
		if err != nil {
			t.Fatal(err)
		}
		needs, err := shot.Needs()
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(float64(r.Lit.Front)*r.Energy/float64(needs)-1) > 1e-9 {
			t.Fatalf("a share %g of %g lx s, want %g", r.Energy, r.Lit.Front, needs)
		}
		if math.Abs(float64(r.Largest*r.Largest/(shot.Aperture*shot.Aperture))*r.Energy-1) > 1e-9 {
			t.Fatalf("largest f/%g with a share of %g at f/%g", r.Largest, r.Energy, shot.Aperture)
		}
		if r.Farther == 0 {
			if r.NoFarther == "" {
				t.Fatal("no place, and no reason")
			}
			return
		}
		for i := range rig.Heads {
			rig.Heads[i].Distance *= measure.Length(r.Farther)
		}
		moved, err := rig.At()
		if err != nil || math.Abs(float64(moved.Front/needs)-1) > 1e-6 {
			t.Fatalf("%g times as far it gives %g, %v, want %g", r.Farther, moved.Front, err, needs)
		}
	})
}

func TestRigRefuses(t *testing.T) {
	if _, err := (flash.Rig{}).At(); err == nil {
		t.Error("a rig without heads is not refused")
	}
	bad := bareAt(100, 2, 0, 0)
	bad.Name, bad.Energy = "key", 0
	if _, err := (flash.Rig{Heads: []flash.Head{bad}}).At(); err == nil || !strings.Contains(err.Error(), "head key: energy") {
		t.Errorf("a head without energy: %v", err)
	}
	good := bareAt(100, 2, 0, 0)
	if _, err := (flash.Rig{Heads: []flash.Head{good}, Room: &flash.Room{Surface: 50, Reflectance: 1}}).At(); err == nil {
		t.Error("a room that swallows nothing is not refused")
	}
	if _, err := (flash.Rig{Heads: []flash.Head{good}, Boards: []flash.Board{{}}}).At(); err == nil {
		t.Error("a board without size is not refused")
	}
}
