package web

import (
	"context"
	"fmt"
	"math"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	"platewright/internal/studio"
	"platewright/internal/web/screens/daylight"
	"platewright/internal/web/shared"
	"platewright/light"
	"platewright/light/sky"
	"platewright/measure"
)

func (s *Server) chartRoutes() {
	s.handle("GET /floor/day", s.dayChart)
	s.handle("GET /floor/year", s.yearChart)
}

// chartAsked is what a chart of daylight is drawn for.
type chartAsked struct {
	window   *studio.Window // nil in open shade
	turn     float64        // degrees from the window to the camera
	aperture measure.FNumber
	bellows  float64 // stops
	index    float64 // 0: as known
	longest  time.Duration
	books    litBooks
}

// usualLongest is the longest time that is wanted until another is said: common practice, no source.
const usualLongest = "8 s"

// readChart reads what both charts are asked for. What is not asked is as the last plate was planned.
func (s *Server) readChart(ctx context.Context, f *form) (chartAsked, error) {
	books, err := s.litBooks(ctx)
	if err != nil {
		return chartAsked{}, err
	}
	c := chartAsked{books: books}
	if !f.Typed.Has("stop") {
		if err := s.proposeChart(ctx, f); err != nil {
			return c, err
		}
	}
	var l litAsked
	l.readWindow(f, books.windows)
	c.window, c.turn = l.window, l.turn
	f.need("stop", "write the f-number in the lens, as f/4.5")
	c.aperture = read(f, "stop", measure.ParseFNumber, func(n measure.FNumber) string { return n.String() })
	c.bellows, c.index = f.number("bellows"), f.number("index")
	c.longest = f.exposure("longest")
	if c.longest == 0 && f.Problem("longest") == "" {
		f.Typed.Set("longest", usualLongest)
		c.longest = f.exposure("longest")
	}
	return c, nil
}

// proposeChart fills a form that asks for no stop with the last plate's.
func (s *Server) proposeChart(ctx context.Context, f *form) error {
	page, err := s.cfg.Studio.Plates(ctx, studio.PlateFilter{Most: 1})
	if err != nil {
		return fmt.Errorf("the last plate: %w", err)
	}
	f.Typed.Set("stop", "f/4")
	if len(page.Rows) > 0 && page.Rows[0].Plan.Stop.FNumber > 0 {
		plan := page.Rows[0].Plan
		f.Typed.Set("stop", plan.Stop.FNumber.String())
		if stops := float64(judgedBellows(plan, 1)); stops > 0 {
			f.Typed.Set("bellows", figureOf(stops, 2))
		}
		f.Typed.Set("collodion", string(plan.Collodion))
	}
	return nil
}

// kindThere is the class of the light that a window gives without direct sun, or the open shade.
func kindThere(w *studio.Window, weather string) light.Kind {
	switch {
	case w != nil:
		return light.WindowLight
	case weather == skyOvercast:
		return light.Overcast
	}
	return light.Shade
}

// dayLight is what the charts take from the reckoning daylight.
type dayLight struct {
	Days []struct {
		Sunrise *time.Time  `json:"sunrise"`
		Noon    *time.Time  `json:"solar_noon"`
		Sunset  *time.Time  `json:"sunset"`
		Hours   []hourLight `json:"hours"`
	} `json:"days"`
	Band *float64 `json:"band_stops"`
}

// hourLight is one moment of it.
type hourLight struct {
	Time      time.Time  `json:"time"`
	Elevation float64    `json:"elevation_deg"`
	Lux       float64    `json:"illuminance_lx"`
	Actinic   *float64   `json:"actinic_stops"`
	Kind      light.Kind `json:"light_kind"`
	OnFace    bool       `json:"sun_on_face"`
}

// askDaylight asks for the light of a day under a sky.
func (s *Server) askDaylight(c chartAsked, where sky.Place, day time.Time, weather string, everyMin int) (dayLight, error) {
	question := sunQuestion(where)
	question["date"] = day.Add(12 * time.Hour).Format(time.RFC3339)
	question["sky"] = skyQuestion(weather)
	question["window"] = windowQuestion(c.window, studio.SeatedEyes, where.Latitude, c.turn)
	question["every_min"] = everyMin
	var a dayLight
	err := s.answerOf("daylight", question, &a)
	return a, err
}

// pace turns light into seconds for one stop, index and sky.
type pace struct {
	known     studio.SpeedKnown
	typed     bool
	from      float64 // what the light of the index does beyond CIE D55, stops
	perLux    float64 // seconds at 1 lx, with nothing between the lights
	low, high float64 // ends of the band over the time
	least     float64 // seconds
}

// paceOf asks the reckoning seconds once; the time goes inversely as the light.
func (s *Server) paceOf(f *form, c chartAsked, speeds []studio.SpeedFound, kind light.Kind, strays float64) (pace, bool, error) {
	found := litFound{kind: kind}
	found.setIndex(planned{index: c.index, ownIndex: f.text("index") != ""}, speeds, f.id("collodion"))
	out := pace{known: found.speed, typed: found.typed}
	const at = 1000.0
	question := map[string]any{"incident_lx": at, "exposure_index": float64(found.speed.Index), "f_number": float64(c.aperture), "bellows_stops": c.bellows,
		"index_sigma_stops": min(5, math.Hypot(float64(found.speed.Sigma), strays))}
	if !found.speed.Same {
		from, err := s.doesOf(found.speed.Kind)
		if err != nil {
			return out, false, err
		}
		to, err := s.doesOf(kind)
		if err != nil {
			return out, false, err
		}
		b := between(to, from)
		out.from = from.Stops
		question["actinic_band_stops"] = []float64{b.Low - b.Stops, b.High - b.Stops}
	}
	var a struct {
		Seconds float64    `json:"seconds"`
		Band    [2]float64 `json:"band_s"`
		Least   float64    `json:"least_by_hand_s"`
	}
	ok, err := s.askWith(f, "seconds", question, &a, chartKeys)
	if !ok {
		return out, false, err
	}
	out.perLux, out.low, out.high, out.least = a.Seconds*at, a.Band[0]/a.Seconds, a.Band[1]/a.Seconds, a.Least
	return out, true, nil
}

// chartKeys are the charts' fields for the keys of seconds.
var chartKeys = map[string]string{"exposure_index": "index", "f_number": "stop", "bellows_stops": "bellows"}

// seconds is the time in the light of an hour; 0 in the dark.
func (p pace) seconds(h hourLight) float64 {
	if h.Lux < leastSkyLux || h.Actinic == nil {
		return 0
	}
	t := p.perLux / h.Lux
	if !p.known.Same {
		t *= math.Exp2(p.from - *h.Actinic)
	}
	return t
}

// courseOf turns a day's light into a course, with the hours of use.
func (p pace) courseOf(hours []hourLight, longest float64, loc *time.Location) daylight.Course {
	var c daylight.Course
	for _, h := range hours {
		t := p.seconds(h)
		c.Points = append(c.Points, daylight.Point{Hour: hoursOf(h.Time.In(loc)), Lux: h.Lux, Seconds: t, Low: t * p.low, High: t * p.high})
	}
	c.Use = runs(c.Points, func(q daylight.Point) bool { return q.Seconds >= p.least && q.Seconds <= longest })
	return c
}

// runs are the spans of hours in which something holds.
func runs(points []daylight.Point, holds func(daylight.Point) bool) [][2]float64 {
	var all [][2]float64
	open := false
	for _, q := range points {
		switch is := holds(q); {
		case is && open:
			all[len(all)-1][1] = q.Hour
		case is:
			all, open = append(all, [2]float64{q.Hour, q.Hour}), true
		default:
			open = false
		}
	}
	return slices.DeleteFunc(all, func(r [2]float64) bool { return r[1] <= r[0] })
}

// chartStep is how finely a day is drawn.
const chartStep = 15 // min

// dayChart answers GET /floor/day: the light of a day at a window, to book sittings by.
func (s *Server) dayChart(w http.ResponseWriter, r *http.Request) error {
	ctx := r.Context()
	f, err := s.readQuery(r)
	if err != nil {
		return err
	}
	c, err := s.readChart(ctx, f)
	if err != nil {
		return err
	}
	day := f.day("day")
	if day.IsZero() {
		day = midnight(f.now)
	}
	if f.Problem("day") == "" {
		f.Typed.Set("day", day.Format(isoDay))
	}
	d := daylight.Day{Asked: s.chartForm(f, c, "/floor/day"), Date: dayText(day)}
	other := func(path, name, value string) string { return chartLink(path, f, name, value) }
	d.Previous, d.Next = other("/floor/day", "day", day.AddDate(0, 0, -1).Format(isoDay)), other("/floor/day", "day", day.AddDate(0, 0, 1).Format(isoDay))
	if !day.Equal(midnight(f.now)) {
		d.Today = other("/floor/day", "day", midnight(f.now).Format(isoDay))
	}
	d.Book = "/desk?day=" + day.Format(isoDay)
	d.Year = other("/floor/year", "year", day.Format("2006"))
	status := http.StatusOK
	if where, ok := c.books.profile.Where(); ok && f.OK() {
		if err := s.fillDay(ctx, f, c, where, day, &d); err != nil {
			return err
		}
	}
	if !f.OK() {
		status = http.StatusUnprocessableEntity
		d.Form, d.Trouble = f.Form, "What is marked below cannot be read, so nothing is drawn."
	}
	page := shared.PageData{Room: shared.Floor, Title: "Light of the day", Lead: d.Date + ", " + windowName(c.window) + ".", Styles: []string{"daylight.css"}}
	return s.showStatus(w, r, status, page, daylight.DayScreen(d))
}

// fillDay reckons the day and lays it out.
func (s *Server) fillDay(ctx context.Context, f *form, c chartAsked, where sky.Place, day time.Time, d *daylight.Day) error {
	speeds, err := s.cfg.Studio.Speeds(ctx)
	if err != nil {
		return fmt.Errorf("found speeds: %w", err)
	}
	longest := c.longest.Seconds()
	var lights [2]dayLight
	var paces [2]pace
	for i, weather := range []string{skyClear, skyOvercast} {
		if lights[i], err = s.askDaylight(c, where, day, weather, chartStep); err != nil {
			return err
		}
		strays := 0.0
		if lights[i].Band != nil {
			strays = *lights[i].Band
		}
		var ok bool
		if paces[i], ok, err = s.paceOf(f, c, speeds, kindThere(c.window, weather), strays); err != nil || !ok {
			return err
		}
	}
	clear, covered := lights[0].Days[0], lights[1].Days[0]
	strip := daylight.Strip{Least: paces[0].least, Longest: longest, Now: -1}
	strip.Clear, strip.Covered = paces[0].courseOf(clear.Hours, longest, s.cfg.Location), paces[1].courseOf(covered.Hours, longest, s.cfg.Location)
	var never string
	strip.Up, never = s.sunUp(clear.Sunrise, clear.Sunset, clear.Hours)
	d.Course = s.courseWords(clear.Sunrise, clear.Noon, clear.Sunset, never)
	if d.Sittings, strip.Bars, err = s.sittingsFor(ctx, day); err != nil {
		return err
	}
	d.Terms = s.chartTerms(c, paces[0])
	if len(clear.Hours) == 0 {
		d.Trouble = d.Course + " There is no daylight for a plate."
		return nil
	}
	strip.OnFace = runs(strip.Clear.Points, func(q daylight.Point) bool {
		i := slices.IndexFunc(clear.Hours, func(h hourLight) bool { return hoursOf(h.Time.In(s.cfg.Location)) == q.Hour })
		return i >= 0 && clear.Hours[i].OnFace
	})
	strip.From, strip.To = drawnHours(strip)
	if day.Equal(midnight(f.now)) {
		strip.Now = hoursOf(f.now)
	}
	d.Findings = dayFindings(strip)
	strip.Said = "The light of the day. " + d.Course + " " + strings.Join(d.Findings, " ")
	d.Strip = strip
	d.Rows = s.dayRows(clear.Hours, covered.Hours, strip)
	return nil
}

// sunUp are the hours with the sun up, and what is said when it neither rises nor sets.
func (s *Server) sunUp(rise, set *time.Time, hours []hourLight) (up [][2]float64, never string) {
	at := func(t *time.Time) float64 { return hoursOf(t.In(s.cfg.Location)) }
	switch {
	case rise != nil && set != nil && rise.Before(*set):
		return [][2]float64{{at(rise), at(set)}}, ""
	case rise != nil && set != nil:
		return [][2]float64{{0, at(set)}, {at(rise), 24}}, ""
	case rise != nil:
		return [][2]float64{{at(rise), 24}}, ""
	case set != nil:
		return [][2]float64{{0, at(set)}}, ""
	}
	if slices.ContainsFunc(hours, func(h hourLight) bool { return h.Elevation > 0 }) {
		return [][2]float64{{0, 24}}, "The sun does not set on this day."
	}
	return nil, "The sun does not rise on this day."
}

func (s *Server) courseWords(rise, noon, set *time.Time, never string) string {
	if never != "" {
		return never
	}
	var parts []string
	for _, e := range []struct {
		word string
		at   *time.Time
	}{{"rises at ", rise}, {"is highest at ", noon}, {"sets at ", set}} {
		if e.at != nil {
			parts = append(parts, e.word+e.at.In(s.cfg.Location).Format("15:04"))
		}
	}
	return "The sun " + strings.Join(parts, ", ") + "."
}

// drawnHours are whole hours about all that is drawn.
func drawnHours(s daylight.Strip) (from, to float64) {
	from, to = 24, 0
	for _, c := range []daylight.Course{s.Clear, s.Covered} {
		for _, q := range c.Points {
			if q.Lux >= 1 {
				from, to = min(from, math.Floor(q.Hour)), max(to, math.Ceil(q.Hour))
			}
		}
	}
	for _, b := range s.Bars {
		from, to = min(from, math.Floor(b.From)), max(to, math.Ceil(b.To))
	}
	if to-from < 4 {
		from, to = max(0, from-2), min(24, to+2)
	}
	return from, to
}

// dayFindings say when the light is of use.
func dayFindings(s daylight.Strip) []string {
	var all []string
	for _, k := range []struct {
		word string
		c    daylight.Course
	}{{"Clear", s.Clear}, {"Covered", s.Covered}} {
		words := k.word + ": "
		if len(k.c.Use) > 0 {
			words += "of use " + spans(k.c.Use)
		} else {
			words += "at no hour of use"
		}
		if best, hour := shortest(k.c); best > s.Longest {
			words += fmt.Sprintf("; the shortest is %s, at %s", secondsText(best), clock(hour))
		}
		if fast := runs(k.c.Points, func(q daylight.Point) bool { return q.Seconds > 0 && q.Seconds < s.Least }); len(fast) > 0 {
			words += "; too short for a cap " + spans(fast) + ", so stop down"
		}
		all = append(all, words+".")
	}
	if len(s.OnFace) > 0 {
		all = append(all, "When clear the sun falls on the face "+spans(s.OnFace)+".")
	}
	return all
}

func shortest(c daylight.Course) (best, hour float64) {
	best = math.Inf(1)
	for _, q := range c.Points {
		if q.Seconds > 0 && q.Seconds < best {
			best, hour = q.Seconds, q.Hour
		}
	}
	if math.IsInf(best, 1) {
		return 0, 0
	}
	return best, hour
}

func clock(hour float64) string {
	m := int(math.Round(hour * 60))
	return fmt.Sprintf("%d:%02d", m/60, m%60)
}

func spans(all [][2]float64) string {
	var words []string
	for _, r := range all {
		words = append(words, clock(r[0])+" to "+clock(r[1]))
	}
	return strings.Join(words, ", ")
}

// secondsText is a time as a hand counts it.
func secondsText(v float64) string {
	return measure.Thin(measure.FormatExposure(studio.Counted(time.Duration(v * 1e9))))
}

// dayRows are the hours of the table, on the half hour.
func (s *Server) dayRows(clear, covered []hourLight, strip daylight.Strip) []daylight.Row {
	var rows []daylight.Row
	told := func(h hourLight, q daylight.Point) daylight.Told {
		t := daylight.Told{Light: figureOf(h.Lux, 3) + "\u2009lx", Use: "dark"}
		if q.Seconds == 0 {
			return t
		}
		t.Seconds, t.Use = "over 15\u2009min", "of use"
		if q.Seconds < 900 {
			t.Seconds = shared.BandText(counted2(q.Low), counted2(q.Seconds), counted2(q.High), "s")
		}
		switch {
		case q.Seconds > strip.Longest:
			t.Use = "too long"
		case q.Seconds < strip.Least:
			t.Use = "too short for a cap"
		}
		return t
	}
	for i, h := range clear {
		at := h.Time.In(s.cfg.Location)
		if at.Minute()%30 != 0 || h.Lux < 1 || i >= len(covered) {
			continue
		}
		row := daylight.Row{Hour: at.Format("15:04"), Sun: figureOf(math.Round(h.Elevation), 2) + "°", Clear: told(h, strip.Clear.Points[i]), Covered: told(covered[i], strip.Covered.Points[i])}
		if h.OnFace {
			row.OnFace = "on the face when clear"
		}
		rows = append(rows, row)
	}
	return rows
}

func counted2(v float64) float64 { return studio.Counted(time.Duration(v * 1e9)).Seconds() }

// sittingsFor are the sittings of a day, as a list and as bars.
func (s *Server) sittingsFor(ctx context.Context, day time.Time) ([]daylight.Sitting, []daylight.Bar, error) {
	sittings, err := s.cfg.Studio.SittingsOn(ctx, day)
	if err != nil {
		return nil, nil, fmt.Errorf("sittings of the day: %w", err)
	}
	var list []daylight.Sitting
	var bars []daylight.Bar
	for _, sitting := range sittings {
		sitter, err := s.cfg.Studio.Sitter(ctx, sitting.Sitter)
		if err != nil {
			return nil, nil, fmt.Errorf("sitter of sitting %s: %w", sitting.ID, err)
		}
		line := s.sittingLine(sitting, sitter)
		list = append(list, daylight.Sitting{Time: line.Time, Name: line.Sitter, Href: line.Href, Words: line.Plates + ", " + line.Lasts + ", " + line.State})
		b := s.bar(sitting, sitter)
		bars = append(bars, daylight.Bar{From: b.From, To: b.To, Name: b.Name, CalledOff: b.CalledOff})
	}
	return list, bars, nil
}

// chartForm is what both charts' form needs.
func (s *Server) chartForm(f *form, c chartAsked, path string) daylight.Asked {
	f.Labels = map[string]string{"longest": "Longest wanted", "index": "Exposure index", "window_turn": "Camera, from the window"}
	return daylight.Asked{Form: f.Form, Windows: windowOptions(c.books.windows, f.id("window")), NoPlace: !c.books.profile.Placed, Path: path, Floor: "/floor"}
}

// chartTerms say what a chart rests on.
func (s *Server) chartTerms(c chartAsked, p pace) []string {
	found := litFound{speed: p.known, typed: p.typed, kind: kindThere(c.window, skyClear)}
	stop := "At " + c.aperture.String()
	if c.bellows > 0 {
		stop += ", " + figureOf(c.bellows, 2) + "\u2009stops of bellows"
	}
	place := measure.FormatLatitude(c.books.profile.Latitude) + ", " + measure.FormatLongitude(c.books.profile.Longitude)
	return []string{stop + ". " + found.indexWords(),
		"The shortest that a hand gives within a third of a stop is " + secondsText(p.least) + "; the longest wanted is " + measure.Thin(measure.FormatExposure(c.longest)) + ".",
		"Reckoned for " + place + ", with a sky that stays the same all day; a meter at the face is better than any of it. The room's own walls, hills and houses are not in it.",
		"The sitter sits where the window's record says, eyes " + measure.Thin(studio.SeatedEyes.Format(measure.Metric)) + " above the floor; the meter looks " + turnWords(c.turn) + "."}
}

// turnWords say where the meter looks.
func turnWords(turn float64) string {
	if turn == 0 {
		return "squarely at the window's wall"
	}
	return figureOf(math.Abs(turn), 3) + "° away from the window's direction"
}

func windowName(w *studio.Window) string {
	if w == nil {
		return "open shade"
	}
	return w.Name
}

// chartLink is a chart's address with one thing changed.
func chartLink(path string, f *form, name, value string) string {
	v := url.Values{}
	for _, each := range []string{"window", "window_turn", "weather", "stop", "bellows", "index", "longest", "collodion"} {
		if text := f.text(each); text != "" {
			v.Set(each, text)
		}
	}
	v.Set(name, value)
	return path + "?" + v.Encode()
}
