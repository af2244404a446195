package studio_test

import (
	"bytes"
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"io"
	"testing"

	"platewright/internal/studio"
	"platewright/picture"
)

// shelfOfFiles keeps files in memory, named by their SHA-256.
type shelfOfFiles map[string][]byte

func (f shelfOfFiles) Put(_ context.Context, r io.Reader) (string, error) {
	content, err := io.ReadAll(r)
	name := fmt.Sprintf("%x", sha256.Sum256(content))
	f[name] = content
	return name, err
}

func (f shelfOfFiles) Open(_ context.Context, name string) (io.ReadSeekCloser, error) {
	content, ok := f[name]
	if !ok {
		return nil, studio.ErrNotFound
	}
	return struct {
		io.ReadSeeker
		io.Closer
	}{bytes.NewReader(content), io.NopCloser(nil)}, nil
}

// halves is a photograph whose left half is black and right half white.
func halves(t *testing.T) []byte {
	t.Helper()
	img := image.NewGray(image.Rect(0, 0, 64, 80))
	for y := range 80 {
		for x := 32; x < 64; x++ {
			img.SetGray(x, y, color.Gray{Y: 255})
		}
	}
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func newCopy(h *house, content []byte) studio.NewCopy {
	return studio.NewCopy{Event: h.id(), FileName: "IMG 1.png", Content: bytes.NewReader(content), At: h.now, Device: "copy stand"}
}

func TestFileCopy(t *testing.T) {
	h := newHouse(t)
	ctx := t.Context()
	p, _ := h.plate()
	files := make(shelfOfFiles)
	photograph := halves(t)

	_, err := h.FileCopy(ctx, files, p.Number, newCopy(h, photograph))
	invalid(t, err, "plate") // not poured yet
	_, err = h.press(p.Number, studio.Poured)
	h.must(err)

	var refusal *picture.Refusal
	if _, err := h.FileCopy(ctx, files, p.Number, newCopy(h, []byte("no picture"))); !errors.As(err, &refusal) {
		t.Errorf("a file that is no picture gave %v, want a *picture.Refusal", err)
	}
	if len(files) != 0 {
		t.Errorf("refused photographs left %d files", len(files))
	}

	for _, already := range []bool{false, true} {
		c := newCopy(h, photograph)
		c.AlreadyTrue = already
		story, err := h.FileCopy(ctx, files, p.Number, c)
		h.must(err)
		got := story.Copies[len(story.Copies)-1]
		if !bytes.Equal(files[got.Original], photograph) {
			t.Error("the original is not kept as it came")
		}
		if got.Turned == already || got.FileName != "IMG 1.png" || got.Format != "PNG" || got.WidthPx != 64 || got.HeightPx != 80 || story.Thumb() != got.Thumb {
			t.Errorf("filed is %+v", got)
		}
		for _, name := range []string{got.TrueView, got.View, got.Thumb} {
			img, err := jpeg.Decode(bytes.NewReader(files[name]))
			h.must(err)
			left, _, _, _ := img.At(8, 40).RGBA()
			right, _, _, _ := img.At(56, 40).RGBA()
			if turned := left > right; turned == already {
				t.Errorf("already true %v: left of the view is %d, right %d", already, left>>8, right>>8)
			}
		}
	}

	// Handed over twice, it is filed once.
	c := newCopy(h, photograph)
	for range 2 {
		story, err := h.FileCopy(ctx, files, p.Number, c)
		h.must(err)
		if len(story.Copies) != 3 {
			t.Errorf("there are %d copies, want 3", len(story.Copies))
		}
	}
	if _, err := h.FileCopy(ctx, files, studio.Number{Year: 2026, Serial: 99}, c); !errors.Is(err, studio.ErrNotFound) {
		t.Errorf("a copy of no plate gave %v", err)
	}
}

func TestPassport(t *testing.T) {
	h := newHouse(t)
	ctx := t.Context()
	p, s := h.plate()
	files := make(shelfOfFiles)
	_, err := h.Passport(ctx, files, p.Number)
	invalid(t, err, "plate") // not poured yet
	_, err = h.press(p.Number, studio.Poured)
	h.must(err)

	facts, err := h.Passport(ctx, files, p.Number)
	h.must(err)
	if facts.Studio.Name != "The Rooms" || facts.Story.Number != p.Number || facts.Lens == nil || facts.Lens.ID != s.lens.ID ||
		facts.Collodion == nil || facts.Bath == nil || facts.Developer != nil || facts.Varnish != nil || facts.Picture != nil {
		t.Errorf("the passport says %+v", facts)
	}
	story, err := h.FileCopy(ctx, files, p.Number, newCopy(h, halves(t)))
	h.must(err)
	facts, err = h.Passport(ctx, files, p.Number)
	h.must(err)
	if !bytes.Equal(facts.Picture, files[story.Copies[0].View]) || len(facts.Picture) == 0 {
		t.Errorf("the passport's picture has %d bytes and is not the last copy's view", len(facts.Picture))
	}
	delete(files, story.Copies[0].View)
	if _, err := h.Passport(ctx, files, p.Number); !errors.Is(err, studio.ErrNotFound) {
		t.Errorf("a picture that is gone gave %v", err)
	}
}

// TestThingsAreFoundAndChanged: identity, for every kind of record.
func TestThingsAreFoundAndChanged(t *testing.T) {
	h := newHouse(t)
	s := h.stock()
	ctx := t.Context()
	camera, err := h.AddCamera(ctx, studio.Camera{Name: "Stand", Back: halfPlate, Shortest: 100, Longest: 500})
	h.must(err)
	holder, err := h.AddHolder(ctx, studio.Holder{Name: "A", Size: halfPlate})
	h.must(err)

	camera.Note, holder.Note, s.lens.Note, s.bath.Note, s.sitting.Note = "c", "h", "l", "b", "s"
	camera, err = h.ChangeCamera(ctx, camera)
	h.must(err)
	holder, err = h.ChangeHolder(ctx, holder)
	h.must(err)
	s.lens, err = h.ChangeLens(ctx, s.lens)
	h.must(err)
	s.bath, err = h.ChangeBatch(ctx, s.bath)
	h.must(err)
	s.sitting, err = h.ChangeSitting(ctx, s.sitting)
	h.must(err)

	if got, err := h.Camera(ctx, camera.ID); err != nil || got != camera || got.Version != 2 {
		t.Errorf("camera %+v (%v)", got, err)
	}
	if got, err := h.Holder(ctx, holder.ID); err != nil || got != holder || got.Version != 2 {
		t.Errorf("holder %+v (%v)", got, err)
	}
	if got, err := h.Lens(ctx, s.lens.ID); err != nil || got.Note != "l" || got.Version != 2 {
		t.Errorf("lens %+v (%v)", got, err)
	}
	if got, err := h.Batch(ctx, s.bath.ID); err != nil || got != s.bath || got.Version != 2 {
		t.Errorf("batch %+v (%v)", got, err)
	}
	if got, err := h.Sitting(ctx, s.sitting.ID); err != nil || got != s.sitting || got.Version != 2 {
		t.Errorf("sitting %+v (%v)", got, err)
	}
	if got, err := h.SittingsBetween(ctx, h.now, h.now.Add(1)); err != nil || len(got) != 1 {
		t.Errorf("sittings at its very beginning %v (%v), want the one", got, err)
	}
	if got, err := h.SittingsBetween(ctx, h.now.Add(-1), h.now); err != nil || len(got) != 0 {
		t.Errorf("sittings until its beginning %v (%v), want none", got, err)
	}
}
