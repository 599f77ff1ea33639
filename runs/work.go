package runs

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"runtime/debug"
	"sync"
	"time"

	"lowslung/search"
)

var (
	errStopped = errors.New("stopped by the builder")
	errLost    = errors.New("another process works on it")
)

const tells = 200 * time.Millisecond // changes of one run are told at least so far apart

// work does one job: it claims the run, works on it until it is done, stopped or let go of, and writes down what became of it. Errors are
// the run's, not river's: the job is over either way.
func (b *Book) work(ctx context.Context, id int64) error {
	t, mine, err := b.claim(ctx, id, time.Now())
	if err != nil || !mine {
		return err
	}
	at, stop := context.WithCancelCause(ctx)
	defer stop(nil)
	b.mu.Lock()
	b.stops[id] = stop
	b.mu.Unlock()
	defer func() {
		b.mu.Lock()
		delete(b.stops, id)
		b.mu.Unlock()
	}()
	write := context.WithoutCancel(ctx) // what was found is written down though the program is ending

	k := &keeper{b: b, id: id, began: time.Now(), stop: stop}
	t.Progress, t.Checkpoint = k.progress, k.checkpoint
	beating, still := context.WithCancel(write)
	var beside sync.WaitGroup
	beside.Go(func() { k.beats(beating) })
	if _, err := b.told(write, id); err != nil {
		b.Log.WarnContext(ctx, "a run could not be told of", "cause", err)
	}
	answer, err := b.guarded(at, t)
	still()
	beside.Wait()
	k.last(write)

	to, problem := Done, ""
	switch cause := context.Cause(at); {
	case err == nil:
	case errors.Is(cause, errStopped):
		to, answer = Stopped, nil
	case errors.Is(cause, errLost):
		return nil
	case ctx.Err() != nil: // the program ends
		to, answer = Waiting, nil
	default:
		to, answer, problem = Failed, nil, err.Error()
	}
	if err := b.end(write, id, to, answer, problem, time.Now()); err != nil {
		return err
	}
	_, err = b.told(write, id)
	if e := new(Error); errors.As(err, &e) { // deleted meanwhile
		err = nil
	}
	return err
}

// guarded does the work; a panic becomes the run's error, with its place in the log.
func (b *Book) guarded(ctx context.Context, t Task) (answer []byte, err error) {
	defer func() {
		if p := recover(); p != nil {
			b.Log.ErrorContext(ctx, "a search met an error that it did not expect", "cause", p, "stack", string(debug.Stack()))
			err = fmt.Errorf("the search met an error that it did not expect (%v); the program's log says more. What it had found by its last checkpoint is kept", p)
		}
	}()
	return b.Work(ctx, t)
}

// A keeper writes down how far a run is.
type keeper struct {
	b    *Book
	id   int64
	stop context.CancelCauseFunc

	mu    sync.Mutex
	began time.Time // of the time not yet written down
	now   []byte    // progress not yet written down
	state []byte    // checkpoint not yet written down
	heard time.Time // when the last change was told
}

func (k *keeper) progress(p search.Progress) {
	if p.Best == nil {
		p.Best = []search.Number{}
	}
	text, err := json.Marshal(p)
	if err != nil {
		return // an infinite number in it: the next will do
	}
	k.mu.Lock()
	k.now = text
	tell := time.Since(k.heard) > tells
	if tell {
		k.heard = time.Now()
	}
	k.mu.Unlock()
	if tell && k.b.Tell != nil {
		k.b.Tell(k.glance(text))
	}
}

// glance is the run as it is at this moment, with progress that is not written down yet.
func (k *keeper) glance(progress []byte) Run {
	r, err := k.b.one(context.Background(), text(k.id))
	if err != nil {
		return Run{ID: text(k.id), State: Running}
	}
	k.mu.Lock()
	r.spent += time.Since(k.began).Milliseconds()
	k.mu.Unlock()
	r.progress = progress
	return r.run(time.Now())
}

func (k *keeper) checkpoint(state []byte) {
	k.mu.Lock()
	k.state = state
	k.mu.Unlock()
}

// beats writes down what there is, every pulse, until ctx ends.
func (k *keeper) beats(ctx context.Context) {
	clock := time.NewTicker(pulse)
	defer clock.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-clock.C:
			k.last(ctx)
		}
	}
}

// last writes down what there is now: the checkpoint first, so that progress never claims more than could be taken up again.
func (k *keeper) last(ctx context.Context) {
	k.mu.Lock()
	now, state, spent := k.now, k.state, time.Since(k.began)
	k.now, k.state, k.began = nil, nil, time.Now()
	k.mu.Unlock()
	if state != nil {
		if err := k.b.keep(ctx, k.id, state); err != nil && ctx.Err() == nil {
			k.b.Log.WarnContext(ctx, "a checkpoint could not be kept; the next one will be tried", "cause", err)
		}
	}
	goOn, err := k.b.beat(ctx, k.id, now, spent, time.Now())
	if err != nil && ctx.Err() == nil {
		k.b.Log.WarnContext(ctx, "a run's progress could not be kept", "cause", err)
	}
	if goOn || err != nil {
		return
	}
	if r, err := k.b.one(ctx, text(k.id)); err == nil && r.state == Running {
		k.stop(errStopped)
	} else {
		k.stop(errLost)
	}
}
