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
	within := func(play measure.Length, during time.Duration) (float64, error) {
		return c.sway.StaysWithin(pose.Hold{Half: min(play, pose.GreatestDepth), Wait: c.q.Wait, During: during})
	}
	if len(c.choices) > fewHolds {
		table, err := pose.NewHolds(c.sway, c.q.Wait)
		if err != nil {
			return err
		}
		within = func(play measure.Length, during time.Duration) (float64, error) {
			return table.StaysWithin(play, 0, during), nil
		}
	}
	for i := range c.choices {
		k := &c.choices[i]
		var err error
		if k.Stillness, err = within(k.Play, k.during); err != nil {
			return err
		}
		if k.NoSmear, err = c.sway.NoSmear(pose.Smear{Magnification: k.Magnification, Blur: c.q.Blur, During: k.during}); err != nil {
			return err
		}
		_, across, err := c.sway.Spread(k.during)
		if err != nil {
			return err
		}
		k.Smear = smearOfRms * measure.Length(k.Magnification) * across
		k.Score = k.TargetShare * k.Stillness * c.q.Blur.Over(optics.Combined(c.q.Blur, k.Smear))
	}
	return nil
}

// smearOfRms is the width of a smear over the rms of the place, as [pose.Sway.NoSmear] measures it.
const smearOfRms = 4
