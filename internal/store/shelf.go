package store

import "platewright/internal/studio"

// Recipes are the studio's recipes, by name.
func (r records) Recipes() studio.Book[studio.Recipe] {
	return table[studio.Recipe]{
		records: r,
		kind:    "recipe",
		id:      func(p *studio.Recipe) *studio.ID { return &p.ID },
		stamp:   func(p *studio.Recipe) *studio.Stamp { return &p.Stamp },
		columns: func(p *studio.Recipe) []column {
			return []column{
				{name: "body", value: written(&p.Body)},
				{name: "own", value: flag{&p.Own}},
				{name: "retired", value: flag{&p.Retired}},
			}
		},
		compare: func(a, b *studio.Recipe) int { return byName(a.Body.Name, b.Body.Name) },
	}
}

// Batches are all batches, on the shelf or gone, by name.
func (r records) Batches() studio.Book[studio.Batch] {
	return table[studio.Batch]{
		records: r,
		kind:    "batch",
		id:      func(b *studio.Batch) *studio.ID { return &b.ID },
		stamp:   func(b *studio.Batch) *studio.Stamp { return &b.Stamp },
		columns: func(b *studio.Batch) []column {
			return []column{
				{name: "name", value: words(&b.Name)},
				{name: "recipe", value: words(&b.Recipe)},
				{name: "recipe_name", value: words(&b.RecipeName)},
				{name: "kind", value: words(&b.Kind)},
				{name: "mixed_us", value: instant{&b.Mixed}},
				{name: "volume_ml", value: amount(&b.Volume)},
				{name: "note", value: words(&b.Note)},
				{name: "retired", value: flag{&b.Retired}},
			}
		},
		compare: func(a, b *studio.Batch) int { return byName(a.Name, b.Name) },
	}
}
