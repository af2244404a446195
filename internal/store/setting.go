package store

import (
	"encoding/json"
	"time"

	"platewright/internal/studio"
	"platewright/measure"
)

// setting is a plan's setting as the database has it.
type setting studio.Setting

type settingText struct {
	Turn          float64        `json:"turn_deg,omitzero"`
	Nod           float64        `json:"nod_deg,omitzero"`
	Lean          float64        `json:"lean_deg,omitzero"`
	Shoulders     float64        `json:"shoulders_deg,omitzero"`
	Body          string         `json:"body,omitzero"`
	Percentile    float64        `json:"percentile,omitzero"`
	Standing      bool           `json:"standing,omitzero"`
	Seat          measure.Length `json:"seat_mm,omitzero"`
	Hands         bool           `json:"hands,omitzero"`
	FocusOn       string         `json:"focus_on,omitzero"`
	Aimed         bool           `json:"aimed,omitzero"`
	Below         measure.Length `json:"below_mm,omitzero"`
	Rise          measure.Length `json:"rise_mm,omitzero"`
	Shift         measure.Length `json:"shift_mm,omitzero"`
	FrontTilt     float64        `json:"front_tilt_deg,omitzero"`
	FrontSwing    float64        `json:"front_swing_deg,omitzero"`
	BackTilt      float64        `json:"back_tilt_deg,omitzero"`
	BackSwing     float64        `json:"back_swing_deg,omitzero"`
	SitterSupport string         `json:"sitter_support,omitzero"`
	Wait          time.Duration  `json:"wait_ns,omitzero"`
}

func (s setting) MarshalJSON() ([]byte, error) {
	return json.Marshal(settingText{
		Turn: degreesOf(s.Turn), Nod: degreesOf(s.Nod), Lean: degreesOf(s.Lean), Shoulders: degreesOf(s.Shoulders),
		Body: s.Body, Percentile: s.Percentile, Standing: s.Standing, Seat: s.Seat, Hands: s.Hands, FocusOn: s.FocusOn,
		Aimed: s.Aimed, Below: s.Below, Rise: s.Rise, Shift: s.Shift,
		FrontTilt: degreesOf(s.FrontTilt), FrontSwing: degreesOf(s.FrontSwing), BackTilt: degreesOf(s.BackTilt), BackSwing: degreesOf(s.BackSwing),
		SitterSupport: s.SitterSupport, Wait: s.Wait,
	})
}

func (s *setting) UnmarshalJSON(b []byte) error {
	var t settingText
	if err := json.Unmarshal(b, &t); err != nil {
		return err
	}
	*s = setting{
		Turn: angleOf(t.Turn), Nod: angleOf(t.Nod), Lean: angleOf(t.Lean), Shoulders: angleOf(t.Shoulders),
		Body: t.Body, Percentile: t.Percentile, Standing: t.Standing, Seat: t.Seat, Hands: t.Hands, FocusOn: t.FocusOn,
		Aimed: t.Aimed, Below: t.Below, Rise: t.Rise, Shift: t.Shift,
		FrontTilt: angleOf(t.FrontTilt), FrontSwing: angleOf(t.FrontSwing), BackTilt: angleOf(t.BackTilt), BackSwing: angleOf(t.BackSwing),
		SitterSupport: t.SitterSupport, Wait: t.Wait,
	}
	return nil
}
