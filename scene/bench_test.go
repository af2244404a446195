package scene_test

import (
	"testing"

	"platewright/measure"
	"platewright/scene"
)

// BenchmarkRedraw is one redraw of the focus screen: landmarks, sharp share, both sections of the shell, outline and
// three levels of blur.
func BenchmarkRedraw(b *testing.B) {
	s := shot(b, portrait, 0.43, ball(100, 60))
	levels := []measure.Length{0.1, 0.3, 1}
	for b.Loop() {
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
