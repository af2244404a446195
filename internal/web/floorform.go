package web

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"platewright/internal/studio"
	"platewright/internal/web/screens/floor"
	"platewright/internal/web/shared"
	"platewright/measure"
)

// planned is what a floor form asks for, read. complete is false when there is not enough to reckon
// with; waiting then says what is missing, unless a field was refused.
type planned struct {
	lens          studio.Lens
	stop          studio.Stop
	camera        *studio.Camera
	holder        *studio.Holder
	size          measure.PlateSize
	by            string // distance, frame or magnification
	distance      measure.Length
	frame         measure.Length
	magnification float64
	lightLx       *float64
	ev            *measure.EV
	index         float64
	ownIndex      bool // the index was typed; else it is as known of the collodion in this light
	lit           litAsked
	seconds       time.Duration // 0: as reckoned
	posed         posed
	onGlass       bool             // the plate is drawn as on the ground glass
	known         studio.LensKnown // of the lens, once it is reckoned with

	complete bool
	waiting  string
}

// onFloor is what the floor can choose from.
type onFloor struct {
	lenses  []studio.Lens
	cameras []studio.Camera
	holders []studio.Holder
	light   litBooks
}

func (s *Server) onFloor(ctx context.Context) (onFloor, error) {
	lenses, errLens := s.cfg.Studio.Lenses(ctx)
	cameras, errCamera := s.cfg.Studio.Cameras(ctx)
	holders, errHolder := s.cfg.Studio.Holders(ctx)
	books, errLight := s.litBooks(ctx)
	if err := errors.Join(errLens, errCamera, errHolder, errLight); err != nil {
		return onFloor{}, fmt.Errorf("equipment: %w", err)
	}
	return onFloor{lenses, cameras, holders, books}, nil
}

// inUse are those not retired.
func (e onFloor) inUse() onFloor {
	return onFloor{
		slices.DeleteFunc(slices.Clone(e.lenses), func(l studio.Lens) bool { return l.Retired }),
		slices.DeleteFunc(slices.Clone(e.cameras), func(c studio.Camera) bool { return c.Retired }),
		slices.DeleteFunc(slices.Clone(e.holders), func(h studio.Holder) bool { return h.Retired }),
		e.light,
	}
}

// chosen returns the record a field names; a name that is no record's is refused.
func chosen[T any](f *form, field string, all []T, id func(T) studio.ID) *T {
	want := f.id(field)
	if want == "" {
		return nil
	}
	if i := slices.IndexFunc(all, func(r T) bool { return id(r) == want }); i >= 0 {
		return &all[i]
	}
	f.refuse(field, "is not among the studio's records; choose again")
	return nil
}

// readPlan reads the form's fields that the reckonings need.
func readPlan(f *form, e onFloor) planned {
	var p planned
	if l := chosen(f, "lens", e.lenses, func(l studio.Lens) studio.ID { return l.ID }); l != nil {
		p.lens = *l
		p.stop = readStop(f, *l)
	}
	p.camera = chosen(f, "camera", e.cameras, func(c studio.Camera) studio.ID { return c.ID })
	p.holder = chosen(f, "holder", e.holders, func(h studio.Holder) studio.ID { return h.ID })
	p.size = f.plateSize("size")
	p.by = f.oneOf("by", "distance", "frame", "magnification")
	if p.by == "" && f.Problem("by") == "" {
		p.by = "distance"
	}
	where := p.readWhere(f)
	p.readLight(f, e)
	p.seconds = f.exposure("seconds")
	p.posed = readPose(f)
	p.onGlass = f.oneOf("face", "glass") == "glass"

	missing := ""
	switch {
	case poseRefused(f):
		return p
	case f.Problem("lens") != "" || f.Problem("stop") != "" || f.Problem("size") != "" || f.Problem(p.by) != "" || f.Problem("by") != "":
		return p // the field says it
	case p.lens.ID == "":
		missing = "Choose a lens, and the floor is drawn."
	case f.text("size") == "":
		missing = "Write the plate's size, and the floor is drawn."
	case where == "":
		missing = map[string]string{
			"distance":      "Write how far the lens is from the sitter's eyes, and the floor is drawn.",
			"frame":         "Write how much of the sitter fills the plate's long side, and the floor is drawn.",
			"magnification": "Write the size of the image over the sitter's, and the floor is drawn.",
		}[p.by]
	}
	p.waiting, p.complete = missing, missing == ""
	return p
}

// readStop reads which of the lens's stops is in. A stop of another lens, left from before the lens was
// changed, falls back to the widest: the screen shows which.
func readStop(f *form, l studio.Lens) studio.Stop {
	if stop, ok := l.Stop(f.text("stop")); ok {
		return stop
	}
	if len(l.Stops) == 0 {
		f.refuse("stop", "%s has no stops yet; write them into its record", l.Name)
		return studio.Stop{}
	}
	f.Typed.Set("stop", l.Stops[0].Name)
	return l.Stops[0]
}

// ownStop refuses a stop that was asked for and is none of the lens's.
func (f *form) ownStop(asked string, p planned) {
	if asked != "" && p.lens.ID != "" && asked != p.stop.Name {
		f.refuse("stop", "%s is not a stop of %s; choose one of its own", asked, p.lens.Name)
	}
}

// readWhere reads the one of distance, frame and magnification that is given, and returns its text.
func (p *planned) readWhere(f *form) string {
	switch p.by {
	case "distance":
		p.distance = f.length("distance")
	case "frame":
		p.frame = f.length("frame")
	case "magnification":
		p.magnification = read(f, "magnification", parseMagnification, ratioText)
	}
	return f.text(p.by)
}

// parseMagnification reads 0.43, 1/3 or 1:3.
func parseMagnification(text string) (float64, error) {
	top, bottom, ratio := strings.Cut(strings.ReplaceAll(text, ":", "/"), "/")
	m, err := measure.ParseNumber(strings.TrimSpace(top))
	if err == nil && ratio {
		var over float64
		if over, err = measure.ParseNumber(strings.TrimSpace(bottom)); err == nil {
			m /= over
		}
	}
	if err != nil || !(m > 0) || m-m != 0 {
		return 0, fmt.Errorf("%q is not a magnification; write 0.43, 1/3 or 1:3", text)
	}
	return m, nil
}

// batchKinds are the liquids a plan names, in the order they are used.
var batchKinds = []string{"collodion", "bath", "developer", "fixer", "varnish"}

// plan is the studio's plan for what was read and reckoned.
func (p planned) plan(f *form, got reckoned) studio.Plan {
	plan := studio.Plan{
		Sitting: f.id("sitting"), Size: p.size, Support: studio.Support(f.text("support")),
		Lens: p.lens.ID, Stop: p.stop, Camera: f.id("camera"), Holder: f.id("holder"),
		Exposure: p.seconds, Light: f.text("light"), Note: f.text("note"),
		Collodion: f.id("collodion"), Bath: f.id("bath"), Developer: f.id("developer"), Fixer: f.id("fixer"), Varnish: f.id("varnish"),
	}
	if a := got.Focus; a != nil {
		plan.Distance, plan.Magnification, plan.Extension, plan.BlurLimit = a.Distance, a.Magnification, got.extension(), a.Blur
		if a.Depth != nil {
			plan.Depth = *a.Depth
		}
	}
	plan.Lighting = p.lighting(got)
	plan.Setting = p.posed.setting
	if plan.Exposure == 0 && got.Seconds != nil {
		plan.Exposure = studio.Counted(got.Seconds.duration())
	}
	return plan
}

// floorChoices lists what the form offers. What is retired is offered only where it is chosen already.
func (s *Server) floorChoices(ctx context.Context, f *form, all onFloor, p planned) (floor.Choices, error) {
	c := floor.Choices{Stops: stopOptions(p.lens), Bodies: bodyOptions(), Landmarks: landmarkOptions()}
	for _, name := range landmarkNames(true) {
		c.Through = append(c.Through, floor.Tick{Name: name, On: slices.Contains(f.Typed["through"], name)})
	}
	long := func(l measure.Length) string { return measure.Thin(l.Format(f.sys)) }
	for _, l := range all.lenses {
		if !l.Retired || l.ID == f.id("lens") {
			note := long(l.Focal)
			if len(l.Stops) > 0 {
				note += ", " + l.Stops[0].FNumber.String()
			}
			c.Lenses = append(c.Lenses, shared.Option{Value: string(l.ID), Word: l.Name, Note: note})
		}
	}
	c.Cameras = append(c.Cameras, shared.Option{Word: "Not said"})
	for _, r := range all.cameras {
		if !r.Retired || r.ID == f.id("camera") {
			c.Cameras = append(c.Cameras, shared.Option{Value: string(r.ID), Word: r.Name, Note: "draws " + long(r.Shortest) + " to " + long(r.Longest)})
		}
	}
	c.Holders = append(c.Holders, shared.Option{Word: "Not said"})
	for _, r := range all.holders {
		if !r.Retired || r.ID == f.id("holder") {
			c.Holders = append(c.Holders, shared.Option{Value: string(r.ID), Word: r.Name, Note: measure.Thin(sizeText(r.Size, f.sys))})
		}
	}
	for _, support := range studio.Supports() {
		c.Supports = append(c.Supports, shared.Option{Value: string(support), Word: string(support)})
	}
	batches, err := s.cfg.Studio.Batches(ctx)
	if err != nil {
		return c, fmt.Errorf("batches: %w", err)
	}
	for _, kind := range batchKinds {
		options := []shared.Option{{Word: "Not said"}}
		for _, b := range batches {
			if b.Kind == kind && (!b.Retired || b.ID == f.id(kind)) {
				options = append(options, shared.Option{Value: string(b.ID), Word: b.Name, Note: b.RecipeName + ", " + s.ageText(b)})
			}
		}
		c.Batches = append(c.Batches, floor.Batches{Kind: kind, Options: options})
	}
	if c.Light, err = s.lightChoices(ctx, f, p, all.light); err != nil {
		return c, err
	}
	c.Sittings, err = s.sittingOptions(ctx, f.id("sitting"))
	return c, err
}

func stopOptions(l studio.Lens) []shared.Option {
	var options []shared.Option
	for _, stop := range l.Stops {
		o := shared.Option{Value: stop.Name, Word: stop.Name}
		if number := stop.FNumber.String(); number != stop.Name {
			o.Note = number
		}
		options = append(options, o)
	}
	return options
}

// sittingOptions are today's sittings and the one chosen, by their hour and sitter.
func (s *Server) sittingOptions(ctx context.Context, chosen studio.ID) ([]shared.Option, error) {
	options := []shared.Option{{Word: "No sitting"}}
	sittings, err := s.cfg.Studio.SittingsOn(ctx, midnight(s.now()))
	if err != nil {
		return nil, fmt.Errorf("today's sittings: %w", err)
	}
	if chosen != "" && !slices.ContainsFunc(sittings, func(r studio.Sitting) bool { return r.ID == chosen }) {
		r, err := s.cfg.Studio.Sitting(ctx, chosen)
		if err == nil {
			sittings = append(sittings, r)
		} else if !errors.Is(err, studio.ErrNotFound) {
			return nil, fmt.Errorf("sitting: %w", err)
		}
	}
	for _, r := range sittings {
		if r.State == studio.CalledOff && r.ID != chosen {
			continue
		}
		sitter, err := s.cfg.Studio.Sitter(ctx, r.Sitter)
		if err != nil {
			return nil, fmt.Errorf("sitter of a sitting: %w", err)
		}
		at := r.At.In(s.cfg.Location)
		options = append(options, shared.Option{Value: string(r.ID), Word: sitter.Name,
			Note: shortDay(at, s.now()) + ", " + at.Format("15:04") + ", " + r.Size.String()})
	}
	return options, nil
}
