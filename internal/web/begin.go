package web

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"runtime/debug"

	"platewright/chemistry"
	"platewright/colour"
	"platewright/internal/studio"
	"platewright/internal/web/screens/begin"
	"platewright/internal/web/shared"
)

func (s *Server) beginRoutes() {
	s.handle("GET /begin", s.askBeginning)
	s.handle("POST /begin", s.beginStudio)
	s.handle("GET /about", s.about)
}

// askBeginning answers GET /begin.
func (s *Server) askBeginning(w http.ResponseWriter, r *http.Request) error {
	switch _, err := s.cfg.Studio.Profile(r.Context()); {
	case err == nil:
		http.Redirect(w, r, shared.Desk.Path(), http.StatusSeeOther)
		return nil
	case !errors.Is(err, studio.ErrNotFound):
		return err
	}
	return s.showBeginning(w, r, http.StatusOK, shared.NewForm(map[string]string{"units": string(studio.Metric), "start": "empty"}))
}

func (s *Server) showBeginning(w http.ResponseWriter, r *http.Request, status int, f shared.Form) error {
	page := shared.PageData{Title: "A new studio", Lead: "A few questions, and the desk is yours.", Styles: []string{"begin.css"}, Scripts: []string{"begin.js"}}
	page.Bare = true
	f.Labels = map[string]string{"name": "What the studio is called", "units": "Units", "place": "Where it is", "start": "How it starts"}
	return s.showStatus(w, r, status, page, begin.Ask(begin.Questions{Form: f, Example: s.cfg.Example != nil}))
}

// beginStudio answers POST /begin.
func (s *Server) beginStudio(w http.ResponseWriter, r *http.Request) error {
	f, err := s.readForm(r)
	if err != nil {
		return err
	}
	allowed := []string{"empty"}
	if s.cfg.Example != nil {
		allowed = append(allowed, "example")
	}
	start := f.oneOf("start", allowed...)
	p := studio.Profile{Name: f.text("name"), Units: studio.System(f.oneOf("units", string(studio.Metric), string(studio.Imperial))), Place: f.text("place")}
	f.need("units", "choose metric or imperial")
	f.need("name", "write what it says over the door")
	if !f.OK() {
		return s.showBeginning(w, r, http.StatusUnprocessableEntity, f.Form)
	}
	if _, err := s.cfg.Studio.Begin(r.Context(), p); errors.Is(err, studio.ErrConflict) {
		return &problem{status: http.StatusConflict, title: "Begun already",
			what: "This studio has begun already, so nothing of this was written.", hint: "Go to the desk."}
	} else if err != nil {
		if err := f.take(err, nil); err != nil {
			return err
		}
		return s.showBeginning(w, r, http.StatusUnprocessableEntity, f.Form)
	}
	s.hasBegun.Store(true)
	furnish := s.stockRecipes
	if start == "example" {
		s.allowSlow(w)
		furnish = s.cfg.Example
	}
	ctx := context.WithoutCancel(r.Context()) // the studio has begun: a browser that leaves must not leave it unfurnished
	if err := furnish(ctx); err != nil {
		err = fmt.Errorf("begin with %s: %w", start, err)
		if start == "example" { // which stores nothing of itself when it fails
			err = errors.Join(err, s.stockRecipes(ctx))
		}
		return err
	}
	http.Redirect(w, r, shared.Desk.Path(), http.StatusSeeOther)
	return nil
}

// stockRecipes lays the recipes that come with the product on the shelf of a studio that begins.
func (s *Server) stockRecipes(ctx context.Context) error {
	for _, body := range chemistry.Recipes(false) {
		if _, err := s.cfg.Studio.AddRecipe(ctx, studio.Recipe{Body: body}); err != nil {
			return fmt.Errorf("recipe %s: %w", body.Name, err)
		}
	}
	return nil
}

// about answers GET /about.
func (s *Server) about(w http.ResponseWriter, r *http.Request) error {
	a := begin.About{Version: s.cfg.Version, Texts: []begin.Text{
		{Of: "EB Garamond, the letters of names and titles", Name: "SIL Open Font License 1.1", Href: s.assets.URL("eb-garamond-OFL.txt")},
		{Of: "IBM Plex Sans, the letters of everything else", Name: "SIL Open Font License 1.1", Href: s.assets.URL("ibm-plex-sans-OFL.txt")},
		{Of: "htmx, the script that exchanges parts of a page", Name: "Zero-Clause BSD", Href: s.assets.URL("htmx-LICENSE.txt")},
	}}
	a.Credits = colour.Attributions()
	if a.Version == "" {
		a.Version = "built from source"
	}
	if built, ok := debug.ReadBuildInfo(); ok {
		for _, m := range built.Deps {
			a.Modules = append(a.Modules, begin.Module{Path: m.Path, Version: m.Version})
		}
	}
	page := shared.PageData{Title: "About", Lead: "Cautions, version, licences.", Styles: []string{"begin.css"}}
	return s.show(w, r, page, begin.Page(a))
}
