package studio_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"platewright/internal/studio"
	"platewright/light"
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

// A holder of the plate's size comes before a larger one, the preferred before its equals.
func TestHolderFor(t *testing.T) {
	holders := []studio.Holder{{ID: "large", Size: size(t, "8x10")}, {ID: "whole a", Size: size(t, "whole plate")},
		{ID: "whole b", Size: size(t, "whole plate")}, {ID: "gone", Size: size(t, "half plate"), Retired: true}}
	for _, tt := range []struct {
		plate     string
		preferred studio.ID
		want      studio.ID
	}{
		{"whole plate", "", "whole a"}, {"whole plate", "whole b", "whole b"}, {"whole plate", "large", "whole a"}, {"whole plate lying", "whole b", "whole b"},
		{"half plate", "large", "whole a"}, {"half plate", "gone", "whole a"}, {"8x10", "whole a", "large"}, {"11x14", "large", ""},
	} {
		if got := studio.HolderFor(size(t, tt.plate), holders, tt.preferred); got != tt.want {
			t.Errorf("%s, preferred %q: %q, want %q", tt.plate, tt.preferred, got, tt.want)
		}
	}
}

// identity: the wet time less a minute is the last exposure nothing is said of (common practice, no source).
func TestTooLong(t *testing.T) {
	for _, tt := range []struct {
		exposure time.Duration
		want     []string // nothing: not too long
	}{
		{4 * time.Second, nil}, {9 * time.Minute, nil},
		{9*time.Minute + time.Second, []string{"9\u2009min 1\u2009s", "10\u2009min", "no measured source"}},
		{time.Hour, []string{"60\u2009min", "outlasts the wet plate"}},
		{78 * time.Minute, []string{"78\u2009min", "more than the hour that can be planned"}},
	} {
		got, is := studio.TooLong(tt.exposure, studio.CommonTargets())
		if is != (tt.want != nil) || is && (got.Field != "seconds" || got.Hint == "") {
			t.Errorf("%v: %v, %+v", tt.exposure, is, got)
		}
		for _, want := range tt.want {
			if !strings.Contains(got.Sentence, want) {
				t.Errorf("%v: %q does not say %q", tt.exposure, got.Sentence, want)
			}
		}
	}
}

// Two figures change a time by at most a twentieth, less than counting aloud scatters it [FechnerDay356].
func TestCounted(t *testing.T) {
	for exposure, want := range map[time.Duration]time.Duration{
		3990 * time.Millisecond: 4 * time.Second, 4040 * time.Millisecond: 4 * time.Second, 1249 * time.Millisecond: 1200 * time.Millisecond,
		43210 * time.Microsecond: 43 * time.Millisecond, 95400 * time.Millisecond: 95 * time.Second, 347 * time.Second: 350 * time.Second, 0: 0,
	} {
		if got := studio.Counted(exposure); got != want {
			t.Errorf("%v is counted as %v, want %v", exposure, got, want)
		}
	}
	for d := 11 * time.Millisecond; d < time.Hour; d = d*11/10 + 1 {
		if off := math.Abs(studio.Counted(d).Seconds()/d.Seconds() - 1); off > light.CountingScatter {
			t.Errorf("%v is changed by %.3f of itself", d, off)
		}
	}
}
