package studio_test

import (
	"errors"
	"math"
	"testing"
	"time"

	"platewright/internal/studio"
	"platewright/light"
	"platewright/light/flash"
	"platewright/measure"
)

func window() studio.Window {
	return studio.Window{Name: " North  window ", Facing: 350 * measure.Degree, Width: 1800, Height: 2100, Sill: 800, SkyShare: 0.7, Distance: 1500}
}

func rig() studio.Rig {
	return studio.Rig{Name: "Two heads", Heads: []studio.RigHead{
		{Name: "key", Energy: 2400, Efficacy: 26, Tube: light.UVCut, Spread: flash.Softbox, Width: 800, Height: 1200, Through: 0.6, Gain: 9, Distance: 1200, Angle: 30 * measure.Degree},
		{Name: "fill", Energy: 600, Efficacy: 26, Tube: light.ClearTube, Spread: flash.Reflector, Gain: 5, Through: 0.5, Distance: 2000, Angle: -50 * measure.Degree, Pops: 2},
	}}
}

const lamp = "nm;W\n400;0,1\n420;1\n440;0,5\n460;0,5\n480;0,5\n"

// refusedAt holds that err is an *Invalid with a problem at exactly one field.
func refusedAt(t *testing.T, what string, err error, field string) {
	t.Helper()
	var invalid *studio.Invalid
	if !errors.As(err, &invalid) || invalid.Of(field) == "" {
		t.Errorf("%s: got %v, want a problem at %s", what, err, field)
	}
}

func TestLightIsCheckedFieldByField(t *testing.T) {
	s, ctx := newHouse(t), t.Context()
	w, err := s.AddWindow(ctx, window())
	s.must(err)
	if w.Name != "North window" || w.Glazing != light.WindowGlass || w.Version != 1 {
		t.Errorf("kept as %+v", w)
	}
	_, err = s.AddWindow(ctx, window())
	refusedAt(t, "the same name", err, "name")
	for field, spoil := range map[string]func(*studio.Window){
		"name": func(w *studio.Window) { w.Name = "" }, "facing_deg": func(w *studio.Window) { w.Facing = 361 * measure.Degree },
		"width_mm": func(w *studio.Window) { w.Width = 0 }, "height_mm": func(w *studio.Window) { w.Height = 20_001 },
		"sill_mm": func(w *studio.Window) { w.Sill = -1 }, "sky_share": func(w *studio.Window) { w.SkyShare = 1.01 },
		"distance_mm": func(w *studio.Window) { w.Distance = measure.Length(math.NaN()) }, "glazing": func(w *studio.Window) { w.Glazing = "horn" },
	} {
		bad := window()
		bad.Name = "another"
		spoil(&bad)
		_, err := s.AddWindow(ctx, bad)
		refusedAt(t, field, err, field)
	}

	g, err := s.AddRig(ctx, rig())
	s.must(err)
	if k, f := g.Heads[0], g.Heads[1]; k.Gain != 0 || k.Pops != 1 || f.Through != 0 || f.Pops != 2 {
		t.Errorf("what a head does not have was kept: %+v", g.Heads)
	}
	for field, spoil := range map[string]func(*studio.Rig){
		"heads": func(g *studio.Rig) { g.Heads = nil }, "heads.1.name": func(g *studio.Rig) { g.Heads[1].Name = " " },
		"heads.0.energy_j": func(g *studio.Rig) { g.Heads[0].Energy = 0 }, "heads.0.efficacy_lm_s_per_j": func(g *studio.Rig) { g.Heads[0].Efficacy = 500 },
		"heads.1.tube": func(g *studio.Rig) { g.Heads[1].Tube = "" }, "heads.1.spread": func(g *studio.Rig) { g.Heads[1].Spread = "lens" },
		"heads.1.gain": func(g *studio.Rig) { g.Heads[1].Gain = 0 }, "heads.0.width_mm": func(g *studio.Rig) { g.Heads[0].Width = 0 },
		"heads.0.through": func(g *studio.Rig) { g.Heads[0].Through = 1.2 }, "heads.0.distance_mm": func(g *studio.Rig) { g.Heads[0].Distance = 50 },
		"heads.0.angle_deg": func(g *studio.Rig) { g.Heads[0].Angle = 4 }, "heads.0.above_mm": func(g *studio.Rig) { g.Heads[0].Above = 1300 },
		"heads.0.pops": func(g *studio.Rig) { g.Heads[0].Pops = -1 }, "board_reflects": func(g *studio.Rig) { g.Board = studio.RigBoard{Width: 1000, Height: 1000, Distance: 1000} },
		"room_m2": func(g *studio.Rig) { g.RoomReflects = 0.4 }, "room_reflects": func(g *studio.Rig) { g.RoomSurface, g.RoomReflects = 80, 1 },
	} {
		bad := rig()
		bad.Name = "another"
		spoil(&bad)
		_, err := s.AddRig(ctx, bad)
		refusedAt(t, field, err, field)
	}

	_, err = s.AddSpectrum(ctx, studio.LightSpectrum{Name: "Panel", CSV: lamp})
	s.must(err)
	for what, csv := range map[string]string{"nothing": "", "a gap": "400,1\n450,1", "negative power": "400,1\n410,-1", "no light for a meter": "300,1\n310,1\n320,1"} {
		_, err := s.AddSpectrum(ctx, studio.LightSpectrum{Name: what, CSV: csv})
		refusedAt(t, what, err, "csv")
	}
	for field, spoil := range map[string]func(*studio.Profile){
		"latitude_deg": func(p *studio.Profile) { p.Latitude = -91 * measure.Degree }, "longitude_deg": func(p *studio.Profile) { p.Longitude = 181 * measure.Degree },
		"elevation_mm": func(p *studio.Profile) { p.Elevation = 9001 * measure.Metre },
	} {
		p, err := s.Profile(ctx)
		s.must(err)
		spoil(&p)
		_, err = s.ChangeProfile(ctx, p)
		refusedAt(t, field, err, field)
	}
}

// TestHeadsAgainstFlash holds a rig's record against package flash: what it reckons of a lone bare head is Q/(4 pi d²), an
// identity of inverse square.
func TestHeadsAgainstFlash(t *testing.T) {
	g := studio.Rig{Heads: []studio.RigHead{{Name: "bare", Energy: 1000, Efficacy: 35, Tube: light.ClearTube, Spread: flash.Bare, Distance: 1500, Pops: 1}}}
	got, err := g.Reckoned()
	if want := 35000 / (4 * math.Pi * 1.5 * 1.5); err != nil || math.Abs(float64(got)-want) > 1e-6*want {
		t.Errorf("%v lx s, %v; want %v", got, err, want)
	}
	trimmed, err := g.Flash(studio.RigGiven{Error: 1}).At()
	if err != nil || math.Abs(float64(trimmed.Front/got)-2) > 1e-9 {
		t.Errorf("a stop of trim makes %v of %v, %v", trimmed.Front, got, err)
	}
	two := rig()
	two.Heads[0].Pops = 1
	if kind, mixed := two.Kind(); kind != light.CutFlash || !mixed {
		t.Errorf("kind %s, mixed %v", kind, mixed)
	}
	eyes := studio.SeatedEyes
	if sky := window().Sky(eyes); sky.Sill != 800-eyes || sky.Facing != window().Facing {
		t.Errorf("to package sky it is %+v", sky)
	}
}

func TestRigReadingsAndSpeedsAreKept(t *testing.T) {
	s, ctx := newHouse(t), t.Context()
	g, err := s.AddRig(ctx, rig())
	s.must(err)
	r, err := studio.MeteredRig(g, light.FlashAt(32))
	s.must(err)
	reckoned, err := g.Reckoned()
	s.must(err)
	// H = C N²/S at index 100 [ISO2720]: f/32 is 2560 lx s.
	if want := math.Log2(2560 / float64(reckoned)); math.Abs(float64(r.Error)-want) > 1e-9 || r.Energy != 2400+2*600 || r.Distance != 1200 {
		t.Errorf("the meter makes %+v, want an error of %v", r, want)
	}
	r.ID, r.Taken, r.By = "given-one", start, " Ada  Quill "
	for range 2 { // sent again it changes nothing
		kept, err := s.KeepRigReading(ctx, r)
		if err != nil || kept.By != "Ada Quill" || kept.Received.IsZero() {
			t.Fatalf("kept %+v, %v", kept, err)
		}
	}
	anew := r
	anew.Note = "written anew"
	if _, err := s.KeepRigReading(ctx, anew); !errors.Is(err, studio.ErrConflict) {
		t.Errorf("another text under the id: %v, want a conflict", err)
	}
	all, err := s.RigReadings(ctx, g.ID)
	s.must(err)
	if len(all) != 1 {
		t.Fatalf("%d readings, want 1", len(all))
	}
	if known := studio.RigKnown(all); known.Error != r.Error || known.Sigma != r.Sigma || known.Basis.Reading != r.ID {
		t.Errorf("known is %+v", known)
	}
	nobody := r
	nobody.ID, nobody.Rig = "given-two", "rig-none"
	_, err = s.KeepRigReading(ctx, nobody)
	refusedAt(t, "no such rig", err, "rig")
	nobody = r
	nobody.ID, nobody.Plate = "given-three", studio.Number{Year: 2026, Serial: 99}
	_, err = s.KeepRigReading(ctx, nobody)
	refusedAt(t, "no such plate", err, "plate")

	_, err = s.WithdrawRigReading(ctx, studio.RigReading{ID: "gone-0001", Rig: g.ID, Taken: start, Note: "the dome was off", Withdraws: r.ID})
	s.must(err)
	if _, err := s.WithdrawRigReading(ctx, studio.RigReading{ID: "gone-0002", Rig: g.ID, Taken: start, Withdraws: r.ID}); !errors.Is(err, studio.ErrConflict) {
		t.Errorf("withdrawn twice: %v", err)
	}
	_, err = s.WithdrawRigReading(ctx, studio.RigReading{ID: "gone-0003", Rig: g.ID, Taken: start, Withdraws: "gone-0001"})
	refusedAt(t, "a withdrawal withdrawn", err, "withdraws")
	_, err = s.WithdrawRigReading(ctx, studio.RigReading{ID: "gone-0004", Rig: g.ID, Taken: start, Withdraws: "nothing-there"})
	refusedAt(t, "nothing withdrawn", err, "withdraws")
	all, err = s.RigReadings(ctx, g.ID)
	s.must(err)
	if known := studio.RigKnown(all); known.Error != 0 || known.Sigma != studio.UnmeasuredRig || known.Basis.Kind != studio.ByNothing {
		t.Errorf("after the withdrawal known is %+v", known)
	}

	found := studio.SpeedFound{ID: "speed-one", Index: 0.8, Kind: light.Shade, Sigma: 0.4, Taken: start}
	_, err = s.KeepSpeed(ctx, found)
	s.must(err)
	for field, spoil := range map[string]func(*studio.SpeedFound){
		"id": func(f *studio.SpeedFound) { f.ID = "x y" }, "exposure_index": func(f *studio.SpeedFound) { f.Index = 101 }, "light_kind": func(f *studio.SpeedFound) { f.Kind = "" },
		"sigma_stops": func(f *studio.SpeedFound) { f.Sigma = 0 }, "collodion": func(f *studio.SpeedFound) { f.Collodion = "nobody" },
		"plate": func(f *studio.SpeedFound) { f.Plate = studio.Number{Year: 2026, Serial: 99} }, "taken": func(f *studio.SpeedFound) { f.Taken = time.Time{} },
	} {
		bad := found
		bad.ID = "speed-bad"
		spoil(&bad)
		_, err := s.KeepSpeed(ctx, bad)
		refusedAt(t, field, err, field)
	}
	_, err = s.WithdrawSpeed(ctx, studio.SpeedFound{ID: "gone-0005", Taken: start, Note: "fogged", Withdraws: found.ID})
	s.must(err)
	speeds, err := s.Speeds(ctx)
	s.must(err)
	if len(speeds) != 2 || speeds[1].Index != found.Index || len(studio.StandingSpeeds(speeds)) != 0 {
		t.Errorf("speeds %+v", speeds)
	}
}

func TestSpeedOf(t *testing.T) {
	day := func(n int) time.Time { return start.AddDate(0, 0, n) }
	found := []studio.SpeedFound{
		{ID: "a", Index: 2, Kind: light.Shade, Sigma: 0.3, Collodion: "old", Taken: day(1)},
		{ID: "b", Index: 0.5, Kind: light.WhiteLED, Sigma: 0.4, Collodion: "new", Taken: day(2)},
		{ID: "c", Index: 1.5, Kind: light.Shade, Sigma: 0.3, Collodion: "old", Taken: day(3)},
		{ID: "d", Index: 9, Kind: light.Shade, Sigma: 0.1, Collodion: "new", Taken: day(4)},
		{ID: "e", Withdraws: "d", Taken: day(5)},
	}
	widened := measure.Stops(math.Hypot(0.3, 0.5))
	for _, tt := range []struct {
		what      string
		kind      light.Kind
		collodion studio.ID
		from      studio.ID
		same      bool
		sigma     measure.Stops
	}{
		{"the newest of kind and batch", light.Shade, "old", "c", true, 0.3},
		{"the kind with another batch, before the batch in another light", light.Shade, "new", "c", true, widened},
		{"the batch in another light", light.Tungsten, "new", "b", false, 0.4},
		{"any batch when none is told", light.Shade, "", "c", true, 0.3},
		{"another light and another batch: the newest", light.Tungsten, "third", "c", false, widened},
	} {
		got := studio.SpeedOf(found, tt.kind, tt.collodion)
		if got.From != tt.from || got.Same != tt.same || math.Abs(float64(got.Sigma-tt.sigma)) > 1e-12 || got.Basis.Kind != studio.ByBench {
			t.Errorf("%s: %+v", tt.what, got)
		}
	}
	if got := studio.SpeedOf(nil, light.Shade, ""); got.Index != 1 || got.Kind != light.AnyDaylight || got.Same || got.Basis.Kind != studio.ByNothing {
		t.Errorf("with nothing found: %+v", got)
	}
}

// TestJudged holds that plates with a word on them are told with it as it stands, and what they were given.
func TestJudged(t *testing.T) {
	h := newHouse(t)
	s, ctx := h.stock(), t.Context()
	g, err := h.AddRig(ctx, rig())
	h.must(err)
	planned := func(change func(*studio.Plan)) studio.Plate {
		plan := s.plan()
		plan.Exposure, plan.Magnification = 4*time.Second, 1
		plan.Lighting = studio.Lighting{Way: studio.Metered, Kind: light.Shade, Incident: 2000, Index: 1, IndexKind: light.Shade}
		change(&plan)
		p, err := h.PlanPlate(ctx, plan)
		h.must(err)
		return p
	}
	at := h.now
	event := func(p studio.Plate, kind studio.EventKind, detail studio.Detail) studio.ID {
		t.Helper()
		at = at.Add(time.Minute)
		h.now = at
		id := h.NewID()
		_, err := h.Record(ctx, p.Number, studio.Event{ID: id, Kind: kind, At: at, Device: "tablet", Detail: detail})
		h.must(err)
		return id
	}
	word := func(w int) studio.Detail {
		return studio.Detail{Verdict: &studio.Verdict{Word: w, Fate: studio.Keep}}
	}

	first := planned(func(*studio.Plan) {})
	event(first, studio.Poured, studio.Detail{})
	wrong := event(first, studio.Exposed, studio.Detail{ExposureS: 40})
	event(first, studio.Judged, word(2))
	_, err = h.Record(ctx, first.Number, studio.Event{ID: "put-right-1", Kind: studio.Corrected, Corrects: wrong, At: at, Device: "tablet",
		Detail: studio.Detail{Instead: &studio.Instead{At: at.Add(-2 * time.Minute), Detail: studio.Detail{ExposureS: 8}}}})
	h.must(err)

	taken := planned(func(*studio.Plan) {}) // its word is taken back
	event(taken, studio.Poured, studio.Detail{})
	gone := event(taken, studio.Judged, word(-3))
	_, err = h.Record(ctx, taken.Number, studio.Event{ID: "put-right-2", Kind: studio.Corrected, Corrects: gone, At: at, Device: "tablet", Detail: studio.Detail{Void: true}})
	h.must(err)

	flashed := planned(func(p *studio.Plan) {
		p.Lighting = studio.Lighting{Way: studio.ByFlash, Kind: light.CutFlash, Dose: 4000, Rig: g.ID, Energy: g.Energy(), Pops: 1}
	})
	event(flashed, studio.Poured, studio.Detail{})
	event(flashed, studio.Judged, word(-1))
	planned(func(*studio.Plan) {}) // only planned

	all, err := h.Judged(ctx, studio.JudgedFilter{})
	h.must(err)
	if len(all) != 2 || all[0].Plate.Number != flashed.Number || all[1].Plate.Number != first.Number {
		t.Fatalf("judged are %+v", all)
	}
	j := all[1]
	if j.Given != 8*time.Second || !j.Told || j.Verdict.Word != 2 || j.Offset != 0.8 || j.Right() != time.Duration(float64(8*time.Second)/math.Exp2(0.8)) {
		t.Errorf("the first is %+v", j)
	}
	// Identity: 2000 lx for 8 s at f/N, over N²(1+m)².
	n := float64(first.Plan.Stop.FNumber) * 2
	if e, ok := j.Exposure(); !ok || math.Abs(float64(e)-math.Log2(16000/(n*n))) > 1e-9 {
		t.Errorf("its exposure is %v, %v", e, ok)
	}
	if all[0].Told || all[0].Given != 4*time.Second || math.Abs(float64(all[0].Offset)+1./3) > 1e-12 {
		t.Errorf("the flashed is %+v", all[0])
	}
	for what, tt := range map[string]struct {
		f    studio.JudgedFilter
		want int
	}{
		"by light": {studio.JudgedFilter{Kind: light.Shade}, 1}, "by another light": {studio.JudgedFilter{Kind: light.Sun}, 0}, "by rig": {studio.JudgedFilter{Rig: g.ID}, 1},
		"by batch": {studio.JudgedFilter{Collodion: first.Plan.Collodion}, 2}, "by another batch": {studio.JudgedFilter{Collodion: "other"}, 0}, "only one": {studio.JudgedFilter{Most: 1}, 1},
	} {
		if got, err := h.Judged(ctx, tt.f); err != nil || len(got) != tt.want {
			t.Errorf("%s: %d plates, %v; want %d", what, len(got), err, tt.want)
		}
	}
	if _, ok, err := h.JudgedPlateOf(ctx, taken.Number); ok || err != nil {
		t.Errorf("a word taken back stands: %v, %v", ok, err)
	}

	// A plate a little dark had a third of a stop too little of the light that was reckoned for it.
	one, ok, err := h.JudgedPlateOf(ctx, flashed.Number)
	h.must(err)
	r, err := studio.JudgedRig(g, one)
	h.must(err)
	reckoned, err := g.Reckoned()
	h.must(err)
	if want := math.Log2(4000/float64(reckoned)) - 1./3; !ok || math.Abs(float64(r.Error)-want) > 1e-9 || r.Plate != flashed.Number {
		t.Errorf("the plate makes %+v, want an error of %v", r, want)
	}
	_, err = studio.JudgedRig(g, j)
	refusedAt(t, "a plate of another light", err, "plate")
}

// TestVerdictStops holds the words against the contract: a little about a third of a stop, too about two thirds to one,
// much a stop and a half or more, dark had too little.
func TestVerdictStops(t *testing.T) {
	for word := -3; word <= 3; word++ {
		offset, sigma, ok := studio.VerdictStops(word)
		mirror, _, _ := studio.VerdictStops(-word)
		size := math.Abs(float64(offset))
		within := map[int][2]float64{0: {0, 0}, 1: {0.33, 0.34}, 2: {2. / 3, 1}, 3: {1.5, 2.5}}[max(word, -word)]
		if !ok || offset != -mirror || sigma <= 0 || size < within[0] || size > within[1] || word < 0 && offset >= 0 {
			t.Errorf("%s is %v ± %v stops", studio.VerdictWord(word), offset, sigma)
		}
	}
	if _, _, ok := studio.VerdictStops(4); ok {
		t.Error("4 is a word")
	}
}

func TestPlanLightingIsChecked(t *testing.T) {
	h := newHouse(t)
	s, ctx := h.stock(), t.Context()
	for field, l := range map[string]studio.Lighting{
		"lighting_way": {Way: "guessed"}, "light_kind": {Kind: "moon"}, "index_kind": {IndexKind: "moon"}, "incident_lx": {Incident: -1}, "dose_lx_s": {Dose: light.LuxSeconds(math.Inf(1))},
		"exposure_index": {Index: 1e6}, "actinic_stops": {Actinic: measure.Stops(math.NaN())}, "energy_j": {Energy: -5}, "pops": {Pops: -1}, "from_plate": {FromPlate: studio.Number{Year: 2026, Serial: 400}},
		"band": {Low: 2, High: 1}, "window": {Window: "nowhere"}, "rig": {Rig: "nowhere"}, "spectrum": {Spectrum: "nowhere"},
	} {
		plan := s.plan()
		plan.Lighting = l
		_, err := h.PlanPlate(ctx, plan)
		refusedAt(t, field, err, field)
	}
}
