package scene

import (
	"time"

	"platewright/measure"
	"platewright/optics"
	"platewright/pose"
)

// fewHolds is for how many choices each chance of keeping within depth is reckoned on its own; for more of them a table
// is quicker.
const fewHolds = 50

// still finds of every choice the chance that the sitter keeps within its play, and what moving across does to it.
func (c *chooser) still() error {
	within, err := c.holds()
	if err != nil {
		return err
	}
	for i := range c.choices {
		k := &c.choices[i]
		if k.Stillness, err = within(k.Play, k.during); err != nil {
			return err
		}
		smear := pose.Smear{Magnification: k.Magnification, Blur: c.q.Blur, During: k.during}
		if k.NoSmear, err = c.sway.NoSmear(smear); err != nil {
			return err
		}
		if k.Smear, err = c.sway.UsualSmear(smear); err != nil {
			return err
		}
		k.Score = k.TargetShare * k.Stillness * c.q.Blur.Over(optics.Combined(c.q.Blur, k.Smear))
	}
	return nil
}

// holds returns how the chance is found that the sitter keeps within a play.
func (c *chooser) holds() (func(play measure.Length, during time.Duration) (float64, error), error) {
	if len(c.choices) <= fewHolds {
		return func(play measure.Length, during time.Duration) (float64, error) {
			return c.q.holds(c.sway, play, during)
		}, nil
	}
	table, err := pose.NewHolds(c.sway, c.q.Wait)
	if err != nil {
		return nil, err
	}
	return func(play measure.Length, during time.Duration) (float64, error) {
		return table.StaysWithin(play, 0, during), nil
	}, nil
}

func (q Wanted) holds(sway pose.Sway, play measure.Length, during time.Duration) (float64, error) {
	return sway.StaysWithin(pose.Hold{Half: min(play, pose.GreatestDepth), Wait: q.Wait, During: during})
}

// Stays returns the chance that what is sharp of the targets keeps within its depth, and its band for the most restless
// and the calmest sitters that the figures of the support allow. It is Stillness without what a table adds, where there
// are so many choices that [Choose] takes it from one: half a hundredth, and more for exposures of a minute.
func (q Wanted) Stays(k Choice) (chance float64, band [2]float64, err error) {
	usual, err := pose.SwayOf(q.Support)
	if err != nil {
		return 0, band, err
	}
	calm, restless, err := pose.SwayRange(q.Support)
	if err != nil {
		return 0, band, err
	}
	for _, w := range []struct {
		sway pose.Sway
		into *float64
	}{{usual, &chance}, {restless, &band[0]}, {calm, &band[1]}} {
		if *w.into, err = q.holds(w.sway, k.Play, k.during); err != nil {
			return 0, band, err
		}
	}
	return chance, band, nil
}
