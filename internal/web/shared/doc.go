// Package shared holds what every screen has in common: the frame around the
// work, the parts screens are built from, the three lights, the type faces
// and the scripts.
//
// A screen is a templ component laid into [Page]. It is built from the parts
// here ([Field], [Choice], [Primary], [Figure], [Band], [Caution], [Notice],
// [Table], [Picture]) and brings its own style sheet and script only for what
// is drawn nowhere else.
//
// The light is part of the context a component is rendered with (see
// [WithLight]), so that no part can forget it: in red light a part that would
// open a window of the browser's own (a file chooser, a list, a calendar)
// withholds itself and says so.
//
// The templates (*.templ) are turned into Go that is committed beside them.
// After changing one, run from the repository's root:
//
//	go tool -modfile=tools/go.mod templ generate -path internal/web
//
// Parts carry no style attributes and no inline scripts: the policy sent with
// every page forbids both. Nothing here reads a clock, a file or a database;
// the style sheets, faces and scripts are embedded.
package shared
