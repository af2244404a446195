package look_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"platewright/colour"
	"platewright/light"
	"platewright/study/look"
)

// What cannot be made is refused by name.
func TestRefused(t *testing.T) {
	file := pngFile(t, quarters(80, 60))
	jpg := jpegFile(t, quarters(200, 160))
	for name, tt := range map[string]struct {
		change func(o *look.Options)
		file   []byte
		says   string
	}{
		"exposure": {func(o *look.Options) { o.Exposure = 11 }, file, "exposure"},
		"no number": {func(o *look.Options) {
			o.Tagged = []look.Tagged{{X: math.NaN(), Y: 0, Width: 1, Height: 1}}
		}, file, "tagged part 1"},
		"outside": {func(o *look.Options) {
			o.Tagged = []look.Tagged{{X: 60, Y: 0, Width: 50, Height: 1}}
		}, file, "within it"},
		"many": {func(o *look.Options) { o.Tagged = make([]look.Tagged, look.MostTags+1) }, file, "101 parts"},
		"material": {func(o *look.Options) {
			o.Tagged = []look.Tagged{{X: 0, Y: 0, Width: 5, Height: 5, Material: "cheese"}}
		}, file, "cheese"},
		"tone":     {func(o *look.Options) { o.Tone = "green" }, file, "green"},
		"small":    {func(o *look.Options) { o.Longest = 3 }, file, "longest side"},
		"curve":    {func(o *look.Options) { o.Curve.Most = 0 }, file, "curve"},
		"half.png": {func(*look.Options) {}, file[:len(file)-40], "half.png"},
		"half.jpg": {func(*look.Options) {}, jpg[:len(jpg)/2], "cut off"},
		"cut, small": {func(o *look.Options) {
			o.Longest = 64
		}, jpg[:len(jpg)/2], "cut off"},
	} {
		o := usual(t)
		tt.change(&o)
		l, err := look.Render(open(t, tt.file, name), o, sideBySide)
		if err == nil || l != nil || !strings.Contains(err.Error(), tt.says) {
			t.Errorf("%s: %v, want words %q", name, err, tt.says)
		}
	}
}

// A light changes the look: under an LED lamp, which has no ultraviolet, skin is less dark against grey than by day.
func TestLightCounts(t *testing.T) {
	o := plain(t)
	file := pngFile(t, random(40, 40))
	by := map[light.Kind][]uint8{}
	for _, k := range []light.Kind{light.AnyDaylight, light.WhiteLED, light.ClearFlash} {
		s, err := colour.SightFor(k)
		if err != nil {
			t.Fatal(err)
		}
		o.Sight = s
		by[k], _, _ = codes(render(t, file, o))
	}
	if slices.Equal(by[light.AnyDaylight], by[light.WhiteLED]) || slices.Equal(by[light.AnyDaylight], by[light.ClearFlash]) {
		t.Error("three lights make the same picture")
	}
}
