package web

import (
	"encoding/json"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"platewright/internal/studio"
	"platewright/internal/web/screens/bench"
	"platewright/internal/web/shared"
	"platewright/measure"
	fit "platewright/optics/bench"
	"platewright/reckon"
)

// figureKind is how a figure on the bench is written.
type figureKind int

const (
	aLength       figureKind = iota // of a thing
	aPlace                          // on a rail or beside an axis: it may be 0 or lie on the other side
	aNumber                         // without a unit
	aNumberSigned                   // a number that may be below zero
	anAngle                         // in degrees
	aStop                           // an f-number, or the name of a stop of the lens
	someWords                       // a name
	oneOfAFew                       // a choice
	fewNumbers                      // f-numbers with spaces between
)

// figureField is one figure of a method: how it is asked for, and under which key the reckoning takes it.
// A key of "" is one that the method itself sees to.
type figureField struct {
	name, key   string
	kind        figureKind
	label, hint string
	fresh       float64         // what stands there before anything is written; 0 is nothing
	sure        bool            // how sure one reading is: folded away
	options     []shared.Option // of a choice
	optional    bool
	when        func(g *measuring) bool // nil: always
}

func (v figureField) shown(g *measuring) bool { return v.when == nil || v.when(g) }

// benchMethod is a way of measuring a lens: its texts, what is written down, and how that becomes a question.
type benchMethod struct {
	method                    studio.BenchMethod
	slug, name, title         string
	gives, needs, drawing     string
	plotTitle, rowsWord, hint string
	chief                     []fit.Name // the results it is made for, the first that is there
	set                       []figureField
	row                       []figureField
	list                      string // the key of the list of readings
	rowsLeast                 int
	way                       []benchStep
	start                     func(b onBench) map[string]string           // what stands on a fresh page beside what fields say
	adapt                     func(g *measuring, q map[string]any) string // completes the question; returns what is missing
	back                      func(q map[string]any, typed map[string]string)
}

// benchStep is one step of a method, with the fields that are written in there.
type benchStep struct {
	name, drawing string
	key           []bench.KeyLine
	do            []string
	caution       *shared.CautionData
	fields        []string
	rows          bool
	when          func(g *measuring) bool
}

// methodBySlug is the method of an address.
func methodBySlug(slug string) (benchMethod, bool) {
	i := slices.IndexFunc(benchMethods, func(m benchMethod) bool { return m.slug == slug })
	if i < 0 {
		return benchMethod{}, false
	}
	return benchMethods[i], true
}

// methodOf is the method a reading was made by.
func methodOf(method studio.BenchMethod) benchMethod {
	i := slices.IndexFunc(benchMethods, func(m benchMethod) bool { return m.method == method })
	if i < 0 {
		return benchMethod{method: method, name: string(method), slug: "-"}
	}
	return benchMethods[i]
}

// columns are the figures of a row, as they are shown now.
func (m benchMethod) columns(g *measuring) []bench.Column {
	var all []bench.Column
	for _, v := range m.row {
		if v.shown(g) {
			all = append(all, bench.Column{Name: v.name, Word: v.label, Unit: g.unitOf(v.kind), Options: v.options, Optional: v.optional})
		}
	}
	return all
}

// unitOf is what a bare number means.
func (g *measuring) unitOf(kind figureKind) string {
	switch {
	case kind == anAngle:
		return "°"
	case kind != aLength && kind != aPlace:
		return ""
	case g.sys != measure.Metric:
		return "in"
	}
	return "mm"
}

// begin fills a fresh page with what is known already.
func (g *measuring) begin() {
	if g.checked("asked") || g.checked("begun") {
		return
	}
	for _, v := range g.method.set {
		if v.fresh != 0 && g.text(v.name) == "" {
			g.Typed.Set(v.name, g.typedFigure(v.kind, v.fresh))
		}
	}
	if g.method.start != nil {
		for name, text := range g.method.start(g.onBench) {
			if g.text(name) == "" {
				g.Typed.Set(name, text)
			}
		}
	}
}

// ask reads the form and makes the question of it; it returns what is missing where there is not enough.
func (g *measuring) ask() (map[string]any, string) {
	m := g.method
	q := map[string]any{"kind": string(m.method)}
	missing := ""
	for _, v := range m.set {
		if !v.shown(g) {
			continue
		}
		if value, ok := g.figure(v, v.name); ok {
			if v.key != "" {
				q[v.key] = value
			}
		} else if !v.optional && missing == "" && g.Problem(v.name) == "" {
			missing = "Still to write: " + lowerFirst(v.label) + "."
		}
	}
	readings := []any{}
	for row := 1; row <= g.rows; row++ {
		reading, complete := g.reading(row)
		if complete {
			readings = append(readings, reading)
			g.rowOf = append(g.rowOf, row)
		}
	}
	q[m.list] = readings
	if missing == "" && len(readings) == 0 {
		missing = "Write down a reading, and what it says appears here."
	}
	if m.adapt != nil && missing == "" {
		missing = m.adapt(g, q)
	}
	if !g.OK() {
		missing = "What is marked cannot be read."
	}
	if missing != "" {
		return nil, missing
	}
	return map[string]any{"method": q}, ""
}

// reading reads a row. One that is written in half is no fault before it is kept.
func (g *measuring) reading(row int) (map[string]any, bool) {
	reading := map[string]any{}
	complete := g.filled(row)
	for _, v := range g.method.row {
		if !v.shown(g) {
			continue
		}
		name := v.name + "_" + strconv.Itoa(row)
		value, ok := g.figure(v, name)
		switch {
		case ok && v.key != "":
			reading[v.key] = value
		case !ok && !v.optional:
			if g.strict && g.filled(row) {
				g.refuse(name, "is empty; write it, or clear the row")
			}
			complete = false
		}
	}
	return reading, complete
}

// figure reads one figure under the form's name for it.
func (g *measuring) figure(v figureField, name string) (any, bool) {
	if g.text(name) == "" && v.kind != oneOfAFew {
		return nil, false
	}
	var value any
	switch v.kind {
	case aLength:
		value = float64(g.length(name))
	case aPlace:
		value = float64(g.signedLength(name))
	case aNumber:
		value = read(g.form, name, parseMagnitude, func(float64) string { return "" })
	case aNumberSigned:
		value = read(g.form, name, parseSigned, func(float64) string { return "" })
	case anAngle:
		value = g.degrees(name).Degrees()
	case aStop:
		value = float64(read(g.form, name, g.parseStop, func(n measure.FNumber) string { return n.String() }))
	case fewNumbers:
		value = read(g.form, name, parseFNumbers, func(all []float64) string {
			var words []string
			for _, n := range all {
				words = append(words, measure.FNumber(n).String())
			}
			return strings.Join(words, ", ")
		})
	case oneOfAFew:
		var allowed []string
		for _, o := range v.options {
			allowed = append(allowed, o.Value)
		}
		if g.text(name) == "" {
			g.Typed.Set(name, allowed[0])
		}
		value = g.oneOf(name, allowed...)
	default:
		value = g.text(name)
	}
	return value, g.Problem(name) == ""
}

// parseStop reads an f-number, or a stop of the lens by its name.
func (g *measuring) parseStop(text string) (measure.FNumber, error) {
	for _, st := range g.known.Stops {
		if strings.EqualFold(st.Name, text) {
			return st.Measured, nil
		}
	}
	return measure.ParseFNumber(text)
}

// parseMagnitude reads a number, or a ratio as 1/3 or 1:3.
func parseMagnitude(text string) (float64, error) {
	if strings.ContainsAny(text, "/:") {
		return parseMagnification(text)
	}
	return measure.ParseNumber(text)
}

// parseFNumbers reads f-numbers with spaces, commas, semicolons or lines between: "4.5,5.6,8,11", "f/4,5 f/5,6".
// A comma parts two of them unless it can only be a decimal comma: the one comma of a word, a single figure after
// it, and no decimal point anywhere.
func parseFNumbers(text string) ([]float64, error) {
	var all []float64
	for _, word := range strings.FieldsFunc(text, func(c rune) bool { return strings.ContainsRune("; \n\t", c) }) {
		parts := strings.FieldsFunc(word, func(c rune) bool { return c == ',' })
		if len(parts) == 2 && !strings.Contains(text, ".") && decimalPlace.MatchString(parts[1]) {
			parts = []string{parts[0] + "." + parts[1]}
		}
		for _, part := range parts {
			n, err := measure.ParseFNumber(part)
			if err != nil {
				return nil, err
			}
			all = append(all, float64(n))
		}
	}
	return all, nil
}

var decimalPlace = regexp.MustCompile(`^[0-9]$`)

var placeInList = regexp.MustCompile(`^method\.(\w+)\[(\d+)\]\.?(\w*)$`)

// refusedField lays what the reckoning refused beside the line it is about.
func (g *measuring) refusedField(e *reckon.FieldError) {
	says := g.method.plain(e.Message, e.Field)
	name := strings.TrimPrefix(e.Field, "method.")
	if at := placeInList.FindStringSubmatch(e.Field); at != nil {
		if i, err := strconv.Atoi(at[2]); err == nil && i < len(g.rowOf) {
			for _, v := range g.method.row {
				if v.key == at[3] && v.shown(g) {
					g.refuse(v.name+"_"+strconv.Itoa(g.rowOf[i]), "%s", says)
					return
				}
			}
			says = fmt.Sprintf("Row %d: %s", g.rowOf[i], says)
		}
	}
	for _, v := range g.method.set {
		if v.key == name && v.shown(g) {
			g.refuse(v.name, "%s", says)
			return
		}
	}
	g.refused = append(g.refused, upperFirst(says))
}

var keyPattern = regexp.MustCompile(`\b(method\.)?(\w+\[\d+\]\.)?[a-z0-9]+(_[a-z0-9]+)+(_mm|_deg)?\b`)

// plain puts the words of the form in the place of a reckoning's keys.
func (m benchMethod) plain(text, field string) string {
	for _, lead := range []string{field, strings.TrimPrefix(field, "method.")} {
		text = strings.TrimPrefix(strings.TrimPrefix(text, lead+": "), lead+" ")
	}
	words := map[string]string{m.list: "the readings"}
	for _, v := range slices.Concat(m.set, m.row) {
		if v.key != "" {
			words[v.key] = lowerFirst(v.label)
		}
	}
	for name, word := range resultWords {
		words[string(name)] = lowerFirst(word)
	}
	return keyPattern.ReplaceAllStringFunc(text, func(key string) string {
		last := key[strings.LastIndex(key, ".")+1:]
		if word := words[last]; word != "" {
			return word
		}
		return strings.ReplaceAll(strings.TrimSuffix(last, "_mm"), "_", " ")
	})
}

func lowerFirst(words string) string {
	if words == "" {
		return ""
	}
	return strings.ToLower(words[:1]) + words[1:]
}

// steps are the method's steps with the lines to write on.
func (g *measuring) steps() []bench.Step {
	var all []bench.Step
	for _, s := range g.method.way {
		if s.when != nil && !s.when(g) {
			continue
		}
		step := bench.Step{Name: s.name, Drawing: s.drawing, Key: s.key, Do: s.do, Caution: s.caution}
		for _, name := range s.fields {
			i := slices.IndexFunc(g.method.set, func(v figureField) bool { return v.name == name })
			v := g.method.set[i]
			switch {
			case !v.shown(g):
			case v.kind == oneOfAFew:
				step.Choices = append(step.Choices, shared.ChoiceData{Name: v.name, Label: v.label, Options: v.options, Hint: v.hint})
			case v.sure:
				step.Sure = append(step.Sure, shared.FieldData{Name: v.name, Label: v.label, Hint: v.hint, Unit: g.unitOf(v.kind)})
			default:
				step.Fields = append(step.Fields, shared.FieldData{Name: v.name, Label: v.label, Hint: v.hint, Unit: g.unitOf(v.kind)})
			}
		}
		if s.rows {
			step.Rows = &bench.Rows{Word: g.method.rowsWord, Hint: g.method.hint, Columns: g.method.columns(g), Count: g.rows}
		}
		all = append(all, step)
	}
	return all
}

// again lays out a kept reading: the form it was written in, what it found, and what was read off.
func (b onBench) again(r studio.LensReading) (*measuring, shared.TableData, error) {
	m := methodOf(r.Method)
	var question struct {
		Method map[string]any `json:"method"`
	}
	if err := json.Unmarshal([]byte(r.Question), &question); err != nil {
		return nil, shared.TableData{}, fmt.Errorf("reading %s: %w", r.ID, err)
	}
	answer, err := fit.ReadFound(r.Answer)
	if err != nil {
		return nil, shared.TableData{}, fmt.Errorf("reading %s: %w", r.ID, err)
	}
	typed := map[string]string{}
	if m.back != nil {
		m.back(question.Method, typed)
	}
	for _, v := range m.set {
		if value, ok := question.Method[v.key]; ok && v.key != "" && typed[v.name] == "" {
			typed[v.name] = b.typedFigure(v.kind, value)
		}
	}
	readings, _ := question.Method[m.list].([]any)
	given := shared.TableData{Caption: "What was read off", Columns: []shared.Column{{Word: "Reading"}}}
	var shown []figureField
	for _, v := range m.row {
		if v.key != "" && slices.ContainsFunc(readings, func(each any) bool { row, _ := each.(map[string]any); return row[v.key] != nil }) {
			shown = append(shown, v)
			given.Columns = append(given.Columns, shared.Column{Word: v.label, Figures: v.kind != oneOfAFew && v.kind != someWords})
		}
	}
	for i, each := range readings {
		row, _ := each.(map[string]any)
		cells := []shared.Cell{{Text: strconv.Itoa(i + 1)}}
		for _, v := range shown {
			text := ""
			if row[v.key] != nil {
				text = b.typedFigure(v.kind, row[v.key])
				typed[v.name+"_"+strconv.Itoa(i+1)] = text
			}
			cells = append(cells, shared.Cell{Text: v.shownText(text, b.units)})
		}
		given.Rows = append(given.Rows, shared.Row{Cells: cells})
	}
	typed["rows"], typed["begun"] = strconv.Itoa(len(readings)), "yes"
	g := &measuring{onBench: b, form: &form{Form: shared.NewForm(typed), sys: b.units, loc: b.place}, method: m, rows: len(readings), answer: &answer}
	return g, given, nil
}

// typedFigure is a figure as one would type it.
func (b onBench) typedFigure(kind figureKind, value any) string {
	switch v := value.(type) {
	case float64:
		switch {
		case (kind == aLength || kind == aPlace) && v != 0:
			if v < 0 {
				return "-" + typedLength(measure.Length(-v), b.units)
			}
			return typedLength(measure.Length(v), b.units)
		case kind == aStop:
			return measure.FNumber(v).String()
		}
		return figureOf(v, 9)
	case []any:
		var words []string
		for _, each := range v {
			words = append(words, fmt.Sprint("f/", each))
		}
		return strings.Join(words, " ")
	case string:
		return v
	}
	return ""
}

// shownText is a typed figure in a table, with its unit.
func (v figureField) shownText(text string, sys measure.System) string {
	switch {
	case text == "":
		return ""
	case v.kind == oneOfAFew:
		for _, o := range v.options {
			if o.Value == text {
				return o.Word
			}
		}
	case (v.kind == aLength || v.kind == aPlace) && strings.Trim(text, "-0123456789. /") == "":
		if sys != measure.Metric {
			return minus(text) + "\u2009in"
		}
		return minus(text) + "\u2009mm"
	case v.kind == anAngle:
		return minus(text) + "°"
	}
	return minus(text)
}

// rounded is a value to a step, without the dust of its division.
func rounded(v, step float64) float64 {
	return math.Round(math.Round(v/step)*step*1e9) / 1e9
}
