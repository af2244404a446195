package studio

import (
	"context"
	"math"
	"time"

	"platewright/light"
	"platewright/measure"
)

// verdictOffsets are what the words on a plate mean in stops of exposure, and the standard deviation of one operator's
// word: a little is about a third of a stop, too about two thirds to one, much a stop and a half or more; common
// practice, no source.
var verdictOffsets = [7]struct{ offset, sigma measure.Stops }{
	{-1.5, 0.5}, {-0.8, 0.3}, {-1. / 3, 0.2}, {0, 0.2}, {1. / 3, 0.2}, {0.8, 0.3}, {1.5, 0.5},
}

// VerdictStops returns how far from the right exposure a plate of that verdict was, positive when it had too much, and
// the standard deviation of that. ok is false for no verdict.
func VerdictStops(word int) (offset, sigma measure.Stops, ok bool) {
	if VerdictWord(word) == "" {
		return 0, 0, false
	}
	v := verdictOffsets[word+3]
	return v.offset, v.sigma, true
}

// JudgedPlate is a plate on which a word stands: what was planned, what it was given, and how that came out.
type JudgedPlate struct {
	Plate   Plate     // with its plan and lighting
	Judged  time.Time // when
	Exposed time.Time // when the cap was off; when it was poured where that was not told
	Given   time.Duration
	Told    bool // the operator told what was given; else it is taken as planned
	Verdict Verdict
	Offset  measure.Stops // from the right exposure: positive had too much
	Sigma   measure.Stops // standard deviation of Offset, of the word alone

	BatchAge   float64          // days since the collodion was mixed, when the plate was poured; -1 when unknown
	DeveloperC *measure.Celsius // nil when it was not told
}

// Exposure returns log2 of the metered exposure at the plate, in stops over 1 lx s at f/1: its light-sum over
// N²(1 + m)². ok is false where the light at the face was not told.
func (j JudgedPlate) Exposure() (measure.Stops, bool) {
	plan := j.Plate.Plan
	sum := float64(plan.Lighting.Dose) + float64(plan.Lighting.Incident)*j.Given.Seconds()
	n := float64(plan.Stop.FNumber) * (1 + plan.Magnification)
	if sum <= 0 || n <= 0 {
		return 0, false
	}
	return measure.Stops(math.Log2(sum / (n * n))), true
}

// Right returns what would have been the right time for the plate as it was made: what it was given, less its offset.
func (j JudgedPlate) Right() time.Duration {
	return time.Duration(float64(j.Given) / j.Offset.Factor())
}

// JudgedFilter narrows a list of judged plates. The zero value is the newest of all.
type JudgedFilter struct {
	Kind      light.Kind // only plates planned by this kind of light; empty for any, the untold too
	Collodion ID         // only of this batch
	Rig       ID         // only by this flash rig
	Most      int        // how many; 50 when 0, at most 500
}

// mostLooked bounds how many plates are looked through for those that fit.
const mostLooked = 5000

// Judged returns the plates on which a word stands, newest number first. A word that was taken back or corrected counts
// as it was corrected, and so does what a plate was given.
func (s *Studio) Judged(ctx context.Context, f JudgedFilter) ([]JudgedPlate, error) {
	most := f.Most
	if most <= 0 {
		most = 50
	}
	most = min(most, 500)
	batches := make(map[ID]*Batch)
	var found []JudgedPlate
	looked := PlateFilter{Begun: true, Most: 200}
	for seen := 0; seen < mostLooked; {
		page, err := s.records.Plates(ctx, looked)
		if err != nil {
			return nil, err
		}
		for _, row := range page.Rows {
			looked.Below = row.Number
			l := row.Plan.Lighting
			if row.Verdict == nil || f.Kind != "" && l.Kind != f.Kind || f.Collodion != "" && row.Plan.Collodion != f.Collodion || f.Rig != "" && l.Rig != f.Rig {
				continue
			}
			events, err := s.records.Events(ctx, row.ID)
			if err != nil {
				return nil, err
			}
			j, ok := judged(row.Plate, events)
			if !ok {
				continue
			}
			if j.BatchAge, err = s.batchAge(ctx, batches, row.Plan.Collodion, j.Exposed); err != nil {
				return nil, err
			}
			if found = append(found, j); len(found) == most {
				return found, nil
			}
		}
		if seen += len(page.Rows); !page.More {
			break
		}
	}
	return found, nil
}

// JudgedPlateOf returns the judged plate with that number; ok is false while no word stands on it.
func (s *Studio) JudgedPlateOf(ctx context.Context, n Number) (j JudgedPlate, ok bool, err error) {
	p, err := s.records.Plate(ctx, n)
	if err != nil {
		return JudgedPlate{}, false, err
	}
	events, err := s.records.Events(ctx, p.ID)
	if err != nil {
		return JudgedPlate{}, false, err
	}
	j, ok = judged(p, events)
	if ok {
		j.BatchAge, err = s.batchAge(ctx, make(map[ID]*Batch), p.Plan.Collodion, j.Exposed)
	}
	return j, ok, err
}

// judged reads a plate's events for its verdict.
func judged(p Plate, events []Event) (JudgedPlate, bool) {
	j := JudgedPlate{Plate: p, Given: p.Plan.Exposure, BatchAge: -1}
	ok := false
	for _, e := range Stands(events) {
		switch {
		case e.Kind == Judged && e.Detail.Verdict != nil:
			j.Judged, j.Verdict, ok = e.At, *e.Detail.Verdict, true
		case e.Kind == Poured && j.Exposed.IsZero():
			j.Exposed = e.At
		case e.Kind == Exposed:
			j.Exposed = e.At
			if e.Detail.ExposureS > 0 {
				j.Given, j.Told = time.Duration(math.Round(e.Detail.ExposureS*1e9)), true
			}
		case e.Kind == DeveloperOn:
			j.DeveloperC = e.Detail.TemperatureC
		}
	}
	j.Offset, j.Sigma, _ = VerdictStops(j.Verdict.Word)
	return j, ok
}

// batchAge returns a batch's age in days at a moment, -1 when either is unknown.
func (s *Studio) batchAge(ctx context.Context, known map[ID]*Batch, id ID, at time.Time) (float64, error) {
	if id == "" || at.IsZero() {
		return -1, nil
	}
	if known[id] == nil {
		b, err := s.records.Batches().Find(ctx, id)
		if err != nil {
			return -1, err
		}
		known[id] = &b
	}
	return max(0, at.Sub(known[id].Mixed).Hours()/24), nil
}
