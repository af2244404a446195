// Package studio is the business of one wet-plate studio: its sitters and sittings, its lenses,
// cameras, holders and recipes, the batches on its shelf, and the story of every plate.
//
// A plate's story is an append-only list of events. What is known of a plate - the step it is at,
// its verdict, its marks and copies - is folded from that list by [Fold]; a correction is one more
// event, and what it corrects stays readable. Plate numbers run through the year, are never
// reused and never changed.
//
// The package holds the rules and none of the means: records come through the [Records] port, the
// time and new ids are handed in. It refuses what breaks a rule with an [*Invalid] that names every
// field, an edit that would overwrite a newer one with a [*Conflict] that carries both, and a step
// recorded twice with a [*AlreadyDone].
//
// A search finds a plate by its sitter's present name, and by the names its lens and bottles bore when
// the plate last changed.
package studio
