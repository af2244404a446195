package studio

import "platewright/chemistry"

// Recipe is a recipe as the studio keeps it: one that came with the studio or one of its own.
type Recipe struct {
	ID      ID
	Body    chemistry.Recipe
	Own     bool // the studio's own, rather than one that came with it
	Retired bool
	Stamp
}

func (r Recipe) check() error {
	var ps problems
	ps.name("name", r.Body.Name)
	if err := r.Body.Validate(); err != nil {
		ps.add("recipe", "%v", err)
	}
	return ps.err()
}
