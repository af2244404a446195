package web

import (
	"context"
	"errors"
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"platewright/internal/studio"
	"platewright/internal/web/screens/floor"
	"platewright/internal/web/shared"
	"platewright/light"
	"platewright/measure"
)

// litBooks are the studio's records of light.
type litBooks struct {
	windows []studio.Window
	rigs    []studio.Rig
	spectra []studio.LightSpectrum
	profile studio.Profile
}

func (s *Server) litBooks(ctx context.Context) (litBooks, error) {
	windows, errWindow := s.cfg.Studio.Windows(ctx)
	rigs, errRig := s.cfg.Studio.Rigs(ctx)
	spectra, errSpectrum := s.cfg.Studio.Spectra(ctx)
	profile, errProfile := s.cfg.Studio.Profile(ctx)
	if errors.Is(errProfile, studio.ErrNotFound) {
		errProfile = nil
	}
	if err := errors.Join(errWindow, errRig, errSpectrum, errProfile); err != nil {
		return litBooks{}, fmt.Errorf("records of light: %w", err)
	}
	return litBooks{windows, rigs, spectra, profile}, nil
}

// litAsked is how the light of a plate is known, as the form says.
type litAsked struct {
	way      studio.LightingWay
	kind     light.Kind            // as told; empty: as the index was found in
	spectrum *studio.LightSpectrum // of the light, where it has one of its own
	card     *cardAsked
	window   *studio.Window // nil in open shade
	turn     float64        // degrees from the window's direction to the camera's, as the sitter sees them; to the right
	at       time.Time
	weather  string
	rig      *studio.Rig
	solve    string
	plate    studio.Number // the judged one
	profile  studio.Profile
}

// cardAsked is what a camera shows for a card.
type cardAsked struct {
	FNumber     float64 `json:"f_number"`
	Time        float64 `json:"time_s"`
	ISO         float64 `json:"iso"`
	Reflectance float64 `json:"reflectance_pct"`
}

// Values of the form.
const (
	openShade    = "open shade"
	ownSpectrum  = "spectrum:"
	skyClear     = "clear"
	skyHalf      = "half"
	skyOvercast  = "overcast"
	solveStop    = "stop"
	solvePops    = "pops"
	solveEnergy  = "energy"
	solveFarther = "distance"
)

func litWays() []string {
	var all []string
	for _, w := range studio.LightingWays() {
		all = append(all, string(w))
	}
	return all
}

// readLight reads how the light is known, and the exposure index.
func (p *planned) readLight(f *form, e onFloor) {
	l := litAsked{profile: e.light.profile, way: studio.LightingWay(f.oneOf("way", litWays()...))}
	if l.way == "" {
		l.way = studio.Metered
	}
	if p.ownIndex = f.text("index") != ""; p.ownIndex {
		p.index = f.number("index")
	}
	p.readMeter(f, &l)
	l.readKind(f, e.light.spectra)
	l.readWindow(f, e.light.windows)
	if r := chosen(f, "rig", e.light.rigs, func(r studio.Rig) studio.ID { return r.ID }); r != nil {
		l.rig = r
	} else if f.Problem("rig") == "" && len(e.light.rigs) > 0 {
		if i := slices.IndexFunc(e.light.rigs, func(r studio.Rig) bool { return !r.Retired }); i >= 0 {
			l.rig = &e.light.rigs[i]
			f.Typed.Set("rig", string(l.rig.ID))
		}
	}
	l.solve = f.oneOf("solve", solveStop, solvePops, solveEnergy, solveFarther)
	if l.solve == "" {
		l.solve = solvePops
		f.Typed.Set("solve", solvePops)
	}
	f.Choices["from_plate"] = true
	if text := f.text("from_plate"); text != "" {
		n, err := studio.ParseNumber(text)
		if err != nil {
			f.refuse("from_plate", "%v", err)
		}
		l.plate = n
	}
	p.lit = l
}

// readMeter reads a meter's or a camera's reading: lux, an exposure value, or a card.
func (p *planned) readMeter(f *form, l *litAsked) {
	if lx := float64(f.light("light_lx")); f.text("light_lx") != "" && f.Problem("light_lx") == "" {
		p.lightLx = &lx
	}
	if ev := f.ev("ev"); f.text("ev") != "" && f.Problem("ev") == "" {
		p.ev = &ev
	}
	if p.lightLx != nil && p.ev != nil {
		f.refuse("ev", "the light is given twice, in lux and as EV; clear one of the two")
		p.lightLx, p.ev = nil, nil
	}
	l.card = readCard(f)
	if l.card != nil && (p.lightLx != nil || p.ev != nil) {
		f.refuse("card_f", "the light is given twice, by a card and by a meter; clear one of the two")
		l.card = nil
	}
}

// readCard reads what a camera shows for a card; nothing where none of it is typed.
func readCard(f *form) *cardAsked {
	given := false
	for _, name := range []string{"card_f", "card_t", "card_iso"} {
		given = given || f.text(name) != ""
	}
	if !given {
		f.number("card_r") // so that it is told how it was read
		return nil
	}
	n := read(f, "card_f", measure.ParseFNumber, func(n measure.FNumber) string { return n.String() })
	c := cardAsked{FNumber: float64(n), Time: f.exposure("card_t").Seconds(), ISO: f.number("card_iso"), Reflectance: 100 * light.GreyCard}
	if f.text("card_r") != "" {
		c.Reflectance = f.number("card_r")
	}
	for _, name := range []string{"card_f", "card_t", "card_iso"} {
		if f.text(name) == "" {
			return nil // the part's line says that something is missing yet
		}
		if f.Problem(name) != "" {
			return nil
		}
	}
	return &c
}

// readKind reads the kind of the light: one of the list, or a spectrum of the studio's own.
func (l *litAsked) readKind(f *form, spectra []studio.LightSpectrum) {
	f.Choices["kind"] = true
	text := f.text("kind")
	if id, own := strings.CutPrefix(text, ownSpectrum); own {
		i := slices.IndexFunc(spectra, func(r studio.LightSpectrum) bool { return string(r.ID) == id })
		if i < 0 {
			f.refuse("kind", "is not among the studio's records; choose again")
			return
		}
		l.kind, l.spectrum = light.OwnSpectrum, &spectra[i]
		return
	}
	if text != "" && !light.Kind(text).Valid() {
		f.refuse("kind", "%q is no kind of light that is known; choose again", text)
		return
	}
	l.kind = light.Kind(text)
}

// readWindow reads the window, the sky and the moment.
func (l *litAsked) readWindow(f *form, windows []studio.Window) {
	f.Choices["window"] = true
	if f.text("window") == "" {
		f.Typed.Set("window", openShade)
		for _, w := range windows {
			if !w.Retired {
				f.Typed.Set("window", string(w.ID))
				break
			}
		}
	}
	if f.text("window") != openShade {
		l.window = chosen(f, "window", windows, func(w studio.Window) studio.ID { return w.ID })
	}
	if l.weather = f.oneOf("weather", skyClear, skyHalf, skyOvercast); l.weather == "" {
		l.weather = skyOvercast
		f.Typed.Set("weather", skyOvercast)
	}
	l.turn = readTurn(f)
	l.at = f.now
	day := f.day("at_day")
	if day.IsZero() {
		day = midnight(f.now)
	}
	switch {
	case f.text("at_time") != "":
		h := read(f, "at_time", parseHour, hourOfDay.String)
		l.at = time.Date(day.Year(), day.Month(), day.Day(), h.hour, h.minute, 0, 0, f.loc)
	case f.text("at_day") != "":
		now := f.now
		l.at = time.Date(day.Year(), day.Month(), day.Day(), now.Hour(), now.Minute(), 0, 0, f.loc)
	}
}

// readTurn reads how far the camera stands from the window's direction, in degrees.
func readTurn(f *form) float64 {
	return f.angle("window_turn", -180*measure.Degree, 180*measure.Degree).Degrees()
}

// lightChoices are what the part of the light offers.
func (s *Server) lightChoices(ctx context.Context, f *form, p planned, all litBooks) (floor.LightChoices, error) {
	c := floor.LightChoices{
		Ways: []shared.Option{{Value: string(studio.Metered), Word: "Meter"}, {Value: string(studio.ByWindow), Word: "Sky"},
			{Value: string(studio.ByFlash), Word: "Flash"}, {Value: string(studio.ByOldPlate), Word: "Own plate"}},
		Kinds:    litKindOptions(all.spectra, f.text("kind")),
		Windows:  windowOptions(all.windows, f.id("window")),
		Weathers: skyOptions(),
		Solves: []shared.Option{{Value: solvePops, Word: "Pops"}, {Value: solveStop, Word: "Stop"},
			{Value: solveFarther, Word: "Distance"}, {Value: solveEnergy, Word: "Energy"}},
		NoPlace: !all.profile.Placed,
	}
	for _, r := range all.rigs {
		if !r.Retired || r.ID == f.id("rig") {
			c.Rigs = append(c.Rigs, shared.Option{Value: string(r.ID), Word: r.Name, Note: rigNote(r)})
		}
	}
	if f.text("way") == "" {
		f.Typed.Set("way", string(studio.Metered))
	}
	var err error
	if p.lit.way == studio.ByOldPlate || f.text("plates_of") == "" {
		c.Plates, c.PlatesOf, err = s.judgedOptions(ctx, p, f.id("collodion"))
	}
	if f.text("from_plate") == "" && len(c.Plates) > 0 {
		f.Typed.Set("from_plate", c.Plates[0].Value)
	}
	return c, err
}

func litKindOptions(spectra []studio.LightSpectrum, now string) []shared.Option {
	options := []shared.Option{{Word: "As the index was found in"}}
	for _, k := range light.Kinds() {
		if note, steady := steadyKinds[k]; steady {
			options = append(options, shared.Option{Value: string(k), Word: upperFirst(string(k)), Note: note})
		}
	}
	for _, r := range spectra {
		if value := ownSpectrum + string(r.ID); !r.Retired || value == now {
			options = append(options, shared.Option{Value: value, Word: r.Name, Note: "a spectrum of your own"})
		}
	}
	return options
}

// steadyKinds are the kinds of light that a meter is held into, with what to know of them.
var steadyKinds = map[light.Kind]string{
	light.Sun: "direct, with its sky", light.Shade: "open, under a blue sky", light.Overcast: "a covered sky", light.AnyDaylight: "not told which",
	light.WindowLight: "daylight in a room", light.Tungsten: "filament lamps", light.Fluorescent: "tubes", light.WhiteLED: "white panels",
}

func windowOptions(windows []studio.Window, now studio.ID) []shared.Option {
	var options []shared.Option
	for _, w := range windows {
		if !w.Retired || w.ID == now {
			options = append(options, shared.Option{Value: string(w.ID), Word: w.Name, Note: "looks to " + measure.FormatFacing(w.Facing)})
		}
	}
	return append(options, shared.Option{Value: openShade, Word: "Open shade", Note: "half the sky before the face"})
}

func rigNote(r studio.Rig) string {
	kind, mixed := r.Kind()
	note := counted(len(r.Heads), "head") + ", " + figureOf(r.Energy(), 3) + "\u2009J, " + strings.TrimPrefix(string(kind), "flash, ")
	if mixed {
		note += " and others"
	}
	return note
}

// mostJudged is how many judged plates are offered.
const mostJudged = 12

// judgedOptions are the judged plates, those most like this one first, and what they are alike to.
func (s *Server) judgedOptions(ctx context.Context, p planned, collodion studio.ID) ([]shared.Option, string, error) {
	judged, err := s.cfg.Studio.Judged(ctx, studio.JudgedFilter{Most: 200})
	if err != nil {
		return nil, "", fmt.Errorf("judged plates: %w", err)
	}
	like := func(j studio.JudgedPlate) (n int) {
		plan := j.Plate.Plan
		for _, same := range []bool{plan.Lighting.Kind != "" && plan.Lighting.Kind == p.lit.kind, plan.Lighting.Kind != "" && plan.Lighting.Kind == p.lit.kind,
			plan.Lens == p.lens.ID, collodion != "" && plan.Collodion == collodion} {
			if same {
				n++
			}
		}
		return n
	}
	judged = slices.DeleteFunc(judged, func(j studio.JudgedPlate) bool { return j.Given <= 0 || j.Plate.Plan.Stop.FNumber <= 0 })
	slices.SortStableFunc(judged, func(a, b studio.JudgedPlate) int { return like(b) - like(a) })
	shown := judged[:min(mostJudged, len(judged))]
	for _, j := range judged[len(shown):] { // the one gone by stays in sight
		if j.Plate.Number == p.lit.plate {
			shown = append(slices.Clone(shown), j)
		}
	}
	var options []shared.Option
	for _, j := range shown {
		options = append(options, shared.Option{Value: j.Plate.Number.String(), Word: j.Plate.Number.String() + ", " + studio.VerdictWord(j.Verdict.Word), Note: s.judgedNote(j, p, collodion)})
	}
	return options, strings.Join([]string{"of", string(p.lens.ID), string(p.lit.kind), string(collodion)}, "|"), nil
}

func (s *Server) judgedNote(j studio.JudgedPlate, p planned, collodion studio.ID) string {
	plan := j.Plate.Plan
	parts := []string{measure.Thin(measure.FormatExposure(j.Given)), plan.Stop.FNumber.String()}
	if plan.Lens == p.lens.ID {
		parts = append(parts, "this lens")
	}
	if collodion != "" && plan.Collodion == collodion {
		parts = append(parts, "this batch")
	}
	if plan.Light != "" {
		parts = append(parts, plan.Light)
	} else if k := plan.Lighting.Kind; k != "" {
		parts = append(parts, string(k))
	}
	if !j.Exposed.IsZero() {
		parts = append(parts, shortDay(j.Exposed.In(s.cfg.Location), s.now()))
	}
	return strings.Join(parts, ", ")
}

// cardLine says what a camera showed for a card.
func cardLine(f *form, l litAsked) string {
	if c := l.card; c != nil {
		return "f/" + figureOf(c.FNumber, 3) + ", " + f.text("card_t") + "\u2009s, ISO " + strconv.FormatFloat(c.ISO, 'f', -1, 64) + ", card " + figureOf(c.Reflectance, 3) + "\u2009%"
	}
	for _, name := range []string{"card_f", "card_t", "card_iso"} {
		if f.text(name) != "" {
			return "f-number, time and ISO, all three"
		}
	}
	return "not used"
}

// setLight fills a form with how the light of the last plate was known: what stays as it was, and no reading.
func setLight(v url.Values, l studio.Lighting) {
	if l.Way == "" {
		return
	}
	v.Set("way", string(l.Way))
	switch {
	case l.Way == studio.ByWindow && l.Window == "":
		v.Set("window", openShade)
	case l.Window != "":
		v.Set("window", string(l.Window))
	case l.Rig != "":
		v.Set("rig", string(l.Rig))
	case l.Spectrum != "":
		v.Set("kind", ownSpectrum+string(l.Spectrum))
	case steadyKinds[l.Kind] != "":
		v.Set("kind", string(l.Kind))
	}
}
