package web

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	"platewright/internal/studio"
	"platewright/internal/web/screens/choose"
	"platewright/internal/web/shared"
	"platewright/light"
	"platewright/measure"
	"platewright/optics"
	"platewright/pose"
	"platewright/scene"
)

func (s *Server) chooseRoutes() {
	s.handle("GET /floor/choose", s.chooseLens)
}

// mostRest is how many of the ways that are beaten, or have nothing sharp that must be, are shown.
const mostRest = 12

// chooseLens answers GET /floor/choose: which lens and stop can make the picture that is wanted.
func (s *Server) chooseLens(w http.ResponseWriter, r *http.Request) error {
	page := shared.PageData{Room: shared.Floor, Title: "Which lens", Lead: "Say what must be sharp, and see what each lens can do and what it costs.", Styles: []string{"choose.css"}}
	f, err := s.readQuery(r)
	if err != nil {
		return err
	}
	e, err := s.onFloor(r.Context())
	if err != nil {
		return err
	}
	e = e.inUse()
	if len(e.lenses) == 0 {
		return s.show(w, r, page, choose.NoLens())
	}
	profile, err := s.cfg.Studio.Profile(r.Context())
	if err != nil && !errors.Is(err, studio.ErrNotFound) {
		return err
	}
	if !f.checked("asked") {
		f.proposeWanted(e, profile)
	}
	wanted, waiting := f.wanted()
	d := choose.Page{Form: f.Form, Choices: wantedChoices(), Units: choose.Units{Length: map[bool]string{true: "mm", false: "in"}[f.sys == measure.Metric]}}
	switch {
	case !f.OK():
		d.Result.Waiting = "What is marked cannot be read, so nothing is chosen yet."
	case waiting != "":
		d.Result.Waiting = waiting
	default:
		kit, own, err := s.kit(r.Context(), e, wanted)
		if err != nil {
			return err
		}
		answer, err := scene.Choose(wanted, kit)
		if err != nil {
			d.Result.Refusals = []string{upperFirst(err.Error()) + "."}
		} else {
			d.Result = f.ways(wanted, answer, own)
		}
	}
	d.Form = f.Form
	if fragment(r) && strings.HasSuffix(r.Header.Get("HX-Target"), "#ways") {
		return s.render(w, r, http.StatusOK, page, choose.Ways(d.Result))
	}
	return s.show(w, r, page, choose.Screen(d))
}

// proposeWanted fills a fresh form: the commonest portrait, in the light of a good window.
func (f *form) proposeWanted(e onFloor, profile studio.Profile) {
	for name, text := range map[string]string{"sharp": scene.EyesAndLips, "framing": "head and shoulders", "face": "15", "by": "daylight", "light_lx": "2000", "index": "1",
		"longest": "8 s", "held": studio.HeldHeadRest, "wait": "60 s", "swirl": "any", "size": "whole plate"} {
		if f.text(name) == "" {
			f.Typed.Set(name, text)
		}
	}
	if len(e.holders) > 0 && f.text("size") == "whole plate" {
		f.Typed.Set("size", e.holders[0].Size.String())
	}
	if profile.Room > 0 && f.text("room") == "" {
		f.Typed.Set("room", typedLength(profile.Room, f.sys))
	}
}

// faces are how far the head is turned, as it is called.
var faces = []shared.Option{{Value: "0", Word: "straight on"}, {Value: "15", Word: "a little turned"}, {Value: "35", Word: "three quarters"}}

// wantedChoices are what the form offers.
func wantedChoices() choose.Choices {
	named := func(names []string) (options []shared.Option) {
		for _, n := range names {
			options = append(options, shared.Option{Value: n, Word: n})
		}
		return options
	}
	return choose.Choices{
		Sharp: named(scene.TargetNames()), Framing: named(scene.FramingNames()), Faces: faces,
		Lights:   []shared.Option{{Value: "daylight", Word: "steady light"}, {Value: "flash", Word: "flash"}},
		Supports: named([]string{studio.HeldStanding, studio.HeldSeated, studio.HeldHeadRest}),
		Swirls:   []shared.Option{{Value: "any", Word: "all the same"}, {Value: string(scene.LittleSwirl), Word: "little"}, {Value: string(scene.MuchSwirl), Word: "much"}},
	}
}

// wanted reads what picture is asked for; it returns what is missing where there is not enough.
func (f *form) wanted() (q scene.Wanted, missing string) {
	q.Blur = optics.UsualBlur
	q.Support = pose.Support(f.oneOf("held", studio.HeldStanding, studio.HeldSeated, studio.HeldHeadRest))
	if q.Wait = f.exposure("wait"); f.text("wait") == "" {
		q.Wait = studio.CommonWait
	}
	q.Room = f.length("room")
	q.Plate = f.plateSize("size")
	q.Swirl = scene.Taste(strings.TrimPrefix(f.oneOf("swirl", "any", string(scene.LittleSwirl), string(scene.MuchSwirl)), "any"))
	turn := f.oneOf("face", "0", "15", "35")
	sharp := f.oneOf("sharp", scene.TargetNames()...)
	framing := f.oneOf("framing", scene.FramingNames()...)
	missing = f.wantedLight(&q)
	if f.text("size") == "" {
		missing = "Write the plate's size."
	}
	if missing != "" || !f.OK() {
		return q, missing
	}
	degrees := map[string]measure.Angle{"0": 0, "15": 15, "35": 35}[turn]
	posed, err := studio.Setting{Turn: degrees * measure.Degree, Standing: q.Support == pose.Standing}.Pose()
	if err == nil {
		q.Figure, err = posed.Figure()
	}
	if err == nil {
		q.Targets, err = scene.TargetsOf(sharp, q.Figure)
	}
	if err == nil {
		q.Frame, err = scene.FramingOf(framing, 1)
	}
	if err != nil {
		return q, upperFirst(err.Error()) + "."
	}
	if sharp == scene.TwoHeads {
		across, behind := f.length("across"), f.length("behind")
		if across == 0 {
			across = usualApart
		}
		q.Second = &scene.Second{Across: across, Behind: behind}
	}
	return q, ""
}

// usualApart is how far one head is taken to be beside another where nothing is said. Common practice, no source.
const usualApart = 300 * measure.Millimetre

// wantedLight reads the light there is.
func (f *form) wantedLight(q *scene.Wanted) (missing string) {
	q.Light.Index = light.ExposureIndex(f.number("index"))
	if f.text("index") == "" {
		q.Light.Index = 1
	}
	if f.oneOf("by", "daylight", "flash") == "flash" {
		n := read(f, "flash", measure.ParseFNumber, func(n measure.FNumber) string { return n.String() })
		if f.text("flash") == "" {
			return "Meter the flash at the face, and write what the meter says at index 100."
		}
		q.Light.Flash = light.FlashAt(n)
		return ""
	}
	q.Light.Steady = f.light("light_lx")
	q.Light.Longest = light.Seconds(f.exposure("longest").Seconds())
	if f.text("light_lx") == "" {
		return "Meter the light at the face, and write it down."
	}
	return ""
}

// owned are the studio's lenses and cameras by their names, which no two in use share.
type owned struct {
	lenses  map[string]studio.LensKnown
	cameras map[string]studio.Camera
}

// kit is what the studio owns, as it is known for a sitter in the middle of the framing.
func (s *Server) kit(ctx context.Context, e onFloor, q scene.Wanted) (scene.Kit, owned, error) {
	own := owned{map[string]studio.LensKnown{}, map[string]studio.Camera{}}
	var kit scene.Kit
	for _, l := range e.lenses {
		readings, err := s.readingsOf(ctx, l.ID)
		if err != nil {
			return kit, own, err
		}
		k := studio.KnownAt(l, readings, away(l.Focal, q))
		lens := scene.Lens{Name: l.Name, Focal: k.Focal, PupilMag: k.PupilMag, Surface: k.Surface, Circle: k.OwnCircle(), Rims: k.Rims, Ahead: k.RearAhead}
		lens.Field = func(distance measure.Length) optics.FocalSurface {
			return studio.KnownAt(l, readings, distance).Surface
		}
		for _, st := range k.Stops {
			lens.Stops = append(lens.Stops, st.Measured)
		}
		own.lenses[l.Name] = k
		kit.Lenses = append(kit.Lenses, lens)
	}
	for _, c := range e.cameras {
		limits := c.Limits()
		kit.Cameras = append(kit.Cameras, scene.Camera{Name: c.Name, Back: c.Back, Limits: &limits})
		own.cameras[c.Name] = c
	}
	return kit, own, nil
}

// away is how far the sitter is from a lens in the middle of the framing; 0 where the lens cannot be so near.
func away(focal measure.Length, q scene.Wanted) measure.Length {
	lens := optics.Lens{Focal: focal, Stop: 8, PupilMag: 1} // neither matters to the distance
	set, err := lens.AtMagnification(float64(2 * q.Plate.LongSide() / (q.Frame.Least + q.Frame.Greatest)))
	if err != nil {
		return 0
	}
	return set.Distance
}

// ways lays out what was found.
func (f *form) ways(q scene.Wanted, a scene.Chosen, own owned) choose.Result {
	var d choose.Result
	whole := q.Room
	for _, k := range a.Ranked {
		whole = max(whole, k.Room)
	}
	for _, k := range a.Ranked {
		if k.Best && k.TargetShare > 0 { // with nothing sharp anywhere that must be, all are as good as lost
			d.Best = append(d.Best, f.way(q, k, own, whole))
		} else if len(d.Rest) < mostRest {
			d.Rest = append(d.Rest, f.way(q, k, own, whole))
		}
	}
	markBest(d.Best)
	switch {
	case len(a.Ranked) == 0:
		d.Heading = "No lens of yours can make this picture as it is asked for"
	case len(d.Best) == 0:
		d.Heading = "No lens of yours has anything sharp that must be"
	case len(d.Best) == 1:
		d.Heading = fmt.Sprintf("One way of %d, as good as any other in everything", len(a.Ranked))
	default:
		d.Heading = fmt.Sprintf("%d ways worth choosing from, of %d", len(d.Best), len(a.Ranked))
	}
	d.Cannot = refusals(a.Refused)
	d.Assumed = []string{
		"A grown sitter of middle size. Sharp is what blurs no more than " + measure.Thin(q.Blur.Format(measure.Metric)) + " on the plate, looked at from 250\u2009mm.",
		"The lens sits square before the plate's middle, the eyes a third of the way down, or nearer the top of a picture more than half a metre high at the sitter; it is focused between what must be sharp.",
		"One metre behind the plate and half a metre behind the sitter are kept free. Common practice, no source.",
		"A lens's field is drawn from what is known of it: measured, of its form for a sitter so far away, or else flat. Spherical aberration is not in it.",
		"How likely it stays in depth is told for the common sitter, and in brackets from the most restless to the calmest.",
		"A way with nothing sharp that must be, or with less than one chance in a hundred to stay in depth, is not worth choosing while there is another.",
		"The circle a lens covers is the largest that was measured or written down at any of its stops; where there is none, it is taken to cover the plate.",
	}
	if q.Second != nil {
		d.Assumed = append(d.Assumed, "The second head is "+measure.Thin(q.Second.Across.Format(f.sys))+" beside the first and "+measure.Thin(q.Second.Behind.Format(f.sys))+" behind it.",
			"The Floor draws one sitter: planned from here it opens with the first head, focused on the nearer eye.")
	}
	return d
}

// refusals are what cannot make the picture: lenses first, then cameras, each camera once for all the
// lenses it stands in the way of for one reason.
func refusals(all []scene.Refusal) []choose.Cannot {
	var lenses, cameras []choose.Cannot
	at, count := map[[2]string]int{}, map[int]int{}
	for _, r := range all {
		if r.Camera == "" {
			lenses = append(lenses, choose.Cannot{Lens: r.Lens, Why: sentence(r.Why)})
			continue
		}
		key := [2]string{r.Camera, r.Why}
		i, known := at[key]
		if !known {
			i = len(cameras)
			at[key] = i
			cameras = append(cameras, choose.Cannot{Lens: r.Camera + ", with " + r.Lens, Why: sentence(r.Why)})
		} else {
			cameras[i].Lens = r.Camera
		}
		count[i]++
	}
	for i := range cameras {
		if count[i] > 1 {
			cameras[i].Lens += fmt.Sprintf(", with %d lenses", count[i])
		}
	}
	return append(lenses, cameras...)
}

// way lays out one choice.
func (f *form) way(q scene.Wanted, k scene.Choice, own owned, whole measure.Length) choose.Entry {
	known := own.lenses[k.Lens]
	stop := stopAt(known, k.Stop)
	long := func(l measure.Length) string { return measure.Thin(l.Format(f.sys)) }
	d := choose.Entry{Lens: k.Lens, Stop: stop.Name, Words: targetWords(k.Targets) + " " + sentence(k.Trade),
		Basis: "Focal length " + known.FocalBasis.Text + "; field " + firstPart(known.SurfaceBasis.Text) + ".",
		Room: choose.Strip{Room: float64(q.Room), Extension: float64(k.Setup.Camera.Extension), Distance: float64(k.Distance), Whole: float64(whole),
			Said: "In the room: " + long(k.Setup.Camera.Extension) + " from plate to lens, " + long(k.Distance) + " from lens to eyes, " + long(k.Room) + " in all, with what is kept free behind the sitter and behind the plate"},
		Figures: []choose.Figure{{Word: "lens to eyes", Value: long(k.Distance)}, {Word: "extension", Value: long(k.Setup.Camera.Extension)},
			{Word: "fills the plate", Value: long(k.Frame)}, {Word: "room, half a metre behind the sitter in it", Value: long(k.Room)}},
		Href: f.floorWith(q, k, known, stop, own), Bench: "/floor/bench/" + string(known.Lens.ID)}
	if number := k.Stop.String(); number != stop.Name {
		d.Stop += " (" + number + ")"
	}
	switch {
	case q.Light.Flash > 0:
		d.Seconds = "flash, " + spareWords(k.Spare)
	default:
		d.Seconds = measure.Thin(measure.FormatExposure(studio.Counted(time.Duration(float64(k.Seconds) * float64(time.Second)))))
		if q.Light.Longest > 0 {
			d.Seconds += ", " + spareWords(k.Spare)
		}
	}
	if words := movesWords(k.Setup.Camera); words != "" {
		d.Figures = append(d.Figures, choose.Figure{Word: "movements", Value: words})
	}
	if len(k.Cameras) > 0 {
		d.Figures = append(d.Figures, choose.Figure{Word: "on", Value: strings.Join(k.Cameras, " or ")})
	}
	sharp := 0
	for _, t := range k.Targets {
		if t.State == scene.Sharp {
			sharp++
		}
	}
	chance, band, err := q.Stays(k)
	if err != nil { // a depth that is told to hundredths only has no band
		chance, band = k.Stillness, [2]float64{k.Stillness, k.Stillness}
	}
	d.Bars = []choose.Bar{
		{Word: "Sharp of what must be", Text: fmt.Sprintf("%d of %d", sharp, len(k.Targets)), Share: k.TargetShare},
		{Word: "Face sharp", Text: percentText(k.FaceShare), Share: k.FaceShare},
		{Word: "Stays in depth", Text: percentText(chance) + fmt.Sprintf(" (%.0f–%.0f)", 100*band[0], 100*band[1]), Share: chance, Band: band},
		{Word: "No smear across", Text: percentText(k.NoSmear), Share: k.NoSmear},
	}
	d.Figures = append(d.Figures, choose.Figure{Word: "smear to expect", Value: figureOf(float64(k.Smear), 2) + "\u2009mm"})
	if k.Swirl != nil {
		d.Bars = append(d.Bars, choose.Bar{Word: "Swirl at the corner", Text: percentText(k.Swirl.Corner), Share: k.Swirl.Corner})
	}
	return d
}

// markBest marks, of each bar but the swirl, the longest among the best ways.
func markBest(best []choose.Entry) {
	if len(best) < 2 {
		return
	}
	for b := range 4 {
		most := slices.MaxFunc(best, func(x, y choose.Entry) int { return cmp.Compare(x.Bars[b].Share, y.Bars[b].Share) }).Bars[b].Share
		same := 0
		for i := range best {
			if best[i].Bars[b].Share > most-0.005 {
				same++
			}
		}
		for i := range best {
			best[i].Bars[b].Best = same < len(best) && best[i].Bars[b].Share > most-0.005
		}
	}
}

// targetWords say what comes out of what must be sharp.
func targetWords(marks []scene.TargetMark) string {
	by := map[scene.State][]string{}
	for _, m := range marks {
		by[m.State] = append(by[m.State], m.Target.String())
	}
	if len(by[scene.Sharp]) == len(marks) {
		return "All that must be sharp is."
	}
	var words []string
	for _, state := range []scene.State{scene.Sharp, scene.Soft, scene.Gone} {
		if names := by[state]; len(names) > 0 {
			words = append(words, andList(names)+" "+string(state))
		}
	}
	return sentence(strings.Join(words, "; "))
}

// andList joins names as one says them.
func andList(names []string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
}

// spareWords say what is left of the light there is.
func spareWords(s measure.Stops) string {
	switch v := float64(s); {
	case v >= 0.05:
		return figureOf(v, 2) + " stops to spare"
	case v <= -0.05:
		return figureOf(-v, 2) + " stops short"
	}
	return "nothing to spare"
}

func percentText(share float64) string { return fmt.Sprintf("%.0f\u2009%%", 100*share) }

// firstPart is a basis up to its first semicolon.
func firstPart(words string) string {
	first, _, _ := strings.Cut(words, ";")
	return first
}

// movesWords says the movements of a set-up.
func movesWords(c optics.Camera) string {
	var words []string
	for _, m := range []struct {
		name  string
		angle measure.Angle
	}{{"back tilt", c.Back.Tilt}, {"back swing", c.Back.Swing}, {"front tilt", c.Lens.Tilt}, {"front swing", c.Lens.Swing}} {
		if deg := m.angle.Degrees(); deg >= 0.05 || deg <= -0.05 {
			words = append(words, m.name+" "+minus(figureOf(float64(int(deg*10+sign(deg)*0.5))/10, 3))+"°")
		}
	}
	return strings.Join(words, ", ")
}

func sign(v float64) float64 {
	if v < 0 {
		return -1
	}
	return 1
}

// stopAt is the lens's stop of a measured f-number.
func stopAt(k studio.LensKnown, n measure.FNumber) studio.StopKnown {
	for _, st := range k.Stops {
		if st.Measured == n {
			return st
		}
	}
	return studio.StopKnown{Stop: studio.Stop{Name: n.String(), FNumber: n}, Measured: n}
}

// floorWith is the floor, filled with a choice so that it shows the same picture. Of two heads it shows the first.
func (f *form) floorWith(q scene.Wanted, k scene.Choice, known studio.LensKnown, stop studio.StopKnown, own owned) string {
	to := &form{Form: shared.Form{Typed: url.Values{}}, sys: f.sys}
	set := studio.Setting{Turn: 0, Wait: q.Wait, BackTilt: k.Setup.Camera.Back.Tilt, BackSwing: k.Setup.Camera.Back.Swing,
		FrontTilt: k.Setup.Camera.Lens.Tilt, FrontSwing: k.Setup.Camera.Lens.Swing, Standing: q.Support == pose.Standing}
	if sharp := f.text("sharp"); slices.Contains(studio.FocusBetween(), sharp) {
		set.FocusOn = sharp
	}
	if q.Support == pose.HeadRest {
		set.SitterSupport = studio.HeldHeadRest
	}
	to.setPose(set)
	for name, a := range map[string]measure.Angle{"back_tilt": set.BackTilt, "back_swing": set.BackSwing, "front_tilt": set.FrontTilt, "front_swing": set.FrontSwing} {
		if to.Typed.Has(name) { // finer than it can be set, so that no figure differs
			to.Typed.Set(name, figureOf(rounded(a.Degrees(), 1e-4), 7))
		}
	}
	for name, text := range map[string]string{"lens": string(known.Lens.ID), "stop": stop.Name, "size": f.text("size"), "by": "distance",
		"distance": typedLength(measure.Length(rounded(float64(k.Distance), 0.01)), f.sys), "blur": figureOf(float64(q.Blur), 6), "light_lx": f.text("light_lx"), "index": f.text("index"), "room": f.text("room")} {
		if text != "" {
			to.Typed.Set(name, text)
		}
	}
	if q.Light.Flash > 0 {
		to.Typed.Del("light_lx")
		to.Typed.Set("seconds", measure.FormatExposure(scene.FlashLasts))
	}
	if turn := f.text("face"); turn != "0" {
		to.Typed.Set("turn", turn)
	}
	if len(k.Cameras) > 0 {
		to.Typed.Set("camera", string(own.cameras[k.Cameras[0]].ID))
	}
	return shared.Floor.Path() + "?" + to.Typed.Encode()
}
