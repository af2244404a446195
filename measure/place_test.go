package measure_test

import (
	"math"
	"strings"
	"testing"

	"platewright/measure"
)

// TestCoordinates reads places as people write them; a degree is 60 minutes of 60 seconds (identity).
func TestCoordinates(t *testing.T) {
	for _, tt := range []struct {
		text string
		read func(string) (measure.Angle, error)
		want float64
	}{
		{"48.2 N", measure.ParseLatitude, 48.2},
		{"48,2083 N", measure.ParseLatitude, 48.2083},
		{"48,208", measure.ParseLatitude, 48.208},
		{"n 48 12 30", measure.ParseLatitude, 48 + 12.5/60},
		{"48° 12′ 30″ N", measure.ParseLatitude, 48 + 12.5/60},
		{"48°12.5' north", measure.ParseLatitude, 48 + 12.5/60},
		{"33 S", measure.ParseLatitude, -33},
		{"S33.5", measure.ParseLatitude, -33.5},
		{"−33.5", measure.ParseLatitude, -33.5},
		{"33 deg 30 min S.", measure.ParseLatitude, -33.5},
		{"90 S", measure.ParseLatitude, -90},
		{"0", measure.ParseLatitude, 0},
		{"16 22' E", measure.ParseLongitude, 16 + 22./60},
		{"16° 22' 12'' E", measure.ParseLongitude, 16.37},
		{"105.1786 W", measure.ParseLongitude, -105.1786},
		{"74 west", measure.ParseLongitude, -74},
		{"180 e", measure.ParseLongitude, 180},
		{"+2:21:8", measure.ParseLongitude, 2 + 21./60 + 8./3600},
	} {
		got, err := tt.read(tt.text)
		if err != nil || math.Abs(got.Degrees()-tt.want) > 1e-9 {
			t.Errorf("%q reads as %.9g, %v; want %.9g", tt.text, got.Degrees(), err, tt.want)
		}
	}
	for text, says := range map[string]string{
		"": "nothing was given", "91 N": "outside -90 to 90", "48 E": "no side of a latitude", "-48 S": "one too many", "48 60 N": "below 60",
		"48.5 30 N": "has decimals", "here": "number is missing", "48 1 2 3": "all that is read", "12' 48° N": "after degrees", "48 N 16 E": "", "48.2, 16.3": "each by itself", "1/2 N": "number is missing",
	} {
		if _, err := measure.ParseLatitude(text); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %v; want a refusal that says %q", text, err, says)
		}
	}
	if _, err := measure.ParseLongitude("181 E"); err == nil {
		t.Error("181 E was read")
	}
	if got := measure.FormatLatitude(-33.5 * measure.Degree); got != "33.5° S" {
		t.Errorf("written %q", got)
	}
	if got := measure.FormatLongitude(16.37309 * measure.Degree); got != "16.3731° E" {
		t.Errorf("written %q", got)
	}
}

func TestFacingsAndElevations(t *testing.T) {
	for text, want := range map[string]float64{"N": 0, "north": 0, "NNW": 337.5, "south-east": 135, "352": 352, "352.5 deg": 352.5, "South South West": 202.5, "w.": 270, "360°": 360} {
		if got, err := measure.ParseFacing(text); err != nil || math.Abs(got.Degrees()-want) > 1e-9 {
			t.Errorf("%q reads as %v, %v; want %v", text, got.Degrees(), err, want)
		}
	}
	for _, text := range []string{"", "up", "361", "-5", "12 m", "NNN"} {
		if got, err := measure.ParseFacing(text); err == nil {
			t.Errorf("%q was read as %v", text, got)
		}
	}
	if got := measure.FormatFacing(352 * measure.Degree); got != "352° (N)" {
		t.Errorf("written %q", got)
	}
	// The foot is 304.8 mm exactly [SP811].
	for text, want := range map[string]float64{"171 m": 171_000, "560 ft": 170_688, "-20": -20_000, "1 200": 1_200_000, "8848 m": 8_848_000} {
		if got, err := measure.ParseElevation(text, measure.Metre); err != nil || math.Abs(float64(got)-want) > 1e-6 {
			t.Errorf("%q reads as %v, %v; want %v mm", text, float64(got), err, want)
		}
	}
	for _, text := range []string{"", "9001 m", "-501", "high", "3 kg"} {
		if got, err := measure.ParseElevation(text, measure.Metre); err == nil {
			t.Errorf("%q was read as %v", text, got)
		}
	}
}

// FuzzParseLatitude holds that any text is refused or read within bounds, and that what is written reads again.
func FuzzParseLatitude(f *testing.F) {
	seeds(f, "48.2 N", "n 48 12 30", "48° 12′ 30″ N", "-33.5", "33 S", "48°12.5's", "1e9", "s")
	f.Fuzz(func(t *testing.T, text string) {
		a, err := measure.ParseLatitude(text)
		if err != nil {
			return
		}
		settled(t, math.Round(a.Degrees()*1e4)/1e4, -90, 90, measure.FormatLatitude(a), func(s string) (float64, string, error) {
			again, err := measure.ParseLatitude(s)
			return again.Degrees(), measure.FormatLatitude(again), err
		})
	})
}

// FuzzParseFacing holds the same of directions.
func FuzzParseFacing(f *testing.F) {
	seeds(f, "N", "south-east", "352.5 deg", "360")
	f.Fuzz(func(t *testing.T, text string) {
		a, err := measure.ParseFacing(text)
		if err == nil && !(0 <= a && a.Degrees() <= 360+1e-9) {
			t.Fatalf("%q reads as %v", text, a.Degrees())
		}
	})
}
