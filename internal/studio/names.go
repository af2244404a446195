package studio

import (
	"context"
	"strings"
)

// thing is what a rule about names looks at in a piece of equipment.
type thing struct {
	id      ID
	name    string
	retired bool
}

func (l Lens) thing() thing   { return thing{l.ID, l.Name, l.Retired} }
func (c Camera) thing() thing { return thing{c.ID, c.Name, c.Retired} }
func (h Holder) thing() thing { return thing{h.ID, h.Name, h.Retired} }
func (w Window) thing() thing { return thing{w.ID, w.Name, w.Retired} }
func (r Rig) thing() thing    { return thing{r.ID, r.Name, r.Retired} }

func (l LightSpectrum) thing() thing { return thing{l.ID, l.Name, l.Retired} }

// named is a piece of equipment with a name.
type named interface{ thing() thing }

// nameFree refuses a name that another of the kind in use has: the floor would offer two alike. One
// that has its name already keeps it, so that what was written down before can be changed otherwise.
func nameFree[T named](ctx context.Context, kind string, book Book[T], record T) error {
	r := record.thing()
	if r.retired {
		return nil
	}
	all, err := book.All(ctx)
	if err != nil {
		return err
	}
	taken := false
	for _, other := range all {
		o := other.thing()
		switch {
		case o.retired || !strings.EqualFold(o.name, r.name):
		case o.id == r.id:
			return nil
		default:
			taken = true
		}
	}
	if taken {
		return &Invalid{Problems: []Problem{{Field: "name", Sentence: "a " + kind + " in use is called " + r.name + " already",
			Hint: "give this one another name, or retire that one"}}}
	}
	return nil
}

// nameKept is nameFree for a record that is changed; one that is not there is not found.
func nameKept[T named](ctx context.Context, kind string, book Book[T], record T) error {
	if _, err := book.Find(ctx, record.thing().id); err != nil {
		return err
	}
	return nameFree(ctx, kind, book, record)
}
