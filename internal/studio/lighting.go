package studio

import (
	"slices"
	"time"

	"platewright/light"
	"platewright/measure"
)

// LightingWay is how an exposure was arrived at.
type LightingWay string

// Ways of arriving at an exposure.
const (
	Metered    LightingWay = "metered"      // with a meter, a camera or a telephone
	ByWindow   LightingWay = "window"       // reckoned from sun, sky and a window
	ByFlash    LightingWay = "flash"        // reckoned from a flash rig
	ByOldPlate LightingWay = "from a plate" // relative to a plate that was judged
)

// LightingWays lists them.
func LightingWays() []LightingWay { return []LightingWay{Metered, ByWindow, ByFlash, ByOldPlate} }

// Lighting is the light a plate was planned by, and how its exposure was arrived at. The zero value says nothing of it.
type Lighting struct {
	Way       LightingWay
	Kind      light.Kind          // class of the light
	Spectrum  ID                  // of the light, where it has one of its own
	Incident  measure.Lux         // at the sitter's face, as a meter would show it; 0 when unknown
	Dose      light.LuxSeconds    // of a flash at the face, all pops; 0 when it is none
	Index     light.ExposureIndex // the plate's exposure index; 0 when none was used
	IndexKind light.Kind          // class of light the index was found under
	Actinic   measure.Stops       // taken between that light and this: positive when this one is stronger for the plate
	Window    ID
	Rig       ID
	Energy    float64 // J of all heads and pops of the rig; 0 without flash
	Pops      int
	FromPlate Number        // the plate it was reckoned from
	Low, High time.Duration // band of the planned exposure; 0 when none was told
}

// Most that is kept of a light.
const (
	mostLux  = 300_000  // lx; the sun gives 120 000
	mostDose = 10e6     // lx s
	mostRig  = 1e7      // J
	leastEI  = 0.001    // exposure index
	mostEI   = 10_000.0 // a meter's
)

func (l Lighting) check(ps *problems) {
	if l.Way != "" && !slices.Contains(LightingWays(), l.Way) {
		ps.add("lighting_way", "%q is not known; metered, window, flash or from a plate is", l.Way)
	}
	for _, k := range []struct {
		field string
		kind  light.Kind
	}{{"light_kind", l.Kind}, {"index_kind", l.IndexKind}} {
		if k.kind != "" && !k.kind.Valid() {
			ps.add(k.field, "%q is no kind of light that is known; daylight, say, is", k.kind)
		}
	}
	ps.within("incident_lx", measure.Within("light at the face", float64(l.Incident), 0, mostLux, "lx"))
	ps.within("dose_lx_s", measure.Within("light-sum of the flash", float64(l.Dose), 0, mostDose, "lx s"))
	if l.Index != 0 {
		ps.within("exposure_index", measure.Within("exposure index", float64(l.Index), leastEI, mostEI, ""))
	}
	ps.within("actinic_stops", measure.Within("stops between two lights", float64(l.Actinic), -20, 20, "stops"))
	ps.within("energy_j", measure.Within("energy", l.Energy, 0, mostRig, "J"))
	ps.within("pops", measure.Within("pops", float64(l.Pops), 0, MostHeads*mostPops, ""))
	if l.FromPlate != (Number{}) && (l.FromPlate.Serial < 1 || l.FromPlate.Year < 2000 || l.FromPlate.Year > 2099) {
		ps.add("from_plate", "%s is no plate's number", l.FromPlate)
	}
	if l.Low < 0 || l.High < l.Low || l.High > 100*longestExposure {
		ps.add("band", "%s to %s is no band of an exposure", measure.FormatExposure(l.Low), measure.FormatExposure(l.High))
	}
}
