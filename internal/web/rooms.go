package web

import (
	"context"
	"errors"
	"io/fs"
	"net/http"
	"slices"
	"strings"

	"platewright/internal/studio"
	"platewright/internal/web/screens/begin"
	"platewright/internal/web/screens/bench"
	"platewright/internal/web/screens/choose"
	"platewright/internal/web/screens/copystand"
	"platewright/internal/web/screens/darkroom"
	"platewright/internal/web/screens/daylight"
	"platewright/internal/web/screens/desk"
	"platewright/internal/web/screens/equipment"
	"platewright/internal/web/screens/floor"
	"platewright/internal/web/screens/look"
	"platewright/internal/web/screens/plates"
	"platewright/internal/web/screens/shelf"
	"platewright/internal/web/screens/wardrobe"
)

// roomFiles are the style sheets and scripts of the rooms' screens.
func roomFiles() []fs.FS {
	return []fs.FS{begin.Files, desk.Files, equipment.Files, shelf.Files, floor.Files, bench.Files, choose.Files, daylight.Files, darkroom.Files, copystand.Files, plates.Files,
		wardrobe.Files, look.Files}
}

// roomRoutes registers the rooms and the HTTP interface.
func (s *Server) roomRoutes() {
	if s.cfg.InHand == nil {
		s.cfg.InHand = s.inHand
	}
	if s.cfg.StudioName == nil {
		s.cfg.StudioName = s.studioName
	}
	s.beginRoutes()
	s.studioRoutes()
	s.copystandRoutes()
	s.platesRoutes()
	s.deskRoutes()
	s.equipmentRoutes()
	s.shelfRoutes()
	s.floorRoutes()
	s.benchRoutes()
	s.chooseRoutes()
	s.wardrobeRoutes()
	s.lookRoutes()
	s.darkroomRoutes()
	if s.cfg.Reckon != nil {
		api := ReckonAPI(s.cfg.Reckon)
		for _, at := range []string{"/api/reckon", "/api/reckon/{name}", "/api/openapi.json"} {
			s.mux.Handle(at, api)
		}
	}
}

// studioName is the studio's own name, empty before it has begun.
func (s *Server) studioName(ctx context.Context) (string, error) {
	p, err := s.cfg.Studio.Profile(ctx)
	if errors.Is(err, studio.ErrNotFound) {
		return "", nil
	}
	return p.Name, err
}

// beforeBegun lists what is answered before the studio has begun.
var beforeBegun = []string{"/begin", "/about", "/light", "/login", "/logout", "/specimen"}

// begun leads every page to the first questions until they are answered. That they are is
// remembered, since a studio never un-begins.
func (s *Server) begun(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		path := r.URL.Path
		if s.cfg.Studio == nil || s.hasBegun.Load() || slices.Contains(beforeBegun, path) ||
			strings.HasPrefix(path, "/static/") || strings.HasPrefix(path, "/api/") {
			next.ServeHTTP(w, r)
			return
		}
		_, err := s.cfg.Studio.Profile(r.Context())
		switch {
		case err == nil:
			s.hasBegun.Store(true)
			next.ServeHTTP(w, r)
		case !errors.Is(err, studio.ErrNotFound):
			s.answer(w, r, err)
		case fragment(r):
			w.Header().Set("HX-Redirect", "/begin")
			w.WriteHeader(http.StatusConflict)
		default:
			http.Redirect(w, r, "/begin", http.StatusSeeOther)
		}
	})
}
