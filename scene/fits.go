package scene

import (
	"fmt"
	"math"

	"platewright/measure"
	"platewright/optics"
)

// What a sitting takes of a room beside the way from the sitter's eyes to the plate.
const (
	behindPlate measure.Length = 1000 // for the operator
	behindEyes  measure.Length = 500  // the sitter's back, the head rest and the background: common practice, no source
)

// span is a range of magnifications.
type span struct{ low, high float64 }

// inward is by how much a span keeps off a limit of the camera or the lens, where it can: focused between the targets the
// plate stands a little nearer or farther than for the eyes.
const inward = 1.01

func (m span) from(low float64) span  { return span{max(m.low, min(low*inward, m.high)), m.high} }
func (m span) upTo(high float64) span { return span{m.low, min(m.high, max(high/inward, m.low))} }

// forLens narrows the magnifications of the framing to those at which the lens's circle holds the plate and the room
// holds the sitting, or says in a sentence why there are none and what would help.
func (c *chooser) forLens(l *Lens) (span, string) {
	long := float64(c.q.Plate.LongSide())
	m := span{long / float64(c.q.Frame.Greatest), long / float64(c.q.Frame.Least)}
	if l.Circle > 0 {
		// The circle grows as (p + m)/p, being a cone from the exit pupil.
		diagonal, p := float64(c.q.Plate.Diagonal()), l.PupilMag
		least := p * (diagonal/float64(l.Circle) - 1)
		if m.high < least {
			return m, fmt.Sprintf("the circle is too small: %s covers %.0f mm at the tightest of this framing and the plate's diagonal is %.0f mm; a smaller plate, or %.0f mm of the sitter or less on its long side, would do",
				l.Name, float64(l.Circle)*(p+m.high)/p, diagonal, math.Floor(long/least))
		}
		m = m.from(least)
	}
	if c.q.Room > 0 {
		return c.inRoom(l, m)
	}
	return m, ""
}

// onCamera narrows the magnifications to those that the back and the bellows of a camera allow, or says why there
// are none.
func (c *chooser) onCamera(l *Lens, camera *Camera, m span) (span, string) {
	if why := plateOnBack(c.q.Plate, camera); why != "" || camera.Limits == nil {
		return m, why
	}
	long, f := float64(c.q.Plate.LongSide()), float64(l.Focal)
	if shortest := float64(camera.Limits.Shortest); shortest > 0 {
		least := shortest/f - 1
		if m.high < least {
			return m, fmt.Sprintf("the bellows do not close far enough: %s at this framing wants %.0f mm of extension at most and %s has no less than %.0f mm; a focal length of at least %.0f mm, or %.0f mm of the sitter or less on the plate's long side, would do",
				l.Name, f*(1+m.high), called(camera), shortest, math.Ceil(shortest/(1+m.high)), math.Floor(long/least))
		}
		m = m.from(least)
	}
	if longest := float64(camera.Limits.Longest); longest > 0 {
		most := longest/f - 1
		if m.low > most {
			remedy := fmt.Sprintf("a focal length of at most %.0f mm", math.Floor(longest/(1+m.low)))
			if most > 0 {
				remedy += fmt.Sprintf(", or %.0f mm of the sitter or more on the plate's long side", math.Ceil(long/most))
			}
			return m, fmt.Sprintf("the bellows are too short: %s needs at least %.0f mm of extension here, with %.0f mm of the sitter on the plate's long side, and %s reaches %.0f mm; %s, would do",
				l.Name, f*(1+m.low), long/m.low, called(camera), longest, remedy)
		}
		m = m.upTo(most)
	}
	return m, ""
}

// inRoom narrows the magnifications to those for which sitter, camera and operator find room.
func (c *chooser) inRoom(l *Lens, m span) (span, string) {
	beside := float64(behindPlate + behindEyes)
	if c.q.Second != nil {
		beside += float64(c.q.Second.Behind)
	}
	f, room := float64(l.Focal), float64(c.q.Room)
	// Sitter to plate is f(2 + m + 1/m), least at m = 1: m + 1/m = k has the two ends of what fits.
	k := (room-beside)/f - 2
	fits := span{1, 1}
	if k >= 2 {
		root := math.Sqrt(k*k - 4)
		fits = span{2 / (k + root), (k + root) / 2}
	}
	if k >= 2 && m.low <= fits.high && m.high >= fits.low {
		return m.from(fits.low).upTo(fits.high), ""
	}
	// Of the framing, what takes least room is nearest to the same size.
	tightest := min(max(m.low, 1), m.high)
	takes := 2 + tightest + 1/tightest
	remedy := fmt.Sprintf("%.1f m of room", math.Ceil((f*takes+beside)/100)/10)
	if shorter := measure.Length(math.Floor((room - beside) / takes)); shorter >= optics.LeastFocal {
		remedy += fmt.Sprintf(", or a focal length of at most %.0f mm", float64(shorter))
	}
	if k >= 2 && m.high < fits.low {
		remedy += fmt.Sprintf(", or %.0f mm of the sitter or less on the plate's long side", math.Floor(float64(c.q.Plate.LongSide())/fits.low))
	}
	return m, fmt.Sprintf("the room is too short: with %s sitter, camera and operator take %.2f m at the least and there are %.2f m; %s, would do",
		l.Name, (f*takes+beside)/1000, room/1000, remedy)
}

func plateOnBack(plate measure.PlateSize, camera *Camera) string {
	back := camera.Back
	if back.Width == 0 || back.Height == 0 {
		return ""
	}
	const play = 0.05 // mm, by which sizes named in inches differ from those in millimetres
	if plate.LongSide() <= back.LongSide()+play && plate.ShortSide() <= back.ShortSide()+play {
		return ""
	}
	return fmt.Sprintf("the plate of %.0f × %.0f mm is larger than the back of %s, %.0f × %.0f mm; a plate that it holds, or a larger camera, would do",
		float64(plate.Width), float64(plate.Height), called(camera), float64(back.Width), float64(back.Height))
}

func called(c *Camera) string {
	if c.Name == "" {
		return "the camera"
	}
	return c.Name
}

// steps returns up to three magnifications over the span, the same step of size apart.
func (m span) steps() []float64 {
	const hardlyApart = 1.02
	if m.high < m.low*hardlyApart {
		return []float64{math.Sqrt(m.low * m.high)}
	}
	return []float64{m.low, math.Sqrt(m.low * m.high), m.high}
}
