package studio

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"time"

	"platewright/picture"
)

// Files keeps pictures, each named by its content.
type Files interface {
	// Put keeps what r holds and returns its name. Keeping the same content again is harmless.
	Put(ctx context.Context, r io.Reader) (name string, err error)
	// Open returns the file of that name, or an error wrapping ErrNotFound.
	Open(ctx context.Context, name string) (io.ReadSeekCloser, error)
}

// Content is an uploaded file that can be read more than once.
type Content interface {
	io.ReaderAt
	Size() int64
}

// NewCopy is a photograph of a plate, as it comes from the copy stand.
type NewCopy struct {
	Event       ID // id of the event that files it, made by the device
	FileName    string
	Content     Content
	AlreadyTrue bool // the photograph shows left and right as people see the sitter
	At          time.Time
	Device      string
	By          string
}

// FileCopy opens a photograph of the plate, turns it to the true view and files both with the
// plate: the photograph as it came, the true view at full size, a view for the screen and a thumb.
// A file that is no usable picture is refused with a *picture.Refusal before anything is kept, and a
// photograph whose event is there already changes nothing.
func (s *Studio) FileCopy(ctx context.Context, files Files, n Number, c NewCopy) (Story, error) {
	story, err := s.Plate(ctx, n)
	if err != nil {
		return Story{}, err
	}
	if story.PouredAt.IsZero() {
		return Story{}, &Invalid{Problems: []Problem{{Field: "plate",
			Sentence: "plate " + n.String() + " is not poured yet, so there is nothing to photograph"}}}
	}
	filed := Event{ID: c.Event, Plate: story.ID, Kind: Copied, At: c.At.UTC(), Received: s.now(), Device: tidy(c.Device), By: tidy(c.By)}
	for _, e := range story.Events {
		if e.ID == filed.ID {
			return story, nil // handed over before
		}
	}
	if c.FileName == "" {
		c.FileName = "photograph"
	}
	filed.Detail.Copy = &Copy{FileName: c.FileName, Original: c.FileName, TrueView: c.FileName} // stands in for the pictures until they are kept
	if err := filed.check(); err != nil {
		return Story{}, err
	}
	photograph, err := picture.Open(c.Content, c.Content.Size(), c.FileName)
	if err != nil {
		return Story{}, err
	}
	seen := picture.AsItLies
	if c.AlreadyTrue {
		seen = picture.AlreadyTrue
	}
	trueView, err := photograph.TrueView(seen)
	if err != nil {
		return Story{}, err
	}
	copied := Copy{FileName: c.FileName, Format: string(photograph.About().Format), Turned: !c.AlreadyTrue,
		WidthPx: trueView.Size().X, HeightPx: trueView.Size().Y}
	if copied.Original, err = files.Put(ctx, io.NewSectionReader(c.Content, 0, c.Content.Size())); err != nil {
		return Story{}, fmt.Errorf("keep %s: %w", c.FileName, err)
	}
	keep := func(p *picture.Picture) (string, error) {
		var jpeg bytes.Buffer
		if err := p.WriteJPEG(&jpeg); err != nil {
			return "", err
		}
		return files.Put(ctx, &jpeg)
	}
	if copied.TrueView, err = keep(trueView); err != nil {
		return Story{}, err
	}
	view, err := trueView.Reduced(picture.ViewSide)
	if err != nil {
		return Story{}, err
	}
	if copied.View, err = keep(view); err != nil {
		return Story{}, err
	}
	thumb, err := view.Reduced(picture.ThumbSide)
	if err != nil {
		return Story{}, err
	}
	if copied.Thumb, err = keep(thumb); err != nil {
		return Story{}, err
	}
	filed.Detail.Copy = &copied
	return s.Record(ctx, n, filed)
}
