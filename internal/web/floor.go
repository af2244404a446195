package web

import (
	"errors"
	"net/http"
	"strings"

	"platewright/internal/studio"
	"platewright/internal/web/screens/floor"
	"platewright/internal/web/shared"
)

func (s *Server) floorRoutes() {
	s.handle("GET /floor", s.showFloor)
	s.handle("POST /floor", s.planPlate)
	s.handle("GET /floor/card.pdf", s.floorCard)
	s.handle("GET /plates/{number}/card.pdf", s.plateCard)
	s.chartRoutes()
}

// showFloor answers GET /floor: the page, or what was reckoned for a form that is being filled in.
func (s *Server) showFloor(w http.ResponseWriter, r *http.Request) error {
	f, err := s.readQuery(r)
	if err != nil {
		return err
	}
	e, err := s.onFloor(r.Context())
	if err != nil {
		return err
	}
	if fragment(r) && strings.HasSuffix(r.Header.Get("HX-Target"), "#reckoned") {
		return s.reckonFloor(w, r, f, e)
	}
	ownSlip := true
	if !f.Typed.Has("stops_of") { // not the form itself, sent without a script
		chosen := f.id("sitting")
		held, err := s.startFloor(r.Context(), f, e.inUse())
		if err != nil {
			return err
		}
		ownSlip = chosen != "" || !held // a plate in hand stays on the slip
	}
	p := readPlan(f, e)
	got, err := s.reckonPlan(r.Context(), f, &p)
	if err != nil {
		return err
	}
	return s.showPlanForm(w, r, http.StatusOK, f, e, p, got, ownSlip)
}

// reckonFloor answers a form that is being filled in. When a field is refused, what was reckoned before
// stays on the screen and is said to be from before.
func (s *Server) reckonFloor(w http.ResponseWriter, r *http.Request, f *form, e onFloor) error {
	p := readPlan(f, e)
	got, err := s.reckonPlan(r.Context(), f, &p)
	if err != nil {
		return err
	}
	result := floorResult(f, p, got)
	result.Before = result.Drawn == nil && !f.OK() && f.checked("drawn")
	live := floor.Live{Form: f.Form, Result: result, Laid: p.posed.lay && f.Problem("through") == ""}
	if f.text("stops_of") != string(p.lens.ID) {
		live.Stops, live.Lens = stopOptions(p.lens), string(p.lens.ID)
	}
	if p.lit.way == studio.ByOldPlate {
		plates, of, err := s.judgedOptions(r.Context(), p, f.id("collodion"))
		if err != nil {
			return err
		}
		if f.text("plates_of") != of {
			live.Plates, live.PlatesOf = plates, of
		}
	}
	if result.Drawn == nil && !f.OK() {
		w.Header().Set("HX-Reswap", "none")
	}
	return s.render(w, r, http.StatusOK, shared.PageData{Title: "Floor"}, floor.Answer(live))
}

func (s *Server) showPlanForm(w http.ResponseWriter, r *http.Request, status int, f *form, e onFloor, p planned, got reckoned, ownSlip bool) error {
	page := shared.PageData{Room: shared.Floor, Title: "Floor", Lead: "Lens, distance and light for the next plate.",
		Styles: []string{"floor.css", "floorlight.css"}, Scripts: []string{"floor.js", "count.js"}}
	if len(e.inUse().lenses) == 0 {
		return s.showStatus(w, r, status, page, floor.NoLens())
	}
	choices, err := s.floorChoices(r.Context(), f, e, p)
	if err != nil {
		return err
	}
	if id := f.id("sitting"); id != "" && ownSlip && f.Problem("sitting") == "" {
		if page.Slip, err = s.slipOfSitting(r, id); err != nil {
			return err
		}
	}
	plate := s.cfg.Studio.NewID() // made with the form, so that a form sent twice plans one plate
	if given := f.id("id"); given != "" && r.Method == http.MethodPost {
		plate = given
	}
	return s.showStatus(w, r, status, page, floor.Plan(floor.PlanData{ID: plate, Form: f.Form, Choices: choices, Result: floorResult(f, p, got)}))
}

// slipOfSitting is the slip of the sitting a plate is planned for; empty when it does not exist.
func (s *Server) slipOfSitting(r *http.Request, id studio.ID) (shared.SlipData, error) {
	sitting, err := s.cfg.Studio.Sitting(r.Context(), id)
	if errors.Is(err, studio.ErrNotFound) {
		return shared.SlipData{}, nil
	}
	if err != nil {
		return shared.SlipData{}, err
	}
	sitter, err := s.cfg.Studio.Sitter(r.Context(), sitting.Sitter)
	if err != nil {
		return shared.SlipData{}, err
	}
	slip := s.sittingSlip(sitting, sitter)
	slip.Next, slip.NextHref = "", "" // it is being done
	return slip, nil
}

// planPlate answers POST /floor.
func (s *Server) planPlate(w http.ResponseWriter, r *http.Request) error {
	f, err := s.readForm(r)
	if err != nil {
		return err
	}
	e, err := s.onFloor(r.Context())
	if err != nil {
		return err
	}
	asked := f.text("stop")
	f.need("lens", "choose the lens the plate is made with")
	f.need("stop", "choose the stop that is in the lens")
	f.need("size", "write the plate's size, as whole plate or 165 x 216 mm")
	p := readPlan(f, e)
	f.ownStop(asked, p)
	if p.by != "" {
		f.need(p.by, "write it, and the plate can be planned")
	}
	f.oneOf("support", string(studio.BlackMetal), string(studio.ClearGlass), string(studio.DarkGlass))
	got, err := s.reckonPlan(r.Context(), f, &p)
	if err != nil {
		return err
	}
	if f.OK() {
		plate, err := s.cfg.Studio.PlanPlateOnce(r.Context(), f.id("id"), p.plan(f, got))
		if err == nil {
			http.Redirect(w, r, shared.DarkRoom.Path()+"/"+plate.Number.String(), http.StatusSeeOther)
			return nil
		}
		if err := f.take(err, planFields(p.by)); err != nil {
			return err
		}
	}
	return s.showPlanForm(w, r, http.StatusUnprocessableEntity, f, e, p, got, true)
}

// planFields are the form's fields for what the studio refuses of a plan.
func planFields(by string) map[string]string {
	return map[string]string{"distance_mm": by, "magnification": by, "turn_deg": "turn", "nod_deg": "nod", "shoulders_deg": "shoulders", "lean_deg": "lean",
		"front_tilt_deg": "front_tilt", "front_swing_deg": "front_swing", "back_tilt_deg": "back_tilt", "back_swing_deg": "back_swing",
		"rise_mm": "rise", "shift_mm": "shift", "seat_mm": "seat", "below_mm": "below", "wait_s": "wait", "sitter_support": "held", "percentile": "body"}
}
