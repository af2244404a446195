package demo_test

import (
	"math"
	"testing"

	"platewright/internal/demo"
	"platewright/internal/studio"
	"platewright/optics/bench"
)

// The bench of the invented studio knows three lenses: each measured focal length lies near the one that is
// written down, one reading disagrees with its neighbours and is kept, one set of readings is withdrawn.
func TestBench(t *testing.T) {
	for _, seed := range []uint64{0, 1, 2, 1857} {
		h := fill(t, demo.Options{Seed: seed, Today: noon})
		lenses, err := h.Lenses(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		measured, withdrawn, disagree := 0, 0, 0
		methods := make(map[studio.BenchMethod]bool)
		for _, l := range lenses {
			readings, err := h.LensReadings(t.Context(), l.ID)
			if err != nil {
				t.Fatal(err)
			}
			if len(readings) == 0 {
				continue
			}
			measured++
			for _, r := range readings {
				if r.Taken.After(noon) || !r.Received.Equal(r.Taken) {
					t.Errorf("seed %d: %s of %s was taken %v and received %v", seed, r.Method, l.Name, r.Taken, r.Received)
				}
				if r.Withdraws != "" {
					withdrawn++
					continue
				}
				methods[r.Method] = true
				answer, err := bench.ReadFound(r.Answer)
				if err != nil {
					t.Fatalf("seed %d: %s of %s: %v", seed, r.Method, l.Name, err)
				}
				for _, one := range answer.Readings {
					if one.Disagrees && l.Name == "Whole-plate brass 300" && r.Method == studio.TwoMagnifications {
						disagree++
					}
				}
			}
			k := studio.Known(l, readings)
			if k.FocalBasis.Kind != studio.ByBench || k.PlanesBasis.Kind != studio.ByBench || math.Abs(k.Focal.Over(l.Focal)-1) > 0.02 || k.FocalSD <= 0 || len(k.Unread) > 0 {
				t.Errorf("seed %d: %s is known as %v ± %v, %+v, planes %+v", seed, l.Name, k.Focal, k.FocalSD, k.FocalBasis, k.PlanesBasis)
			}
			switch l.Name {
			case "Bare glass 360": // the plate's light is bent more, so its focus lies nearer
				if k.ChemicalBasis.Kind != studio.ByBench || k.Chemical > -4 || k.Stops[2].ShiftBasis.Kind != studio.ByBench {
					t.Errorf("seed %d: chemical focus %v, %+v, stops %+v", seed, k.Chemical, k.ChemicalBasis, k.Stops)
				}
			case "Whole-plate brass 300":
				if k.SurfaceBasis.Kind != studio.ByBench || k.Surface.Sagittal.Curvature <= 0 || k.Surface.Tangential.Curvature >= 0 || k.Stops[1].Basis.Kind != studio.ByBench {
					t.Errorf("seed %d: surface %+v, %+v", seed, k.Surface, k.SurfaceBasis)
				}
			}
		}
		if measured != 3 || withdrawn != 1 || disagree == 0 || len(methods) != 6 {
			t.Errorf("seed %d: %d lenses measured by %d methods, %d readings withdrawn, %d disagree", seed, measured, len(methods), withdrawn, disagree)
		}
	}
}
