package store

import (
	"encoding/json"
	"time"

	"platewright/internal/studio"
	"platewright/light"
	"platewright/light/flash"
	"platewright/measure"
)

// Windows are the windows that light comes in by, by name.
func (r records) Windows() studio.Book[studio.Window] {
	return table[studio.Window]{
		records: r,
		kind:    "light_window",
		id:      func(w *studio.Window) *studio.ID { return &w.ID },
		stamp:   func(w *studio.Window) *studio.Stamp { return &w.Stamp },
		columns: func(w *studio.Window) []column {
			return []column{
				{name: "name", value: words(&w.Name)},
				{name: "facing_deg", value: degrees{&w.Facing}},
				{name: "width_mm", value: amount(&w.Width)},
				{name: "height_mm", value: amount(&w.Height)},
				{name: "sill_mm", value: amount(&w.Sill)},
				{name: "sky_share", value: amount(&w.SkyShare)},
				{name: "glazing", value: words(&w.Glazing)},
				{name: "distance_mm", value: amount(&w.Distance)},
				{name: "blind", value: flag{&w.Blind}},
				{name: "note", value: words(&w.Note)},
				{name: "retired", value: flag{&w.Retired}},
			}
		},
		compare: func(a, b *studio.Window) int { return byName(a.Name, b.Name) },
	}
}

// Rigs are the studio's flash rigs, by name.
func (r records) Rigs() studio.Book[studio.Rig] {
	return table[studio.Rig]{
		records: r,
		kind:    "rig",
		id:      func(g *studio.Rig) *studio.ID { return &g.ID },
		stamp:   func(g *studio.Rig) *studio.Stamp { return &g.Stamp },
		columns: func(g *studio.Rig) []column {
			return []column{
				{name: "name", value: words(&g.Name)},
				{name: "heads", value: written((*heads)(&g.Heads))},
				{name: "board", value: written((*board)(&g.Board))},
				{name: "room_m2", value: amount(&g.RoomSurface)},
				{name: "room_reflects", value: amount(&g.RoomReflects)},
				{name: "note", value: words(&g.Note)},
				{name: "retired", value: flag{&g.Retired}},
			}
		},
		compare: func(a, b *studio.Rig) int { return byName(a.Name, b.Name) },
	}
}

// Spectra are the spectra of lights, by name.
func (r records) Spectra() studio.Book[studio.LightSpectrum] {
	return table[studio.LightSpectrum]{
		records: r,
		kind:    "spectrum",
		id:      func(l *studio.LightSpectrum) *studio.ID { return &l.ID },
		stamp:   func(l *studio.LightSpectrum) *studio.Stamp { return &l.Stamp },
		columns: func(l *studio.LightSpectrum) []column {
			return []column{
				{name: "name", value: words(&l.Name)},
				{name: "csv", value: words(&l.CSV)},
				{name: "note", value: words(&l.Note)},
				{name: "retired", value: flag{&l.Retired}},
			}
		},
		compare: func(a, b *studio.LightSpectrum) int { return byName(a.Name, b.Name) },
	}
}

// heads are a rig's heads as the database has them.
type heads []studio.RigHead

type head struct {
	Name     string         `json:"name,omitzero"`
	Energy   float64        `json:"energy_j,omitzero"`
	Efficacy float64        `json:"efficacy_lm_s_per_j,omitzero"`
	Tube     light.Tube     `json:"tube,omitzero"`
	Spread   flash.Kind     `json:"spread,omitzero"`
	Gain     float64        `json:"gain,omitzero"`
	Width    measure.Length `json:"width_mm,omitzero"`
	Height   measure.Length `json:"height_mm,omitzero"`
	Through  float64        `json:"through,omitzero"`
	Distance measure.Length `json:"distance_mm,omitzero"`
	Angle    float64        `json:"angle_deg,omitzero"`
	Above    measure.Length `json:"above_mm,omitzero"`
	Pops     int            `json:"pops,omitzero"`
}

func (hs heads) MarshalJSON() ([]byte, error) {
	out := make([]head, len(hs))
	for i, h := range hs {
		out[i] = head{h.Name, h.Energy, h.Efficacy, h.Tube, h.Spread, h.Gain, h.Width, h.Height, h.Through, h.Distance,
			degreesOf(h.Angle), h.Above, h.Pops}
	}
	return json.Marshal(out)
}

func (hs *heads) UnmarshalJSON(b []byte) error {
	var in []head
	if err := json.Unmarshal(b, &in); err != nil {
		return err
	}
	*hs = nil
	for _, h := range in {
		*hs = append(*hs, studio.RigHead{Name: h.Name, Energy: h.Energy, Efficacy: h.Efficacy, Tube: h.Tube, Spread: h.Spread, Gain: h.Gain,
			Width: h.Width, Height: h.Height, Through: h.Through, Distance: h.Distance, Angle: angleOf(h.Angle), Above: h.Above, Pops: h.Pops})
	}
	return nil
}

// board is a rig's board as the database has it.
type board studio.RigBoard

type boardText struct {
	Width    measure.Length `json:"width_mm,omitzero"`
	Height   measure.Length `json:"height_mm,omitzero"`
	Distance measure.Length `json:"distance_mm,omitzero"`
	Angle    float64        `json:"angle_deg,omitzero"`
	Reflects float64        `json:"reflects,omitzero"`
}

func (b board) MarshalJSON() ([]byte, error) {
	return json.Marshal(boardText{b.Width, b.Height, b.Distance, degreesOf(b.Angle), b.Reflects})
}

func (b *board) UnmarshalJSON(text []byte) error {
	var t boardText
	if err := json.Unmarshal(text, &t); err != nil {
		return err
	}
	*b = board{Width: t.Width, Height: t.Height, Distance: t.Distance, Angle: angleOf(t.Angle), Reflects: t.Reflects}
	return nil
}

// lighting is a plan's light as the database has it.
type lighting studio.Lighting

type lightingText struct {
	Way       studio.LightingWay  `json:"way,omitzero"`
	Kind      light.Kind          `json:"kind,omitzero"`
	Spectrum  studio.ID           `json:"spectrum,omitzero"`
	Incident  measure.Lux         `json:"incident_lx,omitzero"`
	Dose      light.LuxSeconds    `json:"dose_lx_s,omitzero"`
	Index     light.ExposureIndex `json:"exposure_index,omitzero"`
	IndexKind light.Kind          `json:"index_kind,omitzero"`
	Actinic   measure.Stops       `json:"actinic_stops,omitzero"`
	Window    studio.ID           `json:"window,omitzero"`
	Rig       studio.ID           `json:"rig,omitzero"`
	Energy    float64             `json:"energy_j,omitzero"`
	Pops      int                 `json:"pops,omitzero"`
	FromYear  int                 `json:"from_plate_year,omitzero"`
	From      int                 `json:"from_plate_serial,omitzero"`
	Low       time.Duration       `json:"low_ns,omitzero"`
	High      time.Duration       `json:"high_ns,omitzero"`
}

func (l lighting) MarshalJSON() ([]byte, error) {
	return json.Marshal(lightingText{l.Way, l.Kind, l.Spectrum, l.Incident, l.Dose, l.Index, l.IndexKind, l.Actinic, l.Window, l.Rig, l.Energy, l.Pops,
		l.FromPlate.Year, l.FromPlate.Serial, l.Low, l.High})
}

func (l *lighting) UnmarshalJSON(b []byte) error {
	var t lightingText
	if err := json.Unmarshal(b, &t); err != nil {
		return err
	}
	*l = lighting{Way: t.Way, Kind: t.Kind, Spectrum: t.Spectrum, Incident: t.Incident, Dose: t.Dose, Index: t.Index, IndexKind: t.IndexKind, Actinic: t.Actinic,
		Window: t.Window, Rig: t.Rig, Energy: t.Energy, Pops: t.Pops, FromPlate: studio.Number{Year: t.FromYear, Serial: t.From}, Low: t.Low, High: t.High}
	return nil
}
