package web_test

import (
	"net/http"
	"net/url"
	"testing"

	"platewright/internal/studio"
)

// summary is what stands over a form that was sent back: each field's name in words, with its sentence.
func (h *house) summary(t *testing.T, target string, sent url.Values) map[string]string {
	t.Helper()
	all := map[string]string{}
	for _, at := range find(document(t, h.post(t, target, sent, http.StatusUnprocessableEntity)), with("class", "notice refused form-refused")) {
		for _, line := range find(at, tag("li")) {
			link := find(line, tag("a"))[0]
			all[words(link)] = words(line)
		}
	}
	return all
}

// Pinned: a form names all that is wrong at once, what cannot be read beside what is not allowed, by
// the words that stand at its fields.
func TestAllFaultsAtOnce(t *testing.T) {
	h := opened(t, studio.Metric)
	for _, tt := range []struct {
		target string
		sent   url.Values
		want   []string
	}{
		{"/desk/sittings", values("sitter_name", "Ottilie Brandt", "day", "soon", "time", "25:00", "lasts", "a while", "size", "13x18", "plates", "0"),
			[]string{"Day", "Time", "Lasts", "Plate size", "Plates wanted"}},
		{"/desk/sittings", values("day", "tomorrow", "time", "9", "lasts", "2 min", "size", "half plate", "plates", "many"), []string{"Sitter", "Lasts", "Plates wanted"}},
		{"/floor/lenses/new", values("focal", "2", "circle", "6 km", "stops", "f/4", "pupil_mag", "9"),
			[]string{"Name", "Focal length", "Circle of good definition", "Exit pupil over entrance pupil"}},
		{"/floor/cameras/new", values("name", "Field", "shortest", "400 mm", "longest", "200 mm"), []string{"Largest plate its back takes", "Longest extension"}},
		{"/floor/holders/new", values("name", "", "size", "13x18"), []string{"Name", "Plate it takes"}},
		{"/darkroom/shelf/batches/new", values("name", "", "volume", "lots", "mixed", "soon"), []string{"Name", "How much was mixed", "Mixed on", "From which recipe?"}},
	} {
		got := h.summary(t, tt.target, tt.sent)
		if len(got) != len(tt.want) {
			t.Errorf("%s names %q, want %q", tt.target, got, tt.want)
		}
		for _, label := range tt.want {
			if got[label] == "" {
				t.Errorf("%s does not name %s: %q", tt.target, label, got)
			}
		}
	}
	if got := h.summary(t, "/desk/sittings", but(bookingForm(), "plates", "0"))["Plates wanted"]; got != "Plates wanted : 0 is outside 1 to 100" && got != "Plates wanted: 0 is outside 1 to 100" {
		t.Errorf("no plates wanted is refused with %q", got)
	}
}
