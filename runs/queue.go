package runs

import (
	"context"
	"log/slog"
	"time"

	"github.com/riverqueue/river"
	"github.com/riverqueue/river/rivertype"
)

// A queue hands jobs out: river's client, on whichever base.
type queue interface {
	Start(ctx context.Context) error
	Stop(ctx context.Context) error
	StopAndCancel(ctx context.Context) error
	Insert(ctx context.Context, job river.JobArgs, o *river.InsertOpts) (*rivertype.JobInsertResult, error)
	JobList(ctx context.Context, p *river.JobListParams) (*river.JobListResult, error)
}

const queueName = "search"

// queueConfig is how river's client works: one job at a time, as a search takes all processors by itself. A job is tried once and has no
// limit of time: what becomes of a run whose process died is settled by the run's own sign of life (Book.revive).
func queueConfig(w river.Worker[args], log *slog.Logger) (*river.Config, error) {
	workers := river.NewWorkers()
	if err := river.AddWorkerSafely(workers, w); err != nil {
		return nil, err
	}
	return &river.Config{
		Queues:  map[string]river.QueueConfig{queueName: {MaxWorkers: 1}},
		Workers: workers, Logger: log,
		FetchCooldown: 50 * time.Millisecond,
		JobTimeout:    -1, MaxAttempts: 1,
		CompletedJobRetentionPeriod: time.Hour, CancelledJobRetentionPeriod: time.Hour, DiscardedJobRetentionPeriod: 24 * time.Hour,
	}, nil
}

// args name the run that a job works on.
type args struct {
	Run int64 `json:"run"`
}

// Kind is river's name for such jobs.
func (args) Kind() string { return "search_run" }

// InsertOpts says which queue they go to.
func (args) InsertOpts() river.InsertOpts { return river.InsertOpts{Queue: queueName, MaxAttempts: 1} }

// worker is river's way to Book.work.
type worker struct {
	river.WorkerDefaults[args]
	work func(ctx context.Context, id int64) error
}

func (w *worker) Work(ctx context.Context, job *river.Job[args]) error {
	return w.work(ctx, job.Args.Run)
}
