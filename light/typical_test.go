package light_test

import (
	"strings"
	"testing"

	"platewright/light"
)

// TestTypical holds that every kind but an own spectrum has a light that stands for it, and keeps its kind. The lights
// themselves are a choice of ours: common practice, no source.
func TestTypical(t *testing.T) {
	for _, k := range light.Kinds() {
		s, err := k.Typical()
		switch {
		case k == light.OwnSpectrum:
			if err == nil || !strings.Contains(err.Error(), "own spectrum") {
				t.Errorf("%s: %v, want a refusal", k, err)
			}
		case err != nil:
			t.Errorf("%s: %v", k, err)
		case s.Kind != k || !(s.Power.Lux() > 0):
			t.Errorf("%s: kind %q, %g lx", k, s.Kind, s.Power.Lux())
		}
	}
	if _, err := light.Kind("moon").Typical(); err == nil || !strings.Contains(err.Error(), "moon") {
		t.Errorf("a kind that is none: %v", err)
	}
}
