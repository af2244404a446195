// Package demo makes an invented studio with three months of plates behind it and does the first
// sitting of the day the way a user does.
//
// The scenario - place, people, lenses, bottles - is a table in scenario.go. What happened is drawn
// from a seeded model, told in the open: every batch of collodion has a true speed and loses some
// with age, every light does more or less to the plate than the meter says, a warm bath gains and a
// cold one loses, each plate scatters by about a third of a stop, and the operator, who knows none of
// this, corrects by the word of the last plate. Faults, notes, slips of the finger and what becomes
// of a plate follow from that. The same seed and the same day give the same studio.
//
// The times and rates are made up to look like common practice, no source; the history is an
// example to try the product on, never evidence about collodion. Nothing here decides a rule of the
// trade or writes a record by a way of its own: records go through [studio.Studio], pictures
// through the [Filer] that the Copy stand uses, the day's sitting through [Hands].
package demo
