package scene_test

import (
	"testing"

	"platewright/measure"
	"platewright/optics"
	"platewright/scene"
)

// BenchmarkRedraw is one redraw of the focus screen from a pose on: the figure, the landmarks, the sharp share, both
// sections of the shell, the outline and three levels of blur.
func BenchmarkRedraw(b *testing.B) {
	levels := []measure.Length{0.1, 0.3, 1}
	for b.Loop() {
		s := shot(b, portrait, 0.43, sitter(b, 15*measure.Degree))
		if _, err := s.Landmarks(); err != nil {
			b.Fatal(err)
		}
		if _, err := s.Share(); err != nil {
			b.Fatal(err)
		}
		for _, section := range []scene.Section{scene.Side, scene.Above} {
			if _, err := s.Shell(section); err != nil {
				b.Fatal(err)
			}
		}
		if _, err := s.Face(levels, 96); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkChoose ranks 40 lenses of six stops each on one camera: a head turned by 15°, eyes and lips sharp.
func BenchmarkChoose(b *testing.B) {
	q := wanted(b)
	q.Room, q.Light.Longest = 8000, 12
	own := scene.Kit{Cameras: []scene.Camera{{Name: "studio camera", Limits: &optics.Limits{Longest: 1400,
		BackSwing: 8 * measure.Degree, BackTilt: 6 * measure.Degree, FrontTilt: 10 * measure.Degree, FrontSwing: 10 * measure.Degree}}}}
	for i := range 40 {
		l := lens(measure.Length(240+8*i), 3.6, 4.5, 5.6, 8, 11, 16)
		l.Circle, l.Surface = 0.8*l.Focal, optics.Even(optics.CurveOfRadius(1.2*l.Focal))
		l.Rims = optics.Rims{Front: l.Focal / 3.4, Rear: l.Focal / 3.8, Barrel: l.Focal / 2}
		own.Lenses = append(own.Lenses, l)
	}
	choices := 0
	for b.Loop() {
		choices = len(chosen(b, q, own).Ranked)
	}
	b.ReportMetric(float64(choices), "choices")
}
