package chemistry

import (
	"fmt"
	"slices"
	"strings"
)

// shelf holds every recipe that comes with the product, and onShelf finds their places by name. Both
// are made once and never changed.
var shelf, onShelf = func() ([]Recipe, map[string]int) {
	list := slices.Concat(collodionRecipes(), bathRecipes(), developerRecipes(), fixerRecipes(), varnishRecipes())
	places := make(map[string]int, len(list))
	for i, r := range list {
		places[plainName(r.Name)] = i
	}
	return list, places
}()

// Recipes returns the recipes that come with the product, each in its author's measures with the
// source of every line. Those that hold a cyanide are left out unless they are asked for.
func Recipes(allowCyanide bool) []Recipe {
	var out []Recipe
	for _, r := range shelf {
		if allowCyanide || !r.HoldsCyanide() {
			out = append(out, r.clone())
		}
	}
	return out
}

// RecipeNamed returns the recipe of that name, cyanide or not: [Mix] is where cyanide is refused.
// Capitals and spaces do not matter. The error lists the names there are.
func RecipeNamed(name string) (Recipe, error) {
	if i, ok := onShelf[plainName(name)]; ok {
		return shelf[i].clone(), nil
	}
	var names []string
	for _, r := range Recipes(false) {
		names = append(names, r.Name)
	}
	slices.Sort(names)
	return Recipe{}, fmt.Errorf("recipe %q is not on the shelf; allowed: %s", name, strings.Join(names, "; ")) // names hold commas
}

func (r Recipe) clone() Recipe {
	r.Parts, r.Cautions = slices.Clone(r.Parts), slices.Clone(r.Cautions)
	return r
}

// Lines of a recipe, short to write down.

func weigh(substance string, amount float64, unit Unit) Part {
	return Part{Substance: substance, Amount: amount, Unit: unit}
}

func fill(substance string) Part { return Part{Substance: substance, ToVolume: true} }

func (p Part) noting(note string) Part { p.Note = note; return p }

func (p Part) from(source string) Part { p.Source = source; return p }

const (
	cadmiumCaution = "holds cadmium: poisonous, and treated as a cause of cancer"
	etherCaution   = "ether and alcohol: no flame, switch or heater in the room; pour with air moving away from you"
	flameCaution   = "the old hands warmed the plate over a lamp: use a hot plate or warm air, no flame near alcohol"
)

func collodionRecipes() []Recipe {
	return []Recipe{
		{
			Name: "ferrotype collodion with copper", Kind: Collodion, System: US, Source: "Estabrooke1887",
			Parts: []Part{
				weigh("pyroxylin", 5.5, "gr").noting("printed 5 to 6 grains"),
				weigh("ammonium iodide", 4, "gr"), weigh("cadmium iodide", 2, "gr"),
				weigh("cadmium bromide", 1, "gr"), weigh("copper bromide", 1, "gr"),
				weigh("ether", 0.5, "fl oz").noting("equal parts"), weigh("alcohol", 0.5, "fl oz").noting("equal parts"),
			},
			Makes: Amount{1, "fl oz"}, Note: "heavily salted: wants a bath of at least 50 grains to the ounce",
			Cautions: []string{etherCaution, cadmiumCaution, "copper bromide can attack bare metal at a plate's edges"},
		},
		{
			Name: "ferrotype collodion", Kind: Collodion, System: US, Source: "Schriever1908",
			Parts: []Part{
				weigh("pyroxylin", 200, "gr"), weigh("ammonium iodide", 120, "gr"), weigh("cadmium iodide", 80, "gr"),
				weigh("cadmium bromide", 100, "gr"), weigh("ether", 20, "fl oz"),
				weigh("alcohol", 20, "fl oz").noting("assumed: the copy read shows the ether only"),
			},
			Makes: Amount{40, "fl oz"}, Note: "for a bath of 45 to 50 grains to the ounce",
			Cautions: []string{etherCaution, cadmiumCaution},
		},
		{
			Name: "negative collodion", Kind: Collodion, System: US, Source: "Estabrooke1887",
			Parts: []Part{
				weigh("pyroxylin", 320, "gr"), weigh("ammonium iodide", 192, "gr"), weigh("cadmium bromide", 128, "gr"),
				weigh("potassium bromide", 96, "gr"), weigh("ether", 32, "fl oz").noting("equal parts"),
				weigh("alcohol", 32, "fl oz").noting("equal parts"),
			},
			Makes: Amount{64, "fl oz"}, Note: "rich in bromide: soft, for a bath of 45 grains to the ounce",
			Cautions: []string{etherCaution, cadmiumCaution},
		},
		{
			Name: "general collodion", Kind: Collodion, System: US, Source: "Estabrooke1887",
			Parts: []Part{
				weigh("pyroxylin", 100, "gr"), weigh("ammonium iodide", 60, "gr"), weigh("cadmium iodide", 30, "gr"),
				weigh("cadmium bromide", 20, "gr"), weigh("ether", 10, "fl oz"), weigh("alcohol", 10, "fl oz"),
			},
			Makes: Amount{20, "fl oz"}, Note: "salts of 5.5 grains to the ounce, for a bath of 45",
			Cautions: []string{etherCaution, cadmiumCaution},
		},
		{
			Name: "hot weather collodion", Kind: Collodion, System: US, Source: "Wilson1881",
			Parts: []Part{
				weigh("pyroxylin", 110, "gr").noting("not printed with the salts: 5 grains to the ounce taken").from("Britannica1911"),
				weigh("cadmium bromide", 22, "gr"), weigh("ammonium bromide", 22, "gr"), weigh("cadmium iodide", 33, "gr"),
				weigh("ammonium iodide", 66, "gr"), weigh("ether", 10, "fl oz"), weigh("alcohol", 12, "fl oz"),
			},
			Makes: Amount{22, "fl oz"}, Note: "more alcohol than ether, to set slowly in heat",
			Cautions: []string{etherCaution, cadmiumCaution, "in heat ether builds pressure in a bottle: open it cooled"},
		},
		{
			Name: "winter collodion", Kind: Collodion, System: US, Source: "Wilson1881",
			Parts: []Part{
				weigh("pyroxylin", 175, "gr").noting("not printed with the salts: 5 grains to the ounce taken").from("Britannica1911"),
				weigh("cadmium iodide", 135, "gr"), weigh("potassium iodide", 70, "gr"), weigh("cadmium bromide", 70, "gr"),
				weigh("ammonium iodide", 12, "gr"), weigh("ether", 17.5, "fl oz").noting("equal parts"),
				weigh("alcohol", 17.5, "fl oz").noting("equal parts"),
			},
			Makes: Amount{35, "fl oz"}, Note: "for cold rooms",
			Cautions: []string{etherCaution, cadmiumCaution},
		},
		{
			Name: "zinc collodion", Kind: Collodion, System: Imperial, Source: "Wilkinson00",
			Parts: []Part{
				weigh("pyroxylin", 400, "gr").noting("printed as cakes of celloidin of unknown strength: 5 grains to the ounce taken").from("Britannica1911"),
				weigh("zinc iodide", 350, "gr"), weigh("zinc bromide", 150, "gr"), weigh("ether", 40, "fl oz"), weigh("alcohol", 40, "fl oz"),
			},
			Makes: Amount{80, "fl oz"}, Note: "no cadmium; ready in a week, at its best for half a year",
			Cautions: []string{etherCaution},
		},
		{
			Name: "potassium collodion", Kind: Collodion, System: Metric, Source: "from memory: our own middle of the usual ranges, to be tried before use",
			Parts: []Part{
				weigh("plain collodion", 45, "ml"), weigh("potassium iodide", 1, "g"), weigh("potassium bromide", 0.5, "g"),
				weigh("water", 1, "ml").noting("just enough for the salts"), weigh("alcohol", 49, "ml"), weigh("ether", 5, "ml"),
			},
			Makes: Amount{100, "ml"}, Note: "no cadmium; ripens in about two weeks and lasts about a month",
			Cautions: []string{etherCaution, "no author printed these figures"},
		},
	}
}

const bathCaution = "keep it from daylight while plates are made, from metal, from hypo, and from ammonia always"

func bathRecipes() []Recipe {
	acid := "drops of dilute nitric acid until blue litmus slowly turns red; their number is the bath's, not the recipe's"
	return []Recipe{
		{
			Name: "silver bath of 45 grains", Kind: Bath, System: US, Source: "Estabrooke1887",
			Parts: []Part{weigh("silver nitrate", 45, "gr"), fill("water").noting("distilled")},
			Makes: Amount{1, "fl oz"}, Note: "grains to the ounce of finished bath; for positives in cold the author goes to 50. " + acid,
			Cautions: []string{bathCaution}, Unsafe: "some old hands neutralised with ammonia and boiled the bath down: both can make fulminate",
		},
		{
			Name: "silver bath of 35 grains", Kind: Bath, System: Imperial, Source: "Rodger1857",
			Parts: []Part{weigh("silver nitrate", 35, "gr"), fill("water").noting("distilled")},
			Makes: Amount{1, "fl oz"}, Note: acid, Cautions: []string{bathCaution},
		},
		{
			Name: "iodized silver bath of 30 grains", Kind: Bath, System: Imperial, Source: "Dictionary1900",
			Parts: []Part{weigh("silver nitrate", 240, "gr"), weigh("potassium iodide", 1, "gr").noting("so that the bath does not rob the film"),
				fill("water").noting("distilled")},
			Makes: Amount{8, "fl oz"}, Note: "stand a night, then filter. " + acid, Cautions: []string{bathCaution},
		},
		{
			Name: "silver bath of 9 per cent", Kind: Bath, System: Metric, Source: "WetSheet00",
			Parts: []Part{weigh("silver nitrate", 90, "g"), fill("water").noting("distilled")},
			Makes: Amount{1, "l"}, Note: "iodize with a coated plate left in it for some hours, then filter. " + acid, Cautions: []string{bathCaution},
		},
	}
}

func developerRecipes() []Recipe {
	caution := "glacial acetic acid burns and its vapour takes fire: gloves, goggles, moving air"
	rinse := "rinse the plate free of it before any fixer; with cyanide its acid frees a deadly gas"
	return []Recipe{
		{
			Name: "positive developer, strong", Kind: Developer, System: US, Source: "Towler1864",
			Parts: []Part{weigh("ferrous sulphate", 3, "drachm"), weigh("water", 4, "fl oz"), weigh("acetic acid", 3, "fl dr"), weigh("alcohol", 2, "fl dr")},
			Note:  "less acid in cold, more in heat", Cautions: []string{caution, rinse},
		},
		{
			Name: "positive developer", Kind: Developer, System: US, Source: "Estabrooke1887",
			Parts: []Part{weigh("ferrous sulphate", 4, "oz"), weigh("water", 64, "fl oz"), weigh("acetic acid", 4, "fl oz"),
				weigh("tannin", 40, "gr").noting("dissolved in the alcohol, 10 grains to the ounce"), weigh("alcohol", 4, "fl oz")},
			Note: "used half old, half new, after filtering", Cautions: []string{caution, rinse},
		},
		{
			Name: "negative developer", Kind: Developer, System: US, Source: "Estabrooke1887",
			Parts: []Part{weigh("ferrous sulphate", 320, "gr"), weigh("water", 16, "fl oz"), weigh("acetic acid", 1, "fl oz")},
			Note:  "alcohol as the bath grows old", Cautions: []string{caution, rinse},
		},
		{
			Name: "double salt developer", Kind: Developer, System: Imperial, Source: "WetPlate00",
			Parts: []Part{weigh("ferrous ammonium sulphate", 150, "gr"), weigh("copper sulphate", 15, "gr"), weigh("acetic acid", 150, "minim"),
				weigh("alcohol", 1, "fl oz"), weigh("water", 9, "fl oz")},
			Note: "keeps better than plain iron", Cautions: []string{caution, rinse},
		},
		{
			Name: "mild developer", Kind: Developer, System: Imperial, Source: "Hunt1854",
			Parts: []Part{weigh("ferrous sulphate", 1, "oz"), weigh("acetic acid", 12, "minim"), weigh("water", 1, "pint")},
			Note:  "very little acid: for cold and for short exposures", Cautions: []string{caution, rinse},
		},
		{
			Name: "bright positive developer", Kind: Developer, System: Metric, Source: "from memory: usual in today's practice",
			Parts: []Part{weigh("ferrous sulphate", 15, "g"), weigh("potassium nitrate", 9.5, "g").noting("whitens the silver"),
				weigh("acetic acid", 15, "ml"), weigh("alcohol", 18, "ml"), weigh("water", 350, "ml")},
			Note: "acetic acid only: a nitrate with iron in strong acid gives off nitrous fumes", Cautions: []string{caution, rinse},
		},
	}
}

func fixerRecipes() []Recipe {
	return []Recipe{
		{
			Name: "hypo fixer", Kind: Fixer, System: US, Source: "Schriever1908",
			Parts:    []Part{weigh("hypo", 5, "oz"), weigh("water", 30, "fl oz")},
			Note:     "fix until the creamy look is gone, then as long again; wash long",
			Cautions: []string{"never with acid; used fixer holds silver and does not go down the drain before you know the local limit"},
		},
		{
			Name: "hypo fixer, strong", Kind: Fixer, System: Imperial, Source: "Hunt1854",
			Parts:    []Part{weigh("hypo", 4, "oz"), weigh("water", 1, "pint")},
			Cautions: []string{"never with acid; used fixer holds silver and does not go down the drain before you know the local limit"},
		},
		{
			Name: "cyanide fixer", Kind: Fixer, System: US, Source: "Schriever1908",
			Parts:    []Part{weigh("potassium cyanide", 1, "oz"), weigh("water", 30, "fl oz")},
			Note:     "off the shelf; hypo fixes too",
			Cautions: []string{cyanideCaution},
			Unsafe:   "the old books set cyanide beside acid developer and wash it down the sink",
		},
	}
}

func varnishRecipes() []Recipe {
	return []Recipe{
		{
			Name: "sandarac varnish", Kind: Varnish, System: Metric, Source: "SandaracNote07",
			Parts: []Part{weigh("sandarac", 32, "g"), weigh("alcohol", 220, "ml"), weigh("lavender oil", 28, "ml")},
			Note:  "pour on a warmed plate, drain, warm again until the lavender is gone", Cautions: []string{flameCaution},
			Unsafe: "a little chloroform is printed as optional: it is left out here",
		},
		{
			Name: "shellac varnish", Kind: Varnish, System: Metric, Source: "ShellacNote00",
			Parts: []Part{weigh("shellac", 12, "g").noting("dewaxed"), weigh("alcohol", 100, "ml").noting("100 to 110"),
				weigh("lavender oil", 5, "ml").noting("5 to 10")},
			Cautions: []string{flameCaution},
		},
		{
			Name: "shellac and sandarac varnish", Kind: Varnish, System: Metric, Source: "ShellacNote00",
			Parts:    []Part{weigh("shellac", 9, "g"), weigh("sandarac", 0.8, "g"), weigh("alcohol", 100, "ml"), weigh("lavender oil", 3, "ml")},
			Cautions: []string{flameCaution},
		},
		{
			Name: "water varnish", Kind: Varnish, System: Imperial, Source: "Wilkinson00",
			Parts: []Part{weigh("borax", 0.5, "oz"), weigh("water", 1, "quart").noting("boiling"), weigh("shellac", 1, "lb"), weigh("sugar", 0.5, "oz")},
			Note:  "flowed on the wet plate: no alcohol touches the collodion", Cautions: []string{"boiling water and borax: goggles, and a deep vessel"},
		},
	}
}
