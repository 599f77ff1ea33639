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

// The statements on the table of runs.

const columns = `id, rig, file, name, revision, state, progress, problem, begun, ended, spent, leg, settled`

func scan(from interface{ Scan(...any) error }) (row, error) {
	var r row
	err := from.Scan(&r.id, &r.rig, &r.file, &r.name, &r.revision, &r.state, &r.progress, &r.problem, &r.begun, &r.ended, &r.spent, &r.leg0, &r.settled0)
	return r, err
}

func (b *Book) one(ctx context.Context, id string) (row, error) {
	n, err := strconv.ParseInt(id, 10, 64)
	if err != nil || n < 1 {
		return row{}, &Error{NotFound, fmt.Sprintf("found no search %q", id)}
	}
	r, err := scan(b.db.QueryRowContext(ctx, `SELECT `+columns+` FROM run WHERE id = $1`, n))
	if errors.Is(err, sql.ErrNoRows) {
		return r, &Error{NotFound, fmt.Sprintf("found no search %s; it may have been deleted", id)}
	}
	return r, err
}

func (b *Book) all(ctx context.Context) ([]row, error) {
	rows, err := b.db.QueryContext(ctx, `SELECT `+columns+` FROM run ORDER BY id DESC`)
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

func (b *Book) add(ctx context.Context, w Wish, now time.Time) (int64, error) {
	texts, err := json.Marshal(w.Texts)
	if err != nil {
		return 0, err
	}
	options, err := json.Marshal(w.Options)
	if err != nil {
		return 0, err
	}
	var id int64
	err = b.db.QueryRowContext(ctx, `INSERT INTO run (rig, file, name, revision, texts, options, state, begun) VALUES ($1, $2, $3, $4, $5, $6, $7, $8) RETURNING id`,
		w.Rig, w.File, w.Name, w.Revision, texts, options, Waiting, now.UnixMilli()).Scan(&id)
	return id, err
}

// claim makes this process the one that works on a run; false when there is nothing to do, or another one does it.
func (b *Book) claim(ctx context.Context, id int64, now time.Time) (Task, bool, error) {
	var t Task
	res, err := b.db.ExecContext(ctx, `UPDATE run SET state = $1, owner = $2, alive = $3, leg = $3, ended = 0, problem = '', stop = 0
		WHERE id = $4 AND (state = $5 OR state = $1 AND alive < $6)`, Running, b.name, now.UnixMilli(), id, Waiting, now.Add(-silence).UnixMilli())
	if err != nil {
		return t, false, err
	}
	if n, err := res.RowsAffected(); err != nil || n == 0 {
		return t, false, err
	}
	var texts, options, progress []byte
	err = b.db.QueryRowContext(ctx, `SELECT file, texts, options, checkpoint, progress FROM run WHERE id = $1`, id).Scan(&t.File, &texts, &options, &t.Resume, &progress)
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
	_, err = b.db.ExecContext(ctx, `UPDATE run SET settled = $1 WHERE id = $2`, p.Evaluated+p.Cut, id)
	return t, err == nil, err
}

// beat writes down how far a run is, and says whether it is to go on. A run that is not ours any more must not.
func (b *Book) beat(ctx context.Context, id int64, progress []byte, spent time.Duration, now time.Time) (goOn bool, err error) {
	res, err := b.db.ExecContext(ctx, `UPDATE run SET alive = $1, spent = spent + $2, progress = COALESCE($3, progress) WHERE id = $4 AND owner = $5 AND state = $6`,
		now.UnixMilli(), spent.Milliseconds(), null(progress), id, b.name, Running)
	if err != nil {
		return true, err
	}
	if n, err := res.RowsAffected(); err != nil || n == 0 {
		return err != nil, err
	}
	var stop int
	err = b.db.QueryRowContext(ctx, `SELECT stop FROM run WHERE id = $1`, id).Scan(&stop)
	return stop == 0, err
}

func (b *Book) keep(ctx context.Context, id int64, checkpoint []byte) error {
	_, err := b.db.ExecContext(ctx, `UPDATE run SET checkpoint = $1 WHERE id = $2 AND owner = $3 AND state = $4`, checkpoint, id, b.name, Running)
	return err
}

// end writes down what became of a run. Only a run that can be continued keeps its checkpoint.
func (b *Book) end(ctx context.Context, id int64, to State, answer []byte, problem string, now time.Time) error {
	ended := now.UnixMilli()
	if to == Waiting {
		ended = 0
	}
	_, err := b.db.ExecContext(ctx, `UPDATE run SET state = $1, answer = $2, problem = $3, ended = $4, owner = '', stop = 0,
		checkpoint = CASE WHEN $1 IN ('stopped', 'waiting', 'failed') THEN checkpoint ELSE NULL END WHERE id = $5 AND owner = $6 AND state = $7`,
		to, null(answer), problem, ended, id, b.name, Running)
	return err
}

// move takes a run from one of the states to another; false when it is in none of them.
func (b *Book) move(ctx context.Context, id int64, to State, ended int64, from ...State) (bool, error) {
	for _, f := range from {
		res, err := b.db.ExecContext(ctx, `UPDATE run SET state = $1, ended = $2, stop = 0, owner = '' WHERE id = $3 AND state = $4`, to, ended, id, f)
		if err != nil {
			return false, err
		}
		if n, err := res.RowsAffected(); err != nil || n > 0 {
			return n > 0, err
		}
	}
	return false, nil
}

// orphans are runs that nobody works on though someone should: whose process is silent, or, at the beginning, that wait without a job.
func (b *Book) orphans(ctx context.Context, waiting bool, now time.Time) ([]int64, error) {
	wait := ""
	if waiting {
		wait = string(Waiting)
	}
	rows, err := b.db.QueryContext(ctx, `SELECT id FROM run WHERE state = $1 AND alive < $2 OR state = $3 ORDER BY id`, Running, now.Add(-silence).UnixMilli(), wait)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var out []int64
	for rows.Next() {
		var id int64
		if err := rows.Scan(&id); err != nil {
			return nil, err
		}
		out = append(out, id)
	}
	return out, rows.Err()
}

// null is a blob, or NULL when there is none.
func null(b []byte) any {
	if b == nil {
		return nil
	}
	return b
}

func text(n int64) string { return strconv.FormatInt(n, 10) }
