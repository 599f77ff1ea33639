package server

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"io/fs"
	"log/slog"
	"net"
	"net/http"
	"strings"
	"sync"
	"testing"
	"testing/fstest"
	"time"

	"lowslung/examples"
	"lowslung/store"
)

// A shop is a running server on a workshop of its own, with the demo rigs in it.
type shop struct {
	t      testing.TB
	store  *store.Store
	server *Server
	base   string // http://127.0.0.1:PORT
	log    *lines
	stop   func() error
}

// lines gathers the log; several goroutines write it.
type lines struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (l *lines) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.Write(p)
}

func (l *lines) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.String()
}

var testPage = fstest.MapFS{
	"index.html":          {Data: []byte("<!doctype html><title>page</title>" + strings.Repeat("<p>filler</p>", 200))},
	"assets/index-abc.js": {Data: []byte("export const long = '" + strings.Repeat("x", 5000) + "'")},
}

func demo(t testing.TB) []store.Text {
	t.Helper()
	var texts []store.Text
	err := fs.WalkDir(examples.Files, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || strings.HasPrefix(name, ".") {
			return err
		}
		body, err := examples.Files.ReadFile(name)
		texts = append(texts, store.Text{Name: name, Body: body})
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return texts
}

func openShop(t testing.TB) *shop { return openShopWith(t, Options{}) }

// openShopWith is one whose searches are kept where the options say.
func openShopWith(t testing.TB, o Options) *shop {
	t.Helper()
	s, err := store.Open(context.Background(), t.TempDir(), store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.Import(context.Background(), demo(t), "demo"); err != nil {
		t.Fatal(err)
	}
	log := &lines{}
	o.Store, o.Page, o.Log = s, testPage, slog.New(slog.NewTextHandler(log, &slog.HandlerOptions{Level: slog.LevelDebug}))
	server, err := New(o)
	if err != nil {
		t.Fatal(err)
	}
	l, err := Listen("127.0.0.1:0", false)
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan error, 1)
	go func() { done <- server.Serve(ctx, l) }()
	var once sync.Once
	var end error
	b := &shop{t: t, store: s, server: server, base: "http://" + l.Addr().String(), log: log}
	b.stop = func() error {
		once.Do(func() {
			cancel()
			select {
			case end = <-done:
			case <-time.After(10 * time.Second):
				end = fmt.Errorf("the server does not stop")
			}
		})
		return end
	}
	t.Cleanup(func() {
		if err := b.stop(); err != nil {
			t.Error(err)
		}
		s.Close()
	})
	return b
}

// reply is an answer with its JSON taken apart.
type reply struct {
	t      testing.TB
	Status int
	Header http.Header
	Raw    []byte
}

func (b *shop) do(method, path string, body any, headers ...string) *reply {
	b.t.Helper()
	var r io.Reader
	switch v := body.(type) {
	case nil:
	case []byte:
		r = bytes.NewReader(v)
	default:
		text, err := json.Marshal(v)
		if err != nil {
			b.t.Fatal(err)
		}
		r = bytes.NewReader(text)
	}
	req, err := http.NewRequest(method, b.base+path, r)
	if err != nil {
		b.t.Fatal(err)
	}
	if body != nil {
		req.Header.Set("Content-Type", "application/json")
	}
	for i := 0; i < len(headers); i += 2 {
		if headers[i] == "Host" {
			req.Host = headers[i+1]
			continue
		}
		req.Header.Set(headers[i], headers[i+1])
	}
	res, err := http.DefaultClient.Do(req)
	if err != nil {
		b.t.Fatal(err)
	}
	defer res.Body.Close()
	raw, err := io.ReadAll(res.Body)
	if err != nil {
		b.t.Fatal(err)
	}
	return &reply{b.t, res.StatusCode, res.Header, raw}
}

func (r *reply) want(status int) *reply {
	r.t.Helper()
	if r.Status != status {
		r.t.Fatalf("found status %d, expected %d: %.600s", r.Status, status, r.Raw)
	}
	return r
}

func (r *reply) into(v any) *reply {
	r.t.Helper()
	if err := json.Unmarshal(r.Raw, v); err != nil {
		r.t.Fatalf("%v: %.300s", err, r.Raw)
	}
	return r
}

// problem checks that the answer is a problem of this status, in the right type.
func (r *reply) problem(status int, words ...string) Problem {
	r.t.Helper()
	r.want(status)
	if kind := r.Header.Get("Content-Type"); kind != problemType {
		r.t.Errorf("found the type %q, expected %s", kind, problemType)
	}
	var p Problem
	r.into(&p)
	if p.Status != status || p.Title == "" || p.Detail == "" {
		r.t.Errorf("found %+v, expected title, status %d and detail", p, status)
	}
	for _, w := range words {
		if !strings.Contains(p.Detail, w) {
			r.t.Errorf("found detail %q, expected %q in it", p.Detail, w)
		}
	}
	return p
}

func (r *reply) rig() Rig {
	r.t.Helper()
	var out Rig
	r.into(&out)
	if tag := fmt.Sprintf(`"%d-%.8s"`, out.Revision, out.Hash); r.Header.Get("ETag") != tag {
		r.t.Errorf("found ETag %s, expected %s", r.Header.Get("ETag"), tag)
	}
	return out
}

func tag(r Rig) string { return fmt.Sprintf(`"%d-%.8s"`, r.Revision, r.Hash) }

// find is a demo rig by file.
func (b *shop) find(file string) Rig {
	b.t.Helper()
	var list struct{ Rigs []Card }
	b.do("GET", "/api/rigs", nil).want(200).into(&list)
	for _, c := range list.Rigs {
		if c.File == file {
			return b.do("GET", "/api/rigs/"+c.ID, nil).want(200).rig()
		}
	}
	b.t.Fatalf("found no %s in %+v", file, list)
	return Rig{}
}

func TestShutdownIsPrompt(t *testing.T) {
	b := openShop(t)
	res, err := http.Get(b.base + eventsPath)
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	if _, err := res.Body.Read(make([]byte, 10)); err != nil {
		t.Fatal(err)
	}
	started := time.Now()
	if err := b.stop(); err != nil {
		t.Fatal(err)
	}
	if took := time.Since(started); took > time.Second {
		t.Errorf("stopping took %v with a listener to events, expected it to be let go at once", took)
	}
	if _, err := io.ReadAll(res.Body); err != nil {
		t.Errorf("the stream broke off (%v), expected it to end", err)
	}
	if _, err := net.DialTimeout("tcp", strings.TrimPrefix(b.base, "http://"), time.Second); err == nil {
		t.Error("something still listens")
	}
}

func TestListenRefusesOpenAddresses(t *testing.T) {
	for _, addr := range []string{"0.0.0.0:0", ":0", "[::]:0", "192.0.2.1:0", "example.test:80"} {
		l, err := Listen(addr, false)
		if err == nil {
			l.Close()
			t.Errorf("%s was opened, expected it refused", addr)
			continue
		}
		if !strings.Contains(err.Error(), "--open-to-network") {
			t.Errorf("%s: %v, expected what to say if that is meant", addr, err)
		}
	}
	for _, addr := range []string{"127.0.0.1", "nonsense"} {
		if _, err := Listen(addr, false); err == nil || !strings.Contains(err.Error(), "host:port") {
			t.Errorf("%s: %v", addr, err)
		}
	}
	l, err := Listen("0.0.0.0:0", true)
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	if n := NamesOf(l); !n.allows(fmt.Sprintf("localhost:%d", n.Port)) || n.allows(fmt.Sprintf("evil.test:%d", n.Port)) {
		t.Errorf("found %+v", n)
	}
}
