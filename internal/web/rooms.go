package web

import (
	"io/fs"
)

// roomFiles are the style sheets and scripts of the rooms' screens.
func roomFiles() []fs.FS { return nil }

// roomRoutes registers the rooms and the HTTP interface.
func (s *Server) roomRoutes() {
	if s.cfg.Reckon != nil {
		api := ReckonAPI(s.cfg.Reckon)
		for _, at := range []string{"/api/reckon", "/api/reckon/{name}", "/api/openapi.json"} {
			s.mux.Handle(at, api)
		}
	}
}
