package bench

import (
	"context"
	"strconv"
	"strings"

	"github.com/a-h/templ"

	"platewright/internal/web/shared"
)

// rowCount is how many rows the page shows, for the form to say so when it asks again.
func rowCount(steps []Step) string {
	for _, s := range steps {
		if s.Rows != nil {
			return strconv.Itoa(s.Rows.Count)
		}
	}
	return "0"
}

// live is a field whose reading back and whose fault stand apart from it, so that they can be sent again
// without it.
func live(f shared.Form, d shared.FieldData) shared.FieldData {
	d.Value = f.Value(d.Name)
	more := templ.Attributes{"aria-describedby": strings.TrimSpace("said-" + d.Name + " " + hintID(d))}
	for key, value := range d.More {
		more[key] = value
	}
	d.More = more
	return d
}

func hintID(d shared.FieldData) string {
	if d.Hint == "" {
		return ""
	}
	return "f-" + d.Name + "-hint"
}

// keys keeps a phone's lit keys away in red light.
func keys(ctx context.Context) templ.Attributes {
	if shared.LightOf(ctx) == shared.Red {
		return templ.Attributes{"inputmode": "none"}
	}
	return nil
}

// open shows a folded part that has a fault in it.
func open(f shared.Form, fields []shared.FieldData) templ.Attributes {
	for _, d := range fields {
		if f.Problem(d.Name) != "" {
			return templ.Attributes{"open": true}
		}
	}
	return nil
}

func oob(again bool) templ.Attributes {
	if again {
		return templ.Attributes{"hx-swap-oob": "true"}
	}
	return nil
}

func disagreeWords(n int) string {
	if n == 1 {
		return "one reading disagrees"
	}
	return strconv.Itoa(n) + " readings disagree"
}

func withdrawnWords(d ReadingPage) string {
	words := "This reading is " + d.WithdrawnOn + " and counts no more."
	if d.WithdrawnWhy != "" {
		words += " " + strings.TrimSuffix(d.WithdrawnWhy, ".") + "."
	}
	return words
}

// quiet is what stands in the place of an answer that is not there yet.
func (d Found) quiet() string {
	if len(d.Refused) > 0 {
		return strings.Join(d.Refused, " ")
	}
	return d.Waiting
}

// caption says what a plot shows.
func (d Plot) caption() string {
	words := "Across: " + d.Across + ". Up: " + d.Up + "."
	if d.Departs != "" {
		words += " Below: how far each reading departs from the line, in " + d.Departs + "."
	}
	return strings.TrimSpace(words + " " + d.keyWords())
}

// keyWords say what the marks and broken lines of a plot are, where there are any.
func (d Plot) keyWords() string {
	var words []string
	second, off := false, false
	for _, m := range d.Marks {
		second, off = second || m.Second, off || m.Disagrees
	}
	for _, m := range d.More {
		lead := "Broken line: "
		if second {
			lead = "Broken line and rings: "
		}
		words = append(words, lead+m.Word+".")
	}
	if off {
		words = append(words, "Open square: a reading that disagrees.")
	}
	return strings.Join(words, " ")
}
