package demo

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"net/http"
	"net/url"
	"path"
	"slices"
	"strconv"
	"strings"
	"time"

	"platewright/internal/studio"
	"platewright/measure"
)

// screens are hands on the product's own screens and on its interface for devices.
type screens struct{ b *browser }

// Screens returns hands that use the product through its web screens: they ask for the pages, fill in
// the forms that stand on them and send them. base is the address the handler thinks it is served
// at, as "http://127.0.0.1:8417".
func Screens(h http.Handler, base string) Hands { return screens{newBrowser(h, base)} }

func (s screens) Sitting(ctx context.Context, id studio.ID, state studio.SittingState) error {
	page := "/desk/sittings/" + string(id)
	return s.send(ctx, page, page, map[string]string{"state": string(state)})
}

// Plan opens the floor for a sitting, chooses the lens and has its stops offered, and fills in the rest.
func (s screens) Plan(ctx context.Context, p Planned) (studio.Number, error) {
	empty, err := s.b.get(ctx, "/floor?sitting="+url.QueryEscape(string(p.Sitting)))
	if err != nil {
		return studio.Number{}, err
	}
	chosen, err := s.b.look(ctx, empty, "/floor", map[string]string{
		"lens": string(p.Lens), "by": "frame", "frame": figure(p.Frame.Millimetres()) + " mm", "distance": "",
	})
	if err != nil {
		return studio.Number{}, err
	}
	fields := map[string]string{
		"stop": p.Stop.Name, "light_lx": figure(p.Lx), "index": figure(p.Index), "seconds": figure(p.Exposure.Seconds()) + " s",
		"light": p.Light, "camera": string(p.Camera), "holder": string(p.Holder), "support": string(p.Support), "sitting": string(p.Sitting),
		"collodion": string(p.Collodion), "bath": string(p.Bath), "developer": string(p.Developer), "fixer": string(p.Fixer),
		"varnish": string(p.Varnish), "note": p.Note,
	}
	maps.Copy(fields, posed(p.Setting))
	at, err := s.b.fill(ctx, chosen, "/floor", fields, nil)
	if err != nil {
		return studio.Number{}, err
	}
	n, err := studio.ParseNumber(path.Base(at.url.Path))
	if err != nil {
		return n, fmt.Errorf("after planning one is led to %s: %w", at.url.Path, err)
	}
	return n, nil
}

// posed is what the floor's form asks of pose and movements, for a setting without slides.
func posed(s studio.Setting) map[string]string {
	fields := map[string]string{"body": s.Body, "stands": "seated", "focus_on": s.FocusOn, "wait": figure(s.Wait.Seconds()) + " s"}
	if s.Standing {
		fields["stands"] = "standing"
	}
	if s.SitterSupport == studio.HeldHeadRest {
		fields["held"] = s.SitterSupport
	}
	if s.Seat > 0 {
		fields["seat"] = figure(s.Seat.Millimetres()) + " mm"
	}
	if s.Hands {
		fields["hands"] = "yes"
	}
	for name, a := range map[string]measure.Angle{"turn": s.Turn, "nod": s.Nod, "lean": s.Lean, "back_swing": s.BackSwing} {
		if a != 0 {
			fields[name] = figure(math.Round(10*a.Degrees()) / 10)
		}
	}
	return fields
}

// figure writes a number as a person does, with no more places than it has.
func figure(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

// send opens a page, fills in one of its forms and sends it.
func (s screens) send(ctx context.Context, page, action string, fields map[string]string) error {
	p, err := s.b.get(ctx, page)
	if err != nil {
		return err
	}
	_, err = s.b.fill(ctx, p, action, fields, nil)
	return err
}

func (s screens) Press(ctx context.Context, n studio.Number, e studio.Event) error {
	body, err := json.Marshal(map[string]any{
		"id": e.ID, "kind": e.Kind, "at": e.At.Format(time.RFC3339Nano), "device": e.Device, "by": e.By, "detail": e.Detail,
	})
	if err != nil {
		return err
	}
	_, err = s.b.post(ctx, "/api/plates/"+n.String()+"/events", "application/json", body)
	return err
}

func (s screens) Judge(ctx context.Context, n studio.Number, v studio.Verdict) error {
	page := "/plates/" + n.String()
	return s.send(ctx, page, page+"/verdict", map[string]string{"word": strconv.Itoa(v.Word), "fate": string(v.Fate), "say": v.Say})
}

func (s screens) Mark(ctx context.Context, n studio.Number, m studio.Mark) error {
	page := "/plates/" + n.String()
	return s.send(ctx, page, page+"/marks", map[string]string{
		"appearance": m.Appearance, "x_pct": figure(m.XPct), "y_pct": figure(m.YPct), "say": m.Say,
	})
}

func (s screens) FileCopy(ctx context.Context, n studio.Number, fileName string, content []byte) (studio.Copy, error) {
	stand, err := s.b.get(ctx, "/copystand?plate="+n.String())
	if err != nil {
		return studio.Copy{}, err
	}
	if _, err := s.b.fill(ctx, stand, "/copystand", map[string]string{"plate": n.String()}, &upload{"photograph", fileName, content}); err != nil {
		return studio.Copy{}, err
	}
	filed, err := s.b.get(ctx, "/api/plates/"+n.String())
	if err != nil {
		return studio.Copy{}, err
	}
	var plate struct {
		Events []struct{ Detail studio.Detail } `json:"events"`
	}
	if err := json.Unmarshal(filed.body, &plate); err != nil {
		return studio.Copy{}, fmt.Errorf("plate %s over the interface for devices: %w", n, err)
	}
	for _, e := range slices.Backward(plate.Events) {
		if e.Detail.Copy != nil {
			return *e.Detail.Copy, nil
		}
	}
	return studio.Copy{}, fmt.Errorf("plate %s has no copy after one was filed", n)
}

func (s screens) Passport(ctx context.Context, n studio.Number) ([]byte, error) {
	page := "/plates/" + n.String() + "/passport.pdf?paper=a4"
	p, err := s.b.get(ctx, page)
	if err != nil {
		return nil, err
	}
	if kind := p.header.Get("Content-Type"); !strings.HasPrefix(kind, "application/pdf") || !bytes.HasPrefix(p.body, []byte("%PDF-")) {
		return nil, fmt.Errorf("%s answered %q, which is no PDF", page, kind)
	}
	return p.body, nil
}
