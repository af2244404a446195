package flash

import (
	"fmt"
	"math"

	"platewright/light"
	"platewright/measure"
)

// Shot is what is asked of a flash beside its light.
type Shot struct {
	Index    light.ExposureIndex
	Aperture measure.FNumber // as engraved; the bellows come on top
	Bellows  measure.Stops
	Actinic  measure.Stops // what the light does to the plate beyond that in which Index was found
}

// Check refuses a shot with figures out of range.
func (s Shot) Check() error {
	if err := measure.Within("exposure index", float64(s.Index), 1e-6, 1e8, ""); err != nil {
		return err
	}
	if err := measure.Within("aperture", float64(s.Aperture), 1e-3, 1e5, ""); err != nil {
		return err
	}
	return s.checkStops()
}

func (s Shot) checkStops() error {
	if err := measure.Within("bellows stops", float64(s.Bellows), 0, 20, "stops"); err != nil {
		return err
	}
	return measure.Within("actinic stops", float64(s.Actinic), -20, 20, "stops")
}

// loss is what bellows and light together cost, as a factor.
func (s Shot) loss() float64 { return (s.Bellows - s.Actinic).Factor() }

// Needs returns the light at the sitter's face that the shot asks for: an incident meter's H = C N²/S [ISO2720],
// raised by the bellows and lowered by what the light does beyond the meter.
func (s Shot) Needs() (light.LuxSeconds, error) {
	if err := s.Check(); err != nil {
		return 0, err
	}
	N := float64(s.Aperture)
	return light.LuxSeconds(light.IncidentConstant * N * N * s.loss() / float64(s.Index)), nil
}

// Largest returns the largest f-number at which so much light at the face exposes a plate of the shot's index.
func (s Shot) Largest(given light.LuxSeconds) (measure.FNumber, error) {
	if err := measure.Within("exposure index", float64(s.Index), 1e-6, 1e8, ""); err != nil {
		return 0, err
	}
	if err := s.checkStops(); err != nil {
		return 0, err
	}
	if err := lit(given); err != nil {
		return 0, err
	}
	return measure.FNumber(math.Sqrt(float64(given) * float64(s.Index) / (light.IncidentConstant * s.loss()))), nil
}

// Least returns the least exposure index that so much light at the face exposes at the shot's stop.
func (s Shot) Least(given light.LuxSeconds) (light.ExposureIndex, error) {
	s.Index = 1
	needs, err := s.Needs()
	if err != nil {
		return 0, err
	}
	if err := lit(given); err != nil {
		return 0, err
	}
	return light.ExposureIndex(needs / given), nil
}

func lit(given light.LuxSeconds) error {
	if float64(given) > 1e-12 && float64(given) < 1e15 {
		return nil
	}
	if given >= 0 && given <= 1e-12 {
		return fmt.Errorf("no light of this flash falls on the sitter's face as it is turned; turn the light or the face")
	}
	return measure.Within("light at the face", float64(given), 1e-12, 1e15, "lx·s")
}

// GuideNumber returns the distance at which a beam of so many candela-seconds exposes at f/1 with the index: distance times
// f-number at any other [ISO2720], E = I/d². It holds where inverse square does, beyond some five widths of the face.
func GuideNumber(beam float64, index light.ExposureIndex) (measure.Length, error) {
	if err := measure.Within("beam", beam, 1e-9, 1e12, "cd·s"); err != nil {
		return 0, err
	}
	if err := measure.Within("exposure index", float64(index), 1e-6, 1e8, ""); err != nil {
		return 0, err
	}
	return measure.Length(math.Sqrt(float64(index)*beam/light.IncidentConstant)) * measure.Metre, nil
}

// BeamOf returns the candela-seconds of a flash whose guide number was told for an index.
func BeamOf(guide measure.Length, index light.ExposureIndex) (float64, error) {
	if err := measure.Within("guide number", guide.Metres(), 1e-3, 1e5, "m"); err != nil {
		return 0, err
	}
	if err := measure.Within("exposure index", float64(index), 1e-6, 1e8, ""); err != nil {
		return 0, err
	}
	g := guide.Metres()
	return light.IncidentConstant * g * g / float64(index), nil
}

// Farthest returns the greatest distance at which the head, aimed at the face, gives the light needed on a receptor turned
// from it by an angle, with what the room adds at any distance. The error says what would make a light that it does not
// reach possible.
func (h Head) Farthest(needs, roomAdds light.LuxSeconds, turn measure.Angle) (measure.Length, error) {
	h.Feather, h.Above = 0, 0
	at := func(d measure.Length) (light.LuxSeconds, error) {
		h.Distance = d
		dose, err := h.DoseTurned(turn)
		return dose + roomAdds, err
	}
	nearest, err := at(LeastDistance)
	if err != nil {
		return 0, err
	}
	if nearest < needs {
		return 0, &Unreached{Needs: needs, Most: nearest, Turned: nearest <= 0}
	}
	farthest, err := at(MostDistance)
	if err != nil {
		return 0, err
	}
	if farthest >= needs {
		return 0, &Overreached{Needs: needs, Least: farthest, Room: roomAdds}
	}
	near, far := math.Log(float64(LeastDistance)), math.Log(float64(MostDistance))
	for range 64 { // what a face gives falls steadily with distance: nearer, it covers all that it covered farther off
		middle := (near + far) / 2
		if dose, err := at(measure.Length(math.Exp(middle))); err != nil {
			return 0, err
		} else if dose >= needs {
			near = middle
		} else {
			far = middle
		}
	}
	return measure.Length(math.Exp(near)), nil
}

// Unreached says that a flash gives too little at any distance.
type Unreached struct {
	Needs, Most light.LuxSeconds
	Turned      bool // because nothing of it falls on the receptor
}

func (e *Unreached) Error() string {
	if e.Turned {
		return "no light of this flash falls on the sitter's face as it is turned, at any distance: turn the light or the face"
	}
	times := float64(e.Needs / e.Most)
	return fmt.Sprintf("this flash reaches the exposure at no distance: as near as it can be it gives %s lx·s and %s are needed, %s times as much (%s stops). "+
		"That many times the energy, the pops or the exposure index would do, or an f-number divided by %s; a smaller face is brighter near by",
		plain(float64(e.Most)), plain(float64(e.Needs)), plain(times), plain(math.Log2(times)), plain(math.Sqrt(times)))
}

// Overreached says that a flash gives more than is needed at any distance.
type Overreached struct{ Needs, Least, Room light.LuxSeconds }

func (e *Overreached) Error() string {
	if e.Room >= e.Needs {
		return fmt.Sprintf("the light that goes round the room alone gives %s lx·s and %s are needed: no distance is too far. Less energy, a larger f-number or a darker room would give one", plain(float64(e.Room)), plain(float64(e.Needs)))
	}
	return fmt.Sprintf("even %g m away this flash gives %s lx·s and %s are needed: less energy or a larger f-number would bring the distance into a room",
		MostDistance.Metres(), plain(float64(e.Least)), plain(float64(e.Needs)))
}

// EnergyFor returns the energy of each pop at which the head gives the light needed on a receptor turned from it by an angle, with a
// room, or nil.
func (h Head) EnergyFor(needs light.LuxSeconds, room *Room, turn measure.Angle) (Joules, error) {
	h.Energy = 1
	given, err := h.DoseTurned(turn)
	if err != nil {
		return 0, err
	}
	if room != nil {
		adds, err := room.Adds(h.Luminous() * h.Spread.leaving())
		if err != nil {
			return 0, err
		}
		given += adds
	}
	if err := lit(given); err != nil {
		return 0, err
	}
	return Joules(needs / given), nil
}

// Leaves returns the luminous energy that goes out of the head into the room, lm·s.
func (h Head) Leaves() float64 { return h.Luminous() * h.Spread.leaving() }

// Reading is a flash metered at a sitter's place: the light, and how the head stood and was set when it gave it.
type Reading struct {
	Light    light.LuxSeconds // on a flash meter that looked at the head; [light.FlashAt] tells it from an f-number
	Energy   Joules
	Distance measure.Length
	Pops     int // 0 is taken as 1
}

// Metered returns the head with its trim such that it gives what was read.
func (h Head) Metered(r Reading) (Head, error) {
	then := h
	then.Energy, then.Distance, then.Pops, then.Trim, then.Feather, then.Above = r.Energy, r.Distance, r.Pops, 0, 0, 0
	modelled, err := then.Dose()
	if err != nil {
		return Head{}, err
	}
	if err := lit(r.Light); err != nil {
		return Head{}, err
	}
	h.Trim = measure.StopsOf(float64(r.Light / modelled))
	return h, h.Check()
}

// Judged is a plate that was made with a head and judged.
type Judged struct {
	Energy   Joules // each pop
	Distance measure.Length
	Pops     int // 0 is taken as 1
	Shot     Shot
	Error    measure.Stops // exposure the plate had too much: positive when it is too light
}

// Judged returns the head with its trim such that the judged plate, less its error, was rightly exposed. What the trim takes
// in is all that the figures miss, the plate's index too: it serves shots with the index it was found with.
func (h Head) Judged(j Judged) (Head, error) {
	if err := measure.Within("error stops", float64(j.Error), -10, 10, "stops"); err != nil {
		return Head{}, err
	}
	needed, err := j.Shot.Needs()
	if err != nil {
		return Head{}, err
	}
	return h.Metered(Reading{Light: light.LuxSeconds(float64(needed) * j.Error.Factor()), Energy: j.Energy, Distance: j.Distance, Pops: j.Pops})
}

// Reach is what a rig can do for a plate.
type Reach struct {
	Largest   measure.FNumber // largest f-number, at the shot's index
	Energy    float64         // share of the energies set that the shot's own f-number needs; above 1 they do not suffice
	Farther   float64         // how many times as far all heads may stand for the shot; 0 when there is no such place
	Pops      int             // times that all heads are to be fired for the shot; see [MostPops]
	Lit       Lit             // what the rig gives as it stands
	NoFarther string          // why Farther is 0
}

// Reach returns what the rig can do. The boards stay where they are when the heads go farther.
func (r Rig) Reach(s Shot) (Reach, error) {
	lit, err := r.At()
	if err != nil {
		return Reach{}, err
	}
	s.Actinic += lit.Actinic
	needs, err := s.Needs()
	if err != nil {
		return Reach{}, err
	}
	out := Reach{Lit: lit}
	if out.Largest, err = s.Largest(lit.Front); err != nil {
		return Reach{}, err
	}
	out.Energy = float64(needs / lit.Front)
	out.Pops = int(min(MostPops, math.Ceil(out.Energy-1e-9)))
	near, far := 1e-3, 1e3
	for _, h := range r.Heads {
		near, far = max(near, float64(LeastDistance/h.Distance)), min(far, float64(MostDistance/h.Distance))
	}
	if near >= far {
		out.NoFarther = "The heads stand too near and too far to be moved together."
		return out, nil
	}
	gives := func(times float64) light.LuxSeconds {
		moved := r
		moved.Heads = make([]Head, len(r.Heads))
		for i, h := range r.Heads {
			h.Distance *= measure.Length(times)
			h.Above *= measure.Length(times)
			moved.Heads[i] = h
		}
		direct, boards, room, _ := moved.on(0)
		return sum(direct, boards, room)
	}
	switch {
	case gives(near) < needs:
		out.NoFarther = "As near as the heads can stand they do not give enough."
		return out, nil
	case gives(far) >= needs:
		out.NoFarther = "What goes round the room suffices wherever the heads stand."
		return out, nil
	}
	low, high := math.Log(near), math.Log(far)
	for range 60 {
		middle := (low + high) / 2
		if gives(math.Exp(middle)) >= needs {
			low = middle
		} else {
			high = middle
		}
	}
	out.Farther = math.Exp(low)
	return out, nil
}
