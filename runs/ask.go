package runs

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
)

// What is asked of a book.

// Wish is a run to be begun.
type Wish struct {
	Rig      int64
	File     string
	Name     string
	Revision int
	Texts    map[string]string // of the document, its bases and its bins
	Options  Options
}

// Begin begins a run.
func (b *Book) Begin(ctx context.Context, w Wish) (_ Run, err error) {
	defer b.explain(&err)
	if err := b.open(ctx); err != nil {
		return Run{}, err
	}
	id, err := b.add(ctx, w)
	if err != nil {
		return Run{}, err
	}
	if err := b.forget(ctx); err != nil {
		return Run{}, err
	}
	return b.hand(ctx, id)
}

// explain says of an error what is wrong with the database, when it is that.
func (b *Book) explain(err *error) { *err = b.Database.explained(*err) }

// hand gives a waiting run a job.
func (b *Book) hand(ctx context.Context, id int64) (Run, error) {
	if err := b.insert(ctx, id); err != nil {
		return Run{}, err
	}
	return b.tellOf(ctx, id)
}

// tellOf is the run as it is, told to whom it concerns.
func (b *Book) tellOf(ctx context.Context, id int64) (Run, error) {
	r, err := b.one(ctx, text(id))
	if err != nil {
		return Run{}, err
	}
	out := r.run()
	b.tell(out)
	return out, nil
}

// List gives the runs, newest first; those of one rig when rig is not 0.
func (b *Book) List(ctx context.Context, rig int64) (_ []Run, err error) {
	defer b.explain(&err)
	out := []Run{}
	if !b.there() {
		return out, nil
	}
	if err := b.open(ctx); err != nil {
		return nil, err
	}
	list, err := b.all(ctx)
	if err != nil {
		return nil, err
	}
	for i := range list {
		if rig == 0 || list[i].rig == rig {
			out = append(out, list[i].run())
		}
	}
	return out, nil
}

// find is one run, in a book that is there.
func (b *Book) find(ctx context.Context, id string) (row, error) {
	if !b.there() {
		return row{}, &Error{NotFound, fmt.Sprintf("found no search %q", id)}
	}
	if err := b.open(ctx); err != nil {
		return row{}, err
	}
	return b.one(ctx, id)
}

// Get is one run.
func (b *Book) Get(ctx context.Context, id string) (_ Run, err error) {
	defer b.explain(&err)
	r, err := b.find(ctx, id)
	if err != nil {
		return Run{}, err
	}
	return r.run(), nil
}

// Answer is what a run that is done found, as JSON.
func (b *Book) Answer(ctx context.Context, id string) (_ []byte, err error) {
	defer b.explain(&err)
	r, err := b.find(ctx, id)
	if err != nil {
		return nil, err
	}
	var answer []byte
	err = b.base.db.QueryRowContext(ctx, `SELECT answer FROM run WHERE id = $1`, r.id).Scan(&answer)
	if err == nil && answer == nil {
		err = &Error{Refused, fmt.Sprintf("search %s has no answer: it is %s", id, r.state)}
	}
	return answer, err
}

// Stop ends work on a run, which can be continued.
func (b *Book) Stop(ctx context.Context, id string) (_ Run, err error) {
	defer b.explain(&err)
	r, err := b.find(ctx, id)
	if err != nil {
		return Run{}, err
	}
	if ok, err := b.move(ctx, r.id, Stopped, Waiting); err != nil || ok {
		if err != nil {
			return Run{}, err
		}
		return b.tellOf(ctx, r.id)
	}
	asked, err := b.ask(ctx, r.id)
	if err != nil {
		return Run{}, err
	}
	if !asked {
		return Run{}, &Error{Refused, fmt.Sprintf("search %s is %s, expected one that goes on", id, r.state)}
	}
	b.mu.Lock()
	stop := b.stops[r.id]
	b.mu.Unlock()
	if stop != nil {
		stop(errStopped)
	} // otherwise another process works on it and sees the mark at its next beat
	return b.tellOf(ctx, r.id)
}

// Continue takes up a run that was stopped, or failed, from its last checkpoint.
func (b *Book) Continue(ctx context.Context, id string) (_ Run, err error) {
	defer b.explain(&err)
	r, err := b.find(ctx, id)
	if err != nil {
		return Run{}, err
	}
	ok, err := b.move(ctx, r.id, Waiting, Stopped, Failed)
	if err != nil {
		return Run{}, err
	}
	if !ok {
		return Run{}, &Error{Refused, fmt.Sprintf("search %s is %s, expected one that was stopped", id, r.state)}
	}
	return b.hand(ctx, r.id)
}

// Delete forgets a run that is not being worked on.
func (b *Book) Delete(ctx context.Context, id string) (err error) {
	defer b.explain(&err)
	r, err := b.find(ctx, id)
	if err != nil {
		return err
	}
	res, err := b.base.db.ExecContext(ctx, `DELETE FROM run WHERE id = $1 AND state <> $2`, r.id, Running)
	if err != nil {
		return err
	}
	if n, err := res.RowsAffected(); err != nil || n == 0 {
		return errors.Join(err, &Error{Refused, fmt.Sprintf("search %s goes on; stop it first", id)})
	}
	return nil
}

// Texts are those that a run was begun with, and the name of the document searched from.
func (b *Book) Texts(ctx context.Context, id string) (file string, texts map[string]string, err error) {
	defer b.explain(&err)
	r, err := b.find(ctx, id)
	if err != nil {
		return "", nil, err
	}
	var blob []byte
	if err = b.base.db.QueryRowContext(ctx, `SELECT texts FROM run WHERE id = $1`, r.id).Scan(&blob); err == nil {
		err = json.Unmarshal(blob, &texts)
	}
	return r.file, texts, err
}
