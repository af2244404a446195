package web

import (
	"context"
	"net/http"
	"net/url"
	"strings"

	"platewright/internal/studio"
	"platewright/internal/web/shared"
)

// lightCookie holds the light of one device.
const lightCookie = "light"

// lightOf is the light this device is set to; day until it says otherwise.
func lightOf(r *http.Request) shared.Light {
	c, err := r.Cookie(lightCookie)
	if err != nil {
		return shared.Day
	}
	light, _ := shared.ParseLight(c.Value)
	return light
}

// setLight answers POST /light: it keeps the light on this device for a year
// and leads back to where the button was pressed. White light on a device that
// is red while a plate can fog is asked about first.
func (s *Server) setLight(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return unreadable(err)
	}
	light, ok := shared.ParseLight(r.PostForm.Get("light"))
	if !ok {
		return &problem{status: http.StatusUnprocessableEntity, title: "No such light",
			what: "light: " + quoted(r.PostForm.Get("light")) + " is not one of day, lamp, red"}
	}
	back := localPath(r.PostForm.Get("back"))
	if back == "" {
		back = "/"
	}
	if lightOf(r) == shared.Red && light != shared.Red && r.PostForm.Get("confirm") != "yes" {
		fogs, err := s.plateCanFog(r.Context())
		if err != nil {
			return err
		}
		if fogs {
			return s.render(w, r, http.StatusOK, shared.PageData{Title: "White light", Frame: shared.Frame{Bare: true}},
				shared.LightGuard(shared.LightGuardData{Light: light, Back: back}))
		}
	}
	http.SetCookie(w, &http.Cookie{
		Name: lightCookie, Value: string(light), Path: "/", MaxAge: 365 * 24 * 3600,
		SameSite: http.SameSiteLaxMode, Secure: s.cfg.TLS,
		// Read by the page's script, so that a page the browser kept is never
		// shown again in a light that has since been changed.
		HttpOnly: false,
	})
	if fragment(r) {
		w.Header().Set("HX-Redirect", back)
		w.WriteHeader(http.StatusOK)
		return nil
	}
	http.Redirect(w, r, back, http.StatusSeeOther)
	return nil
}

// plateCanFog tells whether a plate in hand is between the bath and the fixer, where white light
// spoils it.
func (s *Server) plateCanFog(ctx context.Context) (bool, error) {
	if s.cfg.Studio == nil {
		return false, nil
	}
	page, err := s.cfg.Studio.Plates(ctx, studio.PlateFilter{Open: true, Most: 100})
	if err != nil {
		return false, err
	}
	for _, row := range page.Rows {
		if row.Last != studio.Poured && wet(row.Summary) && s.cfg.Clock().Sub(row.ChangeAt) <= inHandFor {
			return true, nil
		}
	}
	return false, nil
}

// localPath returns a path of this server as given, or nothing for what would
// lead elsewhere.
func localPath(given string) string {
	if !strings.HasPrefix(given, "/") || strings.HasPrefix(given, "//") || strings.ContainsAny(given, "\\\r\n\t") {
		return ""
	}
	u, err := url.Parse(given)
	if err != nil || u.Host != "" || u.Scheme != "" {
		return ""
	}
	return given
}

// refererPath is the page of this server the request came from, if it says.
func refererPath(r *http.Request) string {
	u, err := url.Parse(r.Referer())
	if err != nil || u.Host == "" || u.Host != r.Host {
		return ""
	}
	return u.RequestURI()
}
