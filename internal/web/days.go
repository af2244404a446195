package web

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"

	"platewright/measure"
)

// isoDay is how a day stands in addresses and forms.
const isoDay = "2006-01-02"

// dayText is a day as people say it: "Tuesday, 24 November 2026".
func dayText(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.Format("Monday, 2 January 2006")
}

var (
	yearFirst = regexp.MustCompile(`^(\d{4})[-./](\d{1,2})[-./](\d{1,2})$`)
	yearLast  = regexp.MustCompile(`^(\d{1,2})([-./])(\d{1,2})[-./](\d{4})$`)
	dayMonth  = regexp.MustCompile(`^(\d{1,2})\.? ?([a-z]{3,})\.?,?(?: (\d{4}))?$`)
	monthDay  = regexp.MustCompile(`^([a-z]{3,})\.? (\d{1,2})(?:,? (\d{4}))?$`)
)

// parseDay reads a day as people write it: 2026-11-24, 24.11.2026, 24 Nov, Nov 24 2026, today,
// tomorrow, Friday (today, or the next one). now is in the studio's place; so is the midnight returned. A
// day without a year is the one nearest ahead.
func parseDay(s string, now time.Time) (time.Time, error) {
	refuse := func(why string) (time.Time, error) {
		return time.Time{}, fmt.Errorf("day %q %s", s, why)
	}
	if len(s) > 40 {
		return refuse("is too long; write it as " + now.Format(isoDay))
	}
	text := strings.ToLower(strings.Join(strings.Fields(s), " "))
	today := midnight(now)
	switch text {
	case "today":
		return today, nil
	case "tomorrow":
		return today.AddDate(0, 0, 1), nil
	case "yesterday":
		return today.AddDate(0, 0, -1), nil
	}
	for i := range 7 {
		d := today.AddDate(0, 0, i)
		name := strings.ToLower(d.Weekday().String())
		if text == name || text == name[:3] {
			return d, nil
		}
	}
	year, month, day := 0, 0, 0
	figures := strings.ReplaceAll(text, " ", "")
	switch {
	case yearFirst.MatchString(figures):
		m := yearFirst.FindStringSubmatch(figures)
		year, month, day = atoi(m[1]), atoi(m[2]), atoi(m[3])
	case yearLast.MatchString(figures):
		m := yearLast.FindStringSubmatch(figures)
		first, second := atoi(m[1]), atoi(m[3])
		year, month, day = atoi(m[4]), second, first
		if m[2] == "/" && first != second {
			switch {
			case first <= 12 && second <= 12:
				return refuse(fmt.Sprintf("can be read two ways; write it as %04d-%02d-%02d or %04d-%02d-%02d", year, second, first, year, first, second))
			case second > 12:
				month, day = first, second
			}
		}
	case dayMonth.MatchString(text):
		m := dayMonth.FindStringSubmatch(text)
		year, month, day = atoi(m[3]), monthNamed(m[2]), atoi(m[1])
	case monthDay.MatchString(text):
		m := monthDay.FindStringSubmatch(text)
		year, month, day = atoi(m[3]), monthNamed(m[1]), atoi(m[2])
	default:
		return refuse("is not understood; write it as " + now.Format(isoDay) + ", 24 November or tomorrow")
	}
	if month < 1 || month > 12 {
		return refuse("names no month of the year; write it as " + now.Format(isoDay) + " or 24 November")
	}
	if year == 0 {
		year = nextYearOf(time.Month(month), day, today)
	}
	at := time.Date(year, time.Month(month), day, 0, 0, 0, 0, now.Location())
	if at.Month() != time.Month(month) || at.Day() != day {
		return refuse(fmt.Sprintf("does not exist: %s %d has no day %d", time.Month(month), year, day))
	}
	return at, nil
}

// nextYearOf is the year of the nearest such day ahead: 29 February may be some years off.
func nextYearOf(month time.Month, day int, today time.Time) int {
	for year := today.Year(); year < today.Year()+9; year++ {
		d := time.Date(year, month, day, 0, 0, 0, 0, today.Location())
		if d.Month() == month && d.Day() == day && !d.Before(today) {
			return year
		}
	}
	return today.Year()
}

// midnight is the beginning of t's day where t is.
func midnight(t time.Time) time.Time {
	return time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, t.Location())
}

// atoi reads figures a pattern has let through; there are too few of them to overflow.
func atoi(s string) int {
	n, err := strconv.Atoi(s)
	if err != nil {
		return 0
	}
	return n
}

func monthNamed(s string) int {
	for m := time.January; m <= time.December; m++ {
		name := strings.ToLower(m.String())
		if s == name || s == name[:3] || s == "sept" && m == time.September {
			return int(m)
		}
	}
	return 0
}

// hourOfDay is a time of day by the clock on the wall.
type hourOfDay struct{ hour, minute int }

func (h hourOfDay) String() string { return fmt.Sprintf("%02d:%02d", h.hour, h.minute) }

var hourForm = regexp.MustCompile(`^(\d{1,2})(?:[:.h ]?(\d{2}))? ?(am|pm|a\.m\.|p\.m\.)?$`)

// parseHour reads a time of day: 14:30, 14.30, 1430, 2:30 pm, 9, noon.
func parseHour(s string) (hourOfDay, error) {
	refuse := func(why string) (hourOfDay, error) { return hourOfDay{}, fmt.Errorf("time %q %s", s, why) }
	text := strings.ToLower(strings.Join(strings.Fields(s), " "))
	if text == "noon" {
		return hourOfDay{hour: 12}, nil
	}
	m := hourForm.FindStringSubmatch(text)
	if m == nil {
		return refuse("is not understood; write it as 14:30 or 2:30 pm")
	}
	h := hourOfDay{atoi(m[1]), atoi(m[2])}
	if h.minute > 59 {
		return refuse(fmt.Sprintf("has %d minutes; 0 to 59 are allowed", h.minute))
	}
	if half := strings.ReplaceAll(m[3], ".", ""); half != "" {
		if h.hour < 1 || h.hour > 12 {
			return refuse(fmt.Sprintf("has hour %d %s; 1 to 12 are allowed", h.hour, half))
		}
		h.hour %= 12
		if half == "pm" {
			h.hour += 12
		}
	}
	if h.hour > 23 {
		return refuse(fmt.Sprintf("has hour %d; 0 to 23 are allowed", h.hour))
	}
	return h, nil
}

var (
	lastsHours   = regexp.MustCompile(`^(\d{1,3})(?: (1/2|1/4|3/4)|([.,]\d{1,2}))? ?(?:h|hr|hrs|hour|hours)(?: ?(?:and )?(\d{1,2}) ?(?:m|min|mins|minutes)?)?$`)
	lastsMinutes = regexp.MustCompile(`^(\d{1,4}) ?(?:m|min|mins|minute|minutes)?$`)
	lastsClock   = regexp.MustCompile(`^(\d{1,2}):(\d{2})$`)
)

// parseLasts reads how long a sitting takes: 90 min, 90, 1 h 30, 1 1/2 h, 1:30. A bare number is
// minutes.
func parseLasts(s string) (time.Duration, error) {
	text := strings.ToLower(strings.Join(strings.Fields(s), " "))
	for sign, plain := range map[string]string{"½": " 1/2", "¼": " 1/4", "¾": " 3/4"} {
		text = strings.ReplaceAll(text, sign, plain)
	}
	text = strings.TrimSpace(text)
	if m := lastsMinutes.FindStringSubmatch(text); m != nil {
		return time.Duration(atoi(m[1])) * time.Minute, nil
	}
	if m := lastsClock.FindStringSubmatch(text); m != nil {
		return time.Duration(atoi(m[1]))*time.Hour + time.Duration(atoi(m[2]))*time.Minute, nil
	}
	for _, part := range []struct {
		word    string
		minutes time.Duration
	}{{"1/2", 30}, {"1/4", 15}, {"3/4", 45}} {
		for _, unit := range []string{"h", "hour", "an hour"} {
			if text == part.word+" "+unit {
				return part.minutes * time.Minute, nil
			}
		}
	}
	m := lastsHours.FindStringSubmatch(text)
	if m == nil {
		return 0, fmt.Errorf("length of time %q is not understood; write it as 90 min or 1 h 30", s)
	}
	d := time.Duration(atoi(m[1]))*time.Hour + time.Duration(atoi(m[4]))*time.Minute
	switch m[2] {
	case "1/2":
		d += 30 * time.Minute
	case "1/4":
		d += 15 * time.Minute
	case "3/4":
		d += 45 * time.Minute
	}
	if m[3] != "" {
		tenths, err := measure.ParseNumber("0" + m[3])
		if err != nil {
			return 0, err
		}
		d += time.Duration(tenths * float64(time.Hour)).Round(time.Minute)
	}
	if d >= 1000*time.Hour { // what is longer could not be written as it is read
		return 0, fmt.Errorf("length of time %q is more than the 999 h that are read", s)
	}
	return d, nil
}

// lastsText is a span as people say it: "45 min", "1 h 30 min".
func lastsText(d time.Duration) string {
	hours, minutes := int(d/time.Hour), int(d%time.Hour/time.Minute)
	switch {
	case hours == 0:
		return fmt.Sprintf("%d min", minutes)
	case minutes == 0:
		return fmt.Sprintf("%d h", hours)
	default:
		return fmt.Sprintf("%d h %d min", hours, minutes)
	}
}
