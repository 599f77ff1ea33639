package runs

import (
	"bufio"
	"context"
	"encoding/binary"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"lowslung/search"
)

// counting stands for a search: it adds up the squares of 1 to Most, a thousand a millisecond or so, with a checkpoint now and then. Its
// answer tells from where it was taken up last, which the true answer does not.
func counting(pace time.Duration) func(ctx context.Context, t Task) ([]byte, error) {
	return func(ctx context.Context, t Task) ([]byte, error) {
		var at, sum uint64
		if t.Resume != nil {
			at, sum = binary.BigEndian.Uint64(t.Resume), binary.BigEndian.Uint64(t.Resume[8:])
		}
		from := at
		for at < uint64(t.Options.Most) {
			at++
			sum += at * at
			if at%100 == 0 {
				t.Progress(search.Progress{Space: int64(t.Options.Most), Evaluated: int64(at), Step: "travel"})
				t.Checkpoint(binary.BigEndian.AppendUint64(binary.BigEndian.AppendUint64(nil, at), sum))
				select {
				case <-ctx.Done():
					return nil, ctx.Err()
				case <-time.After(pace):
				}
			}
		}
		return fmt.Appendf(nil, `{"sum":%d,"from":%d,"text":%q}`, sum, from, t.Texts["a.rig.yaml"]), nil
	}
}

type counted struct {
	Sum, From uint64
	Text      string
}

func squares(n uint64) uint64 { return n * (n + 1) * (2*n + 1) / 6 } // closed form

// TestMain is also the other process of TestKilled, TestSearchKilled and TestWorkers.
func TestMain(m *testing.M) {
	if at := os.Getenv("LOWSLUNG_RUNS_WORKER"); at != "" {
		workerChild(at)
	}
	if at := os.Getenv("LOWSLUNG_RUNS_SEARCH"); at != "" {
		child(at)
	}
	if at := os.Getenv("LOWSLUNG_RUNS_CHILD"); at != "" {
		b := brisk(New(placed(at, Setup{Work: counting(10 * time.Millisecond)})))
		if _, err := b.Begin(context.Background(), wish(50_000)); err != nil {
			fmt.Println("failed:", err)
			os.Exit(1)
		}
		for {
			r, err := b.Get(context.Background(), "1")
			fmt.Println(r.State, r.Progress.Evaluated, err)
			time.Sleep(100 * time.Millisecond)
		}
	}
	flag.Parse()
	if err := flag.Set("test.parallel", "6"); err != nil { // they wait for each other's silence more than they work
		panic(err)
	}
	code := m.Run()
	if began != nil {
		began.stop()
	}
	os.Exit(code)
}

// placed puts a book where a text says: in a file, or in a database.
func placed(at string, s Setup) Setup {
	if !strings.HasPrefix(at, "postgres://") {
		s.Path = at
		return s
	}
	a, err := ParseAddress(at)
	if err != nil {
		panic(err)
	}
	s.Database, s.Workshop = a, "ours"
	return s
}

// brisk has the death of a process found soon.
func brisk(b *Book) *Book {
	b.silence, b.pulse = 4*time.Second, 250*time.Millisecond // a machine that others share may hold a process up for a while
	if b.patience > 0 {
		b.patience = 3 * time.Second
	}
	return b
}

// onBoth runs a test on both bases: a file, and a database of its own.
func onBoth(t *testing.T, test func(t *testing.T, at string)) {
	t.Parallel() // they wait more than they work
	t.Run("sqlite", func(t *testing.T) {
		t.Parallel()
		test(t, filepath.Join(t.TempDir(), "sub ?#%", File))
	})
	t.Run("postgres", func(t *testing.T) {
		t.Parallel()
		test(t, database(t))
	})
}

func wish(n float64) Wish {
	return Wish{Rig: 3, File: "a.rig.yaml", Name: "A", Revision: 2, Texts: map[string]string{"a.rig.yaml": "as it was"}, Options: Options{Most: n}}
}

func book(t testing.TB, at string, work func(context.Context, Task) ([]byte, error)) *Book {
	t.Helper()
	return closing(t, New(placed(at, Setup{Work: work})))
}

func closing(t testing.TB, b *Book) *Book {
	t.Helper()
	t.Cleanup(func() {
		ctx, done := context.WithTimeout(context.Background(), 10*time.Second)
		defer done()
		if err := b.Close(ctx); err != nil {
			t.Error(err)
		}
	})
	return b
}

func until(t testing.TB, b *Book, id string, want func(Run) bool) Run {
	t.Helper()
	var r Run
	for end := time.Now().Add(40 * time.Second); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		var err error
		if r, err = b.Get(t.Context(), id); err != nil {
			t.Fatal(err)
		}
		if want(r) {
			return r
		}
	}
	t.Fatalf("waited in vain: %+v", r)
	return r
}

func is(s State) func(Run) bool { return func(r Run) bool { return r.State == s } }

func answered(t testing.TB, b *Book, id string) counted {
	t.Helper()
	text, err := b.Answer(t.Context(), id)
	if err != nil {
		t.Fatal(err)
	}
	var c counted
	if err := json.Unmarshal(text, &c); err != nil {
		t.Fatal(err)
	}
	return c
}

func TestRunToTheEnd(t *testing.T) { onBoth(t, testRunToTheEnd) }

func testRunToTheEnd(t *testing.T, at string) {
	var mu sync.Mutex
	var told []State
	b := New(placed(at, Setup{Work: counting(2 * time.Millisecond), Tell: func(r Run) { mu.Lock(); told = append(told, r.State); mu.Unlock() }}))
	defer b.Close(context.Background())
	if list, err := b.List(t.Context(), 0); err != nil || len(list) != 0 {
		t.Fatal(list, err)
	}
	if _, err := os.Stat(at); err == nil {
		t.Fatal("asking made a file")
	}
	r, err := b.Begin(t.Context(), wish(20_000))
	if err != nil || r.ID != "1" || r.Rig != "3" || r.Name != "A" || r.Revision != 2 || r.Progress.Best == nil {
		t.Fatalf("%+v, %v", r, err)
	}
	if _, err := b.Answer(t.Context(), "1"); refusal(err) != Refused {
		t.Error(err)
	}
	if err := b.Delete(t.Context(), until(t, b, "1", is(Running)).ID); refusal(err) != Refused {
		t.Error("a run at work was deleted:", err)
	}
	r = until(t, b, "1", is(Done))
	if r.Share != 1 || r.EndedAt == nil || r.Seconds <= 0 || r.Progress.Evaluated != 20_000 {
		t.Errorf("%+v", r)
	}
	if c := answered(t, b, "1"); c.Sum != squares(20_000) || c.From != 0 || c.Text != "as it was" {
		t.Errorf("%+v", c)
	}
	for end := time.Now().Add(10 * time.Second); time.Now().Before(end); time.Sleep(10 * time.Millisecond) { // it is written down first, then told
		mu.Lock()
		last := told[len(told)-1]
		mu.Unlock()
		if last == Done {
			break
		}
	}
	mu.Lock()
	if s := fmt.Sprint(told); !strings.HasPrefix(s, "[waiting running") && !strings.HasPrefix(s, "[running") || told[len(told)-1] != Done {
		t.Error("told:", s)
	}
	mu.Unlock()
	if list, _ := b.List(t.Context(), 4); len(list) != 0 {
		t.Error("another rig has runs:", list)
	}
	if _, err := b.Stop(t.Context(), "1"); refusal(err) != Refused {
		t.Error(err)
	}
	if _, err := b.Continue(t.Context(), "1"); refusal(err) != Refused {
		t.Error(err)
	}
	if err := b.Delete(t.Context(), "1"); err != nil {
		t.Error(err)
	}
	for _, id := range []string{"1", "0", "x", "99999999999999999999"} {
		if _, err := b.Get(t.Context(), id); refusal(err) != NotFound {
			t.Error(id, err)
		}
	}
}

func refusal(err error) Code {
	if e := new(Error); errors.As(err, &e) {
		return e.Code
	}
	return ""
}

// A run that was stopped goes on where it was, and ends as if nothing had happened. One that waits can be stopped as well.
func TestStopAndContinue(t *testing.T) { onBoth(t, testStopAndContinue) }

func testStopAndContinue(t *testing.T, at string) {
	b := book(t, at, counting(5*time.Millisecond))
	for range 2 {
		if _, err := b.Begin(t.Context(), wish(30_000)); err != nil {
			t.Fatal(err)
		}
	}
	until(t, b, "1", func(r Run) bool { return r.Progress.Evaluated > 5_000 && r.Left != nil && *r.Left > 0 && *r.Rate > 0 })
	if r, err := b.Stop(t.Context(), "2"); err != nil || r.State != Stopped {
		t.Fatalf("%+v, %v", r, err)
	}
	if _, err := b.Stop(t.Context(), "1"); err != nil {
		t.Fatal(err)
	}
	r := until(t, b, "1", is(Stopped))
	if r.Progress.Evaluated >= 30_000 || r.EndedAt == nil || r.Left != nil {
		t.Fatalf("%+v", r)
	}
	done := uint64(r.Progress.Evaluated)
	if _, err := b.Continue(t.Context(), "1"); err != nil {
		t.Fatal(err)
	}
	until(t, b, "1", is(Done))
	if c := answered(t, b, "1"); c.Sum != squares(30_000) || c.From < done {
		t.Errorf("%+v, was stopped at %d", c, done)
	}
	if r, err := b.Get(t.Context(), "2"); err != nil || r.State != Stopped {
		t.Errorf("%+v, %v", r, err)
	}
}

// The program ends properly in the middle, and another one takes the run up.
func TestClosedInTheMiddle(t *testing.T) { onBoth(t, testClosedInTheMiddle) }

func testClosedInTheMiddle(t *testing.T, at string) {
	first := New(placed(at, Setup{Work: counting(5 * time.Millisecond)}))
	if _, err := first.Begin(t.Context(), wish(30_000)); err != nil {
		t.Fatal(err)
	}
	until(t, first, "1", func(r Run) bool { return r.Progress.Evaluated > 5_000 })
	if err := first.Close(t.Context()); err != nil {
		t.Fatal(err)
	}
	if _, err := first.Begin(t.Context(), wish(1)); err == nil {
		t.Error("a book that is closed began a run")
	}
	second := book(t, at, counting(time.Millisecond))
	if err := second.Wake(t.Context()); err != nil {
		t.Fatal(err)
	}
	until(t, second, "1", is(Done))
	if c := answered(t, second, "1"); c.Sum != squares(30_000) || c.From < 5_000 {
		t.Errorf("%+v", c)
	}
}

// The program is killed in the middle (SIGKILL), and another one takes the run up from its last checkpoint.
func TestKilled(t *testing.T) { onBoth(t, testKilled) }

func testKilled(t *testing.T, at string) {
	other := exec.Command(os.Args[0])
	other.Env = append(os.Environ(), "LOWSLUNG_RUNS_CHILD="+at)
	out, err := other.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := other.Start(); err != nil {
		t.Fatal(err)
	}
	killed := 0
	for lines := bufio.NewScanner(out); lines.Scan(); {
		var state State
		if _, err := fmt.Sscan(lines.Text(), &state, &killed); err != nil {
			t.Fatal(lines.Text())
		}
		if state == Running && killed > 10_000 {
			break
		}
	}
	if err := other.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	_ = other.Wait()
	if killed >= 50_000 {
		t.Fatal("the child was done before it was killed")
	}
	b := brisk(book(t, at, counting(0)))
	if err := b.Wake(t.Context()); err != nil {
		t.Fatal(err)
	}
	if r, err := b.Get(t.Context(), "1"); err != nil || r.State != Running && r.State != Waiting {
		t.Fatalf("%+v, %v", r, err)
	}
	until(t, b, "1", is(Done))
	if c := answered(t, b, "1"); c.Sum != squares(50_000) || c.From < uint64(killed) {
		t.Errorf("%+v, killed at %d", c, killed)
	}
}

// Two processes with one book: each run is worked on once.
func TestTwoBooks(t *testing.T) { onBoth(t, testTwoBooks) }

func testTwoBooks(t *testing.T, at string) {
	var mu sync.Mutex
	begun := map[string]int{}
	work := func(ctx context.Context, k Task) ([]byte, error) {
		mu.Lock()
		begun[k.Texts["n"]]++
		mu.Unlock()
		return counting(time.Millisecond)(ctx, k)
	}
	one, two := book(t, at, work), book(t, at, work)
	for n := range 6 {
		w := wish(2000)
		w.Texts["n"] = fmt.Sprint(n)
		if _, err := []*Book{one, two}[n%2].Begin(t.Context(), w); err != nil {
			t.Fatal(err)
		}
	}
	for n := range 6 {
		until(t, one, fmt.Sprint(n+1), is(Done))
	}
	mu.Lock()
	defer mu.Unlock()
	for n, times := range begun {
		if times != 1 {
			t.Errorf("run %s was worked on %d times", n, times)
		}
	}
	// One stops what the other works on.
	r, err := one.Begin(t.Context(), wish(1e6))
	if err != nil {
		t.Fatal(err)
	}
	mu.Unlock()
	until(t, two, r.ID, is(Running))
	for _, b := range []*Book{one, two} {
		if _, err := b.Stop(t.Context(), r.ID); err != nil && refusal(err) != Refused {
			t.Error(err)
		}
	}
	until(t, one, r.ID, is(Stopped))
	mu.Lock()
}

// An error is the run's, a panic too; both can be tried again.
func TestWorkThatFails(t *testing.T) { onBoth(t, testWorkThatFails) }

func testWorkThatFails(t *testing.T, at string) {
	times := 0
	b := book(t, at, func(context.Context, Task) ([]byte, error) {
		times++
		switch times {
		case 1:
			return nil, errors.New("found no search section")
		case 2:
			panic("index out of range")
		}
		return []byte(`{}`), nil
	})
	if _, err := b.Begin(t.Context(), wish(1)); err != nil {
		t.Fatal(err)
	}
	if r := until(t, b, "1", is(Failed)); r.Problem != "found no search section" {
		t.Errorf("%+v", r)
	}
	if _, err := b.Continue(t.Context(), "1"); err != nil {
		t.Fatal(err)
	}
	if r := until(t, b, "1", is(Failed)); !strings.Contains(r.Problem, "did not expect") {
		t.Errorf("%+v", r)
	}
	if _, err := b.Continue(t.Context(), "1"); err != nil {
		t.Fatal(err)
	}
	until(t, b, "1", is(Done))
}

// The queue, which polls, is there only while there is something to do; a run that was put down meanwhile by a process that died is found.
func TestQueueRests(t *testing.T) { onBoth(t, testQueueRests) }

func testQueueRests(t *testing.T, at string) {
	b := brisk(book(t, at, counting(0)))
	b.rest = 1
	for n := range 2 {
		r, err := b.Begin(t.Context(), wish(200))
		if err != nil {
			t.Fatal(err)
		}
		until(t, b, r.ID, is(Done))
		for end := time.Now().Add(20 * time.Second); b.queued(); time.Sleep(50 * time.Millisecond) {
			if time.Now().After(end) {
				t.Fatalf("the queue does not rest after run %d", n+1)
			}
		}
	}
	id, err := b.add(t.Context(), wish(200)) // put down, and no job made
	if err != nil {
		t.Fatal(err)
	}
	until(t, b, text(id), is(Done))
}

// A file that is no book is an error that names it, not a crash.
func TestNoBook(t *testing.T) {
	path := filepath.Join(t.TempDir(), File)
	if err := os.WriteFile(path, []byte("this is no database, whatever its name says"), 0o600); err != nil {
		t.Fatal(err)
	}
	b := book(t, path, counting(0))
	if err := b.Wake(t.Context()); err == nil || !strings.Contains(err.Error(), path) {
		t.Error(err)
	}
}
