package web

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"platewright/internal/studio"
	"platewright/internal/web/screens/floor"
	"platewright/measure"
	"platewright/optics"
)

// floorCard answers GET /floor/card.pdf: the set-up card of the form in the address.
func (s *Server) floorCard(w http.ResponseWriter, r *http.Request) error {
	f, err := s.readQuery(r)
	if err != nil {
		return err
	}
	return s.sendCard(w, r, f, Card{}, nil, "set-up card.pdf")
}

// cardAddress is where the set-up card of a form is.
func cardAddress(f *form) string {
	v := url.Values{}
	for name, texts := range f.Typed {
		switch name {
		case "id", "view", "drawn", "stops_of", "plates_of", "lay", "show", "through", "note":
		default:
			if len(texts) > 0 && texts[0] != "" {
				v.Set(name, texts[0])
			}
		}
	}
	return "/floor/card.pdf?" + v.Encode()
}

// plateCard answers GET /plates/{number}/card.pdf: the set-up card of a plate as it was planned.
func (s *Server) plateCard(w http.ResponseWriter, r *http.Request) error {
	n, err := numberOf(r)
	if err != nil {
		return err
	}
	story, err := s.cfg.Studio.Plate(r.Context(), n)
	if err != nil {
		return err
	}
	f, err := s.readQuery(r)
	if err != nil {
		return err
	}
	f.Typed = url.Values{}
	f.setPlan(story.Plan)
	profile, err := s.cfg.Studio.Profile(r.Context())
	if err != nil && !errors.Is(err, studio.ErrNotFound) {
		return fmt.Errorf("the studio: %w", err)
	}
	if profile.Room > 0 {
		f.Typed.Set("room", profile.Room.Format(measure.Metric))
	}
	card := Card{Number: n.String(), Code: n.String()}
	if story.Sitter != nil {
		card.Sitter = story.Sitter.Name
	}
	return s.sendCard(w, r, f, card, &story.Plan, "set-up-"+n.String()+".pdf")
}

// sendCard fills a card with what a form asks for and sends it. A plate's own plan, where there is one, holds
// whatever has become of the lens's stops since, and what the lens is now known to be is told beside it.
func (s *Server) sendCard(w http.ResponseWriter, r *http.Request, f *form, card Card, plan *studio.Plan, name string) error {
	if s.cfg.Card == nil {
		return errNoPage
	}
	sheet, err := paperOf(r)
	if err != nil {
		return err
	}
	e, err := s.onFloor(r.Context())
	if err != nil {
		return err
	}
	if plan != nil {
		e.keepStop(plan.Lens, plan.Stop)
	}
	asked := f.text("stop")
	p := readPlan(f, e)
	f.ownStop(asked, p) // nobody sees on a card that another stop was put in its place
	p.complete = p.complete && f.Problem("stop") == ""
	got, err := s.reckonPlan(r.Context(), f, &p)
	if err != nil {
		return err
	}
	if got.Focus == nil {
		return &problem{status: http.StatusUnprocessableEntity, title: "No set-up card yet", what: cardTrouble(f, p)}
	}
	if card.Sitter == "" {
		if card.Sitter, err = s.sitterOf(r, f.id("sitting")); err != nil {
			return err
		}
	}
	if s.cfg.StudioName != nil {
		if card.Studio, err = s.cfg.StudioName(r.Context()); err != nil {
			return fmt.Errorf("name of the studio: %w", err)
		}
	}
	card.Printed = s.now()
	fillCard(&card, f, p, got)
	if plan != nil {
		if again, is := plan.Differs(got.extension(), f.sys); is {
			card.Cautions = append([]string{again.Sentence + " " + again.Hint}, card.Cautions...)
		}
	}
	return s.sendPaper(w, r, name, "set-up card", func(pdf *bytes.Buffer) error { return s.cfg.Card(pdf, card, sheet) })
}

// keepStop gives a lens back a stop that it had when a plate was planned.
func (e onFloor) keepStop(lens studio.ID, stop studio.Stop) {
	for i, l := range e.lenses {
		if _, has := l.Stop(stop.Name); l.ID == lens && !has {
			e.lenses[i].Stops = append(slices.Clone(l.Stops), stop)
		}
	}
}

// cardTrouble says why there is nothing to print.
func cardTrouble(f *form, p planned) string {
	if len(f.Problems) > 0 {
		said := f.Problems[0]
		return strings.ToUpper(said.Field[:1]) + strings.ReplaceAll(said.Field[1:], "_", " ") + ": " + said.Sentence + "."
	}
	return p.waiting
}

// sitterOf names the sitter of a sitting; empty when there is none.
func (s *Server) sitterOf(r *http.Request, id studio.ID) (string, error) {
	if id == "" {
		return "", nil
	}
	sitting, err := s.cfg.Studio.Sitting(r.Context(), id)
	if errors.Is(err, studio.ErrNotFound) {
		return "", nil
	}
	if err != nil {
		return "", fmt.Errorf("sitting: %w", err)
	}
	sitter, err := s.cfg.Studio.Sitter(r.Context(), sitting.Sitter)
	if err != nil {
		return "", fmt.Errorf("sitter: %w", err)
	}
	return sitter.Name, nil
}

// setPlan writes a plate's plan into the form's fields.
func (f *form) setPlan(plan studio.Plan) {
	for name, text := range map[string]string{
		"lens": string(plan.Lens), "stop": plan.Stop.Name, "camera": string(plan.Camera), "holder": string(plan.Holder), "sitting": string(plan.Sitting),
		"size": plan.Size.Format(measure.Metric), "by": "distance", "distance": figureOf(float64(plan.Distance), 9) + " mm",
		"blur": figureOf(float64(plan.BlurLimit), 6), "seconds": measure.FormatExposure(plan.Exposure),
	} {
		if text != "" {
			f.Typed.Set(name, text)
		}
	}
	if plan.Size.Name != "" {
		f.Typed.Set("size", plan.Size.String())
	}
	if plan.Exposure == 0 {
		f.Typed.Del("seconds")
	}
	if plan.BlurLimit == 0 {
		f.Typed.Del("blur")
	}
	f.setPose(plan.Setting)
}

// cardItem is a length in the studio's units, with the other units beside it.
func (f *form) cardItem(word string, l measure.Length) CardItem {
	other := measure.Imperial
	if f.sys != measure.Metric {
		other = measure.Metric
	}
	item := CardItem{Word: word, Value: measure.Thin(l.Format(f.sys))}
	if again := measure.Thin(l.Format(other)); again != item.Value {
		item.Other = again
	}
	return item
}

// fillCard writes what was reckoned onto a card.
func fillCard(c *Card, f *form, p planned, got reckoned) {
	a := *got.Focus
	result := floorResult(f, p, got)
	g := *result.Drawn
	c.Lens, c.Stop, c.Plate = p.lens.Name, p.stop.Name, measure.Thin(sizeText(p.size, f.sys))
	if number := p.stop.FNumber.String(); number != p.stop.Name {
		c.Stop += ", " + number
	}
	if p.camera != nil {
		c.Camera = p.camera.Name
	}
	draw, known := p.setup(f.sys, g.Distance, g.Extension).Draw()
	from := "Eyes"
	switch on := p.posed.setting.FocusOn; {
	case on == "" || strings.HasSuffix(on, " eye"):
	case slices.Contains(studio.FocusBetween(), on):
		from = "Nearer eye"
	default:
		from = strings.ToUpper(on[:1]) + on[1:]
	}
	extension, board := f.cardItem("Lens board to plate", draw), f.cardItem(from+" to lens board", a.Distance+p.known.FrontAhead)
	if !known {
		extension.Word, board.Word = "Lens to plate", from+" to lens"
	}
	c.Main = []CardItem{board, extension}
	if got.Shot != nil {
		c.Main = append(c.Main, f.cardItem("Lens above the floor", got.Shot.lensHeight(p.posed.setting)))
	}
	off := CardItem{Word: "Cap off", Value: "meter the light"}
	switch e := result.Exposure; {
	case e.Typed != "":
		off.Value = e.Typed
	case e.Reckoned != "":
		off.Value, off.Other = e.Reckoned, e.Between
	}
	c.Main = append(c.Main, off)
	c.Front, c.Back = f.standards(p)
	c.Rest = append(f.poseItems(p), restOf(result.Figures)...)
	c.FocusOn = focusWord(p.posed.setting.FocusOn)
	c.Support = "seated"
	if p.posed.setting.Standing {
		c.Support = "standing"
	}
	if p.posed.setting.SitterSupport == studio.HeldHeadRest {
		c.Support += ", head rest"
	}
	for _, state := range []floor.State{floor.IsSharp, floor.IsSoft, floor.IsGone} {
		for _, m := range result.Marks {
			if !m.Outside && m.State == state {
				c.Sharp = append(c.Sharp, CardItem{Word: m.Name, Value: string(m.State), Other: m.Blur})
			}
		}
	}
	c.Cautions = result.Warnings
	c.Side, c.Above, c.Face = cardDrawings(g)
}

// poseItems say how the sitter is placed.
func (f *form) poseItems(p planned) []CardItem {
	set := p.posed.setting
	var items []CardItem
	add := func(word string, a measure.Angle, plus, minus string) {
		if a != 0 {
			way := plus
			if a < 0 {
				way, a = minus, -a
			}
			items = append(items, CardItem{Word: word, Value: degrees(a) + " " + way})
		}
	}
	add("Face", set.Turn, "to the right", "to the left")
	add("Chin", set.Nod, "down", "up")
	add("Shoulders", set.Shoulders, "to the right", "to the left")
	add("Trunk", set.Lean, "forward", "back")
	if !set.Standing && set.Seat > 0 {
		items = append(items, f.cardItem("Seat", set.Seat))
	}
	return items
}

// restOf are the figures of the page that belong on the card and are not said elsewhere on it.
func restOf(figures []floor.Figure) []CardItem {
	var rest []CardItem
	for _, figure := range figures {
		if figure.OnCard != "" {
			rest = append(rest, CardItem{Word: figure.OnCard, Value: figure.Value, Other: figure.Other})
		}
	}
	return rest
}

// standards are what front and back are set to. Where a tilt and a swing go together, what a scale shows
// hangs on which axis carries the other, so both are said.
func (f *form) standards(p planned) (front, back []CardItem) {
	set := p.posed.setting
	slide := func(l measure.Length, plus, minus string) {
		if l != 0 {
			word := plus
			if l < 0 {
				word, l = minus, -l
			}
			front = append(front, f.cardItem(word, l))
		}
	}
	slide(set.Rise, "Rise", "Fall")
	slide(set.Shift, "Shift to the right", "Shift to the left")
	camera := set.Camera(p.known.Focal, 0)
	limits := limitsOf(p.camera)
	turns := func(m optics.Movement) []CardItem {
		tilt, swing := limits.Read(m)
		otherTilt, otherSwing := m.Tilt, m.SwingOnTilt()
		if limits.BaseTilt {
			otherTilt, otherSwing = m.TiltOnSwing(), m.Swing
		}
		var items []CardItem
		whole := func(a measure.Angle) string { return degrees(measure.Angle(math.Abs(float64(a)))) }
		add := func(word string, scale measure.Angle, back, forward string) {
			switch {
			case scale > 0:
				items = append(items, CardItem{Word: word + ", " + back, Value: whole(scale)})
			case scale < 0:
				items = append(items, CardItem{Word: word + ", " + forward, Value: whole(scale)})
			}
		}
		add("Tilt", tilt, "top back", "top forward")
		add("Swing", swing, "right back", "left back")
		if whole(tilt) != whole(otherTilt) || whole(swing) != whole(otherSwing) {
			order := "Or, swing carried"
			if limits.BaseTilt {
				order = "Or, tilt carried"
			}
			items = append(items, CardItem{Word: order, Value: whole(otherTilt) + ", " + whole(otherSwing)})
		}
		return items
	}
	return append(front, turns(camera.Lens)...), turns(camera.Back)
}

// cardDrawings are the drawings of a card.
func cardDrawings(g floor.Geometry) (side, above, face CardDrawing) {
	lines := func(name string, up float64, strokes []floor.Stroke) CardDrawing {
		d := CardDrawing{Name: name}
		low, high := math.Inf(1), math.Inf(-1)
		for _, s := range strokes {
			points := make([][2]float64, len(s.At))
			for i, q := range s.At {
				points[i] = [2]float64{q.Along, up * q.Across}
				low, high = min(low, q.Along), max(high, q.Along)
			}
			d.Strokes = append(d.Strokes, CardStroke{Points: points, Closed: s.Closed, Weight: s.Weight})
		}
		d.Bar, d.BarWord = floor.Bar(g.Units, 0.3*(high-low))
		return d
	}
	a, b, c := g.Strokes()
	name := "Plate, turned upright"
	if g.Face.OnGlass {
		name = "Plate, as on the ground glass"
	}
	// Paper has y up; from above the photographer's right lies below.
	return lines("Side", 1, a), lines("From above", -1, b), lines(name, 1, c)
}
