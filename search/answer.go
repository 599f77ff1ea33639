package search

import (
	"lowslung/finding"
	"lowslung/rig"
)

// An Answer is what the search found.
type Answer struct {
	Name      string            `json:"name" doc:"Name of the build searched from"`
	Space     int64             `json:"space" doc:"Combinations in all"`
	Evaluated int64             `json:"evaluated" doc:"Combinations that were judged one by one"`
	Cut       int64             `json:"cut" doc:"Combinations that were settled together with others, without losing any that could be among the best"`
	Seconds   *float64          `json:"seconds" doc:"How long it took; null when nobody held the watch"`
	Choices   []Choice          `json:"choices" nullable:"false" doc:"What was allowed to change, in the order of the document"`
	Wants     []Want            `json:"wants" nullable:"false" doc:"What a build had to reach, in the order in which it is judged"`
	Prefers   []Prefer          `json:"prefers" nullable:"false" doc:"Which way numbers are better, most important first"`
	Now       []Number          `json:"now" nullable:"false" doc:"The numbers of the build as it is"`
	Front     int               `json:"front" doc:"Builds that no other beats in everything preferred"`
	Builds    []Build           `json:"builds" nullable:"false" doc:"The best compromises of the front, best first"`
	Rejected  map[string]int64  `json:"rejected" nullable:"false" doc:"How many combinations fell to each want: the first they failed, in the order of wants"`
	Loosen    *Loosen           `json:"loosen" doc:"The one want whose loosening would let in the most combinations; null when no combination fails one want only"`
	Findings  []finding.Finding `json:"findings" nullable:"false" doc:"What the builder should know, most urgent first"`
}

// A Choice is one thing that was allowed to change.
type Choice struct {
	Name    string   `json:"name" doc:"Name in the document"`
	Change  []string `json:"change" nullable:"false" doc:"Paths in the document"`
	Values  []string `json:"values" nullable:"false" doc:"What it may become, what it is now first"`
	Between bool     `json:"between" doc:"Any value between will do: the search goes through values, and then solves for the best from there"`
}

// A Want is a range that a number must be in.
type Want struct {
	Name   string   `json:"name" doc:"Name of the number, or of the necessity"`
	Wanted string   `json:"wanted" doc:"The range in words"`
	From   *float64 `json:"from" doc:"Least value in the unit given; null when open"`
	To     *float64 `json:"to" doc:"Largest value in the unit given; null when open"`
	Unit   string   `json:"unit" doc:"Unit of from and to"`
	By     string   `json:"by" enum:"search,target,parts" doc:"Who wants it: the search section, a target, or the parts themselves, which must go together and reach"`
}

// A Prefer is a number that is better one way.
type Prefer struct {
	Name string `json:"name" doc:"Name of the number"`
	Way  string `json:"way" enum:"lower,higher,middle" doc:"lower, higher, or near the middle of what is wanted of it"`
}

// A Number is a number of the catalogue for one build.
type Number struct {
	Name  string  `json:"name" doc:"Name of the number"`
	Value float64 `json:"value" doc:"Value in the unit given"`
	Unit  string  `json:"unit" doc:"Unit of the value"`
	Text  string  `json:"text" doc:"As printed, in the unit system asked for"`
}

// A Build is one build worth making.
type Build struct {
	Numbers  []Number          `json:"numbers" nullable:"false" doc:"Every number of the catalogue that the build has"`
	Changes  []rig.Change      `json:"changes" nullable:"false" doc:"What changes in the document"`
	Patch    string            `json:"patch" doc:"A document with the build searched from as its base: open, compare or order it as any other"`
	Trade    string            `json:"trade" doc:"What it gives and takes against the build before it, or against the build as it is, in words"`
	Adds     []string          `json:"adds" nullable:"false" doc:"Parts that the patch adds because a need had exactly one bin item that fits, in words"`
	Findings []finding.Finding `json:"findings" nullable:"false" doc:"What stops, or is to be watched, in the whole build"`
	Robust   []Band            `json:"robust" nullable:"false" doc:"How far its numbers that are wanted or preferred spread under the usual errors of making"`
}

// A Band is the spread of one number.
type Band struct {
	Name string  `json:"name" doc:"Name of the number"`
	From float64 `json:"from" doc:"Lower end of the band that 95 of 100 such builds fall in"`
	To   float64 `json:"to" doc:"Its upper end"`
	Unit string  `json:"unit" doc:"Unit of from and to"`
	Text string  `json:"text" doc:"The band as a person reads it"`
}

// Loosen is the one want that keeps out the most.
type Loosen struct {
	Want  string  `json:"want" doc:"Name of the want"`
	Gains int64   `json:"gains" doc:"Combinations that fail this want only"`
	By    float64 `json:"by" doc:"How far the nearest of them misses it, in the unit given"`
	Unit  string  `json:"unit" doc:"Unit of by"`
	Text  string  `json:"text" doc:"The same in words"`
}
