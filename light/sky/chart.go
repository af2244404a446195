package sky

import (
	"time"

	"platewright/light"
	"platewright/measure"
)

// Hour is the light at one moment of a day.
type Hour struct {
	Time    time.Time
	Sun     Sun
	Outside light.Lux // on level open ground
	Lit     Lit       // at the face: through the window, or on level open ground
}

// Steps of a day's chart.
const (
	leastStep = time.Minute
	mostStep  = 24 * time.Hour
)

// Open is the light on open ground on a level receptor: what an incident meter that looks straight up reads.
func (k Sky) Open() Lit {
	out := Lit{Spectrum: k.Global, FromSky: light.Lux(k.Diffuse.Lux()), Kind: k.Kind, Band: k.Band}
	out.Illuminance = light.Lux(k.Global.Lux())
	out.FromSun = max(out.Illuminance-out.FromSky, 0)
	out.Direct = out.FromSun > 0
	out.SunInRoom = out.Direct
	if out.Illuminance > 0 {
		out.SkyFactor, out.SkyShare = 1, float64(out.FromSky/out.Illuminance)
	}
	return out
}

func open(k *Sky) (Lit, error) { return k.Open(), nil }

// Day returns the light on level open ground through the civil day of date, in its own location, from midnight on.
func (w Weather) Day(date time.Time, p Place, every time.Duration) ([]Hour, error) {
	return w.chart(date, p, every, open)
}

// Day returns the light at a sitter's face through the civil day of date, in its own location, from midnight on. The
// weather is the same all day. The error is a [measure.RangeError] or a sentence about the glazing.
func (w Window) Day(date time.Time, p Place, weather Weather, s Sitter, every time.Duration) ([]Hour, error) {
	v, err := w.seenBy(s)
	if err != nil {
		return nil, err
	}
	return weather.chart(date, p, every, v.under)
}

// Year returns such a day every so many days from the first of January on.
func (w Window) Year(year int, zone *time.Location, p Place, weather Weather, s Sitter, everyDays int, every time.Duration) ([][]Hour, error) {
	v, err := w.seenBy(s)
	if err != nil {
		return nil, err
	}
	return weather.year(year, zone, p, everyDays, every, v.under)
}

// Year returns the light on level open ground, a day every so many days from the first of January on.
func (w Weather) Year(year int, zone *time.Location, p Place, everyDays int, every time.Duration) ([][]Hour, error) {
	return w.year(year, zone, p, everyDays, every, open)
}

func (w Weather) year(year int, zone *time.Location, p Place, everyDays int, every time.Duration, at func(*Sky) (Lit, error)) ([][]Hour, error) {
	if err := measure.Within("days from one to the next", float64(everyDays), 1, 366, ""); err != nil {
		return nil, err
	}
	if err := measure.Within("year", float64(year), FirstYear, LastYear, ""); err != nil {
		return nil, err
	}
	var out [][]Hour
	for d := time.Date(year, 1, 1, 12, 0, 0, 0, zone); d.Year() == year; d = d.AddDate(0, 0, everyDays) {
		day, err := w.chart(d, p, every, at)
		if err != nil {
			return nil, err
		}
		out = append(out, day)
	}
	return out, nil
}

// chart walks through a day. The air's pressure is the weather's.
func (w Weather) chart(date time.Time, p Place, every time.Duration, at func(*Sky) (Lit, error)) ([]Hour, error) {
	if err := measure.Within("step of the chart", every.Minutes(), leastStep.Minutes(), mostStep.Minutes(), "min"); err != nil {
		return nil, err
	}
	if err := p.Check(); err != nil {
		return nil, err
	}
	if err := w.Check(); err != nil {
		return nil, err
	}
	deltaT := DeltaT(date)
	if err := checkTime(date, deltaT); err != nil {
		return nil, err
	}
	air := UsualAir()
	air.PressureHPa = w.Clear.PressureHPa
	y, m, d := date.Date()
	start, end := time.Date(y, m, d, 0, 0, 0, 0, date.Location()), time.Date(y, m, d+1, 0, 0, 0, 0, date.Location())
	out := make([]Hour, 0, int(end.Sub(start)/every)+1)
	for t := start; t.Before(end); t = t.Add(every) {
		sun := almanacAt(julianDay(t), deltaT).seenFrom(p, air)
		k, err := w.Sky(sun, start.YearDay())
		if err != nil {
			return nil, err
		}
		lit, err := at(&k)
		if err != nil {
			return nil, err
		}
		out = append(out, Hour{Time: t, Sun: sun, Outside: light.Lux(k.Global.Lux()), Lit: lit})
	}
	return out, nil
}
