package studio

import (
	"context"
	"time"
)

// Book keeps the records of one kind.
type Book[T any] interface {
	// Add stores a new record.
	Add(ctx context.Context, record T) error
	// Find returns the record with that id, or an error wrapping ErrNotFound.
	Find(ctx context.Context, id ID) (T, error)
	// Change stores record in the place of the one with its id if that one's version is one less
	// than record's; otherwise it changes nothing and returns a *Conflict that carries both.
	Change(ctx context.Context, record T) error
	// All returns every record, in the order of their names or times.
	All(ctx context.Context) ([]T, error)
}

// Records is where a studio's records are kept. What it stores in one call it stores whole or not
// at all. Errors wrap the sentinels of this package where they apply.
type Records interface {
	// Profile returns the studio itself, or an error wrapping ErrNotFound before its first run.
	Profile(ctx context.Context) (Profile, error)
	// SaveProfile adds the profile (version 1) or changes it as Book.Change does.
	SaveProfile(ctx context.Context, p Profile) error

	Sitters() Book[Sitter]
	Sittings() Book[Sitting]
	Lenses() Book[Lens]
	Cameras() Book[Camera]
	Holders() Book[Holder]
	Recipes() Book[Recipe]
	Batches() Book[Batch]
	Windows() Book[Window]
	Rigs() Book[Rig]
	Spectra() Book[LightSpectrum]

	// SittingsBetween returns the sittings that begin in [from, until), earliest first.
	SittingsBetween(ctx context.Context, from, until time.Time) ([]Sitting, error)
	// SittingsOf returns a sitter's sittings, earliest first; none for a sitter who is not there.
	SittingsOf(ctx context.Context, sitter ID) ([]Sitting, error)

	// AddPlate stores p under the next free serial of p.Number.Year, with its search words made by
	// words from the number, and returns it with its number.
	AddPlate(ctx context.Context, p Plate, words func(Number) string) (Plate, error)
	// ChangePlate stores a changed plan as Book.Change does, unless judge, given the plate's events,
	// returns an error; otherwise it returns the plate's new search words. All in one transaction,
	// one at a time for a plate with Append.
	ChangePlate(ctx context.Context, p Plate, judge func(events []Event) (words string, err error)) error
	// Plate returns a plate by its number, or an error wrapping ErrNotFound.
	Plate(ctx context.Context, n Number) (Plate, error)
	// PlateByID returns a plate by its id, or an error wrapping ErrNotFound.
	PlateByID(ctx context.Context, id ID) (Plate, error)
	// Plates returns a page of plates, newest number first.
	Plates(ctx context.Context, f PlateFilter) (PlatePage, error)
	// PlatesOf returns the numbers of a sitter's plates.
	PlatesOf(ctx context.Context, sitter ID) ([]Number, error)

	// Events returns a plate's events in the order they were received.
	Events(ctx context.Context, plate ID) ([]Event, error)
	// Append adds e to its plate's events unless an event with e's id is there already, in which
	// case fresh is false and nothing changes. judge is given all the plate's events with e last;
	// it returns what they come to, which replaces the plate's summary and search words, or an
	// error, in which case nothing is stored. All in one transaction, one at a time for a plate.
	Append(ctx context.Context, e Event, judge func(events []Event) (Summary, string, error)) (fresh bool, err error)
	// Reword replaces a plate's search words by what words makes of its events, in one transaction, one
	// at a time for a plate with Append.
	Reword(ctx context.Context, plate ID, words func(events []Event) string) error

	// AddLensReading stores r unless a reading with its id is there already, in which case fresh is
	// false and nothing changes; that of another lens is a conflict. A lens that is not there is an
	// error. Readings are never changed and never deleted.
	AddLensReading(ctx context.Context, r LensReading) (fresh bool, err error)
	// LensReadings returns a lens's readings in the order they were received; none for a lens that is
	// not there.
	LensReadings(ctx context.Context, lens ID) ([]LensReading, error)

	// AddRigReading and RigReadings keep the readings of flash rigs as AddLensReading and LensReadings do
	// those of lenses.
	AddRigReading(ctx context.Context, r RigReading) (fresh bool, err error)
	RigReadings(ctx context.Context, rig ID) ([]RigReading, error)

	// AddSpeed stores f unless a found speed with its id is there already, in which case fresh is false and
	// nothing changes. Found speeds are never changed and never deleted.
	AddSpeed(ctx context.Context, f SpeedFound) (fresh bool, err error)
	// Speeds returns all found speeds in the order they were received, by the studio's clock.
	Speeds(ctx context.Context) ([]SpeedFound, error)

	// Search returns what matches, best first. Each word of the query matches the beginning of a
	// word in the record.
	Search(ctx context.Context, q Query) ([]Hit, error)

	// Tally counts what is kept.
	Tally(ctx context.Context) (Tally, error)
}

// Tally is how much a studio has come to.
type Tally struct {
	Sitters  int
	Sittings int
	Plates   int // numbered, whether or not they were poured
	Poured   int
}

// PlateFilter narrows a list of plates. The zero value is the newest plates.
type PlateFilter struct {
	State   string // a Summary.State, or empty for all
	Sitting ID
	Begun   bool     // only plates that were poured
	Open    bool     // only plates that are neither judged nor at their last step
	Below   Number   // only plates numbered before this one; zero for the newest
	Numbers []Number // only these plates, at most 500; empty for all
	Most    int      // how many; 50 when 0, at most 500
}

// PlatePage is a page of a list of plates.
type PlatePage struct {
	Rows []PlateRow
	More bool // whether there are further plates below the last row
}

// Query asks the full-text search.
type Query struct {
	Words string
	Kinds []string // "sitter", "sitting", "plate"; empty for all
	Most  int      // how many; 20 when 0, at most 200
}

// Hit is one thing a search found.
type Hit struct {
	Kind    string // "sitter", "sitting" or "plate"
	Ref     string // the record's id, or a plate's number
	Title   string
	Snippet string // words around what matched
}
