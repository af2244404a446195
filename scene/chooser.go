package scene

import (
	"slices"
	"time"

	"platewright/light"
	"platewright/pose"
)

// FlashLasts is how long a flash lights the sitter: short against any sway (common practice, no source).
const FlashLasts = time.Millisecond

// longestAsked is the longest exposure for which a sitter's stillness is asked; beyond it nobody keeps still.
const longestAsked = light.Seconds(600)

// chooser holds what is wanted, prepared, and what was found.
type chooser struct {
	q       Wanted
	targets []pose.Vec // from the point midway between the sitter's eyes
	second  pose.Vec   // the second head from the first
	face    []pose.Patch
	eye     pose.Vec // the nearer one
	sway    pose.Sway

	choices []Choice
	refused []Refusal
}

func newChooser(q Wanted) (*chooser, error) {
	if err := q.Check(); err != nil {
		return nil, err
	}
	c := &chooser{q: q}
	var err error
	if c.sway, err = pose.SwayOf(q.Support); err != nil {
		return nil, err
	}
	if q.Second != nil {
		c.second = pose.Vec{X: float64(q.Second.Across), Y: float64(q.Second.Above), Z: float64(q.Second.Behind)}
	}
	for _, t := range q.Targets {
		at, _ := q.Figure.Landmark(t.Landmark)
		if t.Second {
			at = plus(at, c.second)
		}
		c.targets = append(c.targets, at)
	}
	c.eye, _ = q.Figure.Landmark(NearerEye(q.Figure))
	for _, p := range q.Figure.Patches {
		if !p.Face {
			continue
		}
		c.face = append(c.face, p)
		if q.Second != nil {
			p.At = plus(p.At, c.second)
			c.face = append(c.face, p)
		}
	}
	return c, nil
}

func plus(a, b pose.Vec) pose.Vec { return pose.Vec{X: a.X + b.X, Y: a.Y + b.Y, Z: a.Z + b.Z} }

// lens tries a lens on every camera.
func (c *chooser) lens(l *Lens, cameras []Camera) error {
	if len(cameras) == 0 {
		cameras = []Camera{{}}
	}
	t := trial{chooser: c, lens: l}
	all, why := c.forLens(l)
	if why != "" {
		c.refuse(l, &Camera{}, why)
		return nil
	}
	for i := range cameras {
		camera := cameras[i].with(l)
		m, why := c.onCamera(l, &camera, all)
		if why != "" {
			c.refuse(l, &camera, why)
			continue
		}
		done := false
		for _, m := range m.steps() {
			done = t.at(&camera, m) || done
		}
		if !done {
			c.refuse(l, &camera, t.why)
		}
	}
	return t.judge()
}

func (c *chooser) refuse(l *Lens, camera *Camera, why string) {
	r := Refusal{Lens: l.Name, Camera: camera.Name, Why: why}
	if !slices.Contains(c.refused, r) {
		c.refused = append(c.refused, r)
	}
}
