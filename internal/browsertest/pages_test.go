package browsertest

import (
	"fmt"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"golang.org/x/net/html"
)

// listed are all pages of a studio that has begun. Each is looked at in every light and at both
// widths. A page that can be reached from the rooms and is not listed fails TestPagesAreListed, as
// does a listed one that cannot be reached.
var listed = []string{
	"/desk",
	"/desk/sitters",
	"/desk/sitters/{id}",
	"/desk/sittings/{id}",
	"/floor",
	"/floor/bench",
	"/floor/bench/{id}",
	"/floor/bench/{id}/{method}",
	"/floor/bench/{id}/readings/{id}",
	"/floor/choose",
	"/floor/day", "/floor/wardrobe", "/floor/look",
	"/floor/year",
	"/floor/lenses",
	"/floor/lenses/new",
	"/floor/lenses/{id}",
	"/floor/cameras",
	"/floor/cameras/new",
	"/floor/cameras/{id}",
	"/floor/holders",
	"/floor/holders/new",
	"/floor/holders/{id}",
	"/floor/windows",
	"/floor/windows/new",
	"/floor/windows/{id}",
	"/floor/rigs",
	"/floor/rigs/new",
	"/floor/rigs/{id}",
	"/floor/rigs/{id}/readings",
	"/floor/spectra",
	"/floor/spectra/new",
	"/floor/spectra/{id}",
	"/floor/speeds",
	"/darkroom",
	"/darkroom/{number}",
	"/darkroom/shelf",
	"/darkroom/shelf/batches/new",
	"/darkroom/shelf/batches/{id}",
	"/darkroom/shelf/recipes/{id}",
	"/copystand",
	"/plates",
	"/plates/{number}",
	"/studio",
	"/about",
}

// unlinked are pages that no link leads to: the parts of the screens on one sheet, and what is answered when there is
// no such page.
var unlinked = []string{"/specimen", "/no-such-page"}

// atTheDoor are the pages that stand before the rooms; TestAtTheDoor looks at them.
var atTheDoor = []string{"/begin", "/login"}

// papers are addresses that rooms link to and that are no pages.
var papers = []string{
	"/floor/card.pdf",
	"/floor/wardrobe/brief.pdf",
	"/floor/bench/{id}/sheet.pdf",
	"/plates/{number}/card.pdf",
	"/plates/{number}/passport.pdf",
	"/plates/{number}/copies/{k}/original",
	"/plates/{number}/copies/{k}/true",
	"/plates/{number}/copies/{k}/view",
	"/plates/{number}/copies/{k}/thumb",
	"/static/{file}",
}

var (
	numberPart = regexp.MustCompile(`/[0-9]{2}-[0-9]{4,7}(/|$)`)
	copyPart   = regexp.MustCompile(`/copies/[0-9]+/`)
	benchPart  = regexp.MustCompile(`^/floor/bench/[^/]+(/readings/|/)?([^/]*)$`)
	idPart     = regexp.MustCompile(`^(/desk/sitters|/desk/sittings|/floor/lenses|/floor/cameras|/floor/holders|/floor/windows|/floor/rigs|/floor/spectra|/darkroom/shelf/batches|/darkroom/shelf/recipes)/([^/]+)(/readings)?$`)
)

// patternOf is the pattern an address belongs to.
func patternOf(path string) string {
	if strings.HasPrefix(path, "/static/") {
		return "/static/{file}"
	}
	path = numberPart.ReplaceAllString(path, "/{number}$1")
	path = copyPart.ReplaceAllString(path, "/copies/{k}/")
	if m := benchPart.FindStringSubmatch(path); m != nil {
		switch {
		case m[1] == "":
			return "/floor/bench/{id}"
		case m[1] == "/readings/":
			return "/floor/bench/{id}/readings/{id}"
		case m[2] == "sheet.pdf":
			return "/floor/bench/{id}/sheet.pdf"
		}
		return "/floor/bench/{id}/{method}"
	}
	if m := idPart.FindStringSubmatch(path); m != nil && m[2] != "new" {
		return m[1] + "/{id}" + m[3]
	}
	return path
}

// mostOfPattern bounds how many addresses of one pattern are asked for links.
const mostOfPattern = 6

// crawl follows every link from the rooms on and returns the addresses found, by pattern, with the
// first page each was linked from.
func crawl(base string) (map[string][]string, map[string]string, error) {
	asker := &http.Client{Timeout: 20 * time.Second}
	found, from := map[string][]string{}, map[string]string{}
	ahead := []string{"/desk", "/floor", "/darkroom", "/copystand", "/plates"}
	asked := map[string]bool{}
	keep := func(path, linkedFrom string) {
		pattern := patternOf(path)
		if from[pattern] == "" {
			from[pattern] = linkedFrom
		}
		if !slices.Contains(found[pattern], path) && len(found[pattern]) < mostOfPattern {
			found[pattern] = append(found[pattern], path)
			ahead = append(ahead, path)
		}
	}
	for _, path := range slices.Clone(ahead) {
		keep(path, "the rooms")
	}
	for len(ahead) > 0 {
		path := ahead[0]
		ahead = ahead[1:]
		if asked[path] || slices.Contains(papers, patternOf(path)) {
			continue
		}
		asked[path] = true
		r, err := asker.Get(base + path)
		if err != nil {
			return nil, nil, err
		}
		links, err := linksOf(r)
		if err != nil {
			return nil, nil, fmt.Errorf("%s: %w", path, err)
		}
		if r.StatusCode != http.StatusOK {
			return nil, nil, fmt.Errorf("%s, linked from %s, answers %s", path, from[patternOf(path)], r.Status)
		}
		if to := r.Request.URL.Path; to != path && !strings.Contains(path, "?") {
			keep(to, path)
		}
		for _, link := range links {
			to, err := r.Request.URL.Parse(link)
			if err != nil {
				return nil, nil, fmt.Errorf("%s links to %q: %w", path, link, err)
			}
			if (&url.URL{Scheme: to.Scheme, Host: to.Host}).String() != base {
				return nil, nil, fmt.Errorf("%s links away from the studio, to %s", path, link)
			}
			keep(to.Path, path)
		}
	}
	return found, from, nil
}

// linksOf returns where a page leads: links, and the addresses of forms that are asked for.
func linksOf(r *http.Response) (links []string, err error) {
	defer func() {
		if closed := r.Body.Close(); err == nil {
			err = closed
		}
	}()
	if !strings.HasPrefix(r.Header.Get("Content-Type"), "text/html") {
		return nil, fmt.Errorf("%s is %s and not listed among the papers", r.Request.URL.Path, r.Header.Get("Content-Type"))
	}
	page, err := html.Parse(r.Body)
	if err != nil {
		return nil, err
	}
	for n := range page.Descendants() {
		if n.Type != html.ElementNode {
			continue
		}
		attribute := map[string]string{}
		for _, a := range n.Attr {
			attribute[a.Key] = a.Val
		}
		switch {
		case n.Data == "a" && attribute["href"] != "":
			links = append(links, attribute["href"])
		case n.Data == "form" && attribute["action"] != "" && (attribute["method"] == "" || strings.EqualFold(attribute["method"], "get")):
			links = append(links, attribute["action"])
		}
	}
	return links, nil
}

// exampleServer serves the example studio, for tests that change nothing in it.
func exampleServer(t *testing.T) *server {
	t.Helper()
	dir, err := example()
	if err != nil {
		t.Fatal(err)
	}
	exampleServing.mu.Lock()
	defer exampleServing.mu.Unlock()
	if exampleServing.server == nil {
		s := &server{dir: dir, said: &said{}}
		s.start(t, "127.0.0.1:0")
		exampleServing.server = s
	}
	return exampleServing.server
}

// exampleServing is the one server of the example studio of this process; TestMain stops it.
var exampleServing struct {
	mu     sync.Mutex
	server *server
}

// stopExample ends the server of the example studio.
func stopExample() {
	s := exampleServing.server
	if s == nil {
		return
	}
	if err := s.command.Process.Kill(); err == nil {
		s.command.Wait()
	}
}

// visited are the pages of the example studio a test looks at: every listed pattern at its first
// address, and the unlinked ones.
func visited(t *testing.T, s *server) []string {
	t.Helper()
	found, _, err := crawl(s.base)
	if err != nil {
		t.Fatal(err)
	}
	var paths []string
	for _, pattern := range listed {
		if len(found[pattern]) == 0 {
			t.Errorf("no link leads to %s", pattern)
			continue
		}
		paths = append(paths, found[pattern][0])
	}
	return append(paths, unlinked...)
}

// TestPagesAreListed holds the list of pages against the links of the rooms, so that a new page is
// looked at in every light before it is finished.
func TestPagesAreListed(t *testing.T) {
	s := exampleServer(t)
	found, from, err := crawl(s.base)
	if err != nil {
		t.Fatal(err)
	}
	for pattern, paths := range found {
		if !slices.Contains(slices.Concat(listed, papers, atTheDoor), pattern) {
			t.Errorf("%s, linked from %s, is not listed in pages_test.go: add it, so that every light is tried on it", paths[0], from[pattern])
		}
	}
	for _, pattern := range listed {
		if len(found[pattern]) == 0 {
			t.Errorf("%s is listed, and no link from the rooms leads to it", pattern)
		}
	}
}
