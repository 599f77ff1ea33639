package server

import (
	"bufio"
	"encoding/json"
	"net/http"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"lowslung/store"
)

type heard struct {
	name string
	Happening
}

// hear listens to the events until the test ends.
func (b *shop) hear() <-chan heard {
	b.t.Helper()
	res, err := http.Get(b.base + eventsPath)
	if err != nil {
		b.t.Fatal(err)
	}
	if kind := res.Header.Get("Content-Type"); res.StatusCode != 200 || kind != "text/event-stream" {
		b.t.Fatalf("found status %d, type %s", res.StatusCode, kind)
	}
	b.t.Cleanup(func() { res.Body.Close() })
	lines := bufio.NewScanner(res.Body)
	if !lines.Scan() || !strings.HasPrefix(lines.Text(), ":") {
		b.t.Fatalf("found %q, expected a comment at once so that the page knows it is connected", lines.Text())
	}
	out := make(chan heard, 100)
	go func() {
		var h heard
		for lines.Scan() {
			switch text := lines.Text(); {
			case strings.HasPrefix(text, "event: "):
				h.name = text[len("event: "):]
			case strings.HasPrefix(text, "data: "):
				if json.Unmarshal([]byte(text[len("data: "):]), &h.Happening) == nil {
					out <- h
				}
			}
		}
	}()
	return out
}

func wantHeard(t *testing.T, events <-chan heard, want ...heard) {
	t.Helper()
	for _, w := range want {
		select {
		case h := <-events:
			if h != w {
				t.Errorf("heard %+v, expected %+v", h, w)
			}
		case <-time.After(5 * time.Second):
			t.Fatalf("heard nothing, expected %+v", w)
		}
	}
}

func TestEvents(t *testing.T) {
	b := openShop(t)
	time.Sleep(50 * time.Millisecond) // the watcher has looked once
	events := b.hear()
	rig := b.do("POST", "/api/rigs", map[string]string{"file": "heard.rig.yaml", "text": "lowslung: 1\n"}).want(201).rig()
	started := time.Now()
	wantHeard(t, events, heard{"saved", Happening{rig.ID, 1}})
	if took := time.Since(started); took > 200*time.Millisecond {
		t.Errorf("an own save was heard after %v, expected it at once", took)
	}
	rig = b.do("PUT", "/api/rigs/"+rig.ID, map[string]string{"text": "lowslung: 1\nname: x\n"}, "If-Match", tag(rig)).want(200).rig()
	wantHeard(t, events, heard{"saved", Happening{rig.ID, 2}})

	// What builds on a base hears that its answers may differ.
	base, built, read := b.find("bramble.rig.yaml"), b.find("bramble-portal.rig.yaml"), b.find("bramble-bench.rig.yaml")
	b.do("PUT", "/api/rigs/"+base.ID, map[string]string{"text": base.Text + "\n# looked at\n"}, "If-Match", tag(base)).want(200)
	wantHeard(t, events, heard{"saved", Happening{base.ID, 2}}, heard{"answers", Happening{read.ID, read.Revision}}, heard{"answers", Happening{built.ID, built.Revision}})

	// Another process saves, as the command line does.
	other, err := store.Open(t.Context(), filepath.Dir(b.store.Path()), store.Options{MustExist: true})
	if err != nil {
		t.Fatal(err)
	}
	defer other.Close()
	d, err := other.Create(t.Context(), "elsewhere.rig.yaml", []byte("lowslung: 1\n"), "")
	if err != nil {
		t.Fatal(err)
	}
	wantHeard(t, events, heard{"saved", Happening{b.find("elsewhere.rig.yaml").ID, 1}})
	if err := other.Remove(t.Context(), d.ID, d.Version()); err != nil {
		t.Fatal(err)
	}
	h := <-events
	if h.name != "removed" {
		t.Errorf("heard %+v, expected removed", h)
	}
}

// A listener that does not read is let go instead of holding everything up.
func TestSlowListener(t *testing.T) {
	h := newHub()
	events, leave := h.listen()
	defer leave()
	for range behind + 10 {
		h.tell("saved", Happening{"1", 1})
	}
	n := 0
	for range events {
		n++
	}
	if n != behind {
		t.Errorf("found %d events, expected %d and then the end", n, behind)
	}
}
