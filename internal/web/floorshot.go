package web

import (
	"errors"
	"math"
	"slices"
	"strings"

	"platewright/internal/studio"
	"platewright/internal/web/screens/floor"
	"platewright/measure"
	"platewright/optics"
	"platewright/pose"
	"platewright/scene"
)

// actinic is the light that makes the picture, for diffraction: as the reckoning focus takes it.
const actinic measure.Length = 430e-6

// faceCells is how finely the plate is looked at for its lines of equal blur.
const faceCells = 96

// shot is the camera with the sitter before it, and what comes of it.
type shot struct {
	scene.Shot
	marks       []scene.Mark
	share       float64
	faceSeen    bool
	side, above scene.Band
	fromSide    floor.Section
	fromAbove   floor.Section
	face        scene.Contours
	cover       *optics.Cover  // nil when the lens's coverage is unknown
	below       measure.Length // the camera below the eyes
	distance    measure.Length // of what is focused on
	levels      []measure.Length
	laid        bool          // the movements were set by the shot
	depthAt     pose.Landmark // where the depth is told; empty: on the axis
	nothing     bool          // nothing is sharp there: two foci too far apart
}

// shoot sets the sitter before the camera. A pose that cannot be becomes a problem of its field, and
// the shot is nil; trouble says why a set-up makes no picture of the sitter.
func (f *form) shoot(p planned, a focusAnswer) (out *shot, trouble error) {
	posed, err := p.posed.setting.Pose()
	if err != nil {
		f.outOfPose(err)
		return nil, nil
	}
	figure, err := posed.Figure()
	if err != nil {
		f.outOfPose(err)
		return nil, nil
	}
	set := p.posed.setting
	_, up := a.frame()
	out = &shot{below: scene.BelowEyes(up), distance: a.Distance}
	if set.Aimed {
		out.below = set.Below
	}
	lens, stop, _ := p.known.At(p.stop.Name)
	out.Shot = scene.Shot{
		Setup: optics.Setup{
			Lens: lens, Camera: set.Camera(lens.Focal, a.Extension), Plate: p.size, Centre: set.Centre(), Surface: p.known.Surface,
		},
		Figure: figure,
		// The lens moves; camera and sitter stay where they are.
		Eyes:    optics.Point{X: -set.Shift, Y: out.below - set.Rise, Z: a.Distance},
		FocusOn: pose.Landmark(set.FocusOn), Blur: a.Blur, Wavelength: actinic,
	}
	if slices.Contains(studio.FocusBetween(), set.FocusOn) {
		targets, err := scene.TargetsOf(set.FocusOn, figure)
		if err != nil {
			return nil, err
		}
		out.FocusOn = ""
		for _, t := range targets {
			out.Between = append(out.Between, t.Landmark)
		}
	}
	if out.Shot, err = out.Focused(a.Distance); err != nil {
		return nil, err
	}
	if p.posed.lay && f.Problem("through") == "" {
		out.lay(f, p)
	}
	if err := out.look(stop); err != nil {
		return nil, err
	}
	return out, nil
}

// look reckons what the shot shows. What lies so far off the lens's axis that it draws no image of it is
// left out.
func (out *shot) look(stop studio.StopKnown) (err error) {
	if out.marks, err = out.landmarks(); err != nil {
		return err
	}
	if out.share, err = out.Share(); err == nil {
		out.faceSeen = true
	}
	if out.side, err = out.Shell(scene.Side); err != nil {
		return err
	}
	if out.above, err = out.Shell(scene.Above); err != nil {
		return err
	}
	out.levels = []measure.Length{out.Blur, scene.SoftBlur * out.Blur, 3 * scene.SoftBlur * out.Blur}
	out.levels = slices.DeleteFunc(out.levels, func(l measure.Length) bool { return l > optics.GreatestBlur })
	if out.face, err = out.Face(out.levels, faceCells); err != nil {
		out.face = scene.Contours{}
	}
	if out.fromSide, err = out.section(scene.Side, out.side, out.Figure.Side); err != nil {
		return err
	}
	if out.fromAbove, err = out.section(scene.Above, out.above, out.Figure.Above); err != nil {
		return err
	}
	if cone, known := stop.Coverage(); known {
		cover, err := out.Setup.Covers(cone)
		if err != nil {
			return err
		}
		out.cover = &cover
	}
	return nil
}

// landmarks are the landmarks that the lens draws; an error when it draws none.
func (out *shot) landmarks() ([]scene.Mark, error) {
	all, err := out.Landmarks()
	if err == nil {
		return all, nil
	}
	one := out.Shot
	for _, l := range out.Figure.Landmarks {
		one.Figure.Landmarks = []pose.Placed{l}
		if mark, fault := one.Landmarks(); fault == nil {
			all = append(all, mark...)
		}
	}
	if len(all) == 0 {
		return nil, err
	}
	return all, nil
}

// lay sets the movements that lay the sharp shell through the three landmarks ticked, and writes them
// into the form.
func (out *shot) lay(f *form, p planned) {
	if len(p.posed.through) != 3 {
		f.refuse("through", "%d are ticked; tick three landmarks, and the plane is laid through them", len(p.posed.through))
		return
	}
	laid, err := out.Through([3]pose.Landmark(p.posed.through), limitsOf(p.camera).Board(p.known.RearAhead))
	if err != nil {
		help := ""
		if errors.Is(err, optics.ErrBeyondMovements) && !strings.Contains(err.Error(), ";") {
			help = "; move the camera farther away, up, down or aside, take a shorter lens, or tick another third landmark"
		}
		f.refuse("through", "%v%s", err, help)
		return
	}
	out.Shot, out.laid = laid, true
}

// moved is a setting with the movements of the shot.
func (out *shot) moved(set studio.Setting) studio.Setting {
	c := out.Setup.Camera
	set.FrontTilt, set.FrontSwing, set.BackTilt, set.BackSwing = c.Lens.Tilt, c.Lens.Swing, c.Back.Tilt, c.Back.Swing
	return set
}

// limitsOf is how far a camera's standards go; without a camera they go as far as any does.
func limitsOf(c *studio.Camera) optics.Limits {
	if c == nil {
		return optics.Limits{FrontTilt: studio.MostTurn, FrontSwing: studio.MostTurn, BackTilt: studio.MostTurn, BackSwing: studio.MostTurn}
	}
	return c.Limits()
}

// poseFields are the form's fields for the quantities a pose refuses.
var poseFields = map[string]string{"turn of the head": "turn", "turn of the shoulders": "shoulders", "nod": "nod", "lean": "lean", "height of the seat": "seat"}

// outOfPose says at its field what a pose cannot be.
func (f *form) outOfPose(err error) {
	var outside *measure.RangeError
	if errors.As(err, &outside) {
		if field, known := poseFields[outside.What]; known {
			f.refuse(field, "%v", outside)
			return
		}
	}
	f.refuse("body", "%v", err)
}

// geometry adds what the shot shows to a drawing.
func (out *shot) geometry(g *floor.Geometry, set studio.Setting, onGlass bool) {
	g.Extension = out.Setup.Camera.Extension
	g.Side, g.Above = out.fromSide, out.fromAbove
	if len(out.Between) > 0 {
		g.About = "the " + string(out.depthAt)
	}
	lean(g, set)
	face := &g.Face
	face.OnGlass = onGlass
	for _, l := range out.face.Outline {
		face.Outline = append(face.Outline, plateLine(l))
	}
	for _, l := range out.Figure.Front {
		if fine(l.Part) {
			face.Outline = append(face.Outline, out.onPlate(l))
		}
	}
	for _, patch := range out.Figure.Patches {
		spot, err := out.Setup.Spot(out.place(patch.At))
		if err == nil && spot.Long <= out.Blur {
			face.Grains = append(face.Grains, floor.Place{Along: float64(spot.At.X), Across: float64(spot.At.Y)})
		}
	}
	for _, level := range out.levels {
		c := floor.Contour{Blur: level, Limit: level == out.Blur}
		for _, l := range out.face.Equal {
			if l.Level == level {
				c.Lines = append(c.Lines, plateLine(l.Line))
			}
		}
		face.Contours = append(face.Contours, c)
	}
	face.Axis = floor.Place{Along: float64(out.Setup.Centre.X), Across: float64(out.Setup.Centre.Y)}
	if out.cover != nil {
		face.Axis = floor.Place{Along: float64(out.cover.Axis.X), Across: float64(out.cover.Axis.Y)}
		face.Circle, face.Left = out.cover.Circle, out.cover.Left
	}
	for _, m := range out.marks {
		face.Marks = append(face.Marks, floor.Mark{Name: string(m.Name), State: floor.State(m.State), At: floor.Place{Along: float64(m.On.X), Across: float64(m.On.Y)}})
	}
}

// fine tells the strokes within the outline from the outline itself.
func fine(part string) bool {
	return part != "head" && part != "bust" && part != "neck" && part != "hand"
}

// onPlate is a stroke of the figure as the camera draws it.
func (out *shot) onPlate(l pose.Line) floor.Line {
	line := floor.Line{Closed: l.Closed, Fine: true}
	for _, v := range l.Points {
		if spot, err := out.Setup.Spot(out.place(v)); err == nil {
			line.At = append(line.At, floor.Place{Along: float64(spot.At.X), Across: float64(spot.At.Y)})
		}
	}
	return line
}

// place is where a point of the figure lies before the camera.
func (out *shot) place(v pose.Vec) optics.Point {
	return optics.Point{X: out.Eyes.X + measure.Length(v.X), Y: out.Eyes.Y + measure.Length(v.Y), Z: out.Eyes.Z + measure.Length(v.Z)}
}

func plateLine(l scene.Line) floor.Line {
	out := floor.Line{Closed: l.Closed}
	for _, q := range l.Points {
		out.At = append(out.At, floor.Place{Along: float64(q.X), Across: float64(q.Y)})
	}
	return out
}

// section is one elevation of the shot.
func (out *shot) section(which scene.Section, band scene.Band, body pose.Outline) (s floor.Section, err error) {
	across := func(p optics.Point) float64 { return float64(p.Y) }
	aside := func(v pose.Vec) float64 { return float64(out.Eyes.Y) + v.Y }
	ends := [2]optics.PlatePoint{{X: out.Setup.Centre.X, Y: out.Setup.Plate.Height / 2}, {X: out.Setup.Centre.X, Y: -out.Setup.Plate.Height / 2}}
	eyes := float64(out.Eyes.Y)
	if which == scene.Above {
		across = func(p optics.Point) float64 { return float64(p.X) }
		aside = func(v pose.Vec) float64 { return float64(out.Eyes.X) + v.X }
		ends = [2]optics.PlatePoint{{X: out.Setup.Plate.Width / 2, Y: out.Setup.Centre.Y}, {X: -out.Setup.Plate.Width / 2, Y: out.Setup.Centre.Y}}
		eyes = float64(out.Eyes.X)
	}
	places := func(points []optics.Point) []floor.Place {
		var all []floor.Place
		for _, p := range points {
			all = append(all, floor.Place{Along: float64(p.Z), Across: across(p)})
		}
		return all
	}
	s = floor.Section{Near: places(band.Near), Sharp: places(band.Sharp), Eyes: eyes}
	if !band.Endless {
		s.Far = places(band.Far)
	}
	for _, l := range body {
		line := floor.Line{Closed: l.Closed, Fine: fine(l.Part)}
		for _, v := range l.Points {
			line.At = append(line.At, floor.Place{Along: float64(out.Eyes.Z) + v.Z, Across: aside(v)})
		}
		s.Body = append(s.Body, line)
	}
	s.Neck = floor.Place{Along: float64(out.Eyes.Z), Across: eyes}
	s.Nose = floor.Place{Along: s.Neck.Along - 30, Across: eyes} // unless it is drawn
	for _, m := range out.marks {
		at := floor.Place{Along: float64(m.At.Z), Across: across(m.At)}
		s.Marks = append(s.Marks, floor.Mark{Name: string(m.Name), State: floor.State(m.State), At: at})
		if m.Name == pose.NoseTip {
			s.Nose = at
		}
	}
	for i, q := range ends {
		// The plate's upper edge sees what is low.
		if s.Frame[i], err = out.atFocus(q, across); err != nil {
			return s, err
		}
	}
	slices.Sort(s.Frame[:])
	return s, nil
}

// atFocus is how far across the ray through a place on the plate, which goes through the middle of the
// entrance pupil, meets the plane of focus.
func (out *shot) atFocus(q optics.PlatePoint, across func(optics.Point) float64) (float64, error) {
	r, err := out.Setup.Along(q, out.Blur)
	if err != nil {
		return 0, err
	}
	axis, ahead := out.Setup.Camera.Axis(), float64(out.Setup.Lens.EntrancePupil())
	pupil := optics.Point{X: measure.Length(axis[0] * ahead), Y: measure.Length(axis[1] * ahead), Z: measure.Length(axis[2] * ahead)}
	if r.Sharp.Z <= pupil.Z {
		if out.Setup.Camera.Lens == (optics.Movement{}) && out.Setup.Camera.Back == (optics.Movement{}) {
			return 0, errors.New("with a field so curved the plate's edge is in focus on nothing before the lens; a smaller plate, or going nearer, would bring it back")
		}
		return 0, errors.New("the plate's edge sees nothing before the lens; less tilt or swing would bring it back")
	}
	t := float64((out.distance - pupil.Z) / (r.Sharp.Z - pupil.Z))
	return across(pupil) + t*(across(r.Sharp)-across(pupil)), nil
}

// focused is the landmark that is focused on; without a name where the lens does not draw it.
func (out *shot) focused() scene.Mark {
	name := out.FocusOn
	if name == "" {
		name = scene.NearerEye(out.Figure)
	}
	for _, m := range out.marks {
		if m.Name == name {
			return m
		}
	}
	return scene.Mark{}
}

// play is how far what is to be sharp may move, toward the camera or away, until something of it is not; and what of it
// is sharp now. It is the eyes, or what the camera is focused between.
func (out *shot) play() (measure.Length, []pose.Landmark) {
	play, sharp, err := out.Steady(out.wanted())
	if err != nil { // the lens draws no image of one of them
		return 0, nil
	}
	return play, sharp
}

// wanted is what is to be sharp: the eyes, or what the camera is focused between.
func (out *shot) wanted() []pose.Landmark {
	if len(out.Between) > 0 {
		return out.Between
	}
	return []pose.Landmark{pose.RightEye, pose.LeftEye}
}

// limits puts in the place of the limits of a flat field those of the shot, along the light of what is focused on; with
// two foci nothing there may be sharp, and that is the depth then.
func (out *shot) limits(a *focusAnswer) {
	on := out.focused()
	if on.Name == "" {
		return
	}
	r, err := out.Setup.Along(on.On, out.Blur)
	if err != nil {
		return
	}
	out.depthAt = on.Name
	if r.Nothing {
		out.nothing = true
		r.Near, r.Far, r.Endless = on.At, on.At, false
	}
	a.Near, a.FrontDepth = r.Near.Z, on.At.Z-r.Near.Z
	a.Far, a.RearDepth, a.Depth = nil, nil, nil
	if !r.Endless {
		far, rear, depth := r.Far.Z, r.Far.Z-on.At.Z, r.Far.Z-r.Near.Z
		a.Far, a.RearDepth, a.Depth = &far, &rear, &depth
	}
}

// plainSections draws what is known where the lens draws no sitter: a flat plane of focus, before a camera
// as it is moved.
func plainSections(g *floor.Geometry, set studio.Setting, a focusAnswer) {
	across, up := a.frame()
	near, far := float64(a.Near), math.Inf(1)
	if a.Far != nil {
		far = float64(*a.Far)
	}
	flat := func(frame, off measure.Length) floor.Section {
		low, high := float64(-frame/2), float64(frame/2)
		if a.Magnification > 0 { // a lens that is moved looks past the middle
			low, high = low+float64(off)/a.Magnification, high+float64(off)/a.Magnification
		}
		s := floor.Section{Frame: [2]float64{low, high}, Off: float64(off), Near: []floor.Place{{Along: near, Across: low}, {Along: near, Across: high}}}
		if !math.IsInf(far, 1) {
			s.Far = []floor.Place{{Along: far, Across: low}, {Along: far, Across: high}}
		}
		return s
	}
	g.Side, g.Above = flat(up, set.Rise), flat(across, set.Shift)
	lean(g, set)
	g.Face.Axis = floor.Place{Along: float64(set.Shift), Across: float64(set.Rise)}
}

// lean sets the standards of both elevations, and the head.
func lean(g *floor.Geometry, set studio.Setting) {
	g.Side.Head, g.Above.Head = set.Nod.Degrees(), set.Turn.Degrees()
	g.Side.Front, g.Side.Back, g.Side.Off = set.FrontTilt.Degrees(), set.BackTilt.Degrees(), float64(set.Rise)
	g.Above.Front, g.Above.Back, g.Above.Off = set.FrontSwing.Degrees(), set.BackSwing.Degrees(), float64(set.Shift)
}
