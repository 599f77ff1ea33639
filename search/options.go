package search

import (
	"lowslung/quantity"
	"lowslung/travel"
)

// Options of the question. The zero value is the usual search.
type Options struct {
	Heave   travel.Span     // mm from the design pose; the zero Span is −25:25:2.5
	Roll    travel.Span     // degrees; the zero Span is −15:15:7.5
	Builds  int             // how many builds of the front are worked out in full; 0 is 6, negative is all of them
	Asked   int             // most builds of which the slow questions are asked; 0 is 5000
	Most    float64         // largest space to go through; 0 is what the document says, or 1e9
	Workers int             // goroutines; 0 is one for each processor. The answer does not depend on it
	Lean    bool            // do not check whole builds before they stand on the front; the builds told are checked all the same
	Brute   bool            // judge each combination by itself over its whole travel and cut nothing: for checking the search
	Units   quantity.System // units of the sentences

	Progress   func(Progress)     // called now and then, from one goroutine at a time; nil for none
	Checkpoint func(state []byte) // called now and then with what Resume takes, from one goroutine at a time; nil for none
	Resume     []byte             // the last checkpoint of a run of the same document with the same options; nil begins anew
}

// Progress is how far a run is.
type Progress struct {
	Space     int64    `json:"space" doc:"Combinations in all"`
	Evaluated int64    `json:"evaluated" doc:"Combinations that were judged one by one so far"`
	Cut       int64    `json:"cut" doc:"Combinations that were settled together with others so far"`
	Found     int      `json:"found" doc:"Builds on the front so far"`
	Best      []Number `json:"best" nullable:"false" doc:"Preferred numbers of the build that is best in what is preferred first; for one wanted near its middle, how far it is from there"`
	Step      string   `json:"step" enum:"travel,join,ask,polish,check" doc:"What is being done: travel of each axle, joining the axles, asking the slow questions, solving for values between, checking the builds found"`
}

// Done is the share of the space that is settled.
func (p *Progress) Done() float64 {
	if p.Space == 0 {
		return 1
	}
	return float64(p.Evaluated+p.Cut) / float64(p.Space)
}
