package web

import (
	"strings"

	"platewright/chemistry"
	"platewright/internal/studio"
	"platewright/internal/web/screens/shelf"
)

// sourceText says where a recipe comes from.
func sourceText(recipe studio.Recipe) string {
	source := recipe.Body.Source
	from := strings.TrimPrefix(originOf("", source).Work, "from ")
	switch {
	case source == "" && recipe.Own:
		return "the studio's own"
	case source == "":
		return "no source given"
	case recipe.Own:
		return "the studio's own, from " + from
	default:
		return "from " + from
	}
}

// originOf says what a source of a recipe, or of a line of it, stands for.
func originOf(of, source string) shelf.Origin {
	c, ok := chemistry.CitationOf(source)
	if !ok {
		return shelf.Origin{Of: of, Work: source}
	}
	return shelf.Origin{Of: of, Work: c.Work, Key: source}
}

// origins say where a recipe and those of its lines with a source of their own come from.
func origins(body chemistry.Recipe) []shelf.Origin {
	var all []shelf.Origin
	if body.Source != "" {
		all = append(all, originOf("the recipe", body.Source))
	}
	for _, p := range body.Parts {
		if p.Source != "" && p.Source != body.Source {
			all = append(all, originOf(p.Substance, p.Source))
		}
	}
	return all
}
