package studio_test

import (
	"strings"
	"testing"

	"platewright/internal/studio"
	"platewright/measure"
)

// What focusing by eye misses is told with its way and from where it counts: the chemical focus grown by
// (1 + m)², to first order, and the shift of the stops as it is at the distance.
func TestRefocus(t *testing.T) {
	k := studio.Known(studio.Lens{Name: "Long", Focal: 300, PupilMag: 1, Stops: []studio.Stop{{Name: "full", FNumber: 4}, {Name: "f/8", FNumber: 8}}}, nil)
	k.ChemicalBasis.Text, k.Stops[1].ShiftBasis.Text = "measured of a plate", "measured at two stops"
	at := func(stop string, chemical, shift measure.Length) string {
		k.Chemical, k.Stops[1].ShiftHere = chemical, shift
		var said []string
		for _, p := range (studio.Setup{Known: &k, Lens: k.Lens, Stop: stop, Distance: 600, Units: measure.Metric}).Refocus() {
			said = append(said, p.Field+": "+p.Sentence+" "+p.Hint)
		}
		return strings.ReplaceAll(strings.Join(said, " | "), "\u2009", " ")
	}
	// At twice the focal length m is 1: the chemical focus is four times as much, and the depth of focus at f/8 by the
	// usual blur of 0.1 mm is 1.6 mm to either side [Conj1995].
	for _, tt := range []struct {
		name            string
		stop            string
		chemical, shift measure.Length
		want            []string // nothing: nothing is said
	}{
		{"nothing", "f/8", 0, 0, nil},
		{"too little of both", "f/8", 0.012, -0.79, nil},
		{"chemical, behind", "full", 0.5, 0, []string{"lens: ", "2 mm", "measured of a plate", "rack the plate out"}},
		{"chemical, before", "f/8", -0.5, 0, []string{"lens: ", "2 mm", "rack the plate in"}},
		{"shift toward the lens", "f/8", 0, -0.81, []string{"stop: From the full opening to f/8", "0.81 mm nearer the lens", "measured at two stops", "rack the plate in"}},
		{"shift away", "f/8", 0, 2, []string{"2 mm farther from the lens", "Focus with the stop in", "rack the plate out"}},
		{"at the full opening", "full", 0, 2, nil},
		{"both", "f/8", 0.5, 2, []string{"lens: ", " | stop: "}},
		{"a stop it has not", "f/11", 0.5, 2, nil},
	} {
		got := at(tt.stop, tt.chemical, tt.shift)
		if (got == "") != (tt.want == nil) {
			t.Errorf("%s: %q", tt.name, got)
		}
		for _, want := range tt.want {
			if !strings.Contains(got, want) {
				t.Errorf("%s: %q does not say %q", tt.name, got, want)
			}
		}
	}
}
