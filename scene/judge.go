package scene

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"platewright/light"
	"platewright/measure"
	"platewright/optics"
)

// judge makes choices of the stands, each at every stop of the lens that the light allows.
func (t *trial) judge() error {
	var dark shortfall
	for i := range t.stands {
		s := &t.stands[i]
		for _, stop := range t.lens.Stops {
			k := Choice{Lens: t.lens.Name, Cameras: s.cameras, Stop: stop, Moves: s.moves, Setup: s.setup, Eyes: s.eyes,
				Magnification: s.set.Magnification, Distance: s.set.Distance,
				Frame: t.q.Plate.LongSide() / measure.Length(s.set.Magnification)}
			k.Setup.Lens.Stop = stop
			set := s.set
			set.Lens.Stop = stop
			during, err := t.expose(&k, set.Bellows())
			if err != nil {
				return err
			}
			if k.Spare < 0 {
				dark.short(&k)
				continue
			}
			dark.enough(stop)
			if err := t.sharp(&k); err != nil {
				return fmt.Errorf("%s at %v: %w", k.Lens, stop, err)
			}
			k.FaceShare = s.face.within(t.q.Blur, s.set.Lens.Stop, stop)
			k.during = during
			if err := t.rims(&k, s, set); err != nil { // of this lens; the others may do
				t.refuse(t.lens, &Camera{}, k.Lens+": "+err.Error())
				continue
			}
			k.Room = t.room(&k)
			t.choices = append(t.choices, k)
		}
	}
	if why := dark.sentence(t.lens, t.q.Light); why != "" {
		t.refuse(t.lens, &Camera{}, why)
	}
	return nil
}

// expose finds the light that a choice needs, and how long the sitter is to keep still for it.
func (t *trial) expose(k *Choice, bellows measure.Stops) (time.Duration, error) {
	l := t.q.Light
	steady := l.Steady
	if l.Flash > 0 {
		steady = 1 // lx: the seconds then are the lx·s it takes
	}
	x, err := light.Reading{Light: steady, Index: l.Index, Aperture: k.Stop, Bellows: bellows, Actinic: l.Actinic}.Expose()
	if err != nil {
		return 0, err
	}
	k.Needed = light.LuxSeconds(float64(x.Time) * float64(steady))
	if l.Flash > 0 {
		k.Spare = measure.StopsOf(float64(l.Flash / k.Needed))
		return FlashLasts, nil
	}
	k.Seconds = x.Time
	if l.Longest > 0 {
		k.Spare = measure.StopsOf(float64(l.Longest / x.Time))
	}
	return time.Duration(float64(min(x.Time, longestAsked)) * float64(time.Second)), nil
}

// sharp looks at each target: how blurred it is, and how far the sharp ones may move toward the camera and away.
func (t *trial) sharp(k *Choice) error {
	at := make([]optics.Point, len(t.targets))
	for i, v := range t.targets {
		at[i] = before(k.Eyes, v)
	}
	blurs, free, err := play(k.Setup, t.q.Blur, at)
	if err != nil {
		return err
	}
	sharp := 0
	k.Targets = make([]TargetMark, len(blurs))
	for i, b := range blurs {
		k.Targets[i] = TargetMark{Target: t.q.Targets[i], Blur: b, State: StateOf(b, t.q.Blur)}
		if k.Targets[i].State == Sharp {
			sharp++
		}
	}
	k.TargetShare = float64(sharp) / float64(len(t.targets))
	k.AllSharp = sharp == len(t.targets)
	k.Play = free
	eye := before(k.Eyes, t.eye)
	spot, err := k.Setup.Spot(eye)
	if err != nil {
		return err
	}
	reach, err := k.Setup.Along(spot.At, t.q.Blur)
	if err != nil {
		return err
	}
	if !reach.Beyond {
		k.FocusBehind = reach.Sharp.Z - eye.Z
	}
	return nil
}

// widestSwirl is the field angle, 80°, beyond which nothing is said of what the rims leave: no portrait lens draws there.
const widestSwirl = 80 * math.Pi / 180

// rims looks at what the rims of the lens and its circle leave.
func (t *trial) rims(k *Choice, s *stand, set optics.Setting) error {
	if t.lens.Circle > 0 {
		k.CircleLeft = &s.cover.Left
	}
	r := t.lens.Rims
	if r.Front == 0 || r.Rear == 0 || r.Barrel == 0 {
		return nil
	}
	// Seen from the entrance pupil a field angle's tangent is p times that behind the exit pupil.
	corner := math.Atan(k.Setup.Lens.PupilMag * math.Tan(float64(slices.Max(s.cover.Corners[:]))))
	if corner > widestSwirl {
		return nil
	}
	axis := k.Setup.Camera.Axis()
	ahead := float64(k.Setup.Lens.EntrancePupil())
	face := 0.0
	for _, v := range t.targets {
		at := before(k.Eyes, v)
		x, y, z := float64(at.X)-ahead*axis[0], float64(at.Y)-ahead*axis[1], float64(at.Z)-ahead*axis[2]
		along := x*axis[0] + y*axis[1] + z*axis[2]
		aside := math.Sqrt(max(0, x*x+y*y+z*z-along*along))
		face = max(face, math.Atan2(aside, along))
	}
	k.Swirl = &Swirl{}
	for _, w := range []struct {
		off  float64
		into *float64
	}{{corner, &k.Swirl.Corner}, {face, &k.Swirl.Face}} {
		along, across, err := r.Eye(set, measure.Angle(w.off))
		if err != nil {
			return err
		}
		*w.into = 1
		if across > 0 {
			*w.into = 1 - along/across
		}
	}
	return nil
}

func (t *trial) room(k *Choice) measure.Length {
	return k.Distance + k.Setup.Camera.Extension + behindPlate + behindEyes + measure.Length(t.second.Z)
}

// faceBlur is how blurred the patches of the face are that a lens sees, at one stop.
type faceBlur struct {
	blur, area []float64
	all        float64
}

// faceOf looks at the face from a stand; it is an error when a part of it lies within the focal length.
func (t *trial) faceOf(s *stand) (faceBlur, error) {
	shot := Shot{Setup: s.setup, Eyes: s.eyes}
	pupil := shot.pupil()
	f := faceBlur{blur: make([]float64, 0, len(t.face)), area: make([]float64, 0, len(t.face))}
	for i := range t.face {
		p := &t.face[i]
		at := before(s.eyes, p.At)
		if !faces(p.Normal, at, pupil) {
			continue
		}
		spot, err := s.setup.Spot(at)
		if err != nil {
			return faceBlur{}, err
		}
		f.blur, f.area = append(f.blur, float64(spot.Long)), append(f.area, p.Area)
		f.all += p.Area
	}
	return f, nil
}

// within returns the share of the face whose blur is within the limit at another stop. Blur grows as the pupil; what a
// turned back adds to that, some parts in ten thousand, is left out.
func (f faceBlur) within(limit measure.Length, was, now measure.FNumber) float64 {
	if f.all == 0 {
		return 0
	}
	most := float64(limit) * float64(now/was)
	sharp := 0.0
	for i, b := range f.blur {
		if b <= most {
			sharp += f.area[i]
		}
	}
	return sharp / f.all
}

// shortfall collects the stops that the light does not allow at any distance.
type shortfall struct {
	dark []Choice // of each stop that is too dark somewhere, the one that lacks least
	lit  []measure.FNumber
}

func (d *shortfall) short(k *Choice) {
	i := slices.IndexFunc(d.dark, func(have Choice) bool { return have.Stop == k.Stop })
	switch {
	case i < 0:
		d.dark = append(d.dark, *k)
	case k.Spare > d.dark[i].Spare:
		d.dark[i] = *k
	}
}

func (d *shortfall) enough(stop measure.FNumber) {
	if !slices.Contains(d.lit, stop) {
		d.lit = append(d.lit, stop)
	}
}

// sentence says which stops are too dark and what would help, or nothing when none is.
func (d *shortfall) sentence(l *Lens, by Light) string {
	dark := slices.DeleteFunc(d.dark, func(k Choice) bool { return slices.Contains(d.lit, k.Stop) })
	if len(dark) == 0 {
		return ""
	}
	slices.SortFunc(dark, func(a, b Choice) int { return cmp.Compare(a.Stop, b.Stop) })
	widest := dark[0] // which lacks least
	at := widest.Stop.String()
	if len(dark) > 1 {
		at += " to " + dark[len(dark)-1].Stop.String()
	}
	lacks := fmt.Sprintf("%.1f stops more light, or a plate so much faster, would make %v possible", math.Ceil(-10*float64(widest.Spare))/10, widest.Stop)
	if by.Flash > 0 {
		return fmt.Sprintf("too little flash: %s at %s asks for %s lx·s or more at the sitter and there are %s; %s", l.Name, at, plain(float64(widest.Needed)), plain(float64(by.Flash)), lacks)
	}
	return fmt.Sprintf("too long an exposure: %s at %s takes %s s or more and the longest is %s s; %s", l.Name, at, plain(float64(widest.Seconds)), plain(float64(by.Longest)), lacks)
}
