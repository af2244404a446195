package browsertest

import (
	"bytes"
	"cmp"
	"image"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// picturesBound is how large a picture for the documents may be.
const picturesBound = 400 << 10

// TestPictures makes the pictures of the documents from the example studio, where
// PLATEWRIGHT_PICTURES says; without it, only that they can be made is tried.
func TestPictures(t *testing.T) {
	needBrowser(t)
	built, err := example()
	if err != nil {
		t.Fatal(err)
	}
	dir := filepath.Join(t.TempDir(), "studio")
	if err := os.CopyFS(dir, os.DirFS(built)); err != nil {
		t.Fatal(err)
	}
	s := serve(t, dir)

	floor := open(t, s, device{name: "desk", width: 1440, height: 900})
	floor.light(day)
	floor.goTo("/floor")
	plan(floor)
	eval[bool](floor, `(() => { document.activeElement.blur(); scrollTo(0, 0); return true })()`)
	floor.settled()
	keep(t, "floor-day.png", floor.picture())

	floor.follow("#plan button.primary")
	clock := open(t, s, phone)
	clock.light(red)
	clock.goTo(floor.path())
	for _, then := range []string{"in bath", "out of bath", "loaded"} {
		time.Sleep(gap)
		clock.press(".clock-next")
		clock.wait("the step "+then, `document.querySelector('[data-clock]').dataset.now === '`+then+`'`)
	}
	time.Sleep(2 * time.Second) // so that the count shows a figure
	eval[bool](clock, `(() => { scrollTo(0, 0); return true })()`)
	shown := clock.picture()
	onlyRed(t, "darkroom-red.png", shown)
	keep(t, "darkroom-red.png", shown)

	store := open(t, s, device{name: "desk", width: 1440, height: 900})
	store.light(lamp)
	store.goTo("/plates?state=keep")
	store.wait("plates to show", `document.querySelector('#work a[href^="/plates/"] img, #work li:has(img) a[href^="/plates/"], #work tr:has(img) a[href^="/plates/"]')`)
	first := eval[string](store, `[...document.querySelectorAll('#work a[href^="/plates/"]')].find(a => /^\/plates\/\d/.test(a.getAttribute('href'))).getAttribute('href')`)
	store.goTo(first)
	store.wait("the pictures", `[...document.images].filter(i => i.loading !== 'lazy').every(i => i.complete && i.naturalWidth > 0)`)
	keep(t, "plates-lamp.png", store.picture())
}

// plan fills the floor's form with the example studio's own things.
func plan(b *tab) {
	b.choose("lens", "Whole-plate brass 300")
	b.wait("the stops of the lens", `document.querySelector('#stops input[value="f/5"]')`)
	b.choose("stop", "f/5")
	b.choose("by", "distance")
	b.write("distance", "2.2 m")
	b.write("size", "whole plate")
	b.write("light_lx", "2400")
	b.choose("camera", "Stand camera")
	b.choose("holder", "A")
	b.do(chromedp.Sleep(400 * time.Millisecond))
	b.wait("seconds", `/\d\s*s/.test(document.querySelector('#reckoned .exposure').innerText) && !document.querySelector('.htmx-request')`)
}

// keep writes a picture in few colours, where pictures go if they go anywhere.
func keep(t *testing.T, name string, shown image.Image) {
	t.Helper()
	var text bytes.Buffer
	encoder := png.Encoder{CompressionLevel: png.BestCompression}
	if err := encoder.Encode(&text, fewColours(shown)); err != nil {
		t.Fatal(err)
	}
	if text.Len() > picturesBound {
		t.Errorf("%s has %d bytes, want at most %d", name, text.Len(), picturesBound)
	}
	dir := os.Getenv("PLATEWRIGHT_PICTURES")
	if dir == "" {
		return
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, name), text.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	t.Logf("%s: %d bytes", filepath.Join(dir, name), text.Len())
}

// fewColours redraws a picture in its 256 commonest colours, so that it stays small in the repository.
func fewColours(shown image.Image) image.Image {
	bounds := shown.Bounds()
	count := map[color.RGBA]int{}
	at := func(x, y int) color.RGBA {
		r, g, b, _ := shown.At(x, y).RGBA()
		return color.RGBA{uint8(r >> 8), uint8(g >> 8), uint8(b >> 8), 255}
	}
	for y := bounds.Min.Y; y < bounds.Max.Y; y++ {
		for x := bounds.Min.X; x < bounds.Max.X; x++ {
			count[at(x, y)]++
		}
	}
	common := make([]color.RGBA, 0, len(count))
	for c := range count {
		common = append(common, c)
	}
	slices.SortFunc(common, func(a, b color.RGBA) int {
		return cmp.Or(count[b]-count[a], int(a.R)-int(b.R), int(a.G)-int(b.G), int(a.B)-int(b.B))
	})
	palette := color.Palette{}
	for _, c := range common[:min(256, len(common))] {
		palette = append(palette, c)
	}
	nearest := map[color.RGBA]uint8{}
	few := image.NewPaletted(bounds, palette)
	for y := bounds.Min.Y; y < bounds.Max.Y; y++ {
		for x := bounds.Min.X; x < bounds.Max.X; x++ {
			c := at(x, y)
			index, known := nearest[c]
			if !known {
				index = uint8(palette.Index(c))
				nearest[c] = index
			}
			few.SetColorIndex(x, y, index)
		}
	}
	return few
}
