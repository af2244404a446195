package demo

import (
	"math"
	"math/rand/v2"
	"time"

	"platewright/internal/studio"
)

// Figures of the model. All are ours: plausible, measured by nobody.
const (
	plateScatter   = 0.35  // stops, standard deviation from plate to plate
	batchSpread    = 0.40  // stops, between batches of collodion
	lightSpread    = 0.45  // stops, of what a light does beyond the meter
	ageingPerDay   = 0.009 // stops lost a day
	warmthPerC     = 0.04  // stops gained per degree of the bath above 20 °C
	beliefOfBatch  = 0.45  // share of a plate's error the operator puts down to the batch
	beliefOfLight  = 0.40  // and to the light
	startingBelief = 0     // log2 of the exposure index the operator begins with
)

// world is what is true in the invented studio and hidden from its operator, and what the operator
// has come to believe.
type world struct {
	rng        *rand.Rand
	batchSpeed map[string]float64 // stops, by the collodion's name
	lightDoes  []float64          // stops, by spot
	weather    float64            // °C above or below the season's mean, drifting from day to day
	cloud      float64            // share of the light that comes through, drifting

	ofBatch map[string]float64 // stops the operator believes, added up to log2 of the index used
	ofLight []float64
}

func newWorld(seed uint64, day time.Time) *world {
	y, m, d := day.Date()
	w := &world{
		rng:        rand.New(rand.NewPCG(seed, uint64(y*10000+int(m)*100+d))),
		batchSpeed: make(map[string]float64), ofBatch: make(map[string]float64),
		cloud: 0.7,
	}
	for _, b := range bottles() {
		if b.kind == "collodion" {
			w.batchSpeed[b.name] = batchSpread * w.rng.NormFloat64()
		}
	}
	for range spots() {
		w.lightDoes = append(w.lightDoes, lightSpread*w.rng.NormFloat64())
		w.ofLight = append(w.ofLight, startingBelief)
	}
	return w
}

func (w *world) between(low, high float64) float64 { return low + (high-low)*w.rng.Float64() }

func (w *world) chance(p float64) bool { return w.rng.Float64() < p }

// seconds draws a time between two, to the tenth of a second as a press of the pedal has it.
func (w *world) seconds(low, high float64) time.Duration {
	return time.Duration(math.Round(10*w.between(low, high))) * (time.Second / 10)
}

// yearShare is 1 at midsummer of the northern half and -1 at midwinter.
func yearShare(at time.Time) float64 {
	return math.Cos(2 * math.Pi * float64(at.YearDay()-172) / 365.25)
}

// newDay draws the weather of the next day on from that of the last.
func (w *world) newDay() {
	w.weather = 0.5*w.weather + 3.2*w.rng.NormFloat64()
	w.cloud = math.Min(1, math.Max(0.25, 0.7+0.5*(w.cloud-0.7)+0.2*w.rng.NormFloat64()))
}

// room is the dark room's temperature in °C: the season comes a month after the sun.
func (w *world) room(at time.Time) float64 {
	outside := 11 + 9*yearShare(at.AddDate(0, 0, -32)) + w.weather
	warmest := 1.5 * math.Sin(math.Pi*(float64(at.Hour())-8)/12)
	return math.Round(10*(19+0.34*(outside-12)+warmest+0.5*w.rng.NormFloat64())) / 10
}

// metered is the incident light in lx that the meter shows at a spot, read to two figures.
func (w *world) metered(spot int, at time.Time) float64 {
	lx := spots()[spot].noon * math.Exp2(0.15*w.rng.NormFloat64())
	if !spots()[spot].lamps {
		hour := float64(at.Hour()) + float64(at.Minute())/60
		sun := math.Max(0.25, math.Cos((hour-12.7)/5.5))
		lx *= (0.62 + 0.38*yearShare(at)) * sun * w.cloud
	}
	unit := math.Pow(10, math.Floor(math.Log10(lx))-1)
	return math.Round(lx/unit) * unit
}

// index is the exposure index the operator sets for a batch in a light, in third stops.
func (w *world) index(batch string, spot int) float64 {
	thirds := math.Round(3 * (w.ofBatch[batch] + w.ofLight[spot]))
	return math.Round(100*math.Exp2(thirds/3)) / 100
}

// outcome is how a plate came out.
type outcome struct {
	error float64 // stops too much light; negative too little
	word  int
}

// come draws how a plate comes out that was exposed by index for given instead of planned seconds.
func (w *world) come(batch string, ageDays int, spot int, index, given, planned, bathC float64) outcome {
	e := w.batchSpeed[batch] - ageingPerDay*float64(ageDays) + w.lightDoes[spot] + warmthPerC*(bathC-20)
	e += -math.Log2(index) + math.Log2(given/planned) + plateScatter*w.rng.NormFloat64()
	return outcome{error: e, word: wordFor(e)}
}

// wordFor says an error in the operator's seven words: a little is about a third of a stop, too
// about two thirds to one, much a stop and a half or more.
func wordFor(e float64) int {
	word := 0
	switch size := math.Abs(e); {
	case size >= 1.3:
		word = 3
	case size >= 0.55:
		word = 2
	case size >= 0.2:
		word = 1
	}
	if e < 0 {
		return -word
	}
	return word
}

// meant is what the operator takes a word for, in stops.
func meant(word int) float64 {
	size := [4]float64{0, 0.33, 0.85, 1.6}
	if word < 0 {
		return -size[-word]
	}
	return size[word]
}

// learn lets the operator correct by the word of a plate.
func (w *world) learn(batch string, spot, word int) {
	w.ofBatch[batch] += beliefOfBatch * meant(word)
	w.ofLight[spot] += beliefOfLight * meant(word)
}

// takeOver lets the operator begin a new batch with half of what was believed of the last.
func (w *world) takeOver(batch, last string) {
	if _, known := w.ofBatch[batch]; !known {
		w.ofBatch[batch] = w.ofBatch[last] / 2
	}
}

// faults draws a plate's marks. Places are hundredths of the plate as it shows itself.
func (w *world) faults(holder int, bathC float64, bathAgeDays int) []studio.Mark {
	var marks []studio.Mark
	add := func(appearance string, x, y float64, say string) {
		marks = append(marks, studio.Mark{Appearance: appearance, XPct: math.Round(10*x) / 10, YPct: math.Round(10*y) / 10, Say: say})
	}
	if w.chance(0.06 + 0.0006*float64(bathAgeDays)) {
		for range 1 + w.rng.IntN(3) {
			add(markComet, w.between(8, 92), w.between(8, 92), "tail down")
		}
	}
	oyster := 0.03
	if holder == holderWalnut {
		oyster = 0.6
	}
	if w.chance(oyster) {
		for i, corner := range [4][2]float64{{4, 96}, {96, 96}, {4, 4}, {96, 4}} {
			if i == 0 || w.chance(0.3) {
				add(markOyster, math.Abs(corner[0]-w.between(0, 4)), math.Abs(corner[1]-w.between(0, 4)), "")
			}
		}
	}
	if w.chance(0.8 / (1 + math.Exp(-1.3*(bathC-24.5)))) {
		add(markFog, 50, w.between(20, 60), "grey over the shadows")
	}
	if w.chance(0.1) {
		add(markRidge, w.between(70, 97), w.between(60, 97), "from the last corner")
	}
	if w.chance(0.05) {
		add(markStreak, w.between(30, 70), w.between(5, 40), "developer stopped there a moment")
	}
	if w.chance(0.07) {
		add(markBare, w.between(92, 99), w.between(1, 8), "collodion did not reach it")
	}
	return marks
}

// Faults of the scenario, in the operator's words.
const (
	markComet  = "comet"
	markOyster = "oyster mark"
	markFog    = "fog"
	markRidge  = "pour ridge"
	markStreak = "streak"
	markBare   = "bare corner"
)

// spoils reports whether marks are bad enough to lose the plate.
func spoils(marks []studio.Mark) bool {
	comets, oysters := 0, 0
	for _, m := range marks {
		switch {
		case m.Appearance == markFog, m.Appearance == markStreak && m.XPct > 35 && m.XPct < 65:
			return true
		case m.Appearance == markComet:
			comets++
		case m.Appearance == markOyster:
			oysters++
		}
	}
	return comets > 2 || oysters > 2
}

// fate decides what becomes of a plate: again says whether there is time for another.
func (w *world) fate(word int, marks []studio.Mark, again bool) studio.Fate {
	good := word >= -1 && word <= 1 || word == 2 && w.chance(0.3)
	switch {
	case good && !spoils(marks):
		return studio.Keep
	case again:
		return studio.Redo
	}
	return studio.Reject
}
