package scene_test

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"platewright/measure"
	"platewright/optics"
	"platewright/pose"
	"platewright/scene"

	"pgregory.net/rapid"
)

func sitter(t testing.TB, turn measure.Angle) pose.Figure {
	t.Helper()
	body, err := pose.BodyOf(pose.Adult, 50)
	if err != nil {
		t.Fatal(err)
	}
	f, err := pose.Pose{Body: body, Turn: turn, Seat: 450}.Figure()
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// wanted is a head and shoulders on a whole plate, eyes and lips sharp, the head turned by 15°, in good window light.
func wanted(t testing.TB) scene.Wanted {
	t.Helper()
	f := sitter(t, 15*measure.Degree)
	targets, err := scene.TargetsOf(scene.EyesAndLips, f)
	if err != nil {
		t.Fatal(err)
	}
	return scene.Wanted{Targets: targets, Frame: scene.Framing{Least: 450, Greatest: 650},
		Plate: measure.PlateSize{Width: 165.1, Height: 215.9}, Figure: f, Blur: 0.1,
		Light: scene.Light{Index: 1, Steady: 4000}, Support: pose.HeadRest, Wait: time.Minute}
}

func lens(focal measure.Length, stops ...measure.FNumber) scene.Lens {
	return scene.Lens{Name: fmt.Sprintf("lens %.0f", float64(focal)), Focal: focal, PupilMag: 1, Stops: stops}
}

func chosen(t testing.TB, q scene.Wanted, own scene.Kit) scene.Chosen {
	t.Helper()
	c, err := scene.Choose(q, own)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// respects are those that Choose says it compares, the greater the better.
func respects(q scene.Wanted, k scene.Choice) []float64 {
	round := func(x float64) float64 { return math.Round(100*x) / 100 }
	needed, _ := strconv.ParseFloat(fmt.Sprintf("%.1e", float64(k.Needed)), 64)
	r := []float64{k.TargetShare, round(k.Stillness), -needed, 0}
	if k.Swirl != nil && q.Swirl == scene.MuchSwirl {
		r[3] = round(k.Swirl.Corner)
	}
	if k.Swirl != nil && q.Swirl == scene.LittleSwirl {
		r[3] = -round(k.Swirl.Corner)
	}
	return r
}

// property: of the choices called best none is beaten by any other, and every other choice is beaten by one of the best or
// is as good as lost, which none of the best is unless all are;
// the best stand first, and each part in the order told.
func TestBestAreBest(t *testing.T) {
	figures := map[float64]pose.Figure{}
	for _, deg := range []float64{-25, 0, 15} {
		figures[deg] = sitter(t, measure.Angle(deg)*measure.Degree)
	}
	rapid.Check(t, func(r *rapid.T) {
		q := wanted(t)
		q.Figure = figures[rapid.SampledFrom([]float64{-25, 0, 15}).Draw(r, "turn")]
		q.Support = rapid.SampledFrom(pose.Supports()).Draw(r, "support")
		q.Swirl = rapid.SampledFrom([]scene.Taste{scene.AnySwirl, scene.MuchSwirl, scene.LittleSwirl}).Draw(r, "swirl")
		q.Blur = measure.Length(rapid.Float64Range(0.05, 0.4).Draw(r, "blur"))
		if rapid.Bool().Draw(r, "flash") {
			q.Light.Steady, q.Light.Flash = 0, 1e5
		}
		var own scene.Kit
		for range rapid.IntRange(1, 2).Draw(r, "lenses") {
			l := lens(measure.Length(rapid.Float64Range(200, 500).Draw(r, "focal")), 3.6, 8)
			l.Surface = optics.Even(optics.Curve{Curvature: rapid.Float64Range(0, 0.004).Draw(r, "curvature")})
			if rapid.Bool().Draw(r, "rims known") {
				l.Rims = optics.Rims{Front: l.Focal / 3, Rear: l.Focal / 4, Barrel: l.Focal / 2}
			}
			own.Lenses = append(own.Lenses, l)
		}
		c := chosen(t, q, own)
		beats := func(a, b scene.Choice) bool {
			ra, rb := respects(q, a), respects(q, b)
			better := false
			for i := range ra {
				if ra[i] < rb[i] {
					return false
				}
				better = better || ra[i] > rb[i]
			}
			return better
		}
		for i, k := range c.Ranked {
			if k.Best != (i < c.Best) {
				r.Errorf("choice %d of %d best is called best: %v", i, c.Best, k.Best)
			}
			promises := func(k scene.Choice) bool { return k.TargetShare > 0 && k.Stillness >= 0.01 }
			beaten := slices.ContainsFunc(c.Ranked[:c.Best], func(b scene.Choice) bool { return beats(b, k) }) ||
				!promises(k) && slices.ContainsFunc(c.Ranked, promises)
			if i < 3 {
				chance, band, err := q.Stays(k)
				if err != nil || math.Abs(chance-k.Stillness) > 0.03 || band[0] > chance+1e-9 || band[1] < chance-1e-9 {
					r.Errorf("a stillness of %g is %g within %v: %v", k.Stillness, chance, band, err)
				}
			}
			if k.Best == beaten {
				r.Errorf("%s at %v, %s, is called best: %v; it is beaten: %v (%v)", k.Lens, k.Stop, k.Moves, k.Best, beaten, respects(q, k))
			}
			if i > 0 && k.Best == c.Ranked[i-1].Best && k.Score > c.Ranked[i-1].Score*1.1+2e-9 { // alike to two figures
				r.Errorf("a score of %g after %g", k.Score, c.Ranked[i-1].Score)
			}
		}
		if len(c.Ranked) == 0 {
			r.Errorf("nothing was chosen: %v", c.Refused)
		}
	})
}

// independent: what a choice says of its targets is what the shot set up like it says, and no focusing and no turning
// of the back tried over a fine grid draws the worst target better.
func TestChoicesAgreeWithTryingAll(t *testing.T) {
	q := wanted(t)
	l := lens(360, 4)
	l.Surface = optics.Even(optics.CurveOfRadius(430))
	c := chosen(t, q, scene.Kit{Lenses: []scene.Lens{l}})
	if len(c.Ranked) != 9 {
		t.Fatalf("%d choices, want three distances by three movements", len(c.Ranked))
	}
	for _, k := range c.Ranked {
		s := scene.Shot{Setup: k.Setup, Figure: q.Figure, Eyes: k.Eyes, Blur: q.Blur}
		worst := func(s scene.Shot) float64 {
			m := marks(t, s)
			return max(float64(m[pose.RightEye].Blur), float64(m[pose.LeftEye].Blur), float64(m[pose.Lips].Blur))
		}
		m := marks(t, s)
		for _, target := range k.Targets {
			near(t, "blur of the "+target.String(), float64(target.Blur), float64(m[target.Landmark].Blur), 1e-12, "the shot's own")
			if target.State != m[target.Landmark].State {
				t.Errorf("the %s is %s and %s", target, target.State, m[target.Landmark].State)
			}
		}
		share, err := s.Share()
		if err != nil {
			t.Fatal(err)
		}
		near(t, "share of the face", k.FaceShare, share, 1e-3, "the shot's own")
		near(t, "distance", float64(k.Distance), float64(m[pose.RightEye].At.Z), 1e-9, "the nearer eye's plane")
		near(t, "what fills the long side", float64(k.Frame)*k.Magnification, 215.9, 1e-9, "magnification")
		near(t, "seconds", float64(k.Seconds), 250*16*math.Pow(1+k.Magnification, 2)/4000, 1e-9, "C N²(1+m)²/(E S)")
		best, turned := worst(s), []float64{0}
		tilts := []float64{0}
		if k.Moves != scene.Square {
			turned = nil
			for d := -0.03; d <= 0.03; d += 0.003 {
				turned = append(turned, d)
			}
		}
		if k.Moves == scene.TiltAndSwing {
			tilts = turned
		}
		for _, swing := range turned {
			for _, tilt := range tilts {
				for d := -3.0; d <= 3; d += 0.1 {
					tried := s
					tried.Setup.Camera.Back.Swing += measure.Angle(swing)
					tried.Setup.Camera.Back.Tilt += measure.Angle(tilt)
					tried.Setup.Camera.Extension += measure.Length(d)
					// Midway in the image is not to the last digit midway in blur.
					if w := worst(tried); w < 0.97*best-1e-4 {
						t.Errorf("%s: the worst target blurs by %.4f, and by %.4f turned by %.3f and %.3f more and drawn out by %.1f mm", k.Moves, best, w, swing, tilt, d)
					}
				}
			}
		}
	}
}

// The play is how far the sitter may move: at its end the worst of the sharp targets is just sharp.
func TestPlay(t *testing.T) {
	q := wanted(t)
	for _, k := range chosen(t, q, scene.Kit{Lenses: []scene.Lens{lens(300, 8)}}).Ranked {
		if k.TargetShare == 0 {
			continue
		}
		worst := 0.0
		for _, way := range []measure.Length{-1, 1} {
			s := scene.Shot{Setup: k.Setup, Figure: q.Figure, Eyes: k.Eyes, Blur: q.Blur}
			s.Eyes.Z += way * k.Play
			m := marks(t, s)
			for _, target := range k.Targets {
				if target.State == scene.Sharp {
					worst = max(worst, float64(m[target.Landmark].Blur))
				}
			}
		}
		near(t, fmt.Sprintf("%s: blur at the end of the play", k.Moves), worst, 0.1, 0.001, "the limit, but for moving along z and not along the ray")
	}
}

// identity: stillness is that of the play, asked of the sway itself, by the table as well as one by one; the score is what
// is told of it.
func TestStillnessOfChoices(t *testing.T) {
	q := wanted(t)
	q.Support = pose.Seated
	sway, err := pose.SwayOf(q.Support)
	if err != nil {
		t.Fatal(err)
	}
	for _, stops := range [][]measure.FNumber{{4, 8}, {3.6, 4, 4.5, 5.6, 6.3, 8, 11, 16}} {
		for _, k := range chosen(t, q, scene.Kit{Lenses: []scene.Lens{lens(360, stops...)}}).Ranked {
			during := time.Duration(float64(k.Seconds) * float64(time.Second))
			still, err := sway.StaysWithin(pose.Hold{Half: k.Play, Wait: q.Wait, During: during})
			if err != nil {
				t.Fatal(err)
			}
			near(t, "stillness", k.Stillness, still, 0.006, "the sway's own, and 0.005 for the table")
			rms := 2 * math.Sqrt(spread(during.Seconds()*2/1.6))
			near(t, "smear", float64(k.Smear), 4*k.Magnification*rms, 1e-6, "four rms by the magnification")
			near(t, "score", k.Score, k.TargetShare*k.Stillness*0.1/math.Hypot(0.1, float64(k.Smear)), 1e-12, "as told")
		}
	}
}

// spread is the variance about its own mean, over a time t/ω, of a process with the correlation (1+ωΔ) exp(-ωΔ).
func spread(t float64) float64 {
	return 1 - 2*(2*t-3+(t*t+3*t+3-t*(t+2))*math.Exp(-t))/(t*t)
}

// What steadies the head decides the stop: standing in weak light asks for another than a head rest.
func TestHeadRestChangesTheWinner(t *testing.T) {
	q := wanted(t)
	own := scene.Kit{Lenses: []scene.Lens{lens(360, 4, 5.6, 8, 11, 16, 22)}}
	first := map[pose.Support]scene.Choice{}
	for _, support := range pose.Supports() {
		q.Support = support
		first[support] = chosen(t, q, own).Ranked[0]
		t.Logf("%s: %v, %s, still %.2f, no smear %.3f, score %.3f; %s", support, first[support].Stop, first[support].Moves,
			first[support].Stillness, first[support].NoSmear, first[support].Score, first[support].Trade)
	}
	if rest, free := first[pose.HeadRest], first[pose.Standing]; rest.Stop >= free.Stop || rest.Stillness < free.Stillness {
		t.Errorf("with a head rest %v (still %.2f), standing %v (still %.2f): depth is worth most to who sways most",
			rest.Stop, rest.Stillness, free.Stop, free.Stillness)
	}
}

// A flash is over before anybody sways: then the smallest stop it reaches has the most depth, and the seconds are none.
func TestFlashReachesAStop(t *testing.T) {
	q := wanted(t)
	q.Light = scene.Light{Index: 1, Flash: 30000}
	q.Support = pose.Seated
	c := chosen(t, q, scene.Kit{Lenses: []scene.Lens{lens(360, 4, 5.6, 8, 11, 16, 22)}})
	if k := c.Ranked[0]; k.Stop != 8 || k.Seconds != 0 || k.Spare < 0 {
		t.Errorf("first of all %v, %v s, %v to spare", k.Stop, k.Seconds, k.Spare)
	}
	// C N²(1+m)²/S: f/8 at m = 215.9/650 takes 28 400 lx·s, f/11 53 700.
	if len(c.Refused) != 1 || !strings.Contains(c.Refused[0].Why, "f/11 to f/22") || !strings.Contains(c.Refused[0].Why, "0.9 stops more light") {
		t.Errorf("refused: %v", c.Refused)
	}
	for _, k := range c.Ranked {
		near(t, "lx·s", float64(k.Needed), 250*math.Pow(float64(k.Stop)*(1+k.Magnification), 2), 1e-6, "C N²(1+m)²/S")
	}
}

func TestCatsEye(t *testing.T) {
	q := wanted(t)
	l := lens(360, 4, 16)
	l.Rims = optics.Rims{Front: 95, Rear: 85, Barrel: 190}
	q.Swirl = scene.MuchSwirl
	bare := lens(300, 4)
	c := chosen(t, q, scene.Kit{Lenses: []scene.Lens{l, bare}})
	for _, k := range c.Ranked {
		switch {
		case k.Lens == bare.Name && k.Swirl != nil:
			t.Error("a swirl is told of a lens whose rims are not known")
		case k.Lens == l.Name && k.Stop == 4 && !(k.Swirl.Corner > 0.1 && k.Swirl.Corner < 1 && k.Swirl.Face < k.Swirl.Corner):
			t.Errorf("wide open the cat's eye is %+v", *k.Swirl)
		case k.Lens == l.Name && k.Stop == 16 && k.Swirl.Corner > 1e-12:
			t.Errorf("at f/16 the stop fits within the rims, and the cat's eye is %+v", *k.Swirl)
		}
	}
	// independent: the rims' own answer for the corner, seen from a thin lens: half the diagonal over the extension.
	k := c.Ranked[slices.IndexFunc(c.Ranked, func(k scene.Choice) bool { return k.Lens == l.Name && k.Stop == 4 && k.Moves == scene.Square })]
	set, err := k.Setup.Lens.AtMagnification(k.Magnification)
	if err != nil {
		t.Fatal(err)
	}
	off := measure.Angle(math.Atan(float64(q.Plate.Diagonal()) / 2 / float64(k.Setup.Camera.Extension)))
	along, across, err := l.Rims.Eye(set, off)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "swirl at the corner", k.Swirl.Corner, 1-along/across, 1e-9, "the rims' own")
}

// A lens whose rims were measured wrong is refused, and those beside it are not; of a corner beyond any lens's field
// no swirl is told.
func TestWrongRimsAreOneLensesFault(t *testing.T) {
	q := wanted(t)
	wrong, wide, right := lens(360, 4), lens(15, 4), lens(300, 4)
	wrong.Name, wrong.Rims = "wrong", optics.Rims{Front: 95, Rear: 85, Barrel: 1900}
	wide.Name, wide.Rims = "wide", optics.Rims{Front: 5, Rear: 5, Barrel: 3}
	c := chosen(t, q, scene.Kit{Lenses: []scene.Lens{wrong, right, wide}})
	for _, k := range c.Ranked {
		if k.Lens == "wrong" || k.Lens == "wide" && k.Swirl != nil {
			t.Errorf("%s has a swirl of %+v", k.Lens, *k.Swirl)
		}
	}
	if len(c.Refused) != 1 || c.Refused[0].Lens != "wrong" || !strings.Contains(c.Refused[0].Why, "measure the barrel again") {
		t.Errorf("refused: %v", c.Refused)
	}
	for _, name := range []string{right.Name, wide.Name} {
		if !slices.ContainsFunc(c.Ranked, func(k scene.Choice) bool { return k.Lens == name }) {
			t.Errorf("a wrong lens takes %s with it", name)
		}
	}
}

// Movements stay within what the camera has, the front helping where it can.
func TestMovementsWithinLimits(t *testing.T) {
	q := wanted(t)
	own := scene.Kit{Lenses: []scene.Lens{lens(360, 4)}, Cameras: []scene.Camera{
		{Name: "fixed", Limits: &optics.Limits{}},
		{Name: "stiff", Limits: &optics.Limits{BackSwing: 2 * measure.Degree, BackTilt: 1 * measure.Degree}},
		{Name: "front", Limits: &optics.Limits{FrontSwing: 20 * measure.Degree, FrontTilt: 20 * measure.Degree}},
		{Name: "free", Limits: &optics.Limits{BackSwing: 20 * measure.Degree, BackTilt: 20 * measure.Degree}},
		{Name: "free too", Limits: &optics.Limits{BackSwing: 25 * measure.Degree, BackTilt: 25 * measure.Degree}},
	}}
	seen := map[string]map[scene.Moves]float64{}
	for _, k := range chosen(t, q, own).Ranked {
		worst := 0.0
		for _, target := range k.Targets {
			worst = max(worst, float64(target.Blur))
		}
		for _, name := range k.Cameras {
			limits := own.Cameras[slices.IndexFunc(own.Cameras, func(c scene.Camera) bool { return c.Name == name })].Limits
			if err := limits.Check(k.Setup); err != nil {
				t.Errorf("%s, %s: %v", name, k.Moves, err)
			}
			if seen[name] == nil {
				seen[name] = map[scene.Moves]float64{}
			}
			seen[name][k.Moves] = max(seen[name][k.Moves], worst)
		}
		switch {
		case k.Moves == scene.Square && len(k.Cameras) != 5:
			t.Errorf("square is for %v", k.Cameras)
		case k.Moves == scene.TiltAndSwing && slices.Contains(k.Cameras, "free") != slices.Contains(k.Cameras, "free too"):
			t.Errorf("cameras alike are kept apart: %v", k.Cameras)
		}
	}
	if _, moves := seen["fixed"][scene.TiltAndSwing]; moves || seen["fixed"][scene.Swung] != 0 {
		t.Error("a fixed camera moves")
	}
	for _, name := range []string{"front", "free"} {
		if w, ok := seen[name][scene.TiltAndSwing]; !ok || w > 1e-3 {
			t.Errorf("%s: three targets are drawn with %g mm at the worst", name, w)
		}
	}
	if stiff, square := seen["stiff"][scene.Swung], seen["stiff"][scene.Square]; !(stiff < 0.95*square) {
		t.Errorf("a stiff back brings the worst from %g to %g", square, stiff)
	}
}

func TestTwoHeads(t *testing.T) {
	q := wanted(t)
	q.Plate = q.Plate.Turned()
	q.Second = &scene.Second{Across: 260, Behind: 90}
	var err error
	if q.Targets, err = scene.TargetsOf(scene.TwoHeads, q.Figure); err != nil {
		t.Fatal(err)
	}
	q.Frame = scene.Framing{Least: 800, Greatest: 900}
	c := chosen(t, q, scene.Kit{Lenses: []scene.Lens{lens(300, 4, 16)}})
	for _, k := range c.Ranked {
		s := scene.Shot{Setup: k.Setup, Figure: q.Figure, Eyes: k.Eyes, Blur: q.Blur}
		second := s
		second.Eyes.X, second.Eyes.Z = s.Eyes.X+260, s.Eyes.Z+90
		near(t, "eyes of the second head", float64(k.Targets[2].Blur), float64(marks(t, second)[pose.RightEye].Blur), 1e-12, "the shot's own")
		if !k.Targets[2].Second || k.Targets[2].String() != "right eye of the second head" {
			t.Errorf("the third target is the %s", k.Targets[2])
		}
		near(t, "middle of the two", float64(s.Eyes.X+second.Eyes.X), 0, 1e-9, "both heads are framed")
	}
	// A swing that follows the line from one head to the other makes all four eyes sharp at a wide stop; square it takes a small one.
	open := slices.ContainsFunc(c.Ranked, func(k scene.Choice) bool { return k.Moves == scene.Square && k.Stop == 4 && k.AllSharp })
	swung := slices.IndexFunc(c.Ranked, func(k scene.Choice) bool { return k.Moves == scene.Swung && k.Stop == 4 })
	if open || swung < 0 || c.Ranked[swung].Setup.Camera.Back.Swing == 0 {
		t.Errorf("square at f/4 all eyes are sharp: %v; with a swing: %d", open, swung)
	}
}

// Every refusal says why with its figures, and what it says would do does.
func TestRefusalsSayWhatWouldDo(t *testing.T) {
	limits := func(l optics.Limits) []scene.Camera { return []scene.Camera{{Name: "box", Limits: &l}} }
	for name, tt := range map[string]struct {
		change func(q *scene.Wanted, own *scene.Kit)
		parts  []string
		mend   func(q *scene.Wanted, own *scene.Kit)
	}{
		"bellows": {
			func(q *scene.Wanted, own *scene.Kit) { own.Cameras = limits(optics.Limits{Longest: 440}) },
			[]string{"the bellows are too short", "lens 360 needs at least 480 mm", "box reaches 440 mm", "a focal length of at most 330 mm", "972 mm of the sitter or more"},
			func(q *scene.Wanted, own *scene.Kit) { own.Lenses[0].Focal = 330 },
		},
		"bellows, framed looser": {
			func(q *scene.Wanted, own *scene.Kit) { own.Cameras = limits(optics.Limits{Longest: 440}) },
			[]string{"972 mm of the sitter or more"},
			func(q *scene.Wanted, own *scene.Kit) { q.Frame = scene.Framing{Least: 972, Greatest: 980} },
		},
		"bellows that do not close": {
			func(q *scene.Wanted, own *scene.Kit) { own.Cameras = limits(optics.Limits{Shortest: 700}) },
			[]string{"do not close far enough", "no less than 700 mm", "a focal length of at least 474 mm", "228 mm of the sitter or less"},
			func(q *scene.Wanted, own *scene.Kit) { q.Frame = scene.Framing{Least: 220, Greatest: 228} },
		},
		"room": {
			func(q *scene.Wanted, own *scene.Kit) { q.Room = 2800 },
			[]string{"the room is too short", "there are 2.80 m", "3.2 m of room", "a focal length of at most 284 mm"},
			func(q *scene.Wanted, own *scene.Kit) { own.Lenses[0].Focal = 284 },
		},
		"more room": {
			func(q *scene.Wanted, own *scene.Kit) { q.Room = 2800 },
			[]string{"3.2 m of room"},
			func(q *scene.Wanted, own *scene.Kit) { q.Room = 3200 },
		},
		"room for nobody": {
			func(q *scene.Wanted, own *scene.Kit) { q.Room = 1000 },
			[]string{"there are 1.00 m; 3.2 m of room, would do"},
			func(q *scene.Wanted, own *scene.Kit) { q.Room = 3200 },
		},
		"circle": {
			func(q *scene.Wanted, own *scene.Kit) { own.Lenses[0].Circle = 180 },
			[]string{"the circle is too small", "lens 360 covers 266 mm", "diagonal is 272 mm", "423 mm of the sitter or less"},
			func(q *scene.Wanted, own *scene.Kit) { q.Frame.Least = 423 },
		},
		"back": {
			func(q *scene.Wanted, own *scene.Kit) {
				own.Cameras = []scene.Camera{{Name: "half-plate camera", Back: measure.PlateSize{Width: 139.7, Height: 107.95}}}
			},
			[]string{"165 × 216 mm is larger than the back of half-plate camera, 140 × 108 mm"},
			func(q *scene.Wanted, own *scene.Kit) { q.Plate = measure.PlateSize{Width: 107.95, Height: 139.7} },
		},
		"too dark": {
			func(q *scene.Wanted, own *scene.Kit) { q.Light.Longest = 1 },
			[]string{"too long an exposure", "lens 360 at f/4 takes", "the longest is 1 s", "0.9 stops more light"},
			func(q *scene.Wanted, own *scene.Kit) { q.Light.Steady *= 1.8660659830736148 }, // 2^0.9
		},
		"too little flash": {
			func(q *scene.Wanted, own *scene.Kit) { q.Light = scene.Light{Index: 1, Flash: 4000} },
			[]string{"too little flash", "asks for 7100 lx·s or more", "there are 4000", "0.9 stops more light"},
			func(q *scene.Wanted, own *scene.Kit) { q.Light.Flash *= 1.8660659830736148 },
		},
		"within the focal length": {
			func(q *scene.Wanted, own *scene.Kit) {
				q.Frame = scene.Framing{Least: 50, Greatest: 51}
				own.Lenses[0] = lens(30, 4)
			},
			[]string{"not beyond its focal length", "move it farther away or take a shorter lens"},
			func(q *scene.Wanted, own *scene.Kit) { q.Frame = scene.Framing{Least: 450, Greatest: 650} },
		},
	} {
		q, own := wanted(t), scene.Kit{Lenses: []scene.Lens{lens(360, 4)}}
		tt.change(&q, &own)
		c := chosen(t, q, own)
		if len(c.Ranked) != 0 || len(c.Refused) != 1 {
			t.Errorf("%s: %d choices, refused %v", name, len(c.Ranked), c.Refused)
			continue
		}
		for _, part := range tt.parts {
			if !strings.Contains(c.Refused[0].Why, part) {
				t.Errorf("%s: %q does not say %q", name, c.Refused[0].Why, part)
			}
		}
		tt.mend(&q, &own)
		if c := chosen(t, q, own); len(c.Ranked) == 0 {
			t.Errorf("%s: what would do does not: %v", name, c.Refused)
		}
	}
}

// What is the lens's or the room's fault is said once, whatever cameras there are; what is a camera's, of that camera.
func TestRefusalsAreSaidOnce(t *testing.T) {
	q := wanted(t)
	small := lens(150, 8)
	small.Circle = 100
	own := scene.Kit{Lenses: []scene.Lens{lens(360, 4), small}, Cameras: []scene.Camera{
		{Name: "short", Limits: &optics.Limits{Longest: 400}}, {Name: "long", Limits: &optics.Limits{Longest: 900}}}}
	c := chosen(t, q, own)
	if len(c.Refused) != 2 || c.Refused[0].Camera != "short" || c.Refused[1].Camera != "" || c.Refused[1].Lens != small.Name {
		t.Errorf("refused: %v", c.Refused)
	}
	for _, k := range c.Ranked {
		if !slices.Equal(k.Cameras, []string{"long"}) {
			t.Errorf("made by %v", k.Cameras)
		}
	}
}

func TestWantedRefuses(t *testing.T) {
	for name, change := range map[string]func(q *scene.Wanted, own *scene.Kit){
		"nothing sharp":        func(q *scene.Wanted, own *scene.Kit) { q.Targets = nil },
		"a hand that is hid":   func(q *scene.Wanted, own *scene.Kit) { q.Targets = []scene.Target{{Landmark: pose.LeftHand}} },
		"no second head":       func(q *scene.Wanted, own *scene.Kit) { q.Targets[0].Second = true },
		"no light":             func(q *scene.Wanted, own *scene.Kit) { q.Light.Steady = 0 },
		"two lights":           func(q *scene.Wanted, own *scene.Kit) { q.Light.Flash = 1000 },
		"framing upside down":  func(q *scene.Wanted, own *scene.Kit) { q.Frame.Least, q.Frame.Greatest = 700, 600 },
		"no index":             func(q *scene.Wanted, own *scene.Kit) { q.Light.Index = 0 },
		"a light that is none": func(q *scene.Wanted, own *scene.Kit) { q.Light.Steady = -math.MaxFloat64 },
		"no support":           func(q *scene.Wanted, own *scene.Kit) { q.Support = "hammock" },
		"swirl of some kind":   func(q *scene.Wanted, own *scene.Kit) { q.Swirl = "some" },
		"a lens without stops": func(q *scene.Wanted, own *scene.Kit) { own.Lenses[0].Stops = nil },
		"a lens of no length":  func(q *scene.Wanted, own *scene.Kit) { own.Lenses[0].Focal = 0 },
		"blur that is none":    func(q *scene.Wanted, own *scene.Kit) { q.Blur = measure.Length(math.NaN()) },
	} {
		q, own := wanted(t), scene.Kit{Lenses: []scene.Lens{lens(360, 4)}}
		change(&q, &own)
		if c, err := scene.Choose(q, own); err == nil {
			t.Errorf("%s: %d choices", name, len(c.Ranked))
		}
	}
	if _, err := scene.TargetsOf("left knee", sitter(t, 0)); err == nil {
		t.Error("a knee is known by name")
	}
	if _, err := scene.FramingOf("full length", 1); err == nil {
		t.Error("a framing nobody defined is known")
	}
}

// The names of what must be sharp and of framings all answer.
func TestNamesAnswer(t *testing.T) {
	q := wanted(t)
	q.Second = &scene.Second{Across: 250}
	for _, name := range scene.TargetNames() {
		var err error
		if q.Targets, err = scene.TargetsOf(name, q.Figure); err != nil {
			t.Fatal(err)
		}
		for _, framing := range scene.FramingNames() {
			if q.Frame, err = scene.FramingOf(framing, 1); err != nil {
				t.Fatal(err)
			}
			if c := chosen(t, q, scene.Kit{Lenses: []scene.Lens{lens(360, 8)}}); len(c.Ranked) == 0 {
				t.Errorf("%s, %s: %v", name, framing, c.Refused)
			}
		}
	}
	// Turned to the photographer's right, the sitter's right ear is nearer.
	if all, _ := scene.TargetsOf(scene.NoseToEar, q.Figure); all[3].Landmark != pose.RightEar {
		t.Errorf("the nearer ear is the %s", all[3])
	}
}

// identity: a lens whose rear principal plane lies so far ahead of its board lets the bellows be as much longer,
// and makes the same choices on a camera whose bellows are shorter by that.
func TestChooseFromTheBoard(t *testing.T) {
	q := wanted(t)
	made := func(ahead, shortest, longest measure.Length) scene.Chosen {
		l := lens(360, 4)
		l.Ahead = ahead
		return chosen(t, q, scene.Kit{Lenses: []scene.Lens{l}, Cameras: []scene.Camera{{Name: "camera", Limits: &optics.Limits{Shortest: shortest, Longest: longest}}}})
	}
	at, ahead, short := made(0, 200, 500), made(60, 140, 440), made(0, 140, 440)
	if len(at.Ranked) == 0 || !reflect.DeepEqual(at, ahead) {
		t.Errorf("with the plane at the board %d ways, ahead of it %d", len(at.Ranked), len(ahead.Ranked))
	}
	if len(short.Refused) == 0 {
		t.Errorf("bellows of 440 mm serve a lens of 360 mm at its board: %d ways", len(short.Ranked))
	}
}
