package web

import (
	"context"
	"fmt"
	"net/http"
	"strconv"
	"time"

	"platewright/internal/web/screens/daylight"
	"platewright/internal/web/shared"
	"platewright/light/sky"
	"platewright/measure"
)

// yearChart answers GET /floor/year: the hours of use by months, to book sittings by.
func (s *Server) yearChart(w http.ResponseWriter, r *http.Request) error {
	f, err := s.readQuery(r)
	if err != nil {
		return err
	}
	c, err := s.readChart(r.Context(), f)
	if err != nil {
		return err
	}
	weather := f.oneOf("weather", skyClear, skyHalf, skyOvercast)
	year := f.count("year")
	if f.text("year") == "" {
		year = f.now.Year()
		f.Typed.Set("year", strconv.Itoa(year))
	}
	if err := measure.Within("year", float64(year), sky.FirstYear, sky.LastYear, ""); err != nil && f.Problem("year") == "" {
		f.refuse("year", "%d is outside %d to %d", year, sky.FirstYear, sky.LastYear)
	}
	y := daylight.Year{Asked: s.chartForm(f, c, "/floor/year"), Number: year}
	y.Weathers = skyOptions()
	y.Previous, y.Next = chartLink("/floor/year", f, "year", strconv.Itoa(year-1)), chartLink("/floor/year", f, "year", strconv.Itoa(year+1))
	y.Today = chartLink("/floor/day", f, "day", midnight(f.now).Format(isoDay))
	if where, ok := c.books.profile.Where(); ok && f.OK() {
		if err := s.fillYear(r.Context(), f, c, where, weather, &y); err != nil {
			return err
		}
	}
	status := http.StatusOK
	if !f.OK() {
		status = http.StatusUnprocessableEntity
		y.Form, y.Trouble = f.Form, "What is marked below cannot be read, so nothing is drawn."
	}
	lead := fmt.Sprintf("%d, %s, %s.", year, windowName(c.window), skyWord(weather))
	return s.showStatus(w, r, status, shared.PageData{Room: shared.Floor, Title: "Light of the year", Lead: lead, Styles: []string{"daylight.css"}}, daylight.YearScreen(y))
}

func skyOptions() []shared.Option {
	return []shared.Option{{Value: skyClear, Word: "Clear"}, {Value: skyHalf, Word: "Half covered"}, {Value: skyOvercast, Word: "Covered"}}
}

func skyWord(weather string) string {
	return map[string]string{skyClear: "a clear sky", skyHalf: "a sky half covered", skyOvercast: "a covered sky"}[weather]
}

// dayOfMonth is the day whose light stands for a month.
const dayOfMonth = 15

// fillYear reckons a day of each month and lays them out.
func (s *Server) fillYear(ctx context.Context, f *form, c chartAsked, where sky.Place, weather string, y *daylight.Year) error {
	speeds, err := s.cfg.Studio.Speeds(ctx)
	if err != nil {
		return fmt.Errorf("found speeds: %w", err)
	}
	months := [12]dayLight{}
	strays := 0.0
	for m := range months {
		day := time.Date(y.Number, time.Month(m+1), dayOfMonth, 0, 0, 0, 0, s.cfg.Location)
		if months[m], err = s.askDaylight(c, where, day, weather, 30); err != nil {
			return err
		}
		if months[m].Band != nil {
			strays = max(strays, *months[m].Band)
		}
	}
	p, ok, err := s.paceOf(f, c, speeds, kindThere(c.window, weather), strays)
	if err != nil || !ok {
		return err
	}
	longest := c.longest.Seconds()
	grid := daylight.Grid{From: 24, To: 0, Least: p.least, Longest: longest}
	var seconds [12][24]float64
	for m, a := range months {
		for _, h := range a.Days[0].Hours {
			at := h.Time.In(s.cfg.Location)
			if at.Minute() != 30 { // the middle of an hour stands for it
				continue
			}
			t := p.seconds(h)
			if t == 0 || h.Lux < 1 {
				continue
			}
			seconds[m][at.Hour()] = t
			grid.From, grid.To = min(grid.From, at.Hour()), max(grid.To, at.Hour()+1)
		}
	}
	if grid.From >= grid.To {
		y.Trouble = "In no hour of these days is there light for a plate."
		return nil
	}
	best, bestHours := "", 0
	for m := range months {
		day := time.Date(y.Number, time.Month(m+1), dayOfMonth, 0, 0, 0, 0, s.cfg.Location)
		month := daylight.Month{Word: day.Month().String(), Short: day.Month().String()[:1], Href: chartLink("/floor/day", f, "day", day.Format(isoDay))}
		var points []daylight.Point
		use := 0
		for hour := grid.From; hour < grid.To; hour++ {
			cell := daylight.Cell{Seconds: seconds[m][hour], Class: classOf(seconds[m][hour], p.least, longest)}
			if cell.Class == daylight.Slow || cell.Class == daylight.Quick {
				use++
			}
			month.Hours = append(month.Hours, cell)
			points = append(points, daylight.Point{Hour: float64(hour), Seconds: cell.Seconds})
		}
		month.Use = hourRuns(points, p.least, longest)
		if use > bestHours {
			best, bestHours = month.Word, use
		}
		grid.Months = append(grid.Months, month)
	}
	y.Findings = yearFindings(grid, best, bestHours)
	grid.Said = fmt.Sprintf("Hours of use in %d by months, for the %dth of each. ", y.Number, dayOfMonth) + y.Findings[0]
	y.Grid = grid
	y.Terms = append(s.chartTerms(c, p), fmt.Sprintf("Each month is drawn by the light of its %dth, each hour by its middle, by the studio's own clock.", dayOfMonth))
	return nil
}

// classOf is of what use a time is.
func classOf(t, least, longest float64) daylight.Class {
	switch {
	case t == 0:
		return daylight.Dark
	case t < least:
		return daylight.TooFast
	case t > longest:
		return daylight.Long
	case t*t <= least*longest:
		return daylight.Quick
	}
	return daylight.Slow
}

// hourRuns are the whole hours of use, as text.
func hourRuns(points []daylight.Point, least, longest float64) string {
	var all [][2]float64
	for _, q := range points {
		if q.Seconds < least || q.Seconds > longest {
			continue
		}
		if n := len(all); n > 0 && all[n-1][1] == q.Hour {
			all[n-1][1] = q.Hour + 1
		} else {
			all = append(all, [2]float64{q.Hour, q.Hour + 1})
		}
	}
	if len(all) == 0 {
		return "no hour"
	}
	return spans(all)
}

func yearFindings(g daylight.Grid, best string, hours int) []string {
	if hours == 0 {
		return []string{"No hour of any month is of use within these limits: take a wider stop, a nearer seat, or write a longer time."}
	}
	none := 0
	for _, m := range g.Months {
		if m.Use == "no hour" {
			none++
		}
	}
	all := []string{fmt.Sprintf("Most hours of use: %s, %s.", best, counted(hours, "hour"))}
	if none > 0 {
		all = append(all, counted(none, "month")+" without any.")
	}
	return all
}
