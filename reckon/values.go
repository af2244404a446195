package reckon

import (
	"fmt"
	"slices"

	"platewright/collodion"
	"platewright/colour"
	"platewright/light"
	"platewright/measure"
)

type valuesQuestion struct {
	Items         []valuesItem   `json:"items" items:"1,200" doc:"what is before the camera"`
	Light         *light.Kind    `json:"light" doc:"kind of light, for which one light stands; left out, and no source given: daylight"`
	Source        *actinicSource `json:"source" doc:"the light itself, instead of its kind"`
	ExposureStops float64        `json:"exposure_stops" default:"0" range:"[-10,10]" doc:"exposure beyond that of a metered mid-tone"`
	Collodion     actinicFilm    `json:"collodion" default:"{\"iodide_mol\":5,\"bromide_mol\":1}" doc:"the halides of the collodion, of which only the ratio counts"`
}

// valuesItem is one surface, told in one of three ways.
type valuesItem struct {
	Colour   *string      `json:"colour" one:"surface" doc:"its colour in a photograph taken in daylight, as #rrggbb in sRGB"`
	Surface  *string      `json:"surface" one:"surface" doc:"the name of a measured surface, such as yellow ochre; a wrong name is answered with all names"`
	Thing    *string      `json:"thing" one:"surface" doc:"the name of a common thing, such as red scarf, blue eyes or freckle on light skin; a wrong name is answered with all names"`
	Material *tagMaterial `json:"material" doc:"what it is made of, where its colour does not tell what it does with ultraviolet; only with a colour, left out: none"`
	Name     *string      `json:"name" doc:"what you call it; given back"`

	found colour.Thing
}

// tagMaterial is a name of package colour.
type tagMaterial string

// Choices lists the materials.
func (tagMaterial) Choices() []string {
	var names []string
	for _, m := range colour.AllMaterials() {
		names = append(names, string(m))
	}
	return names
}

// Check reads the colour, and finds the surface or the thing.
func (i *valuesItem) Check() error {
	if i.Material != nil && i.Colour == nil {
		return &FieldError{Field: "material", Message: "material stands with a colour only: a measured surface and a common thing bring their own"}
	}
	field, err := i.find()
	if err != nil {
		return &FieldError{Field: field, Message: err.Error()}
	}
	if i.Name != nil {
		i.found.Name = *i.Name
	}
	return nil
}

func (i *valuesItem) find() (field string, err error) {
	switch {
	case i.Thing != nil:
		i.found, err = colour.ThingNamed(*i.Thing)
		return "thing", err
	case i.Surface != nil:
		s, err := colour.SurfaceNamed(*i.Surface)
		i.found = colour.Thing{Name: s.Name, Colour: colour.Of(s.Reflectance), Material: colour.None, Surface: s.Name}
		return "surface", err
	case i.Colour != nil:
		i.found = colour.Thing{Name: *i.Colour, Material: colour.None}
		if i.Material != nil {
			i.found.Material = colour.Material(*i.Material)
		}
		i.found.Colour, err = colour.ParseRGB(*i.Colour)
	}
	return "colour", err
}

type valuesAnswer struct {
	Values     []value       `json:"values" doc:"how each comes out, in the order asked"`
	Order      []int         `json:"order" doc:"places in values from the darkest on the plate to the lightest, from 0"`
	Light      light.Kind    `json:"light" doc:"the kind of light"`
	LightUsed  string        `json:"light_used" doc:"the light that stood for the kind"`
	LeaveOut   measure.Stops `json:"leave_one_out_stops" doc:"root mean square by which a colour alone misses a measured surface that did not teach it"`
	PlateLeast float64       `json:"plate_least" doc:"reflectance of the plate's deepest black"`
	PlateMost  float64       `json:"plate_most" doc:"reflectance of its whitest silver"`
	MidTone    float64       `json:"mid_tone" doc:"actinic reflectance that gets the exposure of a mid-tone"`
	Notes      []string      `json:"notes" doc:"what to know about this answer"`
}

type value struct {
	Name             string        `json:"name" doc:"what it is called, or its colour"`
	Colour           string        `json:"colour" doc:"its colour, #rrggbb"`
	Material         string        `json:"material" doc:"what it was taken to be made of"`
	Actinic          float64       `json:"actinic_reflectance" doc:"share of the plate's light that comes back"`
	Band             [2]float64    `json:"band" doc:"where four of five such surfaces lie; of a measured one, what collodion of iodide alone or of bromide alone makes of it"`
	PlateReflectance float64       `json:"plate_reflectance" doc:"reflectance of the finished plate there"`
	PlateBand        [2]float64    `json:"plate_band" doc:"the same for the ends of the band"`
	PlateDensity     float64       `json:"plate_density" doc:"reflection density of the finished plate there"`
	Grey             int           `json:"grey" doc:"grey of the plate beside white paper, from 0 to 255 in sRGB"`
	Eye              float64       `json:"eye_reflectance" doc:"share of what the eye sees that comes back, in daylight"`
	EyeGrey          int           `json:"eye_grey" doc:"its grey for the eye, from 0 to 255 in sRGB"`
	Stops            measure.Stops `json:"stops" unit:"stops" doc:"plate against eye: below zero it comes out darker than it looks"`
	Words            string        `json:"words" doc:"how it comes out"`
	Basis            string        `json:"basis" doc:"what stands behind it"`
}

// values asks how surfaces come out on the plate. Package colour tells how, and from what.
func values() *Reckoning {
	return define(Spec{
		Name:    "values",
		Title:   "how colours come out",
		Summary: "From colours, measured surfaces or common things, and a kind of light, to how dark each comes out on the plate, next to how the eye sees it.",
		Model: "A measured surface is integrated over the light, an old lens and the collodion's sensitivity. A colour is read by a law of three constants, " +
			"fitted to 63 measured surfaces in that light: a power of the blue channel by a power of the greatest channel. What a camera " +
			"cannot see of ultraviolet is told by the material. The plate's tone is its usual curve. A study, not a promise.",
		Sources: []string{"Ohta1997", "NISTSkin2017", "USGS2017", "ISO2720"},
		Example: `{"items": [{"thing": "red scarf"}, {"thing": "blue eyes"}, {"colour": "#c99c82", "material": "skin"}, {"surface": "yellow ochre"}]}`,
	}, answerValues)
}

func answerValues(q valuesQuestion) (valuesAnswer, error) {
	sight, err := q.sight()
	if err != nil {
		return valuesAnswer{}, err
	}
	curve := collodion.UsualCurve()
	judge, err := sight.Judge(curve, measure.Stops(q.ExposureStops))
	if err != nil {
		return valuesAnswer{}, err
	}
	a := valuesAnswer{Light: judge.Fit().Kind, LightUsed: judge.Fit().Light, LeaveOut: judge.Fit().LeaveOneOut, PlateLeast: curve.Least, PlateMost: curve.Most,
		MidTone: colour.MidTone}
	for n, item := range q.Items {
		v, err := item.value(judge)
		if err != nil {
			return valuesAnswer{}, fmt.Errorf("items[%d]: %w", n, err)
		}
		a.Values = append(a.Values, v)
		a.Order = append(a.Order, n)
	}
	slices.SortStableFunc(a.Order, func(i, j int) int {
		switch x, y := a.Values[i].Actinic, a.Values[j].Actinic; {
		case x < y:
			return -1
		case x > y:
			return 1
		}
		return 0
	})
	a.Notes = []string{
		"A study, not a promise: light, exposure, bath and developer move every tone, most of all near black and white.",
		"A colour holds for a photograph in daylight with the camera's white balance right; a shadow or a coloured wall changes it.",
		"The plate's curve and the collodion's sensitivity are estimates until your own plates have set them.",
	}
	return a, nil
}

// sight is the usual plate of this collodion in the light that was asked about.
func (q valuesQuestion) sight() (s colour.Sight, err error) {
	switch {
	case q.Source != nil && q.Light != nil:
		return s, &FieldError{Field: "source", Message: "source and light both tell the light; give one of them"}
	case q.Source != nil:
		s, err = colour.SightIn(q.Source.light)
	case q.Light != nil:
		if s, err = colour.SightFor(*q.Light); err != nil {
			return s, &FieldError{Field: "light", Message: "light: " + err.Error()}
		}
	default:
		s, err = colour.SightFor(light.AnyDaylight)
	}
	s.Sees = q.Collodion.sees
	return s, err
}

// value is how an item comes out.
func (i valuesItem) value(j *colour.Judge) (value, error) {
	thing := i.found
	v, err := thing.Value(j)
	if err != nil {
		return value{}, err
	}
	basis := v.Basis
	if i.Thing != nil && thing.Surface == "" {
		basis = thing.Basis + "; " + basis
	}
	return value{Name: thing.Name, Colour: thing.Colour.Hex(), Material: string(thing.Material), Actinic: v.Actinic, Band: [2]float64{v.Low, v.High},
		PlateReflectance: v.Plate, PlateBand: [2]float64{v.PlateLow, v.PlateHigh}, PlateDensity: v.Density, Grey: int(v.Grey),
		Eye: v.Luminous, EyeGrey: int(v.EyeGrey), Stops: v.Stops, Words: v.Words, Basis: basis}, nil
}
