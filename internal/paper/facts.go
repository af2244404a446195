package paper

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"platewright/internal/studio"
	"platewright/measure"
)

// PageOf lays out what a plate's passport says on "letter" or, for anything else, A4 paper.
//
// The day is that of the pour in the time zone the pour's time carries, and the file's date is that
// of the last thing done to the plate, so that the same facts give the same bytes. The seconds are
// those given at the exposure, or those planned where none were recorded. The sitter's name needs the
// sitter's leave, which no record gives yet, so it is left out.
func PageOf(facts studio.PassportFacts, paper string) PassportPage {
	story, plan := facts.Story, facts.Story.Plan
	size := plan.Size // as planned, however its photograph stands: a camera may have lain before an upright plate
	page := PassportPage{
		Number: story.Number.String(), Studio: facts.Studio.Name, Place: facts.Studio.Place,
		Printed: story.ChangeAt, Picture: facts.Picture, Width: size.Width, Height: size.Height,
		Support: string(plan.Support), Stop: plan.Stop.Name,
		Collodion: batchName(facts.Collodion), Bath: batchName(facts.Bath),
		Developer: batchName(facts.Developer), Fixer: batchName(facts.Fixer),
	}
	if paper == "letter" {
		page.Sheet = Letter
	}
	if !story.PouredAt.IsZero() {
		page.Made = story.PouredAt.Format("2 January 2006")
	}
	if facts.Lens != nil {
		page.Lens = facts.Lens.Name
	}
	if story.Standing(studio.Varnished).ID != "" {
		page.Varnish = batchName(facts.Varnish)
		if page.Varnish == "" {
			page.Varnish = "varnished"
		}
	}
	page.Hand = story.Standing(studio.Poured).By
	seconds := plan.Exposure
	if given := story.Standing(studio.Exposed).Detail.ExposureS; given > 0 {
		seconds = time.Duration(given * float64(time.Second))
	}
	if seconds > 0 {
		page.Exposure = joined(", ", measure.Thin(measure.FormatExposure(seconds)), plan.Light)
	}
	if v := story.Verdict; v != nil {
		page.Verdict = joined("; ", studio.VerdictWord(v.Word), v.Say)
	}
	page.Notes = notes(story)
	return page
}

// batchName is a bottle's name with the recipe it was mixed from, where the name does not say it.
func batchName(b *studio.Batch) string {
	switch {
	case b == nil:
		return ""
	case b.RecipeName == "" || strings.Contains(strings.ToLower(b.Name), strings.ToLower(b.RecipeName)):
		return b.Name
	}
	return b.Name + ", " + b.RecipeName
}

// notes are the words noted of the plate, and its marks by name.
func notes(story studio.Story) string {
	var parts []string
	for _, e := range studio.Stands(story.Events) {
		if e.Kind == studio.Noted {
			parts = append(parts, strings.TrimSuffix(strings.TrimSpace(e.Detail.Words), ".")+".")
		}
	}
	count, order := map[string]int{}, []string{}
	for _, m := range story.Marks {
		if count[m.Appearance] == 0 {
			order = append(order, m.Appearance)
		}
		count[m.Appearance]++
	}
	for i, name := range order {
		if n := count[name]; n > 1 {
			order[i] = fmt.Sprintf("%s (%s)", name, strconv.Itoa(n))
		}
	}
	if len(order) > 0 {
		parts = append(parts, "Marks: "+strings.Join(order, ", ")+".")
	}
	return strings.Join(parts, " ")
}
