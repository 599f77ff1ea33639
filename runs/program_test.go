package runs

import (
	"bufio"
	"bytes"
	"encoding/json"
	"io"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"lowslung/search"
)

// The program itself: a workbench that keeps its searches in a database and works on none, a worker, a wrong password.
func TestProgram(t *testing.T) {
	t.Parallel()
	at := database(t)
	folder := t.TempDir()
	program := filepath.Join(folder, "lowslung")
	if text, err := exec.Command("go", "build", "-o", program, "../cmd/lowslung").CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	for name, text := range small(t, 1) {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	workshop := filepath.Join(folder, "workshop")
	said := new(said)
	run := func(args ...string) *exec.Cmd {
		c := exec.Command(program, args...)
		c.Dir = folder
		c.Env = append(os.Environ(), "LOWSLUNG_SEARCHES="+at)
		c.Stderr = said
		return c
	}
	if err := run("workshop", "import", "--workshop", workshop, demo).Run(); err != nil {
		t.Fatal(err, said)
	}
	begin := func(words string, args ...string) string {
		t.Helper()
		c := run(args...)
		out, err := c.StdoutPipe()
		if err == nil {
			err = c.Start()
		}
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() {
			_ = c.Process.Signal(os.Interrupt)
			if err := c.Wait(); err != nil {
				t.Errorf("%s does not end properly: %v\n%s", args[0], err, said)
			}
		})
		lines := bufio.NewReader(io.TeeReader(out, said))
		line, _ := lines.ReadString('\n')
		if !strings.Contains(line, words) {
			t.Fatalf("%s says %q, expected %q\n%s", args[0], line, words, said)
		}
		go io.Copy(io.Discard, lines) // which says it too
		return strings.TrimSpace(line)
	}
	base := strings.TrimPrefix(begin("listening on ", "serve", "--workshop", workshop, "--addr", "127.0.0.1:0", "--no-open", "--leave-searches"), "listening on ")
	ask := func(method, path, body string, into any) {
		t.Helper()
		q, err := http.NewRequestWithContext(t.Context(), method, base+path, strings.NewReader(body))
		if err != nil {
			t.Fatal(err)
		}
		q.Header.Set("Content-Type", "application/json")
		r, err := http.DefaultClient.Do(q)
		if err != nil {
			t.Fatal(err)
		}
		defer r.Body.Close()
		text, err := io.ReadAll(r.Body)
		if err != nil || r.StatusCode >= 300 {
			t.Fatalf("%s %s: %d %s %v", method, path, r.StatusCode, text, err)
		}
		if err := json.Unmarshal(text, into); err != nil {
			t.Fatal(err)
		}
	}
	var rigs struct {
		Rigs []struct{ ID, File string }
	}
	ask("GET", "/api/rigs", "", &rigs)
	var r Run
	for _, one := range rigs.Rigs {
		if one.File == demo {
			ask("POST", "/api/rigs/"+one.ID+"/searches", `{"builds": 6}`, &r)
		}
	}
	time.Sleep(1500 * time.Millisecond)
	if ask("GET", "/api/searches/"+r.ID, "", &r); r.State != Waiting {
		t.Errorf("nobody works, and it is %s", r.State)
	}
	begin("working on the searches in postgres://127.0.0.1", "work", "--processors", "1")
	for end := time.Now().Add(30 * time.Second); r.State != Done; time.Sleep(50 * time.Millisecond) {
		if ask("GET", "/api/searches/"+r.ID, "", &r); r.State == Failed || time.Now().After(end) {
			t.Fatalf("%+v\n%s", r, said)
		}
	}
	var got, want search.Answer
	ask("GET", "/api/searches/"+r.ID+"/answer", "", &got)
	text, err := run("search", demo, "--json").Output()
	if err == nil {
		err = json.Unmarshal(text, &want)
	}
	if err != nil {
		t.Fatal(err)
	}
	got.Seconds, want.Seconds = nil, nil
	one, _ := json.Marshal(got)
	two, _ := json.Marshal(want)
	if !bytes.Equal(one, two) || len(got.Builds) == 0 {
		t.Errorf("by the worker:\n%.1000s\nby the command:\n%.1000s", one, two)
	}
	wrong, err := url.Parse(at)
	if err != nil {
		t.Fatal(err)
	}
	wrong.User = url.UserPassword(pgUser, "geheim no more")
	for _, args := range [][]string{{"serve", "--workshop", workshop, "--addr", "127.0.0.1:0", "--no-open"}, {"work"}} {
		c := run(append(args, "--searches", wrong.String())...)
		c.Stderr = nil
		text, err := c.CombinedOutput()
		said.Write(text)
		if err == nil || !strings.Contains(string(text), `does not let the user "club" in`) {
			t.Errorf("%s: %v, %s", args[0], err, text)
		}
	}
	if strings.Contains(said.String(), "geheim") {
		t.Errorf("a password is told:\n%s", said)
	}
	if !strings.Contains(said.String(), "search "+r.ID+", "+demo+": done after") {
		t.Errorf("the worker says nothing of what it did:\n%s", said)
	}
}

// said is what programs print.
type said struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (s *said) Write(p []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.b.Write(p)
}

func (s *said) String() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.b.String()
}
