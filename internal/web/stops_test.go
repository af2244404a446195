package web

import (
	"slices"
	"testing"

	"platewright/internal/studio"
)

func TestParseStops(t *testing.T) {
	for text, want := range map[string][]studio.Stop{
		"f/3.6, f/4.5 half stop":      {{Name: "f/3.6", FNumber: 3.6}, {Name: "half stop", FNumber: 4.5}},
		"f/3,6, f/4,5":                {{Name: "f/3.6", FNumber: 3.6}, {Name: "f/4.5", FNumber: 4.5}},
		"11, 8,5.6":                   nil,
		"11, 8, 5.6":                  {{Name: "f/5.6", FNumber: 5.6}, {Name: "f/8", FNumber: 8}, {Name: "f/11", FNumber: 11}},
		"F 8 No. 3; No. 4, brass 1:5": {{Name: "No. 4, brass", FNumber: 5}, {Name: "No. 3", FNumber: 8}},
		"f/4,f/5.6,":                  {{Name: "f/4", FNumber: 4}, {Name: "f/5.6", FNumber: 5.6}},
		"f/4\nf/8 small":              {{Name: "f/4", FNumber: 4}, {Name: "small", FNumber: 8}},
		"f/4, f/4":                    nil,
		"wide":                        nil,
		"f/4 a, f/5 A":                nil,
	} {
		got, err := parseStops(text)
		if want == nil {
			if err == nil {
				t.Errorf("parseStops(%q) = %v, want a refusal", text, got)
			}
			continue
		}
		if err != nil || !slices.Equal(got, want) {
			t.Errorf("parseStops(%q) = %v, %v, want %v", text, got, err, want)
			continue
		}
		if back, err := parseStops(stopsText(got)); err != nil || !slices.Equal(back, got) {
			t.Errorf("%q is listed as %q and read back as %v, %v", text, stopsText(got), back, err)
		}
	}
}

// FuzzStops: whatever is typed either is refused or is listed so that it reads back the same.
func FuzzStops(f *testing.F) {
	for _, s := range []string{"f/3.6, f/4.5 half stop", "f/4;No. 4, brass f/5", "11 a,b;8", "1:4 x, 5"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		got, err := parseStops(s)
		if err != nil || len(got) == 0 {
			return
		}
		back, err := parseStops(stopsText(got))
		if err != nil || len(back) != len(got) {
			t.Fatalf("%q is %v, listed %q, read back %v, %v", s, got, stopsText(got), back, err)
		}
	})
}
