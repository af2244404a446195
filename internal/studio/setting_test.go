package studio_test

import (
	"errors"
	"testing"
	"time"

	"platewright/internal/studio"
	"platewright/measure"
	"platewright/optics"
	"platewright/pose"
)

// A plan keeps its setting; one that no camera or sitter could take is refused by the field's name.
func TestSettings(t *testing.T) {
	h := newHouse(t)
	whole := studio.Setting{Turn: -30 * measure.Degree, Nod: 5 * measure.Degree, Lean: 3 * measure.Degree, Body: "woman", Percentile: 50, Seat: 450, Hands: true,
		FocusOn: "left eye", Aimed: true, Below: 35, Rise: 20, Shift: -10, FrontTilt: 2 * measure.Degree, BackSwing: -3 * measure.Degree, SitterSupport: studio.HeldHeadRest, Wait: time.Minute}
	p, err := h.PlanPlate(t.Context(), studio.Plan{Size: halfPlate, Setting: whole})
	h.must(err)
	story, err := h.Plate(t.Context(), p.Number)
	h.must(err)
	if story.Plan.Setting != whole || whole.Square() || !(studio.Setting{Turn: 1}).Square() {
		t.Errorf("kept is %+v", story.Plan.Setting)
	}
	var invalid *studio.Invalid
	for field, spoil := range map[string]func(*studio.Setting){
		"turn_deg": func(s *studio.Setting) { s.Turn = 91 * measure.Degree }, "nod_deg": func(s *studio.Setting) { s.Nod = -46 * measure.Degree },
		"lean_deg": func(s *studio.Setting) { s.Lean = -21 * measure.Degree }, "shoulders_deg": func(s *studio.Setting) { s.Shoulders = 91 * measure.Degree }, "front_tilt_deg": func(s *studio.Setting) { s.FrontTilt = 61 * measure.Degree },
		"front_swing_deg": func(s *studio.Setting) { s.FrontSwing = -61 * measure.Degree }, "back_tilt_deg": func(s *studio.Setting) { s.BackTilt = 61 * measure.Degree },
		"back_swing_deg": func(s *studio.Setting) { s.BackSwing = 61 * measure.Degree }, "rise_mm": func(s *studio.Setting) { s.Rise = 501 },
		"shift_mm": func(s *studio.Setting) { s.Shift = -501 }, "seat_mm": func(s *studio.Setting) { s.Seat = 149 }, "percentile": func(s *studio.Setting) { s.Percentile = 99.5 },
		"body": func(s *studio.Setting) { s.Body = "giant" }, "focus_on": func(s *studio.Setting) { s.FocusOn = "elbow" },
		"sitter_support": func(s *studio.Setting) { s.SitterSupport = "hanging" }, "wait_s": func(s *studio.Setting) { s.Wait = time.Hour + time.Second },
	} {
		bad := whole
		spoil(&bad)
		if _, err := h.PlanPlate(t.Context(), studio.Plan{Size: halfPlate, Setting: bad}); !errors.As(err, &invalid) || invalid.Of(field) == "" {
			t.Errorf("%s: got %v, want an *Invalid of it", field, err)
		}
	}
	if got, want := whole.Camera(300, 350), (optics.Camera{Focal: 300, Extension: 350, Lens: optics.Movement{Tilt: 2 * measure.Degree}, Back: optics.Movement{Swing: -3 * measure.Degree}}); got != want {
		t.Errorf("the camera is %+v, want %+v", got, want)
	}
	if got, err := whole.Pose(); err != nil || got.Turn != whole.Turn || got.Seat != 450 || got.Body.Who != pose.Woman || !got.Hands {
		t.Errorf("the pose is %+v, %v", got, err)
	}
	if got, err := (studio.Setting{}).Pose(); err != nil || got.Body.Who != pose.Adult || got.Body.Percentile != 50 || got.Seat != studio.CommonSeat || got.Check() != nil {
		t.Errorf("the pose of nothing said is %+v, %v", got, err)
	}
	if got, want := whole.Centre(), (optics.PlatePoint{X: -10, Y: 20}); got != want {
		t.Errorf("the axis meets the plate at %+v, want %+v", got, want)
	}
}

// What is told of lens, camera and room beyond the first questions is looked at as the rest is.
func TestEquipmentRanges(t *testing.T) {
	var invalid *studio.Invalid
	lens := studio.Lens{Name: "Brass", Focal: 300, Stops: []studio.Stop{{FNumber: 4}}, Barrel: 200, FrontGlass: 80, RearGlass: 80, BoardAhead: -2000, Design: "triplet"}
	if err := lens.Check(); err != nil {
		t.Errorf("a lens in order: %v", err)
	}
	for field, spoil := range map[string]func(*studio.Lens){
		"barrel_mm": func(l *studio.Lens) { l.Barrel = 2001 }, "front_glass_mm": func(l *studio.Lens) { l.FrontGlass = -1 },
		"rear_glass_mm": func(l *studio.Lens) { l.RearGlass = 1001 }, "board_ahead_mm": func(l *studio.Lens) { l.BoardAhead = -2001 },
		"design": func(l *studio.Lens) { l.Design = "window pane" },
	} {
		bad := lens
		spoil(&bad)
		if err := bad.Check(); !errors.As(err, &invalid) || invalid.Of(field) == "" {
			t.Errorf("%s: got %v, want an *Invalid of it", field, err)
		}
	}
	camera := studio.Camera{Name: "Field", Back: halfPlate, Shortest: 100, Longest: 500, FrontTilt: 60 * measure.Degree, Rise: 500}
	if err := camera.Check(); err != nil {
		t.Errorf("a camera in order: %v", err)
	}
	for field, spoil := range map[string]func(*studio.Camera){
		"front_tilt_deg": func(c *studio.Camera) { c.FrontTilt = 61 * measure.Degree }, "front_swing_deg": func(c *studio.Camera) { c.FrontSwing = -1 },
		"back_tilt_deg": func(c *studio.Camera) { c.BackTilt = -1 }, "back_swing_deg": func(c *studio.Camera) { c.BackSwing = 61 * measure.Degree },
		"rise_mm": func(c *studio.Camera) { c.Rise = 501 }, "fall_mm": func(c *studio.Camera) { c.Fall = -1 }, "shift_mm": func(c *studio.Camera) { c.Shift = -1 },
	} {
		bad := camera
		spoil(&bad)
		if err := bad.Check(); !errors.As(err, &invalid) || invalid.Of(field) == "" {
			t.Errorf("%s: got %v, want an *Invalid of it", field, err)
		}
	}
	h := newHouse(t)
	p, err := h.Profile(t.Context())
	h.must(err)
	for _, room := range []measure.Length{999, 100_001, -1} {
		p.Room = room
		if _, err := h.ChangeProfile(t.Context(), p); !errors.As(err, &invalid) || invalid.Of("room_mm") == "" {
			t.Errorf("a room of %v: got %v", room, err)
		}
	}
	p.Room = 6096
	if p, err = h.ChangeProfile(t.Context(), p); err != nil || p.Room != 6096 {
		t.Errorf("a room of 20 ft: %v, %v", p.Room, err)
	}
}
