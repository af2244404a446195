package web

import (
	"context"
	"fmt"
	"time"

	"platewright/internal/studio"
	"platewright/internal/web/shared"
	"platewright/measure"
)

// inHandFor is how long after the last thing done to it a plate still counts as in hand.
const inHandFor = 3 * time.Hour

// inHand is what the slip shows on a screen that is about nothing in particular: the plate in hand,
// else today's next sitting, else nothing.
func (s *Server) inHand(ctx context.Context) (shared.SlipData, error) {
	if story, err := s.heldPlate(ctx); err != nil {
		return shared.SlipData{}, err
	} else if story != nil {
		return s.plateSlipIn(ctx, *story)
	}
	sitting, err := s.sittingInHand(ctx)
	if err != nil || sitting == nil {
		return shared.SlipData{}, err
	}
	sitter, err := s.cfg.Studio.Sitter(ctx, sitting.Sitter)
	if err != nil {
		return shared.SlipData{}, fmt.Errorf("sitter of a sitting: %w", err)
	}
	return s.sittingSlip(*sitting, sitter), nil
}

// heldPlate is the plate in hand; nil when there is none.
func (s *Server) heldPlate(ctx context.Context) (*studio.Story, error) {
	page, err := s.cfg.Studio.Plates(ctx, studio.PlateFilter{Open: true, Most: 20})
	if err != nil {
		return nil, err
	}
	row, ok := plateInHand(page.Rows, s.cfg.Clock())
	if !ok {
		return nil, nil
	}
	story, err := s.cfg.Studio.Plate(ctx, row.Number)
	if err != nil {
		return nil, err
	}
	return &story, nil
}

// plateInHand is the wet plate among those touched lately, or else the newest of them. The rows
// come newest first.
func plateInHand(rows []studio.PlateRow, now time.Time) (studio.PlateRow, bool) {
	var found studio.PlateRow
	ok := false
	for _, row := range rows {
		touched := row.Changed
		if row.ChangeAt.After(touched) {
			touched = row.ChangeAt
		}
		if now.Sub(touched) > inHandFor {
			continue
		}
		if wet(row.Summary) {
			return row, true
		}
		if !ok {
			found, ok = row, true
		}
	}
	return found, ok
}

// wet tells whether a plate is between the pour and the fixer, when it cannot wait.
func wet(s studio.Summary) bool {
	switch s.Last {
	case studio.Poured, studio.InBath, studio.OutOfBath, studio.Loaded, studio.Exposed, studio.DeveloperOn, studio.DeveloperOff:
		return true
	}
	return false
}

// plateSlip is the slip of a plate whose story a handler has at hand; a handler gives it to its
// page. What stands in other records (the lens) is looked up, and left out when it cannot be.
func (s *Server) plateSlip(ctx context.Context, story studio.Story) shared.SlipData {
	slip, err := s.plateSlipIn(ctx, story)
	if err != nil {
		s.cfg.Log.WarnContext(ctx, "slip", "plate", story.Number.String(), "error", err)
	}
	return slip
}

func (s *Server) plateSlipIn(ctx context.Context, story studio.Story) (shared.SlipData, error) {
	number := story.Number.String()
	clock := shared.DarkRoom.Path() + "/" + number
	slip := shared.SlipData{Kind: "Plate", Number: number, Href: shared.PlateStore.Path() + "/" + number}
	if story.Sitter != nil {
		slip.Name = story.Sitter.Name
	}
	profile, err := s.cfg.Studio.Profile(ctx)
	if err != nil {
		return slip, fmt.Errorf("units: %w", err)
	}
	plan := story.Plan
	size := plan.Size.String()
	if plan.Size.Name == "" {
		size = plan.Size.Format(systemOf(profile))
	}
	slip.Known = append(slip.Known, shared.Fact{Word: "Size", Value: measure.Thin(size)})
	if story.PouredAt.IsZero() && plan.Exposure > 0 {
		slip.Known = append(slip.Known, shared.Fact{Word: "Seconds", Value: measure.Thin(measure.FormatExposure(plan.Exposure))})
	}
	if story.Last != "" {
		slip.Known = append(slip.Known, shared.Fact{Word: "Last", Value: string(story.Last)})
	}
	slip.Next, slip.NextHref = nextAct(story, clock)
	slip.Left = wetLeft(story, s.cfg.Clock())
	if plan.Lens == "" {
		return slip, nil
	}
	lens, err := s.cfg.Studio.Lens(ctx, plan.Lens)
	if err != nil {
		return slip, fmt.Errorf("lens: %w", err)
	}
	slip.Known = append(slip.Known[:1:1], append([]shared.Fact{{Word: "Lens", Value: lens.Name + ", " + plan.Stop.Name}}, slip.Known[1:]...)...)
	return slip, nil
}

// nextAct is what is to be done with a plate now, and where.
func nextAct(story studio.Story, clock string) (word, href string) {
	for _, step := range studio.Steps(story.Plan, studio.CommonTargets()) {
		if step.Event == story.Next {
			return step.Do, clock
		}
	}
	page := shared.PlateStore.Path() + "/" + story.Number.String()
	if story.Verdict == nil {
		return "Judge the plate", page
	}
	if len(story.Copies) == 0 {
		return "Photograph the plate", shared.CopyStand.Path() + "?plate=" + story.Number.String()
	}
	return "", ""
}

// wetLeft is the time left to the developer while the film is wet, counted as the clock counts it.
func wetLeft(story studio.Story, now time.Time) shared.Countdown {
	switch story.Last {
	case studio.OutOfBath, studio.Loaded, studio.Exposed:
	default:
		return shared.Countdown{}
	}
	out := story.Standing(studio.OutOfBath)
	if out.At.IsZero() {
		return shared.Countdown{}
	}
	return shared.Countdown{Of: "wet", Left: out.At.Add(studio.CommonTargets().Wet).Sub(now)}
}

// sittingInHand is today's next sitting, the first not yet done, or called off; nil when there is none.
func (s *Server) sittingInHand(ctx context.Context) (*studio.Sitting, error) {
	now := s.now()
	sittings, err := s.cfg.Studio.SittingsOn(ctx, midnight(now))
	if err != nil {
		return nil, err
	}
	for _, sitting := range sittings {
		over := sitting.At.Add(sitting.Lasts).Before(now)
		if sitting.State == studio.Done || sitting.State == studio.CalledOff || over && sitting.State == studio.Booked {
			continue
		}
		return &sitting, nil
	}
	return nil, nil
}

// sittingSlip is the slip of a sitting.
func (s *Server) sittingSlip(sitting studio.Sitting, sitter studio.Sitter) shared.SlipData {
	at := sitting.At.In(s.cfg.Location)
	slip := shared.SlipData{
		Kind: "Sitting", Number: at.Format("15:04"), Name: sitter.Name,
		Href: shared.Desk.Path() + "/sittings/" + string(sitting.ID),
		Known: []shared.Fact{
			{Word: "Day", Value: shortDay(at, s.now())},
			{Word: "Plates", Value: fmt.Sprintf("%d × %s", sitting.Plates, measure.Thin(sitting.Size.String()))},
		},
	}
	if sitting.Purpose != "" {
		slip.Known = append(slip.Known, shared.Fact{Word: "For", Value: sitting.Purpose})
	}
	if sitting.State == studio.Booked || sitting.State == studio.Arrived {
		slip.Next, slip.NextHref = "Plan a plate", shared.Floor.Path()+"?sitting="+string(sitting.ID)
	} else {
		slip.Known = append(slip.Known, shared.Fact{Word: "State", Value: string(sitting.State)})
	}
	return slip
}

// shortDay is a day beside which the year goes without saying when it is this one.
func shortDay(t, now time.Time) string {
	switch {
	case midnight(t).Equal(midnight(now)):
		return "today"
	case t.Year() == now.Year():
		return t.Format("Mon 2 January")
	default:
		return t.Format("2 January 2006")
	}
}
