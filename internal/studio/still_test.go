package studio_test

import (
	"strings"
	"testing"
	"time"

	"platewright/internal/studio"
)

// What is too long for a sitter is told with its figure and what helps, and what is not is passed over.
func TestRestless(t *testing.T) {
	for _, tt := range []struct {
		name string
		p    studio.Poise
		want string // empty: nothing is told
	}{
		{"still", studio.Poise{Support: studio.HeldHeadRest, During: 4 * time.Second, InDepth: 0.98, Smear: 0.5, Blur: 0.1}, ""},
		{"just as likely as not", studio.Poise{Support: studio.HeldSeated, During: time.Second, InDepth: 0.5, Smear: 1, Blur: 0.1}, ""},
		{"shallow, seated", studio.Poise{Support: studio.HeldSeated, During: time.Second, InDepth: 0.39, Smear: 0.2, Blur: 0.1},
			"The depth is too shallow for a seated sitter without a head rest: the chance to keep in it is 39\u2009%. Take a smaller stop or a shorter wait, or give a head rest."},
		{"shallow, in a rest", studio.Poise{Support: studio.HeldHeadRest, During: time.Second, InDepth: 0.001, Smear: 0.2, Blur: 0.1},
			"in a head rest: the chance to keep in it is under 1\u2009%. Take a smaller stop or a shorter wait."},
		{"smeared", studio.Poise{Support: studio.HeldStanding, During: 40 * time.Second, InDepth: 0.9, Smear: 3.4567, Blur: 0.1},
			"40\u2009s is too long for a sitter who stands free: moving smears about 3.5\u2009mm on the plate. Take more light or a wider stop, or give a head rest."},
	} {
		got, is := studio.Restless(tt.p)
		if said := got.Sentence + " " + got.Hint; is != (tt.want != "") || is && !strings.Contains(said, tt.want) {
			t.Errorf("%s: told is %q, want %q", tt.name, said, tt.want)
		}
	}
}

func TestChance(t *testing.T) {
	for p, want := range map[float64]string{0: "under 1\u2009%", 0.004: "under 1\u2009%", 0.006: "1\u2009%", 0.5: "50\u2009%", 0.994: "99\u2009%", 0.996: "over 99\u2009%", 1: "over 99\u2009%"} {
		if got := studio.Chance(p); got != want {
			t.Errorf("%g is written %q, want %q", p, got, want)
		}
	}
}
