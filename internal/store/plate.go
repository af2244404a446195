package store

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"platewright/internal/studio"
)

func (r records) plates() table[studio.Plate] {
	return table[studio.Plate]{
		records: r,
		kind:    "plate",
		id:      func(p *studio.Plate) *studio.ID { return &p.ID },
		stamp:   func(p *studio.Plate) *studio.Stamp { return &p.Stamp },
		columns: func(p *studio.Plate) []column {
			n, l := &p.Number, &p.Plan
			return append([]column{
				{name: "year", value: count(&n.Year), fixed: true},
				{name: "serial", value: count(&n.Serial), fixed: true},
				{name: "sitting", value: link{&l.Sitting}},
				{name: "support", value: words(&l.Support)},
				{name: "lens", value: link{&l.Lens}},
				{name: "stop_name", value: words(&l.Stop.Name)},
				{name: "stop_f_number", value: amount(&l.Stop.FNumber)},
				{name: "camera", value: link{&l.Camera}},
				{name: "holder", value: link{&l.Holder}},
				{name: "distance_mm", value: amount(&l.Distance)},
				{name: "magnification", value: amount(&l.Magnification)},
				{name: "extension_mm", value: amount(&l.Extension)},
				{name: "depth_mm", value: amount(&l.Depth)},
				{name: "blur_limit_mm", value: amount(&l.BlurLimit)},
				{name: "exposure_ns", value: count(&l.Exposure)},
				{name: "light", value: words(&l.Light)},
				{name: "collodion", value: link{&l.Collodion}},
				{name: "bath", value: link{&l.Bath}},
				{name: "developer", value: link{&l.Developer}},
				{name: "fixer", value: link{&l.Fixer}},
				{name: "varnish", value: link{&l.Varnish}},
				{name: "note", value: words(&l.Note)},
				{name: "setting", value: written((*setting)(&l.Setting))},
				{name: "lighting", value: written((*lighting)(&l.Lighting))},
			}, sizeColumns(&l.Size)...)
		},
	}
}

// projection is a plate's summary as its columns have it.
type projection struct {
	studio.Summary
	state   string
	verdict studio.Verdict // its fate is empty for a plate not judged
}

func projected(s studio.Summary) *projection {
	p := &projection{Summary: s, state: s.State()}
	if s.Verdict != nil {
		p.verdict = *s.Verdict
	}
	return p
}

func (p *projection) columns() []column {
	return []column{
		{name: "state", value: words(&p.state)},
		{name: "last_step", value: words(&p.Last)},
		{name: "next_step", value: words(&p.Next)},
		{name: "poured_us", value: instant{&p.PouredAt}},
		{name: "change_us", value: instant{&p.ChangeAt}},
		{name: "verdict_word", value: count(&p.verdict.Word)},
		{name: "verdict_fate", value: words(&p.verdict.Fate)},
		{name: "verdict_say", value: words(&p.verdict.Say)},
		{name: "marks", value: written(&p.Marks)},
		{name: "copies", value: written(&p.Copies)},
		{name: "moved_to", value: words(&p.Place)},
		{name: "done", value: count(&p.Done)},
	}
}

// summary returns what was read.
func (p *projection) summary() studio.Summary {
	s := p.Summary
	if p.verdict.Fate != "" {
		v := p.verdict
		s.Verdict = &v
	}
	return s
}

// AddPlate stores p under the next free serial of its year.
func (r records) AddPlate(ctx context.Context, p studio.Plate, words func(studio.Number) string) (studio.Plate, error) {
	t := r.plates()
	err := r.atomic(ctx, func(q querier) error {
		// A plate that is refused below takes its number back with the whole transaction.
		err := q.QueryRowContext(ctx, `insert into plate_counter (year, last) values ($1, 1)
			on conflict (year) do update set last = plate_counter.last + 1 returning last`, p.Number.Year).Scan(&p.Number.Serial)
		if err != nil {
			return err
		}
		if err := t.add(ctx, q, p, projected(studio.Fold(nil)).columns()); err != nil {
			return err
		}
		return r.enter(ctx, q, plateEntry(p.Number, words(p.Number)))
	})
	if err != nil {
		return studio.Plate{}, t.wrap("add", p, err)
	}
	return p, nil
}

// ChangePlate stores a changed plan that judge, who sees the plate's events, lets pass. The plate's
// number stays what it is.
func (r records) ChangePlate(ctx context.Context, p studio.Plate, judge func([]studio.Event) (string, error)) error {
	t := r.plates()
	return t.wrap("change", p, r.atomic(ctx, func(q querier) error {
		if _, err := r.numberOf(ctx, q, p.ID, r.dialect.lock); err != nil {
			return err
		}
		held, err := events(ctx, q, p.ID)
		if err != nil {
			return err
		}
		words, err := judge(held)
		if err != nil {
			return err
		}
		if err := t.change(ctx, q, p); err != nil {
			return err
		}
		return r.reword(ctx, q, p.ID, words)
	}))
}

// Reword replaces a plate's search words by what words makes of its events.
func (r records) Reword(ctx context.Context, plate studio.ID, words func([]studio.Event) string) error {
	return r.atomic(ctx, func(q querier) error {
		n, err := r.numberOf(ctx, q, plate, r.dialect.lock)
		if err != nil {
			return err
		}
		held, err := events(ctx, q, plate)
		if err != nil {
			return err
		}
		return r.enter(ctx, q, plateEntry(n, words(held)))
	})
}

func (r records) reword(ctx context.Context, q querier, plate studio.ID, words string) error {
	n, err := r.numberOf(ctx, q, plate, "")
	if err != nil {
		return err
	}
	return r.enter(ctx, q, plateEntry(n, words))
}

func (r records) numberOf(ctx context.Context, q querier, plate studio.ID, lock string) (n studio.Number, err error) {
	err = q.QueryRowContext(ctx, "select year, serial from plate where id = $1"+lock, string(plate)).Scan(&n.Year, &n.Serial)
	if err != nil {
		return n, fmt.Errorf("plate %s: %w", plate, absent(err))
	}
	return n, nil
}

func plateEntry(n studio.Number, words string) entry {
	return entry{kind: "plate", ref: n.String(), title: n.String(), body: words}
}

// Plate returns a plate by its number.
func (r records) Plate(ctx context.Context, n studio.Number) (studio.Plate, error) {
	ps, err := r.plates().where(ctx, "where year = $1 and serial = $2", n.Year, n.Serial)
	if err != nil {
		return studio.Plate{}, err
	}
	if len(ps) == 0 {
		return studio.Plate{}, fmt.Errorf("plate %s: %w", n, studio.ErrNotFound)
	}
	return ps[0], nil
}

// PlateByID returns a plate by its id.
func (r records) PlateByID(ctx context.Context, id studio.ID) (studio.Plate, error) {
	return r.plates().Find(ctx, id)
}

// PlatesOf returns the numbers of a sitter's plates, oldest first.
func (r records) PlatesOf(ctx context.Context, sitter studio.ID) ([]studio.Number, error) {
	ns, err := gather(ctx, r.pool, func(n *studio.Number) []any { return []any{&n.Year, &n.Serial} },
		`select p.year, p.serial from sitting s join plate p on p.sitting = s.id
		where s.sitter = $1 order by p.year, p.serial`, string(sitter))
	if err != nil {
		return nil, fmt.Errorf("plates of sitter %s: %w", sitter, err)
	}
	return ns, nil
}

// Plates returns a page of plates, newest number first. Each condition below is spelt as the
// schema's indexes spell it, so that a page is read off one of them.
func (r records) Plates(ctx context.Context, f studio.PlateFilter) (studio.PlatePage, error) {
	var conditions []string
	var args []any
	given := func(v any) string {
		args = append(args, v)
		return fmt.Sprintf("$%d", len(args))
	}
	state, unfinished, begun := "p.state = ", "p.verdict_fate = '' and p.next_step <> ''", "p.poured_us <> 0"
	if f.Sitting != "" {
		// A sitting has few plates: its index is the one to read. Spelt so, no other fits.
		state, unfinished, begun = "p.state || '' = ", "p.verdict_fate || '' = '' and p.next_step <> ''", "p.poured_us + 0 <> 0"
		conditions = append(conditions, "p.sitting = "+given(clean(string(f.Sitting))))
	}
	if f.State != "" {
		conditions = append(conditions, state+given(clean(f.State)))
	}
	if f.Open {
		conditions = append(conditions, unfinished)
	}
	if f.Begun {
		conditions = append(conditions, begun)
	}
	if f.Below != (studio.Number{}) {
		conditions = append(conditions, "(p.year, p.serial) < ("+given(f.Below.Year)+", "+given(f.Below.Serial)+")")
	}
	if len(f.Numbers) > 0 {
		conditions = append(conditions, numbered(f.Numbers))
	}
	where := ""
	if len(conditions) > 0 {
		where = " where " + strings.Join(conditions, " and ")
	}
	most := f.Most
	if most <= 0 {
		most = 50
	}
	most = min(most, 500)

	t := r.plates()
	type row struct {
		plate  studio.Plate
		come   projection
		sitter string
	}
	columns := func(w *row) []column {
		return append(t.all(&w.plate), w.come.columns()...)
	}
	rows, err := gather(ctx, r.pool, func(w *row) []any { return append(places(columns(w)), &w.sitter) },
		"select p."+strings.Join(names(columns(&row{})), ", p.")+", coalesce(s.name, '') from plate p"+
			" left join sitting g on g.id = p.sitting left join sitter s on s.id = g.sitter"+where+
			" order by p.year desc, p.serial desc limit "+given(most+1), args...)
	if err != nil {
		return studio.PlatePage{}, fmt.Errorf("plates: %w", err)
	}
	page := studio.PlatePage{More: len(rows) > most}
	rows = rows[:min(len(rows), most)]
	page.Rows = make([]studio.PlateRow, len(rows))
	for i, w := range rows {
		page.Rows[i] = studio.PlateRow{Plate: w.plate, Summary: w.come.summary(), SitterName: w.sitter}
	}
	return page, nil
}

// numbered is the condition that a plate p has one of the numbers, spelt by years so that the index of
// the numbers is searched and not read through.
func numbered(numbers []studio.Number) string {
	serials := make(map[int][]string)
	for _, n := range numbers {
		serials[n.Year] = append(serials[n.Year], strconv.Itoa(n.Serial))
	}
	var years []string
	for _, year := range slices.Sorted(maps.Keys(serials)) {
		years = append(years, fmt.Sprintf("p.year = %d and p.serial in (%s)", year, strings.Join(serials[year], ", ")))
	}
	return "(" + strings.Join(years, " or ") + ")"
}
