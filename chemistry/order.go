package chemistry

import "slices"

// Step is one place in the order of mixing.
type Step struct {
	Substance string `json:"substance"`
	Why       string `json:"why"`
}

// order says what goes in first. The rules are common practice, no source: salts into the liquid
// that dissolves them, acid into water and never water into acid, ether last.
func order(kind Kind, parts []Substance) []Step {
	type placed struct {
		step Step
		rank int
	}
	var list []placed
	for _, s := range parts {
		rank, why := rankOf(kind, s, mixture{parts: parts})
		list = append(list, placed{Step{s.Name, why}, rank})
	}
	slices.SortStableFunc(list, func(a, b placed) int { return a.rank - b.rank })
	steps := make([]Step, len(list))
	for i, p := range list {
		steps[i] = p.step
	}
	return steps
}

// rankOf places one substance: the lower, the sooner.
func rankOf(kind Kind, s Substance, all mixture) (rank int, why string) {
	switch kind {
	case Collodion:
		switch {
		case s.is(water):
			return 10, "the little water first, to take up the salts that alcohol hardly dissolves"
		case s.is(potassiumSalt) && all.has(water):
			return 20, "into the water, warmed: potassium salts hardly dissolve in alcohol"
		case s.is(plain):
			return 60, "into the salted alcohol, with shaking: the film-former"
		case s.is(alcohol):
			return 30, "before the cotton: the salts dissolve in it, and it wets the cotton"
		case s.is(bromideSalt):
			return 40, "bromides before iodides: they dissolve more slowly"
		case s.is(halide):
			return 45, "once the bromides are dissolved"
		case s.is(cotton):
			return 50, "into the alcohol, pulled apart and wetted through, before any ether"
		case s.is(ether):
			return 80, "last, away from every flame, switch and heater: it boils off soonest, and it dissolves the wetted cotton"
		}
	case Varnish:
		switch {
		case s.is(alcohol):
			return 10, "first: the resin dissolves in it, in a warm water bath at most, never over a flame"
		case s.is(water):
			return 10, "first, hot"
		case s.is(alkali):
			return 20, "into the hot water, so that the shellac dissolves"
		case s.is(resin):
			return 30, "crushed, with shaking, over days; then filter"
		case s.is(oil):
			return 50, "after filtering, so that the filter does not keep it"
		}
	}
	switch {
	case s.is(water):
		return 10, "first, about three quarters of it; the rest fills up at the end"
	case s.is(silver):
		return 20, "into distilled water, gloved and goggled"
	case s.is(iron):
		return 20, "into the water, until it is all dissolved"
	case s.is(hypo):
		return 20, "into lukewarm water: it cools as it dissolves"
	case s.is(cyanide):
		return 20, "into cold water, with no acid near"
	case s.is(halide):
		return 30, "dissolved in a little water; in a silver bath it clouds, and is filtered off next day"
	case s.is(acid):
		return 60, "into the water, slowly; never water into acid"
	case s.is(alcohol):
		return 70, "after the acid, when the liquid is cool"
	case s.is(organicSolid) && all.has(alcohol) && !s.is(resin) && s.Name == "tannin":
		return 65, "dissolved in the alcohol, and added with it"
	case s.is(ether):
		return 80, "last, away from every flame, switch and heater"
	case s.is(oil):
		return 75, "last but for what is volatile"
	}
	return 40, "dissolved before any acid or alcohol goes in"
}
