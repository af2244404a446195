package web

import (
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"time"

	"platewright/internal/studio"
	"platewright/internal/web/screens/equipment"
	"platewright/internal/web/shared"
	"platewright/light"
	"platewright/light/flash"
	"platewright/measure"
)

func (s *Server) foundRoutes() {
	s.handle("GET /floor/rigs/{id}/readings", s.rigPage)
	s.handle("POST /floor/rigs/{id}/readings", s.keepRigReading)
	s.handle("POST /floor/rigs/{id}/readings/withdraw", s.withdrawRigReading)
	s.handle("GET /floor/speeds", s.speeds)
	s.handle("POST /floor/speeds", s.keepSpeed)
	s.handle("POST /floor/speeds/withdraw", s.withdrawSpeed)
}

// signedStops writes stops with their sign.
func signedStops(v measure.Stops) string {
	if v >= 0 {
		return "+" + figureOf(rounded(float64(v), 0.01), 3)
	}
	return "\u2212" + figureOf(-rounded(float64(v), 0.01), 3)
}

// withdrawnWord says when and why something was withdrawn.
func withdrawnWord(on time.Time, why string) string {
	return fmt.Sprintf("withdrawn %s: %s", on.Format("2 January 2006"), why)
}

// plateNumber is the number of a plate; empty is none.
func (f *form) plateNumber(name string) studio.Number {
	return read(f, name, studio.ParseNumber, func(studio.Number) string { return "" })
}

// rigPage answers GET /floor/rigs/{id}/readings.
func (s *Server) rigPage(w http.ResponseWriter, r *http.Request) error {
	rig, err := s.cfg.Studio.Rig(r.Context(), studio.ID(r.PathValue("id")))
	if err != nil {
		return err
	}
	return s.showRig(w, r, http.StatusOK, rig, s.freshFound(map[string]string{"method": string(studio.ByFlashMeter), "index": "100"}))
}

// freshFound is an empty form of something found, with its id and today's date.
func (s *Server) freshFound(typed map[string]string) shared.Form {
	typed["id"], typed["taken"] = string(s.cfg.Studio.NewID()), s.now().Format("2 Jan 2006")
	return shared.NewForm(typed)
}

func (s *Server) showRig(w http.ResponseWriter, r *http.Request, status int, rig studio.Rig, f shared.Form) error {
	readings, err := s.rigReadings(r.Context(), rig.ID)
	if err != nil {
		return err
	}
	sys, err := s.system(r)
	if err != nil {
		return err
	}
	here := "/floor/rigs/" + string(rig.ID) + "/readings"
	d := equipment.Found{Form: f, Kinds: equipmentKinds("/floor/rigs"), KnownOf: "What it gives at the face", Caption: "Readings of this rig",
		Columns: []string{"Taken", "Method", "Found", "Reckoned", "Of that", "By", "Note", "Standing"}, None: "Nothing was read of it yet: all below is reckoned, a stop either way.",
		Withdraw: here + "/withdraw", Back: equipment.Way{Word: "The rig itself", Href: "/floor/rigs/" + string(rig.ID)}}
	s.rigGives(&d, rig, readings, sys)
	d.Cautions = flashCautions(rig.Flash(studio.RigGiven{}))
	for _, reading := range slices.Backward(readings) {
		if reading.Withdraws != "" {
			continue
		}
		found := "plate " + reading.Plate.String()
		if reading.Method == studio.ByFlashMeter {
			found = significant(float64(reading.Metered), 3) + "\u2009lx\u2009s"
		}
		row := equipment.FoundRow{ID: string(reading.ID), Name: reading.Taken.Format("2 January 2006") + ", " + string(reading.Method),
			Cells: []string{reading.Taken.Format("2 January 2006"), string(reading.Method), found, significant(float64(reading.Reckoned), 3) + "\u2009lx\u2009s",
				fmt.Sprintf("%s stops ± %s", signedStops(reading.Error), figureOf(rounded(float64(reading.Sigma), 0.01), 2)), reading.By, reading.Note}}
		for _, gone := range readings {
			if gone.Withdraws == reading.ID {
				row.Withdrawn = withdrawnWord(gone.Taken, gone.Note)
			}
		}
		d.Rows = append(d.Rows, row)
	}
	line := func(data shared.FieldData, wide bool) equipment.Line { return equipment.Line{Field: &data, Wide: wide} }
	d.Ways = []equipment.Adding{{
		Title: "Read it once more", Say: "With the rig set as it is written down: hold a flash meter at the sitter's face toward the camera, or name a plate that was planned by this rig and judged.",
		Action: here, Act: "Keep the reading",
		Lines: []equipment.Line{
			{Choice: &shared.ChoiceData{Name: "method", Label: "With", Options: []shared.Option{{Value: string(studio.ByFlashMeter), Word: "a flash meter"}, {Value: string(studio.ByVerdict), Word: "a judged plate"}}}, Wide: true},
			line(shared.FieldData{Name: "f_number", Label: "The meter shows", Hint: "of all pops: f/11"}, false),
			line(shared.FieldData{Name: "index", Label: "The meter is set to index"}, false),
			line(shared.FieldData{Name: "plate", Label: "Or the plate", Hint: "its number, 26-0147"}, false),
			line(shared.FieldData{Name: "taken", Label: "Day"}, false),
			line(shared.FieldData{Name: "by", Label: "By"}, false),
			line(shared.FieldData{Name: "note", Label: "Note", Lines: 2}, true),
		},
	}}
	d.Form.Labels = map[string]string{"f_number": "The meter shows", "index": "The meter is set to index", "plate": "Or the plate", "withdraws": "Which"}
	page := shared.PageData{Room: shared.Floor, Title: rig.Name, Lead: "What this flash rig gives, and how that is known.", Styles: []string{"equipment.css"}}
	return s.showStatus(w, r, status, page, equipment.FoundScreen(d))
}

// eighty is how many standard deviations either way hold four of five.
const eighty = 1.2816

// rigGives says what a rig gives at the face by what is known of it, and what falls on eyes and skin.
func (s *Server) rigGives(d *equipment.Found, rig studio.Rig, readings []studio.RigReading, sys measure.System) {
	given := studio.RigKnown(readings)
	lit, err := rig.Flash(given).At()
	if err != nil {
		d.Known = append(d.Known, shared.Fact{Word: "Light", Value: "It cannot be reckoned: " + err.Error()})
		return
	}
	band := fmt.Sprintf("%s (%s\u2013%s) lx\u2009s", significant(float64(lit.Front), 3), significant(float64(lit.Front)*(-eighty*given.Sigma).Factor(), 2), significant(float64(lit.Front)*(eighty*given.Sigma).Factor(), 2))
	d.Known = append(d.Known, shared.Fact{Word: "Toward the camera", Value: measure.Thin(band)}, shared.Fact{Word: "Known by", Value: given.Basis.Text})
	if ratio, known := lit.Ratio(); known {
		d.Known = append(d.Known, shared.Fact{Word: "Between the two sides of the face", Value: figureOf(rounded(float64(ratio), 0.1), 2) + " stops"})
	}
	for i, h := range rig.Heads {
		d.Known = append(d.Known, shared.Fact{Word: h.Name, Value: fmt.Sprintf("%s\u2009lx\u2009s of it, %s tube, %s\u2009J, %s from the face",
			significant(float64(lit.Heads[i]), 3), h.Tube, figureOf(h.Energy*float64(h.Pops), 5), shownLength(h.Distance, sys))})
	}
	var dose flash.Dose
	for _, h := range rig.Flash(given).Heads {
		each, err := h.Hazard()
		if err != nil {
			return
		}
		dose = dose.Plus(each)
	}
	held, err := dose.Against(1)
	if err != nil {
		return
	}
	for _, h := range held {
		d.Doses = append(d.Doses, strings.ToUpper(h.Sentence[:1])+h.Sentence[1:])
	}
}

// keepRigReading answers POST /floor/rigs/{id}/readings.
func (s *Server) keepRigReading(w http.ResponseWriter, r *http.Request) error {
	rig, err := s.cfg.Studio.Rig(r.Context(), studio.ID(r.PathValue("id")))
	if err != nil {
		return err
	}
	f, err := s.readForm(r)
	if err != nil {
		return err
	}
	var reading studio.RigReading
	switch studio.RigMethod(f.oneOf("method", string(studio.ByFlashMeter), string(studio.ByVerdict))) {
	case studio.ByFlashMeter:
		f.need("f_number", "write what the meter shows, as f/11")
		n := read(f, "f_number", measure.ParseFNumber, measure.FNumber.String)
		index := f.number("index")
		if err := measure.Within("index", index, 1, 10_000, ""); f.Problem("index") == "" && err != nil {
			f.refuse("index", "%v", err)
		}
		if f.OK() {
			reading, err = studio.MeteredRig(rig, light.LuxSeconds(float64(light.FlashAt(n))*100/index))
		}
	case studio.ByVerdict:
		f.need("plate", "write its number, as 26-0147")
		if n := f.plateNumber("plate"); f.OK() {
			reading, err = s.judgedRig(r, f, rig, n)
		}
	default:
		f.refuse("method", "choose a meter or a plate")
	}
	if err := f.taken(err); err != nil {
		return err
	}
	reading.ID, reading.Taken, reading.By, reading.Note = f.id("id"), f.day("taken"), f.text("by"), f.text("note")
	f.need("taken", "write the day, as today or 4 July")
	if f.OK() {
		if _, err = s.cfg.Studio.KeepRigReading(r.Context(), reading); err == nil {
			http.Redirect(w, r, "/floor/rigs/"+string(rig.ID)+"/readings", http.StatusSeeOther)
			return nil
		}
		if err := f.take(err, nil); err != nil {
			return err
		}
	}
	return s.showRig(w, r, http.StatusUnprocessableEntity, rig, f.Form)
}

// taken makes problems of what a reading was refused for; a figure out of range stands at the meter's.
func (f *form) taken(err error) error {
	var outside *measure.RangeError
	if errors.As(err, &outside) {
		f.refuse("f_number", "%v", err)
		return nil
	}
	return f.take(err, nil)
}

// judgedRig is the reading that a judged plate makes of a rig.
func (s *Server) judgedRig(r *http.Request, f *form, rig studio.Rig, n studio.Number) (studio.RigReading, error) {
	j, judged, err := s.cfg.Studio.JudgedPlateOf(r.Context(), n)
	switch {
	case errors.Is(err, studio.ErrNotFound):
		f.refuse("plate", "there is no plate %s", n)
	case err != nil:
		return studio.RigReading{}, err
	case !judged:
		f.refuse("plate", "no word stands on plate %s yet; judge it first", n)
	default:
		return studio.JudgedRig(rig, j)
	}
	return studio.RigReading{}, nil
}

// withdrawRigReading answers POST /floor/rigs/{id}/readings/withdraw.
func (s *Server) withdrawRigReading(w http.ResponseWriter, r *http.Request) error {
	rig, err := s.cfg.Studio.Rig(r.Context(), studio.ID(r.PathValue("id")))
	if err != nil {
		return err
	}
	f, err := s.readForm(r)
	if err != nil {
		return err
	}
	f.need("withdraws", "choose the one that does not count")
	f.need("why", "write why, for whoever reads it later")
	if f.OK() {
		_, err := s.cfg.Studio.WithdrawRigReading(r.Context(), studio.RigReading{Rig: rig.ID, Taken: s.now(), Note: f.text("why"), Withdraws: f.id("withdraws")})
		if err == nil {
			http.Redirect(w, r, "/floor/rigs/"+string(rig.ID)+"/readings", http.StatusSeeOther)
			return nil
		}
		if err := f.take(err, nil); err != nil {
			return err
		}
	}
	return s.showRig(w, r, http.StatusUnprocessableEntity, rig, f.Form)
}

// kindOptions are the kinds of light.
func kindOptions() []shared.Option {
	notes := map[light.Kind]string{light.Sun: "direct, with its sky", light.Shade: "open, under blue sky", light.Overcast: "a covered sky", light.AnyDaylight: "not told which",
		light.WindowLight: "daylight in a room", light.OwnSpectrum: "a lamp of your own"}
	var all []shared.Option
	for _, k := range light.Kinds() {
		all = append(all, shared.Option{Value: string(k), Word: string(k), Note: notes[k]})
	}
	return all
}

// speeds answers GET /floor/speeds.
func (s *Server) speeds(w http.ResponseWriter, r *http.Request) error {
	return s.showSpeeds(w, r, http.StatusOK, s.freshFound(map[string]string{"sigma": "0.5"}))
}

func (s *Server) showSpeeds(w http.ResponseWriter, r *http.Request, status int, f shared.Form) error {
	all, err := s.cfg.Studio.Speeds(r.Context())
	if err != nil {
		return err
	}
	batches, err := s.cfg.Studio.Batches(r.Context())
	if err != nil {
		return err
	}
	names := map[studio.ID]string{"": "not told"}
	collodions := []shared.Option{{Word: "not told"}}
	for _, b := range batches {
		names[b.ID] = b.Name
		if b.Kind == "collodion" && (!b.Retired || string(b.ID) == f.Value("collodion")) {
			collodions = append(collodions, shared.Option{Value: string(b.ID), Word: b.Name})
		}
	}
	d := equipment.Found{Form: f, Kinds: equipmentKinds("/floor/speeds"), KnownOf: "What holds now", Caption: "Speeds found",
		Columns: []string{"Found", "Index", "Light", "Collodion", "Plate", "By", "Note", "Standing"}, Withdraw: "/floor/speeds/withdraw",
		None: "No speed was found yet. Until then 1 is taken, found by others in daylight, a stop either way."}
	for i := range all {
		all[i].Taken = all[i].Taken.In(s.cfg.Location)
	}
	for _, k := range light.Kinds() {
		if known := studio.SpeedOf(all, k, ""); known.Same && known.From != "" {
			d.Known = append(d.Known, shared.Fact{Word: string(k), Value: fmt.Sprintf("%s ± %s stops, %s", significant(float64(known.Index), 2), figureOf(float64(known.Sigma), 2), known.Basis.Text)})
		}
	}
	for _, found := range slices.Backward(all) {
		if found.Withdraws != "" {
			continue
		}
		plate := ""
		if found.Plate != (studio.Number{}) {
			plate = found.Plate.String()
		}
		row := equipment.FoundRow{ID: string(found.ID), Name: fmt.Sprintf("%s, %s under %s", found.Taken.Format("2 January 2006"), significant(float64(found.Index), 2), found.Kind),
			Cells: []string{found.Taken.Format("2 January 2006"), fmt.Sprintf("%s ± %s stops", significant(float64(found.Index), 2), figureOf(float64(found.Sigma), 2)),
				string(found.Kind), names[found.Collodion], plate, found.By, found.Note}}
		for _, gone := range all {
			if gone.Withdraws == found.ID {
				row.Withdrawn = withdrawnWord(gone.Taken, gone.Note)
			}
		}
		d.Rows = append(d.Rows, row)
	}
	line := func(data shared.FieldData, wide bool) equipment.Line { return equipment.Line{Field: &data, Wide: wide} }
	d.Ways = []equipment.Adding{{
		Title: "Write down one that was found", Action: "/floor/speeds", Act: "Keep the speed",
		Say: "The index that an incident meter would have had to be set to for a right plate. It holds for the kind of light it was found under: from one to another lie up to three stops.",
		Lines: []equipment.Line{
			line(shared.FieldData{Name: "index", Label: "Exposure index", Hint: "0.8, 1, 3", Required: true}, false),
			line(shared.FieldData{Name: "sigma", Label: "How sure, either way", Unit: "stops", Hint: "a third when several plates agree, a half from one plate"}, false),
			{Choice: &shared.ChoiceData{Name: "kind", Label: "Found under", Options: kindOptions(), List: true}, Wide: true},
			{Choice: &shared.ChoiceData{Name: "collodion", Label: "With the collodion", Options: collodions, List: true}, Wide: true},
			line(shared.FieldData{Name: "plate", Label: "By the plate", Hint: "its number, 26-0147; may stay empty"}, false),
			line(shared.FieldData{Name: "taken", Label: "Day"}, false),
			line(shared.FieldData{Name: "by", Label: "By"}, false),
			line(shared.FieldData{Name: "note", Label: "Note", Lines: 2}, true),
		},
	}}
	d.Form.Labels = map[string]string{"index": "Exposure index", "sigma": "How sure, either way", "kind": "Found under", "collodion": "With the collodion", "plate": "By the plate", "withdraws": "Which"}
	page := shared.PageData{Room: shared.Floor, Title: "Speeds found", Lead: "How fast your plates are, each under its light.", Styles: []string{"equipment.css"}}
	return s.showStatus(w, r, status, page, equipment.FoundScreen(d))
}

// keepSpeed answers POST /floor/speeds.
func (s *Server) keepSpeed(w http.ResponseWriter, r *http.Request) error {
	f, err := s.readForm(r)
	if err != nil {
		return err
	}
	f.need("index", "write it as 1 or 0.8")
	f.need("sigma", "write it as 0.5")
	f.need("kind", "choose the light it was found under; it holds for that one")
	f.need("taken", "write the day, as today or 4 July")
	found := studio.SpeedFound{ID: f.id("id"), Index: light.ExposureIndex(f.number("index")), Sigma: measure.Stops(f.number("sigma")),
		Kind: light.Kind(f.oneOf("kind", valuesOf(kindOptions())...)), Collodion: f.id("collodion"), Plate: f.plateNumber("plate"), Taken: f.day("taken"),
		By: f.text("by"), Note: f.text("note")}
	f.Choices["collodion"] = true
	if f.OK() {
		if _, err = s.cfg.Studio.KeepSpeed(r.Context(), found); err == nil {
			http.Redirect(w, r, "/floor/speeds", http.StatusSeeOther)
			return nil
		}
		if err := f.take(err, map[string]string{"exposure_index": "index", "sigma_stops": "sigma", "light_kind": "kind"}); err != nil {
			return err
		}
	}
	return s.showSpeeds(w, r, http.StatusUnprocessableEntity, f.Form)
}

// withdrawSpeed answers POST /floor/speeds/withdraw.
func (s *Server) withdrawSpeed(w http.ResponseWriter, r *http.Request) error {
	f, err := s.readForm(r)
	if err != nil {
		return err
	}
	f.need("withdraws", "choose the one that does not count")
	f.need("why", "write why, for whoever reads it later")
	if f.OK() {
		_, err := s.cfg.Studio.WithdrawSpeed(r.Context(), studio.SpeedFound{Taken: s.now(), Note: f.text("why"), Withdraws: f.id("withdraws")})
		if err == nil {
			http.Redirect(w, r, "/floor/speeds", http.StatusSeeOther)
			return nil
		}
		if err := f.take(err, nil); err != nil {
			return err
		}
	}
	return s.showSpeeds(w, r, http.StatusUnprocessableEntity, f.Form)
}
