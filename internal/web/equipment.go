package web

import (
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"platewright/internal/studio"
	"platewright/internal/web/screens/equipment"
	"platewright/internal/web/shared"
	"platewright/measure"
	"platewright/optics/trace"
)

func (s *Server) equipmentRoutes() {
	s.handle("GET /floor/lenses", s.lenses)
	s.handle("GET /floor/cameras", s.cameras)
	s.handle("GET /floor/holders", s.holders)
	s.lampRoutes()
	handleRecords(s, s.lensKind())
	handleRecords(s, s.cameraKind())
	handleRecords(s, s.holderKind())
}

func (s *Server) lensKind() recordKind[studio.Lens] {
	return recordKind[studio.Lens]{
		one: "lens", path: "/floor/lenses", room: shared.Floor, list: "All lenses",
		fields: []field{
			{FieldData: shared.FieldData{Name: "name", Label: "Name", Hint: "as you call it", Required: true}},
			{FieldData: shared.FieldData{Name: "form", Label: "Form", Hint: "portrait, two cells apart"}},
			{FieldData: shared.FieldData{Name: "focal", Label: "Focal length", Hint: "210 mm, 8 1/4 in; of an unmarked lens a guess will do until the bench has measured it", Required: true}, metric: "mm", imperial: "in"},
			{FieldData: shared.FieldData{Name: "focal_guessed", Label: "Its focal length is"}, choice: []shared.Option{
				{Value: "no", Word: "engraved or measured"}, {Value: "yes", Word: "a guess", Note: "until the bench has measured it"}}},
			{FieldData: shared.FieldData{Name: "circle", Label: "Circle of good definition", Hint: "across, at infinity; empty when unknown"}, metric: "mm", imperial: "in"},
			{FieldData: shared.FieldData{Name: "stops", Label: "Stops", Hint: "with commas between, a name after its number: f/3.6, f/4.5 half stop, f/8; not engraved, a guess will do until the bench has measured them", Required: true}, wide: true},
			{FieldData: shared.FieldData{Name: "note", Label: "Note", Lines: 3}, wide: true},
			retiredField(),
			{FieldData: shared.FieldData{Name: "design", Label: "Built like", Hint: "lends a believable focal surface to a lens that was not measured"}, wide: true, more: true, choice: designs(), listed: true},
			{FieldData: shared.FieldData{Name: "front_glass", Label: "Clear width of the front glass", Hint: "from rim to rim; empty when unknown"}, metric: "mm", imperial: "in", more: true},
			{FieldData: shared.FieldData{Name: "rear_glass", Label: "Clear width of the rear glass", Hint: "from rim to rim; empty when unknown"}, metric: "mm", imperial: "in", more: true},
			{FieldData: shared.FieldData{Name: "barrel", Label: "From front rim to rear rim", Hint: "along the barrel; with the two widths it tells how the corners darken"}, metric: "mm", imperial: "in", more: true},
			{FieldData: shared.FieldData{Name: "board_ahead", Label: "Optical middle ahead of the lens board", Hint: "how far the principal planes lie toward the sitter; with a minus when behind the board; empty takes them as one"}, metric: "mm", imperial: "in", more: true},
			{FieldData: shared.FieldData{Name: "pupil_mag", Label: "Exit pupil over entrance pupil", Hint: "its opening seen from behind over that seen from the front; empty when unknown, it is then taken as 1"}, more: true},
		},
		more:  "More about this lens",
		names: map[string]string{"focal_mm": "focal", "circle_mm": "circle", "front_glass_mm": "front_glass", "rear_glass_mm": "rear_glass", "barrel_mm": "barrel", "board_ahead_mm": "board_ahead"},
		find:  s.cfg.Studio.Lens, add: s.cfg.Studio.AddLens, change: s.cfg.Studio.ChangeLens,
		version: func(l *studio.Lens) *int { return &l.Version },
		name:    func(l studio.Lens) string { return l.Name },
		lead:    func(l studio.Lens) string { return sentence(l.Form) },
		typed: func(l studio.Lens, sys measure.System) map[string]string {
			return map[string]string{"name": l.Name, "form": l.Form, "focal": typedLength(l.Focal, sys), "circle": typedLength(l.Circle, sys),
				"stops": stopsText(l.Stops), "pupil_mag": strconv.FormatFloat(l.PupilMag, 'g', 6, 64), "note": l.Note,
				"design": l.Design, "front_glass": typedLength(l.FrontGlass, sys), "rear_glass": typedLength(l.RearGlass, sys),
				"barrel": typedLength(l.Barrel, sys), "board_ahead": typedLength(l.BoardAhead, sys),
				"focal_guessed": yesNo(l.FocalGuessed), "retired": yesNo(l.Retired), "version": strconv.Itoa(l.Version)}
		},
		read: func(f *form, l studio.Lens) studio.Lens {
			f.need("focal", "write it as 210 mm or 8 1/4 in; of an unmarked lens a guess will do: about how far behind it a far window comes sharp on paper, until the bench has measured it")
			f.need("stops", "write at least the full opening, as f/4.5; a guess will do: the focal length over the width of the bright opening seen from the front, until the bench has measured it")
			l.Name, l.Form, l.Note = f.text("name"), f.text("form"), f.text("note")
			l.Focal, l.Circle, l.Stops, l.PupilMag = f.length("focal"), f.length("circle"), f.stops("stops"), f.number("pupil_mag")
			if l.PupilMag == 0 && f.text("pupil_mag") != "" {
				f.refuse("pupil_mag", "0 is outside 0.2 to 5; leave it empty when it is unknown")
			}
			l.Design = f.oneOf("design", valuesOf(designs())...)
			l.FrontGlass, l.RearGlass, l.Barrel, l.BoardAhead = f.length("front_glass"), f.length("rear_glass"), f.length("barrel"), f.signedLength("board_ahead")
			l.FocalGuessed = f.oneOf("focal_guessed", "yes", "no") == "yes"
			l.Retired = f.retired(l.Retired)
			return l
		},
		draw: stopsDrawn,
		aside: func(_ shared.Form, l *studio.Lens) equipment.Way {
			if l == nil {
				return equipment.Way{}
			}
			return equipment.Way{Word: "What is known of it, and the bench", Href: "/floor/bench/" + string(l.ID)}
		},
	}
}

// stopsDrawn gives a lens's openings for the drawing: the entrance pupil at each stop, focal length
// over f-number by its definition.
func stopsDrawn(l studio.Lens, sys measure.System) equipment.Stops {
	var d equipment.Stops
	var said []string
	for _, st := range l.Stops {
		across := measure.Length(float64(l.Focal) / float64(st.FNumber))
		o := equipment.Opening{Name: st.FNumber.String(), Across: measure.Thin(across.Format(sys)), Diameter: float64(across)}
		d.Each = append(d.Each, o)
		said = append(said, o.Name+" "+o.Across)
	}
	d.Said = "Openings as the sitter sees them: " + strings.Join(said, ", ")
	return d
}

// designs are the forms a lens may be built like.
func designs() []shared.Option {
	options := []shared.Option{{Word: "not known"}}
	for _, form := range trace.Forms() {
		options = append(options, shared.Option{Value: form.Key, Word: form.Name, Note: "from " + form.Largest.String()})
	}
	return options
}

func valuesOf(options []shared.Option) []string {
	all := make([]string, len(options))
	for i, o := range options {
		all[i] = o.Value
	}
	return all
}

func (s *Server) cameraKind() recordKind[studio.Camera] {
	return recordKind[studio.Camera]{
		one: "camera", path: "/floor/cameras", room: shared.Floor, list: "All cameras",
		fields: []field{
			{FieldData: shared.FieldData{Name: "name", Label: "Name", Hint: "as you call it", Required: true}},
			{FieldData: shared.FieldData{Name: "back", Label: "Largest plate its back takes", Hint: "whole plate, 13x18 cm", Required: true}},
			{FieldData: shared.FieldData{Name: "shortest", Label: "Shortest extension", Hint: "lens board to plate, bellows closed", Required: true}, metric: "mm", imperial: "in"},
			{FieldData: shared.FieldData{Name: "longest", Label: "Longest extension", Hint: "bellows drawn out", Required: true}, metric: "mm", imperial: "in"},
			{FieldData: shared.FieldData{Name: "note", Label: "Note", Lines: 3}, wide: true},
			retiredField(),
			{FieldData: shared.FieldData{Name: "front_tilt", Label: "Front tilt", Hint: "how far the lens board leans, either way; empty when it is fixed"}, metric: "°", imperial: "°", more: true},
			{FieldData: shared.FieldData{Name: "front_swing", Label: "Front swing", Hint: "how far it turns, either way"}, metric: "°", imperial: "°", more: true},
			{FieldData: shared.FieldData{Name: "back_tilt", Label: "Back tilt", Hint: "how far the back leans, either way"}, metric: "°", imperial: "°", more: true},
			{FieldData: shared.FieldData{Name: "back_swing", Label: "Back swing", Hint: "how far it turns, either way"}, metric: "°", imperial: "°", more: true},
			{FieldData: shared.FieldData{Name: "rise", Label: "Rise", Hint: "how far the lens board goes up; empty when it does not go"}, metric: "mm", imperial: "in", more: true},
			{FieldData: shared.FieldData{Name: "fall", Label: "Fall", Hint: "how far it goes down"}, metric: "mm", imperial: "in", more: true},
			{FieldData: shared.FieldData{Name: "shift", Label: "Shift", Hint: "how far it goes to either side"}, metric: "mm", imperial: "in", more: true},
			{FieldData: shared.FieldData{Name: "base_tilt", Label: "It tilts"}, wide: true, more: true, choice: []shared.Option{
				{Value: "no", Word: "about the middle", Note: "of lens and plate"}, {Value: "yes", Word: "at the foot", Note: "so that the middle moves too"}}},
		},
		more: "How far its standards move",
		names: map[string]string{"shortest_mm": "shortest", "longest_mm": "longest", "rise_mm": "rise", "fall_mm": "fall", "shift_mm": "shift",
			"front_tilt_deg": "front_tilt", "front_swing_deg": "front_swing", "back_tilt_deg": "back_tilt", "back_swing_deg": "back_swing"},
		fresh: func(*http.Request) map[string]string { return map[string]string{"base_tilt": "no"} },
		find:  s.cfg.Studio.Camera, add: s.cfg.Studio.AddCamera, change: s.cfg.Studio.ChangeCamera,
		version: func(c *studio.Camera) *int { return &c.Version },
		name:    func(c studio.Camera) string { return c.Name },
		typed: func(c studio.Camera, sys measure.System) map[string]string {
			return map[string]string{"name": c.Name, "back": c.Back.String(), "shortest": typedLength(c.Shortest, sys), "longest": typedLength(c.Longest, sys),
				"note": c.Note, "retired": yesNo(c.Retired), "version": strconv.Itoa(c.Version),
				"rise": typedLength(c.Rise, sys), "fall": typedLength(c.Fall, sys), "shift": typedLength(c.Shift, sys),
				"front_tilt": typedDegrees(c.FrontTilt), "front_swing": typedDegrees(c.FrontSwing), "back_tilt": typedDegrees(c.BackTilt),
				"back_swing": typedDegrees(c.BackSwing), "base_tilt": yesNo(c.BaseTilt)}
		},
		read: func(f *form, c studio.Camera) studio.Camera {
			f.need("back", "write it as whole plate or 13x18 cm")
			f.need("shortest", "write it as 80 mm or 3 in")
			f.need("longest", "write it as 600 mm or 24 in")
			c.Name, c.Note = f.text("name"), f.text("note")
			c.Back, c.Shortest, c.Longest = f.plateSize("back"), f.length("shortest"), f.length("longest")
			c.Rise, c.Fall, c.Shift = f.length("rise"), f.length("fall"), f.length("shift")
			c.FrontTilt, c.FrontSwing = f.angle("front_tilt", 0, studio.MostTurn), f.angle("front_swing", 0, studio.MostTurn)
			c.BackTilt, c.BackSwing = f.angle("back_tilt", 0, studio.MostTurn), f.angle("back_swing", 0, studio.MostTurn)
			c.BaseTilt = f.oneOf("base_tilt", "yes", "no") == "yes"
			c.Retired = f.retired(c.Retired)
			return c
		},
	}
}

func (s *Server) holderKind() recordKind[studio.Holder] {
	return recordKind[studio.Holder]{
		one: "holder", path: "/floor/holders", room: shared.Floor, list: "All holders",
		fields: []field{
			{FieldData: shared.FieldData{Name: "name", Label: "Name", Hint: "as it is marked", Required: true}},
			{FieldData: shared.FieldData{Name: "size", Label: "Plate it takes", Hint: "half plate, 13x18 cm", Required: true}},
			{FieldData: shared.FieldData{Name: "note", Label: "Note", Lines: 3}, wide: true},
			retiredField(),
		},
		find: s.cfg.Studio.Holder, add: s.cfg.Studio.AddHolder, change: s.cfg.Studio.ChangeHolder,
		version: func(h *studio.Holder) *int { return &h.Version },
		name:    func(h studio.Holder) string { return h.Name },
		typed: func(h studio.Holder, _ measure.System) map[string]string {
			return map[string]string{"name": h.Name, "size": h.Size.String(), "note": h.Note, "retired": yesNo(h.Retired), "version": strconv.Itoa(h.Version)}
		},
		read: func(f *form, h studio.Holder) studio.Holder {
			f.need("size", "write it as half plate or 13x18 cm")
			h.Name, h.Note, h.Size = f.text("name"), f.text("note"), f.plateSize("size")
			h.Retired = f.retired(h.Retired)
			return h
		},
	}
}

// lenses answers GET /floor/lenses.
func (s *Server) lenses(w http.ResponseWriter, r *http.Request) error {
	all, err := s.cfg.Studio.Lenses(r.Context())
	if err != nil {
		return err
	}
	sys, err := s.system(r)
	if err != nil {
		return err
	}
	retiredLast(all, func(l studio.Lens) bool { return l.Retired })
	t := shared.TableData{
		Caption: "Lenses", Empty: "No lens is written down yet. The floor plans a plate with the first.",
		Columns: []shared.Column{{Word: "Lens"}, {Word: "Form"}, {Word: "Focal length", Figures: true}, {Word: "Stops"}, {Word: "Circle", Figures: true}, {Word: "Use"}},
	}
	for _, l := range all {
		t.Rows = append(t.Rows, shared.Row{Cells: []shared.Cell{
			{Text: l.Name, Href: "/floor/lenses/" + string(l.ID), Name: true}, {Text: l.Form}, {Text: shownLength(l.Focal, sys)},
			{Text: stopsRange(l.Stops)}, {Text: shownLength(l.Circle, sys)}, {Text: use(l.Retired)},
		}})
	}
	return s.showEquipment(w, r, "Lenses", t, "/floor/lenses", "Write down a lens")
}

// stopsRange says a lens's stops shortly: "f/3.6 to f/11, 5 stops".
func stopsRange(stops []studio.Stop) string {
	if len(stops) == 0 {
		return ""
	}
	first, last := stops[0].FNumber, stops[len(stops)-1].FNumber
	if len(stops) == 1 {
		return first.String()
	}
	return fmt.Sprintf("%s to %s, %d of them", first, last, len(stops))
}

// cameras answers GET /floor/cameras.
func (s *Server) cameras(w http.ResponseWriter, r *http.Request) error {
	all, err := s.cfg.Studio.Cameras(r.Context())
	if err != nil {
		return err
	}
	sys, err := s.system(r)
	if err != nil {
		return err
	}
	retiredLast(all, func(c studio.Camera) bool { return c.Retired })
	t := shared.TableData{
		Caption: "Cameras", Empty: "No camera is written down yet.",
		Columns: []shared.Column{{Word: "Camera"}, {Word: "Back"}, {Word: "Shortest", Figures: true}, {Word: "Longest", Figures: true}, {Word: "Use"}},
	}
	for _, c := range all {
		t.Rows = append(t.Rows, shared.Row{Cells: []shared.Cell{
			{Text: c.Name, Href: "/floor/cameras/" + string(c.ID), Name: true}, {Text: measure.Thin(sizeText(c.Back, sys))},
			{Text: shownLength(c.Shortest, sys)}, {Text: shownLength(c.Longest, sys)}, {Text: use(c.Retired)},
		}})
	}
	return s.showEquipment(w, r, "Cameras", t, "/floor/cameras", "Write down a camera")
}

// holders answers GET /floor/holders.
func (s *Server) holders(w http.ResponseWriter, r *http.Request) error {
	all, err := s.cfg.Studio.Holders(r.Context())
	if err != nil {
		return err
	}
	sys, err := s.system(r)
	if err != nil {
		return err
	}
	retiredLast(all, func(h studio.Holder) bool { return h.Retired })
	t := shared.TableData{
		Caption: "Holders", Empty: "No holder is written down yet.",
		Columns: []shared.Column{{Word: "Holder"}, {Word: "Plate it takes"}, {Word: "Note"}, {Word: "Use"}},
	}
	for _, h := range all {
		t.Rows = append(t.Rows, shared.Row{Cells: []shared.Cell{
			{Text: h.Name, Href: "/floor/holders/" + string(h.ID), Name: true}, {Text: measure.Thin(sizeText(h.Size, sys))}, {Text: h.Note}, {Text: use(h.Retired)},
		}})
	}
	return s.showEquipment(w, r, "Holders", t, "/floor/holders", "Write down a holder")
}

func (s *Server) showEquipment(w http.ResponseWriter, r *http.Request, title string, t shared.TableData, path, newWord string) error {
	l := equipment.List{Kinds: equipmentKinds(path), Table: t, NewHref: path + "/new", NewWord: newWord}
	page := shared.PageData{Room: shared.Floor, Title: title, Lead: "What plates are planned with.", Styles: []string{"equipment.css"}}
	return s.show(w, r, page, equipment.ListScreen(l))
}

// equipmentKinds leads to the lists of all kinds of equipment.
func equipmentKinds(here string) []equipment.Kind {
	var all []equipment.Kind
	for _, k := range []struct{ word, href string }{{"Lenses", "/floor/lenses"}, {"Cameras", "/floor/cameras"}, {"Holders", "/floor/holders"},
		{"Windows", "/floor/windows"}, {"Flash rigs", "/floor/rigs"}, {"Spectra", "/floor/spectra"}, {"Speeds found", "/floor/speeds"},
		{"Bench", "/floor/bench"}, {"Choose a lens", "/floor/choose"}} {
		all = append(all, equipment.Kind{Word: k.word, Href: k.href, Here: k.href == here})
	}
	return all
}

// retiredLast puts what is retired behind what is in use.
func retiredLast[T any](all []T, retired func(T) bool) {
	slices.SortStableFunc(all, func(a, b T) int {
		switch {
		case !retired(a) && retired(b):
			return -1
		case retired(a) && !retired(b):
			return 1
		}
		return 0
	})
}

// use says whether a thing is still offered.
func use(retired bool) string {
	if retired {
		return "retired"
	}
	return "in use"
}

// shownLength is a length as screens show it; nothing for one that is unknown.
func shownLength(l measure.Length, sys measure.System) string {
	if l == 0 {
		return ""
	}
	return measure.Thin(l.Format(sys))
}
