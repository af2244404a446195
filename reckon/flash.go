package reckon

import (
	"fmt"
	"math"
	"strings"

	"platewright/light"
	"platewright/light/flash"
	"platewright/measure"
)

type flashQuestion struct {
	EnergyJ       *float64          `json:"energy_j" range:"[0.01,1000000]" doc:"electrical energy of each pop; left out: solved for"`
	LmPerJ        *float64          `json:"lm_per_j" unit:"lm/J" range:"[1,120]" doc:"lumen-seconds that the tube makes of a joule; left out: 26, the middle of 15 to 45, with that band"`
	Spread        flashSpread       `json:"spread" doc:"what stands before the tube"`
	DistanceM     *float64          `json:"distance_m" range:"[0.01,1000]" doc:"from the face of the softbox, or from the tube, to the sitter's face; left out: solved for"`
	FNumber       *float64          `json:"f_number" range:"[0.5,512]" doc:"aperture number without the bellows; left out: solved for"`
	BellowsStops  float64           `json:"bellows_stops" default:"0" range:"[0,12]" doc:"stops lost by the extension, as focus tells them"`
	ActinicStops  float64           `json:"actinic_stops" default:"0" range:"[-10,10]" doc:"what this flash does to the plate beyond the light the index was found in"`
	ExposureIndex *float64          `json:"exposure_index" range:"[0.01,100]" doc:"the plate's speed for incident readings, best found by flash; left out: solved for"`
	Pops          int               `json:"pops" default:"1" range:"[1,1000]" doc:"how often the head is fired"`
	Calibration   *flashCalibration `json:"calibration" doc:"one plate made with this head that was judged; the answer is then relative to it"`

	TurnDeg         float64    `json:"turn_deg" default:"0" range:"[0,180]" doc:"angle between the light and where the lit side of the face looks"`
	Room            *flashRoom `json:"room" doc:"what the light goes round in; left out: nothing comes back"`
	Tube            *string    `json:"tube" enum:"clear|part UV|UV cut" doc:"what the head lets out of its ultraviolet; given, the doses at the face are told"`
	LightSigma      *float64   `json:"light_sigma_stops" range:"[0,5]" doc:"standard deviation of the light as these figures tell it; left out: 1/3 where lm_per_j is given, else the range of tubes"`
	IndexSigmaStops float64    `json:"index_sigma_stops" default:"1" range:"[0,5]" doc:"standard deviation of the exposure index"`
}

// flashSpread is what stands before a tube.
type flashSpread struct {
	Kinds
	Bare      *flashBare     `kind:"bare"`
	Reflector *flashGain     `kind:"reflector"`
	Umbrella  *flashUmbrella `kind:"umbrella"`
	Softbox   *flashBox      `kind:"softbox"`
	Round     *flashRound    `kind:"round softbox"`
}

type flashBare struct{}

type flashGain struct {
	Gain float64 `json:"gain" range:"[0.01,200]" doc:"light on the axis over that of the bare tube: an ordinary reflector 4 to 6, a narrow one 10 to 20; measure it"`
}

type flashUmbrella struct {
	Gain      float64 `json:"gain" default:"1.5" range:"[0.01,200]" doc:"light on the axis over that of the bare tube, usually 1 to 2; measure it"`
	DiameterM float64 `json:"diameter_m" default:"0" range:"[0,20]" doc:"of what shines; 0 takes it as a point"`
}

type flashBox struct {
	WidthM     float64 `json:"width_m" range:"[0.001,20]" doc:"of its face"`
	HeightM    float64 `json:"height_m" range:"[0.001,20]" doc:"of its face"`
	Efficiency float64 `json:"efficiency" default:"0.6" range:"[0.001,1]" doc:"share of the tube's light that leaves the face"`
}

type flashRound struct {
	DiameterM  float64 `json:"diameter_m" range:"[0.001,20]" doc:"of its face"`
	Efficiency float64 `json:"efficiency" default:"0.6" range:"[0.001,1]" doc:"share of the tube's light that leaves the face"`
}

type flashRoom struct {
	SurfaceM2   float64 `json:"surface_m2" range:"[1,100000]" doc:"of walls, floor and ceiling"`
	Reflectance float64 `json:"reflectance" range:"[0,0.95]" doc:"mean over all of it: white walls on a wooden floor come to about 0.5"`
}

type flashCalibration struct {
	EnergyJ      float64  `json:"energy_j" range:"[0.01,1000000]" doc:"each pop had"`
	DistanceM    float64  `json:"distance_m" range:"[0.01,1000]" doc:"the head had"`
	FNumber      float64  `json:"f_number" range:"[0.5,512]" doc:"aperture number, without the bellows"`
	BellowsStops float64  `json:"bellows_stops" default:"0" range:"[0,12]" doc:"stops lost by the extension"`
	ErrorStops   float64  `json:"error_stops" default:"0" range:"[-10,10]" doc:"exposure the plate had too much: positive when it is too light"`
	Pops         int      `json:"pops" default:"1" range:"[1,1000]" doc:"how often the head was fired"`
	SigmaStops   *float64 `json:"sigma_stops" range:"[0,5]" doc:"standard deviation of the judgement; left out: a third of a stop"`
}

type flashAnswer struct {
	Solved        string           `json:"solved" doc:"the key that was left out and solved for"`
	EnergyJ       float64          `json:"energy_j" doc:"of each pop, as given or solved"`
	FNumber       measure.FNumber  `json:"f_number" doc:"as given or solved"`
	ExposureIndex float64          `json:"exposure_index" doc:"as given or solved"`
	DistanceM     float64          `json:"distance_m" doc:"as given or solved"`
	SceneLxs      light.LuxSeconds `json:"scene_lxs" doc:"at the sitter's face, all pops"`
	PlateLxs      light.LuxSeconds `json:"plate_lxs" doc:"photometric exposure of a mid-tone on the plate"`
	ExposureStops measure.Stops    `json:"exposure_stops" doc:"log2 of plate_lxs over 1 lx·s"`
	Band          [2]*float64      `json:"band" doc:"the solved figure, in its own unit, at either end of band_stops; null where no figure does"`
	BandStops     [2]measure.Stops `json:"band_stops" doc:"how much less and more the flash may do to the plate than is told"`
	Relative      bool             `json:"relative" doc:"whether the answer is relative to a judged plate"`
	JudgedIndex   *float64         `json:"judged_index" doc:"index that the judged plate had by the head's figures alone; null without calibration"`
	OneStop       flashStop        `json:"one_stop" doc:"what one stop more would cost, each by itself"`
	GuideM        float64          `json:"guide_m" doc:"distance times f-number at this index where inverse square holds, bellows and actinic stops left out"`
	Doses         []flashDose      `json:"doses,omitempty" doc:"ultraviolet and blue at the face, where tube is given"`
	Notes         []string         `json:"notes" doc:"what to know about this answer"`
}

type flashStop struct {
	EnergyJ   float64         `json:"energy_j" doc:"of each pop"`
	Pops      int             `json:"pops" doc:"in all"`
	FNumber   measure.FNumber `json:"f_number" doc:"aperture number"`
	DistanceM *float64        `json:"distance_m" doc:"null where no distance does"`
}

type flashDose struct {
	Name     string  `json:"name" doc:"what of the light, and where"`
	Dose     float64 `json:"dose" unit:"J/m²" doc:"of all pops"`
	Limit    float64 `json:"limit" unit:"J/m²" doc:"of the standard"`
	Share    float64 `json:"share" doc:"dose over limit; none is a line below which nothing happens"`
	Standard string  `json:"standard" doc:"where the limit stands"`
}

// flashReckoning asks what a flash gives and what it takes. Package flash tells the model and its sources.
func flashReckoning() *Reckoning {
	return define(Spec{
		Name:  "flash",
		Title: "energy, stop, index or distance of a flash",
		Summary: "From a flash head, what stands before it and where it stands to the light at the face and on the plate. Leave out exactly one of energy_j, " +
			"f_number, exposure_index and distance_m: it is solved for.",
		Model: "Joules make lumen-seconds by lm_per_j; a bare tube sends them evenly to all sides, a reflector gain times that forward. A softbox is an evenly bright Lambertian face, " +
			"reckoned over all of it, so that near by it gives less than inverse square says. Needed at the face are 250 lx·s times the square of the f-number over the index, raised by the bellows and " +
			"lowered by actinic_stops. A room gives back as an integrating sphere of its surface. Pops add. band_stops is the root of the sum of squares, each way, of the light's own uncertainty " +
			"(15 to 45 lm/J, where lm_per_j is left out) and index_sigma_stops; with a calibration it is that of the judgement. " +
			"With a calibration the head's efficacy and the plate's index cancel: only ratios of energy, distance, stop, bellows and pops to the judged plate count, and it must have been of the index given.",
		Sources: []string{"ISO2720", "ISO2721", "FlashEfficacy01", "Howell2010", "Lambert1760", "Sumpner1892", "IEC62471", "ICNIRP2004"},
		Example: `{"energy_j": 2400, "lm_per_j": 40, "spread": {"kind": "softbox", "width_m": 0.8, "height_m": 1.2, "efficiency": 0.6}, "distance_m": 1.2, "exposure_index": 1, "bellows_stops": 0.9, "tube": "part UV"}`,
	}, answerFlash)
}

// head returns the head that is asked about, of a joule and a metre away where these are not given.
func (q flashQuestion) head() flash.Head {
	h := flash.Head{Energy: 1, Efficacy: flash.UsualEfficacy, Distance: measure.Metre, Pops: q.Pops}
	if q.LmPerJ != nil {
		h.Efficacy = *q.LmPerJ
	}
	if q.EnergyJ != nil {
		h.Energy = flash.Joules(*q.EnergyJ)
	}
	if q.DistanceM != nil {
		h.Distance = metres(*q.DistanceM)
	}
	if q.Tube != nil {
		h.Tube = light.Tube(*q.Tube)
	}
	switch s := q.Spread; {
	case s.Reflector != nil:
		h.Spread = flash.Spread{Kind: flash.Reflector, Gain: s.Reflector.Gain}
	case s.Umbrella != nil:
		h.Spread = flash.Spread{Kind: flash.Umbrella, Gain: s.Umbrella.Gain, Width: metres(s.Umbrella.DiameterM)}
	case s.Softbox != nil:
		h.Spread = flash.Spread{Kind: flash.Softbox, Width: metres(s.Softbox.WidthM), Height: metres(s.Softbox.HeightM), Efficiency: s.Softbox.Efficiency}
	case s.Round != nil:
		h.Spread = flash.Spread{Kind: flash.Softbox, Round: true, Width: metres(s.Round.DiameterM), Efficiency: s.Round.Efficiency}
	default:
		h.Spread = flash.Spread{Kind: flash.Bare}
	}
	return h
}

func metres(m float64) measure.Length { return measure.Length(m) * measure.Metre }

func (q flashQuestion) turn() measure.Angle { return measure.Angle(q.TurnDeg) * measure.Degree }

// scene returns what a head gives at the face, and what of it the room adds.
func (q flashQuestion) scene(h flash.Head) (all, room light.LuxSeconds, err error) {
	direct, err := h.DoseTurned(q.turn())
	if err != nil {
		return 0, 0, err
	}
	if q.Room != nil {
		if room, err = (flash.Room{Surface: q.Room.SurfaceM2, Reflectance: q.Room.Reflectance}).Adds(h.Leaves()); err != nil {
			return 0, 0, err
		}
	}
	return direct + room, room, nil
}

// solvedKey returns the one key that was left out.
func (q flashQuestion) solvedKey() (string, error) {
	var missing, given []string
	for _, k := range []struct {
		key   string
		value *float64
	}{{"energy_j", q.EnergyJ}, {"f_number", q.FNumber}, {"exposure_index", q.ExposureIndex}, {"distance_m", q.DistanceM}} {
		if k.value == nil {
			missing = append(missing, k.key)
		} else {
			given = append(given, k.key)
		}
	}
	switch len(missing) {
	case 1:
		return missing[0], nil
	case 0:
		return "", &FieldError{Field: "energy_j", Message: "energy_j is given together with " + strings.Join(given[1:], ", ") + "; leave out exactly one of the four, which is solved for"}
	}
	return "", &FieldError{Field: missing[1], Message: fmt.Sprintf("%s is missing together with %s; exactly one of energy_j, f_number, exposure_index, distance_m is left out, and solved for",
		missing[1], strings.Join(append(missing[:1:1], missing[2:]...), ", "))}
}

func answerFlash(q flashQuestion) (flashAnswer, error) {
	solved, err := q.solvedKey()
	if err != nil {
		return flashAnswer{}, err
	}
	h := q.head()
	a := flashAnswer{Solved: solved, Relative: q.Calibration != nil}
	shot := flash.Shot{Index: 1, Aperture: 1, Bellows: measure.Stops(q.BellowsStops), Actinic: measure.Stops(q.ActinicStops)}
	if q.ExposureIndex != nil {
		shot.Index = light.ExposureIndex(*q.ExposureIndex)
	}
	if q.FNumber != nil {
		shot.Aperture = measure.FNumber(*q.FNumber)
	}
	if q.Calibration != nil {
		if a.JudgedIndex, h, err = q.calibrate(h, shot); err != nil {
			return flashAnswer{}, err
		}
	}
	if err := a.solve(q, &h, shot); err != nil {
		return flashAnswer{}, err
	}
	a.band(q, h)
	if err := a.doses(q); err != nil {
		return flashAnswer{}, err
	}
	err = a.note(q, h)
	return a, err
}

// calibrate returns the index that the judged plate had by the head's figures, and the head with its light such that this
// index is the one given. Where the index is asked for, the head keeps its figures: the answer is then that index times a
// ratio to the judged plate all the same.
func (q flashQuestion) calibrate(h flash.Head, shot flash.Shot) (*float64, flash.Head, error) {
	c := q.Calibration
	then := h
	then.Energy, then.Distance, then.Pops = flash.Joules(c.EnergyJ), metres(c.DistanceM), c.Pops
	modelled, _, err := q.scene(then)
	if err != nil {
		return nil, h, err
	}
	shot.Aperture, shot.Bellows, shot.Index = measure.FNumber(c.FNumber), measure.Stops(c.BellowsStops), 1
	at1, err := shot.Needs()
	if err != nil {
		return nil, h, err
	}
	had, err := shot.Least(modelled)
	if err != nil {
		return nil, h, err
	}
	index := float64(had) * math.Exp2(c.ErrorStops)
	if q.ExposureIndex == nil {
		return &index, h, nil
	}
	right := float64(at1) / *q.ExposureIndex * math.Exp2(c.ErrorStops)
	h.Trim = measure.StopsOf(right / float64(modelled))
	if math.Abs(float64(h.Trim)) > 20 {
		return nil, h, &FieldError{Field: "calibration", Message: fmt.Sprintf("calibration is %s stops off what the head's figures and exposure_index give; allowed is 20 either way: one of them has slipped by powers of ten",
			number(rounded(float64(h.Trim))))}
	}
	return &index, h, nil
}

// solve finds what was left out.
func (a *flashAnswer) solve(q flashQuestion, h *flash.Head, shot flash.Shot) error {
	a.EnergyJ, a.DistanceM, a.FNumber, a.ExposureIndex = float64(h.Energy), h.Distance.Metres(), shot.Aperture, float64(shot.Index)
	given, room, err := q.scene(*h)
	if err != nil {
		return err
	}
	if !(given > 0) && a.Solved != "distance_m" {
		return &FieldError{Field: "turn_deg", Message: "turn_deg is " + number(q.TurnDeg) + ": turned so, no light of this flash falls on the sitter's face; allowed is what a light can reach, so turn the light or the face, take a larger source, or name the room that sends light back"}
	}
	needs := given
	if a.Solved == "energy_j" || a.Solved == "distance_m" {
		if needs, err = shot.Needs(); err != nil {
			return err
		}
	}
	switch a.Solved {
	case "energy_j":
		a.EnergyJ = float64(needs / given) // the light is in proportion to the energy, which was a joule
	case "f_number":
		a.FNumber, err = shot.Largest(given)
	case "exposure_index":
		var least light.ExposureIndex
		least, err = shot.Least(given)
		a.ExposureIndex = float64(least)
	case "distance_m":
		var d measure.Length
		if d, err = h.Farthest(needs, room, q.turn()); err != nil {
			return &FieldError{Field: "distance_m", Message: "distance_m: " + err.Error(), cause: err}
		}
		h.Distance, a.DistanceM = d, d.Metres()
	}
	if err != nil {
		return err
	}
	N, loss := float64(a.FNumber), shot.Bellows.Factor()
	const K, C = light.ReflectedConstant, light.IncidentConstant
	a.SceneLxs = needs
	a.PlateLxs = light.LuxSeconds(light.LensShare * K / C * float64(needs) / (N * N * loss)) // [ISO2721] H = q L t/N²
	a.ExposureStops = measure.StopsOf(float64(a.PlateLxs))
	a.OneStop = flashStop{EnergyJ: 2 * a.EnergyJ, Pops: 2 * q.Pops, FNumber: a.FNumber / math.Sqrt2, DistanceM: a.farther(q, *h, 1)}
	h.Energy = 1
	beam, err := h.Beam()
	a.GuideM = math.Sqrt(a.ExposureIndex * beam * a.EnergyJ / C) // [ISO2720] N d = sqrt(S I/C)
	return err
}

// farther returns the distance at which the flash gives so many stops more than at the answer's own, or nothing.
func (a *flashAnswer) farther(q flashQuestion, h flash.Head, stops measure.Stops) *float64 {
	h.Energy = 1
	_, room, err := q.scene(h)
	if err != nil {
		return nil
	}
	d, err := h.Farthest(light.LuxSeconds(float64(a.SceneLxs)/a.EnergyJ*stops.Factor()), room, q.turn())
	if err != nil {
		return nil // no distance does, which the answer says by null
	}
	m := d.Metres()
	return &m
}

// Standard deviations that are taken where none is told, in stops: assumptions of ours.
const (
	toldLight   = 1.0 / 3 // of a flash's light as its figures tell it
	judgedPlate = 1.0 / 3 // of a plate that was judged
)

// band tells how far the answer may be off.
func (a *flashAnswer) band(q flashQuestion, h flash.Head) {
	low, high := toldLight, toldLight
	if q.LmPerJ == nil {
		low, high = math.Log2(flash.UsualEfficacy/flash.LeastEfficacy), math.Log2(flash.MostEfficacy/flash.UsualEfficacy)
	}
	if q.LightSigma != nil {
		low, high = *q.LightSigma, *q.LightSigma
	}
	if a.Solved != "exposure_index" {
		low, high = math.Hypot(low, q.IndexSigmaStops), math.Hypot(high, q.IndexSigmaStops)
	}
	if c := q.Calibration; c != nil {
		low = judgedPlate
		if c.SigmaStops != nil {
			low = *c.SigmaStops
		}
		high = low
	}
	a.BandStops = [2]measure.Stops{measure.Stops(-low), measure.Stops(high)}
	ends := [2]float64{}
	switch less, more := math.Exp2(-high), math.Exp2(low); a.Solved {
	case "energy_j":
		ends = [2]float64{a.EnergyJ * less, a.EnergyJ * more}
	case "exposure_index":
		ends = [2]float64{a.ExposureIndex * less, a.ExposureIndex * more}
	case "f_number":
		N := float64(a.FNumber)
		ends = [2]float64{N / math.Sqrt(more), N / math.Sqrt(less)}
	default:
		a.Band = [2]*float64{a.farther(q, h, measure.Stops(low)), a.farther(q, h, measure.Stops(-high))}
		return
	}
	a.Band = [2]*float64{&ends[0], &ends[1]}
}

// doses tells what falls on the face in ultraviolet and blue, where the tube is known.
func (a *flashAnswer) doses(q flashQuestion) error {
	if q.Tube == nil {
		return nil
	}
	dose, err := flash.Hazard(light.Tube(*q.Tube), a.SceneLxs)
	if err != nil {
		return err
	}
	held, err := dose.Against(1) // pops one after the other may take longer; the limits for a short time are the strictest
	if err != nil {
		return err
	}
	for _, l := range held {
		a.Doses = append(a.Doses, flashDose{Name: l.Name, Dose: l.Got, Limit: l.Limit, Share: l.Share(), Standard: l.Standard})
		if l.Share() >= 1 {
			a.Notes = append(a.Notes, l.Sentence)
		}
	}
	return nil
}

// note says what to know.
func (a *flashAnswer) note(q flashQuestion, h flash.Head) error {
	add := func(format string, args ...any) { a.Notes = append(a.Notes, fmt.Sprintf(format, args...)) }
	switch {
	case q.Calibration != nil && a.Solved == "exposure_index":
		faster := math.Log2(a.ExposureIndex / *a.JudgedIndex)
		add("Relative to the judged plate: it had the index %s by these figures, and this shot asks for a plate faster than that one by %s stops%s.",
			twoFigures(*a.JudgedIndex), number(rounded(faster)), map[bool]string{true: ", that is slower", false: ""}[faster < 0])
	case q.Calibration != nil:
		add("Relative to the judged plate, its error (%s stops) taken off: the tube's efficacy and the plate's index cancel, as long as head, modifier, room and collodion are the same. The band is that of the judgement.",
			number(q.Calibration.ErrorStops))
	case q.LmPerJ == nil && q.LightSigma == nil:
		add("No lm_per_j was given: 26 is the middle of the 15 to 45 that makers tell, and the band holds both ends. One flash metered at the face, or one judged plate, takes most of this away.")
	default:
		add("Energy, lm_per_j and what stands before the tube are taken to tell the light to a third of a stop, an assumption of ours unless light_sigma_stops was given; one flash metered at the face, or one judged plate, narrows the band.")
	}
	if q.Calibration == nil && a.Solved != "exposure_index" {
		add("The index is taken to have a standard deviation of index_sigma_stops, %s. An index found in steady light may not hold for flash: what so short a time does to wet collodion is unmeasured.", number(rounded(q.IndexSigmaStops)))
	}
	if q.Pops > 1 {
		add("Pops are added up; whether many small exposures do as much to wet collodion as one is unmeasured. The sitter must not move between them.")
	}
	if q.Room != nil {
		add("The room is taken as an integrating sphere of its surface, alike on all sides; furniture, dark corners and a guess at its reflectance may change its share by half.")
	}
	if q.ActinicStops == 0 && q.Calibration == nil {
		add("The flash is taken to do to the plate what the light did in which the index was found; a tube that stops ultraviolet does 1.6 stops less than a clear one (an estimate of ours), and the reckoning actinic tells it.")
	}
	if seen := q.Spread; seen.Softbox != nil || seen.Round != nil || seen.Umbrella != nil && seen.Umbrella.DiameterM > 0 {
		beam, err := h.Beam()
		if err != nil {
			return err
		}
		straight, err := h.Dose()
		if err != nil {
			return err
		}
		if over := math.Log2(beam / (a.DistanceM * a.DistanceM) / float64(straight)); over > 0.1 {
			add("So near to so large a face inverse square would promise %s stops more than there is.", twoFigures(over))
		}
	}
	if seen := q.Spread; seen.Reflector != nil || seen.Umbrella != nil {
		add("The gain of a reflector or umbrella is a guess until one flash was metered: the same name covers a stop and more.")
	}
	if a.Solved == "energy_j" && a.EnergyJ > 10000 {
		add("No ordinary head stores so much: nearer, a wider stop, more pops or steady light would do.")
	}
	if a.Solved == "f_number" && a.FNumber < 1.5 {
		add("Hardly a lens for plates opens so far: more energy, more pops, a shorter distance or steady light would do.")
	}
	h.Pops = q.Pops
	a.Notes = append(a.Notes, h.Cautions()...)
	return nil
}
