package browsertest

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"os"
	"path/filepath"
	"sync/atomic"
	"testing"
)

// What is proven here of red light, and what is not.
//
// Proven, for every listed page at both widths: of every picture the browser composed of the page's
// window, no pixel has green or blue above 2 of 255. The pictures are of two kinds. Pictures taken on
// demand show the page at rest: its top as it is loaded, its end with everything selected, with each
// kind of thing that can be pressed held down, with what was typed selected, with the refusals of its
// forms. Frames of a film are what the browser hands out while it draws, among them the page scrolled
// down in steps and things focused, pointed at and typed into; the film runs without a break from a
// red page through the navigation to every other, so it holds the first frames of each page, and the
// old page until then. Every page is walked to three times in the film: as it loads, with its style
// sheets held back for a while, and with its style sheets, letters and scripts never arriving.
//
// Not proven: the browser's own blank tab before the very first page of the studio; what the browser
// draws outside the page's window (its bars, menus and dialogs, which the screens avoid calling up);
// frames that are composed and replaced between two that the browser hands out, for it hands out a
// frame only after the last was taken; and other browsers than the one used.

// redLimit is how much green or blue a pixel may have in red light, of 255.
const redLimit = 2

// lit counts the pixels that have green or blue above the limit and finds the first of them.
func lit(shown image.Image) (count int, first image.Point, worst uint8) {
	bounds := shown.Bounds()
	var pixels []uint8
	var stride int
	switch m := shown.(type) {
	case *image.RGBA:
		pixels, stride = m.Pix, m.Stride
	case *image.NRGBA:
		pixels, stride = m.Pix, m.Stride
	default:
		for y := bounds.Min.Y; y < bounds.Max.Y; y++ {
			for x := bounds.Min.X; x < bounds.Max.X; x++ {
				_, g, b, _ := shown.At(x, y).RGBA()
				if v := uint8(max(g, b) >> 8); v > redLimit {
					if count == 0 {
						first = image.Pt(x, y)
					}
					count, worst = count+1, max(worst, v)
				}
			}
		}
		return count, first, worst
	}
	for y := range bounds.Dy() {
		row := pixels[y*stride : y*stride+4*bounds.Dx()]
		for x := 0; x < len(row); x += 4 {
			if v := max(row[x+1], row[x+2]); v > redLimit {
				if count == 0 {
					first = image.Pt(x/4, y)
				}
				count, worst = count+1, max(worst, v)
			}
		}
	}
	return count, first, worst
}

// dark tells whether a picture shows nothing at all; a test that only ever saw black proves nothing.
func dark(shown image.Image) bool {
	bounds := shown.Bounds()
	for y := bounds.Min.Y; y < bounds.Max.Y; y += 3 {
		for x := bounds.Min.X; x < bounds.Max.X; x++ {
			if r, _, _, _ := shown.At(x, y).RGBA(); r>>8 > 100 {
				return false
			}
		}
	}
	return true
}

// onlyRed fails the test unless the picture lights the red channel alone.
func onlyRed(t *testing.T, what string, shown image.Image) {
	t.Helper()
	count, first, worst := lit(shown)
	if count == 0 {
		return
	}
	t.Errorf("%s: %d pixels have green or blue above %d of 255, up to %d; the first is at %v of %v%s",
		what, count, redLimit, worst, first, shown.Bounds().Size(), kept(t, what, shown))
}

// kept writes a picture that failed where the pictures go, if they go anywhere.
func kept(t *testing.T, what string, shown image.Image) string {
	dir := os.Getenv("PLATEWRIGHT_PICTURES")
	if dir == "" {
		return "; PLATEWRIGHT_PICTURES=DIR keeps the picture"
	}
	name := filepath.Join(dir, fmt.Sprintf("lit-%d.png", litKept.Add(1)))
	var text bytes.Buffer
	if err := png.Encode(&text, shown); err != nil {
		return "; " + err.Error()
	}
	if err := os.WriteFile(name, text.Bytes(), 0o600); err != nil {
		return "; " + err.Error()
	}
	t.Logf("%s is %s", what, name)
	return "; see " + name
}

var litKept atomic.Int64

// TestLitFinds proves that the pixel check can fail.
func TestLitFinds(t *testing.T) {
	for _, tt := range []struct {
		name  string
		pixel color.NRGBA
		want  int
	}{
		{"pure red", color.NRGBA{R: 255, A: 255}, 0},
		{"at the limit", color.NRGBA{R: 255, G: redLimit, B: redLimit, A: 255}, 0},
		{"green just above", color.NRGBA{R: 255, G: redLimit + 1, A: 255}, 1},
		{"blue just above", color.NRGBA{B: redLimit + 1, A: 255}, 1},
	} {
		t.Run(tt.name, func(t *testing.T) {
			box := image.Rect(0, 0, 7, 5)
			plain, flat, other := image.NewNRGBA(box), image.NewRGBA(box), image.NewNRGBA64(box)
			for i := 3; i < len(plain.Pix); i += 4 {
				plain.Pix[i], flat.Pix[i] = 255, 255
			}
			for _, shown := range []draw.Image{plain, flat, other} {
				shown.Set(6, 4, tt.pixel)
				if count, first, _ := lit(shown); count != tt.want || count == 1 && first != image.Pt(6, 4) {
					t.Errorf("%T: %d pixels found, the first at %v; want %d, at (6,4)", shown, count, first, tt.want)
				}
			}
		})
	}
}
