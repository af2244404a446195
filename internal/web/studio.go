package web

import (
	"math"
	"net"
	"net/http"
	"strconv"

	"platewright/internal/studio"
	"platewright/internal/web/screens/begin"
	"platewright/internal/web/screens/conflict"
	"platewright/internal/web/shared"
	"platewright/measure"
)

func (s *Server) studioRoutes() {
	s.handle("GET /studio", s.aboutStudio)
	s.handle("POST /studio", s.changeStudio)
}

// profileTyped is the studio itself as one would type it in the habit of units sys, which a form is read in.
func profileTyped(p studio.Profile, sys measure.System) map[string]string {
	typed := map[string]string{"name": p.Name, "units": string(p.Units), "place": p.Place, "room": typedLength(p.Room, sys), "version": strconv.Itoa(p.Version)}
	if p.Placed {
		typed["latitude"], typed["longitude"] = typedCoordinate(p.Latitude, "N", "S"), typedCoordinate(p.Longitude, "E", "W")
		typed["elevation"] = figureOf(p.Elevation.Metres(), 6) + " m"
	}
	return typed
}

// typedCoordinate is a latitude or longitude as one would type it, to a millionth of a degree.
func typedCoordinate(a measure.Angle, ahead, behind string) string {
	if a < 0 {
		ahead = behind
	}
	return strconv.FormatFloat(math.Round(math.Abs(a.Degrees())*1e6)/1e6, 'f', -1, 64) + " " + ahead
}

// place reads where the studio stands; all of it may be empty.
func (f *form) place(p *studio.Profile) {
	bare := measure.Metre
	if f.sys != measure.Metric {
		bare = measure.Foot
	}
	p.Placed = f.text("latitude") != "" || f.text("longitude") != ""
	if !p.Placed && f.text("elevation") != "" {
		f.refuse("latitude", "is empty; a height above the sea is asked for together with latitude and longitude")
	}
	if p.Placed {
		f.need("latitude", "write it as 48.2 N or 48° 12' N, or leave both empty")
		f.need("longitude", "write it as 16.37 E or 16° 22' E, or leave both empty")
	}
	p.Latitude = read(f, "latitude", measure.ParseLatitude, measure.FormatLatitude)
	p.Longitude = read(f, "longitude", measure.ParseLongitude, measure.FormatLongitude)
	p.Elevation = read(f, "elevation", func(s string) (measure.Length, error) { return measure.ParseElevation(s, bare) },
		func(l measure.Length) string { return measure.Thin(figureOf(l.Metres(), 4) + " m") })
}

// profileLines are the fields of the studio itself, for a conflict.
var profileLines = []conflict.Field{
	{Name: "version"}, {Name: "name", Label: "Name"}, {Name: "units", Label: "Units"}, {Name: "place", Label: "Place"}, {Name: "room", Label: "Depth of the room"},
	{Name: "latitude", Label: "Latitude"}, {Name: "longitude", Label: "Longitude"}, {Name: "elevation", Label: "Height above the sea"},
}

// aboutStudio answers GET /studio.
func (s *Server) aboutStudio(w http.ResponseWriter, r *http.Request) error {
	p, err := s.cfg.Studio.Profile(r.Context())
	if err != nil {
		return err
	}
	return s.showStudio(w, r, http.StatusOK, p, shared.NewForm(profileTyped(p, systemOf(p))))
}

func (s *Server) showStudio(w http.ResponseWriter, r *http.Request, status int, p studio.Profile, f shared.Form) error {
	t, err := s.cfg.Studio.Tally(r.Context())
	if err != nil {
		return err
	}
	unit := "mm"
	if p.Units == studio.Imperial {
		unit = "in"
	}
	d := begin.Studio{Form: f, Unit: unit, Zone: s.now().Format("MST, -07:00"), Cyanide: p.Cyanide, Listen: s.cfg.Listen, Beyond: !s.local}
	d.Holds = []shared.Fact{
		{Word: "Plates", Value: strconv.Itoa(t.Plates)}, {Word: "of them poured", Value: strconv.Itoa(t.Poured)},
		{Word: "Sitters", Value: strconv.Itoa(t.Sitters)}, {Word: "Sittings", Value: strconv.Itoa(t.Sittings)},
		{Word: "Begun", Value: dayText(p.Created.In(s.cfg.Location))},
	}
	if s.cfg.Passwords != nil {
		kept, err := s.cfg.Passwords(r.Context())
		if err != nil {
			return err
		}
		d.Password = kept != ""
	}
	if _, d.Port, err = net.SplitHostPort(s.cfg.Listen); err != nil {
		return err
	}
	page := shared.PageData{Title: "Studio", Lead: "Its name, its units, what it holds, and how a phone reaches it.", Styles: []string{"begin.css"}}
	return s.showStatus(w, r, status, page, begin.StudioScreen(d))
}

// changeStudio answers POST /studio.
func (s *Server) changeStudio(w http.ResponseWriter, r *http.Request) error {
	stored, err := s.cfg.Studio.Profile(r.Context())
	if err != nil {
		return err
	}
	f, err := s.readForm(r)
	if err != nil {
		return err
	}
	changed := stored
	changed.Name, changed.Place, changed.Version = f.text("name"), f.text("place"), f.version()
	changed.Units = studio.System(f.oneOf("units", string(studio.Metric), string(studio.Imperial)))
	changed.Room = f.length("room")
	f.place(&changed)
	f.need("units", "choose metric or imperial")
	f.need("name", "write what it says over the door")
	if f.OK() {
		_, err = s.cfg.Studio.ChangeProfile(r.Context(), changed)
		if yours, theirs, ok := conflicting[studio.Profile](err); ok {
			return s.showConflict(w, r, shared.PageData{Title: "The studio in two forms"},
				conflict.Data{What: "studio", Action: "/studio", Back: "/studio"}, profileLines, profileTyped(yours, f.sys), profileTyped(theirs, f.sys))
		}
		if err := f.take(err, map[string]string{"room_mm": "room", "latitude_deg": "latitude", "longitude_deg": "longitude", "elevation_mm": "elevation"}); err != nil {
			return err
		}
	}
	if !f.OK() {
		return s.showStudio(w, r, http.StatusUnprocessableEntity, stored, f.Form)
	}
	http.Redirect(w, r, "/studio", http.StatusSeeOther)
	return nil
}
