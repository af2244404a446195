package web

import (
	"context"
	"errors"
	"fmt"
	"net/url"
	"slices"

	"platewright/internal/studio"
	"platewright/internal/web/shared"
	"platewright/measure"
	"platewright/optics"
)

// startFloor fills a form that nobody typed in yet: as the last plate was planned, for the sitting in
// hand and its size, what the page's address asks for coming first. It tells whether a plate is in hand.
func (s *Server) startFloor(ctx context.Context, f *form, e onFloor) (plateHeld bool, err error) {
	asked := f.Typed
	if f.Typed, err = s.floorDefaults(ctx, e, f.sys); err != nil {
		return false, err
	}
	if asked.Has("by") { // how the camera is set is asked for: nothing of the last plate's setting goes with it
		for _, name := range setFields {
			f.Typed.Del(name)
		}
	}
	held, err := s.heldPlate(ctx)
	if err != nil {
		return false, err
	}
	if !asked.Has("sitting") {
		sitting, err := s.sittingFor(ctx, held)
		if err != nil {
			return false, err
		}
		if sitting != nil {
			f.Typed.Set("sitting", string(sitting.ID))
		}
	}
	for name, texts := range asked {
		f.Typed[name] = texts
	}
	if !asked.Has("size") {
		if err := s.takeSitting(ctx, f); err != nil {
			return false, err
		}
	}
	if size, err := measure.ParsePlateSize(f.text("size")); err == nil && !asked.Has("holder") {
		f.Typed.Set("holder", string(studio.HolderFor(size, e.holders, f.id("holder"))))
	}
	return held != nil, nil
}

// sittingFor is the sitting the next plate is made for: that of the plate in hand while it goes on,
// else the one the slip shows.
func (s *Server) sittingFor(ctx context.Context, held *studio.Story) (*studio.Sitting, error) {
	if held != nil && held.Sitting != nil && held.Sitting.State != studio.Done && held.Sitting.State != studio.CalledOff {
		return held.Sitting, nil
	}
	return s.sittingInHand(ctx)
}

// takeSitting takes the plate's size from the sitting the page was opened for.
func (s *Server) takeSitting(ctx context.Context, f *form) error {
	id := f.id("sitting")
	if id == "" {
		return nil
	}
	sitting, err := s.cfg.Studio.Sitting(ctx, id)
	if errors.Is(err, studio.ErrNotFound) {
		f.refuse("sitting", "is not among the studio's sittings; choose again")
		return nil
	}
	if err == nil {
		f.Typed.Set("size", sitting.Size.String())
	}
	return err
}

// floorDefaults is the form as the last plate was planned, else the first lens at its full opening on a
// head and shoulders. What the last plate used and is retired since is left out.
func (s *Server) floorDefaults(ctx context.Context, e onFloor, sys measure.System) (url.Values, error) {
	v := url.Values{}
	v.Set("support", string(studio.BlackMetal))
	v.Set("by", "frame")
	v.Set("frame", "600 mm")
	if sys != measure.Metric {
		v.Set("frame", "24 in")
	}
	v.Set("size", "whole plate")
	if len(e.lenses) > 0 {
		v.Set("lens", string(e.lenses[0].ID))
	}
	if len(e.cameras) == 1 {
		v.Set("camera", string(e.cameras[0].ID))
	}
	if len(e.holders) > 0 {
		v.Set("size", e.holders[0].Size.String())
	}
	if err := s.proposeBatches(ctx, v); err != nil {
		return nil, err
	}
	profile, err := s.cfg.Studio.Profile(ctx)
	if err != nil && !errors.Is(err, studio.ErrNotFound) {
		return nil, fmt.Errorf("the studio: %w", err)
	}
	if profile.Room > 0 {
		v.Set("room", profile.Room.Format(sys))
	}
	page, err := s.cfg.Studio.Plates(ctx, studio.PlateFilter{Most: 1})
	if err != nil {
		return nil, fmt.Errorf("the last plate: %w", err)
	}
	if len(page.Rows) == 0 {
		return v, nil
	}
	last := page.Rows[0].Plan
	v.Set("support", string(last.Support))
	v.Set("size", last.Size.String())
	v.Set("light", last.Light)
	setLight(v, last.Lighting)
	if slices.ContainsFunc(e.lenses, func(l studio.Lens) bool { return l.ID == last.Lens }) {
		v.Set("lens", string(last.Lens))
		v.Set("stop", last.Stop.Name)
		v.Set("by", "distance")
		v.Set("distance", last.Distance.Format(sys))
		v.Del("frame")
	}
	if slices.ContainsFunc(e.cameras, func(c studio.Camera) bool { return c.ID == last.Camera }) {
		v.Set("camera", string(last.Camera))
	}
	v.Set("holder", string(last.Holder))
	if last.BlurLimit > 0 && last.BlurLimit != optics.UsualBlur {
		v.Set("blur", figureOf(float64(last.BlurLimit), 3))
	}
	f := &form{Form: shared.Form{Typed: v}, sys: sys}
	f.setPose(last.Setting)
	return v, nil
}

// proposeBatches chooses the batches of the next plate.
func (s *Server) proposeBatches(ctx context.Context, v url.Values) error {
	batches, err := s.cfg.Studio.Batches(ctx)
	if err != nil {
		return fmt.Errorf("batches: %w", err)
	}
	page, err := s.cfg.Studio.Plates(ctx, studio.PlateFilter{Begun: true, Most: 1})
	if err != nil {
		return fmt.Errorf("the last plate poured: %w", err)
	}
	var last studio.Plan
	if len(page.Rows) > 0 {
		last = page.Rows[0].Plan
	}
	for i, id := range []studio.ID{last.Collodion, last.Bath, last.Developer, last.Fixer, last.Varnish} {
		if chosen := studio.ProposedBatch(batchKinds[i], batches, id, s.cfg.Clock()); chosen != "" {
			v.Set(batchKinds[i], string(chosen))
		}
	}
	return nil
}
