package demo

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"golang.org/x/net/html"
)

// browser asks for pages and sends their forms as a person's browser does, without a network: it
// sends what a form holds, fills only fields that the form has, follows where it is led, and takes a
// page that says something is wrong for an error.
type browser struct {
	client *http.Client
	base   string // "http://127.0.0.1:8417"
}

func newBrowser(h http.Handler, base string) *browser {
	return &browser{client: &http.Client{Transport: inProcess{h}}, base: strings.TrimSuffix(base, "/")}
}

// inProcess hands requests to a handler of this process.
type inProcess struct{ handler http.Handler }

func (t inProcess) RoundTrip(r *http.Request) (*http.Response, error) {
	sent := r.Clone(r.Context())
	sent.RequestURI, sent.RemoteAddr, sent.Host = r.URL.RequestURI(), "127.0.0.1:1", r.URL.Host
	sent.Proto, sent.ProtoMajor, sent.ProtoMinor = "HTTP/1.1", 1, 1 // a redirect leaves them out
	if sent.Body == nil {
		sent.Body = http.NoBody
	}
	w := &answer{header: make(http.Header)}
	t.handler.ServeHTTP(w, sent)
	w.WriteHeader(http.StatusOK)
	return &http.Response{
		Status: http.StatusText(w.status), StatusCode: w.status, Proto: "HTTP/1.1", ProtoMajor: 1, ProtoMinor: 1,
		Header: w.sent, Body: io.NopCloser(&w.body), ContentLength: int64(w.body.Len()), Request: r,
	}, nil
}

// answer keeps what a handler answers.
type answer struct {
	header, sent http.Header
	status       int // 0 until the head is written
	body         bytes.Buffer
}

func (w *answer) Header() http.Header { return w.header }

func (w *answer) WriteHeader(status int) {
	if w.status == 0 && status >= 200 {
		w.status, w.sent = status, w.header.Clone()
	}
}

func (w *answer) Write(b []byte) (int, error) {
	w.WriteHeader(http.StatusOK)
	return w.body.Write(b)
}

// page is what came back.
type page struct {
	url    *url.URL // where one was led to
	header http.Header
	body   []byte
}

// do sends a request and returns the page it ends at, or what the page says is wrong.
func (b *browser) do(r *http.Request) (*page, error) {
	if r.Method != http.MethodGet {
		r.Header.Set("Origin", b.base)
		r.Header.Set("Sec-Fetch-Site", "same-origin")
	}
	resp, err := b.client.Do(r)
	if err != nil {
		return nil, err
	}
	body, err := io.ReadAll(resp.Body)
	if err != nil {
		return nil, fmt.Errorf("%s %s: %w", r.Method, r.URL.Path, err)
	}
	if err := resp.Body.Close(); err != nil {
		return nil, fmt.Errorf("%s %s: %w", r.Method, r.URL.Path, err)
	}
	if resp.StatusCode >= 400 {
		return nil, fmt.Errorf("%s %s: status %d: %s", r.Method, r.URL.Path, resp.StatusCode, wrong(body))
	}
	return &page{resp.Request.URL, resp.Header, body}, nil
}

func (b *browser) get(ctx context.Context, path string) (*page, error) {
	r, err := http.NewRequestWithContext(ctx, http.MethodGet, b.base+path, nil)
	if err != nil {
		return nil, err
	}
	return b.do(r)
}

func (b *browser) post(ctx context.Context, path, kind string, body []byte) (*page, error) {
	r, err := http.NewRequestWithContext(ctx, http.MethodPost, b.base+path, bytes.NewReader(body))
	if err != nil {
		return nil, err
	}
	r.Header.Set("Content-Type", kind)
	return b.do(r)
}

// upload is a file chosen in a form.
type upload struct {
	field, name string
	content     []byte
}

// fill takes the form at action from a page, fills in what is given and sends it, with a file where
// one is chosen. It refuses fields the form does not have and choices it does not offer.
func (b *browser) fill(ctx context.Context, on *page, action string, fields map[string]string, file *upload) (*page, error) {
	f, err := on.form(action)
	if err != nil {
		return nil, err
	}
	for name, value := range fields {
		if err := f.set(name, value); err != nil {
			return nil, err
		}
	}
	target, err := on.url.Parse(f.action)
	if err != nil {
		return nil, fmt.Errorf("form %s: %w", f.action, err)
	}
	if file == nil {
		return b.post(ctx, target.RequestURI(), "application/x-www-form-urlencoded", []byte(f.values.Encode()))
	}
	if !slices.Contains(f.files, file.field) {
		return nil, fmt.Errorf("form %s takes no file %q; it takes %v", f.action, file.field, f.files)
	}
	var body bytes.Buffer
	w := multipart.NewWriter(&body)
	for name, values := range f.values {
		for _, v := range values {
			if err := w.WriteField(name, v); err != nil {
				return nil, err
			}
		}
	}
	part, err := w.CreateFormFile(file.field, file.name)
	if err != nil {
		return nil, err
	}
	if _, err := part.Write(file.content); err != nil {
		return nil, err
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	return b.post(ctx, target.RequestURI(), w.FormDataContentType(), body.Bytes())
}

// look takes the form that posts to action from a page, fills in what is given and asks for the page
// again with it, sending nothing, as a form's second button does.
func (b *browser) look(ctx context.Context, on *page, action string, fields map[string]string) (*page, error) {
	f, err := on.form(action)
	if err != nil {
		return nil, err
	}
	for name, value := range fields {
		if err := f.set(name, value); err != nil {
			return nil, err
		}
	}
	return b.get(ctx, action+"?"+f.values.Encode())
}

// webForm is a form of a page with what it would send as it stands.
type webForm struct {
	action  string
	values  url.Values
	known   map[string]bool
	choices map[string][]string // of selects and radio buttons
	files   []string
}

func (f *webForm) set(name, value string) error {
	if !f.known[name] {
		return fmt.Errorf("form %s has no field %q", f.action, name)
	}
	if c, ok := f.choices[name]; ok && !slices.Contains(c, value) {
		return fmt.Errorf("form %s offers %q for %s, not %q", f.action, c, name, value)
	}
	f.values.Set(name, value)
	return nil
}

// form finds the form that is posted to a path.
func (p *page) form(action string) (*webForm, error) {
	root, err := html.Parse(bytes.NewReader(p.body))
	if err != nil {
		return nil, fmt.Errorf("page %s: %w", p.url.Path, err)
	}
	var seen []string
	for n := range root.Descendants() {
		if n.Type != html.ElementNode || n.Data != "form" || !strings.EqualFold(attr(n, "method"), "post") {
			continue
		}
		at, err := p.url.Parse(attr(n, "action"))
		if err != nil {
			return nil, fmt.Errorf("page %s: %w", p.url.Path, err)
		}
		if at.Path == action {
			return read(n, root), nil
		}
		seen = append(seen, at.Path)
	}
	return nil, fmt.Errorf("page %s has no form for %s, only for %v", p.url.Path, action, seen)
}

// read reads a form's fields as they stand, those that belong to it by their form attribute too.
func read(n, root *html.Node) *webForm {
	f := &webForm{action: attr(n, "action"), values: make(url.Values), known: make(map[string]bool), choices: make(map[string][]string)}
	id := attr(n, "id")
	var inside func(n *html.Node)
	inside = func(n *html.Node) {
		for c := range n.ChildNodes() {
			f.field(c)
			inside(c)
		}
	}
	inside(n)
	if id != "" {
		for c := range root.Descendants() {
			if attr(c, "form") == id {
				f.field(c)
			}
		}
	}
	return f
}

// field takes one field of a form.
func (f *webForm) field(n *html.Node) {
	name := attr(n, "name")
	if n.Type != html.ElementNode || name == "" || has(n, "disabled") {
		return
	}
	kind := strings.ToLower(attr(n, "type"))
	switch {
	case n.Data == "textarea":
		f.known[name] = true
		var raw strings.Builder
		for c := range n.Descendants() {
			if c.Type == html.TextNode {
				raw.WriteString(c.Data)
			}
		}
		f.values.Set(name, raw.String())
	case n.Data == "select":
		f.known[name] = true
		for o := range n.Descendants() {
			if o.Type != html.ElementNode || o.Data != "option" {
				continue
			}
			value := attr(o, "value")
			if !has(o, "value") {
				value = text(o)
			}
			f.choices[name] = append(f.choices[name], value)
			if has(o, "selected") || !f.values.Has(name) {
				f.values.Set(name, value)
			}
		}
	case n.Data != "input" || kind == "submit" || kind == "button" || kind == "reset" || kind == "image":
		if n.Data == "button" { // sent only when it is the one pressed
			f.known[name] = true
		}
	case kind == "file":
		f.files = append(f.files, name)
	case kind == "radio":
		f.known[name] = true
		f.choices[name] = append(f.choices[name], attr(n, "value"))
		if has(n, "checked") {
			f.values.Set(name, attr(n, "value"))
		}
	case kind == "checkbox":
		f.known[name] = true
		if has(n, "checked") {
			f.values.Set(name, attr(n, "value"))
		}
	default:
		f.known[name] = true
		f.values.Set(name, attr(n, "value"))
	}
}

func attr(n *html.Node, key string) string {
	for _, a := range n.Attr {
		if a.Key == key {
			return a.Val
		}
	}
	return ""
}

func has(n *html.Node, key string) bool {
	return slices.ContainsFunc(n.Attr, func(a html.Attribute) bool { return a.Key == key })
}

// text is the text below a node, single-spaced.
func text(n *html.Node) string {
	var parts []string
	for c := range n.Descendants() {
		if c.Type == html.TextNode && c.Parent.Data != "script" && c.Parent.Data != "style" {
			parts = append(parts, strings.Fields(c.Data)...)
		}
	}
	return strings.Join(parts, " ")
}

// wrong is what a page says is wrong: its alerts, or the beginning of its main part.
func wrong(body []byte) string {
	root, err := html.Parse(bytes.NewReader(body))
	if err != nil {
		return "an answer that is no page"
	}
	var said []string
	whole := root
	for n := range root.Descendants() {
		if attr(n, "role") == "alert" || strings.Contains(" "+attr(n, "class")+" ", " error ") {
			said = append(said, text(n))
		}
		if n.Type == html.ElementNode && n.Data == "main" {
			whole = n
		}
	}
	if len(said) == 0 {
		said = []string{text(whole)}
	}
	words := strings.Join(said, "; ")
	if r := []rune(words); len(r) > 400 {
		words = string(r[:400]) + " ..."
	}
	return words
}
