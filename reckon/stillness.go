package reckon

import (
	"fmt"
	"math"
	"strconv"
	"time"

	"platewright/measure"
	"platewright/pose"
)

type stillnessQuestion struct {
	Support       string   `json:"support" enum:"standing|seated|head rest" doc:"what steadies the sitter"`
	TimeS         float64  `json:"time_s" range:"[0.00001,3600]" doc:"time the cap is off, or the flash burns"`
	DepthMm       float64  `json:"depth_mm" range:"(0,1000000]" doc:"depth of field in all, half of it either side of the eyes' plane"`
	Magnification float64  `json:"magnification" range:"[0.000001,100]" doc:"image size over the sitter's size"`
	WaitS         float64  `json:"wait_s" range:"[0,86400]" doc:"from focusing to the cap coming off"`
	BlurMm        float64  `json:"blur_mm" range:"[0.0001,10]" doc:"largest blur disc on the plate that is called sharp"`
	TurnDeg       float64  `json:"turn_deg" default:"0" range:"[-90,90]" doc:"the line between the eyes turned out of the plane of sharpness: the turn of the head less the swing that follows it"`
	EyeSpanMm     float64  `json:"eye_span_mm" default:"63" range:"[35,85]" doc:"distance between the pupils"`
	SwaySdMm      *float64 `json:"sway_sd_mm" range:"[0.001,100]" doc:"your own measure of how far this sitter's head strays from its middle, rms, each way; left out: the published figure of the support"`
	SettleS       *float64 `json:"settle_s" range:"[0.01,3600]" doc:"time after which the head's place is forgotten to 1/e; left out: that of the support"`
	BlinksMin     float64  `json:"blinks_per_minute" unit:"/min" default:"17" range:"[0,120]" doc:"how often the sitter blinks; people at rest 17, talking 26, reading 4.5"`
}

type stillnessAnswer struct {
	PInDepth float64           `json:"p_in_depth" doc:"chance that both eyes keep within the depth from the cap's coming off to its going on"`
	PNoSmear float64           `json:"p_no_smear" doc:"chance that moving across smears a point, measured as smear_mm, no wider than blur_mm"`
	PGood    float64           `json:"p_good" doc:"chance of both"`
	SwayMm   [2]measure.Length `json:"sway_mm" doc:"rms of the head's place about its own mean over the exposure, toward the lens and across, each on one axis and at the sitter; over a small part of settle_s this is more than a head at speed_mm_per_s can do"`

	PInDepthBand  *[2]float64       `json:"p_in_depth_band" doc:"the chance for the most restless and the calmest sitters that the figures behind the support allow; null with your own sway_sd_mm"`
	PNoSmearBand  *[2]float64       `json:"p_no_smear_band" doc:"the same for p_no_smear"`
	PGoodBand     *[2]float64       `json:"p_good_band" doc:"the same for p_good"`
	PMiddle       float64           `json:"p_in_depth_middle" doc:"p_in_depth if you watch the sitter sway and focus on the middle of it instead of on one moment"`
	SmearMm       measure.Length    `json:"smear_mm" doc:"the usual width of the smear across on the plate, to hold against blur_mm: four rms of the place of a head that moves at speed_mm_per_s, by the magnification"`
	EyesOffMm     measure.Length    `json:"eyes_off_mm" doc:"how far either eye lies off the plane of sharpness for the turn"`
	SwaySdMm      [2]measure.Length `json:"sway_sd_mm" doc:"how far the head strays in the long run, rms, toward the lens and across, that was used"`
	SettleS       float64           `json:"settle_s" doc:"the settling time that was used"`
	SpeedMmPerS   float64           `json:"speed_mm_per_s" unit:"mm/s" doc:"mean speed of a head that sways so"`
	PBlink        float64           `json:"p_blink" doc:"chance of at least one blink"`
	OpenShare     float64           `json:"open_share" doc:"share of the time that the eyes are open, on average"`
	LidStops      measure.Stops     `json:"lid_stops" doc:"exposure the open eyes lose to the lids by blinking, on average"`
	OneBlinkStops measure.Stops     `json:"one_blink_stops" doc:"the same when one long blink of 0.3 s falls into the exposure; 10 when that shuts the eyes all through"`
	Notes         []string          `json:"notes" doc:"what to know about this answer"`
}

// stillness asks how likely a sitter keeps still. Package pose tells the model and its sources.
func stillness() *Reckoning {
	return define(Spec{
		Name:    "stillness",
		Title:   "how likely the sitter keeps still",
		Summary: "From the support, the time and the depth to the chance that both eyes stay sharp, the chance that nothing smears, and what blinking does.",
		Model: "The head's place is an Ornstein-Uhlenbeck process on each axis: normal about its middle, forgotten after the settling time. " +
			"The depth is laid about where the head was when you focused; during the wait it may go anywhere; during the exposure it must stay within " +
			"the depth, less what a turned head takes of it for both eyes. The chance solves the backward equation with absorbing walls, averaged over the " +
			"moment of focusing, to 0.001. Smear is four rms of the place about its mean over the exposure, times the magnification: as wide as the disc of blur with " +
			"the same rms, so that both are held against one limit. For smear the head moves smoothly at speed_mm_per_s, with the same rms and settling time. " +
			"Toward and across are independent. Slow drift, sudden moves and vertical motion are not in it. The sway of seated and rested heads is an assumption, and p_no_smear and p_good stand or fall with it.",
		Sources: []string{"CopTable2014", "HeadMotion20", "MaskMotion2019", "BiteBar01", "Blinks1997", "Blink1984", "Talbot2006", "Bromwich2007"},
		Example: `{"support": "head rest", "time_s": 2, "depth_mm": 7, "magnification": 0.43, "wait_s": 60, "blur_mm": 0.1}`,
	}, answerStillness)
}

func answerStillness(q stillnessQuestion) (stillnessAnswer, error) {
	support := pose.Support(q.Support)
	sway, err := pose.SwayOf(support)
	if err != nil {
		return stillnessAnswer{}, err
	}
	if q.SwaySdMm != nil {
		sway.Toward, sway.Across = measure.Length(*q.SwaySdMm), measure.Length(*q.SwaySdMm)
	}
	if q.SettleS != nil {
		sway.Settle = secondsOf(*q.SettleS)
	}
	off := pose.EyesOff(measure.Length(q.EyeSpanMm), measure.Angle(q.TurnDeg)*measure.Degree)
	a := stillnessAnswer{EyesOffMm: off, SwaySdMm: [2]measure.Length{sway.Toward, sway.Across}, SettleS: sway.Settle.Seconds()}
	if a.PInDepth, a.PNoSmear, err = chances(sway, q, off); err != nil {
		return stillnessAnswer{}, err
	}
	a.PGood = a.PInDepth * a.PNoSmear
	during := secondsOf(q.TimeS)
	if left := measure.Length(q.DepthMm)/2 - off; left > 0 {
		if a.PMiddle, err = sway.StaysAbout(left, sway.Toward, during); err != nil {
			return stillnessAnswer{}, err
		}
	}
	if a.SwayMm[0], a.SwayMm[1], err = sway.Spread(during); err != nil {
		return stillnessAnswer{}, err
	}
	if a.SmearMm, err = sway.UsualSmear(q.smear(q.TimeS)); err != nil {
		return stillnessAnswer{}, err
	}
	if a.SpeedMmPerS, err = sway.Speed(); err != nil {
		return stillnessAnswer{}, err
	}
	if err := a.addBlinks(q, during); err != nil {
		return stillnessAnswer{}, err
	}
	if q.SwaySdMm == nil {
		if err := a.addBands(support, q, off); err != nil {
			return stillnessAnswer{}, err
		}
	}
	a.PMiddle = millionths(a.PMiddle)
	a.Notes, err = stillnessNotes(q, a, sway)
	return a, err
}

func secondsOf(s float64) time.Duration { return time.Duration(math.Round(s * 1e9)) }

func chances(s pose.Sway, q stillnessQuestion, off measure.Length) (inDepth, noSmear float64, err error) {
	inDepth, err = s.StaysWithin(pose.Hold{Half: measure.Length(q.DepthMm) / 2, Offset: off, Wait: secondsOf(q.WaitS), During: secondsOf(q.TimeS)})
	if err != nil {
		return 0, 0, err
	}
	noSmear, err = s.NoSmear(q.smear(q.TimeS))
	return millionths(inDepth), millionths(noSmear), err
}

// smear asks what moving across does in an exposure of so many seconds.
func (q stillnessQuestion) smear(seconds float64) pose.Smear {
	return pose.Smear{Magnification: q.Magnification, Blur: measure.Length(q.BlurMm), During: secondsOf(seconds)}
}

// longestWithin returns the longest exposure, shorter than the one asked, whose usual smear is no wider than the blur called sharp.
func (q stillnessQuestion) longestWithin(s pose.Sway) (seconds float64, err error) {
	low, high := 0.0, q.TimeS
	for range 40 {
		middle := (low + high) / 2
		smear, err := s.UsualSmear(q.smear(middle))
		if err != nil {
			return 0, err
		}
		if float64(smear) > q.BlurMm {
			high = middle
		} else {
			low = middle
		}
	}
	return low, nil
}

// millionths keeps of a chance what its reckoning is good for, and no more zeros.
func millionths(p float64) float64 { return math.Round(p*1e6) / 1e6 }

func (a *stillnessAnswer) addBlinks(q stillnessQuestion, during time.Duration) error {
	b, err := pose.Blinks(q.BlinksMin, during)
	if err != nil {
		return err
	}
	a.PBlink, a.OpenShare, a.LidStops, a.OneBlinkStops = b.Chance, b.OpenShare, -b.Ghost, -b.One
	return nil
}

func (a *stillnessAnswer) addBands(support pose.Support, q stillnessQuestion, off measure.Length) error {
	calm, restless, err := pose.SwayRange(support)
	if err != nil {
		return err
	}
	if q.SettleS != nil {
		calm.Settle, restless.Settle = secondsOf(*q.SettleS), secondsOf(*q.SettleS)
	}
	a.PInDepthBand, a.PNoSmearBand, a.PGoodBand = new([2]float64), new([2]float64), new([2]float64)
	for i, s := range []pose.Sway{restless, calm} {
		inDepth, noSmear, err := chances(s, q, off)
		if err != nil {
			return err
		}
		a.PInDepthBand[i], a.PNoSmearBand[i], a.PGoodBand[i] = inDepth, noSmear, inDepth*noSmear
	}
	return nil
}

func stillnessNotes(q stillnessQuestion, a stillnessAnswer, sway pose.Sway) ([]string, error) {
	notes := make([]string, 0, 8)
	switch {
	case q.SwaySdMm != nil:
		notes = append(notes, "The sway is your own figure, toward the lens and across alike.")
	case q.Support == "standing":
		notes = append(notes, "Standing sway is that of the centre of pressure on an ordinary floor; the head of a tall or tired sitter moves more. It fades over the first 20 s of standing, so wait; a hand on the chair back helps.")
	case q.Support == "seated":
		notes = append(notes, "No clean figure was found for a seated head without a rest: 2 mm is an assumption, 1 to 4 mm its band. Measure your own and give it as sway_sd_mm.")
	default:
		notes = append(notes, "The sway on a head rest, 0.5 mm (0.2 to 1), is an assumption above what fixed masks hold, and the smear stands or falls with it. Measure your own and give it as sway_sd_mm.")
	}
	if q.TurnDeg != 0 {
		notes = append(notes, "The plane of sharpness is taken to pass midway between the eyes; focused on one eye, the other lies twice as far off it.")
	}
	if off := a.EyesOffMm; off >= measure.Length(q.DepthMm)/2 {
		most := math.Asin(math.Min(1, q.DepthMm/q.EyeSpanMm))
		notes = append(notes, fmt.Sprintf("Turned so, the eyes lie %s mm before and behind the plane and never both in the depth: turn the line of the eyes by less than %s° out of the plane, swing the back to follow it, or stop down.",
			number(rounded(float64(off))), number(rounded(most*180/math.Pi))))
	} else if a.PMiddle > a.PInDepth+0.05 {
		notes = append(notes, "Focusing catches the head at one moment of its sway. Watching for a while and focusing on the middle gains what p_in_depth_middle has more.")
	}
	if float64(a.SmearMm) > q.BlurMm {
		seconds, err := q.longestWithin(sway)
		if err != nil {
			return nil, err
		}
		over := float64(a.SmearMm) / q.BlurMm
		notes = append(notes, fmt.Sprintf("The usual smear (smear_mm) is %s times the blur called sharp. An exposure of %s s would keep it to that, or a head that strays by %s mm rms: time and support sharpen this plate more than a smaller stop.",
			twoFigures(over), twoFigures(seconds), twoFigures(float64(sway.Across)/over)))
	}
	if q.TimeS <= 1 && a.PBlink > 0.05 {
		notes = append(notes, "One blink takes much of so short an exposure (one_blink_stops): let the sitter blink just before.")
	}
	return append(notes, "p_good takes toward and across as independent. Slow sinking, talking and sudden moves are not in it."), nil
}

// twoFigures keeps two significant figures for a note.
func twoFigures(v float64) string {
	kept, _ := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 2, 64), 64) // what FormatFloat wrote is a number
	return number(kept)
}

// rounded keeps two decimals for a note.
func rounded(v float64) float64 { return math.Round(v*100) / 100 }
