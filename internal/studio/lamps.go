package studio

import (
	"fmt"
	"slices"
	"strings"

	"platewright/light"
	"platewright/light/flash"
	"platewright/light/sky"
	"platewright/measure"
)

// Window is an opening that light comes in by: what a day of window light is reckoned from.
type Window struct {
	ID       ID
	Name     string
	Facing   measure.Angle  // where it looks out, from true north over east, 0 to 360°
	Width    measure.Length // of the glass
	Height   measure.Length // of the glass
	Sill     measure.Length // lower edge of the glass above the floor
	SkyShare float64        // share of its view that is open sky, 0 to 1
	Glazing  string         // name of the glass in package light; [light.NoGlass] for an open one
	Distance measure.Length // where a sitter usually sits, square from the glass
	Blind    bool           // a blind or a cloth keeps the direct sun out
	Note     string
	Retired  bool
	Stamp
}

// MostHeads is how many heads a rig may have.
const MostHeads = 6

// Bounds of what is kept of windows and flash rigs.
const (
	leastOpening = 100     // mm
	mostOpening  = 20_000  // mm
	farthestLamp = 30_000  // mm
	nearestLamp  = 100     // mm
	mostEnergy   = 20_000  // J in one pop of one head
	mostPops     = 500     // of one head for one plate
	mostCSV      = 200_000 // bytes of a spectrum's text
)

func (w Window) check() error {
	var ps problems
	ps.name("name", w.Name)
	ps.text("note", w.Note, 4000)
	ps.within("facing_deg", measure.Within("facing", w.Facing.Degrees(), 0, 360, "°"))
	ps.within("width_mm", measure.Within("width", float64(w.Width), leastOpening, mostOpening, "mm"))
	ps.within("height_mm", measure.Within("height", float64(w.Height), leastOpening, mostOpening, "mm"))
	ps.within("sill_mm", measure.Within("sill", float64(w.Sill), 0, mostOpening, "mm"))
	ps.within("sky_share", measure.Within("share of sky", w.SkyShare, 0, 1, ""))
	ps.within("distance_mm", measure.Within("distance", float64(w.Distance), nearestLamp, farthestLamp, "mm"))
	if _, err := light.FilterOf(w.Glazing); err != nil {
		ps.add("glazing", "%v", err)
	}
	return ps.err()
}

// Check is [Lens.Check] for a window.
func (w Window) Check() error { return readyWindow(w).check() }

// Sky returns the window as package sky reckons with it, for a face whose eyes are so high above the floor.
func (w Window) Sky(eyes measure.Length) sky.Window {
	return sky.Window{Facing: w.Facing, Width: w.Width, Height: w.Height, Sill: w.Sill - eyes, SkyShare: w.SkyShare, Glazing: w.Glazing, NoSun: w.Blind}
}

// SeatedEyes is how high the eyes of a seated sitter are taken above the floor where no pose tells: common practice, no
// source.
const SeatedEyes = 1200 * measure.Millimetre

func readyWindow(w Window) Window {
	w.Name = tidy(w.Name)
	if w.Glazing == "" {
		w.Glazing = light.WindowGlass
	}
	return w
}

// RigHead is one flash head of a rig, where it stands when a plate is made.
type RigHead struct {
	Name     string
	Energy   float64        // J from one pop
	Efficacy float64        // lm s from a J: 15 to 45 of xenon
	Tube     light.Tube     // what it lets out of its ultraviolet
	Spread   flash.Kind     // what stands before the tube
	Gain     float64        // of a reflector or umbrella: on its axis over the bare tube
	Width    measure.Length // of a softbox, a round one's diameter; of a reflector or umbrella 0 when unknown
	Height   measure.Length // of a softbox; 0 when it is round
	Through  float64        // share of the tube's light that leaves a softbox, to 1
	Distance measure.Length // from its front to the sitter's face
	Angle    measure.Angle  // of its place round the sitter, from the camera, to the photographer's right
	Above    measure.Length // the sitter's face; negative below
	Pops     int            // for one plate
}

// RigBoard is a white board or cloth that throws light back on the sitter's face. The zero value is none.
type RigBoard struct {
	Width, Height measure.Length
	Distance      measure.Length // from its middle to the sitter's face
	Angle         measure.Angle  // as of a head
	Reflects      float64        // share of the light that falls on it, 0 to 1
}

// Rig is a set of flash heads as they stand for a plate, and what throws their light back.
type Rig struct {
	ID           ID
	Name         string
	Heads        []RigHead
	Board        RigBoard
	RoomSurface  float64 // of walls, floor and ceiling together, m²; 0 when the room gives nothing back
	RoomReflects float64 // share of the light that falls on them, below 1
	Note         string
	Retired      bool
	Stamp
}

// Energy is what all heads use for one plate, all pops together, in J.
func (r Rig) Energy() float64 {
	sum := 0.0
	for _, h := range r.Heads {
		sum += h.Energy * float64(h.Pops)
	}
	return sum
}

// Kind is the class of light of the rig: that of the tubes when they are all alike, else that of the head that
// gives most, which is a guess and told as one by mixed.
func (r Rig) Kind() (kind light.Kind, mixed bool) {
	most := -1.0
	for i, h := range r.Heads {
		if given := h.Energy * h.Efficacy * float64(h.Pops); given > most {
			most, kind = given, h.Tube.Kind()
		}
		mixed = mixed || i > 0 && h.Tube != r.Heads[0].Tube
	}
	return kind, mixed
}

// Flash returns the rig as package flash reckons with it, its heads trimmed by what was found of it.
func (r Rig) Flash(given RigGiven) flash.Rig {
	out := flash.Rig{}
	for _, h := range r.Heads {
		out.Heads = append(out.Heads, flash.Head{
			Name: h.Name, Energy: flash.Joules(h.Energy), Efficacy: h.Efficacy, Tube: h.Tube,
			Spread:   flash.Spread{Kind: h.Spread, Gain: h.Gain, Width: h.Width, Height: h.Height, Round: h.Height == 0, Efficiency: h.Through},
			Distance: h.Distance, Angle: h.Angle, Above: h.Above, Pops: h.Pops, Trim: given.Error,
		})
	}
	if b := r.Board; b != (RigBoard{}) {
		out.Boards = []flash.Board{{Name: "board", Width: b.Width, Height: b.Height, Distance: b.Distance, Angle: b.Angle, Reflectance: b.Reflects}}
	}
	if r.RoomSurface > 0 {
		out.Room = &flash.Room{Surface: r.RoomSurface, Reflectance: r.RoomReflects}
	}
	return out
}

// Reckoned returns what is reckoned of the rig at the sitter's face, toward the camera, with nothing that was found of it.
func (r Rig) Reckoned() (light.LuxSeconds, error) {
	lit, err := r.Flash(RigGiven{}).At()
	return lit.Front, err
}

func (r Rig) check() error {
	var ps problems
	ps.name("name", r.Name)
	ps.text("note", r.Note, 4000)
	switch n := len(r.Heads); {
	case n == 0:
		ps.add("heads", "are missing; a rig has at least one head")
	case n > MostHeads:
		ps.add("heads", "%d are more than the %d a rig may have", n, MostHeads)
	}
	for i, h := range r.Heads {
		h.check(&ps, func(field string) string { return HeadField(i, field) })
	}
	r.Board.check(&ps)
	if r.RoomSurface != 0 {
		ps.within("room_m2", measure.Within("surface of the room", r.RoomSurface, 1, 1e5, "m²"))
	} else if r.RoomReflects != 0 {
		ps.add("room_m2", "is empty; walls that throw light back have a surface, all of them with floor and ceiling")
	}
	ps.within("room_reflects", measure.Within("share of light the room throws back", r.RoomReflects, 0, 0.95, ""))
	return ps.err()
}

// HeadField is the name that a field of a rig's head has among problems: "heads.0.energy_j".
func HeadField(head int, field string) string { return fmt.Sprintf("heads.%d.%s", head, field) }

func (h RigHead) check(ps *problems, at func(string) string) {
	ps.name(at("name"), h.Name)
	within := func(field, what string, v, low, high float64, unit string) {
		ps.within(at(field), measure.Within(what, v, low, high, unit))
	}
	within("energy_j", "energy", h.Energy, 1, mostEnergy, "J")
	within("efficacy_lm_s_per_j", "efficacy", h.Efficacy, flash.LowestYield, flash.HighestYield, "lm s/J")
	if !slices.Contains(light.Tubes(), h.Tube) {
		ps.add(at("tube"), "%q is not known; clear, part UV or UV cut is: 1.5 stops lie between them", h.Tube)
	}
	switch h.Spread {
	case flash.Bare:
	case flash.Reflector, flash.Umbrella:
		within("gain", "gain", h.Gain, 0.1, flash.MostGain, "")
	case flash.Softbox:
		within("width_mm", "width", float64(h.Width), leastOpening, mostOpening, "mm")
		within("through", "share of light that comes through", h.Through, 0.01, 1, "")
	default:
		ps.add(at("spread"), "%q is not known; bare, reflector, umbrella or softbox is", h.Spread)
	}
	if h.Spread != flash.Softbox || h.Height != 0 {
		within("height_mm", "height", float64(h.Height), 0, mostOpening, "mm")
	}
	within("width_mm", "width", float64(h.Width), 0, mostOpening, "mm")
	within("distance_mm", "distance", float64(h.Distance), nearestLamp, farthestLamp, "mm")
	within("angle_deg", "angle", h.Angle.Degrees(), -180, 180, "°")
	within("above_mm", "height above the face", float64(h.Above), -float64(h.Distance), float64(h.Distance), "mm")
	within("pops", "pops", float64(h.Pops), 1, mostPops, "")
}

func (b RigBoard) check(ps *problems) {
	if b == (RigBoard{}) {
		return
	}
	ps.within("board_width_mm", measure.Within("width of the board", float64(b.Width), leastOpening, mostOpening, "mm"))
	ps.within("board_height_mm", measure.Within("height of the board", float64(b.Height), leastOpening, mostOpening, "mm"))
	ps.within("board_distance_mm", measure.Within("distance of the board", float64(b.Distance), nearestLamp, farthestLamp, "mm"))
	ps.within("board_angle_deg", measure.Within("angle of the board", b.Angle.Degrees(), -180, 180, "°"))
	ps.within("board_reflects", measure.Within("share of light the board throws back", b.Reflects, 0.01, 1, ""))
}

// Check is [Lens.Check] for a flash rig.
func (r Rig) Check() error { return readyRig(r).check() }

// readyRig tidies names, and leaves out of each head what does not belong to what stands before its tube.
func readyRig(r Rig) Rig {
	r.Name = tidy(r.Name)
	r.Heads = slices.Clone(r.Heads)
	for i := range r.Heads {
		h := &r.Heads[i]
		h.Name = tidy(h.Name)
		if h.Name == "" && len(r.Heads) == 1 {
			h.Name = "head"
		}
		if h.Pops == 0 {
			h.Pops = 1
		}
		if h.Spread == flash.Bare {
			h.Gain, h.Width, h.Height, h.Through = 0, 0, 0, 0
		}
		if h.Spread == flash.Softbox {
			h.Gain = 0
		} else {
			h.Height, h.Through = 0, 0
		}
	}
	return r
}

// LightSpectrum is the spectrum of a light that somebody measured, as it came.
type LightSpectrum struct {
	ID      ID
	Name    string
	CSV     string // two columns, wavelength in nm and power; as [light.ReadCSV] reads it
	Note    string
	Retired bool
	Stamp
}

func (l LightSpectrum) check() error {
	var ps problems
	ps.name("name", l.Name)
	ps.text("note", l.Note, 4000)
	if len(l.CSV) > mostCSV {
		ps.add("csv", "%d bytes are more than the %d allowed; 1 nm steps are enough", len(l.CSV), mostCSV)
	} else if s, err := light.ReadCSV(l.CSV); err != nil {
		ps.add("csv", "%v", err)
	} else if s.Lux() <= 0 {
		ps.add("csv", "holds no light that a meter sees, 360 to 830 nm; a lamp is compared with its meter reading, so give the visible part too")
	}
	return ps.err()
}

// Check is [Lens.Check] for a spectrum.
func (l LightSpectrum) Check() error { return readySpectrum(l).check() }

func readySpectrum(l LightSpectrum) LightSpectrum {
	l.Name = tidy(l.Name)
	l.CSV = strings.TrimSpace(strings.ReplaceAll(l.CSV, "\r\n", "\n"))
	return l
}

// Source returns the light of the record as package light has it.
func (l LightSpectrum) Source() (light.Source, error) {
	s, err := light.ReadCSV(l.CSV)
	if err != nil {
		return light.Source{}, fmt.Errorf("spectrum %s: %w", l.Name, err)
	}
	return light.Source{Name: l.Name, Kind: light.OwnSpectrum, Power: s, From: "measured by somebody, as it was handed in"}, nil
}
