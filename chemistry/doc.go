// Package chemistry scales the trade's recipes and says what may not be mixed.
//
// It knows the substances of the dark room ([Substances]), a shelf of recipes with the source and
// the caution of each ([Recipes]), and the old weights and measures they are printed in. [Mix]
// takes a recipe to a wanted volume: exact grams and millilitres beside trade units, strengths,
// halide, order of addition, hazards, and a label.
//
// The model is arithmetic on what the author printed. Liquids are added as if they kept their
// volumes and solids as if they took up none, unless the recipe states what it makes; the
// contraction of alcohol with water is not reckoned. Silver nitrate in water is the exception:
// its density is known ([SilverAt]), so its water is reckoned by weight. Strength is always grams
// in 100 mL of finished solution at 20 °C (% w/v).
//
// The label of a mixture is the union of what its parts carry: a cautious approximation that
// warns too much rather than too little, and no classification in law. Where a substance's
// classification is not held here, that is said, and never read as harmless. Classifications
// marked from memory must be read again in the supplier's safety sheet before a bottle is labelled.
//
// Refused, with the reason: parts that are dangerous together ([Refusal]), cyanide unless it is
// asked for by name, a unit that could be two measures where the author's system is not known, a
// solid given by volume, and a substance this package has no record of.
package chemistry
