package studio

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"time"
)

// BenchMethod is a way of measuring a lens on the bench, under the name the reckoning `bench` has for it.
type BenchMethod string

// The methods.
const (
	TwoMagnifications BenchMethod = "two magnifications"  // focal length and principal planes
	FarTarget         BenchMethod = "far target"          // focal length
	KnownObject       BenchMethod = "known object"        // focal length
	NodalPoint        BenchMethod = "nodal point"         // focal length
	PupilSize         BenchMethod = "entrance pupil"      // f-number of the full opening
	StopSizes         BenchMethod = "stops"               // f-numbers of the Waterhouse stops
	PupilSides        BenchMethod = "pupil magnification" // exit over entrance pupil
	FieldCurve        BenchMethod = "curvature"           // focal surface
	GoodCircle        BenchMethod = "coverage"            // circle of good definition at a stop
	FocusShift        BenchMethod = "focus shift"         // on stopping down
	ChemicalFocus     BenchMethod = "chemical focus"      // of the plate against the eye
)

// BenchMethods lists the methods in the order a bench is worked through.
func BenchMethods() []BenchMethod {
	return []BenchMethod{TwoMagnifications, FarTarget, KnownObject, NodalPoint, PupilSize, StopSizes, PupilSides, FieldCurve, GoodCircle, FocusShift, ChemicalFocus}
}

// LensReading is one bench measuring of a lens: what was read off, and what was reckoned from it. It is
// never changed and never deleted; one that turns out wrong is withdrawn by a later one.
type LensReading struct {
	ID        ID // made by the device, so that a repeat is harmless
	Lens      ID
	Method    BenchMethod
	Taken     time.Time // when it was measured, by the device's clock
	Received  time.Time // when it was stored, by the studio's clock
	By        string    // who measured; may be empty
	Question  string    // JSON text: the question to the reckoning `bench`, with every reading
	Answer    string    // JSON text: what it answered
	Note      string
	Withdraws ID // for a withdrawal: the reading that does not count any more; else empty
}

// withdrawn returns the ids of the readings that are withdrawn.
func withdrawn(readings []LensReading) map[ID]bool {
	gone := make(map[ID]bool)
	for _, r := range readings {
		if r.Withdraws != "" {
			gone[r.Withdraws] = true
		}
	}
	return gone
}

// StandingReadings returns those of a lens's readings that count, in their order: not withdrawn, and no
// withdrawals.
func StandingReadings(readings []LensReading) []LensReading {
	gone := withdrawn(readings)
	var standing []LensReading
	for _, r := range readings {
		if r.Withdraws == "" && !gone[r.ID] {
			standing = append(standing, r)
		}
	}
	return standing
}

// mostReading is how long the JSON texts of a reading may be.
const mostReading = 200_000

func (r LensReading) check() error {
	var ps problems
	if !idForm.MatchString(string(r.ID)) {
		ps.add("id", "%q is not 8 to 64 letters, figures, dashes or underscores", r.ID)
	}
	if !slices.Contains(BenchMethods(), r.Method) {
		ps.add("method", "%q is not a method of the bench", r.Method)
	}
	if y := r.Taken.Year(); y < 1990 || y > 2200 {
		ps.add("taken", "the year %d is outside 1990 to 2200", y)
	}
	ps.text("by", r.By, 200)
	ps.text("note", r.Note, 4000)
	if r.Withdraws == "" {
		ps.object("question", r.Question)
		ps.object("answer", r.Answer)
	}
	return ps.err()
}

// object holds that a text is one JSON object of no unreasonable length.
func (ps *problems) object(field, text string) {
	var any map[string]json.RawMessage
	switch {
	case len(text) > mostReading:
		ps.add(field, "%d bytes are more than the %d allowed", len(text), mostReading)
	case json.Unmarshal([]byte(text), &any) != nil || any == nil:
		ps.add(field, "is no JSON object")
	}
}

// KeepLensReading keeps what the bench found out about a lens. A reading that is sent again changes nothing
// and is no error; one of the same id that says something else is an [*OtherReading], and nothing is kept.
func (s *Studio) KeepLensReading(ctx context.Context, r LensReading) (LensReading, error) {
	r.Withdraws = ""
	return s.keepReading(ctx, r)
}

// WithdrawLensReading keeps that a reading of the lens does not count any more, and why. r names the
// reading in Withdraws; the rest of it but ID, Lens, Taken, By and Note is taken from there.
func (s *Studio) WithdrawLensReading(ctx context.Context, r LensReading) (LensReading, error) {
	all, err := s.LensReadings(ctx, r.Lens)
	if err != nil {
		return LensReading{}, err
	}
	at := slices.IndexFunc(all, func(old LensReading) bool { return old.ID == r.Withdraws })
	switch {
	case at < 0:
		return LensReading{}, &Invalid{Problems: []Problem{{Field: "withdraws", Sentence: "names no reading of this lens"}}}
	case all[at].Withdraws != "":
		return LensReading{}, &Invalid{Problems: []Problem{{Field: "withdraws", Sentence: "names a withdrawal",
			Hint: "keep the measurement once more, and it counts again"}}}
	case slices.ContainsFunc(all, func(old LensReading) bool { return old.Withdraws == r.Withdraws && old.ID != r.ID }):
		return LensReading{}, fmt.Errorf("that reading is withdrawn already: %w", ErrConflict)
	}
	r.Method, r.Question, r.Answer = all[at].Method, "", ""
	return s.keepReading(ctx, r)
}

func (s *Studio) keepReading(ctx context.Context, r LensReading) (LensReading, error) {
	if r.ID == "" {
		r.ID = s.newID()
	}
	r.By, r.Taken, r.Received = tidy(r.By), r.Taken.UTC(), s.now()
	if err := r.check(); err != nil {
		return LensReading{}, err
	}
	if _, err := s.records.Lenses().Find(ctx, r.Lens); errors.Is(err, ErrNotFound) {
		return LensReading{}, &Invalid{Problems: []Problem{{Field: "lens", Sentence: "is not among the studio's lenses"}}}
	} else if err != nil {
		return LensReading{}, err
	}
	fresh, err := s.records.AddLensReading(ctx, r)
	if err != nil || fresh {
		return r, err
	}
	all, err := s.LensReadings(ctx, r.Lens)
	if err != nil {
		return LensReading{}, err
	}
	for _, old := range all {
		if old.ID == r.ID && !old.says(r) {
			return LensReading{}, &OtherReading{Kept: old}
		}
	}
	return r, nil
}

// says tells whether two readings say the same, whenever they were sent.
func (r LensReading) says(other LensReading) bool {
	r.Taken, r.Received, other.Taken, other.Received = time.Time{}, time.Time{}, time.Time{}, time.Time{}
	return r == other
}

// OtherReading refuses a reading whose id belongs to one that says something else: a form that was kept, gone
// back to and written anew. It wraps [ErrConflict]; a reading is never changed, so it takes an id of its own.
type OtherReading struct{ Kept LensReading }

func (e *OtherReading) Error() string { return "a reading kept under this id says something else" }

// Unwrap lets errors.Is find [ErrConflict].
func (e *OtherReading) Unwrap() error { return ErrConflict }

// LensReadings returns all readings of a lens, the withdrawn and the withdrawals too, in the order they
// were received.
func (s *Studio) LensReadings(ctx context.Context, lens ID) ([]LensReading, error) {
	return s.records.LensReadings(ctx, lens)
}
