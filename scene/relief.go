package scene

import (
	"math"

	"platewright/optics"
	"platewright/pose"
)

// relief is the sitter's surface as the lens sees it: how far away, along z, it lies in each direction from the
// middle of the entrance pupil. Directions are a regular grid of tangents to the camera's z axis.
type relief struct {
	eye        [3]float64 // middle of the entrance pupil
	u, v, step float64    // tangents across and up of the first node, and from node to node
	wide, high int
	z          []float64 // infinite where the background is seen
}

// Drawing the surface from its patches. Each patch is laid as a disc a little larger than itself, so
// that neighbours overlap; where several do, their depths are blended if they belong to one surface.
const (
	patchSpread = 1.7  // radius of the disc over that of a disc of the patch's area
	sameSurface = 1.0  // difference of depth over the disc's radius
	besidePlate = 1.15 // how far beyond the plate's edge the sitter is looked at
)

// disc is a patch seen from the pupil.
type disc struct {
	at, normal [3]float64 // at counts from the pupil
	radius     float64
}

// relief draws the depth of the surface, the plate's long side being n cells long.
func (s Shot) relief(n int) (*relief, error) {
	p := s.pupil()
	g := &relief{eye: [3]float64{float64(p.X), float64(p.Y), float64(p.Z)}}
	// Seen from the pupil the plate spans 2 tan = side/(f(1+m/p)), m = v/f - 1.
	f, v := float64(s.Setup.Lens.Focal), float64(s.Setup.Camera.Extension)
	g.step = float64(s.Setup.Plate.LongSide()) / float64(n) / (f + (v-f)/s.Setup.Lens.PupilMag)

	discs := make([]disc, 0, len(s.Figure.Patches))
	low, high := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	for i := range s.Figure.Patches {
		patch := &s.Figure.Patches[i]
		at := s.before(patch.At)
		if !faces(patch.Normal, at, p) {
			continue
		}
		spot, err := s.Setup.Spot(at)
		if err != nil {
			return nil, err
		}
		if !s.within(spot.At, besidePlate) {
			continue
		}
		d := disc{normal: [3]float64{patch.Normal.X, patch.Normal.Y, patch.Normal.Z},
			at:     [3]float64{float64(at.X) - g.eye[0], float64(at.Y) - g.eye[1], float64(at.Z) - g.eye[2]},
			radius: patchSpread * math.Sqrt(patch.Area/math.Pi)}
		discs = append(discs, d)
		for axis := range 2 {
			low[axis] = min(low[axis], (d.at[axis]-d.radius)/d.at[2])
			high[axis] = max(high[axis], (d.at[axis]+d.radius)/d.at[2])
		}
	}
	if len(discs) == 0 {
		return g, nil
	}
	const margin = 3 // nodes beyond the surface, for its edge
	g.u, g.v = low[0]-margin*g.step, low[1]-margin*g.step
	g.wide = int((high[0]-low[0])/g.step) + 2*margin + 1
	g.high = int((high[1]-low[1])/g.step) + 2*margin + 1
	g.lay(discs)
	return g, nil
}

func (g *relief) empty() bool { return len(g.z) == 0 }

// lay draws the discs: first the nearest depth in each direction, then the mean of all that belong to the same
// surface, those whose middle is near weighing most.
func (g *relief) lay(discs []disc) {
	size := g.wide * g.high
	nearest, sum, weight := make([]float64, size), make([]float64, size), make([]float64, size)
	for k := range nearest {
		nearest[k] = math.Inf(1)
	}
	for i := range discs {
		g.over(&discs[i], func(k int, z, _ float64) { nearest[k] = min(nearest[k], z) })
	}
	for i := range discs {
		d := &discs[i]
		g.over(d, func(k int, z, off float64) {
			if z <= nearest[k]+sameSurface*d.radius {
				w := 1 - off
				sum[k] += w * w * z
				weight[k] += w * w
			}
		})
	}
	g.z = nearest
	for k := range g.z {
		if weight[k] > 0 {
			g.z[k] = sum[k] / weight[k]
		}
	}
}

// over calls f for every node whose direction meets the disc, with the depth from the pupil there and the square of
// the distance from the disc's middle over its radius.
func (g *relief) over(d *disc, f func(k int, z, off float64)) {
	across := d.radius / d.at[2]
	i0, i1 := g.between(d.at[0]/d.at[2]-g.u, across, g.wide)
	j0, j1 := g.between(d.at[1]/d.at[2]-g.v, across, g.high)
	toPlane := d.normal[0]*d.at[0] + d.normal[1]*d.at[1] + d.normal[2]*d.at[2]
	for j := j0; j <= j1; j++ {
		v := g.v + float64(j)*g.step
		for i := i0; i <= i1; i++ {
			u := g.u + float64(i)*g.step
			z := toPlane / (d.normal[0]*u + d.normal[1]*v + d.normal[2])
			x, y, w := u*z-d.at[0], v*z-d.at[1], z-d.at[2]
			if off := (x*x + y*y + w*w) / (d.radius * d.radius); off < 1 {
				f(j*g.wide+i, z, off)
			}
		}
	}
}

// between returns the first and the last node within half of a middle, counted in tangents from node 0.
func (g *relief) between(middle, half float64, n int) (first, last int) {
	return max(0, int(math.Ceil((middle-half)/g.step))), min(n-1, int(math.Floor((middle+half)/g.step)))
}

// widen continues the surface by one row of nodes around its edge, each at the mean depth of its neighbours.
func (g *relief) widen() {
	wider := append([]float64(nil), g.z...)
	for j := range g.high {
		for i := range g.wide {
			k := j*g.wide + i
			if !math.IsInf(g.z[k], 0) {
				continue
			}
			sum, n := 0.0, 0
			for _, to := range [4][2]int{{i - 1, j}, {i + 1, j}, {i, j - 1}, {i, j + 1}} {
				if to[0] < 0 || to[1] < 0 || to[0] >= g.wide || to[1] >= g.high {
					continue
				}
				if z := g.z[to[1]*g.wide+to[0]]; !math.IsInf(z, 0) {
					sum, n = sum+z, n+1
				}
			}
			if n > 0 {
				wider[k] = sum / float64(n)
			}
		}
	}
	g.z = wider
}

// point returns the point of the surface at a node.
func (g *relief) point(i, j int) optics.Point {
	z := g.z[j*g.wide+i]
	u, v := g.u+float64(i)*g.step, g.v+float64(j)*g.step
	return point(g.eye[0]+u*z, g.eye[1]+v*z, g.eye[2]+z)
}

// pupil returns the middle of the entrance pupil, which lies on the lens's axis.
func (s Shot) pupil() optics.Point {
	a, ahead := s.Setup.Camera.Axis(), float64(s.Setup.Lens.EntrancePupil())
	return point(a[0]*ahead, a[1]*ahead, a[2]*ahead)
}

// faces reports whether a patch at a point, with its normal outward, is seen from the pupil.
func faces(normal pose.Vec, at, pupil optics.Point) bool {
	return normal.X*float64(pupil.X-at.X)+normal.Y*float64(pupil.Y-at.Y)+normal.Z*float64(pupil.Z-at.Z) > 0
}
