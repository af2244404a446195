package store_test

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"net/url"
	"os"
	"sync/atomic"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"platewright/chemistry"
	"platewright/internal/store"
	"platewright/internal/studio"
	"platewright/internal/studio/studiotest"
	"platewright/light"
	"platewright/light/flash"
	"platewright/measure"
)

// database is one kind of database the suite runs on.
type database struct {
	name  string
	where func(t testing.TB) string // a fresh one
}

const postgresURL = "PLATEWRIGHT_POSTGRES"

// each runs test on a fresh database of every kind there is.
func each(t *testing.T, test func(t *testing.T, where string)) {
	t.Helper()
	t.Parallel()
	for _, d := range databases() {
		t.Run(d.name, func(t *testing.T) {
			t.Parallel()
			test(t, d.where(t))
		})
	}
}

// TestMain says once, where everyone sees it, when half of the suite is left out.
func TestMain(m *testing.M) {
	if os.Getenv(postgresURL) == "" {
		fmt.Fprintln(os.Stderr, "internal/store: SKIPPED on PostgreSQL: "+postgresURL+" holds no postgres:// URL (see .ci/postgres)")
	}
	code := m.Run()
	if err := os.RemoveAll(benchFolder); err != nil && code == 0 {
		fmt.Fprintln(os.Stderr, err)
		code = 1
	}
	os.Exit(code)
}

func databases() []database {
	return []database{
		{"sqlite", func(t testing.TB) string { return t.TempDir() }},
		{"postgres", func(t testing.TB) string {
			where := os.Getenv(postgresURL)
			if where == "" {
				t.Skip("SKIPPED: PostgreSQL is not tested here, because " + postgresURL + " holds no postgres:// URL")
			}
			return freshSchema(t, where)
		}},
	}
}

var schemas atomic.Int64

// freshSchema makes a schema of the test's own and returns the URL that works in it.
func freshSchema(t testing.TB, where string) string {
	t.Helper()
	name := fmt.Sprintf("test_%d_%d", os.Getpid(), schemas.Add(1))
	run := func(statement string) {
		db, err := sql.Open("pgx", where)
		ok(t, err)
		_, err = db.Exec(statement)
		ok(t, errors.Join(err, db.Close()))
	}
	run("create schema " + name)
	t.Cleanup(func() { run("drop schema " + name + " cascade") })
	u, err := url.Parse(where)
	ok(t, err)
	q := u.Query()
	q.Set("search_path", name)
	u.RawQuery = q.Encode()
	return u.String()
}

func open(t testing.TB, where string) *store.Store {
	t.Helper()
	s, err := store.Open(context.Background(), where)
	ok(t, err)
	t.Cleanup(func() { ok(t, s.Close()) })
	return s
}

func ok(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func same(t testing.TB, what string, got, want any) {
	t.Helper()
	if diff := cmp.Diff(want, got, cmpopts.EquateEmpty()); diff != "" {
		t.Errorf("%s: want (-) and got (+) differ:\n%s", what, diff)
	}
}

// at is a time that shows whether microseconds are kept, and UTC.
var at = time.Date(2026, 7, 4, 9, 30, 15, 123456000, time.UTC)

func stamp() studio.Stamp {
	return studio.Stamp{Created: at, Changed: at.Add(time.Microsecond), Version: 1}
}

var (
	sitter = studio.Sitter{ID: "sitter-1", Name: "Żofia Łąka-Brown", Contact: "+00 555 0199", Note: "tall; \"sits\" still\n'quoted'", Stamp: stamp()}
	size   = measure.PlateSize{Name: "whole plate", Width: 165.1, Height: 215.9}

	sitting = studio.Sitting{ID: "sitting-1", Sitter: "sitter-1", At: at.Add(24 * time.Hour), Lasts: 90*time.Minute + 1, Purpose: "wedding gift",
		Size: size, Plates: 2, State: studio.Booked, Note: "brings a dog", Stamp: stamp()}
	lens = studio.Lens{ID: "lens-1", Name: "Portrait 12", Form: "two cells apart", Focal: 304.8, PupilMag: 0.93, Circle: 250,
		Stops: []studio.Stop{{Name: "f/4", FNumber: 4}, {Name: "No. 3", FNumber: 8.1}}, Design: "portrait", Barrel: 212.5, FrontGlass: 80, RearGlass: 81.5, BoardAhead: -12.25, FocalGuessed: true, Note: "haze", Retired: true, Stamp: stamp()}
	camera = studio.Camera{ID: "camera-1", Name: "Tailboard", Back: size, Shortest: 90, Longest: 812.5,
		FrontTilt: 15 * measure.Degree, FrontSwing: 10 * measure.Degree, BackTilt: 7.5 * measure.Degree, BackSwing: 5 * measure.Degree,
		Rise: 40, Fall: 25.5, Shift: 30, BaseTilt: true, Note: "light leak left", Retired: true, Stamp: stamp()}
	holder = studio.Holder{ID: "holder-1", Name: "Holder B", Size: size, Note: "corner wires", Retired: true, Stamp: stamp()}
	recipe = studio.Recipe{ID: "recipe-1", Body: chemistry.Recipe{Name: "Iron, plain", Kind: "developer", System: "metric",
		Parts: []chemistry.Part{{Substance: "water", Amount: 350, Unit: "ml", ToVolume: true, Note: "boiled", Source: "notebook"}, {Substance: "iron sulfate", Amount: 15.5, Unit: "g", Source: "notebook"}},
		Makes: chemistry.Amount{Value: 355, Unit: "ml"}, Source: "invented", Note: "n", Cautions: []string{"gloves"}, Unsafe: "taste"}, Own: true, Retired: true, Stamp: stamp()}
	batch = studio.Batch{ID: "batch-1", Name: "Iron 7", Recipe: "recipe-1", RecipeName: "Iron, plain", Kind: "developer", Mixed: at.Add(-time.Hour),
		Volume: 355.25, Note: "dark bottle", Retired: true, Stamp: stamp()}
	profile = studio.Profile{Name: "Lichthof", Units: studio.Imperial, Place: "By the canal", Cyanide: true, Room: 6096,
		Placed: true, Latitude: 48.2 * measure.Degree, Longitude: -16.3725 * measure.Degree, Elevation: 171_000, Stamp: stamp()}

	plan = studio.Plan{Sitting: "sitting-1", Size: size, Support: studio.DarkGlass, Lens: "lens-1", Stop: studio.Stop{Name: "No. 3", FNumber: 8.1},
		Camera: "camera-1", Holder: "holder-1", Distance: 2100.5, Magnification: 0.17, Extension: 356.6, Depth: 80.25, BlurLimit: 0.15,
		Exposure: 2333333333 * time.Nanosecond, Light: "north window", Collodion: "batch-1", Bath: "batch-1", Developer: "batch-1",
		Fixer: "batch-1", Varnish: "batch-1", Note: "chin up",
		Setting: studio.Setting{Turn: -30 * measure.Degree, Nod: 5 * measure.Degree, Lean: 2.5 * measure.Degree, Shoulders: -12 * measure.Degree, Body: "woman", Percentile: 5, Standing: true, Seat: 460,
			Hands: true, FocusOn: "left eye", Aimed: true, Below: -15.5, Rise: -12.5, Shift: 8, FrontTilt: 1 * measure.Degree, FrontSwing: 2 * measure.Degree, BackTilt: -3 * measure.Degree,
			BackSwing: 4.25 * measure.Degree, SitterSupport: studio.HeldHeadRest, Wait: 40*time.Second + 1},
		Lighting: studio.Lighting{Way: studio.ByFlash, Kind: light.CutFlash, Spectrum: "spectrum-1", Incident: 1500.5, Dose: 11459.25, Index: 0.8, IndexKind: light.Shade,
			Actinic: -1.56, Window: "light_window-1", Rig: "rig-1", Energy: 4800, Pops: 2, FromPlate: studio.Number{Year: 2026, Serial: 7}, Low: time.Second + 1, High: 4*time.Second + 1}}

	reading = studio.LensReading{ID: "reading-1", Lens: "lens-1", Method: studio.TwoMagnifications, Taken: at, Received: at.Add(time.Microsecond), By: "Żofia",
		Question: `{"method": "two magnifications"}`, Answer: `{"focal_mm": 304.8}`, Note: "the 'second' day", Withdraws: "reading-0"}

	window = studio.Window{ID: "light_window-1", Name: "North", Facing: 352.5 * measure.Degree, Width: 2400, Height: 2100.5, Sill: 800, SkyShare: 0.7,
		Glazing: light.WindowGlass, Distance: 1500, Blind: true, Note: "limes in summer", Retired: true, Stamp: stamp()}
	rig = studio.Rig{ID: "rig-1", Name: "Two heads", Heads: []studio.RigHead{
		{Name: "key", Energy: 2400, Efficacy: 38.5, Tube: light.ClearTube, Spread: flash.Softbox, Gain: 5, Width: 800, Height: 1200, Through: 0.6,
			Distance: 1200, Angle: 45 * measure.Degree, Above: 420.5, Pops: 2},
		{Name: "fill", Energy: 600, Efficacy: 35, Tube: light.UVCut, Spread: flash.Reflector, Gain: 5, Distance: 2000, Angle: -60 * measure.Degree, Pops: 1}},
		Board: studio.RigBoard{Width: 1000, Height: 2000, Distance: 1100.5, Angle: -80 * measure.Degree, Reflects: 0.8}, RoomSurface: 110.5, RoomReflects: 0.4, Note: "hot lamps out", Retired: true, Stamp: stamp()}
	spectrum = studio.LightSpectrum{ID: "spectrum-1", Name: "Panel", CSV: "nm, W\n400, 0.1\n420, 1\n", Note: "borrowed meter", Retired: true, Stamp: stamp()}

	rigReading = studio.RigReading{ID: "given-001", Rig: "rig-1", Method: studio.ByFlashMeter, Taken: at, Received: at.Add(time.Microsecond), By: "Żofia",
		Energy: 3000, Distance: 1200.5, Metered: 9000.25, Reckoned: 11459, Error: -0.35, Sigma: 0.25, Plate: studio.Number{Year: 2026, Serial: 12}, Note: "dome on", Withdraws: "given-000"}
	speed = studio.SpeedFound{ID: "speed-001", Index: 0.8, Kind: light.Shade, Sigma: 0.4, Collodion: "batch-1", Plate: studio.Number{Year: 2026, Serial: 12},
		Taken: at, Received: at.Add(time.Microsecond), By: "Żofia", Note: "fresh", Withdraws: "speed-000"}
)

// filled stores one record of every kind.
func filled(t testing.TB, r studio.Records) {
	t.Helper()
	ctx := context.Background()
	ok(t, r.SaveProfile(ctx, profile))
	ok(t, r.Sitters().Add(ctx, sitter))
	ok(t, r.Sittings().Add(ctx, sitting))
	ok(t, r.Lenses().Add(ctx, lens))
	ok(t, r.Cameras().Add(ctx, camera))
	ok(t, r.Holders().Add(ctx, holder))
	ok(t, r.Recipes().Add(ctx, recipe))
	ok(t, r.Batches().Add(ctx, batch))
	ok(t, r.Windows().Add(ctx, window))
	ok(t, r.Rigs().Add(ctx, rig))
	ok(t, r.Spectra().Add(ctx, spectrum))
}

// complete fails when a record of the test leaves a field at its zero value: then the round trip
// would not show that the field is kept.
func complete(t testing.TB, records ...any) {
	t.Helper()
	for _, r := range records {
		for _, path := range zeroFields(r) {
			t.Errorf("%T: the test's record leaves %s empty", r, path)
		}
	}
}

func book[T any](t *testing.T, kind string, b studio.Book[T], stored T, change func(*T, int), st func(*T) *studio.Stamp) {
	t.Helper()
	ctx := context.Background()
	id := studio.ID(kind + "-1")
	got, err := b.Find(ctx, id)
	ok(t, err)
	same(t, kind+" found", got, stored)
	all, err := b.All(ctx)
	ok(t, err)
	same(t, "all of "+kind, all, []T{stored})

	var conflict *studio.Conflict
	if err := b.Add(ctx, stored); !errors.As(err, &conflict) {
		t.Errorf("adding %s twice: got %v, want a *Conflict", kind, err)
	}
	if _, err := b.Find(ctx, "nobody"); !errors.Is(err, studio.ErrNotFound) {
		t.Errorf("finding no %s: got %v, want ErrNotFound", kind, err)
	}

	mine, yours := got, got
	change(&mine, 2)
	st(&mine).Version, st(&mine).Changed = 2, at.Add(time.Hour)
	ok(t, b.Change(ctx, mine))
	got, err = b.Find(ctx, id)
	ok(t, err)
	same(t, kind+" changed", got, mine)

	change(&yours, 3)
	st(&yours).Version = 2
	err = b.Change(ctx, yours)
	if !errors.As(err, &conflict) || !errors.Is(err, studio.ErrConflict) {
		t.Fatalf("changing an older %s: got %v, want a *Conflict", kind, err)
	}
	same(t, "conflict's kind", conflict.Kind, kind)
	same(t, "conflict's yours", conflict.Yours, any(yours))
	same(t, "conflict's theirs", conflict.Theirs, any(mine))
	got, err = b.Find(ctx, id)
	ok(t, err)
	same(t, kind+" after the conflict", got, mine)
}

func change[T any](set func(*T, string)) func(*T, int) {
	return func(r *T, n int) { set(r, fmt.Sprintf("version %d", n)) }
}

// TestBooks stores, finds, changes and refuses every kind of record, with every field filled; in
// memory too, so that what other tests stand on keeps the same promises.
func TestBooks(t *testing.T) {
	complete(t, profile, sitter, sitting, lens, camera, holder, recipe, batch, plan, reading, window, rig, spectrum, rigReading, speed)
	test := func(t *testing.T, r studio.Records) {
		filled(t, r)
		book(t, "sitter", r.Sitters(), sitter, change(func(r *studio.Sitter, s string) { r.Name = s }), func(r *studio.Sitter) *studio.Stamp { return &r.Stamp })
		book(t, "sitting", r.Sittings(), sitting, change(func(r *studio.Sitting, s string) { r.Purpose = s }), func(r *studio.Sitting) *studio.Stamp { return &r.Stamp })
		book(t, "lens", r.Lenses(), lens, change(func(r *studio.Lens, s string) { r.Stops = []studio.Stop{{Name: s, FNumber: 11}} }), func(r *studio.Lens) *studio.Stamp { return &r.Stamp })
		book(t, "camera", r.Cameras(), camera, change(func(r *studio.Camera, s string) { r.Note = s }), func(r *studio.Camera) *studio.Stamp { return &r.Stamp })
		book(t, "holder", r.Holders(), holder, change(func(r *studio.Holder, s string) { r.Note = s }), func(r *studio.Holder) *studio.Stamp { return &r.Stamp })
		book(t, "recipe", r.Recipes(), recipe, change(func(r *studio.Recipe, s string) { r.Body.Note = s }), func(r *studio.Recipe) *studio.Stamp { return &r.Stamp })
		book(t, "light_window", r.Windows(), window, change(func(r *studio.Window, s string) { r.Note = s }), func(r *studio.Window) *studio.Stamp { return &r.Stamp })
		book(t, "rig", r.Rigs(), rig, change(func(r *studio.Rig, s string) { r.Heads = []studio.RigHead{{Name: s}} }), func(r *studio.Rig) *studio.Stamp { return &r.Stamp })
		book(t, "spectrum", r.Spectra(), spectrum, change(func(r *studio.LightSpectrum, s string) { r.CSV = s }), func(r *studio.LightSpectrum) *studio.Stamp { return &r.Stamp })
		book(t, "batch", r.Batches(), batch, change(func(r *studio.Batch, s string) { r.Note = s }), func(r *studio.Batch) *studio.Stamp { return &r.Stamp })
	}
	t.Run("memory", func(t *testing.T) { test(t, studiotest.NewMemory()) })
	each(t, func(t *testing.T, where string) { test(t, open(t, where)) })
}

func TestProfile(t *testing.T) {
	each(t, func(t *testing.T, where string) {
		ctx, s := context.Background(), open(t, where)
		if _, err := s.Profile(ctx); !errors.Is(err, studio.ErrNotFound) {
			t.Errorf("before the first run: got %v, want ErrNotFound", err)
		}
		later := profile
		later.Version = 2
		if err := s.SaveProfile(ctx, later); !errors.Is(err, studio.ErrNotFound) {
			t.Errorf("changing what is not there: got %v, want ErrNotFound", err)
		}
		ok(t, s.SaveProfile(ctx, profile))
		got, err := s.Profile(ctx)
		ok(t, err)
		same(t, "profile", got, profile)
		var conflict *studio.Conflict
		other := profile
		other.Name = "Elsewhere"
		if err := s.SaveProfile(ctx, other); !errors.As(err, &conflict) {
			t.Fatalf("a second first run: got %v, want a *Conflict", err)
		}
		same(t, "theirs", conflict.Theirs, any(profile))
		same(t, "yours", conflict.Yours, any(other))
		ok(t, s.SaveProfile(ctx, later))
	})
}

// TestZeroTime holds that no time at all comes back as no time at all, and others to the microsecond.
func TestZeroTime(t *testing.T) {
	each(t, func(t *testing.T, where string) {
		ctx, s := context.Background(), open(t, where)
		r := studio.Sitter{ID: "sitter-0", Name: "N"}
		r.Changed = time.Date(2026, 1, 2, 3, 4, 5, 6789, time.FixedZone("east", 3600))
		ok(t, s.Sitters().Add(ctx, r))
		got, err := s.Sitters().Find(ctx, "sitter-0")
		ok(t, err)
		r.Changed = time.Date(2026, 1, 2, 2, 4, 5, 6000, time.UTC)
		same(t, "sitter", got, r)
	})
}

func TestOrderOfNamesAndTimes(t *testing.T) {
	each(t, func(t *testing.T, where string) {
		ctx, s := context.Background(), open(t, where)
		for i, name := range []string{"zeta", "Émile", "alpha", "Eva", "Ørsted", "oscar"} {
			ok(t, s.Sitters().Add(ctx, studio.Sitter{ID: studio.ID(fmt.Sprint("sitter-", i)), Name: name, Stamp: stamp()}))
		}
		all, err := s.Sitters().All(ctx)
		ok(t, err)
		var names []string
		for _, r := range all {
			names = append(names, r.Name)
		}
		same(t, "order", names, []string{"alpha", "Émile", "Eva", "Ørsted", "oscar", "zeta"})

		midnight := time.Date(2026, 5, 5, 0, 0, 0, 0, time.UTC)
		for i, h := range []int{24, 10, 0, -1, 23} {
			r := sitting
			r.ID, r.Sitter, r.At = studio.ID(fmt.Sprint("sitting-", i)), "sitter-0", midnight.Add(time.Duration(h)*time.Hour)
			ok(t, s.Sittings().Add(ctx, r))
		}
		day, err := s.SittingsBetween(ctx, midnight, midnight.AddDate(0, 0, 1))
		ok(t, err)
		var hours []float64
		for _, r := range day {
			hours = append(hours, r.At.Sub(midnight).Hours())
		}
		same(t, "the day's sittings", hours, []float64{0, 10, 23})

		other := sitting
		other.ID, other.Sitter, other.At = "sitting-of-another", "sitter-1", midnight
		ok(t, s.Sittings().Add(ctx, other))
		for who, want := range map[studio.ID][]studio.ID{
			"sitter-0": {"sitting-3", "sitting-2", "sitting-1", "sitting-4", "sitting-0"}, "sitter-1": {other.ID}, "sitter-2": nil, "nobody": nil,
		} {
			of, err := s.SittingsOf(ctx, who)
			ok(t, err)
			var ids []studio.ID
			for _, r := range of {
				ids = append(ids, r.ID)
			}
			same(t, "the sittings of "+string(who), ids, want)
		}
	})
}

func TestRefusedValues(t *testing.T) {
	each(t, func(t *testing.T, where string) {
		ctx, s := context.Background(), open(t, where)
		var invalid *studio.Invalid
		for _, name := range []string{"zero\x00byte", "broken \xff"} {
			if err := s.Sitters().Add(ctx, studio.Sitter{ID: "sitter-x", Name: name}); !errors.As(err, &invalid) || invalid.Of("name") == "" {
				t.Errorf("name %q: got %v, want an *Invalid of the name", name, err)
			}
		}
		bad := lens
		bad.Focal = measure.Length(nan())
		if err := s.Lenses().Add(ctx, bad); !errors.As(err, &invalid) || invalid.Of("focal_mm") == "" {
			t.Errorf("focal length NaN: got %v, want an *Invalid", err)
		}
		if err := s.Sittings().Add(ctx, sitting); err == nil {
			t.Error("a sitting of a sitter who is not there was stored")
		}
		if got, err := s.Sittings().All(ctx); err != nil || len(got) != 0 {
			t.Errorf("after the refusals: %v, %v; want nothing stored", got, err)
		}
	})
}

func TestSettings(t *testing.T) {
	each(t, func(t *testing.T, where string) {
		ctx, s := context.Background(), open(t, where)
		if _, err := s.Setting(ctx, "word"); !errors.Is(err, studio.ErrNotFound) {
			t.Errorf("got %v, want ErrNotFound", err)
		}
		for _, v := range []string{"first", "second"} {
			ok(t, s.SetSetting(ctx, "word", v))
			got, err := s.Setting(ctx, "word")
			ok(t, err)
			same(t, "setting", got, v)
		}
	})
}
