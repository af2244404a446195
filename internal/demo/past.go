package demo

import (
	"context"
	"fmt"
	"math"
	"time"

	"platewright/internal/studio"
)

// draft is a plate of the past: what was drawn for it before it is written down.
type draft struct {
	choice
	at      time.Time // of the pour
	number  studio.Number
	sight   sight
	out     outcome
	marks   []studio.Mark
	fate    studio.Fate
	bathC   float64
	seed    uint64 // of its picture
	picture chan rendering
	met     metering
	judged  time.Time
}

// past lays out the sittings of the last three months and their plates.
func (m *maker) past() error {
	table := visits()
	sittings := max(1, min(len(table)*m.o.Plates/60, m.o.Plates))
	lastDay := -91
	poured := 0
	for i := range sittings {
		b := table[i%len(table)]
		ago := 88 - (i*86)/max(1, sittings-1)
		day := m.day.AddDate(0, 0, -ago)
		if day.Weekday() == time.Sunday {
			day = day.AddDate(0, 0, -1)
		}
		for ; lastDay < -ago; lastDay++ {
			m.w.newDay()
		}
		at := day.Add(10*time.Hour + 30*time.Minute + time.Duration(i%2)*4*time.Hour)
		quota := m.o.Plates*(i+1)/sittings - m.o.Plates*i/sittings
		m.book(i, b, at, 5+i*7%13)
		m.setState(i, at.Add(-4*time.Minute), studio.Arrived, "")
		end, err := m.sitting(i, b, at, quota, poured)
		if err != nil {
			return err
		}
		poured += quota
		m.setState(i, end.Add(5*time.Minute), studio.Done, "")
	}
	return nil
}

// sitting draws a sitting's plates one after the other and returns when the last one was in the wash.
func (m *maker) sitting(place int, b visit, at time.Time, quota, before int) (time.Time, error) {
	pour := at.Add(m.w.seconds(14*60, 24*60))
	end := pour
	kept := 0
	for i := range quota {
		d := &draft{choice: m.choose(b, pour), at: pour, seed: m.w.rng.Uint64()}
		m.drafts = append(m.drafts, d)
		judged, err := m.plate(place, d, before+i, i+1 < quota && kept < b.wanted)
		if err != nil {
			return end, err
		}
		if d.fate == studio.Keep {
			kept++
		}
		end = judged
		pour = judged.Add(m.w.seconds(6*60, 13*60))
	}
	return end, nil
}

// plate draws a plate from the plan to the plate store, and returns when it was judged.
func (m *maker) plate(place int, d *draft, nth int, again bool) (time.Time, error) {
	w := m.w
	sight, err := m.ask.focus(framing{d.lensRow, d.lensRow.Stops[d.stop], d.size, d.frame})
	if err != nil {
		return d.at, err
	}
	d.sight = sight
	cb := d.bottles.collodion
	w.takeOver(cb.Name, d.before)
	met := metering{w.metered(d.spot, d.at), w.index(cb.Name, d.spot)}
	d.met = met
	off, err := m.ask.seconds(d.lensRow.Stops[d.stop], sight.BellowsStops, met)
	if err != nil {
		return d.at, err
	}
	planned := counted(off.Seconds)
	given := math.Round(10*math.Max(0.3, planned.Seconds()+w.rng.NormFloat64()*math.Hypot(0.07*planned.Seconds(), 0.1))) / 10
	d.bathC = w.room(d.at)
	d.out = w.come(cb.Name, cb.AgeDays(d.at), d.spot, met.index, given, off.Seconds, d.bathC)
	d.marks = w.faults(d.holder, d.bathC, d.bottles.bath.AgeDays(d.at))
	d.fate = w.fate(d.out.word, d.marks, again)
	w.learn(cb.Name, d.spot, d.out.word)

	m.at(d.at.Add(-w.seconds(90, 420)), func(ctx context.Context) error {
		plan := d.sight.plan(d.planFor())
		plan.Sitting, plan.Exposure = m.sittings[place].ID, planned
		plan.Note = fmt.Sprintf("%g lx at the face, index %g", met.lx, met.index)
		plan.Lighting = m.lighting(d.choice, met)
		p, err := m.s.PlanPlate(ctx, plan)
		d.number = p.Number
		return err
	})
	judged := m.clocked(d, given, nth)
	d.judged = judged
	m.afterwards(d, judged, nth)
	return judged, nil
}

func (m *maker) collodionBefore(b studio.Batch) string {
	for i, other := range m.batches {
		if other.ID == b.ID {
			if last := m.before("collodion", i, 1); last >= 0 {
				return m.batches[last].Name
			}
		}
	}
	return ""
}

// Devices of the invented studio.
const (
	tablet   = "dark room tablet"
	deskBook = "desk"
)

// record lets an event be recorded at its time and returns its id.
func (m *maker) record(d *draft, at time.Time, kind studio.EventKind, detail studio.Detail) studio.ID {
	id := m.s.NewID()
	device, by := tablet, operator
	if kind == studio.Varnished || kind == studio.Moved || kind == studio.Delivered || kind == studio.Washed {
		device, by = deskBook, helper
	}
	m.at(at, func(ctx context.Context) error {
		_, err := m.s.Record(ctx, d.number, studio.Event{ID: id, Kind: kind, At: at, Device: device, By: by, Detail: detail})
		return err
	})
	return id
}

func (m *maker) correct(d *draft, at time.Time, wrong studio.ID, detail studio.Detail) {
	id := m.s.NewID()
	m.at(at, func(ctx context.Context) error {
		_, err := m.s.Record(ctx, d.number, studio.Event{ID: id, Kind: studio.Corrected, Corrects: wrong, At: at, Device: tablet, By: operator, Detail: detail})
		return err
	})
}

// pace is how long each step of a plate takes.
type pace struct {
	set, bath, load, walk, back, develop, first, fix, look, wash time.Duration
}

// pace draws the times of a plate; a cold bath takes longer, a warm one develops faster.
func (w *world) pace(bathC float64) pace {
	cold := math.Max(0, 18-bathC)
	first := w.seconds(4, 6.5) - time.Duration((bathC-20)*0.25*float64(time.Second)).Round(100*time.Millisecond)
	if first < 2*time.Second {
		first = 2 * time.Second
	}
	return pace{
		set:   w.seconds(20, 40),
		bath:  w.seconds(180+12*cold, 250+20*cold),
		load:  w.seconds(30, 70),
		walk:  w.seconds(40, 150),
		back:  w.seconds(30, 120),
		first: first, develop: first + w.seconds(6, 13),
		fix: w.seconds(35, 90), look: w.seconds(50, 150), wash: w.seconds(25*60, 36*60),
	}
}

// clocked records a plate's steps, its verdict and its marks, and returns when it was judged.
func (m *maker) clocked(d *draft, given float64, nth int) time.Time {
	w, t := m.w, d.at
	p := w.pace(d.bathC)
	exposure := time.Duration(given * float64(time.Second))

	m.record(d, t, studio.Poured, studio.Detail{})
	t = t.Add(p.set)
	m.record(d, t, studio.InBath, studio.Detail{TemperatureC: celsius(d.bathC)})
	t = t.Add(p.bath)
	m.record(d, t, studio.OutOfBath, studio.Detail{})
	t = t.Add(p.load)
	m.record(d, t, studio.Loaded, studio.Detail{})
	if nth%19 == 7 { // a press too many, taken back
		early := m.record(d, t.Add(2*time.Second), studio.Exposed, studio.Detail{})
		m.correct(d, t.Add(9*time.Second), early, studio.Detail{Void: true, Words: "pedal pressed twice, the cap was still on"})
	}
	t = t.Add(p.walk + exposure)
	noted := given
	if nth%29 == 16 { // the wrong seconds, put right after the plate is in the wash
		noted = given + 10
	}
	exposed := m.record(d, t, studio.Exposed, studio.Detail{ExposureS: noted})
	exposedAt := t
	t = t.Add(p.back)
	m.record(d, t, studio.DeveloperOn, studio.Detail{TemperatureC: celsius(math.Round(10*(d.bathC-0.4)) / 10)})
	t = t.Add(p.develop)
	m.record(d, t, studio.DeveloperOff, studio.Detail{FirstImageS: p.first.Seconds()})
	t = t.Add(p.fix)
	m.record(d, t, studio.Fixed, studio.Detail{})
	judged := t.Add(p.look)
	m.record(d, judged, studio.Judged, studio.Detail{Verdict: &studio.Verdict{Word: d.out.word, Fate: d.fate, Say: w.remark(d)}})
	for i, mark := range d.marks {
		m.record(d, judged.Add(time.Duration(8+7*i)*time.Second), studio.Marked, studio.Detail{Mark: &mark})
	}
	if noted != given {
		m.correct(d, judged.Add(4*time.Minute), exposed, studio.Detail{Words: "misread the slip",
			Instead: &studio.Instead{At: exposedAt, Detail: studio.Detail{ExposureS: given}}})
	}
	if words := w.note(d); words != "" {
		m.record(d, judged.Add(2*time.Minute), studio.Noted, studio.Detail{Words: words})
	}
	m.record(d, t.Add(p.wash), studio.Washed, studio.Detail{})
	return judged
}

// afterwards lets a plate be varnished, photographed, put away and handed over.
func (m *maker) afterwards(d *draft, judged time.Time, nth int) {
	y, mo, day := judged.Date()
	next := time.Date(y, mo, day+1, 16, 0, 0, 0, judged.Location()).Add(m.w.seconds(0, 3000))
	if d.fate == studio.Keep {
		m.record(d, next, studio.Varnished, studio.Detail{})
	}
	m.copyAt(d, next.Add(90*time.Minute+m.w.seconds(0, 1500)))
	if d.fate != studio.Keep {
		return
	}
	box := fmt.Sprintf("plate store, box %c, place %d", 'A'+nth/12, nth%12+1)
	m.record(d, next.AddDate(0, 0, 2), studio.Moved, studio.Detail{Place: box})
	if m.w.chance(0.45) {
		how := "handed to the sitter, folder and care card"
		if m.w.chance(0.3) {
			how = "posted to the sitter, boxed upright"
		}
		m.record(d, next.AddDate(0, 0, 5+m.w.rng.IntN(7)), studio.Delivered, studio.Detail{Place: how})
	}
}

// copyAt lets a plate be photographed at a time, kept plates before all and others while the number
// wanted allows.
func (m *maker) copyAt(d *draft, at time.Time) {
	if m.o.File == nil || m.copyOf >= m.o.Copies || !at.Before(m.o.Today) {
		return
	}
	if d.fate != studio.Keep && !m.w.chance(0.35) {
		return
	}
	m.copyOf++
	d.picture = make(chan rendering, 1)
	m.at(at, func(ctx context.Context) error {
		r := <-d.picture
		if r.err != nil {
			return fmt.Errorf("plate %s: %w", d.number, r.err)
		}
		return m.o.File(ctx, d.number, "copy-"+d.number.String()+".jpg", r.jpeg)
	})
}
