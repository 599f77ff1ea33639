package tolerance

import (
	"lowslung/finding"
	"lowslung/quantity"
)

// Options of the question. The zero value is the usual one.
type Options struct {
	Samples int             // builds tried; 0 is 1000
	Seed    uint64          // of the samples; 0 is 1
	Errors  *Errors         // instead of what the document says and what is usual
	Units   quantity.System // units of sentences and bands
}

// An Answer is how far the numbers spread.
type Answer struct {
	Name     string            `json:"name" doc:"Name of the build"`
	Samples  int               `json:"samples" doc:"Builds tried, each off in every input at once (Latin hypercube)"`
	Lost     int               `json:"lost" doc:"Of those, builds whose links did not go together"`
	Seed     uint64            `json:"seed" doc:"Seed of the samples: the same seed gives the same answer"`
	Assumed  []Assumed         `json:"assumed" nullable:"false" doc:"How far each kind of thing was taken to be off"`
	Bands    []Band            `json:"bands" nullable:"false" doc:"One for each number that the links settle at the design pose"`
	Measure  []Matter          `json:"measure" nullable:"false" doc:"The three inputs that matter most over all bands: what to measure better first"`
	Findings []finding.Finding `json:"findings" nullable:"false" doc:"What the builder should know, most urgent first"`
}

// Assumed is one kind of error.
type Assumed struct {
	Key       string  `json:"key" enum:"drilled,printed,length,turns,play,set,tyre" doc:"Key in the document's errors section"`
	Text      string  `json:"text" doc:"The assumption in words"`
	PlusMinus float64 `json:"plus_minus" doc:"Plus or minus, in the unit given: what 95 of 100 keep; all the play of one rod end for play"`
	Unit      string  `json:"unit" doc:"Unit of plus_minus"`
	Inputs    int     `json:"inputs" doc:"How many such errors the build has, left and right apart"`
	From      string  `json:"from" enum:"assumed,document" doc:"assumed, or the document says it"`
}

// A Band is the spread of one number.
type Band struct {
	Name    string   `json:"name" doc:"Name of the number in the catalogue"`
	Value   float64  `json:"value" doc:"With everything as written, in the unit given"`
	From    float64  `json:"from" doc:"Lower end of the band that 95 of 100 such builds fall in"`
	To      float64  `json:"to" doc:"Its upper end"`
	Linear  float64  `json:"linear" doc:"Half the band by linear propagation: a check of the samples, which also see what bends"`
	Unit    string   `json:"unit" doc:"Unit of the numbers here"`
	Matters []Matter `json:"matters" nullable:"false" doc:"The three inputs with the largest shares of the variance"`

	ValueText string `json:"value_text" doc:"Value as a person reads it"`
	FromText  string `json:"from_text" doc:"Lower end as a person reads it"`
	ToText    string `json:"to_text" doc:"Upper end as a person reads it"`
}

// A Matter is one thing that can be measured or made better.
type Matter struct {
	What  string  `json:"what" doc:"The thing, with its side"`
	Path  string  `json:"path" doc:"Where the document says it"`
	Share float64 `json:"share" doc:"Its share of the variance, 0 to 1, by linear propagation"`
	Text  string  `json:"text" doc:"What to do, in words"`
}
