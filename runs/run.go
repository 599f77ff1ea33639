package runs

import (
	"encoding/json"
	"time"

	"lowslung/search"
)

// State is where a run is.
type State string

// States of a run.
const (
	Waiting State = "waiting" // for its turn: one run is worked on at a time
	Running State = "running"
	Stopped State = "stopped" // by the builder, can be continued
	Done    State = "done"
	Failed  State = "failed"
)

// A Run is one search, begun and maybe ended.
type Run struct {
	ID       string          `json:"id" doc:"Number of the run, as text"`
	Rig      string          `json:"rig" doc:"Number of the rig that it searches from"`
	File     string          `json:"file" doc:"Its document"`
	Name     string          `json:"name" doc:"Its name when the run was begun"`
	Revision int             `json:"revision" doc:"Its revision: the run goes on with that one whatever is saved meanwhile"`
	State    State           `json:"state" enum:"waiting,running,stopped,done,failed" doc:"Where it is; a stopped run can be continued"`
	Progress search.Progress `json:"progress" doc:"How far it is, and the best so far"`
	Share    float64         `json:"share" doc:"Share of the combinations that is settled, 0 to 1"`
	Seconds  float64         `json:"seconds" doc:"Time worked on it"`
	Rate     *float64        `json:"per_second" doc:"Combinations settled a second since it was begun or continued; null before that is known, and while what is left is asked and checked"`
	Left     *float64        `json:"seconds_left" doc:"Time left at that rate, an estimate; null before it is known, and while what is left is asked and checked"`
	BegunAt  time.Time       `json:"begun_at" doc:"When it was begun, UTC"`
	EndedAt  *time.Time      `json:"ended_at" doc:"When it ended or was stopped, UTC; null while it goes on"`
	Problem  string          `json:"problem" doc:"Why it failed"`
}

// Options of a run: those of the search that are kept with it.
type Options struct {
	Builds int     `json:"builds"`
	Most   float64 `json:"most"`
	Units  string  `json:"units"`
}

// A Task is what is worked on. Progress and Checkpoint may be called from any goroutine.
type Task struct {
	ID         string
	File       string            // document searched from
	Texts      map[string]string // of it, its bases and its bins
	Options    Options
	Resume     []byte // last checkpoint; nil begins anew
	Progress   func(search.Progress)
	Checkpoint func([]byte)
}

// row is a run as it stands in the table.
type row struct {
	id, rig                   int64
	file, name                string
	revision                  int
	state                     State
	progress                  []byte
	problem                   string
	begun, ended, spent, leg0 int64 // ms; leg0 is when it was begun or continued last
	settled0                  int64
	now                       int64 // by the clock of the table
}

func (r *row) run() Run {
	out := Run{
		ID: text(r.id), Rig: text(r.rig), File: r.file, Name: r.name, Revision: r.revision, State: r.state, Problem: r.problem,
		Seconds: float64(r.spent) / 1000, BegunAt: time.UnixMilli(r.begun).UTC(),
	}
	out.Progress.Best, out.Progress.Step = []search.Number{}, "travel"
	_ = json.Unmarshal(r.progress, &out.Progress) // written by us; a newer program's is read as far as it goes
	if out.Progress.Space > 0 {
		out.Share = min(1, out.Progress.Done())
	}
	if r.state == Done {
		out.Share = 1
	}
	if r.ended > 0 {
		t := time.UnixMilli(r.ended).UTC()
		out.EndedAt = &t
	}
	if leg := float64(r.now-r.leg0) / 1000; r.state == Running && r.leg0 > 0 && leg > 0.5 && (out.Progress.Step == "travel" || out.Progress.Step == "join") {
		if n := out.Progress.Evaluated + out.Progress.Cut - r.settled0; n > 0 {
			rate := float64(n) / leg
			left := float64(out.Progress.Space-out.Progress.Evaluated-out.Progress.Cut) / rate
			out.Rate, out.Left = &rate, &left
		}
	}
	return out
}
