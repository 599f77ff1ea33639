package runs

import (
	"context"
	"database/sql"
	"log/slog"
	"time"

	"github.com/riverqueue/river"
)

// A base is where a book is kept. The statements of table.go are the same on all of them; times in the table are by the clock of the base
// (now), as those of machines that share it differ.
type base struct {
	db    *sql.DB
	now   string // ms since 1970, in SQL
	queue func(w river.Worker[args], log *slog.Logger) (queue, error)
	close func() error
}

// Pace is how a book is looked after.
type pace struct {
	silence  time.Duration // a process not heard of for so long is taken to be dead
	pulse    time.Duration // how often one is heard of
	patience time.Duration // how long one that cannot be heard of goes on; 0 for as long as it likes, on a machine of its own
}

// open opens the base that a setup names, and brings its tables up to date.
func (s *Setup) base(ctx context.Context) (*base, error) {
	if s.Database != nil {
		return openPostgres(ctx, s.Database)
	}
	return openFile(ctx, s.Path)
}

func (s *Setup) pace() pace {
	if s.Database != nil {
		// It lets go of its run well before another process may take the run up.
		return pace{silence: 12 * time.Second, pulse: time.Second, patience: 8 * time.Second}
	}
	return pace{silence: 5 * time.Second, pulse: time.Second}
}
