package web

import (
	"fmt"
	"math"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"platewright/collodion"
	"platewright/colour"
	"platewright/internal/web/screens/wardrobe"
	"platewright/internal/web/shared"
	"platewright/light"
	"platewright/measure"
)

func (s *Server) wardrobeRoutes() {
	s.handle("GET /floor/wardrobe", s.showWardrobe)
	s.handle("GET "+briefPath, s.wardrobeBrief)
}

// everyGroup shows the whole wardrobe.
const everyGroup = "everything"

// clothing is what the wardrobe is asked.
type clothing struct {
	light    light.Kind
	group    string
	material colour.Material
	exposure measure.Stops
}

// showWardrobe answers GET /floor/wardrobe: how things come out on a plate in a kind of light.
func (s *Server) showWardrobe(w http.ResponseWriter, r *http.Request) error {
	f, err := s.readQuery(r)
	if err != nil {
		return err
	}
	asked := f.clothing()
	d := wardrobe.Page{Choices: wardrobe.Choices{Lights: usualLights(), Groups: wardrobeGroups(), Materials: materialOptions()}}
	own := read(f, "colour", colour.ParseRGB, func(colour.RGB) string { return "" })
	if f.OK() {
		judge, err := judgeIn(asked.light, asked.exposure)
		if err != nil {
			return err
		}
		if f.text("colour") != "" {
			v, err := judge.Colour(own, asked.material)
			if err != nil {
				return err
			}
			t := shownThing(colour.Thing{Name: own.Hex(), Colour: own, Group: materialWord(asked.material)}, v)
			d.Own = &t
		}
		things, err := worn(judge, asked.group)
		if err != nil {
			return err
		}
		for _, t := range things {
			d.Things = append(d.Things, shownThing(t.Thing, t.value))
		}
		d.Said = fmt.Sprintf("%d things in this light (%s), the darkest on the plate first.", len(things), asked.light)
		if s.cfg.Brief != nil {
			d.Paper = briefAddress(f)
		}
	}
	d.Form = f.Form
	status := http.StatusOK
	if !f.OK() {
		status = http.StatusUnprocessableEntity
	}
	page := shared.PageData{Room: shared.Floor, Title: "Wardrobe", Lead: "How cloth, hair, lips and skin come out on the plate, next to how the eye sees them.", Styles: []string{"wardrobe.css"}}
	return s.showStatus(w, r, status, page, wardrobe.Screen(d))
}

// clothing reads what is asked of the wardrobe, and fills in what is not.
func (f *form) clothing() clothing {
	for name, text := range map[string]string{"light": string(light.AnyDaylight), "group": everyGroup, "material": string(colour.None)} {
		if f.text(name) == "" {
			f.setTyped(name, text)
		}
	}
	var groups, materials []string
	for _, o := range wardrobeGroups() {
		groups = append(groups, o.Value)
	}
	for _, m := range colour.AllMaterials() {
		materials = append(materials, string(m))
	}
	return clothing{light: f.kindOfLight("light"), group: f.oneOf("group", groups...),
		material: colour.Material(f.oneOf("material", materials...)), exposure: f.stopsBeyond("exposure")}
}

func (f *form) setTyped(name, text string) {
	if f.Typed == nil {
		f.Typed = url.Values{}
	}
	f.Typed.Set(name, text)
}

// kindOfLight is one of the kinds of light that stand for a spectrum.
func (f *form) kindOfLight(name string) light.Kind {
	var kinds []string
	for _, o := range usualLights() {
		kinds = append(kinds, o.Value)
	}
	return light.Kind(f.oneOf(name, kinds...))
}

// stopsBeyond is an exposure beyond a metered mid-tone.
func (f *form) stopsBeyond(name string) measure.Stops {
	stops := f.number(name)
	if err := measure.Within("exposure", stops, -10, 10, "stops"); err != nil && f.Problem(name) == "" {
		f.refuse(name, "%v", err)
	}
	return measure.Stops(stops)
}

// usualLights are the kinds of light that a usual spectrum stands for.
func usualLights() (out []shared.Option) {
	for _, k := range light.Kinds() {
		if k != light.OwnSpectrum {
			out = append(out, shared.Option{Value: string(k), Word: string(k)})
		}
	}
	return out
}

func wardrobeGroups() []shared.Option {
	out := []shared.Option{{Value: everyGroup, Word: everyGroup}}
	for _, t := range colour.Wardrobe() {
		if !slices.ContainsFunc(out, func(o shared.Option) bool { return o.Value == t.Group }) {
			out = append(out, shared.Option{Value: t.Group, Word: t.Group})
		}
	}
	return out
}

func materialOptions() (out []shared.Option) {
	for _, m := range colour.AllMaterials() {
		out = append(out, shared.Option{Value: string(m), Word: materialWord(m)})
	}
	return out
}

func materialWord(m colour.Material) string {
	if m == colour.None {
		return "nothing of these"
	}
	return string(m)
}

func judgeIn(k light.Kind, exposure measure.Stops) (*colour.Judge, error) {
	sight, err := colour.SightFor(k)
	if err != nil {
		return nil, err
	}
	return sight.Judge(collodion.UsualCurve(), exposure)
}

// judged is a thing with how it comes out.
type judged struct {
	colour.Thing
	value colour.Value
}

// worn are the things of a group, the darkest on the plate first.
func worn(j *colour.Judge, group string) ([]judged, error) {
	var out []judged
	for _, t := range colour.Wardrobe() {
		if group != everyGroup && t.Group != group {
			continue
		}
		v, err := t.Value(j)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", t.Name, err)
		}
		out = append(out, judged{t, v})
	}
	slices.SortStableFunc(out, func(a, b judged) int {
		if c := compareTones(a.value, b.value); c != 0 {
			return c
		}
		return strings.Compare(a.Name, b.Name)
	})
	return out, nil
}

// compareTones puts the darker on the plate first.
func compareTones(a, b colour.Value) int {
	switch {
	case a.Plate < b.Plate:
		return -1
	case a.Plate > b.Plate:
		return 1
	}
	return 0
}

func shownThing(t colour.Thing, v colour.Value) wardrobe.Thing {
	out := wardrobe.Thing{Name: t.Name, Group: t.Group, Colour: t.Colour.Hex(), Grey: fmt.Sprintf("#%02x%02x%02x", v.Grey, v.Grey, v.Grey),
		Words: v.Words, Basis: v.Basis, Plate: colour.Lightness(v.Plate), Eye: colour.Lightness(v.Luminous),
		Low: colour.Lightness(v.PlateLow), High: colour.Lightness(v.PlateHigh)}
	if t.Basis != "" && t.Basis != v.Basis {
		out.Basis = upperFirst(t.Basis) + ". " + upperFirst(v.Basis)
	}
	out.Basis = upperFirst(out.Basis)
	out.BandText = fmt.Sprintf("plate %.0f (%.0f–%.0f), eye %.0f", out.Plate, out.Low, out.High, out.Eye)
	switch stops := float64(v.Stops); {
	case math.Abs(stops) < 0.05:
		out.Against = "the plate's light and the eye's alike"
	case stops < 0:
		out.Against = fmt.Sprintf("sends back %.1f stops less of the plate's light than of the eye's", -stops)
	default:
		out.Against = fmt.Sprintf("sends back %.1f stops more of the plate's light than of the eye's", stops)
	}
	return out
}
