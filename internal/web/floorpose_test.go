package web_test

import (
	"fmt"
	"io"
	"log/slog"
	"math"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"platewright/internal/studio"
	"platewright/internal/web"
	"platewright/measure"
	"platewright/optics"
	"platewright/pose"
	"platewright/reckon"
	"platewright/scene"
)

// shotOf is the set-up of floorHouse's form by hand, straight from the packages below.
func shotOf(t *testing.T, set studio.Setting, below measure.Length) scene.Shot {
	t.Helper()
	lens := optics.Lens{Focal: 450, Stop: 4.5, PupilMag: 0.905}
	at, err := lens.AtMagnification(0.43)
	if err != nil {
		t.Fatal(err)
	}
	p, err := set.Pose()
	if err != nil {
		t.Fatal(err)
	}
	figure, err := p.Figure()
	if err != nil {
		t.Fatal(err)
	}
	shot, err := scene.Shot{
		Setup:  optics.Setup{Lens: lens, Camera: set.Camera(450, at.Extension), Plate: plateSize(t, "8x10"), Centre: set.Centre()},
		Figure: figure, Eyes: optics.Point{X: -set.Shift, Y: below - set.Rise}, FocusOn: pose.Landmark(set.FocusOn), Blur: 0.1, Wavelength: 430e-6,
	}.Focused(at.Distance)
	if err != nil {
		t.Fatal(err)
	}
	return shot
}

// posedForm is the form of that set-up, with a sitter who turns away from a camera that is moved.
func posedForm(form url.Values) (url.Values, studio.Setting) {
	for _, pair := range [][2]string{{"turn", "25"}, {"nod", "-4"}, {"focus_on", "left eye"}, {"rise", "12 mm"}, {"shift", "-8"}, {"back_tilt", "3"}, {"back_swing", "-5.5"}, {"below", "20 mm"}} {
		form = but(form, pair[0], pair[1])
	}
	d := measure.Degree
	return form, studio.Setting{Turn: 25 * d, Nod: -4 * d, FocusOn: "left eye", Aimed: true, Below: 20, Rise: 12, Shift: -8, BackTilt: 3 * d, BackSwing: -5.5 * d, Seat: studio.CommonSeat}
}

func number(t *testing.T, svg *html.Node, key string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(attr(svg, key), 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// points are the corners of a drawn line of straight pieces.
func points(t *testing.T, svg *html.Node, length string) [][2]float64 {
	t.Helper()
	lines := find(svg, with("data-length", length))
	if len(lines) == 0 {
		t.Fatalf("%s is not drawn in %s", length, attr(svg, "id"))
	}
	var out [][2]float64
	for _, part := range strings.FieldsFunc(strings.TrimSuffix(attr(lines[0], "d"), "Z"), func(r rune) bool { return r == 'M' || r == 'L' }) {
		x, y, ok := strings.Cut(part, " ")
		a, errA := strconv.ParseFloat(x, 64)
		b, errB := strconv.ParseFloat(y, 64)
		if !ok || errA != nil || errB != nil {
			t.Fatalf("%s: %q is no corner", length, part)
		}
		out = append(out, [2]float64{a, b})
	}
	return out
}

// The shell is drawn to scale: every corner of its limits, times the scale, is the place package scene
// gives, in the elevations and around the head.
func TestFloorDrawsTheShell(t *testing.T) {
	h, form := floorHouse(t, studio.Metric)
	form, set := posedForm(form)
	shot := shotOf(t, set, 20)
	doc := document(t, do(h, typed(form)))
	for _, tt := range []struct {
		id      string
		section scene.Section
		across  func(optics.Point) float64
		down    float64
	}{
		{"wide-side", scene.Side, func(p optics.Point) float64 { return float64(p.Y) }, -1},
		{"wide-above", scene.Above, func(p optics.Point) float64 { return float64(p.X) }, 1},
		{"narrow-side", scene.Side, func(p optics.Point) float64 { return float64(p.Y) }, -1},
		{"head-side", scene.Side, func(p optics.Point) float64 { return float64(p.Y) }, -1},
		{"head-above", scene.Above, func(p optics.Point) float64 { return float64(p.X) }, 1},
	} {
		band, err := shot.Shell(tt.section)
		if err != nil {
			t.Fatal(err)
		}
		svg := find(doc, with("id", tt.id))[0]
		scale := number(t, svg, "data-scale")
		for name, want := range map[string][]optics.Point{"near": band.Near, "far": band.Far} {
			got := points(t, svg, name)
			if len(got) != len(want) {
				t.Fatalf("%s: %s has %d corners, want %d", tt.id, name, len(got), len(want))
			}
			for i := range want {
				dz := float64(want[i].Z - want[0].Z)
				da := tt.down * (tt.across(want[i]) - tt.across(want[0]))
				if math.Abs((got[i][0]-got[0][0])*scale-dz) > 0.011*2*scale || math.Abs((got[i][1]-got[0][1])*scale-da) > 0.011*2*scale {
					t.Fatalf("%s: corner %d of %s lies %.3f, %.3f mm from the first, want %.3f, %.3f", tt.id, i, name, (got[i][0]-got[0][0])*scale, (got[i][1]-got[0][1])*scale, dz, da)
				}
			}
		}
		if strings.HasPrefix(tt.id, "wide") { // and they stand where they belong
			x := number(t, svg, "data-lens") + float64(band.Near[0].Z)/scale
			if got := points(t, svg, "near")[0][0]; math.Abs(got-x) > 0.021 {
				t.Errorf("%s: the near limit begins at %.2f, want %.2f", tt.id, got, x)
			}
		}
	}
}

// The plate is drawn as it leans: its slope in each elevation is the movement's.
func TestFloorDrawsMovements(t *testing.T) {
	h, form := floorHouse(t, studio.Metric)
	form, _ = posedForm(form)
	doc := document(t, do(h, typed(form)))
	for id, want := range map[string]float64{"wide-side": 3, "wide-above": -5.5} {
		p := points(t, find(doc, with("id", id))[0], "plate")
		dx, dy := p[1][0]-p[0][0], p[1][1]-p[0][1] // from the upper to the lower end on the sheet
		got := math.Atan2(dx, dy) * 180 / math.Pi
		if id == "wide-above" { // the right-hand side is below
			got = -got
		}
		if math.Abs(got-want) > 0.1 {
			t.Errorf("%s: the plate leans %.2f°, want %g°", id, got, want)
		}
	}
	for name, want := range map[string]string{"wide-back-tilt": "3°", "wide-back-swing": "-5.5°", "wide-rise": "12 mm", "head-nod": "-4°", "head-turn": "25°", "narrow-eye": "1.497 m"} {
		g := find(doc, with("id", name))
		if len(g) != 1 || plain(attr(g[0], "aria-valuetext")) != want || attr(g[0], "role") != "slider" || attr(g[0], "tabindex") != "0" {
			t.Errorf("handle %s: %d, says %q, want %q", name, len(g), attr(g[0], "aria-valuetext"), want)
			continue
		}
		if fields := find(h.get(t, "/floor"), with("name", attr(g[0], "data-field"))); len(fields) == 0 {
			t.Errorf("handle %s writes the field %q, which there is not", name, attr(g[0], "data-field"))
		}
	}
	if got := words(find(doc, with("id", "line-moves"))[0]); got != "rise 12 mm, shift left 8 mm, back tilt back 3°, back swing, left side back 5.5°" {
		t.Errorf("the line of the movements says %q", got)
	}
	if got := words(find(doc, with("id", "line-pose"))[0]); got != "grown person, face to the right 25°, chin up 4°, seated, focused on the left eye" {
		t.Errorf("the line of the pose says %q", got)
	}
}

// The landmarks are those of package scene, in the table and by their signs on the plate, upright and as
// they stand on the ground glass.
func TestFloorListsLandmarks(t *testing.T) {
	h, form := floorHouse(t, studio.Metric)
	form, set := posedForm(form)
	shot := shotOf(t, set, 20)
	marks, err := shot.Landmarks()
	if err != nil {
		t.Fatal(err)
	}
	for _, face := range []string{"", "glass"} {
		doc := document(t, do(h, typed(but(form, "face", face))))
		rows := map[string]string{}
		for _, tr := range find(find(doc, with("id", "marks-table"))[0], tag("tr")) {
			if cells := find(tr, tag("td")); len(cells) == 3 {
				rows[words(find(tr, tag("th"))[0])] = words(cells[0]) + " " + words(cells[1])
			}
		}
		svg := find(doc, with("id", "face"))[0]
		scale := number(t, svg, "data-scale")
		mx, my, _ := strings.Cut(attr(svg, "data-middle"), ",")
		middle := [2]float64{}
		for i, text := range []string{mx, my} {
			if middle[i], err = strconv.ParseFloat(text, 64); err != nil {
				t.Fatal(err)
			}
		}
		drawn := 0
		for _, m := range marks {
			row := rows[string(m.Name)]
			if blur := strconv.FormatFloat(float64(m.Blur), 'f', 2, 64); !strings.HasPrefix(row, string(m.State)) || m.Blur < 1 && !strings.Contains(row, blur+" mm") {
				t.Errorf("%s: the table says %q, want %s and %s", m.Name, row, m.State, blur)
			}
			groups := find(svg, with("data-mark", string(m.Name)))
			if !m.Seen {
				continue
			}
			if len(groups) != 1 || attr(groups[0], "class") != "mark-"+string(m.State) {
				t.Errorf("%s, %s: %d signs on the plate", m.Name, m.State, len(groups))
				continue
			}
			drawn++
			turn := -1.0
			if face == "glass" {
				turn = 1
			}
			for _, c := range find(groups[0], tag("circle")) {
				x, y := middle[0]+turn*float64(m.On.X)/scale, middle[1]-turn*float64(m.On.Y)/scale
				if math.Abs(number(t, c, "cx")-x) > 0.02 || math.Abs(number(t, c, "cy")-y) > 0.02 {
					t.Errorf("%s stands at %s, %s on the plate, want %.2f, %.2f", m.Name, attr(c, "cx"), attr(c, "cy"), x, y)
				}
			}
		}
		if drawn < 6 {
			t.Errorf("only %d landmarks were looked at", drawn)
		}
		if got, want := words(svg), map[string]string{"": "turned upright", "glass": "on the ground glass"}[face]; !strings.Contains(got, want) {
			t.Errorf("face %q is not said to be %s", face, want)
		}
	}
}

// The plane is laid through three landmarks by a button: the movements come into the form, and all three
// are sharp. What a camera cannot do is said, and nothing is changed.
func TestFloorLaysThePlane(t *testing.T) {
	h, form := floorHouse(t, studio.Metric)
	form = but(but(form, "turn", "30"), "lay", "yes")
	form["through"] = []string{"right eye", "left eye", "lips"}
	able, err := h.studio.AddCamera(t.Context(), studio.Camera{Name: "Swinging", Back: plateSize(t, "8x10"), Shortest: 250, Longest: 900,
		BackTilt: 30 * measure.Degree, BackSwing: 30 * measure.Degree})
	if err != nil {
		t.Fatal(err)
	}
	doc := document(t, do(h, typed(but(form, "camera", string(able.ID)))))
	swing, _ := kept(doc, "back_swing")
	if v, err := strconv.ParseFloat(swing, 64); err != nil || math.Abs(v) < 3 || math.Abs(v) > 30 {
		t.Errorf("the back is swung %q", swing)
	}
	sharp := words(find(doc, tag("dl"), with("class", "mark-list"))[0])
	sharp, _, _ = strings.Cut(sharp, "Soft")
	for _, name := range form["through"] {
		if !strings.Contains(plain(strings.ReplaceAll(sharp, "\u00a0", " ")), name+" 0.0") {
			t.Errorf("after the plane was laid the %s is not sharp: %q", name, sharp)
		}
	}
	if got := words(find(doc, with("id", "laid"))[0]); !strings.Contains(got, "Laid through right eye, left eye and lips") {
		t.Errorf("said is %q", got)
	}
	// The studio camera has no movements.
	doc = document(t, do(h, typed(form)))
	if got := words(find(doc, with("id", "laid"))[0]); !strings.Contains(got, "the camera has none") {
		t.Errorf("a camera that cannot is answered with %q", got)
	}
	if len(find(doc, with("id", "wide-side"))) != 1 {
		t.Error("what is not laid is not drawn either")
	}
	form["through"] = form["through"][:2]
	if got := words(find(h.get(t, "/floor?"+form.Encode()), with("id", "laid"))[0]); !strings.Contains(got, "2 are ticked; tick three") {
		t.Errorf("two landmarks are answered with %q", got)
	}
}

// A pose that cannot be, and movements that cannot be read, are said at their fields, with the limit.
func TestFloorRefusesPoses(t *testing.T) {
	h, form := floorHouse(t, studio.Metric)
	for _, tt := range []struct{ field, typed, want string }{
		{"turn", "120", "120; the most is 90°"}, {"turn", "-95°", "the least is -90°"}, {"lean", "-30", "the least is -20°"}, {"nod", "a bit", "write the degrees in figures"},
		{"front_tilt", "61", "the most is 60°"}, {"rise", "much", "length"}, {"seat", "40", "150"}, {"blur", "20", "10 mm"}, {"wait", "soon", "soon"},
	} {
		doc := h.get(t, "/floor?"+but(form, tt.field, tt.typed).Encode())
		if got := saidOf(t, doc, tt.field); !strings.Contains(got, tt.want) {
			t.Errorf("%s %q: said is %q, want %q in it", tt.field, tt.typed, got, tt.want)
		}
		if len(find(doc, with("id", "wide-side"))) != 0 {
			t.Errorf("%s %q: something is drawn all the same", tt.field, tt.typed)
		}
	}
	child := but(but(form, "body", "child"), "age", "40")
	if got := saidOf(t, h.get(t, "/floor?"+child.Encode()), "age"); !strings.Contains(got, "2 to 15 years") {
		t.Errorf("a child of 40: %q", got)
	}
	hands := but(form, "focus_on", "left hand")
	if doc := h.get(t, "/floor?"+hands.Encode()); !strings.Contains(words(doc), "the hands are left out of the picture") {
		t.Error("focusing on a hand that is not in the picture is not spoken of")
	}
	if doc := h.get(t, "/floor?"+but(hands, "hands", "yes").Encode()); len(find(doc, with("id", "wide-side"))) != 1 {
		t.Error("with the hands in the picture nothing is drawn")
	}
}

// Pose and movements are kept with the plate, and the next plan starts from them.
func TestFloorKeepsTheSetting(t *testing.T) {
	h, form := floorHouse(t, studio.Metric)
	form, set := posedForm(form)
	form = but(but(but(form, "held", "head rest"), "wait", "8 s"), "seat", "450 mm")
	set.SitterSupport, set.Wait, set.Body = studio.HeldHeadRest, 8e9, "adult"
	r := h.post(t, "/floor", form, http.StatusSeeOther)
	n, err := studio.ParseNumber(strings.TrimPrefix(r.Header.Get("Location"), "/darkroom/"))
	if err != nil {
		t.Fatal(err)
	}
	story, err := h.studio.Plate(t.Context(), n)
	if err != nil {
		t.Fatal(err)
	}
	if story.Plan.Setting != set {
		t.Errorf("kept is\n%+v, want\n%+v", story.Plan.Setting, set)
	}
	shot := shotOf(t, set, 20)
	if got, want := float64(story.Plan.Extension), float64(shot.Setup.Camera.Extension); math.Abs(got-want) > 1e-6 {
		t.Errorf("the extension kept is %g mm, that of the camera as it is moved %g", got, want)
	}
	doc := h.get(t, "/floor")
	for name, want := range map[string]string{"turn": "25", "nod": "-4", "rise": "12 mm", "shift": "-8 mm", "back_tilt": "3", "back_swing": "-5.5", "held": "head rest", "wait": "8 s", "focus_on": "left eye"} {
		if v, _ := kept(doc, name); v != want {
			t.Errorf("the next plan starts with %s %q, want %q", name, v, want)
		}
	}
}

// A link that sets the camera, as that of the chooser, brings nothing of the last plate's pose with it, and
// still proposes what it does not speak of.
func TestFloorFromALink(t *testing.T) {
	h, form := floorHouse(t, studio.Metric)
	posed, _ := posedForm(form)
	h.post(t, "/floor", posed, http.StatusSeeOther)
	doc := h.get(t, "/floor?"+values("lens", form.Get("lens"), "stop", "f/11", "by", "distance", "distance", "2 m", "size", "half plate", "nod", "7").Encode())
	for name, want := range map[string]string{"turn": "", "rise": "", "back_tilt": "", "nod": "7", "stop": "f/11", "distance": "2 m", "support": "clear glass", "camera": form.Get("camera")} {
		if v, _ := kept(doc, name); v != want {
			t.Errorf("%s is %q, want %q", name, v, want)
		}
	}
}

// The set-up card says what the camera needs, for a form and for a plate that is planned.
func TestFloorCard(t *testing.T) {
	var cards []web.Card
	h, form := floorHouse(t, studio.Metric)
	server, err := web.New(web.Config{Clock: morning, Log: slog.New(slog.DiscardHandler), Listen: "127.0.0.1:8417", Location: time.UTC,
		Studio: h.studio, Reckon: reckon.New(), Card: func(w io.Writer, card web.Card, paper string) error {
			cards = append(cards, card)
			_, err := io.WriteString(w, "%PDF-"+paper)
			return err
		}})
	if err != nil {
		t.Fatal(err)
	}
	h.Server = server
	form, set := posedForm(form)
	shot := shotOf(t, set, 20)
	doc := h.get(t, "/floor?"+form.Encode())
	links := find(doc, tag("a"), func(n *html.Node) bool { return strings.HasPrefix(attr(n, "href"), "/floor/card.pdf?") })
	if len(links) != 2 {
		t.Fatalf("%d links to a card, want one for each paper", len(links))
	}
	if body := text(t, do(h, request("GET", attr(links[1], "href"), ""))); body != "%PDF-letter" {
		t.Errorf("the card is %q", body)
	}
	r := h.post(t, "/floor", form, http.StatusSeeOther)
	plate := strings.TrimPrefix(r.Header.Get("Location"), "/darkroom/")
	if body := text(t, do(h, request("GET", "/plates/"+plate+"/card.pdf", ""))); body != "%PDF-a4" {
		t.Errorf("the plate's card is %q", body)
	}
	if len(cards) != 2 {
		t.Fatalf("%d cards were written", len(cards))
	}
	if cards[0].Number != "" || cards[1].Number != plate || cards[1].Code != plate {
		t.Errorf("the cards are numbered %q and %q", cards[0].Number, cards[1].Number)
	}
	says := func(items []web.CardItem) string {
		var all []string
		for _, i := range items {
			all = append(all, i.Word+" "+plain(i.Value))
		}
		return strings.Join(all, "; ")
	}
	long := func(l measure.Length) string { return plain(measure.Thin(l.Format(measure.Metric))) }
	for i, c := range cards {
		if got, want := says(c.Main), "Eyes to lens 1.497 m; Lens to plate "+long(shot.Setup.Camera.Extension)+"; Lens above the floor "+long(shot.Figure.EyeHeight-20+12)+"; Cap off 5.5 s"; got != want && i == 0 {
			t.Errorf("card %d: main is %q, want %q", i, got, want)
		}
		if got, want := says(c.Front), "Rise 12 mm; Shift to the left 8 mm"; got != want {
			t.Errorf("card %d: front is %q, want %q", i, got, want)
		}
		if got, want := says(c.Back), "Tilt, top back 3°; Swing, left back 5.5°"; got != want {
			t.Errorf("card %d: back is %q, want %q", i, got, want)
		}
		if c.FocusOn != "left eye" || len(c.Sharp) < 6 || len(c.Side.Strokes) < 12 || len(c.Above.Strokes) < 12 || len(c.Face.Strokes) < 5 {
			t.Errorf("card %d: focused on %q, %d landmarks, %d, %d and %d strokes", i, c.FocusOn, len(c.Sharp), len(c.Side.Strokes), len(c.Above.Strokes), len(c.Face.Strokes))
		}
		for _, s := range c.Face.Strokes {
			for _, p := range s.Points {
				if math.Abs(p[0]) > 203.2/2+1e-6 || math.Abs(p[1]) > 254.0/2+1e-6 {
					t.Fatalf("card %d: a stroke of the plate's face stands at %v, beside the plate", i, p)
				}
			}
		}
	}
	// On a standard whose tilt axis turns with the swing the scale shows less tilt: tan t cos s of 15° and 20°
	// is 14.13°; where the swing axis leans with the tilt it shows 19.37° of swing.
	turned := but(but(form, "back_tilt", "15"), "back_swing", "20")
	if r := do(h, request("GET", "/floor/card.pdf?"+turned.Encode(), "")); r.StatusCode != http.StatusOK {
		t.Fatal(r.StatusCode)
	}
	if got, want := says(cards[2].Back), "Tilt, top back 14.1°; Swing, right back 20°; Or, swing carried 15°, 19.4°"; got != want {
		t.Errorf("back is %q, want %q", got, want)
	}
	if r := do(h, request("GET", "/floor/card.pdf?paper=a3&"+form.Encode(), "")); r.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("a card on A3 is answered with %d", r.StatusCode)
	}
	// The screen shows that another stop was put in the place of one the lens has not; a card would not.
	written := len(cards)
	if r := do(h, request("GET", "/floor/card.pdf?"+but(form, "stop", "f/99").Encode(), "")); r.StatusCode != http.StatusUnprocessableEntity || len(cards) != written || !strings.Contains(text(t, r), "f/99 is not a stop of") {
		t.Errorf("a card with a stop the lens has not is answered with %d", r.StatusCode)
	}
	if r := do(h, request("GET", "/floor/card.pdf", "")); r.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("a card of nothing is answered with %d", r.StatusCode)
	}
	for _, said := range cards[1].Cautions {
		if strings.Contains(said, "was planned with") {
			t.Errorf("nothing has changed since the plan, and the card says %q", said)
		}
	}
	// What a plate was planned with holds when the lens is known to be another since.
	l, err := h.studio.Lens(t.Context(), studio.ID(form.Get("lens")))
	if err != nil {
		t.Fatal(err)
	}
	was := l.Stops[0].Name
	l.Focal, l.Stops = l.Focal*1.02, []studio.Stop{{Name: "full", FNumber: 4.4}}
	if _, err := h.studio.ChangeLens(t.Context(), l); err != nil {
		t.Fatal(err)
	}
	if body := text(t, do(h, request("GET", "/plates/"+plate+"/card.pdf", ""))); body != "%PDF-a4" {
		t.Errorf("the card of a plate whose stop was renamed since is %q", body)
	}
	if c := cards[len(cards)-1]; c.Stop != was || len(c.Cautions) == 0 || !strings.Contains(c.Cautions[0], "was planned with") {
		t.Errorf("the card of a plate whose lens was measured since says %q, want %q, and cautions %q", c.Stop, was, c.Cautions)
	}
}

// Whatever is planned, no coordinate of a drawing is NaN or infinite, and where the sitter cannot be
// drawn it is said why.
func TestFloorDrawsFiniteFigures(t *testing.T) {
	h, form := floorHouse(t, studio.Metric)
	form, _ = posedForm(form)
	brass, err := h.studio.AddLens(t.Context(), studio.Lens{Name: "Portrait", Focal: 300, PupilMag: 0.9, Design: "portrait-1840", Stops: []studio.Stop{{FNumber: 3.6}, {FNumber: 64}}})
	if err != nil {
		t.Fatal(err)
	}
	drawn := 0
	for _, change := range [][]string{
		{}, {"magnification", "0.001"}, {"magnification", "5"}, {"magnification", "60"}, {"blur", "0.0001"}, {"blur", "10"}, {"back_tilt", "60"}, {"back_tilt", "-60", "back_swing", "60"},
		{"front_tilt", "60"}, {"front_tilt", "-45", "back_tilt", "45"}, {"rise", "400 mm"}, {"rise", "-500"}, {"shift", "900 m"}, {"turn", "90"}, {"turn", "-90", "nod", "45"},
		{"focus_on", "left ear"}, {"focus_on", "right hand", "hands", "yes"}, {"stands", "standing"}, {"body", "child", "age", "2"}, {"below", "-3 m"}, {"lens", string(brass.ID)},
		{"lens", string(brass.ID), "stop", "f/64", "magnification", "0.01"}, {"lens", string(brass.ID), "blur", "0.02"}, {"size", "20x24", "magnification", "0.05"}, {"room", "1 m"},
	} {
		asked := form
		for i := 0; i < len(change); i += 2 {
			asked = but(asked, change[i], change[i+1])
		}
		body := text(t, do(h, typed(asked)))
		if strings.Contains(body, "NaN") || strings.Contains(body, "Inf") {
			t.Errorf("%v: a figure is NaN or infinite", change)
		}
		if strings.Contains(body, `id="wide-side"`) {
			drawn++
			if !strings.Contains(body, `id="head-nod"`) && !strings.Contains(body, "cannot be drawn on the plate") {
				t.Errorf("%v: there is no sitter, and nothing is said of it", change)
			}
		}
	}
	if drawn < 22 {
		t.Errorf("only %d of them were drawn", drawn)
	}
}

// How likely the eyes stay in depth is what the reckoning stillness answers for the depth that is left
// before and behind them: for a face that is square to a lens with a flat field, both alike, that of the
// reckoning focus.
func TestFloorTellsStillness(t *testing.T) {
	h, form := floorHouse(t, studio.Metric)
	form = but(but(but(form, "held", "head rest"), "seconds", "4 s"), "wait", "20 s")
	a := answered(t, "focus", focusQuestion)
	half := min(a["front_depth_mm"].(float64), a["rear_depth_mm"].(float64))
	want := answered(t, "stillness", fmt.Sprintf(`{"support":"head rest","time_s":4,"wait_s":20,"depth_mm":%v,"magnification":0.43,"blur_mm":0.1}`, 2*half))
	band := want["p_in_depth_band"].([]any)
	doc := h.get(t, "/floor?"+form.Encode())
	got := words(find(doc, func(n *html.Node) bool { return hasClass(n, "still") })[0])
	whole := func(v any) int { return int(math.Round(100 * v.(float64))) }
	if say := fmt.Sprintf("Both eyes stay in depth %d %% (%d-%d)", whole(want["p_in_depth"]), whole(band[0]), whole(band[1])); !strings.Contains(got, say) {
		t.Errorf("said is %q, want %q in it", got, say)
	}
	if say := "head rest, 20 s from focusing to cap off, then 4 s"; !strings.Contains(got, say) {
		t.Errorf("said is %q, want %q in it", got, say)
	}
	for _, tt := range []struct {
		change []string
		want   string
	}{
		{[]string{"held", ""}, "The depth is too shallow for a seated sitter without a head rest"},
		{[]string{"seconds", "40 s", "magnification", "0.8", "stop", "f/11"}, "40 s is too long for a sitter in a head rest: moving smears about"},
	} {
		asked := form
		for i := 0; i < len(tt.change); i += 2 {
			asked = but(asked, tt.change[i], tt.change[i+1])
		}
		if list := find(h.get(t, "/floor?"+asked.Encode()), with("id", "warnings")); len(list) != 1 || !strings.Contains(words(list[0]), tt.want) {
			t.Errorf("%v: not warned that %s", tt.change, tt.want)
		}
	}
	if got := words(find(h.get(t, "/floor?"+but(but(form, "seconds", ""), "light_lx", "").Encode()), func(n *html.Node) bool { return hasClass(n, "still") })[0]); !strings.Contains(got, "once the seconds are known") {
		t.Errorf("without seconds said is %q", got)
	}
}

// Without a script the button that lays the plane leads to a page whose fields hold the movements, and the
// room that is known is said with what is left of it.
func TestFloorPageLaysThePlane(t *testing.T) {
	h, form := floorHouse(t, studio.Metric)
	form = but(but(but(form, "turn", "20"), "lay", "yes"), "camera", "")
	form["through"] = []string{"right eye", "left eye", "chin"}
	doc := h.get(t, "/floor?"+but(form, "room", "5 m").Encode())
	if v, _ := kept(doc, "back_swing"); v == "" {
		t.Error("the page's field holds no swing")
	}
	rows := map[string]string{}
	for _, tr := range find(find(doc, with("id", "figures-table"))[0], tag("tr")) {
		rows[words(find(tr, tag("th"))[0])] = words(find(tr, tag("td"))[0])
	}
	a := answered(t, "focus", focusQuestion)
	left, err := measure.ParseLength(strings.Join(strings.Fields(rows["Left of the room behind the sitter"])[:2], " "), measure.Millimetre)
	if err != nil {
		t.Fatal(err)
	}
	if free := 5000 - a["room_mm"].(float64); !(float64(left) < free && float64(left) > free-350) {
		t.Errorf("of a room of 5 m %g mm are said to be left behind the sitter; without the sitter it is %g mm", float64(left), free)
	}
	if got := words(find(h.get(t, "/floor?"+but(form, "room", "3 m").Encode()), with("id", "warnings"))[0]); !strings.Contains(got, "this one has 3 m") {
		t.Errorf("too short a room is warned of with %q", got)
	}
}
