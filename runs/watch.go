package runs

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"github.com/riverqueue/river"
	"github.com/riverqueue/river/rivertype"
)

// watch looks for runs that need a job, and for what other processes did, until ctx ends; and ends the queue when there has been nothing to
// do for a while.
func (b *Book) watch(ctx context.Context) {
	clock := time.NewTicker(b.pulse)
	defer clock.Stop()
	idle, lost := 0, false
	for {
		todo, err := b.revive(ctx)
		if err == nil {
			err = b.news(ctx)
		}
		switch {
		case ctx.Err() != nil:
		case err != nil && !lost:
			b.Log.WarnContext(ctx, "runs could not be looked after; trying again", "cause", b.Database.explained(err))
		case err == nil && lost:
			b.Log.WarnContext(ctx, "runs are looked after again")
		}
		lost = err != nil
		if idle++; todo || err != nil {
			idle = 0
		}
		if idle >= b.rest {
			b.unqueue(ctx)
		}
		select {
		case <-ctx.Done():
			return
		case <-clock.C:
		}
	}
}

// revive gives every run a job that should have one: that waits, or that a silent process works on, and for which no job waits. It says
// whether any run is there to be worked on. A second job for the same run does no harm: a run is claimed by one of them.
func (b *Book) revive(ctx context.Context) (todo bool, err error) {
	if b.Work == nil {
		return false, nil
	}
	list, todo, err := b.orphans(ctx)
	if err != nil || len(list) == 0 {
		return todo, err
	}
	b.handing.Lock()
	defer b.handing.Unlock()
	q, err := b.begun()
	if err != nil {
		return true, err
	}
	jobs, err := q.JobList(ctx, river.NewJobListParams().Kinds(args{}.Kind()).States(rivertype.JobStateAvailable).First(mostJobs))
	if err != nil {
		return true, err
	}
	has := map[int64]bool{}
	for _, j := range jobs.Jobs {
		var a args
		if json.Unmarshal(j.EncodedArgs, &a) == nil {
			has[a.Run] = true
		}
	}
	for _, id := range list {
		if has[id] || len(jobs.Jobs) == mostJobs {
			continue
		}
		if _, err := q.Insert(ctx, args{Run: id}, nil); err != nil {
			return true, err
		}
	}
	return true, nil
}

const mostJobs = 5000 // that wait at once; runs beyond get theirs when some are done

// begun is the queue, begun when it is not there; handing must be held.
func (b *Book) begun() (queue, error) {
	if b.queue != nil {
		return b.queue, nil
	}
	if b.living.Err() != nil {
		return nil, errors.New("the program is ending")
	}
	q, err := b.base.queue(&worker{work: b.work}, b.Log)
	if err != nil {
		return nil, err
	}
	if err := q.Start(b.living); err != nil {
		return nil, err
	}
	b.queue = q
	return q, nil
}

// insert puts a job into the queue.
func (b *Book) insert(ctx context.Context, id int64) error {
	if b.Work == nil {
		return nil // a process that works finds the run waiting
	}
	b.handing.Lock()
	defer b.handing.Unlock()
	q, err := b.begun()
	if err == nil {
		_, err = q.Insert(ctx, args{Run: id}, nil)
	}
	return err
}

func (b *Book) queued() bool {
	b.handing.Lock()
	defer b.handing.Unlock()
	return b.queue != nil
}

// unqueue ends the queue. A job that came in between waits in its table for the next one.
func (b *Book) unqueue(ctx context.Context) {
	b.handing.Lock()
	defer b.handing.Unlock()
	if b.queue == nil {
		return
	}
	if err := b.queue.Stop(ctx); err != nil && ctx.Err() == nil {
		b.Log.WarnContext(ctx, "the queue did not end properly", "cause", err)
		return
	}
	b.queue = nil
}

// tell tells a change to whom it concerns, once.
func (b *Book) tell(r Run) {
	if b.Tell == nil {
		return
	}
	b.mu.Lock()
	known := b.told[r.ID] == r.mark()
	b.told[r.ID] = r.mark()
	b.mu.Unlock()
	if !known {
		b.Tell(r)
	}
}

// mark changes with what is worth telling of a run.
func (r *Run) mark() string { return fmt.Sprint(r.State, r.Seconds, r.Progress, r.Problem) }

// news tells what other processes do to runs: to those that go on, and to those that did when they were told of last.
func (b *Book) news(ctx context.Context) error {
	if b.Tell == nil {
		return nil
	}
	list, err := b.moving(ctx)
	if err != nil {
		return err
	}
	moves := map[string]bool{}
	for i := range list {
		r := list[i].run()
		moves[r.ID] = true
		b.tellOther(r, list[i].id)
	}
	for _, id := range b.ended(moves) {
		r, err := b.one(ctx, id)
		switch {
		case err == nil:
			b.tellOther(r.run(), r.id)
		case !errors.As(err, new(*Error)): // not deleted
			return err
		}
		b.mu.Lock()
		delete(b.told, id)
		b.mu.Unlock()
	}
	return nil
}

// tellOther tells of a run unless it is worked on here, where its keeper does.
func (b *Book) tellOther(r Run, id int64) {
	b.mu.Lock()
	_, here := b.stops[id]
	b.mu.Unlock()
	if !here {
		b.tell(r)
	}
}

// ended are the runs that were told of and do not go on.
func (b *Book) ended(moves map[string]bool) (out []string) {
	b.mu.Lock()
	defer b.mu.Unlock()
	for id := range b.told {
		if !moves[id] {
			out = append(out, id)
		}
	}
	return out
}
