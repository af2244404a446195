package web

import (
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"platewright/chemistry"
	"platewright/internal/studio"
	"platewright/internal/web/screens/equipment"
	"platewright/internal/web/screens/shelf"
	"platewright/internal/web/shared"
	"platewright/measure"
	"platewright/reckon"
)

func (s *Server) shelfRoutes() {
	s.handle("GET /darkroom/shelf", s.shelf)
	s.handle("GET /darkroom/shelf/recipes/{id}", s.recipe)
	handleRecords(s, s.batchKind())
}

func shelfPage(title, lead string) shared.PageData {
	return shared.PageData{Room: shared.DarkRoom, Title: title, Lead: lead, Styles: []string{"equipment.css", "shelf.css"}}
}

// shelf answers GET /darkroom/shelf.
func (s *Server) shelf(w http.ResponseWriter, r *http.Request) error {
	batches, err := s.cfg.Studio.Batches(r.Context())
	if err != nil {
		return err
	}
	recipes, err := s.cfg.Studio.Recipes(r.Context())
	if err != nil {
		return err
	}
	sys, err := s.system(r)
	if err != nil {
		return err
	}
	var d shelf.Shelf
	for _, b := range batches {
		line := s.batchLine(b, sys)
		if b.Retired {
			d.Retired = append(d.Retired, line)
		} else {
			d.Batches = append(d.Batches, line)
		}
	}
	for _, kind := range chemistry.Kinds() {
		k := shelf.Kind{Word: string(kind)}
		for _, recipe := range recipes {
			if recipe.Body.Kind == kind && !recipe.Retired {
				k.Recipes = append(k.Recipes, recipeLine(recipe, sys))
			}
		}
		if len(k.Recipes) > 0 {
			d.Kinds = append(d.Kinds, k)
		}
	}
	lead := "Nothing stands on it yet."
	if n := len(d.Batches); n == 1 {
		lead = "1 batch stands on it."
	} else if n > 1 {
		lead = fmt.Sprintf("%d batches stand on it.", n)
	}
	return s.show(w, r, shelfPage("Shelf", lead), shelf.ShelfScreen(d))
}

func (s *Server) batchLine(b studio.Batch, sys measure.System) shelf.Batch {
	return shelf.Batch{
		Href: "/darkroom/shelf/batches/" + string(b.ID), Name: b.Name,
		Recipe: b.RecipeName, RecipeHref: "/darkroom/shelf/recipes/" + string(b.Recipe),
		Age: s.ageText(b), Days: ageDays(b, s.now()),
		Volume: measure.Thin(b.Volume.Format(sys)),
	}
}

// ageDays is a batch's age by the calendar of the place now is in: one mixed last night is a day old
// this morning, whatever the hours between.
func ageDays(b studio.Batch, now time.Time) int {
	noon := func(t time.Time) time.Time { return time.Date(t.Year(), t.Month(), t.Day(), 12, 0, 0, 0, time.UTC) }
	return int(noon(now).Sub(noon(b.Mixed.In(now.Location()))) / (24 * time.Hour))
}

// ageText is a batch's age in days, and when that was.
func (s *Server) ageText(b studio.Batch) string {
	mixed := shortDay(b.Mixed.In(s.cfg.Location), s.now())
	switch days := ageDays(b, s.now()); {
	case days < 0:
		return "from " + mixed
	case mixed == "today":
		return "mixed today"
	default:
		return counted(days, "day") + ", since " + mixed
	}
}

func recipeLine(recipe studio.Recipe, sys measure.System) shelf.Recipe {
	body := recipe.Body
	line := shelf.Recipe{Href: "/darkroom/shelf/recipes/" + string(recipe.ID), Name: body.Name, Source: sourceText(recipe)}
	for _, c := range body.Cautions {
		line.Cautions = append(line.Cautions, sentence(c))
	}
	if v, err := body.Makes.VolumeIn(body.System); err == nil && v > 0 {
		line.Makes = measure.Thin(v.Format(sys))
	}
	return line
}

// recipe answers GET /darkroom/shelf/recipes/{id}, scaled to ?volume=.
func (s *Server) recipe(w http.ResponseWriter, r *http.Request) error {
	recipe, err := s.cfg.Studio.Recipe(r.Context(), studio.ID(r.PathValue("id")))
	if err != nil {
		return err
	}
	profile, err := s.cfg.Studio.Profile(r.Context())
	if err != nil {
		return err
	}
	f, err := s.readQuery(r)
	if err != nil {
		return err
	}
	body := recipe.Body
	href := "/darkroom/shelf/recipes/" + string(recipe.ID)
	d := shelf.Mix{
		Href: href, NewBatchHref: "/darkroom/shelf/batches/new?recipe=" + string(recipe.ID), Kind: string(body.Kind), Source: sourceText(recipe),
		Note: body.Note, WrittenFor: "As written", Origins: origins(body),
	}
	if !body.Makes.IsZero() {
		d.WrittenFor += ", for " + measure.Thin(strconv.FormatFloat(body.Makes.Value, 'g', 6, 64)+" "+string(body.Makes.Unit))
	}
	if body.Unsafe != "" {
		d.Unsafe = sentence(body.Unsafe)
	}
	for _, c := range body.Cautions {
		d.Cautions = append(d.Cautions, sentence(c))
	}
	volume := f.volume("volume")
	usual := usualVolume(body, f.sys)
	d.Usual = measure.Thin(usual.Format(f.sys))
	if f.OK() {
		if volume == 0 && f.text("volume") == "" {
			volume = usual
		}
		d.NewBatchHref += "&" + url.Values{"volume": {typedVolume(volume, f.sys)}}.Encode()
		err := s.mix(&d, recipe, volume, profile)
		var fe *reckon.FieldError
		switch {
		case errors.As(err, &fe) && fe.Field == "volume_ml":
			f.refuse("volume", "%s", fe.Message)
		case errors.As(err, &fe):
			d.Refused = sentence(fe.Message)
		case err != nil:
			return err
		}
	}
	status := http.StatusOK
	if !f.OK() {
		status, d.Refused = http.StatusUnprocessableEntity, "Not reckoned: "+f.Problem("volume")+"."
	}
	delete(f.ReadAs, "volume") // the heading of the mixing says it, and changes with what is typed
	d.Form = f.Form
	return s.showStatus(w, r, status, shelfPage(upperFirst(body.Name), sentence(d.Kind+", "+d.Source)), shelf.MixScreen(d))
}

// usualVolume is how much is mixed when nothing is said: a small bottle full, or as much as the recipe
// makes where that is more. Authors give many for one ounce, which nobody mixes.
func usualVolume(body chemistry.Recipe, sys measure.System) measure.Volume {
	usual := 500 * measure.Millilitre
	if sys != measure.Metric {
		usual = 20 * measure.ImperialFluidOunce
	}
	if makes, err := body.Makes.VolumeIn(body.System); err == nil {
		usual = max(usual, makes)
	}
	return usual
}

// mixed is what the screen shows of the answer of the reckoning mix.
type mixed struct {
	VolumeMl float64 `json:"volume_ml"`
	Parts    []struct {
		Substance, Text, Note string
	} `json:"parts"`
	Halide      float64            `json:"halide_mol_per_l"`
	IodideShare *float64           `json:"iodide_share"`
	Percent     map[string]float64 `json:"percent"`
	VolumePct   map[string]float64 `json:"volume_pct"`
	Density     *float64           `json:"density_g_ml"`
	Order       []struct {
		Substance, Why string
	} `json:"order"`
	Hazards []struct {
		Substance string
		Held      bool
	} `json:"hazards"`
	Label struct {
		Signal     string
		Pictograms []string
		Statements []struct {
			Code, Text string
		}
	} `json:"label"`
	Notes []string `json:"notes"`
}

// mix asks the reckoning mix; a zero volume is as much as the recipe makes.
func (s *Server) mix(d *shelf.Mix, recipe studio.Recipe, volume measure.Volume, profile studio.Profile) error {
	question := struct {
		Recipe       chemistry.Recipe `json:"recipe"`
		VolumeMl     float64          `json:"volume_ml,omitempty"`
		Units        string           `json:"units"`
		AllowCyanide bool             `json:"allow_cyanide,omitempty"`
	}{recipe.Body, float64(volume), string(profile.Units), profile.Cyanide}
	var a mixed
	if err := s.reckonInto("mix", question, &a); err != nil {
		return err
	}
	d.Volume = measure.Thin(measure.Volume(a.VolumeMl).Format(systemOf(profile)))
	for i, p := range a.Parts {
		part := shelf.Part{Substance: p.Substance, Text: measure.Thin(p.Text), Note: p.Note}
		if i < len(recipe.Body.Parts) {
			part.Written = measure.Thin(writtenText(recipe.Body.Parts[i]))
		}
		d.Parts = append(d.Parts, part)
	}
	for _, o := range a.Order {
		d.Order = append(d.Order, shelf.Step{Substance: o.Substance, Why: o.Why})
	}
	d.Strengths = strengths(a)
	d.Label = shelf.Label{Signal: a.Label.Signal}
	for _, code := range a.Label.Pictograms {
		d.Label.Pictograms = append(d.Label.Pictograms, pictogramText(code))
	}
	for _, st := range a.Label.Statements {
		d.Label.Statements = append(d.Label.Statements, shelf.Statement{Code: st.Code, Text: st.Text})
	}
	for _, h := range a.Hazards {
		if !h.Held {
			d.Label.Unheld = append(d.Label.Unheld, h.Substance)
		}
	}
	for _, note := range a.Notes {
		if slices.Contains(recipe.Body.Cautions, note) || recipe.Body.Unsafe != "" && strings.Contains(note, recipe.Body.Unsafe) {
			continue // they stand over the table and under it
		}
		d.Notes = append(d.Notes, sentence(citedKey.ReplaceAllStringFunc(note, func(key string) string {
			return "(" + originOf("", strings.Trim(key, "[]")).Work + ")"
		})))
	}
	return nil
}

// citedKey is the key of a work as a note names it: [ICSC0355].
var citedKey = regexp.MustCompile(`\[[A-Z][A-Za-z]*[0-9]{2,}[A-Za-z]*\]`)

// writtenText is a line of a recipe as its author wrote it.
func writtenText(p chemistry.Part) string {
	if p.ToVolume {
		return "to fill up"
	}
	return strconv.FormatFloat(p.Amount, 'g', 6, 64) + " " + string(p.Unit)
}

// strengths are the figures of the finished liquid, the strongest first.
func strengths(a mixed) []shelf.Strength {
	type figure struct {
		of string
		v  float64
	}
	in := func(m map[string]float64, unit string) []shelf.Strength {
		var all []figure
		for of, v := range m {
			all = append(all, figure{of, v})
		}
		slices.SortFunc(all, func(a, b figure) int {
			switch {
			case a.v > b.v:
				return -1
			case a.v < b.v:
				return 1
			}
			return strings.Compare(a.of, b.of)
		})
		var list []shelf.Strength
		for _, f := range all {
			list = append(list, shelf.Strength{Word: f.of, Value: threeDigits(f.v), Unit: unit})
		}
		return list
	}
	list := in(a.Percent, "% w/v")
	if len(a.VolumePct) > 0 {
		list = slices.DeleteFunc(list, func(st shelf.Strength) bool { _, liquid := a.VolumePct[st.Word]; return liquid })
		list = append(list, in(a.VolumePct, "% v/v")...)
	}
	if a.Halide > 0 {
		list = append(list, shelf.Strength{Word: "halide", Value: threeDigits(a.Halide), Unit: "mol/l"})
	}
	if a.IodideShare != nil {
		list = append(list, shelf.Strength{Word: "iodide in it", Value: threeDigits(100 * *a.IodideShare), Unit: "%"})
	}
	if a.Density != nil {
		list = append(list, shelf.Strength{Word: "density at 20 °C", Value: strconv.FormatFloat(*a.Density, 'f', 3, 64), Unit: "g/ml"})
	}
	return list
}

func threeDigits(v float64) string { return strconv.FormatFloat(v, 'g', 3, 64) }

// pictogramText names a GHS pictogram, from memory of the regulation's annex.
func pictogramText(code string) string {
	words := map[string]string{
		"GHS01": "exploding bomb", "GHS02": "flame", "GHS03": "flame over circle", "GHS04": "gas cylinder", "GHS05": "corrosion",
		"GHS06": "skull and crossbones", "GHS07": "exclamation mark", "GHS08": "health hazard", "GHS09": "environment",
	}
	if w, ok := words[code]; ok {
		return w + " (" + code + ")"
	}
	return code
}

// reckonInto asks a reckoning and reads what is wanted of its answer. What it refuses is a
// *reckon.FieldError.
func (s *Server) reckonInto(name string, question, answer any) error {
	if s.cfg.Reckon == nil {
		return errors.New("no reckonings are served")
	}
	r, ok := s.cfg.Reckon.Lookup(name)
	if !ok {
		return fmt.Errorf("reckoning %s: %w", name, studio.ErrNotFound)
	}
	text, err := json.Marshal(question)
	if err != nil {
		return fmt.Errorf("question to %s: %w", name, err)
	}
	said, err := r.Answer(text)
	if err != nil {
		return err
	}
	if err := json.Unmarshal(said, answer); err != nil {
		return fmt.Errorf("answer of %s: %w", name, err)
	}
	return nil
}

func (s *Server) batchKind() recordKind[studio.Batch] {
	return recordKind[studio.Batch]{
		one: "batch", path: "/darkroom/shelf/batches", home: "/darkroom/shelf", room: shared.DarkRoom, list: "Shelf",
		fields: []field{
			{FieldData: shared.FieldData{Name: "name", Label: "Name", Hint: "as the bottle's label says it: Collodion 7", Required: true}},
			{FieldData: shared.FieldData{Name: "volume", Label: "How much was mixed", Hint: "500 ml, 20 imp fl oz", Required: true}, metric: "ml", imperial: "imp fl oz"},
			{FieldData: shared.FieldData{Name: "mixed", Label: "Mixed on", Hint: "today, 2026-11-24, 24 Nov", Required: true}},
			{FieldData: shared.FieldData{Name: "recipe", Label: "From which recipe?"}, chosen: true, once: true, wide: true},
			{FieldData: shared.FieldData{Name: "note", Label: "Note", Lines: 3}, wide: true},
			retiredField(),
		},
		names: map[string]string{"volume_ml": "volume"},
		aside: s.weighOut,
		find:  s.cfg.Studio.Batch, add: s.cfg.Studio.AddBatch, change: s.cfg.Studio.ChangeBatch,
		version: func(b *studio.Batch) *int { return &b.Version },
		name:    func(b studio.Batch) string { return b.Name },
		lead:    func(b studio.Batch) string { return "Mixed from " + b.RecipeName + ". " + sentence(s.ageText(b)) },
		typed: func(b studio.Batch, sys measure.System) map[string]string {
			return map[string]string{"name": b.Name, "volume": typedVolume(b.Volume, sys), "mixed": b.Mixed.In(s.cfg.Location).Format(isoDay),
				"note": b.Note, "retired": yesNo(b.Retired), "version": strconv.Itoa(b.Version)}
		},
		fresh: func(r *http.Request) map[string]string {
			typed := map[string]string{"mixed": s.now().Format(isoDay)}
			for _, name := range []string{"recipe", "volume"} {
				if given := r.URL.Query().Get(name); given != "" {
					typed[name] = given
				}
			}
			return typed
		},
		options: func(r *http.Request, _ string) ([]shared.Option, error) { return s.recipeOptions(r) },
		read: func(f *form, b studio.Batch) studio.Batch {
			f.need("volume", "write it as 500 ml or 20 imp fl oz")
			f.need("mixed", "write it as "+f.now.Format(isoDay))
			b.Name, b.Note, b.Volume = f.text("name"), f.text("note"), f.volume("volume")
			b.Mixed = f.mixed("mixed", b.Mixed)
			if b.ID == "" {
				f.Choices["recipe"] = true
				if b.Recipe = f.id("recipe"); b.Recipe == "" {
					f.refuse("recipe", "choose the recipe the batch was mixed from")
				}
			}
			b.Retired = f.retired(b.Retired)
			return b
		},
	}
}

// weighOut leads from a batch's form to what is weighed and poured for it.
func (s *Server) weighOut(f shared.Form, b *studio.Batch) equipment.Way {
	recipe, volume := f.Value("recipe"), f.Value("volume")
	if b != nil {
		recipe = string(b.Recipe)
	}
	if recipe == "" {
		return equipment.Way{}
	}
	way := equipment.Way{Word: "What to weigh and pour", Href: "/darkroom/shelf/recipes/" + url.PathEscape(recipe)}
	if volume != "" && f.Problem("volume") == "" {
		way.Word += " for " + volume
		way.Href += "?" + url.Values{"volume": {volume}}.Encode()
	}
	return way
}

// sentence makes a sentence of words that may begin small and lack their full stop.
func sentence(words string) string {
	if words == "" {
		return ""
	}
	return strings.TrimSuffix(upperFirst(words), ".") + "."
}

func upperFirst(words string) string {
	first, size := utf8.DecodeRuneInString(words)
	if size == 0 {
		return ""
	}
	return string(unicode.ToUpper(first)) + words[size:]
}

// mixed reads the day of a mixing. A day that stays keeps its hour; today is now, and any other day
// its noon.
func (f *form) mixed(name string, was time.Time) time.Time {
	day := f.day(name)
	switch {
	case day.IsZero():
		return was
	case !was.IsZero() && midnight(was.In(f.loc)).Equal(day):
		return was
	case midnight(f.now).Equal(day):
		return f.now
	default:
		return time.Date(day.Year(), day.Month(), day.Day(), 12, 0, 0, 0, f.loc)
	}
}

// recipeOptions are the recipes a batch may be mixed from.
func (s *Server) recipeOptions(r *http.Request) ([]shared.Option, error) {
	recipes, err := s.cfg.Studio.Recipes(r.Context())
	if err != nil {
		return nil, err
	}
	var all []shared.Option
	for _, kind := range chemistry.Kinds() {
		for _, recipe := range recipes {
			if recipe.Body.Kind == kind && !recipe.Retired {
				all = append(all, shared.Option{Value: string(recipe.ID), Word: recipe.Body.Name, Note: string(kind)})
			}
		}
	}
	return all, nil
}
