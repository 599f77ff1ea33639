package mates

import (
	"lowslung/finding"
	"lowslung/quantity"
	"lowslung/solid"
	"lowslung/travel"
)

// Options of the question.
type Options struct {
	Against *solid.Model    // the build as it was, for what is reused and left over; nil for none
	Travel  *travel.Answer  // travel's answer on both axles, when it has been asked already; nil asks it
	Units   quantity.System // units of the sentences
}

// An Answer says what goes together and what is missing.
type Answer struct {
	Joints    []Joint           `json:"joints" nullable:"false" doc:"Written mates first, then the ones found"`
	Unmet     []Unmet           `json:"unmet" nullable:"false" doc:"Needs that nothing in the document meets"`
	Bolts     []Bolt            `json:"bolts" nullable:"false" doc:"The bolts through the eyes of links and shocks, those that are alike together"`
	Leftovers []Piece           `json:"leftovers" nullable:"false" doc:"Parts of the build as it was that this one does not use"`
	Reused    []Piece           `json:"reused" nullable:"false" doc:"Parts taken over from the build as it was"`
	Bought    []Piece           `json:"bought" nullable:"false" doc:"Parts to get: bin items that the build as it was does not have"`
	Made      []Piece           `json:"made" nullable:"false" doc:"Parts to cut or print"`
	Steps     []Step            `json:"steps" nullable:"false" doc:"One order of putting it together that blocks nothing"`
	MassG     float64           `json:"mass_g" doc:"Of what is bought and made, where the weight is known"`
	Price     float64           `json:"price" doc:"Of what is bought beyond the stock in the bin, where the price is known"`
	Currency  string            `json:"currency" doc:"ISO 4217; empty when prices are in several or none"`
	Findings  []finding.Finding `json:"findings" nullable:"false" doc:"What the builder should know"`
}

// A Joint is two ports that meet.
type Joint struct {
	Name   string `json:"name" doc:"Name in the document; empty for one that was found"`
	A      string `json:"a" doc:"part/port"`
	B      string `json:"b" doc:"part/port"`
	Type   string `json:"type" doc:"Types of the two ports"`
	Fit    string `json:"fit" doc:"The fit in words"`
	OK     bool   `json:"ok" doc:"They go together"`
	Found  bool   `json:"found" doc:"Not written in the document: the only pair that goes together"`
	Reason string `json:"reason" doc:"One sentence with both dimensions"`
	Source string `json:"source" doc:"Where the rule comes from"`

	about []string // paths of what is no port
}

// An Unmet need is a port that must be mated and is not.
type Unmet struct {
	Part     string   `json:"part" doc:"Part that has the need"`
	Port     string   `json:"port" doc:"Port that nothing is mated to"`
	Needs    string   `json:"needs" doc:"What it needs, in words"`
	Count    int      `json:"count" doc:"How many: two for a pair"`
	WouldFit []string `json:"would_fit" nullable:"false" doc:"Bin items that go on it, those in stock first"`
}

// A Bolt is one or several bolts that are alike, through eyes of links and shocks.
type Bolt struct {
	Thread    string   `json:"thread" doc:"Thread: M3"`
	Count     int      `json:"count" doc:"How many"`
	For       []string `json:"for" nullable:"false" doc:"Where they go: part/hole"`
	New       []string `json:"new" nullable:"false" doc:"Of those places, the ones that the build as it was has no bolt for"`
	Wants     string   `json:"wants" doc:"What is wanted, in words"`
	ThroughMM *float64 `json:"through_mm" doc:"What it goes through before nut or thread: eyes, spacers, walls; null when the document does not say"`
	LeastMM   *float64 `json:"least_mm" doc:"Shortest bolt that holds, below its head; null when the document does not say"`
	MostMM    *float64 `json:"most_mm" doc:"Longest bolt that goes in, where the thread is blind; null when there is no limit"`
	HeldBy    string   `json:"held_by" enum:"nut,thread" doc:"What holds it"`
	Screw     string   `json:"screw" doc:"Bin item that the document names for it; empty for none"`
	Nut       string   `json:"nut" doc:"Bin item that the document names for its nut; empty for none, or where a thread holds"`
	Had       int      `json:"had" doc:"How many of them the build as it was has, or has others that go in as well"`
	WouldFit  []string `json:"would_fit" nullable:"false" doc:"Bin items that would do, the shortest first; empty where one is named"`
	NutsFit   []string `json:"nuts_fit" nullable:"false" doc:"Bin items for its nut, those in stock first; empty where one is named or a thread holds"`

	needs  bolting
	lacks  []string // keys that would say how long it must be
	places []eyeAt
}

// A Piece is one line of a list: how many of one thing.
type Piece struct {
	What     string   `json:"what" doc:"Title, or name of the part"`
	Item     string   `json:"item" doc:"Bin item; empty for a part of no bin"`
	Count    int      `json:"count" doc:"How many"`
	Parts    []string `json:"parts" nullable:"false" doc:"What they are in the document"`
	EachG    *float64 `json:"each_g" doc:"Weight of one; null when not known"`
	Each     *float64 `json:"each" doc:"Price of one; null when not known"`
	Currency string   `json:"currency" doc:"ISO 4217"`
	From     string   `json:"from" doc:"Where it comes from"`
	Have     int      `json:"have" doc:"How many lie in the drawer"`
}

// A Step is one thing to do.
type Step struct {
	Kind  string   `json:"kind" enum:"make,fit,make up,bolt on,slide in,hang,plug" doc:"What kind of work it is: a part to make or to fit, a link to make up or to bolt on, a shaft to slide in, a shock to hang, a plug"`
	About string   `json:"about" doc:"Path in the document of what is made or fitted"`
	Do    string   `json:"do" doc:"What to do, in one sentence"`
	Parts []string `json:"parts" nullable:"false" doc:"What is at hand"`
	Tools []string `json:"tools" nullable:"false" doc:"Tools by size"`
	Notes []string `json:"notes" nullable:"false" doc:"Thread lock, checks"`
	Care  []string `json:"care" nullable:"false" doc:"Cautions"`
}
