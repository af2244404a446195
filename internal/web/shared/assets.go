package shared

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"fmt"
	"io/fs"
	"mime"
	"net/http"
	"path"
	"regexp"
	"slices"
	"strings"
	"time"
)

//go:embed static
var static embed.FS

// sheets are the style sheets joined into shared.css, in this order.
var sheets = []string{"fonts.css", "base.css", "frame.css", "parts.css", "red.css"}

// StaticPrefix is the path under which [Assets] is served.
const StaticPrefix = "/static/"

// Assets are the files a page refers to: style sheets, scripts, faces. Each is
// served under an address that holds a hash of its content, so a browser may
// keep it for ever and a new release is never mixed with an old one.
//
// Assets is safe for use by several goroutines.
type Assets struct {
	byName map[string]*asset
	byPath map[string]*asset
}

type asset struct {
	name    string
	kind    string // content type
	hash    string
	body    []byte
	gzipped []byte // nil where it would not be smaller
}

// NewAssets takes in the shared files and those of each screen. A screen's
// files are named by their base name (plate.css, plate.js) and must not repeat
// a name already taken.
func NewAssets(screens ...fs.FS) (*Assets, error) {
	a := &Assets{byName: map[string]*asset{}, byPath: map[string]*asset{}}
	if err := a.addAll(static); err != nil {
		return nil, err
	}
	var joined bytes.Buffer
	for _, sheet := range sheets {
		text, err := fs.ReadFile(static, "static/css/"+sheet)
		if err != nil {
			return nil, fmt.Errorf("shared style sheets: %w", err)
		}
		joined.Write(text)
	}
	if err := a.add("shared.css", joined.Bytes()); err != nil {
		return nil, err
	}
	for _, screen := range screens {
		if err := a.addAll(screen); err != nil {
			return nil, err
		}
	}
	return a, nil
}

// addAll takes in every file of a tree, style sheets last because they name
// the addresses of the others.
func (a *Assets) addAll(tree fs.FS) error {
	var names []string
	err := fs.WalkDir(tree, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || strings.HasPrefix(name, "static/css/") {
			return err
		}
		if contentType(name) != "" {
			names = append(names, name)
		}
		return nil
	})
	if err != nil {
		return fmt.Errorf("list assets: %w", err)
	}
	slices.SortStableFunc(names, func(x, y string) int {
		return order(x) - order(y)
	})
	for _, name := range names {
		body, err := fs.ReadFile(tree, name)
		if err != nil {
			return fmt.Errorf("asset %s: %w", name, err)
		}
		if err := a.add(path.Base(name), body); err != nil {
			return err
		}
	}
	return nil
}

func order(name string) int {
	if path.Ext(name) == ".css" {
		return 1
	}
	return 0
}

// cssURL finds a file named in a style sheet.
var cssURL = regexp.MustCompile(`url\("([^"]+)"\)`)

func (a *Assets) add(name string, body []byte) error {
	if _, taken := a.byName[name]; taken {
		return fmt.Errorf("asset %s: two files have this name", name)
	}
	if path.Ext(name) == ".css" {
		var missing error
		body = cssURL.ReplaceAllFunc(body, func(match []byte) []byte {
			wanted := string(cssURL.FindSubmatch(match)[1])
			found, ok := a.byName[path.Base(wanted)]
			if !ok {
				missing = fmt.Errorf("asset %s: names %s, which does not exist", name, wanted)
				return match
			}
			return []byte(`url("` + found.path() + `")`)
		})
		if missing != nil {
			return missing
		}
	}
	sum := sha256.Sum256(body)
	f := &asset{name: name, kind: contentType(name), hash: hex.EncodeToString(sum[:8]), body: body}
	if strings.HasPrefix(f.kind, "text/") || strings.HasPrefix(f.kind, "image/svg") {
		var small bytes.Buffer
		w, err := gzip.NewWriterLevel(&small, gzip.BestCompression)
		if err != nil {
			return fmt.Errorf("asset %s: %w", name, err)
		}
		if _, err := w.Write(body); err != nil {
			return fmt.Errorf("asset %s: %w", name, err)
		}
		if err := w.Close(); err != nil {
			return fmt.Errorf("asset %s: %w", name, err)
		}
		if small.Len() < len(body) {
			f.gzipped = small.Bytes()
		}
	}
	a.byName[name] = f
	a.byPath[f.path()] = f
	return nil
}

func (f *asset) path() string { return StaticPrefix + f.hash + "/" + f.name }

// contentType is empty for a file that is not served.
func contentType(name string) string {
	switch path.Ext(name) {
	case ".css":
		return "text/css; charset=utf-8"
	case ".js":
		return "text/javascript; charset=utf-8"
	case ".svg":
		return "image/svg+xml"
	case ".woff2":
		return "font/woff2"
	case ".txt":
		return "text/plain; charset=utf-8"
	case ".png", ".jpg", ".webp":
		return mime.TypeByExtension(path.Ext(name))
	}
	return ""
}

// URL returns the address of a file by its name. A name that does not exist
// gives an address that answers 404; a test asks for every name in use.
func (a *Assets) URL(name string) string {
	if f, ok := a.byName[name]; ok {
		return f.path()
	}
	return StaticPrefix + "missing/" + name
}

// Bytes returns a file's content by its name, nil for one that does not exist.
func (a *Assets) Bytes(name string) []byte {
	f, ok := a.byName[name]
	if !ok {
		return nil
	}
	return bytes.Clone(f.body)
}

// Names lists the files served, in order.
func (a *Assets) Names() []string {
	names := make([]string, 0, len(a.byName))
	for name := range a.byName {
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}

// ServeHTTP answers a request under [StaticPrefix].
func (a *Assets) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	f, ok := a.byPath[r.URL.Path]
	if !ok {
		http.Error(w, "There is no such file in this release. Load the page again.", http.StatusNotFound)
		return
	}
	h := w.Header()
	h.Set("Content-Type", f.kind)
	h.Set("Cache-Control", "public, max-age=31536000, immutable")
	body, tag := f.body, f.hash
	if f.gzipped != nil {
		h.Set("Vary", "Accept-Encoding")
		if acceptsGzip(r.Header.Get("Accept-Encoding")) {
			h.Set("Content-Encoding", "gzip")
			body, tag = f.gzipped, f.hash+"-gz"
		}
	}
	h.Set("ETag", `"`+tag+`"`)
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(body))
}

// acceptsGzip reads an Accept-Encoding header: gzip is listed and not given
// weight zero [RFC9110, 12.5.3].
func acceptsGzip(header string) bool {
	for part := range strings.SplitSeq(header, ",") {
		coding, weight, _ := strings.Cut(strings.TrimSpace(part), ";")
		if !strings.EqualFold(strings.TrimSpace(coding), "gzip") {
			continue
		}
		q := strings.TrimSpace(weight)
		return q != "q=0" && q != "q=0.0" && q != "q=0.00" && q != "q=0.000"
	}
	return false
}
