package demo

import (
	"bytes"
	"context"
	"fmt"
	"image/jpeg"
	"time"

	"platewright/internal/studio"
	"platewright/measure"
	"platewright/study"
)

// Sizes of what is drawn: long sides of the plates, in pixels. A photograph on the copy stand has a
// margin around its plate.
const (
	pastPlate   = 700
	todaysPlate = 1300
	margin      = 1.28
	copyQuality = 90 // of the copy stand camera's JPEGs
	painters    = 2  // plates drawn at a time
)

// rendering is a photograph of a plate on the copy stand, as its camera would hand it over.
type rendering struct {
	jpeg []byte
	err  error
}

// draw draws the pictures of the drafts that want one, a few at a time and in their order; each
// draft's picture comes through its own channel. It stops when ctx ends.
func (m *maker) draw(ctx context.Context) {
	wanted := make(chan *draft)
	for range painters {
		go func() {
			for d := range wanted {
				content, err := photograph(d.choice, likeness{d.sight, d.out, d.marks, d.seed}, pastPlate)
				d.picture <- rendering{content, err}
			}
		}()
	}
	go func() {
		defer close(wanted)
		for _, d := range m.drafts {
			if d.picture == nil {
				continue
			}
			select {
			case wanted <- d:
			case <-ctx.Done():
				return
			}
		}
	}()
}

// likeness is what a plate's look depends on, beside the sitter and the lens.
type likeness struct {
	sight sight
	out   outcome
	marks []studio.Mark
	seed  uint64 // of the copy stand's camera
}

// photograph draws a plate and its photograph on the copy stand, with the plate as it lies there:
// left for right.
func photograph(c choice, l likeness, long int) ([]byte, error) {
	aspect := c.size.ShortSide().Over(c.size.LongSide())
	stop := c.lensRow.Stops[c.stop]
	lens := study.Lens{Pupil: c.lensRow.Focal / measure.Length(stop.FNumber), Distance: measure.Length(l.sight.DistanceMM)}
	if c.lens <= lensGreat || c.lens == lensGate { // portrait lenses: sharp on a bowl, not a plane
		lens.Curvature = 2 * c.lensRow.Focal
	}
	plate, err := study.Study{
		Seed: looks[c.visit.sitter], Width: int(float64(long) * aspect), Height: long, Tall: c.frame,
		Lens: lens, Exposure: measure.Stops(l.out.error), Faults: drawn(l.marks),
	}.Plate()
	if err != nil {
		return nil, fmt.Errorf("study: %w", err)
	}
	photo, err := study.CopyPhotograph(plate, study.Copy{
		Width: int(float64(long) * aspect * margin), Height: int(float64(long) * margin), Long: c.size.LongSide(), Seed: l.seed,
	})
	if err != nil {
		return nil, fmt.Errorf("photograph: %w", err)
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, photo, &jpeg.Options{Quality: copyQuality}); err != nil {
		return nil, fmt.Errorf("photograph: %w", err)
	}
	return b.Bytes(), nil
}

// drawn are the faults that a study can show.
func drawn(marks []studio.Mark) []study.Fault {
	var faults []study.Fault
	seen := make(map[string]bool)
	for _, m := range marks {
		if seen[m.Appearance] {
			continue
		}
		seen[m.Appearance] = true
		switch m.Appearance {
		case markComet:
			faults = append(faults, study.Comet)
		case markOyster:
			faults = append(faults, study.Oyster)
		case markFog:
			faults = append(faults, study.Fog)
		case markStreak:
			faults = append(faults, study.Streak)
		}
	}
	return faults
}

// copyStand photographs the plate and hands the photograph over.
func (d *day) copyStand(ctx context.Context) error {
	d.wait(5 * time.Minute)
	content, err := photograph(d.c, likeness{d.sight, d.out, d.marks, d.f.world.rng.Uint64()}, d.o.Long)
	if err != nil {
		return err
	}
	name := "copy-" + d.made.Number.String() + ".jpg"
	if d.made.Original, err = d.o.Save(name, content); err != nil {
		return err
	}
	if d.made.Copy, err = d.h.FileCopy(ctx, d.made.Number, name, content); err != nil {
		return err
	}
	c := d.made.Copy
	d.room("Copy stand")
	d.tell("photograph", "%s  %d × %d px, %s, %s", d.made.Original, c.WidthPx, c.HeightPx, c.Format, kilobytes(len(content)))
	perMM := float64(max(c.WidthPx, c.HeightPx)) / margin / d.c.size.LongSide().Millimetres()
	turned := "left as it was"
	if c.Turned {
		turned = "turned left for right"
	}
	d.tell("true view", "%s; about %.1f px a millimetre of plate", turned, perMM)
	return nil
}
