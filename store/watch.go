package store

import (
	"context"
	"maps"
	"slices"
	"time"
)

// looking is how often Watch asks whether another process has changed the workshop.
const looking = 500 * time.Millisecond

// An Event says that a document has a new revision, or was removed.
type Event struct {
	ID       int64
	Kind     Kind
	Revision int
	Hash     Hash
	Removed  bool
}

// Watch tells of every change, whoever made it, until ctx ends; changes that follow each other fast may come as one. A Store
// has one watcher at a time.
func (s *Store) Watch(ctx context.Context, tell func(Event)) error {
	conn, err := s.db.Conn(ctx)
	if err != nil {
		return fault(s.path, err)
	}
	defer conn.Close()
	clock := time.NewTicker(looking)
	defer clock.Stop()
	last, version := map[int64]Event(nil), int64(-1)
	for {
		// data_version changes when anything but this very connection has written to the file.
		var present int64
		err := conn.QueryRowContext(ctx, "PRAGMA data_version").Scan(&present)
		if err == nil && present != version {
			var state map[int64]Event
			if state, err = s.state(ctx); err == nil {
				if last != nil {
					differences(last, state, tell)
				}
				last, version = state, present
			}
		}
		if ctx.Err() != nil {
			return nil
		}
		if err != nil && CodeOf(fault(s.path, err)) != Busy {
			return fault(s.path, err)
		}
		select {
		case <-ctx.Done():
			return nil
		case <-clock.C:
		case <-s.nudge:
		}
	}
}

func (s *Store) state(ctx context.Context) (map[int64]Event, error) {
	rows, err := s.db.QueryContext(ctx, `SELECT d.id, d.kind, d.head, r.hash, d.removed_at IS NOT NULL`+documentTables)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	state := map[int64]Event{}
	for rows.Next() {
		var e Event
		if err := rows.Scan(&e.ID, &e.Kind, &e.Revision, &e.Hash, &e.Removed); err != nil {
			return nil, err
		}
		state[e.ID] = e
	}
	return state, rows.Err()
}

func differences(before, after map[int64]Event, tell func(Event)) {
	for _, id := range slices.Sorted(maps.Keys(after)) {
		e := after[id]
		if was, there := before[id]; (!there && !e.Removed) || (there && was != e) {
			tell(e)
		}
	}
	for _, id := range slices.Sorted(maps.Keys(before)) { // gone altogether: another workshop was restored
		e := before[id]
		if _, there := after[id]; !there && !e.Removed {
			e.Removed = true
			tell(e)
		}
	}
}
