package studio_test

import (
	"math"
	"strings"
	"testing"

	"platewright/internal/studio"
	"platewright/measure"
)

// Each limit of a camera's standards is kept to, and what goes beyond says how far and what would help.
func TestMovementsWithinTheCamera(t *testing.T) {
	camera := studio.Camera{Name: "Field", Back: size(t, "8x10"), Shortest: 100, Longest: 900,
		FrontTilt: 10 * measure.Degree, BackSwing: 5 * measure.Degree, Rise: 40, Fall: 20, Shift: 30}
	for _, tt := range []struct {
		name string
		set  studio.Setting
		want string // in the sentence; empty: nothing is said
		hint string
	}{
		{"square", studio.Setting{}, "", ""},
		{"all at their limits", studio.Setting{FrontTilt: -10 * measure.Degree, BackSwing: 5 * measure.Degree, Rise: 40, Shift: -30}, "", ""},
		{"fall at its limit", studio.Setting{Rise: -20}, "", ""},
		{"too much tilt", studio.Setting{FrontTilt: -12.5 * measure.Degree}, "Field has 10° of front tilt; this asks for 12.5°, 2.5° more.", "Tilt it less, or take a camera that goes further."},
		{"too much swing", studio.Setting{BackSwing: 7 * measure.Degree}, "Field has 5° of back swing; this asks for 7°, 2° more.", "turn the sitter"},
		{"no back tilt", studio.Setting{BackTilt: 3 * measure.Degree}, "Field has no back tilt; this asks for 3°.", "write down how far it goes"},
		{"no front swing", studio.Setting{FrontSwing: 3 * measure.Degree}, "Field has no front swing; this asks for 3°.", "Swing the back, or turn the sitter; if"},
		// At 400 mm of extension a 300 mm lens draws at a third: 10 mm on the plate are 30 mm of the whole camera.
		{"too much rise", studio.Setting{Rise: 50}, "Field has 40\u2009mm of rise; this asks for 50\u2009mm, 10\u2009mm more.", "up by 30\u2009mm"},
		{"too much fall", studio.Setting{Rise: -30}, "Field has 20\u2009mm of fall; this asks for 30\u2009mm, 10\u2009mm more.", "down by 30\u2009mm"},
		{"too much shift", studio.Setting{Shift: -40}, "Field has 30\u2009mm of shift; this asks for 40\u2009mm, 10\u2009mm more.", "aside by 30\u2009mm"},
	} {
		s := studio.Setup{Plate: size(t, "whole plate"), Lens: studio.Lens{Name: "L", Focal: 300}, Camera: &camera, Extension: 400, Units: measure.Metric, Setting: tt.set}
		got := s.Misfits()
		switch {
		case tt.want == "" && len(got) == 0:
		case tt.want == "" || len(got) != 1:
			t.Errorf("%s: %d misfits: %v", tt.name, len(got), got)
		case got[0].Field != "camera" || got[0].Sentence != tt.want || !strings.Contains(got[0].Hint, tt.hint):
			t.Errorf("%s: got %+v, want %q and %q", tt.name, got[0], tt.want, tt.hint)
		}
	}
}

// identity: where the swing carries the tilt, a tilt of 15° with a swing of 20° shows atan(tan 15° cos 20°) = 14.13°
// on its scale, where the tilt carries the swing, the swing shows atan(tan 20° cos 15°) = 19.37°.
func TestMovementsAsTheScalesShow(t *testing.T) {
	for _, tt := range []struct {
		base        bool
		tilt, swing measure.Angle
		want        string
	}{
		{false, 14.2, 20, ""}, {false, 14, 20, "back tilt; this asks for 14.1°"}, {false, 14.2, 19.8, "back swing; this asks for 20°"},
		{true, 15, 19.4, ""}, {true, 15, 19.2, "back swing; this asks for 19.4°"}, {true, 14.8, 19.4, "back tilt; this asks for 15°"},
	} {
		camera := studio.Camera{Name: "Field", Back: size(t, "8x10"), Shortest: 100, Longest: 900, BackTilt: tt.tilt * measure.Degree, BackSwing: tt.swing * measure.Degree, BaseTilt: tt.base}
		s := studio.Setup{Plate: size(t, "whole plate"), Lens: studio.Lens{Name: "L", Focal: 300}, Camera: &camera, Extension: 400, Units: measure.Metric,
			Setting: studio.Setting{BackTilt: 15 * measure.Degree, BackSwing: 20 * measure.Degree}}
		got := s.Misfits()
		if (tt.want == "") != (len(got) == 0) || tt.want != "" && !strings.Contains(got[0].Sentence, tt.want) {
			t.Errorf("%+v: got %v", tt, got)
		}
	}
}

// The bellows reaches from the board, not from the principal planes, where it is known how they lie apart.
func TestBellowsFromTheBoard(t *testing.T) {
	camera := studio.Camera{Name: "Field", Back: size(t, "8x10"), Shortest: 200, Longest: 500}
	for _, tt := range []struct {
		ahead, extension measure.Length
		want             string
	}{
		{0, 500, ""}, {0, 510, "needs 510\u2009mm, 10\u2009mm more"},
		{60, 560, ""}, {60, 561, "needs 501\u2009mm from lens board to plate, 1\u2009mm more"},
		{-60, 440, ""}, {-60, 441, "needs 501\u2009mm from lens board to plate"},
		{60, 260, ""}, {60, 259, "closes to 200\u2009mm; this needs 199\u2009mm from lens board to plate, 1\u2009mm less"},
	} {
		s := studio.Setup{Plate: size(t, "whole plate"), Lens: studio.Lens{Name: "L", Focal: 300, BoardAhead: tt.ahead}, Camera: &camera, Extension: tt.extension, Units: measure.Metric}
		if draw, known := s.Draw(); draw != tt.extension-tt.ahead || known != (tt.ahead != 0) {
			t.Errorf("board %v: draw %v, known %v", tt.ahead, draw, known)
		}
		got := s.Misfits()
		if (tt.want == "") != (len(got) == 0) || tt.want != "" && !strings.Contains(got[0].Sentence, tt.want) {
			t.Errorf("board %v, extension %v: got %v, want %q", tt.ahead, tt.extension, got, tt.want)
		}
	}
}

// identity: on a square camera with the lens risen, the farthest corner lies at the hypotenuse of half the
// width and half the height with the rise; the circle holds the plate as long as its radius is no less.
func TestCircleUnderRise(t *testing.T) {
	lens := studio.Lens{Name: "Number 5", Focal: 300, PupilMag: 0.9, Circle: 300, Stops: []studio.Stop{{Name: "f/4", FNumber: 4}}}
	s := studio.Setup{Plate: size(t, "whole plate"), Lens: lens, Extension: 330, Units: measure.Metric}
	radius := float64(s.CircleAt()) / 2
	if want := 150 * (0.9 + 0.1) / 0.9; math.Abs(radius-want) > 1e-9 { // exit pupil to plate over that at infinity
		t.Fatalf("radius %g, want %g", radius, want)
	}
	w, h := float64(s.Plate.Width), float64(s.Plate.Height)
	most := math.Sqrt(radius*radius-w*w/4) - h/2
	for _, tt := range []struct {
		rise float64
		cut  string
	}{{most - 0.01, ""}, {most + 0.01, "lower left"}, {-most + 0.01, ""}, {-most - 0.01, "upper left"}} {
		s.Setting = studio.Setting{Rise: measure.Length(tt.rise)}
		got := s.Misfits()
		if (tt.cut == "") != (len(got) == 0) {
			t.Errorf("rise %.2f mm of %.2f: got %v", tt.rise, most, got)
		} else if tt.cut != "" && (got[0].Field != "lens" || !strings.Contains(got[0].Sentence, tt.cut+" corner on the ground glass")) {
			t.Errorf("rise %.2f mm: got %v, want the %s corner", tt.rise, got, tt.cut)
		}
	}
	s.Setting.Rise = measure.Length(2.4 * most) // of which it takes 1/2.4, 41.7 hundredths
	if got := s.Misfits(); len(got) != 1 || !strings.Contains(got[0].Hint, "up to 41% of these movements: "+measure.Thin(measure.Length(math.Floor(most)).Format(measure.Metric))+" of rise") {
		t.Errorf("more rise than it takes: %v, want what would do", got)
	}
	// A lens that does not hold the plate square is not helped by less movement.
	s.Lens.Circle = 200
	if got := s.Misfits(); len(got) != 1 || strings.Contains(got[0].Hint, "of these movements") {
		t.Errorf("a small circle: %v", got)
	}
	// A plate that is tilted out of the lens's sight is said to be so.
	s.Setting = studio.Setting{BackTilt: 60 * measure.Degree, FrontTilt: -60 * measure.Degree}
	if got := s.Misfits(); len(got) != 1 || !strings.Contains(got[0].Sentence, "draws no picture") {
		t.Errorf("a plate behind the lens's back: %v", got)
	}
}

// What is advised of a movement that goes too far is only what the other standard can do.
func TestMovementsAreShared(t *testing.T) {
	for _, tt := range []struct {
		back measure.Angle
		want string
	}{{0, "Tilt it less, or take"}, {5, "Tilt it less, or take"}, {6, "Tilt both by half, or take"}, {12, "Tilt the back, or tilt both by half, or take"}} {
		camera := studio.Camera{Name: "Field", Back: size(t, "8x10"), Shortest: 100, Longest: 900, FrontTilt: 10 * measure.Degree, BackTilt: tt.back * measure.Degree}
		s := studio.Setup{Plate: size(t, "whole plate"), Lens: studio.Lens{Name: "L", Focal: 300}, Camera: &camera, Extension: 400, Units: measure.Metric,
			Setting: studio.Setting{FrontTilt: 12 * measure.Degree}}
		if got := s.Misfits(); len(got) != 1 || !strings.HasPrefix(got[0].Hint, tt.want) {
			t.Errorf("with a back of %g°: %v, want %q", float64(tt.back), got, tt.want)
		}
	}
}

// identity: from the sitter to the plate it is f(2 + m + 1/m), least at life size: what makes room for a lens is a larger
// image below it, a smaller one beyond it, and neither where four focal lengths are too much.
func TestAdviceForAShortRoom(t *testing.T) {
	for _, tt := range []struct {
		m, room measure.Length
		want    string
	}{{0.2, 3000, "Take more of the sitter's size"}, {3, 2400, "Take a smaller image"}, {0.2, 2100, "No size of image fits"}, {3, 2100, "No size of image fits"}} {
		s := studio.Setup{Plate: size(t, "whole plate"), Lens: studio.Lens{Name: "L", Focal: 300}, Extension: 300 * (1 + tt.m), Distance: 300 * (1 + 1/tt.m), Room: tt.room, Units: measure.Metric}
		if got := s.Misfits(); len(got) != 1 || !strings.HasPrefix(got[0].Hint, tt.want) {
			t.Errorf("at %g times life size in %g mm: %v, want %q", float64(tt.m), float64(tt.room), got, tt.want)
		}
	}
}

// A room is too short when eyes, camera and a metre behind it do not go into it, and not before.
func TestRoom(t *testing.T) {
	s := studio.Setup{Plate: size(t, "whole plate"), Lens: studio.Lens{Name: "L", Focal: 300}, Extension: 400, Distance: 2600, Room: 4000, Units: measure.Metric}
	if got := s.Misfits(); len(got) != 0 {
		t.Errorf("a room just long enough: %v", got)
	}
	s.Room = 3900
	got := s.Misfits()
	if len(got) != 1 || got[0].Field != "room" || !strings.Contains(got[0].Sentence, "a room 4\u2009m deep, and this one has 3.9\u2009m") || got[0].Hint == "" {
		t.Errorf("a room too short: %v", got)
	}
	s.Room = 0
	if got := s.Misfits(); len(got) != 0 {
		t.Errorf("a room unknown: %v", got)
	}
}
