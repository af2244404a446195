package web

import (
	"strings"
	"testing"
	"time"
)

// The studio's place in these tests: clocks go forward at 02:00 on 29 March 2026, the last Sunday
// of March, as the European summer time rule has it (common knowledge of the calendar).
func testPlace(t *testing.T) *time.Location {
	t.Helper()
	loc, err := time.LoadLocation("Europe/Prague")
	if err != nil {
		t.Fatalf("time zone: %v", err)
	}
	return loc
}

// TestParseDay: a day is read as people write it. The weekday of the answer is checked against the
// calendar: 24 November 2026 is a Tuesday.
func TestParseDay(t *testing.T) {
	loc := testPlace(t)
	now := time.Date(2026, 11, 24, 23, 20, 0, 0, loc)
	for text, want := range map[string]string{
		"2026-11-24": "2026-11-24", "2026/1/5": "2026-01-05", "24.11.2026": "2026-11-24", "24. 11. 2026": "2026-11-24",
		"25/12/2026": "2026-12-25", "12/25/2026": "2026-12-25", "5/5/2027": "2027-05-05", "5/6/2027": "",
		"today": "2026-11-24", " Tomorrow ": "2026-11-25", "yesterday": "2026-11-23",
		"Friday": "2026-11-27", "tue": "2026-11-24", "monday": "2026-11-30", "24 Nov": "2026-11-24", "23 november": "2027-11-23",
		"24. November 2026": "2026-11-24", "Nov 24, 2026": "2026-11-24", "sept 3": "2027-09-03", "29 Feb": "2028-02-29",
		"31 April": "", "2026-02-30": "", "32.1.2027": "", "5 Smarch": "", "soon": "", "2026-11": "", strings.Repeat("1", 60): "",
	} {
		got, err := parseDay(text, now)
		if want == "" {
			if err == nil {
				t.Errorf("parseDay(%q) = %v, want a refusal", text, got)
			} else if !strings.Contains(err.Error(), text) {
				t.Errorf("parseDay(%q) refuses with %q, which does not repeat what was given", text, err)
			}
			continue
		}
		if err != nil || got.Format(isoDay) != want || got.Location() != loc || got.Hour() != 0 {
			t.Errorf("parseDay(%q) = %v, %v, want %s", text, got, err, want)
		}
	}
	if got := dayText(midnight(now)); got != "Tuesday, 24 November 2026" {
		t.Errorf("dayText = %q", got)
	}
}

func TestParseHour(t *testing.T) {
	for text, want := range map[string]string{
		"14:30": "14:30", "14.30": "14:30", "1430": "14:30", "9": "09:00", "9:05": "09:05", "905": "09:05", "2:30 pm": "14:30", "2pm": "14:00",
		"12 am": "00:00", "12 pm": "12:00", "12:15 a.m.": "00:15", "noon": "12:00", "0:00": "00:00", "14h30": "14:30",
		"24:00": "", "13 pm": "", "0 am": "", "10:60": "", "later": "", "1:2:3": "", "-3": "",
	} {
		got, err := parseHour(text)
		if want == "" {
			if err == nil || !strings.Contains(err.Error(), text) {
				t.Errorf("parseHour(%q) = %v, %v, want a refusal that repeats it", text, got, err)
			}
			continue
		}
		if err != nil || got.String() != want {
			t.Errorf("parseHour(%q) = %v, %v, want %s", text, got, err, want)
		}
	}
}

func TestParseLasts(t *testing.T) {
	for text, want := range map[string]time.Duration{
		"90": 90 * time.Minute, "90 min": 90 * time.Minute, "1 h 30": 90 * time.Minute, "1h30": 90 * time.Minute, "1:30": 90 * time.Minute,
		"1 1/2 h": 90 * time.Minute, "1½ h": 90 * time.Minute, "1.5 h": 90 * time.Minute, "1,5 hours": 90 * time.Minute, "2 h": 2 * time.Hour,
		"½ h": 30 * time.Minute, "3/4 hour": 45 * time.Minute, "1 hour and 15 min": 75 * time.Minute, "45 minutes": 45 * time.Minute,
		"long": 0, "-5": 0, "1 h 30 h": 0, "": 0,
	} {
		got, err := parseLasts(text)
		if want == 0 {
			if err == nil {
				t.Errorf("parseLasts(%q) = %v, want a refusal", text, got)
			}
			continue
		}
		if err != nil || got != want {
			t.Errorf("parseLasts(%q) = %v, %v, want %v", text, got, err, want)
		}
		if back, err := parseLasts(lastsText(got)); err != nil || back != got {
			t.Errorf("%q is written as %q and read back as %v, %v", text, lastsText(got), back, err)
		}
	}
}

// FuzzDays: nothing typed as a day, an hour or a span panics, and what is read is written so that
// it reads back the same.
func FuzzDays(f *testing.F) {
	for _, s := range []string{"2026-11-24", "tomorrow", "5/6/2027", "2:30 pm", "1 h 30", "½ h", "29 feb", "0 am", "7000", "99:99", "999 h 99"} {
		f.Add(s)
	}
	now := time.Date(2026, 11, 24, 12, 0, 0, 0, time.UTC)
	f.Fuzz(func(t *testing.T, s string) {
		if d, err := parseDay(s, now); err == nil {
			if back, err := parseDay(d.Format(isoDay), now); err != nil || !back.Equal(d) {
				t.Errorf("%q is %v, written again %v, %v", s, d, back, err)
			}
		}
		if h, err := parseHour(s); err == nil {
			if back, err := parseHour(h.String()); err != nil || back != h {
				t.Errorf("%q is %v, written again %v, %v", s, h, back, err)
			}
		}
		if d, err := parseLasts(s); err == nil {
			if back, err := parseLasts(lastsText(d)); err != nil || back != d {
				t.Errorf("%q is %v, written again %v, %v", s, d, back, err)
			}
		}
	})
}
