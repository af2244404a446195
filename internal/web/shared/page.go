package shared

import (
	"context"
	"fmt"
	"time"

	"github.com/a-h/templ"
)

// Room is one of the five rooms a screen belongs to.
type Room string

// The five rooms. A screen of none of them (a login, an error) has room "".
const (
	Desk       Room = "Desk"
	Floor      Room = "Floor"
	DarkRoom   Room = "Dark room"
	CopyStand  Room = "Copy stand"
	PlateStore Room = "Plate store"
)

// Rooms returns the rooms in the order a plate passes through them.
func Rooms() []Room { return []Room{Desk, Floor, DarkRoom, CopyStand, PlateStore} }

// Path is where the room begins.
func (r Room) Path() string {
	switch r {
	case Desk:
		return "/desk"
	case Floor:
		return "/floor"
	case DarkRoom:
		return "/darkroom"
	case CopyStand:
		return "/copystand"
	default:
		return "/plates"
	}
}

// Frame is what stands around the work and is the same for every screen of a
// request. The server fills it in; a screen does not touch it.
type Frame struct {
	Assets *Assets
	Light  Light
	Studio string // the studio's name; may be empty
	Here   string // path and query of this page, where the light buttons lead back to
	Search string // what was last looked for, kept in the search box
	// LoggedIn shows the log-out button.
	LoggedIn bool
	// Bare leaves out the rooms, the search and the slip: for login and for
	// the first questions, where there is nothing yet to go to.
	Bare bool
}

// PageData is what a screen says about itself.
type PageData struct {
	Frame
	Room  Room
	Title string // the one h1
	Lead  string // one sentence under it; may be empty
	// Slip is the plate or sitting in hand. The zero value is an empty slip.
	Slip SlipData
	// Styles and Scripts name the screen's own files.
	Styles, Scripts []string
}

func (d PageData) heading() string {
	if d.Studio == "" {
		return d.Title + " - Platewright"
	}
	return d.Title + " - " + d.Studio
}

// SlipData is the paper tied to the plate (or sitting) in hand.
type SlipData struct {
	Kind   string // "Plate" or "Sitting"; empty when nothing is in hand
	Number string // 26-0147, or the sitting's hour
	Name   string // the sitter's name; may be empty
	Href   string // where the thing itself is shown
	Known  []Fact // what is known, in reading order
	Next   string // what is next, a verb first: "Develop", "Fix within 2 min"
	// NextHref leads to the screen where Next is done.
	NextHref string
	// Left counts down while the plate is wet; the zero value shows nothing.
	Left Countdown
}

// Fact is a word and what is known under it.
type Fact struct{ Word, Value string }

// Countdown is time that runs out. The zero value shows nothing.
type Countdown struct {
	Of   string        // what runs out: "wet"
	Left time.Duration // as the server saw it when the page was made; zero or less has run out
}

// shown is false for the zero value.
func (c Countdown) shown() bool { return c.Of != "" }

// Text is the time left in words, begun seconds counted whole: "2:34 of wet left", "wet time run
// out 0:40 ago".
func (c Countdown) Text() string {
	if c.Left <= 0 {
		return c.Of + " time run out " + clockText(-c.Left) + " ago"
	}
	return clockText(c.Left+time.Second-1) + " of " + c.Of + " left"
}

// clockText writes a span as minutes and seconds: 4:05.
func clockText(d time.Duration) string {
	seconds := int64(d / time.Second)
	if seconds >= 3600 {
		return fmt.Sprintf("%d:%02d:%02d", seconds/3600, seconds/60%60, seconds%60)
	}
	return fmt.Sprintf("%d:%02d", seconds/60, seconds%60)
}

// TroubleData is a request that was not answered, in words.
type TroubleData struct {
	What           string // what happened, with the figure
	Hint           string // what to do next; may be empty
	Reference      string // under which the log holds more; may be empty
	Back, BackWord string // a way on; may be empty
}

func iconName(light Light) string {
	if light == Red {
		return "icon-red.svg"
	}
	return "icon.svg"
}

// preloaded are the faces the first paint needs.
func preloaded(light Light) []string {
	if light == Red {
		return []string{"ibm-plex-sans-latin-600-normal.woff2", "eb-garamond-latin-600-normal.woff2"}
	}
	return []string{"ibm-plex-sans-latin-400-normal.woff2", "eb-garamond-latin-400-normal.woff2"}
}

func currentPage(here bool) templ.Attributes {
	if here {
		return templ.Attributes{"aria-current": "page"}
	}
	return nil
}

func outOfBand(again bool) templ.Attributes {
	if again {
		return templ.Attributes{"hx-swap-oob": "true"}
	}
	return nil
}

// LightGuardData is the question before white light.
type LightGuardData struct {
	Light Light  // that was asked for
	Back  string // the page it was asked for on
}

// askedFirst lets the buttons of a red screen be answered in their place, where a question may come
// first.
func askedFirst(light Light) templ.Attributes {
	if light != Red {
		return nil
	}
	return templ.Attributes{"hx-post": "/light", "hx-target": "this", "hx-swap": "outerHTML"}
}

// LoginData is the login form.
type LoginData struct {
	Next  string // the page asked for
	Error string // why the last try was refused; may be empty
}

// searchKeys keeps a phone's lit keys away in red light.
func searchKeys(ctx context.Context) templ.Attributes {
	if mode := (FieldData{}).keys(LightOf(ctx)); mode != "" {
		return templ.Attributes{"inputmode": mode}
	}
	return nil
}
