package reckon

import (
	"errors"

	"platewright/chemistry"
	"platewright/measure"
)

type mixQuestion struct {
	Recipe       mixRecipe `json:"recipe" doc:"a recipe of the shelf by name, or one written out"`
	VolumeMl     *float64  `json:"volume_ml" range:"[1,200000]" doc:"finished volume wanted; left out: as much as the recipe makes"`
	Units        string    `json:"units" default:"\"metric\"" enum:"metric|imperial|us|apothecary" doc:"weights and measures to write the amounts in"`
	TemperatureC float64   `json:"temperature_c" default:"20" range:"[0,40]" doc:"of the room and the liquids"`
	AllowCyanide bool      `json:"allow_cyanide" default:"false" doc:"true mixes a recipe with cyanide, which kills by skin, mouth and the gas any acid frees from it; read the notes and the supplier's safety sheet first"`
}

// mixRecipe is a recipe by name or written out.
type mixRecipe struct {
	Either
	Named   *string        `doc:"the name of a recipe of the shelf"`
	Written *writtenRecipe `doc:"a recipe with its parts, in the form in which the studio keeps recipes"`
}

// writtenRecipe has the keys of [chemistry.Recipe].
type writtenRecipe struct {
	Name     *string       `json:"name" doc:"what it is called"`
	Kind     *string       `json:"kind" enum:"collodion|bath|developer|fixer|varnish" doc:"what it makes; left out: read from the parts"`
	System   *string       `json:"system" enum:"metric|imperial|us|apothecary" doc:"the author's weights and measures; wanted for units such as oz, pint, minim"`
	Parts    []writtenPart `json:"parts" items:"1,40" doc:"the lines of the recipe"`
	Makes    *writtenMakes `json:"makes" doc:"finished volume; left out: the sum of the liquids"`
	Source   *string       `json:"source" doc:"where it comes from"`
	Note     *string       `json:"note" doc:"what to know about it"`
	Cautions *[]string     `json:"cautions" items:"0,20" doc:"what to beware of"`
	Unsafe   *string       `json:"unsafe" doc:"what the old text says and nobody should do"`
}

type writtenPart struct {
	Substance string   `json:"substance" doc:"a substance by name, such as silver nitrate"`
	Amount    *float64 `json:"amount" range:"[0.000001,1000000]" doc:"how many units; wanted unless to_volume is true"`
	Unit      *string  `json:"unit" doc:"g, gr, oz, drachm, ml, us fl oz, imp fl oz, drop ...; an ounce of a liquid is a fluid ounce, of a solid avoirdupois unless the system is apothecary"`
	ToVolume  bool     `json:"to_volume" default:"false" doc:"filled up to makes, instead of an amount"`
	Note      *string  `json:"note" doc:"what to know about this line"`
	Source    *string  `json:"source" doc:"where this line comes from, when it is not the recipe's source"`
}

// writtenMakes is a finished volume in millilitres or in a unit.
type writtenMakes struct {
	Either
	Millilitres *float64       `unit:"mL" range:"[0.000001,1000000]" doc:"millilitres"`
	Amount      *writtenAmount `doc:"an amount and its unit"`
}

type writtenAmount struct {
	Amount float64 `json:"amount" range:"[0.000001,1000000]" doc:"how many units"`
	Unit   string  `json:"unit" doc:"ml, l, oz, fl oz, pint, us fl oz, imp pint ..."`
}

type mixAnswer struct {
	Recipe       string                       `json:"recipe" doc:"the recipe's name, empty when it has none"`
	Kind         string                       `json:"kind" doc:"what it makes, empty when the parts do not say"`
	Source       string                       `json:"source" doc:"where the recipe comes from"`
	VolumeMl     measure.Volume               `json:"volume_ml" doc:"finished volume"`
	Scale        float64                      `json:"scale" doc:"finished volume over what the recipe makes"`
	Parts        []mixedPart                  `json:"parts" doc:"the lines, scaled, in the recipe's order"`
	Halide       float64                      `json:"halide_mol_per_l" unit:"mol/L" doc:"iodide, bromide and chloride in a litre"`
	IodideShare  *float64                     `json:"iodide_share" doc:"of that halide; null when there is none"`
	SilverDemand float64                      `json:"silver_demand_g_per_l" unit:"g/L" doc:"silver nitrate that the halide of a litre takes up"`
	Percent      map[string]chemistry.Percent `json:"percent" unit:"% w/v" doc:"grams in 100 mL finished, of each part but water whose mass is known"`
	VolumePct    map[string]float64           `json:"volume_pct" doc:"millilitres in 100 mL finished, of each liquid but water"`
	Density      *chemistry.Density           `json:"density_g_ml" doc:"at 20 °C; null where it is not known"`
	Order        []mixStep                    `json:"order" doc:"what goes in first, and why"`
	Hazards      []mixHazard                  `json:"hazards" doc:"what each part bears"`
	Label        mixLabel                     `json:"label" doc:"of the mixture: the union of what the parts bear"`
	Refusals     []string                     `json:"refusals" doc:"empty: parts that must not meet are refused with an error that says why"`
	Notes        []string                     `json:"notes" doc:"what to know about this answer"`
}

type mixedPart struct {
	Substance string          `json:"substance" doc:"its name"`
	Amount    float64         `json:"amount" doc:"in the wanted units, to three figures"`
	Unit      string          `json:"unit" doc:"of amount"`
	Text      string          `json:"text" doc:"the same as one lays out weights or reads a glass: 3 oz av 209 gr"`
	Grams     *measure.Mass   `json:"g" unit:"g" doc:"exact; null for a liquid whose density is not known"`
	Ml        *measure.Volume `json:"ml" unit:"mL" doc:"exact; null for a solid"`
	ToVolume  bool            `json:"to_volume" doc:"filled up to the mark; the amount is only about right"`
	Note      string          `json:"note" doc:"of the recipe's line"`
	Source    string          `json:"source" doc:"of the recipe's line"`
}

type mixStep struct {
	Substance string `json:"substance" doc:"what goes in"`
	Why       string `json:"why" doc:"why now"`
}

type mixHazard struct {
	Substance  string   `json:"substance" doc:"the part"`
	Signal     string   `json:"signal" doc:"signal word, empty when there is none"`
	Statements []string `json:"statements" doc:"hazard statement codes, as sold; the mixture's are in label"`
	FromMemory []string `json:"from_memory" doc:"those not yet read in a source"`
	Source     string   `json:"source" doc:"citation key"`
	Held       bool     `json:"held" doc:"false: no classification is held here, which does not mean none exists"`
}

type mixLabel struct {
	Signal     string         `json:"signal" doc:"Danger, Warning or empty"`
	Pictograms []string       `json:"pictograms" doc:"GHS pictogram codes"`
	Statements []mixStatement `json:"statements" doc:"hazard statements"`
}

type mixStatement struct {
	Code string `json:"code" doc:"hazard statement code"`
	Text string `json:"text" doc:"its words"`
}

// mix asks what to weigh and pour. Molar masses are sums of standard atomic weights [CIAAW2021];
// the density of a silver bath is that of silver nitrate in water [ETB1958].
func mix() *Reckoning {
	return define(Spec{
		Name:    "mix",
		Title:   "what to weigh and pour",
		Summary: "From a recipe and a volume to amounts, strengths, halide, the order of mixing, hazards and a label; what must not meet is refused.",
		Model: "Arithmetic on what the author printed. Liquids keep their volumes and solids take up none unless the recipe says what it makes; " +
			"a plain silver bath is reckoned by weight and density. Percent is grams in 100 mL of finished solution at 20 °C. " +
			"The label is the union of what the parts bear, a cautious approximation and no classification in law: the supplier's safety sheet and local rules hold. " +
			"A recipe with cyanide is mixed only with allow_cyanide.",
		Sources: []string{"CIAAW2021", "ETB1958", "HB44", "SP811", "CLP2008", "OIML22"},
		Example: `{"recipe": "silver bath of 45 grains", "volume_ml": 1000, "units": "us"}`,
		Names:   map[string][]string{"recipe": shelfNames()},
		Keys:    map[string]string{"volume": "volume_ml", "temperature": "temperature_c"},
	}, answerMix)
}

// shelfNames are the names of the recipes that come with the product; those with cyanide are
// answered by name too, and not put forward.
func shelfNames() []string {
	var names []string
	for _, r := range chemistry.Recipes(false) {
		names = append(names, r.Name)
	}
	return names
}

func answerMix(q mixQuestion) (mixAnswer, error) {
	r, err := q.Recipe.recipe()
	if err != nil {
		return mixAnswer{}, &FieldError{Field: "recipe", Message: err.Error(), cause: err}
	}
	warmth := measure.Celsius(q.TemperatureC)
	in := chemistry.Mixing{Recipe: r, Units: chemistry.System(q.Units), Temperature: &warmth, AllowCyanide: q.AllowCyanide}
	if q.VolumeMl != nil {
		in.Volume = measure.Volume(*q.VolumeMl)
	}
	m, err := chemistry.Mix(in)
	if err != nil {
		return mixAnswer{}, blameRecipe(err)
	}
	a := mixAnswer{Recipe: r.Name, Kind: string(m.Kind), Source: r.Source, VolumeMl: m.Volume, Scale: m.Scale,
		Halide: m.Halide, IodideShare: m.IodideShare, SilverDemand: m.SilverDemand,
		Percent: map[string]chemistry.Percent{}, VolumePct: map[string]float64{}, Density: m.Density,
		Label:    mixLabel{Signal: m.Label.Signal, Pictograms: m.Label.Pictograms},
		Refusals: []string{}, Notes: m.Notes}
	for _, p := range m.Parts {
		s := p.Substance
		a.Parts = append(a.Parts, mixedPart{Substance: s.Name, Amount: p.Trade.Value, Unit: string(p.Trade.Unit), Text: p.Text, Grams: p.Mass, Ml: p.Volume,
			ToVolume: p.ToVolume, Note: p.Note, Source: p.Source})
		if p.Strength != nil {
			a.Percent[s.Name] += *p.Strength
		}
		if p.VolumePct != nil {
			a.VolumePct[s.Name] += *p.VolumePct
		}
		a.Hazards = append(a.Hazards, mixHazard{Substance: s.Name, Signal: s.Hazard.Signal, Statements: s.Hazard.Statements,
			FromMemory: s.Hazard.FromMemory, Source: s.Hazard.Source, Held: s.Hazard.Held})
	}
	for _, s := range m.Order {
		a.Order = append(a.Order, mixStep(s))
	}
	for _, s := range m.Label.Statements {
		a.Label.Statements = append(a.Label.Statements, mixStatement(s))
	}
	return a, nil
}

// blameRecipe puts a recipe's error at its key of the question.
func blameRecipe(err error) error {
	var no *chemistry.Refusal
	var fe *chemistry.FieldError
	switch {
	case errors.As(err, &no):
		return &FieldError{Field: "recipe", Message: "recipe " + err.Error(), cause: err}
	case errors.As(err, &fe):
		return &FieldError{Field: "recipe." + fe.Field, Message: "recipe." + err.Error(), cause: err}
	}
	return err
}

// recipe returns the recipe that was named or written.
func (m mixRecipe) recipe() (chemistry.Recipe, error) {
	if m.Named != nil {
		return chemistry.RecipeNamed(*m.Named)
	}
	w := m.Written
	r := chemistry.Recipe{Name: textOr(w.Name), Kind: chemistry.Kind(textOr(w.Kind)), System: chemistry.System(textOr(w.System)),
		Source: textOr(w.Source), Note: textOr(w.Note), Unsafe: textOr(w.Unsafe)}
	if w.Cautions != nil {
		r.Cautions = *w.Cautions
	}
	for _, p := range w.Parts {
		part := chemistry.Part{Substance: p.Substance, Unit: chemistry.Unit(textOr(p.Unit)), ToVolume: p.ToVolume, Note: textOr(p.Note), Source: textOr(p.Source)}
		if p.Amount != nil {
			part.Amount = *p.Amount
		}
		r.Parts = append(r.Parts, part)
	}
	if w.Makes != nil {
		if w.Makes.Millilitres != nil {
			r.Makes = chemistry.Amount{Value: *w.Makes.Millilitres, Unit: "ml"}
		} else {
			r.Makes = chemistry.Amount{Value: w.Makes.Amount.Amount, Unit: chemistry.Unit(w.Makes.Amount.Unit)}
		}
	}
	return r, nil
}

// textOr returns a text that may have been left out, empty then.
func textOr(s *string) string {
	if s == nil {
		return ""
	}
	return *s
}
