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
