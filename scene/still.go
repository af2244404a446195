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
	calm, restless, err := pose.SwayRange(c.q.Support)
	if err != nil {
		return err
	}
	var within [3]func(play measure.Length, during time.Duration) (float64, error)
	for i, sway := range []pose.Sway{c.sway, restless, calm} {
		if within[i], err = c.holds(sway); err != nil {
			return err
		}
	}
	for i := range c.choices {
		k := &c.choices[i]
		for w, into := range []*float64{&k.Stillness, &k.Band[0], &k.Band[1]} {
			if *into, err = within[w](k.Play, k.during); err != nil {
				return err
			}
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

// holds returns how the chance is found that a sitter of that sway keeps within a play.
func (c *chooser) holds(sway pose.Sway) (func(play measure.Length, during time.Duration) (float64, error), error) {
	if len(c.choices) <= fewHolds {
		return func(play measure.Length, during time.Duration) (float64, error) {
			return sway.StaysWithin(pose.Hold{Half: min(play, pose.GreatestDepth), Wait: c.q.Wait, During: during})
		}, nil
	}
	table, err := pose.NewHolds(sway, c.q.Wait)
	if err != nil {
		return nil, err
	}
	return func(play measure.Length, during time.Duration) (float64, error) {
		return table.StaysWithin(play, 0, during), nil
	}, nil
}
