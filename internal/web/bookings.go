package web

import (
	"context"
	"errors"
	"strings"
	"time"

	"platewright/internal/studio"
	"platewright/internal/web/shared"
)

// book writes the sitting down, with its sitter if that is someone new.
func (s *Server) book(ctx context.Context, f *form, sitting studio.Sitting, sitter studio.ID) (studio.Sitting, error) {
	if sitter == "new" {
		return s.cfg.Studio.BookFor(ctx, studio.Sitter{Name: f.text("sitter_name"), Contact: f.text("contact")}, sitting)
	}
	sitting.Sitter = sitter
	return s.cfg.Studio.Book(ctx, sitting)
}

// What becomes of a contact typed for a sitter who is known.
const (
	contactNew   = "new"   // the first that is known of the sitter
	contactAdded = "added" // written behind the one that was known
)

// keepContact writes down what a booking says of how a known sitter is reached, behind what is known.
// It tells what became of it; nothing when there was nothing new.
func (s *Server) keepContact(ctx context.Context, f *form, id studio.ID) (string, error) {
	typed := f.text("contact")
	if typed == "" || id == "new" || id == "" {
		return "", nil
	}
	sitter, err := s.cfg.Studio.Sitter(ctx, id)
	if err != nil {
		return "", err
	}
	written := contactAdded
	switch {
	case strings.Contains(strings.ToLower(sitter.Contact), strings.ToLower(typed)):
		return "", nil
	case sitter.Contact == "":
		sitter.Contact, written = typed, contactNew
	default:
		sitter.Contact += "; " + typed
	}
	_, err = s.cfg.Studio.ChangeSitter(ctx, sitter)
	return written, err
}

// bookedNotice says what was just booked: the day as it was read, that it is past if it is, and what
// became of a contact.
func (s *Server) bookedNotice(ctx context.Context, id studio.ID, contact string) ([]shared.NoticeData, error) {
	sitting, err := s.cfg.Studio.Sitting(ctx, id)
	if errors.Is(err, studio.ErrNotFound) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	sitter, err := s.cfg.Studio.Sitter(ctx, sitting.Sitter)
	if err != nil {
		return nil, err
	}
	at := sitting.At.In(s.cfg.Location)
	told := []shared.NoticeData{{Kind: shared.Done, Text: sitter.Name + " is booked for " + dayText(at) + ", " + at.Format("15:04") + ".",
		Href: shared.Desk.Path() + "/sittings/" + string(sitting.ID), HrefWord: "The sitting"}}
	if midnight(at).Before(midnight(s.now())) {
		told = append(told, shared.NoticeData{Kind: shared.Told, Text: "That day is past. It is booked all the same; change the day if it was a slip."})
	}
	if contact == contactNew || contact == contactAdded {
		text := "The contact was written down with " + sitter.Name + "."
		if contact == contactAdded {
			text = "The contact was written down with " + sitter.Name + ", behind the one that was known."
		}
		told = append(told, shared.NoticeData{Kind: shared.Told, Text: text, Href: shared.Desk.Path() + "/sitters/" + string(sitter.ID), HrefWord: sitter.Name})
	}
	return told, nil
}

// clashes says which sittings of a day stand in each other's time. They are booked all the same: a
// studio may have two rooms, and a sitter may sit for two plates.
func (s *Server) clashes(ctx context.Context, day time.Time) ([]shared.NoticeData, error) {
	all, err := s.cfg.Studio.SittingsBetween(ctx, day.Add(-24*time.Hour), day.AddDate(0, 0, 1))
	if err != nil {
		return nil, err
	}
	var told []shared.NoticeData
	for i, a := range all {
		for _, b := range all[i+1:] {
			ends := a.At.Add(a.Lasts)
			if a.State == studio.CalledOff || b.State == studio.CalledOff || !ends.After(b.At) || !midnight(b.At.In(s.cfg.Location)).Equal(day) {
				continue
			}
			first, err := s.cfg.Studio.Sitter(ctx, a.Sitter)
			if err != nil {
				return nil, err
			}
			begins := b.At.In(s.cfg.Location).Format("15:04")
			n := shared.NoticeData{Kind: shared.Told, Href: shared.Desk.Path() + "/sittings/" + string(b.ID), HrefWord: "The later booking"}
			if a.Sitter == b.Sitter {
				n.Text = first.Name + " is booked twice at one time: at " + begins + " the sitting before still lasts."
			} else {
				second, err := s.cfg.Studio.Sitter(ctx, b.Sitter)
				if err != nil {
					return nil, err
				}
				n.Text = "Two sittings overlap: " + second.Name + " is to come at " + begins + ", and the sitting of " + first.Name + " lasts until " + ends.In(s.cfg.Location).Format("15:04") + "."
			}
			told = append(told, n)
		}
	}
	return told, nil
}
