package studio_test

import (
	"math"
	"strings"
	"testing"

	"platewright/internal/studio"
	"platewright/measure"
)

func size(t *testing.T, text string) measure.PlateSize {
	t.Helper()
	p, err := measure.ParsePlateSize(text)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// Each misfit is found at its limit and not before, names its field and says both figures.
func TestMisfits(t *testing.T) {
	lens := studio.Lens{Name: "Number 5", Focal: 300, Circle: 300}
	camera := studio.Camera{Name: "Field", Back: size(t, "whole plate"), Shortest: 200, Longest: 500}
	holder := studio.Holder{Name: "Half", Size: size(t, "half plate")}
	for _, tt := range []struct {
		name   string
		change func(*studio.Setup)
		want   []string // "field: words", in order
	}{
		{"all goes together", func(*studio.Setup) {}, nil},
		{"bellows just long enough", func(s *studio.Setup) { s.Extension = 500 }, nil},
		{"bellows too short", func(s *studio.Setup) { s.Extension = 520.5 }, []string{"camera: draws out to 500\u2009mm; this needs 520.5\u2009mm, 20.5\u2009mm more"}},
		{"bellows just closed enough", func(s *studio.Setup) { s.Extension = 200; s.Lens.Circle = 0 }, nil},
		{"bellows too long", func(s *studio.Setup) { s.Extension = 190; s.Lens.Circle = 0 }, []string{"camera: closes to 200\u2009mm; this needs 190\u2009mm, 10\u2009mm less"}},
		{"camera too small", func(s *studio.Setup) { s.Plate = size(t, "8x10"); s.Lens.Circle = 0 }, []string{"camera: takes 165.1 × 215.9\u2009mm; the plate is 203.2 × 254\u2009mm"}},
		{"camera taken lying", func(s *studio.Setup) { s.Plate = size(t, "whole plate lying") }, nil},
		{"holder too small", func(s *studio.Setup) { s.Holder = &holder }, []string{"holder: Half takes 107.9 × 139.7\u2009mm"}},
		{"circle too small", func(s *studio.Setup) { s.Lens.Circle = 240 }, []string{"lens: Number 5 is good over a circle of 256\u2009mm at this extension; the plate's diagonal is 271.8\u2009mm"}},
		{"no camera, no holder, circle unknown", func(s *studio.Setup) { s.Camera, s.Extension, s.Lens.Circle = nil, 9000, 0 }, nil},
	} {
		s := studio.Setup{Plate: size(t, "whole plate"), Lens: lens, Camera: &camera, Extension: 320, Units: measure.Metric}
		tt.change(&s)
		got := s.Misfits()
		if len(got) != len(tt.want) {
			t.Errorf("%s: %d misfits, want %d: %v", tt.name, len(got), len(tt.want), got)
			continue
		}
		for i, want := range tt.want {
			field, words, _ := strings.Cut(want, ": ")
			if got[i].Field != field || !strings.Contains(got[i].Sentence, words) || got[i].Hint == "" {
				t.Errorf("%s: got %+v, want %q", tt.name, got[i], want)
			}
		}
	}
}

// identity: at the size of life the extension is twice the focal length, and a lens that covers a
// circle at infinity covers twice that circle (common practice, no source).
func TestCircleGrowsWithExtension(t *testing.T) {
	s := studio.Setup{Lens: studio.Lens{Focal: 300, Circle: 241}, Extension: 600}
	if got := float64(s.CircleAt()); math.Abs(got-482) > 1e-9 {
		t.Errorf("circle at same size %g mm, want 482", got)
	}
}
