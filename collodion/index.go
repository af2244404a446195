package collodion

import (
	"fmt"
	"math"

	"platewright/light"
	"platewright/measure"
)

// Index is a film's speed for incident readings with a meter of constant 250, together with the kind of light in which it
// was found: without that a speed says little.
type Index struct {
	EI    float64       // set on the meter, for the light in which it was found
	Kind  light.Kind    // of that light
	Sigma measure.Stops // one standard deviation
	From  string        // how it was found, a sentence
}

// Speeds that people quote for wet plates [PlateNotes2026]: three and a third stops apart.
const (
	LeastQuotedIndex = 0.5
	MostQuotedIndex  = 5.0
)

// Limits of an index that is taken.
const (
	LeastIndex = 0.001
	MostIndex  = 1000.0
)

// UsualIndex returns the speed of a film of which nothing is known.
func UsualIndex() Index {
	return Index{EI: 1, Kind: light.AnyDaylight, Sigma: 1,
		From: "A guess before any plate: people quote 0.5 to 5, and one plate against a chart gave about 1."}
}

// What lies between two lights beyond their spectra: assumptions of ours, since nobody seems to have measured it.
const (
	KindScatter  = measure.Stops(0.3) // how far one light of a kind differs from another for the plate
	FlashScatter = measure.Stops(0.5) // what so short and strong a light may do otherwise than a long weak one
)

// In returns the index for another light, from what the light it was found in and the wanted one each do to the film
// ([Sensitivity.Actinic], through one lens):
//
//	index = EI 2^(wanted - found)
//
// Within one kind the two cancel and the index stays as it is, whatever the spectra given. From one kind to another it
// grows less sure: by what the film's curve leaves open between these two lights, by how lights of one kind differ, and
// between flash and a steady light by what short exposures may do.
func (i Index) In(k light.Kind, found, wanted Actinic) (Index, error) {
	if err := i.Check(); err != nil {
		return Index{}, err
	}
	if !k.Valid() {
		return Index{}, fmt.Errorf("no kind of light is called %q; there are %q", k, light.Kinds())
	}
	if k == i.Kind && k != light.OwnSpectrum {
		return i, nil
	}
	more, sigma := wanted.Against(found)
	variance := square(i.Sigma) + square(sigma) + square(KindScatter)
	if flash(k) != flash(i.Kind) {
		variance += square(FlashScatter)
	}
	out := Index{EI: i.EI * more.Factor(), Kind: k, Sigma: measure.Stops(math.Sqrt(variance)),
		From: fmt.Sprintf("Carried over from %s to %s by %+.2f stops of the two lights' actinic ratios. %s", i.Kind, k, float64(more), i.From)}
	return out, out.Check()
}

// Check refuses an index that no plate has, an unknown kind of light, and a standard deviation that is none.
func (i Index) Check() error {
	if err := measure.Within("exposure index", i.EI, LeastIndex, MostIndex, ""); err != nil {
		return err
	}
	if !i.Kind.Valid() {
		return fmt.Errorf("no kind of light is called %q; a speed is kept with one of %q", i.Kind, light.Kinds())
	}
	return measure.Within("sigma of the exposure index", float64(i.Sigma), 0, 10, "stops")
}

// Band returns the indices one standard deviation either way.
func (i Index) Band() (low, high float64) { return i.EI / i.Sigma.Factor(), i.EI * i.Sigma.Factor() }

func square(s measure.Stops) float64 { return float64(s) * float64(s) }

func flash(k light.Kind) bool {
	return k == light.ClearFlash || k == light.PartFlash || k == light.CutFlash
}
