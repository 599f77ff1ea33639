package runs

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"strings"
	"sync"
	"testing"
	"time"

	"lowslung/rig"
	"lowslung/search"
)

// workerChild is a worker: a process that knows nothing but the database. It tells what it begins and ends.
func workerChild(at string) {
	s := placed(at, Setup{Work: func(ctx context.Context, t Task) ([]byte, error) {
		fmt.Println("begins", t.ID, t.Resume != nil)
		defer fmt.Println("ends", t.ID, 0)
		quick := t.Progress
		t.Progress = func(p search.Progress) {
			quick(p)
			time.Sleep(10 * time.Millisecond) // so that there is a middle to be killed in
		}
		return Seek(1)(ctx, t)
	}})
	s.Workshop = ""
	if err := brisk(New(s)).Wake(context.Background()); err != nil {
		fmt.Println("failed", err, 0)
		os.Exit(1)
	}
	select {}
}

// small is the demo with a space of some hundred combinations, another for each n; of some ten thousand for 0, which has checkpoints.
func small(t testing.TB, n int) map[string]string {
	t.Helper()
	out, err := texts()
	if err != nil {
		t.Fatal(err)
	}
	text, err := rig.RemoveIn([]byte(out[demo]), []string{"search"})
	for _, what := range []string{"shocks/front/springs", "shocks/rear/springs", "drive", "steer"} { // what takes long to check of a whole build
		if err == nil {
			b := []byte(out["bramble.rig.yaml"])
			b, err = rig.RemoveIn(b, strings.Split(what, "/"))
			out["bramble.rig.yaml"] = string(b)
		}
	}
	if err != nil {
		t.Fatal(err)
	}
	out[demo] = string(text) + fmt.Sprintf(`
search:
  vary:
    lower rod: {change: links/rear lower/rod/item, kind: rod, thread: M3}
    lower turns: {change: links/rear lower/turns, from: 0, to: 8, step: 1}
    %s
    upper turns: {change: links/rear upper/turns, from: 0, to: %d, step: 1}
  wants:
    rear anti-squat: {from: 20 %%}
  prefer:
    rear pinion angle swing: lower
`, map[bool]string{true: "upper rod: {change: links/rear upper/rod/item, kind: rod, thread: M3}\n    upper hole: {change: shocks/rear/top, holes_of: rear tower}"}[n == 0], 4+n)
	return out
}

// spaces are those of eight searches; the first one is the long one.
var spaces = [8]int{0, 1, 2, 1, 2, 1, 2, 1}

// heard is what workers tell, in the order in which it comes.
type heard struct {
	mu   sync.Mutex
	list []string // "worker begins run resumed"
}

func (h *heard) add(line string) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.list = append(h.list, line)
}

func (h *heard) all() []string {
	h.mu.Lock()
	defer h.mu.Unlock()
	return append([]string(nil), h.list...)
}

// startWorker starts a worker and listens to it.
func startWorker(t testing.TB, at, name string, to *heard) *exec.Cmd {
	t.Helper()
	c := exec.Command(os.Args[0])
	c.Env = append(os.Environ(), "LOWSLUNG_RUNS_WORKER="+at)
	c.Stderr = os.Stderr
	out, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		_ = c.Process.Kill()
		_ = c.Wait()
	})
	go func() {
		for lines := bufio.NewScanner(out); lines.Scan(); {
			to.add(name + " " + lines.Text())
		}
		to.add(name + " dies 0 0")
	}()
	return c
}

// Three workers, eight searches, and a page that works on none itself. One worker is killed in the middle of a search: another goes on with
// it from its checkpoint, no two ever work on the same, and every answer is that of search.Run.
func TestWorkers(t *testing.T) {
	t.Parallel()
	at := database(t)
	var mu sync.Mutex
	told := map[string]map[State]int{}
	s := placed(at, Setup{Tell: func(r Run) {
		mu.Lock()
		defer mu.Unlock()
		if told[r.ID] == nil {
			told[r.ID] = map[State]int{}
		}
		told[r.ID][r.State]++
	}})
	page := closing(t, brisk(New(s)))
	for n := range 8 {
		if _, err := page.Begin(t.Context(), Wish{Rig: 1, File: demo, Texts: small(t, spaces[n]), Options: Options{Builds: 2, Units: "metric"}}); err != nil {
			t.Fatal(err)
		}
	}
	h := new(heard)
	workers := map[string]*exec.Cmd{}
	for _, name := range []string{"a", "b", "c"} {
		workers[name] = startWorker(t, at, name, h)
	}
	victim, orphan := "", ""
	for end := time.Now().Add(20 * time.Second); orphan == "" && time.Now().Before(end); time.Sleep(5 * time.Millisecond) {
		list := h.all()
		busy := map[string]string{} // worker to run
		for _, line := range list {
			f := strings.Fields(line)
			switch f[1] {
			case "begins":
				busy[f[0]] = f[2]
			case "ends":
				delete(busy, f[0])
			}
		}
		for w, run := range busy {
			if hasCheckpoint(t, page, run) {
				victim, orphan = w, run
				_ = workers[w].Process.Kill()
				break
			}
		}
	}
	if orphan == "" {
		t.Fatal("no checkpoint to be killed after: ", h.all())
	}
	for n := range 8 {
		until(t, page, fmt.Sprint(n+1), is(Done))
	}
	t.Logf("worker %s was killed at run %s", victim, orphan)

	// Who worked on what, and when.
	at1 := map[string]string{} // run to worker
	times := map[string]int{}
	resumed := ""
	for _, line := range h.all() {
		f := strings.Fields(line)
		switch f[1] {
		case "begins":
			if other := at1[f[2]]; other != "" {
				t.Errorf("run %s: %s begins while %s works on it", f[2], f[0], other)
			}
			at1[f[2]] = f[0]
			if times[f[2]]++; times[f[2]] == 2 {
				resumed = f[2] + " " + f[3]
			}
		case "ends":
			delete(at1, f[2])
		case "dies":
			for run, w := range at1 {
				if w == f[0] {
					delete(at1, run)
				}
			}
		default:
			t.Error(line)
		}
	}
	for n := range 8 {
		run := fmt.Sprint(n + 1)
		want := 1
		if run == orphan {
			want = 2
		}
		if times[run] != want {
			t.Errorf("run %s was begun %d times, expected %d: %v", run, times[run], want, h.all())
		}
	}
	if resumed != orphan+" true" {
		t.Errorf("taken up again: %q, expected run %s from its checkpoint", resumed, orphan)
	}
	want := map[int]string{}
	for n, space := range spaces {
		run := fmt.Sprint(n + 1)
		if want[space] == "" {
			text, _ := json.Marshal(undisturbed(t, small(t, space)))
			want[space] = string(text)
		}
		text, err := page.Answer(t.Context(), run)
		if err != nil {
			t.Fatal(err)
		}
		var got search.Answer
		if err := json.Unmarshal(text, &got); err != nil {
			t.Fatal(err)
		}
		if text, _ := json.Marshal(got); string(text) != want[space] {
			t.Errorf("run %s:\n%.1000s\nsearch.Run:\n%.1000s", run, text, want[space])
		}
	}
	for end := time.Now().Add(5 * time.Second); ; time.Sleep(50 * time.Millisecond) { // the page looks once a pulse
		mu.Lock()
		short := ""
		for n := range 8 {
			if is := told[fmt.Sprint(n+1)]; is[Waiting] == 0 || is[Done] != 1 {
				short += fmt.Sprint(n+1, is, " ")
			}
		}
		if told[orphan][Running] < 2 {
			short += "run " + orphan + " was hardly seen to go on"
		}
		mu.Unlock()
		if short == "" {
			return
		}
		if time.Now().After(end) {
			t.Fatal("the page was told: ", short)
		}
	}
}

func hasCheckpoint(t testing.TB, b *Book, id string) (has bool) {
	t.Helper()
	if err := b.base.db.QueryRow(`SELECT checkpoint IS NOT NULL FROM run WHERE id = $1`, id).Scan(&has); err != nil {
		t.Fatal(err)
	}
	return has
}

// undisturbed is what search.Run answers here.
func undisturbed(t testing.TB, texts map[string]string) search.Answer {
	t.Helper()
	b, err := rig.Load(Source(texts), demo)
	if err != nil {
		t.Fatal(err)
	}
	a, err := search.Run(t.Context(), b, search.Options{Builds: 2})
	if err != nil || len(a.Builds) == 0 {
		t.Fatal(a.Findings, err)
	}
	return a
}

// A checkpoint that another version of the search wrote is no reason to fail: the search begins anew.
func TestForeignCheckpoint(t *testing.T) {
	t.Parallel()
	k := Task{File: demo, Texts: small(t, 1), Options: Options{Builds: 2, Units: "metric"}, Resume: []byte(`{"lowslung_search": 999999, "hash": "none"}`),
		Progress: func(search.Progress) {}, Checkpoint: func([]byte) {}}
	text, err := Seek(0)(t.Context(), k)
	if err != nil {
		t.Fatal(err)
	}
	var got search.Answer
	if err := json.Unmarshal(text, &got); err != nil {
		t.Fatal(err)
	}
	one, _ := json.Marshal(got)
	two, _ := json.Marshal(undisturbed(t, k.Texts))
	if string(one) != string(two) {
		t.Errorf("begun anew:\n%.1000s\nsearch.Run:\n%.1000s", one, two)
	}
}

// How long four searches take with one worker and with two, of one processor each.
func BenchmarkWorkers(b *testing.B) {
	for _, n := range []int{1, 2} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			at := database(b)
			page := closing(b, New(placed(at, Setup{})))
			for range n {
				w := closing(b, New(placed(at, Setup{Work: Seek(1)})))
				if err := w.Wake(b.Context()); err != nil {
					b.Fatal(err)
				}
			}
			texts := small(b, 8)
			for b.Loop() {
				var ids []string
				for range 4 {
					r, err := page.Begin(b.Context(), Wish{Rig: 1, File: demo, Texts: texts, Options: Options{Builds: 2, Units: "metric"}})
					if err != nil {
						b.Fatal(err)
					}
					ids = append(ids, r.ID)
				}
				for _, id := range ids {
					until(b, page, id, is(Done))
				}
			}
		})
	}
}
