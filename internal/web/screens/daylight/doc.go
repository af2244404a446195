// Package daylight draws the light of a day and of a year for a window, to book sittings by.
//
// A day is one strip of hours: the sun above, the seconds that a plate would take under a clear and under a covered
// sky, the light in lux, the hours that are of use, and the sittings of the day. A year is a grid of months and hours.
// What is of use is told by hatching and by figures, never by colour alone, and every drawing has its table.
//
// Nothing is reckoned here.
package daylight

import (
	"embed"

	"platewright/internal/web/shared"
)

// Files are the screens' style sheet.
//
//go:embed *.css
var Files embed.FS

// Asked is what both charts are asked for.
type Asked struct {
	shared.Form
	Windows  []shared.Option
	Weathers []shared.Option // of the year; empty for a day, which shows both skies
	NoPlace  bool            // where the studio stands is not told
	Terms    []string        // by which stop, index and limits: sentences
	Path     string          // of the page
	Floor    string          // address of the floor
}

// Day is the chart of a day.
type Day struct {
	Asked
	Date                        string // as people say it
	Previous, Next, Today, Year string // addresses
	Book                        string // address of that day on the desk
	Course                      string // the sun's, a sentence
	Findings                    []string
	Strip                       Strip
	Rows                        []Row
	Sittings                    []Sitting
	Trouble                     string // why there is no chart; empty when there is one
}

// Row is an hour in the table.
type Row struct {
	Hour, Sun      string
	Clear, Covered Told
	OnFace         string
}

// Told is the light and the time under one sky, as text; empty in the dark.
type Told struct{ Light, Seconds, Use string }

// Sitting is a sitting of the day.
type Sitting struct{ Time, Name, Href, Words string }

// Strip is the drawing of a day. Hours count from midnight by the studio's clock.
type Strip struct {
	From, To float64      // what is drawn
	Up       [][2]float64 // while the sun is up
	OnFace   [][2]float64 // while it falls on the face under a clear sky
	Clear    Course
	Covered  Course
	Least    float64 // seconds: the least that a hand gives
	Longest  float64 // seconds: the most that is wanted
	Now      float64 // below zero on another day
	Bars     []Bar
	Said     string
}

// Course is the light through a day under one sky.
type Course struct {
	Points []Point
	Use    [][2]float64 // hours in which the seconds lie within the limits
}

// Point is a moment of a course.
type Point struct{ Hour, Lux, Seconds, Low, High float64 }

// Bar is a sitting on the strip.
type Bar struct {
	From, To  float64
	Name      string
	CalledOff bool
}

// Year is the chart of a year.
type Year struct {
	Asked
	Number                int
	Previous, Next, Today string
	Grid                  Grid
	Findings              []string
	Trouble               string
}

// Grid is the drawing of a year: months, each by the light of one of its days, and the hours of the day.
type Grid struct {
	From, To int // hours drawn, the second not included
	Months   []Month
	Least    float64
	Longest  float64
	Said     string
}

// Month is a row of the grid.
type Month struct {
	Word, Short, Href string
	Hours             []Cell // of the hours from Grid.From on
	Use               string // the hours of use, as text
}

// Cell is an hour of a month.
type Cell struct {
	Seconds float64 // 0 in the dark
	Class   Class
}

// Class is of what use an hour is.
type Class int

// The classes.
const (
	Dark    Class = iota
	Long          // longer than is wanted
	Slow          // within the limits, in their slower half
	Quick         // within the limits, in their quicker half
	TooFast       // shorter than a hand can cap
)

// word names a class.
func (c Class) word() string {
	return [...]string{"dark", "too long", "of use", "of use, quick", "too short for a cap"}[c]
}
