package balance

import (
	"lowslung/finding"
	"lowslung/quantity"
)

// Options of the question.
type Options struct {
	Brief bool            // without the list of parts and what each does to the tip angles: what takes time
	Units quantity.System // units of the sentences
}

// A Move shifts a part by an offset in the chassis frame, mm.
type Move struct {
	Part     string
	By       [3]float64
	Quantity float64 // kg moved; 0 moves the whole part
}

// An Answer is where the weight sits. Numbers that lack an input are null, and a finding says what is missing.
type Answer struct {
	MassKG               float64           `json:"mass_kg" doc:"Sum of all weights given"`
	SprungMassKG         float64           `json:"sprung_mass_kg" doc:"Chassis parts and half of links, shocks and shafts"`
	UnsprungMassKG       float64           `json:"unsprung_mass_kg" doc:"Axle parts and the other half of links, shocks and shafts"`
	CenterOfMassMM       []float64         `json:"center_of_mass_mm" nullable:"false" doc:"x, y, z in the chassis frame"`
	CenterOfMassHeightMM *float64          `json:"center_of_mass_height_mm" doc:"Above the ground"`
	InertiaKGMM2         []float64         `json:"inertia_kg_mm2" nullable:"false" doc:"About the centre of mass, chassis axes: xx, yy, zz, xy, xz, yz; parts without a shape count as points"`
	WheelbaseMM          *float64          `json:"wheelbase_mm" doc:"Contact point to contact point along the ground"`
	GroundPitchDeg       *float64          `json:"ground_pitch_deg" doc:"Chassis against the ground, positive nose down"`
	GroundRollDeg        *float64          `json:"ground_roll_deg" doc:"Chassis against the ground, positive with the left side up: 0 unless it leans on its springs"`
	FrontShare           *float64          `json:"front_share" doc:"Share of the weight on the front axle, 0 to 1"`
	CornerLoadsN         *Corners          `json:"corner_loads_n" doc:"Standing level, no twist in the chassis"`
	StaticStability      *float64          `json:"static_stability_factor" doc:"Half the mean track over the height of the centre of mass"`
	TipSideDeg           *Sides            `json:"tip_side_deg" doc:"Side slope at which the rigid rig tips, about the true line through the two lower contact points"`
	TipNoseUpDeg         *float64          `json:"tip_nose_up_deg" doc:"Slope facing uphill at which the rigid rig tips backwards"`
	TipNoseDownDeg       *float64          `json:"tip_nose_down_deg" doc:"Slope facing downhill at which it tips forwards"`
	Weightless           []Weightless      `json:"weightless" nullable:"false" doc:"Parts without a weight: not in any sum"`
	Parts                []Weight          `json:"parts" nullable:"false" doc:"Every weight, heaviest first, twins together"`
	Sensitivity          []Sensitivity     `json:"sensitivity" nullable:"false" doc:"What each part does to the tip angles, largest first"`
	Findings             []finding.Finding `json:"findings" nullable:"false" doc:"What the builder should know, most urgent first"`
}

// Corners holds a number for each wheel.
type Corners struct {
	FrontLeft  float64 `json:"front_left" doc:"Load on the front left wheel"`
	FrontRight float64 `json:"front_right" doc:"Load on the front right wheel"`
	RearLeft   float64 `json:"rear_left" doc:"Load on the rear left wheel"`
	RearRight  float64 `json:"rear_right" doc:"Load on the rear right wheel"`
}

// Sides holds a number for each side.
type Sides struct {
	Left  float64 `json:"left" doc:"Tipping over the left wheels"`
	Right float64 `json:"right" doc:"Tipping over the right wheels"`
}

// Weightless is a part without a weight.
type Weightless struct {
	Path       string   `json:"path" doc:"Where in the document"`
	Name       string   `json:"name" doc:"Name in the document"`
	EstimateG  *float64 `json:"estimate_g" doc:"From shape and material, when both are known: an estimate, and not in any sum"`
	EstimateOf string   `json:"estimate_of" doc:"How the estimate was made"`
}

// Weight is one part's weight and place; of a pair, both together.
type Weight struct {
	Path   string    `json:"path" doc:"Where in the document"`
	Name   string    `json:"name" doc:"Name in the document"`
	MassG  float64   `json:"mass_g" doc:"Both twins of a pair together"`
	Guess  bool      `json:"estimate" doc:"The weight is an estimate from shape, material and infill"`
	AtMM   []float64 `json:"at_mm" nullable:"false" doc:"Centre of mass, chassis frame"`
	Sprung float64   `json:"sprung" doc:"Share that the springs carry"`
}

// Angles are changes of the four tip angles, degrees.
type Angles struct {
	Left     float64 `json:"left_deg" doc:"Change of the tip angle over the left wheels"`
	Right    float64 `json:"right_deg" doc:"Change of the tip angle over the right wheels"`
	NoseUp   float64 `json:"nose_up_deg" doc:"Change of the tip angle nose up"`
	NoseDown float64 `json:"nose_down_deg" doc:"Change of the tip angle nose down"`
}

// Sensitivity is what one part does to the tip angles.
type Sensitivity struct {
	Path       string `json:"path" doc:"Where in the document"`
	Name       string `json:"name" doc:"Name in the document"`
	Add10G     Angles `json:"add_10_g" doc:"10 g more on this part (5 g each of a pair)"`
	Forward5MM Angles `json:"forward_5_mm" doc:"The part 5 mm further forward"`
	Left5MM    Angles `json:"left_5_mm" doc:"The part 5 mm further left; a pair keeps its middle, so nothing changes"`
	Down5MM    Angles `json:"down_5_mm" doc:"The part 5 mm lower"`
}
