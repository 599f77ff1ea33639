package cli

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"
)

// notes gathers output that several goroutines write.
type notes struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (n *notes) Write(p []byte) (int, error) {
	n.mu.Lock()
	defer n.mu.Unlock()
	return n.b.Write(p)
}

func (n *notes) String() string {
	n.mu.Lock()
	defer n.mu.Unlock()
	return n.b.String()
}

// startServe runs the command until the test stops it, and gives the address it printed.
func startServe(t *testing.T, args ...string) (url string, errOut *notes, stop func() error) {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	c := newServeCommand()
	c.SetContext(ctx)
	c.SetArgs(append([]string{"--no-open"}, args...))
	c.SilenceErrors, c.SilenceUsage = true, true
	r, w := io.Pipe()
	errOut = &notes{}
	c.SetOut(w)
	c.SetErr(errOut)
	done := make(chan error, 1)
	go func() {
		err := c.Execute()
		w.Close()
		done <- err
	}()
	line, err := bufio.NewReader(r).ReadString('\n')
	if err != nil {
		t.Fatalf("the command said nothing: %v, %v", <-done, errOut)
	}
	url, ok := strings.CutPrefix(strings.TrimSpace(line), "listening on ")
	if !ok {
		t.Fatalf("found %q, expected listening on http://…", line)
	}
	var once sync.Once
	var end error
	stop = func() error {
		once.Do(func() {
			cancel()
			select {
			case end = <-done:
			case <-time.After(10 * time.Second):
				t.Error("the command does not end")
			}
		})
		return end
	}
	t.Cleanup(func() { stop() })
	return url, errOut, stop
}

func get(t *testing.T, url string, into any) {
	t.Helper()
	res, err := http.Get(url)
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	if res.StatusCode != http.StatusOK {
		t.Fatalf("%s: %s", url, res.Status)
	}
	if err := json.NewDecoder(res.Body).Decode(into); err != nil {
		t.Fatal(err)
	}
}

type rigList struct {
	Rigs []struct{ ID, File, Name string }
}

// The first start shows the demo rigs; the second one shows the same workshop and adds nothing.
func TestServe(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "ws")
	url, said, stop := startServe(t, "--addr", "127.0.0.1:0", "--workshop", folder, "--units", "us")
	var list rigList
	get(t, url+"/api/rigs", &list)
	if len(list.Rigs) != 4 || !strings.Contains(said.String(), "demo rigs") {
		t.Errorf("found %+v, %q", list, said)
	}
	var about struct{ Units, Folder string }
	get(t, url+"/api/workshop", &about)
	if about.Units != "us" || about.Folder != folder {
		t.Errorf("found %+v", about)
	}
	body := `{"file": "own.rig.yaml", "starter": "Own"}`
	res, err := http.Post(url+"/api/rigs", "application/json", strings.NewReader(body))
	if err != nil || res.StatusCode != http.StatusCreated {
		t.Fatalf("%v, %v", res, err)
	}
	res.Body.Close()
	res, err = http.Get(url + "/")
	if err != nil || res.Header.Get("Content-Type") != "text/html; charset=utf-8" {
		t.Errorf("found %v, %v, expected the page", res, err)
	}
	res.Body.Close()
	if err := stop(); err != nil {
		t.Fatal(err)
	}
	url, said, stop = startServe(t, "--addr", "127.0.0.1:0", "--workshop", folder)
	get(t, url+"/api/rigs", &list)
	if len(list.Rigs) != 5 || strings.Contains(said.String(), "demo") {
		t.Errorf("found %+v, %q, expected what was saved", list, said)
	}
	if err := stop(); err != nil {
		t.Fatal(err)
	}
	if left, _ := filepath.Glob(filepath.Join(folder, "*")); len(left) != 1 {
		t.Errorf("found %v, expected one file after a clean end", left)
	}
}

func TestServeRefuses(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o644); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"--addr", "0.0.0.0:0"}, "--open-to-network"},
		{[]string{"--addr", "here"}, "host:port"},
		{[]string{"--units", "furlong"}, "furlong"},
		{[]string{"--workshop", file}, "should be a folder"},
	} {
		var out, errOut bytes.Buffer
		args := append([]string{"serve", "--no-open", "--addr", "127.0.0.1:0", "--workshop", filepath.Join(t.TempDir(), "never")}, c.args...)
		if status := Run(args, nil, &out, &errOut); status != 2 || !strings.Contains(errOut.String(), c.want) {
			t.Errorf("%v: found status %d, %q, expected %q", c.args, status, errOut.String(), c.want)
		}
	}
}
