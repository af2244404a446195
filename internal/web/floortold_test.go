package web_test

import (
	"strings"
	"testing"

	"golang.org/x/net/html"

	"platewright/internal/studio"
	"platewright/measure"
	"platewright/pose"
)

// floorWarnings are what the floor warns of.
func floorWarnings(doc *html.Node) string {
	if list := find(doc, with("id", "warnings")); len(list) == 1 {
		return words(list[0])
	}
	return ""
}

// What cannot be laid is told with what would make it possible: through both ears and the nose no movement lays a plane.
func TestFloorTellsWhatWouldLayThePlane(t *testing.T) {
	h, form := floorHouse(t, studio.Metric)
	form = but(but(form, "lay", "yes"), "camera", "")
	form["through"] = []string{"right ear", "left ear", "nose tip"}
	got := words(find(h.get(t, "/floor?"+form.Encode()), with("id", "laid"))[0])
	if !strings.Contains(got, "no movement reaches the plane") || !strings.Contains(got, "; move the camera farther away") {
		t.Errorf("said is %q", got)
	}
}

// independent: the limits told are where a spot at the landmark focused on grows to the blur, from package scene; and the
// frame's figures are one, on the drawing and in the table, whatever the movements.
func TestFloorTellsTheDepthWhereItIsFocused(t *testing.T) {
	h, form := floorHouse(t, studio.Metric)
	form, set := posedForm(form)
	shot := shotOf(t, set, 20)
	marks, err := shot.Landmarks()
	if err != nil {
		t.Fatal(err)
	}
	doc := h.get(t, "/floor?"+form.Encode())
	rows := rowsOf(doc, "figures-table")
	for _, m := range marks {
		if m.Name != pose.LeftEye {
			continue
		}
		reach, err := shot.Setup.Along(m.On, 0.1)
		if err != nil {
			t.Fatal(err)
		}
		for word, want := range map[string]measure.Length{"Sharp from, at the left eye": reach.Near.Z, "Sharp to, at the left eye": reach.Far.Z, "Depth of sharpness, at the left eye": reach.Far.Z - reach.Near.Z} {
			if text := plain(measure.Thin(want.Format(measure.Metric))); !strings.HasPrefix(rows[word], text) {
				t.Errorf("%s: the table says %q, want %q", word, rows[word], text)
			}
		}
	}
	up := strings.Fields(strings.SplitN(rows["Fills the plate, across × up"], "×", 2)[1])[0]
	if svg := words(find(doc, with("id", "wide-side"))[0]); !strings.Contains(svg, up) {
		t.Errorf("the frame is %s mm high in the table, and the drawing says %q", up, svg)
	}
}

// With two foci apart the landmark focused on is not sharp: one sentence says why and what helps, its row does not call
// it too near, the smear is still told, and why the chance to stay in depth is not. On the axis all that is gone.
func TestFloorTellsOfFociApart(t *testing.T) {
	h, form := floorHouse(t, studio.Metric)
	lens, err := h.studio.AddLens(t.Context(), studio.Lens{Name: "Form", Design: "portrait-1840", Focal: 300, PupilMag: 1, Circle: 500, Stops: []studio.Stop{{FNumber: 3.6}}})
	if err != nil {
		t.Fatal(err)
	}
	form = but(but(but(but(form, "lens", string(lens.ID)), "stop", "f/3.6"), "blur", "0.06"), "held", "head rest")
	said := func(below string) (row, warnings, still string) {
		doc := h.get(t, "/floor?"+but(form, "below", below).Encode())
		return rowsOf(doc, "marks-table")["right eye"], floorWarnings(doc), words(find(doc, func(n *html.Node) bool { return hasClass(n, "still") })[0])
	}
	const apart, none = "come to a focus apart", "no depth to keep in"
	row, warnings, still := said("150 mm")
	if !strings.Contains(row, "the least blur there") || strings.Contains(row, "too") || strings.Count(warnings, apart) != 1 || !strings.Contains(still, "Moving smears about") || !strings.Contains(still, none) {
		t.Errorf("said are %q, %q, %q", row, warnings, still)
	}
	if strings.Contains(warnings, "too shallow") {
		t.Errorf("where there is no depth it is said to be too shallow: %q", warnings)
	}
	if row, warnings, still = said("0 mm"); !strings.HasPrefix(row, "sharp") || strings.Contains(warnings, apart) || strings.Contains(still, none) {
		t.Errorf("near the axis said are %q, %q, %q", row, warnings, still)
	}
}
