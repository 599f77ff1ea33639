package bench

import (
	"lowslung/finding"
	"lowslung/quantity"
	"lowslung/rig"
)

// Options of the question. The zero value is the usual one.
type Options struct {
	Readings rig.Map[rig.Reading] // besides those of the document; one of the same name takes its place
	Base     string               // file that the document with the corrections has as its base; "" writes none
	Units    quantity.System
}

// An Answer is what was measured beside what the model says.
type Answer struct {
	Name        string            `json:"name" doc:"Name of the build"`
	Readings    []Reading         `json:"readings" nullable:"false" doc:"Each reading beside its prediction, in the order written"`
	Agreement   *Agreement        `json:"agreement" doc:"Whether model and readings agree, all readings used; null without any"`
	Without     *Agreement        `json:"without" doc:"The same without the readings that do not fit; null when all fit"`
	Suspects    []Suspect         `json:"suspects" nullable:"false" doc:"Slips of the pen that would cure a bad difference"`
	Corrections []Correction      `json:"corrections" nullable:"false" doc:"What in the document is most probably off, largest first, by the readings that fit"`
	Small       int               `json:"small" doc:"Inputs beside those whose correction is less than a tenth of their usual error"`
	Numbers     []Known           `json:"numbers" nullable:"false" doc:"How well the numbers are known before and after the readings"`
	Alike       []Alike           `json:"alike" nullable:"false" doc:"What the readings cannot tell apart"`
	Next        []Next            `json:"next" nullable:"false" doc:"What to measure next: the reading that makes each number's band smallest, largest gain first"`
	Patch       string            `json:"patch" doc:"The corrections as a document that has this one as its base; empty when there are none"`
	Findings    []finding.Finding `json:"findings" nullable:"false" doc:"What the builder should know, most urgent first"`
}

// A Reading is one reading beside its prediction, in the unit given.
type Reading struct {
	Name       string   `json:"name" doc:"Name in the document or table"`
	Text       string   `json:"text" doc:"What was measured, in words"`
	Of         string   `json:"of" doc:"Kind of reading"`
	At         string   `json:"at" doc:"Where; empty for the whole rig"`
	Side       string   `json:"side" enum:"left,right," doc:"Which twin; empty for neither"`
	From       string   `json:"from" enum:"document,table" doc:"Where the reading is written"`
	When       string   `json:"when" doc:"When, as written"`
	How        string   `json:"how" doc:"How, as written"`
	Used       bool     `json:"used" doc:"The reading counts in the agreement"`
	Fits       bool     `json:"fits" doc:"The reading counts in the corrections too: it fits the others"`
	Why        string   `json:"why" doc:"Why it is not used; empty when it is"`
	Unit       string   `json:"unit" doc:"Unit of the numbers here"`
	Value      float64  `json:"value" doc:"What was read"`
	Within     float64  `json:"within" doc:"How far that may be off, plus or minus, what 95 of 100 keep"`
	Usual      bool     `json:"usual" doc:"That is the usual value for such a reading, an assumption: the reading says none"`
	Predicted  *float64 `json:"predicted" doc:"What the model says; null when it cannot say"`
	Spread     *float64 `json:"spread" doc:"How far that may be off by the usual errors of making, plus or minus, what 95 of 100 keep"`
	Difference *float64 `json:"difference" doc:"Read less predicted"`
	Ratio      *float64 `json:"ratio" doc:"Difference over its combined uncertainty (95 %): 19 of 20 are within ±1"`
	Fitted     *float64 `json:"fitted" doc:"What the corrected model says"`
	Normalized *float64 `json:"normalized" doc:"What is left after the corrections, over its own standard deviation: beyond ±3 a reading hardly belongs to the others; null for one that nothing else controls"`
	Leverage   *float64 `json:"leverage" doc:"How far the corrections follow this reading, 0 to 1: near 1 nothing else says the same, and a mistake in it would not show"`

	ValueText      string `json:"value_text" doc:"What was read, as a person reads it"`
	WithinText     string `json:"within_text" doc:"Its uncertainty, as a person reads it"`
	PredictedText  string `json:"predicted_text" doc:"Prediction, as a person reads it"`
	DifferenceText string `json:"difference_text" doc:"Difference, as a person reads it"`
}

// An Agreement is the judgement of all readings together.
type Agreement struct {
	ChiSquare float64 `json:"chi_square" doc:"Sum of the squares of what does not agree, each over its standard deviation"`
	Freedom   int     `json:"freedom" doc:"Degrees of freedom: how much that sum is by pure chance on average"`
	Chance    float64 `json:"chance" doc:"How often pure chance makes the sum as large or larger, 0 to 1"`
	Verdict   string  `json:"verdict" enum:"agrees,strained,disagrees" doc:"agrees: chance 5 % or more; strained: 0.1 % or more; disagrees: less"`
	Text      string  `json:"text" doc:"The judgement in words"`
}

// A Suspect is a slip that would cure a bad difference.
type Suspect struct {
	Readings []string `json:"readings" nullable:"false" doc:"Readings that it is about"`
	Kind     string   `json:"kind" enum:"unit,decimal,twice,sign,upright,swapped,left and right,front and rear" doc:"What may have happened"`
	Text     string   `json:"text" doc:"In words"`
	Before   float64  `json:"before" doc:"Chi-square of all readings as they are"`
	After    float64  `json:"after" doc:"Chi-square if that is what happened"`
}

// A Correction is what one number of the document most probably is.
type Correction struct {
	What    string  `json:"what" doc:"The thing, with its side and direction"`
	Path    string  `json:"path" doc:"Where the document says it"`
	Unit    string  `json:"unit" doc:"Unit of the numbers here"`
	Written float64 `json:"written" doc:"As the document has it"`
	Change  float64 `json:"change" doc:"Most probable change"`
	Before  float64 `json:"before" doc:"How far it may be off before the readings, plus or minus, what 95 of 100 keep"`
	After   float64 `json:"after" doc:"The same after them, about the corrected value"`
	Sigmas  float64 `json:"sigmas" doc:"Change over the standard deviation before: beyond ±3 it is more than such errors usually are"`
	Held    bool    `json:"held" doc:"The corrected document holds it; otherwise the format has no place for it, or left and right differ"`

	WrittenText string `json:"written_text" doc:"As written, as a person reads it"`
	ChangeText  string `json:"change_text" doc:"Change, as a person reads it"`
	BeforeText  string `json:"before_text" doc:"Before, as a person reads it"`
	AfterText   string `json:"after_text" doc:"After, as a person reads it"`
}

// Known is how well one number of the catalogue is known.
type Known struct {
	Name   string  `json:"name" doc:"Name of the number in the catalogue"`
	Unit   string  `json:"unit" doc:"Unit of the numbers here"`
	Was    float64 `json:"was" doc:"As the document has it"`
	Is     float64 `json:"is" doc:"With the corrections"`
	Before float64 `json:"before" doc:"How far it may be off before the readings, plus or minus, what 95 of 100 keep"`
	After  float64 `json:"after" doc:"The same after them"`

	WasText    string `json:"was_text" doc:"As the document has it, as a person reads it"`
	IsText     string `json:"is_text" doc:"With the corrections, as a person reads it"`
	BeforeText string `json:"before_text" doc:"Before, as a person reads it"`
	AfterText  string `json:"after_text" doc:"After, as a person reads it"`
}

// Alike are inputs that move all readings in the same proportions.
type Alike struct {
	Inputs []string `json:"inputs" nullable:"false" doc:"What cannot be told apart"`
	Text   string   `json:"text" doc:"In words"`

	corrected bool // some of them are corrected noticeably
}

// Next is a reading worth taking.
type Next struct {
	Number string  `json:"number" doc:"Number of the catalogue that it tells most of"`
	Of     string  `json:"of" doc:"Kind of reading"`
	At     string  `json:"at" doc:"Where"`
	Side   string  `json:"side" enum:"left,right," doc:"Which twin"`
	What   string  `json:"what" doc:"What to measure, in words"`
	Unit   string  `json:"unit" doc:"Unit of the bands"`
	Before float64 `json:"before" doc:"How far the number may be off now, plus or minus, what 95 of 100 keep"`
	After  float64 `json:"after" doc:"The same with that reading"`
	Gain   float64 `json:"gain" doc:"Share of the band that it takes away, 0 to 1"`
	Text   string  `json:"text" doc:"In words"`
}
