package studio

import (
	"fmt"
	"slices"
	"time"

	"platewright/collodion"
	"platewright/light"
	"platewright/measure"
)

// RigMethod is a way of measuring what a flash rig gives.
type RigMethod string

// The methods.
const (
	ByFlashMeter RigMethod = "flash meter"  // a meter at the sitter's face
	ByVerdict    RigMethod = "judged plate" // a plate made with it, and the word on it
)

// RigMethods lists them.
func RigMethods() []RigMethod { return []RigMethod{ByFlashMeter, ByVerdict} }

// RigReading is one measuring of what a flash rig gives against what is reckoned of it. It is never changed and never
// deleted; one that turns out wrong is withdrawn by a later one.
type RigReading struct {
	ID        ID // made by the device, so that a repeat is harmless
	Rig       ID
	Method    RigMethod
	Taken     time.Time // by the device's clock
	Received  time.Time // by the studio's clock
	By        string
	Energy    float64          // J of all heads and pops when it was read
	Distance  measure.Length   // from the key's front to where it was read
	Metered   light.LuxSeconds // what the meter said; 0 of a judged plate
	Reckoned  light.LuxSeconds // what was reckoned of the rig for the same
	Error     measure.Stops    // how much more light the rig gives than is reckoned of it; negative less
	Sigma     measure.Stops    // standard deviation of Error
	Plate     Number           // the judged plate; zero of a meter
	Note      string
	Withdraws ID // for a withdrawal: the reading that does not count any more; else empty
}

// SpeedFound is an exposure index that was found for the studio's plates, always with the kind of light it was found
// under: it holds for that kind. It is never changed and never deleted, as [RigReading].
type SpeedFound struct {
	ID        ID
	Index     light.ExposureIndex // as set on an incident meter of constant [light.IncidentConstant]
	Kind      light.Kind
	Sigma     measure.Stops // standard deviation
	Collodion ID            // the batch; empty when it was not told
	Plate     Number        // the plate it was found with; zero when it was not told
	Taken     time.Time     // by the device's clock
	Received  time.Time     // by the studio's clock
	By        string
	Note      string
	Withdraws ID // for a withdrawal: the speed that does not count any more; else empty
}

// Bounds of an exposure index that a plate can have, and of how sure one can be.
const (
	LeastIndex = light.ExposureIndex(0.01)
	MostIndex  = light.ExposureIndex(100)

	leastSigma = 0.05 // stops
	mostSigma  = 3    // stops
	mostError  = 6    // stops between reckoned and measured
)

func (r RigReading) check() error {
	var ps problems
	ps.kept(r.ID, r.Taken, r.By, r.Note)
	if r.Withdraws != "" {
		return ps.err()
	}
	if !slices.Contains(RigMethods(), r.Method) {
		ps.add("method", "%q is not known; flash meter or judged plate is", r.Method)
	}
	ps.within("energy_j", measure.Within("energy", r.Energy, 1, mostRig, "J"))
	ps.within("distance_mm", measure.Within("distance", float64(r.Distance), nearestLamp, farthestLamp, "mm"))
	ps.within("reckoned_lx_s", measure.Within("reckoned light-sum", float64(r.Reckoned), 0.001, mostDose, "lx s"))
	ps.within("error_stops", measure.Within("error", float64(r.Error), -mostError, mostError, "stops"))
	ps.within("sigma_stops", measure.Within("how sure it is", float64(r.Sigma), leastSigma, mostSigma, "stops"))
	switch r.Method {
	case ByFlashMeter:
		ps.within("metered_lx_s", measure.Within("metered light-sum", float64(r.Metered), 0.001, mostDose, "lx s"))
	case ByVerdict:
		if r.Plate == (Number{}) {
			ps.add("plate", "is empty; name the plate that was judged, as 26-0147")
		}
	}
	return ps.err()
}

func (f SpeedFound) check() error {
	var ps problems
	ps.kept(f.ID, f.Taken, f.By, f.Note)
	if f.Withdraws != "" {
		return ps.err()
	}
	ps.within("exposure_index", measure.Within("exposure index", float64(f.Index), float64(LeastIndex), float64(MostIndex), ""))
	if !f.Kind.Valid() {
		ps.add("light_kind", "%q is no kind of light that is known; an index holds for the light it was found under, as daylight", f.Kind)
	}
	ps.within("sigma_stops", measure.Within("how sure it is", float64(f.Sigma), leastSigma, mostSigma, "stops"))
	return ps.err()
}

// kept looks over what all append-only readings have.
func (ps *problems) kept(id ID, taken time.Time, by, note string) {
	if !idForm.MatchString(string(id)) {
		ps.add("id", "%q is not 8 to 64 letters, figures, dashes or underscores", id)
	}
	if y := taken.Year(); y < 1990 || y > 2200 {
		ps.add("taken", "the year %d is outside 1990 to 2200", y)
	}
	ps.text("by", by, 200)
	ps.text("note", note, 4000)
}

// Check tells all that is wrong with a reading by itself, as [Lens.Check].
func (r RigReading) Check() error { return r.check() }

// Check tells all that is wrong with a found speed by itself, as [Lens.Check].
func (f SpeedFound) Check() error { return f.check() }

// SpeedKnown is the exposure index that holds now for a kind of light, and on what basis.
type SpeedKnown struct {
	Index light.ExposureIndex
	Kind  light.Kind    // it was found under; the actinic ratio of the two lights comes between where it is another than asked
	Same  bool          // the kind asked for: nothing comes between
	Sigma measure.Stops // standard deviation, widened for what differs; that of the actinic ratio is not in it
	Basis Basis
	From  ID // the found speed; empty for the usual one
}

// otherBatchSigma is what another batch of collodion adds to how sure an index is: common practice, no source.
const otherBatchSigma = measure.Stops(0.5)

// StandingSpeeds returns those of the found speeds that count, in their order: not withdrawn, and no withdrawals.
func StandingSpeeds(found []SpeedFound) []SpeedFound {
	return standingOf(found, func(f SpeedFound) (ID, ID) { return f.ID, f.Withdraws })
}

// StandingRigReadings returns those of a rig's readings that count.
func StandingRigReadings(readings []RigReading) []RigReading {
	return standingOf(readings, func(r RigReading) (ID, ID) { return r.ID, r.Withdraws })
}

func standingOf[T any](all []T, ids func(T) (id, withdraws ID)) []T {
	gone := make(map[ID]bool)
	for _, r := range all {
		if _, w := ids(r); w != "" {
			gone[w] = true
		}
	}
	var standing []T
	for _, r := range all {
		if id, w := ids(r); w == "" && !gone[id] {
			standing = append(standing, r)
		}
	}
	return standing
}

// SpeedOf returns which index holds now for plates of a batch of collodion under a kind of light: the newest found under
// that kind with that batch; else under that kind with another batch, and less sure; else the newest of the batch under
// another kind, else of any; else the usual 1. found are all that were found, withdrawn ones and withdrawals too.
// batch may be empty: then no batch is another.
func SpeedOf(found []SpeedFound, kind light.Kind, batch ID) SpeedKnown {
	var best *SpeedFound
	rank := func(f SpeedFound) int {
		n := 0
		if f.Kind == kind {
			n += 2
		}
		if batch == "" || f.Collodion == batch {
			n++
		}
		return n
	}
	for _, f := range StandingSpeeds(found) {
		if best == nil || rank(f) > rank(*best) || rank(f) == rank(*best) && !f.Taken.Before(best.Taken) {
			best = &f
		}
	}
	if best == nil {
		usual := collodion.UsualIndex()
		return SpeedKnown{Index: light.ExposureIndex(usual.EI), Kind: usual.Kind, Same: kind == usual.Kind, Sigma: usual.Sigma,
			Basis: unknownAs(fmt.Sprintf("%g, found by others in %s; make a test plate", usual.EI, usual.Kind))}
	}
	k := SpeedKnown{Index: best.Index, Kind: best.Kind, Same: best.Kind == kind, Sigma: best.Sigma, From: best.ID}
	text := fmt.Sprintf("found %s under %s", best.Taken.Format("2 January 2006"), best.Kind)
	if !k.Same {
		text += ", another kind of light than this"
	}
	if batch != "" && best.Collodion != batch {
		k.Sigma = quadrature(k.Sigma, otherBatchSigma)
		text += ", with another batch of collodion"
	}
	k.Basis = Basis{Kind: ByBench, Text: text, On: best.Taken, Reading: best.ID}
	return k
}

// How far one reading of a flash meter strays from the next, pop to pop and meter to meter, standard deviation: common
// practice, no source.
const meterSigma = measure.Stops(0.25)

// MeteredRig returns the reading that a flash meter at the sitter's face, turned to the camera, makes of the rig as it
// stands. What is left to say is when, by whom and under which id.
func MeteredRig(r Rig, metered light.LuxSeconds) (RigReading, error) {
	reckoned, err := r.Reckoned()
	if err != nil {
		return RigReading{}, err
	}
	if err := measure.Within("metered light-sum", float64(metered), 0.001, mostDose, "lx s"); err != nil {
		return RigReading{}, err
	}
	return RigReading{Rig: r.ID, Method: ByFlashMeter, Energy: r.Energy(), Distance: r.Heads[0].Distance, Metered: metered, Reckoned: reckoned,
		Error: measure.StopsOf(float64(metered / reckoned)), Sigma: meterSigma}, nil
}

// JudgedRig returns the reading that a judged plate makes of the rig it was made by. The light that was reckoned for the
// plate, changed by how far the plate was off, is what the rig is taken to have given; so it holds with the index the
// plate was planned with.
func JudgedRig(r Rig, j JudgedPlate) (RigReading, error) {
	l := j.Plate.Plan.Lighting
	if l.Rig != r.ID || l.Dose <= 0 {
		return RigReading{}, &Invalid{Problems: []Problem{{Field: "plate", Sentence: "plate " + j.Plate.Number.String() + " was not planned by this rig",
			Hint: "name a judged plate that was"}}}
	}
	reckoned, err := r.Reckoned()
	if err != nil {
		return RigReading{}, err
	}
	energy := r.Energy()
	if l.Energy > 0 { // all heads turned up or down together
		reckoned *= light.LuxSeconds(l.Energy / energy)
		energy = l.Energy
	}
	return RigReading{Rig: r.ID, Method: ByVerdict, Energy: energy, Distance: r.Heads[0].Distance, Reckoned: reckoned,
		Error: measure.StopsOf(float64(l.Dose/reckoned)) + j.Offset, Sigma: quadrature(j.Sigma, meterSigma), Plate: j.Plate.Number}, nil
}

// RigGiven is what is known of a rig's light against what is reckoned of it.
type RigGiven struct {
	Error measure.Stops // how much more it gives than is reckoned; 0 while it was not measured
	Sigma measure.Stops // standard deviation
	Basis Basis
}

// UnmeasuredRig is how sure a reckoned flash is where nothing was measured: makers' efficacies lie from 15 to 45 lm s/J
// [FlashEfficacy01], and with what stands before the tube and nobody measured that is taken as a stop, standard deviation;
// an assumption of ours.
const UnmeasuredRig = measure.Stops(1)

// RigKnown returns the rig's newest calibration that stands; readings are all of the rig.
func RigKnown(readings []RigReading) RigGiven {
	var best *RigReading
	for _, r := range StandingRigReadings(readings) {
		if best == nil || !r.Taken.Before(best.Taken) {
			best = &r
		}
	}
	if best == nil {
		return RigGiven{Sigma: UnmeasuredRig, Basis: unknownAs("reckoned from its energy and size; read it with a flash meter, or judge a plate")}
	}
	text := "measured " + best.Taken.Format("2 January 2006") + " with a flash meter"
	if best.Method == ByVerdict {
		text = "judged " + best.Taken.Format("2 January 2006") + " by plate " + best.Plate.String()
	}
	return RigGiven{Error: best.Error, Sigma: best.Sigma, Basis: Basis{Kind: ByBench, Text: text, On: best.Taken, Reading: best.ID}}
}
