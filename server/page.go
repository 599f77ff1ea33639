package server

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"io/fs"
	"mime"
	"net/http"
	"path"
	"strconv"
	"strings"
	"sync"

	"github.com/klauspost/compress/gzip"
)

// A page serves the built workbench from memory.
type page struct {
	files map[string]file // by path without the leading slash
}

type file struct {
	body   []byte
	zipped func() []byte // the same as gzip, made once; nil when that gains nothing
	kind   string
	tag    string
}

// endings are the types of the page's files; a machine's own table of types may be wrong.
var endings = map[string]string{
	".html": "text/html; charset=utf-8", ".js": "text/javascript; charset=utf-8", ".css": "text/css; charset=utf-8", ".svg": "image/svg+xml",
	".json": "application/json", ".woff2": "font/woff2", ".png": "image/png", ".ico": "image/x-icon", ".webmanifest": "application/manifest+json",
	".txt": "text/plain; charset=utf-8",
}

// packed are endings of files that are compressed already.
var packed = map[string]bool{".woff2": true, ".png": true, ".ico": true}

func squeezed(body []byte) []byte {
	var b bytes.Buffer
	w := gzip.NewWriter(&b)
	w.Write(body) // to memory: cannot fail
	w.Close()
	return b.Bytes()
}

func newPage(built fs.FS) (*page, error) {
	p := &page{files: map[string]file{}}
	if built == nil {
		return p, nil
	}
	err := fs.WalkDir(built, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		body, err := fs.ReadFile(built, name)
		if err != nil {
			return err
		}
		kind, known := endings[path.Ext(name)]
		if !known {
			if kind = mime.TypeByExtension(path.Ext(name)); kind == "" {
				kind = "application/octet-stream"
			}
		}
		sum := sha256.Sum256(body)
		f := file{body: body, kind: kind, tag: fmt.Sprintf(`"%x"`, sum[:8])}
		if len(body) > 1024 && !packed[path.Ext(name)] {
			f.zipped = sync.OnceValue(func() []byte { return squeezed(body) })
		}
		p.files[name] = f
		return nil
	})
	return p, err
}

func (p *page) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	if r.Method != http.MethodGet && r.Method != http.MethodHead {
		w.Header().Set("Allow", "GET, HEAD")
		refuse(w, http.StatusMethodNotAllowed, "Not possible here", "found the method "+r.Method+", expected GET")
		return
	}
	name := strings.TrimPrefix(path.Clean(r.URL.Path), "/")
	f, ok := p.files[name]
	if !ok && path.Ext(name) == "" && !isAPI(r.URL.Path) { // a place within the page
		name = "index.html"
		f, ok = p.files[name]
	}
	if !ok {
		refuse(w, http.StatusNotFound, "Not there", "found nothing at this address")
		return
	}
	h := w.Header()
	h.Set("Content-Type", f.kind)
	h.Set("ETag", f.tag)
	h.Set("Cache-Control", "no-cache")
	if strings.HasPrefix(name, "assets/") { // their names change with their content
		h.Set("Cache-Control", "public, max-age=31536000, immutable")
	}
	if match := r.Header.Get("If-None-Match"); match != "" && strings.Contains(match, f.tag) {
		w.WriteHeader(http.StatusNotModified)
		return
	}
	if r.Method == http.MethodHead {
		return
	}
	body := f.body
	if f.zipped != nil {
		h.Set("Vary", "Accept-Encoding")
		if takesGzip(r.Header.Get("Accept-Encoding")) {
			body = f.zipped()
			h.Set("Content-Encoding", "gzip")
		}
	}
	h.Set("Content-Length", strconv.Itoa(len(body)))
	w.Write(body)
}

// takesGzip reads an Accept-Encoding header (RFC 9110, 12.5.3): gzip is named, and not with weight 0.
func takesGzip(header string) bool {
	for _, part := range strings.Split(header, ",") {
		name, weight, _ := strings.Cut(strings.TrimSpace(part), ";")
		if strings.TrimSpace(name) == "gzip" {
			q, err := strconv.ParseFloat(strings.TrimPrefix(strings.TrimSpace(weight), "q="), 64)
			return weight == "" || err == nil && q > 0
		}
	}
	return false
}
