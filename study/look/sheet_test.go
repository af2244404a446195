package look_test

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"math"
	"strings"
	"testing"

	"platewright/colour"
	"platewright/study/look"
)

// A sheet averages linear light, keeps flat colours, and tells them at a place.
func TestSheet(t *testing.T) {
	m := image.NewRGBA(image.Rect(0, 0, 401, 301))
	for i := range 401 * 301 {
		x, y := i%401, i/401
		c := color.RGBA{200, 100, 50, 255}
		if x >= 200 {
			c = color.RGBA{uint8(255 * ((x + y) % 2)), 0, uint8(255 * ((x + y) % 2)), 255}
		}
		m.SetRGBA(x, y, c)
	}
	s, err := look.Reduce(open(t, pngFile(t, m), "halves.png"), 100, false, sideBySide)
	if err != nil {
		t.Fatal(err)
	}
	if s.Size() != image.Pt(100, 75) {
		t.Errorf("size %v", s.Size())
	}
	for _, tt := range []struct {
		x, y, across float64
		want         colour.RGB
	}{
		{10, 10, 0, colour.RGB{R: linear(200.0 / 255), G: linear(100.0 / 255), B: linear(50.0 / 255)}},
		{25, 50, 20, colour.RGB{R: linear(200.0 / 255), G: linear(100.0 / 255), B: linear(50.0 / 255)}},
		{75, 50, 20, colour.RGB{R: 0.5, G: 0, B: 0.5}}, // a checker of light and none sends half back
		{100, 100, 0, colour.RGB{R: 0.5, G: 0, B: 0.5}},
	} {
		got, err := s.Colour(tt.x, tt.y, tt.across)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(got.R-tt.want.R) > 0.04 || math.Abs(got.G-tt.want.G) > 0.002 || math.Abs(got.B-tt.want.B) > 0.04 {
			t.Errorf("at %g,%g across %g: %+v, want %+v", tt.x, tt.y, tt.across, got, tt.want)
		}
	}
	if _, err := s.Colour(101, 5, 0); err == nil || !strings.Contains(err.Error(), "place across") {
		t.Errorf("a place outside: %v", err)
	}
	// The photograph itself beside the look.
	back, err := jpeg.Decode(bytes.NewReader(fileOf(t, s.WriteJPEG)))
	if err != nil {
		t.Fatal(err)
	}
	if r, g, b, _ := back.At(20, 20).RGBA(); absolute(int(r>>8)-200) > 4 || absolute(int(g>>8)-100) > 4 || absolute(int(b>>8)-50) > 4 {
		t.Errorf("the reduced photograph shows %d %d %d", r>>8, g>>8, b>>8)
	}
	// identity: the mean light of a reduced photograph is that of the whole, whatever hands reduced it.
	file := jpegFile(t, enlarged(t, 1003, 777))
	small, err := look.Reduce(open(t, file, "a.jpg"), 131, false, sideBySide)
	if err != nil {
		t.Fatal(err)
	}
	whole, err := look.Reduce(open(t, file, "a.jpg"), 2000, false, nil)
	if err != nil {
		t.Fatal(err)
	}
	a, err := small.Colour(50, 50, 50)
	if err != nil {
		t.Fatal(err)
	}
	b, err := whole.Colour(50, 50, 50)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(a.G-b.G) > 0.01 {
		t.Errorf("mean light %.4f reduced, %.4f whole", a.G, b.G)
	}
	l, err := small.Render(usual(t), nil)
	if err != nil || l.Size().X != 131 {
		t.Errorf("a look of the sheet: %v", err)
	}
}

func absolute(v int) int { return max(v, -v) }
