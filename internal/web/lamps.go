package web

import (
	"context"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"path"
	"slices"
	"strconv"
	"strings"

	"platewright/internal/studio"
	"platewright/internal/web/screens/equipment"
	"platewright/internal/web/shared"
	"platewright/light"
	"platewright/light/flash"
	"platewright/measure"
)

func (s *Server) lampRoutes() {
	s.handle("GET /floor/windows", s.windows)
	s.handle("GET /floor/rigs", s.rigs)
	s.handle("GET /floor/spectra", s.spectra)
	s.handle("POST /floor/spectra/file", s.spectrumFile)
	handleRecords(s, s.windowKind())
	handleRecords(s, s.rigKind())
	handleRecords(s, s.spectrumKind())
	s.foundRoutes()
}

// percent is a share written in hundredths.
func (f *form) percent(name string) float64 {
	return read(f, name, func(s string) (float64, error) {
		v, err := measure.ParseNumber(strings.TrimSpace(strings.TrimSuffix(s, "%")))
		if err != nil {
			return 0, err
		}
		return v / 100, measure.Within("share", v, 0, 100, "%")
	}, func(v float64) string { return figureOf(100*v, 4) + "\u2009%" })
}

func typedPercent(share float64) string { return figureOf(100*share, 6) }

// figureIn is a plain number behind which its unit may stand, in any of its spellings.
func (f *form) figureIn(name, unit string, spelt ...string) float64 {
	return read(f, name, func(s string) (float64, error) {
		for _, u := range spelt {
			if rest, ok := strings.CutSuffix(strings.ToLower(s), u); ok {
				s = rest
				break
			}
		}
		return measure.ParseNumber(strings.TrimSpace(s))
	}, func(v float64) string { return figureOf(v, 6) + "\u2009" + unit })
}

func (s *Server) windowKind() recordKind[studio.Window] {
	return recordKind[studio.Window]{
		one: "window", path: "/floor/windows", room: shared.Floor, list: "All windows",
		fields: []field{
			{FieldData: shared.FieldData{Name: "name", Label: "Name", Hint: "as you call it", Required: true}},
			{FieldData: shared.FieldData{Name: "facing", Label: "It looks out to", Hint: "N, north-east, or degrees from true north over east: 352. A compass needle shows another north; a map shows this one", Required: true}},
			{FieldData: shared.FieldData{Name: "width", Label: "Width of the glass", Hint: "without the frame", Required: true}, metric: "mm", imperial: "in"},
			{FieldData: shared.FieldData{Name: "height", Label: "Height of the glass", Required: true}, metric: "mm", imperial: "in"},
			{FieldData: shared.FieldData{Name: "sill", Label: "Lower edge of the glass above the floor", Hint: "empty when it reaches the floor"}, metric: "mm", imperial: "in"},
			{FieldData: shared.FieldData{Name: "distance", Label: "Where a sitter usually sits", Hint: "square from the glass", Required: true}, metric: "mm", imperial: "in"},
			{FieldData: shared.FieldData{Name: "sky_share", Label: "Open sky in its view", Hint: "seen from the sitter's place, of all above the horizon: what houses and trees leave; 100 with nothing before it", Required: true}, metric: "%", imperial: "%"},
			{FieldData: shared.FieldData{Name: "glazing", Label: "Glass"}, choice: glazings(), listed: true},
			{FieldData: shared.FieldData{Name: "blind", Label: "Direct sun"}, wide: true, choice: []shared.Option{
				{Value: "no", Word: "comes in", Note: "when it stands before the window"}, {Value: "yes", Word: "is kept out", Note: "by a blind or a white cloth"}}},
			{FieldData: shared.FieldData{Name: "note", Label: "Note", Lines: 3}, wide: true},
			retiredField(),
		},
		names: map[string]string{"facing_deg": "facing", "width_mm": "width", "height_mm": "height", "sill_mm": "sill", "distance_mm": "distance"},
		fresh: func(*http.Request) map[string]string {
			return map[string]string{"glazing": light.WindowGlass, "blind": "no", "sky_share": "100"}
		},
		find: s.cfg.Studio.Window, add: s.cfg.Studio.AddWindow, change: s.cfg.Studio.ChangeWindow,
		version: func(w *studio.Window) *int { return &w.Version },
		name:    func(w studio.Window) string { return w.Name },
		typed: func(w studio.Window, sys measure.System) map[string]string {
			return map[string]string{"name": w.Name, "facing": figureOf(w.Facing.Degrees(), 6), "width": typedLength(w.Width, sys), "height": typedLength(w.Height, sys),
				"sill": typedLength(w.Sill, sys), "distance": typedLength(w.Distance, sys), "sky_share": typedPercent(w.SkyShare), "glazing": w.Glazing,
				"blind": yesNo(w.Blind), "note": w.Note, "retired": yesNo(w.Retired), "version": strconv.Itoa(w.Version)}
		},
		read: func(f *form, w studio.Window) studio.Window {
			f.need("facing", "write it as N, north-east or 352")
			f.need("width", "write it as 1.2 m or 48 in")
			f.need("height", "write it as 1.8 m or 72 in")
			f.need("distance", "write it as 1.5 m or 5 ft")
			f.need("sky_share", "write it as 70; 100 when nothing stands before the window")
			w.Name, w.Note = f.text("name"), f.text("note")
			w.Facing = read(f, "facing", measure.ParseFacing, measure.FormatFacing)
			w.Width, w.Height, w.Sill, w.Distance = f.length("width"), f.length("height"), f.length("sill"), f.length("distance")
			w.SkyShare = f.percent("sky_share")
			w.Glazing = f.oneOf("glazing", valuesOf(glazings())...)
			w.Blind = f.oneOf("blind", "yes", "no") == "yes"
			w.Retired = f.retired(w.Retired)
			return w
		},
	}
}

// glazings are what may stand in a window.
func glazings() []shared.Option {
	return []shared.Option{
		{Value: light.WindowGlass, Word: "plain window glass"}, {Value: light.Laminated, Word: "laminated safety glass", Note: "keeps much of the ultraviolet out"},
		{Value: light.Acrylic, Word: "acrylic sheet", Note: "that keeps the ultraviolet out"}, {Value: light.NoGlass, Word: "none", Note: "open"},
	}
}

// windows answers GET /floor/windows.
func (s *Server) windows(w http.ResponseWriter, r *http.Request) error {
	all, err := s.cfg.Studio.Windows(r.Context())
	if err != nil {
		return err
	}
	sys, err := s.system(r)
	if err != nil {
		return err
	}
	retiredLast(all, func(w studio.Window) bool { return w.Retired })
	t := shared.TableData{
		Caption: "Windows", Empty: "No window is written down yet. With the first, and the studio's place on the earth, window light is reckoned by the hour.",
		Columns: []shared.Column{{Word: "Window"}, {Word: "Looks out to"}, {Word: "Width", Figures: true}, {Word: "Height", Figures: true}, {Word: "Open sky", Figures: true}, {Word: "Sitter at", Figures: true}, {Word: "Use"}},
	}
	for _, v := range all {
		t.Rows = append(t.Rows, shared.Row{Cells: []shared.Cell{
			{Text: v.Name, Href: "/floor/windows/" + string(v.ID), Name: true}, {Text: measure.FormatFacing(v.Facing)}, {Text: shownLength(v.Width, sys)},
			{Text: shownLength(v.Height, sys)}, {Text: figureOf(100*v.SkyShare, 3) + "\u2009%"}, {Text: shownLength(v.Distance, sys)}, {Text: use(v.Retired)},
		}})
	}
	return s.showEquipment(w, r, "Windows", t, "/floor/windows", "Write down a window")
}

// tubeOptions are the tubes of a flash head.
func tubeOptions() []shared.Option {
	return []shared.Option{
		{Value: string(light.ClearTube), Word: "clear", Note: "colourless glass or quartz"},
		{Value: string(light.PartUV), Word: "part UV", Note: "behind plain glass or a dome"},
		{Value: string(light.UVCut), Word: "UV cut", Note: "a gold or amber tube, front or dome"},
	}
}

func spreadOptions() []shared.Option {
	return []shared.Option{
		{Value: string(flash.Reflector), Word: "reflector"}, {Value: string(flash.Softbox), Word: "softbox"},
		{Value: string(flash.Umbrella), Word: "umbrella"}, {Value: string(flash.Bare), Word: "nothing", Note: "the bare tube"},
	}
}

// headField is the name of a field of one head of the form, counted from 0.
func headField(head int, name string) string { return fmt.Sprintf("h%d_%s", head+1, name) }

// headFields are the lines of one head, by what they are called in it.
func headFields(head int) []field {
	group := fmt.Sprintf("Head %d", head+1)
	at := func(f field) field {
		f.Name, f.group = headField(head, f.Name), group
		return f
	}
	return []field{
		at(field{FieldData: shared.FieldData{Name: "name", Label: "Name", Hint: "key, fill, hair; empty when there is no such head"}}),
		at(field{FieldData: shared.FieldData{Name: "energy", Label: "Energy of one pop", Hint: "as set, not as stamped: 1200"}, metric: "J", imperial: "J"}),
		at(field{FieldData: shared.FieldData{Name: "tube", Label: "Its tube", Hint: "1.5 stops lie between them: look for gold or amber on tube, dome or front"}, choice: tubeOptions(), listed: true}),
		at(field{FieldData: shared.FieldData{Name: "spread", Label: "Before the tube"}, choice: spreadOptions(), listed: true}),
		at(field{FieldData: shared.FieldData{Name: "gain", Label: "Gain of reflector or umbrella", Hint: "light on the axis over the bare tube: an 18 cm reflector 4 to 6, an umbrella 1 to 2; common practice, measure yours"}}),
		at(field{FieldData: shared.FieldData{Name: "width", Label: "Width of the lit face", Hint: "of a softbox; of a round one across; of an umbrella when known"}, metric: "mm", imperial: "in"}),
		at(field{FieldData: shared.FieldData{Name: "height", Label: "Height of the softbox", Hint: "empty when it is round"}, metric: "mm", imperial: "in"}),
		at(field{FieldData: shared.FieldData{Name: "through", Label: "Light that leaves the softbox", Hint: "of all its tube gives; 60 is a fair guess"}, metric: "%", imperial: "%"}),
		at(field{FieldData: shared.FieldData{Name: "distance", Label: "To the sitter's face", Hint: "from the lit face, straight"}, metric: "mm", imperial: "in"}),
		at(field{FieldData: shared.FieldData{Name: "angle", Label: "Round the sitter", Hint: "from the camera, to your right; with a minus to your left; 180 behind the sitter"}, metric: "°", imperial: "°"}),
		at(field{FieldData: shared.FieldData{Name: "above", Label: "Above the face", Hint: "with a minus below"}, metric: "mm", imperial: "in"}),
		at(field{FieldData: shared.FieldData{Name: "pops", Label: "Pops for one plate", Hint: "empty for one"}}),
		at(field{FieldData: shared.FieldData{Name: "efficacy", Label: "Light from a joule", Hint: fmt.Sprintf("lumen-seconds; makers tell %g to %g, %g where nothing is known", flash.LeastEfficacy, flash.MostEfficacy, flash.UsualEfficacy)}, metric: "lm\u00a0s", imperial: "lm\u00a0s"}),
	}
}

// headNames are the studio's names of a head's fields and the form's.
var headNames = map[string]string{"name": "name", "energy_j": "energy", "efficacy_lm_s_per_j": "efficacy", "tube": "tube", "spread": "spread", "gain": "gain", "width_mm": "width",
	"height_mm": "height", "through": "through", "distance_mm": "distance", "angle_deg": "angle", "above_mm": "above", "pops": "pops"}

func (s *Server) rigKind() recordKind[studio.Rig] {
	k := recordKind[studio.Rig]{
		one: "flash rig", path: "/floor/rigs", room: shared.Floor, list: "All flash rigs",
		fields: []field{
			{FieldData: shared.FieldData{Name: "name", Label: "Name", Hint: "as you call it", Required: true}},
		},
		more: "What throws light back",
		names: map[string]string{"heads": headField(0, "energy"), "room_m2": "room_surface", "board_width_mm": "board_width", "board_height_mm": "board_height",
			"board_distance_mm": "board_distance", "board_angle_deg": "board_angle"},
		fresh: func(*http.Request) map[string]string {
			return map[string]string{headField(0, "name"): "key", headField(0, "efficacy"): figureOf(flash.UsualEfficacy, 3)}
		},
		find: s.cfg.Studio.Rig, add: s.cfg.Studio.AddRig, change: s.cfg.Studio.ChangeRig,
		version: func(g *studio.Rig) *int { return &g.Version },
		name:    func(g studio.Rig) string { return g.Name },
		typed:   rigTyped, read: readRig,
		aside: func(_ shared.Form, g *studio.Rig) equipment.Way {
			if g == nil {
				return equipment.Way{}
			}
			return equipment.Way{Word: "What it gives at the face, its readings, and what falls on the eyes", Href: "/floor/rigs/" + string(g.ID) + "/readings"}
		},
		beware: func(g *studio.Rig) []shared.CautionData {
			if g == nil {
				return flashCautions(flash.Rig{Heads: []flash.Head{{Tube: light.ClearTube, Distance: 2 * flash.Near}}})
			}
			return flashCautions(g.Flash(studio.RigGiven{}))
		},
	}
	for i := range studio.MostHeads {
		k.fields = append(k.fields, headFields(i)...)
		for theirs, ours := range headNames {
			k.names[studio.HeadField(i, theirs)] = headField(i, ours)
		}
	}
	k.fields = append(k.fields,
		field{FieldData: shared.FieldData{Name: "board_width", Label: "White board: width", Hint: "empty when there is none"}, metric: "mm", imperial: "in", more: true},
		field{FieldData: shared.FieldData{Name: "board_height", Label: "Its height"}, metric: "mm", imperial: "in", more: true},
		field{FieldData: shared.FieldData{Name: "board_distance", Label: "From its middle to the face"}, metric: "mm", imperial: "in", more: true},
		field{FieldData: shared.FieldData{Name: "board_angle", Label: "Round the sitter", Hint: "as of a head"}, metric: "°", imperial: "°", more: true},
		field{FieldData: shared.FieldData{Name: "board_reflects", Label: "Light it throws back", Hint: "white paint 80, grey card 18"}, metric: "%", imperial: "%", more: true},
		field{FieldData: shared.FieldData{Name: "room_surface", Label: "Walls, floor and ceiling together", Hint: "empty when they are dark or far"}, metric: "m²", imperial: "m²", more: true},
		field{FieldData: shared.FieldData{Name: "room_reflects", Label: "Light they throw back", Hint: "in the mean: white room 60, mixed 30"}, metric: "%", imperial: "%", more: true},
		field{FieldData: shared.FieldData{Name: "note", Label: "Note", Lines: 3}, wide: true, more: true},
	)
	k.fields = append(k.fields, retiredField())
	return k
}

// flashCautions are what is to be thought of before a rig is fired, each once, in the order of its heads.
func flashCautions(g flash.Rig) []shared.CautionData {
	var all []string
	for _, h := range g.Heads {
		for _, say := range h.Cautions() {
			if !slices.Contains(all, say) {
				all = append(all, say)
			}
		}
	}
	if len(all) == 0 {
		return nil
	}
	all = append(all, "Doses are held against IEC 62471 and ICNIRP 2004 where the rig's readings stand; none of them is called safe.")
	return []shared.CautionData{{What: all[0], Do: strings.Join(all[1:], " "), Defer: "What the maker of the flash says"}}
}

func rigTyped(g studio.Rig, sys measure.System) map[string]string {
	typed := map[string]string{"name": g.Name, "note": g.Note, "retired": yesNo(g.Retired), "version": strconv.Itoa(g.Version)}
	if b := g.Board; b != (studio.RigBoard{}) {
		typed["board_width"], typed["board_height"], typed["board_distance"] = typedLength(b.Width, sys), typedLength(b.Height, sys), typedLength(b.Distance, sys)
		typed["board_angle"], typed["board_reflects"] = figureOf(b.Angle.Degrees(), 6), typedPercent(b.Reflects)
	}
	if g.RoomSurface > 0 {
		typed["room_surface"], typed["room_reflects"] = figureOf(g.RoomSurface, 6), typedPercent(g.RoomReflects)
	}
	for i, h := range g.Heads {
		set := func(name, text string) { typed[headField(i, name)] = text }
		set("name", h.Name)
		set("energy", figureOf(h.Energy, 6))
		set("efficacy", figureOf(h.Efficacy, 6))
		set("tube", string(h.Tube))
		set("spread", string(h.Spread))
		if h.Gain > 0 {
			set("gain", figureOf(h.Gain, 6))
		}
		set("width", typedLength(h.Width, sys))
		set("height", typedLength(h.Height, sys))
		if h.Through > 0 {
			set("through", typedPercent(h.Through))
		}
		set("distance", typedLength(h.Distance, sys))
		set("angle", figureOf(h.Angle.Degrees(), 6))
		set("above", typedLength(h.Above, sys))
		set("pops", strconv.Itoa(h.Pops))
	}
	return typed
}

func readRig(f *form, g studio.Rig) studio.Rig {
	g.Name, g.Note = f.text("name"), f.text("note")
	g.Heads = nil
	for i := range studio.MostHeads {
		at := func(name string) string { return headField(i, name) }
		if f.text(at("energy")) == "" && f.text(at("distance")) == "" && (i > 0 || f.text(at("name")) == "") {
			for _, field := range headNames {
				if f.text(at(field)) != "" {
					f.refuse(at("energy"), "is empty; write the energy of one pop, or empty the whole head")
				}
			}
			continue
		}
		if len(g.Heads) < i {
			f.refuse(at("energy"), "head %d stands empty before it; write the heads one after the other", len(g.Heads)+1)
			continue
		}
		f.need(at("energy"), "write the energy of one pop, as 1200")
		f.need(at("tube"), "choose one: 1.5 stops lie between them")
		f.need(at("spread"), "choose what stands before the tube")
		f.need(at("distance"), "write it as 1.2 m or 4 ft")
		h := studio.RigHead{Name: f.text(at("name")), Energy: f.figureIn(at("energy"), "J", "w s", "ws", "j"), Efficacy: f.number(at("efficacy")),
			Tube: light.Tube(f.oneOf(at("tube"), valuesOf(tubeOptions())...)), Spread: flash.Kind(f.oneOf(at("spread"), valuesOf(spreadOptions())...)),
			Width: f.length(at("width")), Height: f.length(at("height")), Distance: f.length(at("distance")), Above: f.signedLength(at("above")),
			Angle: f.angle(at("angle"), -180*measure.Degree, 180*measure.Degree), Pops: f.count(at("pops")), Gain: f.number(at("gain")), Through: f.percent(at("through"))}
		if f.text(at("efficacy")) == "" {
			h.Efficacy = flash.UsualEfficacy
		}
		if h.Name == "" {
			h.Name = fmt.Sprintf("head %d", i+1)
		}
		switch h.Spread {
		case flash.Reflector, flash.Umbrella:
			f.need(at("gain"), "write it as 5; an 18 cm reflector has 4 to 6, an umbrella 1 to 2")
		case flash.Softbox:
			f.need(at("width"), "a softbox has a size: write it as 80 cm")
			f.need(at("through"), "write it as 60 when you do not know")
		}
		g.Heads = append(g.Heads, h)
	}
	g.Board = studio.RigBoard{}
	if f.text("board_width") != "" || f.text("board_height") != "" || f.text("board_distance") != "" {
		g.Board = studio.RigBoard{Width: f.length("board_width"), Height: f.length("board_height"), Distance: f.length("board_distance"),
			Angle: f.angle("board_angle", -180*measure.Degree, 180*measure.Degree), Reflects: f.percent("board_reflects")}
	}
	g.RoomSurface, g.RoomReflects = f.figureIn("room_surface", "m²", "m²", "m2", "sq m"), f.percent("room_reflects")
	g.Retired = f.retired(g.Retired)
	return g
}

// rigs answers GET /floor/rigs.
func (s *Server) rigs(w http.ResponseWriter, r *http.Request) error {
	all, err := s.cfg.Studio.Rigs(r.Context())
	if err != nil {
		return err
	}
	retiredLast(all, func(g studio.Rig) bool { return g.Retired })
	t := shared.TableData{
		Caption: "Flash rigs", Empty: "No flash rig is written down yet. With the first, the floor reckons pops, energy and distance.",
		Columns: []shared.Column{{Word: "Rig"}, {Word: "Heads"}, {Word: "Energy", Figures: true}, {Word: "Tubes"}, {Word: "Gives at the face", Figures: true}, {Word: "Known by"}, {Word: "Use"}},
	}
	for _, g := range all {
		readings, err := s.rigReadings(r.Context(), g.ID)
		if err != nil {
			return err
		}
		given := studio.RigKnown(readings)
		gives := "not reckoned"
		if lit, err := g.Flash(given).At(); err == nil {
			gives = significant(float64(lit.Front), 3) + "\u2009lx\u2009s"
		}
		t.Rows = append(t.Rows, shared.Row{Cells: []shared.Cell{
			{Text: g.Name, Href: "/floor/rigs/" + string(g.ID), Name: true}, {Text: headsText(g.Heads)}, {Text: figureOf(g.Energy(), 5) + "\u2009J"}, {Text: tubesText(g)},
			{Text: gives, Href: "/floor/rigs/" + string(g.ID) + "/readings"}, {Text: given.Basis.Text}, {Text: use(g.Retired)},
		}})
	}
	return s.showEquipment(w, r, "Flash rigs", t, "/floor/rigs", "Write down a flash rig")
}

// significant writes a figure to so many significant digits, without an exponent.
func significant(v float64, digits int) string {
	short, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', digits, 64), 64)
	if err != nil {
		short = v
	}
	return strconv.FormatFloat(short, 'f', -1, 64)
}

func headsText(heads []studio.RigHead) string {
	var words []string
	for _, h := range heads {
		words = append(words, h.Name)
	}
	return strings.Join(words, ", ")
}

// tubesText says which tubes a rig has.
func tubesText(g studio.Rig) string {
	var words []string
	for _, h := range g.Heads {
		if !slices.Contains(words, string(h.Tube)) {
			words = append(words, string(h.Tube))
		}
	}
	return strings.Join(words, " and ")
}

// rigReadings are a rig's readings, their dates as they are told in the studio's place.
func (s *Server) rigReadings(ctx context.Context, rig studio.ID) ([]studio.RigReading, error) {
	readings, err := s.cfg.Studio.RigReadings(ctx, rig)
	for i := range readings {
		readings[i].Taken = readings[i].Taken.In(s.cfg.Location)
	}
	return readings, err
}

func (s *Server) spectrumKind() recordKind[studio.LightSpectrum] {
	return recordKind[studio.LightSpectrum]{
		one: "spectrum", path: "/floor/spectra", room: shared.Floor, list: "All spectra",
		fields: []field{
			{FieldData: shared.FieldData{Name: "name", Label: "Name", Hint: "the lamp, as you call it", Required: true}},
			{FieldData: shared.FieldData{Name: "csv", Label: "Its spectrum", Lines: 12, Required: true,
				Hint: "a line each: wavelength in nm and power, with a comma, semicolon or tab between; gaps of more than 20 nm are refused, lines that begin with # are passed over"}, wide: true},
			{FieldData: shared.FieldData{Name: "note", Label: "Note", Hint: "who measured it, with what, where", Lines: 3}, wide: true},
			retiredField(),
		},
		find: s.cfg.Studio.Spectrum, add: s.cfg.Studio.AddSpectrum, change: s.cfg.Studio.ChangeSpectrum,
		version: func(l *studio.LightSpectrum) *int { return &l.Version },
		name:    func(l studio.LightSpectrum) string { return l.Name },
		lead:    spectrumText,
		typed: func(l studio.LightSpectrum, _ measure.System) map[string]string {
			return map[string]string{"name": l.Name, "csv": l.CSV, "note": l.Note, "retired": yesNo(l.Retired), "version": strconv.Itoa(l.Version)}
		},
		read: func(f *form, l studio.LightSpectrum) studio.LightSpectrum {
			f.need("csv", "paste it, a line each: 450, 0.8")
			l.Name, l.CSV, l.Note = f.text("name"), f.text("csv"), f.text("note")
			l.Retired = f.retired(l.Retired)
			return l
		},
		beware: func(*studio.LightSpectrum) []shared.CautionData { return []shared.CautionData{ultravioletCaution()} },
	}
}

// ultravioletCaution stands where a lamp of one's own is written down, which may be one of ultraviolet.
func ultravioletCaution() shared.CautionData {
	return shared.CautionData{
		What:  "A lamp of near ultraviolet looks weak and is not: the eye neither sees it nor turns away, and some medicines and illnesses make skin and eyes sensitive to it.",
		Do:    "Ask before; glasses that stop ultraviolet for all who stand in it, and the lamp out between plates. A dose is told only from a meter at the face in W/m², and held against IEC 62471 and ICNIRP 2004; a spectrum alone tells none.",
		Defer: "What the maker of the lamp says",
	}
}

// spectrumText says a spectrum shortly.
func spectrumText(l studio.LightSpectrum) string {
	source, err := l.Source()
	if err != nil {
		return ""
	}
	first, last, step := source.Power.Bounds()
	text := fmt.Sprintf("%g to %g nm by %g nm", first, last, step)
	if kelvin, err := source.Power.CCT(); err == nil {
		text += fmt.Sprintf(", white of %s K", significant(kelvin, 3))
	}
	return text
}

// spectra answers GET /floor/spectra.
func (s *Server) spectra(w http.ResponseWriter, r *http.Request) error {
	return s.showSpectra(w, r, http.StatusOK, shared.Form{})
}

func (s *Server) showSpectra(w http.ResponseWriter, r *http.Request, status int, f shared.Form) error {
	all, err := s.cfg.Studio.Spectra(r.Context())
	if err != nil {
		return err
	}
	retiredLast(all, func(l studio.LightSpectrum) bool { return l.Retired })
	t := shared.TableData{
		Caption: "Spectra of lamps", Empty: "No spectrum is written down yet. One is needed only for a lamp of no common kind; it tells the plate's seconds from the meter's.",
		Columns: []shared.Column{{Word: "Lamp"}, {Word: "Spectrum"}, {Word: "Use"}},
	}
	for _, l := range all {
		t.Rows = append(t.Rows, shared.Row{Cells: []shared.Cell{
			{Text: l.Name, Href: "/floor/spectra/" + string(l.ID), Name: true}, {Text: spectrumText(l)}, {Text: use(l.Retired)},
		}})
	}
	u := equipment.Upload{Form: f, Action: "/floor/spectra/file", Here: "/floor/spectra", Cautions: []shared.CautionData{ultravioletCaution()},
		List: equipment.List{Kinds: equipmentKinds("/floor/spectra"), Table: t, NewHref: "/floor/spectra/new", NewWord: "Write down a spectrum"}}
	page := shared.PageData{Room: shared.Floor, Title: "Spectra", Lead: "Lamps that somebody measured.", Styles: []string{"equipment.css"}}
	return s.showStatus(w, r, status, page, equipment.UploadScreen(u))
}

// spectrumFile answers POST /floor/spectra/file: a spectrum is named after its file.
func (s *Server) spectrumFile(w http.ResponseWriter, r *http.Request) error {
	parts, err := r.MultipartReader()
	if err != nil {
		return unreadable(err)
	}
	f := &form{Form: shared.Form{Typed: url.Values{}, ReadAs: map[string]string{}, Choices: map[string]bool{}, Labels: map[string]string{"file": "The file"}}}
	var l studio.LightSpectrum
	for {
		part, err := parts.NextPart()
		if err == io.EOF {
			break
		}
		if err != nil {
			return unreadable(err)
		}
		if part.FormName() != "file" || part.FileName() == "" {
			continue
		}
		text, err := io.ReadAll(io.LimitReader(part, light.LongestCSV+1))
		if err != nil {
			return unreadable(err)
		}
		name := part.FileName()
		l = studio.LightSpectrum{Name: strings.TrimSuffix(name, path.Ext(name)), CSV: string(text)}
	}
	if l.Name == "" {
		f.refuse("file", "none was chosen; choose one, or write the spectrum down")
	} else {
		stored, err := s.cfg.Studio.AddSpectrum(r.Context(), l)
		if err == nil {
			http.Redirect(w, r, "/floor/spectra/"+string(stored.ID), http.StatusSeeOther)
			return nil
		}
		if err := f.take(err, map[string]string{"csv": "file", "name": "file"}); err != nil {
			return err
		}
	}
	return s.showSpectra(w, r, http.StatusUnprocessableEntity, f.Form)
}
