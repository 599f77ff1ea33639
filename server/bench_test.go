package server

import (
	"fmt"
	"io"
	"net/http"
	"strings"
	"testing"
)

// fetch is a request as the page makes it: over loopback, compressed, read to its end.
func (b *shop) fetch(method, path, body string, headers ...string) (int, string) {
	req, err := http.NewRequest(method, b.base+path, strings.NewReader(body))
	if err != nil {
		b.t.Fatal(err)
	}
	req.Header.Set("Content-Type", "application/json")
	for i := 0; i < len(headers); i += 2 {
		req.Header.Set(headers[i], headers[i+1])
	}
	res, err := http.DefaultClient.Do(req)
	if err != nil {
		b.t.Fatal(err)
	}
	defer res.Body.Close()
	if _, err := io.Copy(io.Discard, res.Body); err != nil {
		b.t.Fatal(err)
	}
	return res.StatusCode, res.Header.Get("ETag")
}

// BenchmarkPull is one wheel pull, asked and answered over loopback: ≤ 16 ms is asked for.
func BenchmarkPull(b *testing.B) {
	s := openShop(b)
	id := s.find("bramble-portal.rig.yaml").ID
	n := 0
	for b.Loop() {
		n++
		left := float64(n%40) - 20
		if status, _ := s.fetch("GET", fmt.Sprintf("/api/rigs/%s/pull?axle=rear&left=%g&right=%g", id, left, -left/2), ""); status != 200 {
			b.Fatal(status)
		}
	}
}

// BenchmarkSaveToCheck is a change of one weight, saved, and every answer of the changed rig: ≤ 100 ms is asked for.
func BenchmarkSaveToCheck(b *testing.B) {
	s := openShop(b)
	rig := s.find("bramble-portal.rig.yaml")
	etag := tag(rig)
	n := 0
	for b.Loop() {
		n++
		body := fmt.Sprintf(`{"changes":[{"path":["chassis","parts","belly","mass"],"value":"%d g"}]}`, 40+n%100)
		status, next := s.fetch("POST", "/api/rigs/"+rig.ID+"/edit", body, "If-Match", etag)
		if status != 200 {
			b.Fatal(status)
		}
		etag = next
		if status, _ := s.fetch("GET", "/api/rigs/"+rig.ID+"/check", ""); status != 200 {
			b.Fatal(status)
		}
	}
}

// BenchmarkCheckAgain is every answer of a rig that has not changed.
func BenchmarkCheckAgain(b *testing.B) {
	s := openShop(b)
	id := s.find("bramble-portal.rig.yaml").ID
	for b.Loop() {
		if status, _ := s.fetch("GET", "/api/rigs/"+id+"/check", ""); status != 200 {
			b.Fatal(status)
		}
	}
}
