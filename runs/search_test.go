package runs

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"sync"
	"testing"
	"time"

	"lowslung/rig"
	"lowslung/search"
)

// section is a space that takes a search some seconds: rods and turns of the demo conversion's rear links.
const section = `
search:
  vary:
    lower rod: {change: links/rear lower/rod/item, kind: rod, thread: M3}
    lower turns: {change: links/rear lower/turns, from: 0, to: 6, step: 1}
    upper rod: {change: links/rear upper/rod/item, kind: rod, thread: M3}
    upper turns: {change: links/rear upper/turns, from: 0, to: 6, step: 1}
    upper hole: {change: shocks/rear/top, holes_of: rear tower}
  wants:
    rear anti-squat: {from: 20 %}
  prefer:
    rear pinion angle swing: lower
    rear anti-squat: higher
`

// texts are the demo's, with that section in place of its own.
func texts() (map[string]string, error) {
	out := map[string]string{}
	for _, name := range []string{demo, "bramble.rig.yaml", "club-shelf.bin.yaml"} {
		text, err := os.ReadFile("../examples/" + name)
		if err != nil {
			return nil, err
		}
		if name == demo {
			tree, err := rig.Parse(name, text)
			if err != nil {
				return nil, err
			}
			if tree.Get("search") != nil {
				if text, err = rig.RemoveIn(text, []string{"search"}); err != nil {
					return nil, err
				}
			}
			text = append(text, section...)
		}
		out[name] = string(text)
	}
	return out, nil
}

const demo = "bramble-portal.rig.yaml"

// searching is the real work. Pause slows it down, so that there is a middle to be killed in.
func searching(pause time.Duration) func(ctx context.Context, t Task) ([]byte, error) {
	return func(ctx context.Context, t Task) ([]byte, error) {
		b, err := rig.Load(func(name string) ([]byte, error) { return []byte(t.Texts[name]), nil }, t.File)
		if err != nil {
			return nil, err
		}
		a, err := search.Run(ctx, b, search.Options{Builds: 1, Asked: 20, Resume: t.Resume, Checkpoint: t.Checkpoint, Progress: func(p search.Progress) {
			t.Progress(p)
			time.Sleep(pause)
		}})
		if err != nil {
			return nil, err
		}
		return json.Marshal(struct {
			search.Answer
			Resumed bool
		}{a, t.Resume != nil})
	}
}

// alone is the answer of that search when nothing disturbs it.
var alone = sync.OnceValues(func() ([]byte, error) {
	list, err := texts()
	if err != nil {
		return nil, err
	}
	return searching(0)(context.Background(), Task{File: demo, Texts: list, Progress: func(search.Progress) {}, Checkpoint: func([]byte) {}})
})

// child begins a search in a process of its own, and tells how far it is until it is killed.
func child(at string) {
	list, err := texts()
	if err == nil {
		b := brisk(New(placed(at, Setup{Work: searching(60 * time.Millisecond)})))
		_, err = b.Begin(context.Background(), Wish{Rig: 1, File: demo, Texts: list})
		for err == nil {
			var r Run
			r, err = b.Get(context.Background(), "1")
			fmt.Println(r.State, r.Progress.Evaluated+r.Progress.Cut)
			time.Sleep(50 * time.Millisecond)
		}
	}
	fmt.Println("failed", err)
	os.Exit(1)
}

// A search whose process is killed in the middle goes on in the next one, and ends with the answer of one that was never disturbed.
func TestSearchKilled(t *testing.T) { onBoth(t, testSearchKilled) }

func testSearchKilled(t *testing.T, at string) {
	c := exec.Command(os.Args[0])
	c.Env = append(os.Environ(), "LOWSLUNG_RUNS_SEARCH="+at)
	out, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	var settled int64
	for lines := bufio.NewScanner(out); lines.Scan(); {
		var state State
		if _, err := fmt.Sscan(lines.Text(), &state, &settled); err != nil {
			t.Fatal(lines.Text())
		}
		if state != Waiting && state != Running {
			t.Fatalf("the child was %s before it was killed", state)
		}
		if settled > 0 && checkpointed(at) {
			break
		}
	}
	if err := c.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	_ = c.Wait()

	b := brisk(book(t, at, searching(0)))
	if err := b.Wake(t.Context()); err != nil {
		t.Fatal(err)
	}
	until(t, b, "1", is(Done))
	text, err := b.Answer(t.Context(), "1")
	if err != nil {
		t.Fatal(err)
	}
	var got, want struct {
		search.Answer
		Resumed bool
	}
	if err := json.Unmarshal(text, &got); err != nil {
		t.Fatal(err)
	}
	if text, err = alone(); err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, &want); err != nil {
		t.Fatal(err)
	}
	if !got.Resumed || want.Resumed {
		t.Fatalf("taken up from a checkpoint: %v, undisturbed: %v", got.Resumed, want.Resumed)
	}
	t.Logf("killed at %d of %d combinations; %d builds on the front", settled, want.Space, want.Front)
	got.Resumed, got.Seconds, want.Seconds = false, nil, nil
	one, _ := json.Marshal(got)
	two, _ := json.Marshal(want)
	if string(one) != string(two) || len(want.Builds) == 0 {
		t.Errorf("taken up after a kill:\n%.2000s\nnever disturbed:\n%.2000s", one, two)
	}
}

// checkpointed says whether a checkpoint of the run is kept.
func checkpointed(at string) bool {
	s := placed(at, Setup{})
	b, err := s.base(context.Background())
	if err != nil {
		return false
	}
	defer b.close()
	var n int
	return b.db.QueryRow(`SELECT count(*) FROM run WHERE checkpoint IS NOT NULL`).Scan(&n) == nil && n > 0
}
