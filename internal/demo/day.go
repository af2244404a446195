package demo

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"time"

	"platewright/internal/studio"
	"platewright/measure"
)

// Hands are what a user has to work with: the product's screens, and nothing behind them.
type Hands interface {
	// Sitting says how far a sitting has come.
	Sitting(ctx context.Context, id studio.ID, state studio.SittingState) error
	// Plan fills in the Floor's form and returns the number of the plate that was planned.
	Plan(ctx context.Context, p Planned) (studio.Number, error)
	// Press gives the clock a step, as a device that keeps its own time does.
	Press(ctx context.Context, n studio.Number, e studio.Event) error
	// Judge gives the plate its verdict.
	Judge(ctx context.Context, n studio.Number, v studio.Verdict) error
	// Mark marks a fault of a plate that was not photographed yet.
	Mark(ctx context.Context, n studio.Number, m studio.Mark) error
	// FileCopy hands a photograph of the plate to the Copy stand and returns what was filed.
	FileCopy(ctx context.Context, n studio.Number, fileName string, content []byte) (studio.Copy, error)
	// Passport asks for the plate's passport, a PDF.
	Passport(ctx context.Context, n studio.Number) ([]byte, error)
}

// Planned is a plan with what it was reckoned from.
type Planned struct {
	studio.Plan
	Frame measure.Length // height of subject on the plate's long side
	Lx    float64        // incident light at the face
	Index float64        // the exposure index gone by
}

// DayOptions says where the day's sitting is told and its papers go.
type DayOptions struct {
	Out  io.Writer
	Save func(name string, content []byte) (path string, err error)
	Long int // long side of the plate in its photograph, px; 1300 when 0
}

// Made is what the day's sitting made.
type Made struct {
	Number   studio.Number
	Verdict  studio.Verdict
	Copy     studio.Copy
	Original string // path of the photograph as it came from the camera
	Passport string // path of the passport
}

// Day does the first sitting of the day with the hands given, from the plan to the passport. The
// clock runs at speed: times move on by what each step takes, nobody waits.
func (f *Filled) Day(ctx context.Context, h Hands, o DayOptions) (Made, error) {
	if o.Out == nil || o.Save == nil {
		return Made{}, errors.New("the day's sitting needs somewhere to be told and somewhere to save to")
	}
	if o.Long == 0 {
		o.Long = todaysPlate
	}
	defer f.clock.Release()
	d := &day{f: f, c: f.first, h: h, o: o, t: f.first.sitting.At}
	steps := []func(context.Context) error{d.arrive}
	for range mostPlates {
		steps = append(steps, d.floor, d.darkRoom, d.judge)
	}
	steps = append(steps, d.finish, d.copyStand, d.passport)
	for _, step := range steps {
		if err := step(ctx); err != nil {
			return Made{}, fmt.Errorf("the day's sitting: %w", err)
		}
	}
	return d.made, d.told
}

// mostPlates is how often the sitting's plate is tried before one goes home without.
const mostPlates = 3

// day is the sitting as it goes on.
type day struct {
	f    *Filled
	c    choice
	h    Hands
	o    DayOptions
	t    time.Time // what the clock shows
	made Made
	told error // the first trouble with telling

	nth     int  // plates judged so far
	settled bool // no further plate is wanted
	plan    studio.Plan
	sight   sight
	met     metering
	off     capOff
	given   float64
	bathC   float64
	out     outcome
	marks   []studio.Mark
	pace    pace
	washing time.Time
}

// tell prints a line of the table.
func (d *day) tell(name, format string, args ...any) {
	d.line(fmt.Sprintf("  %-14s", name) + fmt.Sprintf(format, args...))
}

// room prints the name of the room that the next lines happen in.
func (d *day) room(format string, args ...any) {
	d.line(fmt.Sprintf(format, args...))
}

func (d *day) line(s string) {
	if _, err := fmt.Fprintln(d.o.Out, strings.TrimRight(s, " ")); err != nil && d.told == nil {
		d.told = err
	}
}

// wait moves the clock on.
func (d *day) wait(t time.Duration) {
	d.t = d.t.Add(t)
	d.f.clock.Set(d.t)
}

func (d *day) arrive(ctx context.Context) error {
	d.wait(0)
	f := d.f
	d.room("%s, %s (an invented studio)", f.Name, f.Place)
	d.tell("plates", "%d since %s: %d keep, %d redo, %d reject; %d right or a little off; %d photographed",
		f.Plates, f.Since.In(f.zone).Format("2 January"), f.Fates[studio.Keep], f.Fates[studio.Redo], f.Fates[studio.Reject], f.Little, f.Copies)
	d.room("Desk")
	d.tell("sitting", "%s  %s, %s", d.t.In(f.zone).Format("15:04"), d.c.sitter.Name, d.c.purpose)
	return d.h.Sitting(ctx, d.c.sitting.ID, studio.Arrived)
}

// floor sets lens, distance and seconds and plans the plate; for a plate that is made again only the
// seconds are new.
func (d *day) floor(ctx context.Context) error {
	if d.settled {
		return nil
	}
	var err error
	lens, stop := d.c.lensRow, d.c.lensRow.Stops[d.c.stop]
	if d.sight, err = d.f.ask.focus(framing{lens, stop, d.c.size, d.c.frame}); err != nil {
		return err
	}
	w := d.f.world
	w.takeOver(d.c.bottles.collodion.Name, d.c.before)
	d.met = metering{w.metered(d.c.spot, d.t), w.index(d.c.bottles.collodion.Name, d.c.spot)}
	if d.off, err = d.f.ask.seconds(stop, d.sight.BellowsStops, d.met); err != nil {
		return err
	}
	d.plan = d.sight.plan(d.c.planFor())
	d.plan.Exposure = counted(d.off.Seconds)
	d.plan.Note = fmt.Sprintf("%g lx at the face, index %g", d.met.lx, d.met.index)

	d.wait(5 * time.Minute)
	if d.made.Number, err = d.h.Plan(ctx, Planned{Plan: d.plan, Frame: d.c.frame, Lx: d.met.lx, Index: d.met.index}); err != nil {
		return err
	}
	capTime := fmt.Sprintf("%s (%.1f to %.1f by the meter's constant)", short(d.plan.Exposure), d.off.BandS[0], d.off.BandS[1])
	if d.nth > 0 {
		d.room("Again, by the word of the last plate")
		d.tell("plate", "%s  %.0f lx, exposure index %g", d.made.Number, d.met.lx, d.met.index)
		d.tell("cap off", "%s", capTime)
		return nil
	}
	s := d.sight
	d.room("Floor")
	d.tell("plate", "%s  %s, %s", d.made.Number, d.c.size.Name, d.plan.Support)
	d.tell("lens", "%s, %s: %s", lens.Name, stop.Name, lens.Form)
	d.tell("frames", "%.0f × %.0f mm at the eyes, magnification %.3f", s.FrameWidthMM, s.FrameHeightMM, s.Magnification)
	d.tell("distance", "%.0f mm from lens to eyes; the room must be %.1f m deep", s.DistanceMM, s.RoomMM/1000)
	d.tell("extension", "%.0f mm, which works as f/%.1f and costs %.2f stops", s.ExtensionMM, s.EffectiveFNumber, s.BellowsStops)
	if s.DepthMM != nil && s.FrontDepthMM != nil && s.RearDepthMM != nil {
		d.tell("sharp", "%.1f mm deep, %.1f before and %.1f behind the eyes, within %.2f mm of blur", *s.DepthMM, *s.FrontDepthMM, *s.RearDepthMM, float64(blurLimit))
	}
	d.tell("light", "%s: %.0f lx, exposure index %g", d.plan.Light, d.met.lx, d.met.index)
	d.tell("cap off", "%s", capTime)
	return nil
}

// darkRoom runs the clock from the pour until the plate is fixed. Every step of the first plate is
// told, of a plate made again the sum.
func (d *day) darkRoom(ctx context.Context) error {
	if d.settled {
		return nil
	}
	w := d.f.world
	d.wait(3 * time.Minute)
	d.bathC = w.room(d.t)
	d.pace = w.pace(d.bathC)
	planned := d.plan.Exposure.Seconds()
	d.given = math.Round(10*math.Max(0.3, planned+w.rng.NormFloat64()*math.Hypot(0.07*planned, 0.1))) / 10
	b := d.c.bottles
	d.out = w.come(b.collodion.Name, b.collodion.AgeDays(d.t), d.c.spot, d.met.index, d.given, d.off.Seconds, d.bathC)
	d.marks = w.faults(d.c.holder, d.bathC, b.bath.AgeDays(d.t))

	if d.nth == 0 {
		d.room("%-16s%-14s%-14s%s, %s, %s", "Dark room", "took", "target", b.collodion.Name, b.bath.Name, b.developer.Name)
	}
	targets := studio.CommonTargets()
	since := make(map[studio.EventKind]time.Time)
	for _, step := range studio.Steps(d.plan, targets) {
		if step.Event == studio.Washed {
			break
		}
		detail := d.take(step.Event, targets)
		since[step.Event] = d.t
		if err := d.press(ctx, step.Event, detail); err != nil {
			return err
		}
		took := ""
		if from, ok := since[step.Since]; ok {
			took = short(d.t.Sub(from))
		}
		if step.Event == studio.Exposed { // the target is that of the cap, not of the walk to the camera
			took = short(seconds(d.given))
		}
		if d.nth == 0 {
			d.tell(string(step.Event), "%-14s%-14s%s", took, target(step), said(detail))
		}
	}
	if d.nth > 0 {
		d.tell("clocked", "%s from pour to fixed, cap off for %g s, %s wet", short(since[studio.Fixed].Sub(since[studio.Poured])),
			d.given, short(since[studio.DeveloperOn].Sub(since[studio.OutOfBath])))
	}
	return nil
}

// take lets the time of a step go by, as planned where a time is planned, and returns its detail.
func (d *day) take(kind studio.EventKind, t studio.Targets) studio.Detail {
	switch kind {
	case studio.InBath:
		d.wait(t.Set)
		return studio.Detail{TemperatureC: celsius(d.bathC)}
	case studio.OutOfBath:
		d.wait(t.Bath)
	case studio.Loaded:
		d.wait(d.pace.load)
	case studio.Exposed:
		d.wait(d.pace.walk + seconds(d.given))
		return studio.Detail{ExposureS: d.given}
	case studio.DeveloperOn:
		d.wait(d.pace.back)
		return studio.Detail{TemperatureC: celsius(math.Round(10*(d.bathC-0.4)) / 10)}
	case studio.DeveloperOff:
		d.wait(t.Develop)
		return studio.Detail{FirstImageS: d.pace.first.Seconds()}
	case studio.Fixed:
		d.wait(t.Fix)
	}
	return studio.Detail{}
}

func (d *day) press(ctx context.Context, kind studio.EventKind, detail studio.Detail) error {
	e := studio.Event{ID: d.f.newID(), Kind: kind, At: d.t, Device: tablet, By: operator, Detail: detail}
	if err := d.h.Press(ctx, d.made.Number, e); err != nil {
		return fmt.Errorf("%s: %w", kind, err)
	}
	return nil
}

// judge gives the verdict and marks the faults, and learns from it for the next plate.
func (d *day) judge(ctx context.Context) error {
	if d.settled {
		return nil
	}
	d.washing = d.t
	d.wait(d.pace.look)
	d.nth++
	d.made.Verdict = studio.Verdict{Word: d.out.word, Fate: d.f.world.fate(d.out.word, d.marks, d.nth < mostPlates)}
	d.settled = d.made.Verdict.Fate != studio.Redo
	d.f.world.learn(d.c.bottles.collodion.Name, d.c.spot, d.out.word)
	if err := d.h.Judge(ctx, d.made.Number, d.made.Verdict); err != nil {
		return fmt.Errorf("verdict: %w", err)
	}
	if d.nth == 1 {
		d.room("Plate store")
	}
	d.tell("verdict", "%s: %s", studio.VerdictWord(d.made.Verdict.Word), d.made.Verdict.Fate)
	for _, m := range d.marks {
		d.wait(7 * time.Second)
		if err := d.h.Mark(ctx, d.made.Number, m); err != nil {
			return fmt.Errorf("mark: %w", err)
		}
	}
	if len(d.marks) > 0 {
		d.tell("marks", "%s", counts(d.marks))
	}
	return nil
}

// counts says how many marks there are of each appearance.
func counts(marks []studio.Mark) string {
	var parts []string
	for i, m := range marks {
		same := func(o studio.Mark) bool { return o.Appearance == m.Appearance }
		if slices.IndexFunc(marks, same) < i {
			continue
		}
		n := 0
		for _, o := range marks {
			if same(o) {
				n++
			}
		}
		parts = append(parts, fmt.Sprintf("%d × %s", n, m.Appearance))
	}
	return strings.Join(parts, ", ")
}

// finish washes the plate and varnishes one that is kept.
func (d *day) finish(ctx context.Context) error {
	targets := studio.CommonTargets()
	d.wait(d.washing.Add(targets.Wash).Sub(d.t))
	if err := d.press(ctx, studio.Washed, studio.Detail{}); err != nil {
		return err
	}
	d.tell("washed", "%s", short(targets.Wash))
	if d.made.Verdict.Fate == studio.Keep {
		d.wait(16 * time.Minute)
		if err := d.press(ctx, studio.Varnished, studio.Detail{}); err != nil {
			return err
		}
		d.tell("varnished", "with %s, dried first", d.c.bottles.varnish.Name)
	}
	return nil
}

func (d *day) passport(ctx context.Context) error {
	d.wait(2 * time.Minute)
	if err := d.h.Sitting(ctx, d.c.sitting.ID, studio.Done); err != nil {
		return err
	}
	pdf, err := d.h.Passport(ctx, d.made.Number)
	if err != nil {
		return err
	}
	if d.made.Passport, err = d.o.Save("passport-"+d.made.Number.String()+".pdf", pdf); err != nil {
		return err
	}
	d.room("Papers")
	d.tell("passport", "%s  %s", d.made.Passport, kilobytes(len(pdf)))
	return nil
}

func seconds(s float64) time.Duration { return time.Duration(s * float64(time.Second)) }

// short writes a time as the trade says it.
func short(t time.Duration) string {
	if t < time.Minute {
		return fmt.Sprintf("%.3g s", t.Seconds())
	}
	if t%time.Minute == 0 {
		return fmt.Sprintf("%g min", t.Minutes())
	}
	whole := t.Round(time.Second)
	return fmt.Sprintf("%d min %02d s", int(whole.Minutes()), int(whole.Seconds())%60)
}

func target(s studio.Step) string {
	switch {
	case s.After != 0:
		return short(s.After)
	case s.Until != 0:
		return "by " + short(s.Until)
	}
	return ""
}

// said is what an event's detail says, for the table.
func said(d studio.Detail) string {
	var parts []string
	if d.TemperatureC != nil {
		parts = append(parts, fmt.Sprintf("%.1f °C", float64(*d.TemperatureC)))
	}
	if d.FirstImageS != 0 {
		parts = append(parts, fmt.Sprintf("first image after %.1f s", d.FirstImageS))
	}
	return strings.Join(parts, ", ")
}

func kilobytes(n int) string { return fmt.Sprintf("%d kB", (n+999)/1000) }
