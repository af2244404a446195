package plates

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"platewright/internal/studio"
	"platewright/internal/web/shared"
	"platewright/measure"
)

// Sheet is a plate with everything known of it, and what can be said of it.
type Sheet struct {
	Number  string
	Poured  bool
	View    *View // nil when the plate was never copied
	Marks   []Mark
	Strip   Strip
	Lines   []Line
	Facts   []Fact
	Batches []Fact
	Copies  []Copy
	Verdict string // the last one in words; empty when there is none
	Said    string // what was said with it
	Forms   Forms
	// Correcting is the step whose form is open; nil when there is none. Missing are the steps that
	// do not stand.
	Correcting *Correcting
	Told       []string // of the copy just filed
	Missing    []shared.Option
	IDs        IDs
	// OutlineWidth and OutlineHeight are the plate's sides, for its drawing.
	OutlineWidth, OutlineHeight float64
}

// View is the plate's picture, true to life.
type View struct {
	Src, Alt      string
	Width, Height int
}

// Forms are what was typed in the forms of the page.
type Forms struct{ Verdict, Mark, Note, Move, Correct, Step shared.Form }

// IDs are those of the events the forms would record, and of the step that is to be corrected.
type IDs struct {
	Verdict, Mark, Note, Move, Correct, Step string
	Corrects                                 studio.ID
}

// Mark is a fault as the page shows it: its place is that on the picture shown.
type Mark struct {
	N               int
	Appearance, Say string
	X, Y            float64
}

// Fact is a word, what is known under it, and where more of it stands; Href may be empty.
type Fact struct{ Word, Value, Href string }

// Copy is a photograph of the plate.
type Copy struct {
	K                      int
	Thumb, Original        string
	ThumbWidth, ThumbHeigh int
	FileName, About, Filed string
	Void                   bool
	Odd                    []string // what does not fit of it, in sentences
}

// Line is one event of the story's table.
type Line struct {
	Day       string // the day, before its first event; empty before the others
	N         int    // its number on the strip; 0 for what does not stand
	What      string
	When      string
	After     string   // since the event before; empty for the first
	By        string   // empty where it is as in the line above
	Was       []string // what was recorded before, where it was corrected
	Amend     bool     // whether its time and figures can be corrected
	Void      string   // when it was voided; empty when it stands
	ID        string   // the event
	CorrectID string   // of the correction a press would record
	Restore   bool     // whether a voided event can be restored
}

// Known is what a sheet is made from beside the story.
type Known struct {
	Lens, Camera, Holder string // names; empty where none was chosen
	Batches              []studio.Batch
	NewID                func() studio.ID
}

// SheetOf lays a plate's story out.
func SheetOf(story studio.Story, known Known, h Habits) Sheet {
	s := Sheet{
		Number: story.Number.String(), Poured: !story.PouredAt.IsZero(),
		OutlineWidth: float64(story.Plan.Size.Width), OutlineHeight: float64(story.Plan.Size.Height),
		Facts:   facts(story, known, h),
		IDs:     IDs{Verdict: string(known.NewID()), Mark: string(known.NewID()), Note: string(known.NewID()), Move: string(known.NewID()), Correct: string(known.NewID()), Step: string(known.NewID())},
		Missing: missing(story),
	}
	s.Copies = copies(story, h)
	if n := len(story.Copies); n > 0 {
		last := story.Copies[n-1]
		v := View{Alt: "True view of plate " + s.Number}
		if story.Sitter != nil {
			v.Alt += ", " + story.Sitter.Name
		}
		for _, c := range s.Copies {
			if !c.Void {
				v.Src = CopyPath(s.Number, c.K, "view", last.View)
			}
		}
		v.Width, v.Height = viewSides(last)
		s.View = &v
	}
	for i, m := range story.Marks {
		x := m.XPct
		if s.View != nil {
			x = OnView(x)
		}
		s.Marks = append(s.Marks, Mark{N: i + 1, Appearance: m.Appearance, Say: m.Say, X: x, Y: m.YPct})
	}
	if v := story.Verdict; v != nil {
		s.Verdict, s.Said = VerdictText(*v), v.Say
	}
	for _, b := range known.Batches {
		s.Batches = append(s.Batches, Fact{Word: capital(b.Kind), Value: b.Name, Href: shared.DarkRoom.Path() + "/shelf/batches/" + string(b.ID)})
	}
	standing := inOrder(studio.Stands(story.Events))
	s.Strip = StripOf(standing)
	s.Lines = lines(story, standing, known.NewID, h)
	return s
}

// viewSides are the sides of a copy's view: it is no larger than the photograph.
func viewSides(c studio.Copy) (w, h int) {
	const viewSide = 1600 // the longest side of a view
	return fitted(float64(c.WidthPx), float64(c.HeightPx), min(viewSide, max(c.WidthPx, c.HeightPx)))
}

func facts(story studio.Story, known Known, h Habits) []Fact {
	var all []Fact
	link := func(word, value, href string, id studio.ID) {
		switch {
		case value == "":
		case href == "":
			all = append(all, Fact{Word: word, Value: value})
		default:
			all = append(all, Fact{Word: word, Value: value, Href: href + "/" + string(id)})
		}
	}
	add := func(word, value string) { link(word, value, "", "") }
	length := func(l measure.Length) string {
		if l == 0 {
			return ""
		}
		return measure.Thin(l.Format(h.Units))
	}
	plan := story.Plan
	size := plan.Size.Format(h.Units)
	if plan.Size.Name != "" {
		size = plan.Size.String() + ", " + size
	}
	if story.Sitter != nil {
		link("Sitter", story.Sitter.Name, shared.Desk.Path()+"/sitters", story.Sitter.ID)
	}
	if story.Sitting != nil {
		link("Sitting", story.Sitting.At.In(h.Location).Format("2 January 2006, 15:04"), shared.Desk.Path()+"/sittings", story.Sitting.ID)
		add("For", story.Sitting.Purpose)
	}
	add("Size", measure.Thin(size))
	add("Support", string(plan.Support))
	if plan.Lens != "" {
		link("Lens", known.Lens, shared.Floor.Path()+"/lenses", plan.Lens)
		add("Stop", plan.Stop.Name)
	}
	link("Camera", known.Camera, shared.Floor.Path()+"/cameras", plan.Camera)
	link("Holder", known.Holder, shared.Floor.Path()+"/holders", plan.Holder)
	if plan.Lens != "" {
		add("Distance", length(plan.Distance))
		add("Magnification", strconv.FormatFloat(plan.Magnification, 'g', 3, 64))
		add("Extension", length(plan.Extension))
		add("Sharp over", length(plan.Depth))
	}
	if plan.Exposure > 0 {
		add("Seconds planned", measure.Thin(measure.FormatExposure(plan.Exposure)))
	}
	if e := story.Standing(studio.Exposed); e.Detail.ExposureS > 0 {
		add("Seconds given", measure.Thin(measure.FormatExposure(time.Duration(e.Detail.ExposureS*float64(time.Second)))))
	}
	add("Light", plan.Light)
	add("Where it is", story.Place)
	add("Note of the plan", plan.Note)
	return all
}

// copies lists every photograph that was filed, those voided since too: their numbers never change.
func copies(story studio.Story, h Habits) []Copy {
	stands := map[studio.ID]bool{}
	for _, e := range studio.Stands(story.Events) {
		stands[e.ID] = true
	}
	var all []Copy
	for _, e := range story.Events {
		if e.Kind != studio.Copied || e.Detail.Copy == nil {
			continue
		}
		c := *e.Detail.Copy
		k := len(all) + 1
		number := story.Number.String()
		turned := "turned left for right"
		if !c.Turned {
			turned = "not turned: it was true already"
		}
		w, hgt := fitted(float64(c.WidthPx), float64(c.HeightPx), 150)
		all = append(all, Copy{
			K: k, Thumb: CopyPath(number, k, "thumb", c.Thumb), Original: CopyPath(number, k, "original", c.Original),
			ThumbWidth: w, ThumbHeigh: hgt, FileName: c.FileName,
			About: fmt.Sprintf("%s, %d × %d px, %s", c.Format, c.WidthPx, c.HeightPx, turned),
			Filed: e.At.In(h.Location).Format("2 January 2006, 15:04"), Void: !stands[e.ID], Odd: OddOf(c, story.Plan.Size),
		})
	}
	return all
}

// lines is the table of the story: what stands, in the order it happened, and what was voided, at
// its place in time.
func lines(story studio.Story, standing []studio.Event, newID func() studio.ID, h Habits) []Line {
	correctedBy := map[studio.ID]studio.Event{}
	for _, e := range story.Events {
		if e.Kind == studio.Corrected {
			correctedBy[e.Corrects] = e
		}
	}
	number, now := map[studio.ID]int{}, map[studio.ID]studio.Event{}
	for i, e := range standing {
		number[e.ID], now[e.ID] = i+1, e
	}
	var all []studio.Event
	for _, e := range story.Events {
		if e.Kind == studio.Corrected {
			continue
		}
		if present, ok := now[e.ID]; ok {
			e = present
		}
		all = append(all, e)
	}
	var rows []Line
	var before time.Time
	day, hand := "", ""
	for _, e := range inOrder(all) {
		row := Line{N: number[e.ID], What: eventText(e), When: e.At.In(h.Location).Format("15:04:05"), By: by(e), ID: string(e.ID), CorrectID: string(newID())}
		if d := e.At.In(h.Location).Format("Monday, 2 January 2006"); d != day {
			row.Day, day = d, d
		}
		if row.N == 0 {
			row.Void = moment(correctedBy[e.ID].At, h)
			_, taken := now[story.Standing(e.Kind).ID]
			row.Restore = !(IsStep(e.Kind) && taken)
		} else {
			row.Was, row.Amend = earlier(story, e, h), IsStep(e.Kind)
		}
		if row.By == hand {
			row.By = ""
		} else {
			hand = row.By
		}
		if row.N != 0 {
			if !before.IsZero() {
				row.After = SpanText(e.At.Sub(before))
			}
			before = e.At
		}
		rows = append(rows, row)
	}
	return rows
}

// by is whose hand recorded an event, and on what. A device's own code says nothing to people.
func by(e studio.Event) string {
	device := e.Device
	if strings.HasPrefix(device, "device ") {
		device = "a device at the clock"
	}
	if e.By == "" || device == "" {
		return e.By + device
	}
	return e.By + ", " + device
}

func moment(t time.Time, h Habits) string { return t.In(h.Location).Format("2 Jan 2006 15:04:05") }

// eventText says what happened.
func eventText(e studio.Event) string {
	d := e.Detail
	text := string(e.Kind)
	add := func(format string, args ...any) { text += ", " + fmt.Sprintf(format, args...) }
	switch {
	case d.Verdict != nil:
		text += ": " + VerdictText(*d.Verdict)
		if d.Verdict.Say != "" {
			add("“%s”", d.Verdict.Say)
		}
	case d.Mark != nil:
		text += ": " + d.Mark.Appearance
		if d.Mark.Say != "" {
			add("“%s”", d.Mark.Say)
		}
	case d.Copy != nil:
		text += ": " + d.Copy.FileName
	case d.Place != "":
		text += ": " + d.Place
	}
	if d.ExposureS > 0 {
		add("%s", measure.Thin(measure.FormatExposure(time.Duration(d.ExposureS*float64(time.Second)))))
	}
	if d.FirstImageS > 0 {
		add("first image after %s", measure.Thin(strconv.FormatFloat(d.FirstImageS, 'g', 3, 64)+" s"))
	}
	if d.TemperatureC != nil {
		add("at %s", measure.Thin(d.TemperatureC.String()))
	}
	if d.Words != "" {
		if e.Kind == studio.Noted {
			return text + ": “" + d.Words + "”"
		}
		add("“%s”", d.Words)
	}
	return text
}
