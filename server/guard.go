package server

import (
	"log/slog"
	"net"
	"net/http"
	"runtime/debug"
	"slices"
	"strconv"
	"strings"
	"time"
)

// Names are the hosts under which the server answers. A page of another site can make a browser send requests to this address
// under its own name (DNS rebinding); those are refused.
type Names struct {
	Port  int
	Hosts []string // lower case, IPv6 without brackets
}

// loopbackNames are what a browser on the same machine calls it.
var loopbackNames = []string{"127.0.0.1", "localhost", "::1"}

func (n Names) allows(host string) bool {
	name, port, err := net.SplitHostPort(host)
	if err != nil { // without a port it is HTTP's own
		name, port = strings.Trim(host, "[]"), "80"
	}
	return port == strconv.Itoa(n.Port) && slices.Contains(n.Hosts, strings.ToLower(name))
}

// policy lets the page load its own files and call its own server, and nothing else: no inline script, no other site.
// three.js makes textures from blobs and data; nothing runs from them. A sheet is shown in a frame, where it can do nothing (sheetPolicy).
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; font-src 'self'; connect-src 'self'; frame-src 'self'; " +
	"manifest-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

// guarded refuses what no page of ours sends, and puts the headers on that keep a browser from being used against the workshop.
func (s *Server) guarded(names Names, next http.Handler) http.Handler {
	cross := http.NewCrossOriginProtection()
	cross.SetDenyHandler(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		refuse(w, http.StatusForbidden, "Another site's request", "found a change asked for by another site's page, expected this workbench's own. Nothing was done")
	}))
	inner := cross.Handler(next)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("X-Frame-Options", "DENY") // for browsers that do not know frame-ancestors
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		if !names.allows(r.Host) {
			refuse(w, http.StatusMisdirectedRequest, "Unknown host name", "found a request under another host name, expected the address that the program printed")
			return
		}
		if isAPI(r.URL.Path) {
			h.Set("Cache-Control", "no-store")
			// Reading across sites gives a page nothing, for want of CORS headers, but it could keep the program busy.
			if site := r.Header.Get("Sec-Fetch-Site"); site == "cross-site" || site == "same-site" {
				refuse(w, http.StatusForbidden, "Another site's request", "found a request of another site's page, expected this workbench's own")
				return
			}
		}
		inner.ServeHTTP(w, r)
	})
}

func isAPI(path string) bool { return strings.HasPrefix(path, "/api/") || path == "/openapi.json" }

// refuse answers a request that does not come as far as the API.
func refuse(w http.ResponseWriter, status int, title, detail string) {
	w.Header().Set("Content-Type", problemType)
	w.Header().Set("Cache-Control", "no-store")
	w.WriteHeader(status)
	encode(w, &Problem{Title: title, Status: status, Detail: detail})
}

// A spy notes what was answered, for the log.
type spy struct {
	http.ResponseWriter
	status int
}

func (s *spy) WriteHeader(status int) {
	if s.status == 0 {
		s.status = status
	}
	s.ResponseWriter.WriteHeader(status)
}

func (s *spy) Write(b []byte) (int, error) {
	if s.status == 0 {
		s.status = http.StatusOK
	}
	return s.ResponseWriter.Write(b)
}

// Unwrap lets http.ResponseController reach what it needs.
func (s *spy) Unwrap() http.ResponseWriter { return s.ResponseWriter }

// logged writes a line for each request and turns a panic into an answer. Paths hold no names of the builder's; queries and
// bodies, which do, are not logged.
func (s *Server) logged(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		started := time.Now()
		watched := &spy{ResponseWriter: w}
		defer func() {
			fault := recover()
			if fault != nil && fault != http.ErrAbortHandler {
				s.log.ErrorContext(r.Context(), "a request broke off", "method", r.Method, "path", r.URL.Path, "fault", fault, "stack", string(debug.Stack()))
				if watched.status == 0 {
					refuse(watched, http.StatusInternalServerError, "Unexpected error", "the program met an error that it did not expect; its log says more")
				}
			}
			level := slog.LevelDebug
			if watched.status >= http.StatusInternalServerError {
				level = slog.LevelWarn
			}
			s.log.Log(r.Context(), level, "request", "method", r.Method, "path", r.URL.Path, "status", watched.status, "took", time.Since(started).Round(time.Microsecond))
			if fault == http.ErrAbortHandler {
				panic(fault)
			}
		}()
		next.ServeHTTP(watched, r)
	})
}
