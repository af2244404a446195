package web

import (
	"context"
	"net/http"

	"platewright/internal/studio"
	"platewright/internal/web/screens/conflict"
	"platewright/internal/web/screens/equipment"
	"platewright/internal/web/shared"
	"platewright/measure"
)

// checked is a record that tells what is wrong with it.
type checked interface{ Check() error }

// recordKind is one kind of record that is kept by a plain form: how it is found and written, how
// it is typed, and what its screens say.
type recordKind[T checked] struct {
	one     string // "lens"
	path    string // "/floor/lenses"
	home    string // where the list is; path when empty
	room    shared.Room
	list    string // the way back: "All lenses"
	fields  []field
	more    string            // what the folded lines are: "More about this lens"
	names   map[string]string // the studio's field names to the form's
	find    func(context.Context, studio.ID) (T, error)
	add     func(context.Context, T) (T, error)
	change  func(context.Context, T) (T, error)
	version func(*T) *int
	name    func(T) string
	lead    func(T) string // may be nil
	typed   func(T, measure.System) map[string]string
	read    func(*form, T) T
	fresh   func(*http.Request) map[string]string                // what a new form shows; may be nil
	options func(*http.Request, string) ([]shared.Option, error) // of a choice without fixed ones; may be nil
	draw    func(T, measure.System) equipment.Stops              // may be nil
	aside   func(shared.Form, *T) equipment.Way                  // what belongs to the record; may be nil
	beware  func(*T) []shared.CautionData                        // beside the form; may be nil
}

// field is one line of the form.
type field struct {
	shared.FieldData
	metric, imperial string // what a bare number means
	wide             bool
	choice           []shared.Option // a choice among a few instead of a line to write on
	listed           bool            // the choice stands line under line
	more             bool            // stands folded away
	group            string          // folded with the others of that name, which stands over them
	chosen           bool            // a choice whose options are asked for
	known            bool            // only of a record that is stored
	once             bool            // only of a new record
}

// label is what stands at the field, with its group where it has one.
func (f field) label() string {
	if f.group == "" {
		return f.Label
	}
	return f.group + ", " + lowerFirst(f.Label)
}

// retiredField is the choice whether a thing is still in use.
func retiredField() field {
	return field{FieldData: shared.FieldData{Name: "retired", Label: "Use"}, known: true, wide: true, choice: []shared.Option{
		{Value: "no", Word: "in use"}, {Value: "yes", Word: "retired", Note: "kept for its plates, offered no more"}}}
}

func yesNo(yes bool) string {
	if yes {
		return "yes"
	}
	return "no"
}

// retired reads the choice of [retiredField]; a form without it leaves things as they are.
func (f *form) retired(was bool) bool {
	if f.text("retired") == "" {
		return was
	}
	return f.oneOf("retired", "yes", "no") == "yes"
}

// handleRecords registers the forms of one kind: new and known.
func handleRecords[T checked](s *Server, k recordKind[T]) {
	if k.home == "" {
		k.home = k.path
	}
	s.handle("GET "+k.path+"/new", func(w http.ResponseWriter, r *http.Request) error {
		typed := map[string]string{}
		if k.fresh != nil {
			typed = k.fresh(r)
		}
		return showRecord(s, w, r, http.StatusOK, k, nil, "", shared.NewForm(typed))
	})
	s.handle("POST "+k.path+"/new", func(w http.ResponseWriter, r *http.Request) error {
		f, err := s.readForm(r)
		if err != nil {
			return err
		}
		var none T
		record := k.read(f, none)
		if err := f.take(record.Check(), k.names); err != nil {
			return err
		}
		if f.OK() {
			_, err := k.add(r.Context(), record)
			if err := f.take(err, k.names); err != nil {
				return err
			}
		}
		if !f.OK() {
			return showRecord(s, w, r, http.StatusUnprocessableEntity, k, nil, "", f.Form)
		}
		http.Redirect(w, r, k.home, http.StatusSeeOther)
		return nil
	})
	s.handle("GET "+k.path+"/{id}", func(w http.ResponseWriter, r *http.Request) error {
		id := r.PathValue("id")
		record, err := k.find(r.Context(), studio.ID(id))
		if err != nil {
			return err
		}
		sys, err := s.system(r)
		if err != nil {
			return err
		}
		return showRecord(s, w, r, http.StatusOK, k, &record, id, shared.NewForm(k.typed(record, sys)))
	})
	s.handle("POST "+k.path+"/{id}", func(w http.ResponseWriter, r *http.Request) error {
		id := r.PathValue("id")
		stored, err := k.find(r.Context(), studio.ID(id))
		if err != nil {
			return err
		}
		f, err := s.readForm(r)
		if err != nil {
			return err
		}
		changed := k.read(f, stored)
		*k.version(&changed) = f.version()
		if err := f.take(changed.Check(), k.names); err != nil {
			return err
		}
		if f.OK() {
			_, err := k.change(r.Context(), changed)
			if yours, theirs, ok := conflicting[T](err); ok {
				here := k.path + "/" + id
				page := shared.PageData{Room: k.room, Title: "A " + k.one + " in two forms"}
				return s.showConflict(w, r, page, conflict.Data{What: k.one, Action: here, Back: here}, k.lines(), k.typed(yours, f.sys), k.typed(theirs, f.sys))
			}
			if err := f.take(err, k.names); err != nil {
				return err
			}
		}
		if !f.OK() {
			return showRecord(s, w, r, http.StatusUnprocessableEntity, k, &stored, id, f.Form)
		}
		http.Redirect(w, r, k.home, http.StatusSeeOther)
		return nil
	})
}

// lines are the form's fields, for a conflict.
func (k recordKind[T]) lines() []conflict.Field {
	lines := []conflict.Field{{Name: "version"}}
	for _, f := range k.fields {
		if f.once {
			continue
		}
		line := conflict.Field{Name: f.Name, Label: f.label()}
		if f.choice != nil {
			line.Words = map[string]string{}
			for _, o := range f.choice {
				line.Words[o.Value] = o.Word
			}
		}
		lines = append(lines, line)
	}
	return lines
}

// showRecord shows the form of a record; stored is nil for a new one.
func showRecord[T checked](s *Server, w http.ResponseWriter, r *http.Request, status int, k recordKind[T], stored *T, id string, f shared.Form) error {
	sys, err := s.system(r)
	if err != nil {
		return err
	}
	d := equipment.Record{Form: f, Action: k.path + "/new", Back: k.home, BackWord: k.list, Act: "Write it down", More: k.more}
	page := shared.PageData{Room: k.room, Title: "A new " + k.one, Styles: []string{"equipment.css"}}
	if stored != nil {
		d.Action, d.Act = k.path+"/"+id, "Write the change"
		page.Title = k.name(*stored)
		if k.lead != nil {
			page.Lead = k.lead(*stored)
		}
		if k.draw != nil {
			d.Stops = k.draw(*stored, sys)
		}
	}
	if k.aside != nil {
		d.Aside = k.aside(f, stored)
	}
	if k.beware != nil {
		d.Cautions = k.beware(stored)
	}
	d.Labels = map[string]string{}
	for _, each := range k.fields {
		d.Labels[each.Name] = each.label()
		if each.known && stored == nil || each.once && stored != nil {
			continue
		}
		line := equipment.Line{Wide: each.wide, More: each.more, Group: each.group}
		switch {
		case each.chosen:
			options, err := k.options(r, each.Name)
			if err != nil {
				return err
			}
			line.Choice = &shared.ChoiceData{Name: each.Name, Label: each.Label, Options: options, Hint: each.Hint, List: true}
		case each.choice != nil:
			line.Choice = &shared.ChoiceData{Name: each.Name, Label: each.Label, Options: each.choice, Hint: each.Hint, List: each.listed}
		default:
			data := each.FieldData
			data.Unit = each.metric
			if sys != measure.Metric {
				data.Unit = each.imperial
			}
			line.Field = &data
		}
		d.Lines = append(d.Lines, line)
	}
	return s.showStatus(w, r, status, page, equipment.RecordScreen(d))
}
