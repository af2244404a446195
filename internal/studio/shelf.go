package studio

import (
	"context"
	"strings"
	"time"
)

// aheadAtMost is how far ahead of now a batch may be said to be mixed: a day, with the clocks of every
// place. What is dated further ahead is a slip of the pen.
const aheadAtMost = 36 * time.Hour

// checkShelf refuses a batch from the future, and one whose name and kind stand on the shelf already.
// Of a changed batch only what was changed is looked at, so that one written down wrongly before can
// be put right in parts, or retired. before is nil for a new batch.
func (s *Studio) checkShelf(ctx context.Context, r Batch, before *Batch) error {
	var ps problems
	if (before == nil || !r.Mixed.Equal(before.Mixed)) && r.Mixed.After(s.now().Add(aheadAtMost)) {
		ps.add("mixed", "mixed on %s is in the future; write the day it was mixed", r.Mixed.Format("2 January 2006"))
	}
	named := before == nil || !strings.EqualFold(r.Name, before.Name) || r.Kind != before.Kind || before.Retired
	if named && !r.Retired {
		all, err := s.records.Batches().All(ctx)
		if err != nil {
			return err
		}
		for _, b := range all {
			if b.ID != r.ID && !b.Retired && b.Kind == r.Kind && strings.EqualFold(b.Name, r.Name) {
				ps.add("name", "a %s %s stands on the shelf already, mixed on %s; give this one another name, or retire that one",
					b.Kind, b.Name, b.Mixed.Format("2 January 2006"))
				break
			}
		}
	}
	return ps.err()
}

// ProposedBatch returns the batch of a kind that the next plate is probably made with: the one the
// last poured plate was made with while it is on the shelf, else the newest that is not retired and
// not dated in the future. It is empty when there is none.
func ProposedBatch(kind string, batches []Batch, last ID, now time.Time) ID {
	var newest Batch
	for _, b := range batches {
		if b.Kind != kind || b.Retired {
			continue
		}
		if b.ID == last {
			return last
		}
		if !b.Mixed.After(now) && (newest.ID == "" || b.Mixed.After(newest.Mixed)) {
			newest = b
		}
	}
	return newest.ID
}
