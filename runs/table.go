package runs

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"strconv"
	"time"
)

// The statements on the table of runs. What a workshop asks is answered of its own runs; what a process works on may be anybody's.

func (b *Book) columns() string {
	return `id, rig, file, name, revision, state, progress, problem, begun, ended, spent, leg, settled, ` + b.base.now
}

func scan(from interface{ Scan(...any) error }) (row, error) {
	var r row
	err := from.Scan(&r.id, &r.rig, &r.file, &r.name, &r.revision, &r.state, &r.progress, &r.problem, &r.begun, &r.ended, &r.spent, &r.leg0, &r.settled0, &r.now)
	return r, err
}

func (b *Book) one(ctx context.Context, id string) (row, error) {
	n, err := strconv.ParseInt(id, 10, 64)
	if err != nil || n < 1 {
		return row{}, &Error{NotFound, fmt.Sprintf("found no search %q", id)}
	}
	r, err := scan(b.base.db.QueryRowContext(ctx, `SELECT `+b.columns()+` FROM run WHERE id = $1 AND ($2 = '' OR workshop = $2)`, n, b.Workshop))
	if errors.Is(err, sql.ErrNoRows) {
		return r, &Error{NotFound, fmt.Sprintf("found no search %s; it may have been deleted", id)}
	}
	return r, err
}

func (b *Book) all(ctx context.Context) ([]row, error) {
	return rowsOf(b.base.db.QueryContext(ctx, `SELECT `+b.columns()+` FROM run WHERE $1 = '' OR workshop = $1 ORDER BY id DESC`, b.Workshop))
}

// moving are the runs that go on.
func (b *Book) moving(ctx context.Context) ([]row, error) {
	return rowsOf(b.base.db.QueryContext(ctx, `SELECT `+b.columns()+` FROM run WHERE state IN ('waiting', 'running') AND ($1 = '' OR workshop = $1)`, b.Workshop))
}

func rowsOf(rows *sql.Rows, err error) ([]row, error) {
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var out []row
	for rows.Next() {
		r, err := scan(rows)
		if err != nil {
			return nil, err
		}
		out = append(out, r)
	}
	return out, rows.Err()
}

func (b *Book) add(ctx context.Context, w Wish) (int64, error) {
	texts, err := json.Marshal(w.Texts)
	if err != nil {
		return 0, err
	}
	options, err := json.Marshal(w.Options)
	if err != nil {
		return 0, err
	}
	var id int64
	err = b.base.db.QueryRowContext(ctx, `INSERT INTO run (workshop, rig, file, name, revision, texts, options, state, begun)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, `+b.base.now+`) RETURNING id`,
		b.Workshop, w.Rig, w.File, w.Name, w.Revision, texts, options, string(Waiting)).Scan(&id)
	return id, err
}

// forget deletes the workshop's oldest runs that ended beyond those kept.
func (b *Book) forget(ctx context.Context) error {
	_, err := b.base.db.ExecContext(ctx, `DELETE FROM run WHERE workshop = $1 AND state IN ('done', 'failed', 'stopped')
		AND id NOT IN (SELECT id FROM run WHERE workshop = $1 ORDER BY id DESC LIMIT $2)`, b.Workshop, kept)
	return err
}

// silent says in SQL that the process that works on a run has not been heard of for too long.
func (b *Book) silent() string {
	return `alive < ` + b.base.now + ` - ` + strconv.FormatInt(b.silence.Milliseconds(), 10)
}

// claim makes this process the one that works on a run; false when there is nothing to do, or another one does it.
func (b *Book) claim(ctx context.Context, id int64) (Task, bool, error) {
	t := Task{ID: text(id)}
	var texts, options, progress []byte
	err := b.base.db.QueryRowContext(ctx, `UPDATE run SET state = 'running', owner = $1, alive = `+b.base.now+`, leg = `+b.base.now+`, ended = 0, problem = '', stop = 0
		WHERE id = $2 AND (state = 'waiting' OR state = 'running' AND stop = 0 AND `+b.silent()+`)
		RETURNING file, texts, options, checkpoint, progress`, b.name, id).Scan(&t.File, &texts, &options, &t.Resume, &progress)
	if errors.Is(err, sql.ErrNoRows) {
		return t, false, nil
	}
	if err == nil {
		err = errors.Join(json.Unmarshal(texts, &t.Texts), json.Unmarshal(options, &t.Options))
	}
	if err != nil {
		return t, false, err
	}
	var p struct{ Evaluated, Cut int64 }
	_ = json.Unmarshal(progress, &p)
	if t.Resume == nil { // it begins anew
		p.Evaluated, p.Cut = 0, 0
	}
	_, err = b.base.db.ExecContext(ctx, `UPDATE run SET settled = $1 WHERE id = $2 AND owner = $3`, p.Evaluated+p.Cut, id, b.name)
	return t, err == nil, err
}

// A word is what a process hears when it has written down how far a run is.
type word int

const (
	goOn word = iota
	stopIt
	lost // it is not this process's any more
)

// beat writes down how far a run is.
func (b *Book) beat(ctx context.Context, id int64, progress []byte, spent time.Duration) (word, error) {
	var stop int
	err := b.base.db.QueryRowContext(ctx, `UPDATE run SET alive = `+b.base.now+`, spent = spent + $1, progress = COALESCE($2, progress)
		WHERE id = $3 AND owner = $4 AND state = 'running' RETURNING stop`, spent.Milliseconds(), null(progress), id, b.name).Scan(&stop)
	switch {
	case errors.Is(err, sql.ErrNoRows):
		return lost, nil
	case err == nil && stop != 0:
		return stopIt, nil
	}
	return goOn, err
}

func (b *Book) keep(ctx context.Context, id int64, checkpoint []byte) error {
	_, err := b.base.db.ExecContext(ctx, `UPDATE run SET checkpoint = $1 WHERE id = $2 AND owner = $3 AND state = 'running'`, checkpoint, id, b.name)
	return err
}

// end writes down what became of a run. Only a run that can be continued keeps its checkpoint.
func (b *Book) end(ctx context.Context, id int64, to State, answer []byte, problem string) error {
	ended := b.base.now
	if to == Waiting {
		ended = `0`
	}
	checkpoint := `checkpoint`
	if to == Done {
		checkpoint = `NULL`
	}
	_, err := b.base.db.ExecContext(ctx, `UPDATE run SET state = $1, answer = $2, problem = $3, ended = `+ended+`, owner = '', stop = 0, checkpoint = `+checkpoint+`
		WHERE id = $4 AND owner = $5 AND state = 'running'`, string(to), null(answer), problem, id, b.name)
	return err
}

// move takes a run that nobody works on from one of the states to another; false when it is in none of them.
func (b *Book) move(ctx context.Context, id int64, to State, from ...State) (bool, error) {
	ended := b.base.now
	if to == Waiting {
		ended = `0`
	}
	for _, f := range from {
		ok, err := b.changed(ctx, `UPDATE run SET state = $1, ended = `+ended+`, stop = 0, owner = '' WHERE id = $2 AND state = $3`, string(to), id, string(f))
		if err != nil || ok {
			return ok, err
		}
	}
	return false, nil
}

// ask marks a run that is being worked on to be stopped; false when it is not.
func (b *Book) ask(ctx context.Context, id int64) (bool, error) {
	return b.changed(ctx, `UPDATE run SET stop = 1 WHERE id = $1 AND state = 'running'`, id)
}

func (b *Book) changed(ctx context.Context, statement string, args ...any) (bool, error) {
	res, err := b.base.db.ExecContext(ctx, statement, args...)
	if err != nil {
		return false, err
	}
	n, err := res.RowsAffected()
	return n > 0, err
}

// orphans are runs that someone should work on and nobody does: that wait, or whose process is silent. It says whether any run goes on at
// all. One that was to be stopped when its process died is stopped now.
func (b *Book) orphans(ctx context.Context) (list []int64, todo bool, err error) {
	if err := b.base.db.QueryRowContext(ctx, `SELECT EXISTS (SELECT 1 FROM run WHERE state IN ('waiting', 'running'))`).Scan(&todo); err != nil || !todo {
		return nil, todo, err
	}
	if _, err := b.base.db.ExecContext(ctx, `UPDATE run SET state = 'stopped', ended = `+b.base.now+`, stop = 0, owner = ''
		WHERE state = 'running' AND stop = 1 AND `+b.silent()); err != nil {
		return nil, true, err
	}
	rows, err := b.base.db.QueryContext(ctx, `SELECT id FROM run WHERE state = 'waiting' OR state = 'running' AND `+b.silent()+` ORDER BY id`)
	if err != nil {
		return nil, true, err
	}
	defer rows.Close()
	for rows.Next() {
		var id int64
		if err := rows.Scan(&id); err != nil {
			return nil, true, err
		}
		list = append(list, id)
	}
	return list, true, rows.Err()
}

// null is a blob, or NULL when there is none.
func null(b []byte) any {
	if b == nil {
		return nil
	}
	return b
}

func text(n int64) string { return strconv.FormatInt(n, 10) }
