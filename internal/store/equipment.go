package store

import (
	"encoding/json"

	"platewright/internal/studio"
	"platewright/measure"
)

// Lenses are the studio's lenses, by name.
func (r records) Lenses() studio.Book[studio.Lens] {
	return table[studio.Lens]{
		records: r,
		kind:    "lens",
		id:      func(l *studio.Lens) *studio.ID { return &l.ID },
		stamp:   func(l *studio.Lens) *studio.Stamp { return &l.Stamp },
		columns: func(l *studio.Lens) []column {
			return []column{
				{name: "name", value: words(&l.Name)},
				{name: "form", value: words(&l.Form)},
				{name: "focal_mm", value: amount(&l.Focal)},
				{name: "pupil_mag", value: amount(&l.PupilMag)},
				{name: "circle_mm", value: amount(&l.Circle)},
				{name: "stops", value: written((*stops)(&l.Stops))},
				{name: "design", value: words(&l.Design)},
				{name: "barrel_mm", value: amount(&l.Barrel)},
				{name: "front_glass_mm", value: amount(&l.FrontGlass)},
				{name: "rear_glass_mm", value: amount(&l.RearGlass)},
				{name: "board_ahead_mm", value: amount(&l.BoardAhead)},
				{name: "focal_guessed", value: flag{&l.FocalGuessed}},
				{name: "note", value: words(&l.Note)},
				{name: "retired", value: flag{&l.Retired}},
			}
		},
		compare: func(a, b *studio.Lens) int { return byName(a.Name, b.Name) },
	}
}

// stops are a lens's stops as the database has them.
type stops []studio.Stop

type stop struct {
	Name    string          `json:"name"`
	FNumber measure.FNumber `json:"f_number"`
}

func (ss stops) MarshalJSON() ([]byte, error) {
	out := make([]stop, len(ss))
	for i, s := range ss {
		out[i] = stop(s)
	}
	return json.Marshal(out)
}

func (ss *stops) UnmarshalJSON(b []byte) error {
	var in []stop
	if err := json.Unmarshal(b, &in); err != nil {
		return err
	}
	*ss = nil
	for _, s := range in {
		*ss = append(*ss, studio.Stop(s))
	}
	return nil
}

// Cameras are the studio's cameras, by name.
func (r records) Cameras() studio.Book[studio.Camera] {
	return table[studio.Camera]{
		records: r,
		kind:    "camera",
		id:      func(c *studio.Camera) *studio.ID { return &c.ID },
		stamp:   func(c *studio.Camera) *studio.Stamp { return &c.Stamp },
		columns: func(c *studio.Camera) []column {
			return append([]column{
				{name: "name", value: words(&c.Name)},
				{name: "shortest_mm", value: amount(&c.Shortest)},
				{name: "longest_mm", value: amount(&c.Longest)},
				{name: "front_tilt_deg", value: degrees{&c.FrontTilt}},
				{name: "front_swing_deg", value: degrees{&c.FrontSwing}},
				{name: "back_tilt_deg", value: degrees{&c.BackTilt}},
				{name: "back_swing_deg", value: degrees{&c.BackSwing}},
				{name: "rise_mm", value: amount(&c.Rise)},
				{name: "fall_mm", value: amount(&c.Fall)},
				{name: "shift_mm", value: amount(&c.Shift)},
				{name: "base_tilt", value: flag{&c.BaseTilt}},
				{name: "note", value: words(&c.Note)},
				{name: "retired", value: flag{&c.Retired}},
			}, sizeColumns(&c.Back)...)
		},
		compare: func(a, b *studio.Camera) int { return byName(a.Name, b.Name) },
	}
}

// Holders are the studio's plate holders, by name.
func (r records) Holders() studio.Book[studio.Holder] {
	return table[studio.Holder]{
		records: r,
		kind:    "holder",
		id:      func(h *studio.Holder) *studio.ID { return &h.ID },
		stamp:   func(h *studio.Holder) *studio.Stamp { return &h.Stamp },
		columns: func(h *studio.Holder) []column {
			return append([]column{
				{name: "name", value: words(&h.Name)},
				{name: "note", value: words(&h.Note)},
				{name: "retired", value: flag{&h.Retired}},
			}, sizeColumns(&h.Size)...)
		},
		compare: func(a, b *studio.Holder) int { return byName(a.Name, b.Name) },
	}
}
