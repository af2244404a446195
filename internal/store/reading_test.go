package store_test

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"testing"
	"time"

	"platewright/internal/studio"
	"platewright/internal/studio/studiotest"
)

// TestLensReadings holds that a reading is kept once and in its order, whole, with its lens and no
// other; in memory too.
func TestLensReadings(t *testing.T) {
	test := func(t *testing.T, r studio.Records) {
		ctx := context.Background()
		filled(t, r)
		other := lens
		other.ID, other.Name = "lens-2", "another"
		ok(t, r.Lenses().Add(ctx, other))
		var want []studio.LensReading
		for i := range 12 { // more than nine, so that an order by words would show
			m := reading
			m.ID, m.Taken = studio.ID(fmt.Sprint("reading-", 12-i)), at.AddDate(0, 0, -i)
			want = append(want, m)
			for _, wantFresh := range []bool{true, false} {
				fresh, err := r.AddLensReading(ctx, m)
				ok(t, err)
				same(t, "fresh", fresh, wantFresh)
				m.Note = "sent again, and told otherwise"
			}
		}
		got, err := r.LensReadings(ctx, lens.ID)
		ok(t, err)
		same(t, "readings", got, want)
		for _, none := range []studio.ID{"lens-2", "lens-3", "", "zero\x00byte"} {
			got, err := r.LensReadings(ctx, none)
			ok(t, err)
			same(t, "readings of "+string(none), got, []studio.LensReading{})
		}
		elsewhere := reading
		elsewhere.Lens = "lens-2"
		if fresh, err := r.AddLensReading(ctx, elsewhere); fresh || !errors.Is(err, studio.ErrConflict) {
			t.Errorf("a reading of another lens: got %v, %v; want ErrConflict", fresh, err)
		}
		elsewhere.ID, elsewhere.Lens = "reading-x", "lens-3"
		if fresh, err := r.AddLensReading(ctx, elsewhere); fresh || !errors.Is(err, studio.ErrNotFound) {
			t.Errorf("a reading of no lens: got %v, %v; want ErrNotFound", fresh, err)
		}
	}
	t.Run("memory", func(t *testing.T) { test(t, studiotest.NewMemory()) })
	each(t, func(t *testing.T, where string) { test(t, open(t, where)) })
}

// TestRigReadingsAndSpeeds holds for flash rigs and found speeds what TestLensReadings holds for lenses.
func TestRigReadingsAndSpeeds(t *testing.T) {
	test := func(t *testing.T, r studio.Records) {
		ctx := context.Background()
		filled(t, r)
		other := rig
		other.ID, other.Name = "rig-2", "another"
		ok(t, r.Rigs().Add(ctx, other))
		var given []studio.RigReading
		var speeds []studio.SpeedFound
		for i := range 12 {
			g, f := rigReading, speed
			g.ID, f.ID = studio.ID(fmt.Sprint("given-", 12-i)), studio.ID(fmt.Sprint("speed-", 12-i))
			g.Taken, f.Taken = at.AddDate(0, 0, -i), at.AddDate(0, 0, -i)
			f.Received = at.Add(time.Duration(i) * time.Second)
			if i == 3 {
				f.Collodion, f.Plate, f.Withdraws = "", studio.Number{}, ""
			}
			given, speeds = append(given, g), append(speeds, f)
			for _, wantFresh := range []bool{true, false} {
				fresh, err := r.AddRigReading(ctx, g)
				ok(t, err)
				same(t, "fresh reading", fresh, wantFresh)
				fresh, err = r.AddSpeed(ctx, f)
				ok(t, err)
				same(t, "fresh speed", fresh, wantFresh)
				g.Note, f.Note = "sent again, and told otherwise", "sent again, and told otherwise"
			}
		}
		got, err := r.RigReadings(ctx, rig.ID)
		ok(t, err)
		same(t, "readings", got, given)
		found, err := r.Speeds(ctx)
		ok(t, err)
		same(t, "speeds", found, speeds)
		for _, none := range []studio.ID{"rig-2", "rig-3", "", "zero\x00byte"} {
			got, err := r.RigReadings(ctx, none)
			ok(t, err)
			same(t, "readings of "+string(none), got, []studio.RigReading{})
		}
		elsewhere := given[0]
		elsewhere.Rig = "rig-2"
		if fresh, err := r.AddRigReading(ctx, elsewhere); fresh || !errors.Is(err, studio.ErrConflict) {
			t.Errorf("a reading of another rig: got %v, %v; want ErrConflict", fresh, err)
		}
		elsewhere.ID, elsewhere.Rig = "given-x", "rig-3"
		if fresh, err := r.AddRigReading(ctx, elsewhere); fresh || !errors.Is(err, studio.ErrNotFound) {
			t.Errorf("a reading of no rig: got %v, %v; want ErrNotFound", fresh, err)
		}
	}
	t.Run("memory", func(t *testing.T) { test(t, studiotest.NewMemory()) })
	each(t, func(t *testing.T, where string) { test(t, open(t, where)) })
}

// TestReadingsStay holds that the database itself refuses to change or delete a reading.
func TestReadingsStay(t *testing.T) {
	each(t, func(t *testing.T, where string) {
		s := open(t, where)
		filled(t, s)
		_, err := s.AddLensReading(context.Background(), reading)
		ok(t, err)
		_, err = s.AddRigReading(context.Background(), rigReading)
		ok(t, err)
		_, err = s.AddSpeed(context.Background(), speed)
		ok(t, err)
		db := raw(t, where)
		for _, table := range []string{"lens_reading", "rig_reading", "speed_found"} {
			for _, statement := range []string{"update " + table + " set note = 'x'", "delete from " + table} {
				if _, err := db.Exec(statement); err == nil {
					t.Errorf("%q was done", statement)
				}
			}
		}
		got, err := s.LensReadings(context.Background(), lens.ID)
		ok(t, err)
		same(t, "readings", got, []studio.LensReading{reading})
		given, err := s.RigReadings(context.Background(), rig.ID)
		ok(t, err)
		same(t, "rig's readings", given, []studio.RigReading{rigReading})
		found, err := s.Speeds(context.Background())
		ok(t, err)
		same(t, "speeds", found, []studio.SpeedFound{speed})
	})
}

// TestReadingsAtOnce lets several hands keep readings of one lens at one moment.
func TestReadingsAtOnce(t *testing.T) {
	each(t, func(t *testing.T, where string) {
		s := open(t, where)
		filled(t, s)
		errs := make([]error, 24)
		var all sync.WaitGroup
		for i := range errs {
			all.Go(func() {
				m := reading
				m.ID = studio.ID(fmt.Sprint("reading-", i%12))
				_, errs[i] = s.AddLensReading(context.Background(), m)
			})
		}
		all.Wait()
		ok(t, errors.Join(errs...))
		got, err := s.LensReadings(context.Background(), lens.ID)
		ok(t, err)
		same(t, "readings", len(got), 12)
	})
}
