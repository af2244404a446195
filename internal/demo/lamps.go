package demo

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"platewright/internal/studio"
	"platewright/light"
	"platewright/light/flash"
	"platewright/measure"
)

// Where the invented studio stands. No such place is there.
const (
	studioLatitude  = 52.4 * measure.Degree
	studioLongitude = -2.1 * measure.Degree
	studioElevation = 85 * measure.Metre
)

func windows() []studio.Window {
	return []studio.Window{
		{Name: "North window", Facing: 356 * measure.Degree, Width: 2100, Height: 2400, Sill: 700, SkyShare: 0.75, Glazing: light.WindowGlass, Distance: 1500,
			Note: "The maltings across the yard take the lowest quarter of the sky."},
	}
}

func rigs() []studio.Rig {
	return []studio.Rig{
		{Name: "Two heads on stands", Heads: []studio.RigHead{
			{Name: "key", Energy: 2400, Efficacy: flash.UsualEfficacy, Tube: light.UVCut, Spread: flash.Softbox, Width: 800, Height: 1200, Through: 0.6,
				Distance: 1200, Angle: 40 * measure.Degree, Above: 400, Pops: 1},
			{Name: "fill", Energy: 1200, Efficacy: flash.UsualEfficacy, Tube: light.ClearTube, Spread: flash.Umbrella, Gain: 1.5, Width: 1000,
				Distance: 2200, Angle: -50 * measure.Degree, Above: 300, Pops: 1},
		}, Board: studio.RigBoard{Width: 1000, Height: 2000, Distance: 1100, Angle: -85 * measure.Degree, Reflects: 0.8},
			Note: "The key's gold dome cuts its ultraviolet; the fill is older and clear. Modelling lamps out while plates are poured."},
	}
}

// panelSpectrum is what a borrowed meter said of the bank of lamps: a white LED of that colour, by 10 nm, in the meter's own
// units.
func panelSpectrum() (studio.LightSpectrum, error) {
	source, err := light.LED(4300, 452)
	if err != nil {
		return studio.LightSpectrum{}, err
	}
	_, most, _ := source.Power.XYZ()
	var csv strings.Builder
	csv.WriteString("# bank of white lamps, at the face\nnm, relative\n")
	for nm := 390.0; nm <= 780; nm += 10 {
		fmt.Fprintf(&csv, "%g, %.4f\n", nm, 20*source.Power.At(nm)/most)
	}
	return studio.LightSpectrum{Name: "Bank of white lamps", CSV: csv.String(), Note: "Read with a borrowed meter behind the cloth."}, nil
}

// lighting is the light of a plate as the operator metered it.
func (m *maker) lighting(c choice, met metering) studio.Lighting {
	kind := spots()[c.spot].kind
	l := studio.Lighting{Way: studio.Metered, Kind: kind, Incident: measure.Lux(met.lx), Index: light.ExposureIndex(met.index), IndexKind: kind}
	if c.spot == spotWindow {
		l.Window = m.windows[0].ID
	}
	return l
}

// lit lets the rig be read with a flash meter, and speeds be found by plates that came out nearly right.
func (m *maker) lit() error {
	reading, err := studio.MeteredRig(m.rigs[0], light.FlashAt(45))
	if err != nil {
		return err
	}
	reading.ID, reading.By, reading.Note = m.s.NewID(), operator, "Dome on, at the nose, toward the camera. Twice f/45."
	reading.Taken = m.day.AddDate(0, 0, -33).Add(11 * time.Hour)
	m.at(reading.Taken, func(ctx context.Context) error {
		_, err := m.s.KeepRigReading(ctx, reading)
		return err
	})
	for _, of := range [][]light.Kind{{light.WindowLight}, {light.Shade, light.WhiteLED}} {
		with := m.nearlyRight(of)
		if with == nil {
			continue
		}
		// A plate that had more than it needed is faster than the index it was planned with.
		index := with.met.index * math.Exp2(meant(with.out.word))
		found := studio.SpeedFound{ID: m.s.NewID(), Index: light.ExposureIndex(math.Round(100*index) / 100), Kind: spots()[with.spot].kind, Sigma: 0.5,
			Collodion: with.bottles.collodion.ID, Taken: with.judged.Add(10 * time.Minute), By: operator, Note: "From one plate, " + studio.VerdictWord(with.out.word) + "."}
		m.at(found.Taken, func(ctx context.Context) error {
			found.Plate = with.number
			_, err := m.s.KeepSpeed(ctx, found)
			return err
		})
	}
	return nil
}

// nearlyRight returns the last of the plates made in such light that came out best.
func (m *maker) nearlyRight(kinds []light.Kind) *draft {
	var best *draft
	for _, d := range m.drafts {
		if slices.Contains(kinds, spots()[d.spot].kind) && (best == nil || max(d.out.word, -d.out.word, 1) <= max(best.out.word, -best.out.word, 1)) {
			best = d
		}
	}
	return best
}
