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
	errAlone   = errors.New("the database does not answer, and another process may take it up")
)

const tells = 200 * time.Millisecond // changes of one run are told at least so far apart

// work does one job: it claims the run, works on it until it is done, stopped or let go of, and writes down what became of it. Errors are
// the run's, not river's: the job is over either way.
func (b *Book) work(ctx context.Context, id int64) error {
	t, mine, err := b.claim(ctx, id)
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
	if b.patience > 0 {
		k.alone = time.AfterFunc(b.patience, func() { stop(errAlone) })
		defer k.alone.Stop()
	}
	t.Progress, t.Checkpoint = k.progress, k.checkpoint
	beating, still := context.WithCancel(write)
	var beside sync.WaitGroup
	beside.Go(func() { k.beats(beating) })
	if _, err := b.tellOf(write, id); err != nil {
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
	case errors.Is(cause, errLost), errors.Is(cause, errAlone):
		return nil
	case ctx.Err() != nil: // the program ends
		to, answer = Waiting, nil
	default:
		to, answer, problem = Failed, nil, err.Error()
	}
	if err := b.settle(write, id, to, answer, problem); err != nil {
		return err
	}
	_, err = b.tellOf(write, id)
	if e := new(Error); errors.As(err, &e) { // deleted meanwhile
		err = nil
	}
	return err
}

// settle writes down what became of a run. A database that is away is waited for: what took an hour is not lost for a broken connection.
// Another process may take the run up meanwhile; then it is that one's.
func (b *Book) settle(ctx context.Context, id int64, to State, answer []byte, problem string) error {
	if b.patience == 0 {
		return b.end(ctx, id, to, answer, problem)
	}
	for tries := 0; ; tries++ {
		at, done := context.WithTimeout(ctx, b.patience)
		err := b.end(at, id, to, answer, problem)
		done()
		if err == nil || tries == 20 || b.living.Err() != nil || CodeOf(b.Database.explained(err)) != Away {
			return err
		}
		select {
		case <-b.living.Done():
		case <-time.After(b.patience / 4):
		}
	}
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
	b     *Book
	id    int64
	stop  context.CancelCauseFunc
	alone *time.Timer // lets go of the run when it could not be written down for too long; nil on a machine of its own

	mu    sync.Mutex
	began time.Time // of the time not yet written down
	now   []byte    // progress not yet written down
	state []byte    // checkpoint not yet written down
	heard time.Time // when the last change was told

	complained bool // that it cannot be written down, since it last could
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
	return r.run()
}

func (k *keeper) checkpoint(state []byte) {
	k.mu.Lock()
	k.state = state
	k.mu.Unlock()
}

// beats writes down what there is, every pulse, until ctx ends.
func (k *keeper) beats(ctx context.Context) {
	clock := time.NewTicker(k.b.pulse)
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
	if k.b.patience > 0 { // a connection may hang
		var done context.CancelFunc
		ctx, done = context.WithTimeout(ctx, k.b.patience)
		defer done()
	}
	k.mu.Lock()
	now, state, spent := k.now, k.state, time.Since(k.began)
	k.now, k.state, k.began = nil, nil, time.Now()
	k.mu.Unlock()
	if state != nil {
		if err := k.b.keep(ctx, k.id, state); err != nil {
			k.complain(ctx, "a checkpoint could not be kept; the next one will be tried", err)
		}
	}
	heard := time.Now()
	word, err := k.b.beat(ctx, k.id, now, spent)
	switch {
	case err != nil:
		k.complain(ctx, "a run's progress could not be kept", err)
	case word == stopIt:
		k.stop(errStopped)
	case word == lost:
		k.stop(errLost)
	default:
		k.complained = false
		if k.alone != nil && k.alone.Stop() {
			k.alone.Reset(k.b.patience - time.Since(heard))
		}
	}
}

// complain logs that something could not be written down, once until it can be again.
func (k *keeper) complain(ctx context.Context, what string, err error) {
	if !k.complained && !errors.Is(ctx.Err(), context.Canceled) {
		k.b.Log.WarnContext(ctx, what, "cause", k.b.Database.explained(err))
	}
	k.complained = true
}
