package web

import (
	"errors"
	"net/http"

	"platewright/internal/studio"
	"platewright/internal/web/screens/conflict"
	"platewright/internal/web/shared"
)

// conflicting gives both forms of a record that someone else changed meanwhile.
func conflicting[T any](err error) (yours, theirs T, ok bool) {
	var c *studio.Conflict
	if !errors.As(err, &c) {
		return yours, theirs, false
	}
	yours, okYours := c.Yours.(T)
	theirs, okTheirs := c.Theirs.(T)
	return yours, theirs, okYours && okTheirs
}

// showConflict shows both forms of a record, line by line, each as it would be typed. When they
// say the same there is nothing to choose, and the record is shown as it stands.
func (s *Server) showConflict(w http.ResponseWriter, r *http.Request, page shared.PageData, d conflict.Data, lines []conflict.Field, yours, theirs map[string]string) error {
	for _, line := range lines {
		line.Yours, line.Theirs = yours[line.Name], theirs[line.Name]
		d.Fields = append(d.Fields, line)
	}
	if !d.Differs() {
		http.Redirect(w, r, d.Back, http.StatusSeeOther)
		return nil
	}
	return s.showStatus(w, r, http.StatusConflict, page, conflict.Screen(d))
}
