package web

import (
	"platewright/internal/web/screens/floor"
)

// stillAnswer is what the floor takes from the reckoning stillness.
type stillAnswer struct {
	InDepth float64  `json:"p_in_depth"`
	NoSmear float64  `json:"p_no_smear"`
	Good    float64  `json:"p_good"`
	Notes   []string `json:"notes"`
}

func (s *Server) reckonStill(f *form, p planned, got *reckoned) error { return nil }

func stillOf(p planned, got reckoned) floor.Still { return floor.Still{} }
