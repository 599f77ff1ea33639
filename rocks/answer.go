package rocks

import "lowslung/finding"

// An Answer is what the rig climbs, as far as a calculation can say.
type Answer struct {
	Grip     *Grip             `json:"grip" doc:"Grip that the runs were made with; null when there were none"`
	SpeedMPS float64           `json:"speed_m_per_s" doc:"Speed that the driver holds"`
	Throttle float64           `json:"throttle" doc:"The most the driver gives, 0 to 1"`
	Limits   []Limit           `json:"limits" nullable:"false" doc:"The largest of each obstacle that is cleared, an estimate"`
	Run      *Run              `json:"run" doc:"One run, when an obstacle was asked for: of the size asked for, or of the one that ended the search"`
	Against  *Against          `json:"against" doc:"The other build on the same rock; null without one"`
	ByGrip   *ByGrip           `json:"by_grip" doc:"Both builds over a range of grip; null without another build"`
	Cautions []string          `json:"cautions" nullable:"false" doc:"What to mind before trying it outdoors"`
	Findings []finding.Finding `json:"findings" nullable:"false" doc:"What the builder should know, most urgent first"`
}

// Grip is what friction was assumed.
type Grip struct {
	Front float64 `json:"front" doc:"Coefficient of friction of the front tyres on rock: an assumption, 0.5 to 1.0 is the usual range"`
	Rear  float64 `json:"rear" doc:"Of the rear tyres"`
	From  string  `json:"from" enum:"asked,document,usual" doc:"Where it comes from: asked for, the document, or the usual 0.8"`
	Body  float64 `json:"body" doc:"Of chassis, housings and links on rock: an assumption"`
}

// A Limit is the largest of one obstacle that was cleared, and the smallest larger one that was not.
type Limit struct {
	Obstacle string  `json:"obstacle" doc:"Its name"`
	About    string  `json:"about" doc:"What its size is"`
	Unit     string  `json:"unit" enum:"mm,°" doc:"Of sizes"`
	Cleared  float64 `json:"cleared" doc:"Largest size that was cleared, in unit; 0 when not even the least was"`
	Next     Ended   `json:"next" doc:"The next size that was tried, which ended otherwise; with outcome through when the largest that is tried is cleared"`
	Runs     int     `json:"runs" doc:"Runs that it took"`

	rough bool // the forces of some of them did not settle
}

// Ended is how a run ended.
type Ended struct {
	Size     float64 `json:"size" doc:"Size of the obstacle, mm or °; 0 for a map"`
	Outcome  string  `json:"outcome" enum:"through,stalled,rolled,off the line,lost" doc:"through, stalled, rolled, off the line, or lost: the calculation, not the rig"`
	Why      string  `json:"why" doc:"Of stalled: no grip, no torque, belly aground, axle aground, link aground, time; of rolled: left, right, backwards, forwards; of off the line: sideways, back"`
	Sentence string  `json:"sentence" doc:"The same in words"`
	TimeS    float64 `json:"time_s" doc:"From the start until then"`
	AlongMM  float64 `json:"along_mm" doc:"How far the middle between the axles had come"`
	FrontMM  float64 `json:"front_axle_mm" doc:"Where the front axle was then, 0 being where the obstacle begins"`
}

// A Run is one run.
type Run struct {
	Obstacle   string  `json:"obstacle" doc:"Its name, or map"`
	Unit       string  `json:"unit" enum:"mm,°," doc:"Of its size; empty for a map"`
	Ended      Ended   `json:"ended" doc:"How it ended"`
	SteepDeg   float64 `json:"off_upright_deg" doc:"The most the chassis was off upright"`
	CurrentA   float64 `json:"largest_current_a" doc:"Largest motor current; 0 when the motor is not known"`
	BellyN     float64 `json:"largest_belly_n" doc:"The most that chassis, housings and links bore"`
	RoughShare float64 `json:"rough_share" doc:"Share of the steps whose forces did not settle; above 1 % the run is told to be rough"`
	Course     *Course `json:"course" doc:"The rock, for drawing; null unless asked for"`
	Frames     []Frame `json:"frames" nullable:"false" doc:"Instants of it, 30 a second; empty unless asked for"`

	linksEnd, buried int
}

// Course is the rock of a run in its own frame.
type Course struct {
	LeanDeg  float64 `json:"lean_deg" doc:"How far the whole of it is tilted, its left side down"`
	FinishMM float64 `json:"finish_mm" doc:"Where the rear axle is through"`
	Planes   []Plane `json:"planes" nullable:"false" doc:"Everything below a plane is rock"`
	Blocks   []Block `json:"blocks" nullable:"false" doc:"Boxes with rounded edges"`
	Field    *Field  `json:"field" doc:"A map of heights; null without"`
}

// Plane is a plane of rock.
type Plane struct {
	AtMM   []float64 `json:"at_mm" nullable:"false" doc:"A point of it"`
	Normal []float64 `json:"normal" nullable:"false" doc:"Unit vector out of the rock"`
}

// Block is a box of rock.
type Block struct {
	AtMM    []float64 `json:"at_mm" nullable:"false" doc:"Its middle"`
	SizeMM  []float64 `json:"size_mm" nullable:"false" doc:"Full lengths"`
	Turn    []float64 `json:"turn" nullable:"false" doc:"Rotation, 9 numbers, row by row"`
	RoundMM float64   `json:"round_mm" doc:"Radius of its edges"`
}

// Field is a map of heights in the course's frame.
type Field struct {
	Map *Map    `json:"map" doc:"Its heights"`
	XMM float64 `json:"x_mm" doc:"x of its first line"`
	YMM float64 `json:"y_mm" doc:"y of the left end of its lines"`
}

// Against is the other build.
type Against struct {
	Name   string  `json:"name" doc:"Name of the other build"`
	Limits []Limit `json:"limits" nullable:"false" doc:"Its limits, in the order of this build's"`
	Run    *Run    `json:"run" doc:"Its run"`
}

// ByGrip holds one obstacle's limit of both builds over a range of grip.
type ByGrip struct {
	Obstacle string   `json:"obstacle" doc:"Which"`
	Unit     string   `json:"unit" enum:"mm,°" doc:"Of sizes"`
	Rows     []AtGrip `json:"rows" nullable:"false" doc:"From slippery to sticky"`
}

// AtGrip is one row of it.
type AtGrip struct {
	Grip  float64 `json:"grip" doc:"Coefficient of friction of all tyres"`
	This  float64 `json:"this" doc:"Largest size that this build cleared"`
	Other float64 `json:"other" doc:"Largest size that the other one cleared"`
}
