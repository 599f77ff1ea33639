package server

import (
	"context"
	"errors"
	"log/slog"
	"net/http"
	"strconv"
	"sync"
	"time"

	"lowslung/rig"
	"lowslung/store"
)

// Job is work that takes longer than a request should.
type Job struct {
	ID      string         `json:"id" doc:"Number of the job, as text"`
	State   string         `json:"state" enum:"running,done,failed" doc:"Whether it is still at it"`
	Stage   string         `json:"stage" enum:"reading,saving" doc:"What it is doing, or did last"`
	Done    int            `json:"done" doc:"Lines read, or items saved"`
	Total   int            `json:"total" doc:"Of how many; 0 when not known yet"`
	Result  *ImportedTable `json:"result,omitempty" doc:"What came of it, when it is done"`
	Problem *Problem       `json:"problem,omitempty" doc:"Why it failed"`
}

// ImportedTable is what became of a table.
type ImportedTable struct {
	File     string          `json:"file" doc:"Name of the bin"`
	Revision int             `json:"revision" doc:"Its revision"`
	Rows     int             `json:"rows" doc:"Rows of the table below its header"`
	Items    int             `json:"items" doc:"Items saved"`
	LeftOut  int             `json:"left_out" doc:"Rows left out for mistakes"`
	Columns  []rig.ColumnUse `json:"columns" nullable:"false" doc:"How each column was taken"`
	Mistakes []Mistake       `json:"mistakes" nullable:"false" doc:"Of the rows left out, up to fifty"`
}

const (
	jobsKept  = 32                     // jobs whose outcome can be asked for
	jobsTells = 100 * time.Millisecond // events of one job are at least so far apart
)

// jobs are those of this run of the program. One works at a time: they all write to one file.
type jobs struct {
	mu   sync.Mutex
	last int
	list []*Job
	busy bool
	work sync.WaitGroup
}

// begin starts work, and gives the job as it is at its beginning.
func (s *Server) begin(work func(ctx context.Context, told func(stage string, done, total int)) (*ImportedTable, error)) (Job, error) {
	js := s.jobs
	js.mu.Lock()
	defer js.mu.Unlock()
	if js.busy {
		return Job{}, &Problem{Title: "Busy", Status: http.StatusConflict, Code: string(store.Busy), Detail: "found another import under way. Nothing was begun; wait until it is done"}
	}
	js.busy = true
	js.last++
	j := &Job{ID: strconv.Itoa(js.last), State: "running", Stage: "reading"}
	js.list = append(js.list, j)
	if len(js.list) > jobsKept {
		js.list = js.list[1:]
	}
	var told time.Time
	tell := func(change func()) {
		js.mu.Lock()
		change()
		copied := *j
		late := j.State != "running" || time.Since(told) >= jobsTells
		js.mu.Unlock()
		if late {
			told = time.Now()
			s.hub.tell("job", copied)
		}
	}
	js.work.Go(func() {
		ctx := context.Background() // the work goes on when the one who asked has left
		result, err := work(ctx, func(stage string, done, total int) { tell(func() { j.Stage, j.Done, j.Total = stage, done, total }) })
		var p *Problem
		if err = s.wrong(ctx, err); err != nil && !errors.As(err, &p) {
			s.log.ErrorContext(ctx, "a job failed", slog.Any("cause", err))
			p = &Problem{Title: "Unexpected error", Status: http.StatusInternalServerError, Detail: "the program met an error that it did not expect; its log says more"}
		}
		tell(func() {
			j.State, j.Result, j.Problem = "done", result, p
			if p != nil {
				j.State = "failed"
			}
			js.busy = false
		})
	})
	return *j, nil
}

// finish waits for what is under way, up to the end of ctx.
func (js *jobs) finish(ctx context.Context) {
	done := make(chan struct{})
	go func() { js.work.Wait(); close(done) }()
	select {
	case <-done:
	case <-ctx.Done():
	}
}

func (s *Server) job(_ context.Context, in *struct {
	ID string `path:"id" maxLength:"20" doc:"Number of the job"`
}) (*jobOut, error) {
	s.jobs.mu.Lock()
	defer s.jobs.mu.Unlock()
	for _, j := range s.jobs.list {
		if j.ID == in.ID {
			return &jobOut{*j}, nil
		}
	}
	return nil, &Problem{Title: "Not there", Status: http.StatusNotFound, Code: string(store.NotFound), Detail: "found no job of this number; jobs are forgotten when the program ends"}
}
