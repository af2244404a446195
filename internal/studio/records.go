package studio

import (
	"fmt"
	"math"
	"strings"
	"time"

	"platewright/light/sky"
	"platewright/measure"
)

// ID names a record. It is opaque, made once and never reused.
type ID string

// Stamp is what every record carries for its keeping.
type Stamp struct {
	Created time.Time
	Changed time.Time
	Version int // 0 before it is stored, then 1 and one more with every change
}

// System is the studio's habit of units on screens and paper.
type System string

// The two habits. Stored quantities carry their units whatever the habit.
const (
	Metric   System = "metric"
	Imperial System = "imperial"
)

// Profile is the studio itself: the three things a first run asks for, and what is told of it later.
type Profile struct {
	Name    string
	Units   System
	Place   string
	Cyanide bool           // whether cyanide recipes were switched on, with the cautions read
	Room    measure.Length // depth of the room plates are made in, wall to wall; 0 when unknown

	// Where it stands on the earth, for sun and sky; its hours are those of the server's place.
	Placed              bool           // whether latitude and longitude are told
	Latitude, Longitude measure.Angle  // north and east positive
	Elevation           measure.Length // above the sea

	Stamp
}

// Where returns where the studio stands; ok is false while it is not told.
func (p Profile) Where() (at sky.Place, ok bool) {
	return sky.Place{Latitude: p.Latitude, Longitude: p.Longitude, Elevation: p.Elevation}, p.Placed
}

func (p Profile) check() error {
	var ps problems
	ps.name("name", p.Name)
	if p.Units != Metric && p.Units != Imperial {
		ps.add("units", "%q is not known; metric or imperial is", p.Units)
	}
	ps.text("place", p.Place, 200)
	if p.Room != 0 {
		ps.within("room_mm", measure.Within("depth of the room", float64(p.Room), 1000, 100_000, "mm"))
	}
	ps.within("latitude_deg", measure.Within("latitude", p.Latitude.Degrees(), -90, 90, "°"))
	ps.within("longitude_deg", measure.Within("longitude", p.Longitude.Degrees(), -180, 180, "°"))
	ps.within("elevation_mm", measure.Within("height above the sea", float64(p.Elevation), -500_000, 9_000_000, "mm"))
	return ps.err()
}

// Sitter is a person who sits for a plate.
type Sitter struct {
	ID      ID
	Name    string
	Contact string // telephone, letter or electronic address, as the sitter gave it
	Note    string
	Stamp
}

func (s Sitter) check() error {
	var ps problems
	ps.name("name", s.Name)
	ps.text("contact", s.Contact, 400)
	ps.text("note", s.Note, 4000)
	return ps.err()
}

// SittingState is how far a sitting has come.
type SittingState string

// States of a sitting.
const (
	Booked    SittingState = "booked"
	Arrived   SittingState = "arrived"
	Done      SittingState = "done"
	CalledOff SittingState = "called off"
)

// SittingStates lists the states in their order.
func SittingStates() []SittingState { return []SittingState{Booked, Arrived, Done, CalledOff} }

// Sitting is a time booked for a sitter's plates.
type Sitting struct {
	ID      ID
	Sitter  ID
	At      time.Time
	Lasts   time.Duration
	Purpose string
	Size    measure.PlateSize
	Plates  int // wanted
	State   SittingState
	Note    string
	Stamp
}

func (s Sitting) check() error {
	var ps problems
	if s.Sitter == "" {
		ps.add("sitter", "is empty; a sitting is booked for a sitter")
	}
	if y := s.At.Year(); y < 1990 || y > 2200 {
		ps.add("at", "the year %d is outside 1990 to 2200", y)
	}
	if s.Lasts < 5*time.Minute || s.Lasts > 24*time.Hour {
		ps.add("lasts", "%s is outside 5 minutes to 24 hours", spanText(s.Lasts))
	}
	ps.text("purpose", s.Purpose, 400)
	ps.text("note", s.Note, 4000)
	ps.size("size", s.Size)
	if s.Plates < 1 || s.Plates > 100 {
		ps.add("plates", "%d is outside 1 to 100", s.Plates)
	}
	switch s.State {
	case Booked, Arrived, Done, CalledOff:
	default:
		ps.add("state", "%q is not known; booked, arrived, done or called off is", s.State)
	}
	return ps.err()
}

// spanText is a span in hours and minutes.
func spanText(d time.Duration) string {
	if d < time.Hour {
		return fmt.Sprintf("%.0f minutes", d.Minutes())
	}
	return fmt.Sprintf("%.0f h %.0f min", math.Floor(d.Hours()), math.Mod(d.Minutes(), 60))
}

func (ps *problems) size(field string, p measure.PlateSize) {
	ps.within(field, measure.Within("width", float64(p.Width), 10, 1000, "mm"))
	ps.within(field, measure.Within("height", float64(p.Height), 10, 1000, "mm"))
}

// Holder is a plate holder with its dark slide.
type Holder struct {
	ID      ID
	Name    string
	Size    measure.PlateSize
	Note    string
	Retired bool
	Stamp
}

func (h Holder) check() error {
	var ps problems
	ps.name("name", h.Name)
	ps.text("note", h.Note, 4000)
	ps.size("size", h.Size)
	return ps.err()
}

// Batch is one mixing of one recipe, in a bottle on the shelf.
type Batch struct {
	ID         ID
	Name       string // as the bottle's label says it, "Collodion 7"
	Recipe     ID
	RecipeName string
	Kind       string // the recipe's kind: collodion, bath, developer, fixer, varnish
	Mixed      time.Time
	Volume     measure.Volume
	Note       string
	Retired    bool
	Stamp
}

func (b Batch) check() error {
	var ps problems
	ps.name("name", b.Name)
	if b.Recipe == "" {
		ps.add("recipe", "is empty; a batch is mixed from a recipe")
	}
	if y := b.Mixed.Year(); y < 1990 || y > 2200 {
		ps.add("mixed", "the year %d is outside 1990 to 2200", y)
	}
	ps.within("volume_ml", measure.Within("volume", float64(b.Volume), 1, 100_000, "mL"))
	ps.text("note", b.Note, 4000)
	return ps.err()
}

// AgeDays returns the whole days since the batch was mixed.
func (b Batch) AgeDays(now time.Time) int { return int(now.Sub(b.Mixed).Hours() / 24) }

// Check is [Lens.Check] for a holder.
func (h Holder) Check() error { return h.check() }

// Check is [Lens.Check] for a batch.
func (b Batch) Check() error { return b.check() }

// Check is [Lens.Check] for a sitter.
func (s Sitter) Check() error { return s.check() }

// Check is [Lens.Check] for a sitting; that it is booked for nobody is not looked at, since its sitter may
// be new.
func (s Sitting) Check() error {
	if s.Sitter == "" {
		s.Sitter = "new"
	}
	return readySitting(s).check()
}

func tidy(s string) string { return strings.Join(strings.Fields(s), " ") }
