package travel

import (
	"lowslung/finding"
	"lowslung/quantity"
)

// Options of the question. The zero value asks for both axles on the usual grid.
type Options struct {
	Axle  string          // "front", "rear", or "" for both
	Heave Span            // mm from the design pose; the zero Span is −25:25:5
	Roll  Span            // degrees; the zero Span is −15:15:5
	Units quantity.System // units of the sentences
}

// An Answer is what the axles do.
type Answer struct {
	Axles Axles `json:"axles" doc:"What each axle does"`
	// BellyClearanceMM needs both axles and their tyres.
	BellyClearanceMM *float64 `json:"belly_clearance_mm" doc:"Height of the belly plane above the ground midway between the axles, in the design pose; null when the ground is not known"`
	// LeastClearanceMM needs something with a shape on an axle or a link.
	LeastClearanceMM *float64          `json:"least_clearance_mm" doc:"Smallest gap within the travel: 0 when something touches, 5 when nothing comes nearer than that; null when nothing is measured"`
	Clearances       []Clearance       `json:"clearances" nullable:"false" doc:"Pairs that come nearer than 5 mm within the travel, nearest first; then pairs that are drawn into each other"`
	Findings         []finding.Finding `json:"findings" nullable:"false" doc:"What the builder should know, most urgent first"`
}

// Axles holds the answer of each axle; one that was not asked for, or is not in the document, is absent.
type Axles struct {
	Front *Axle `json:"front,omitempty" doc:"Front axle; absent when not asked for or not in the document"`
	Rear  *Axle `json:"rear,omitempty" doc:"Rear axle; absent when not asked for or not in the document"`
}

// An Axle is the answer for one axle.
type Axle struct {
	Design    Design        `json:"design" doc:"Where it stands at ride height"`
	Poses     []AxlePose    `json:"poses" nullable:"false" doc:"One for each point of the grid that is reached, heave by heave"`
	Unreached []Unreached   `json:"unreached" nullable:"false" doc:"Points of the grid where the links do not close"`
	Rates     []Rates       `json:"rates" nullable:"false" doc:"One for each heave, without roll against the design pose"`
	Limits    *Limits       `json:"limits" doc:"How far the axle goes and what ends it; null without tyres, or when the links do not hold it"`
	RodEnds   []RodEndState `json:"rod_ends" nullable:"false" doc:"Largest swing of each rod end over the poses within the limits"`

	room Room // least that is left over the poses, for the catalogue
}

// Design says where the axle stands at ride height and how that was found.
type Design struct {
	Source         string      `json:"source" enum:"springs,shock set lengths,ride_height,near," doc:"What put it there: its springs and tyres, when the document says all they take; or shock set lengths, ride_height, near"`
	Solved         bool        `json:"solved" doc:"The links close there; otherwise the pose is only near"`
	XMM            float64     `json:"x_mm" doc:"Axle origin in the chassis frame, forward"`
	YMM            float64     `json:"y_mm" doc:"Axle origin in the chassis frame, left"`
	ZMM            float64     `json:"z_mm" doc:"Axle origin in the chassis frame, up"`
	SteerDeg       float64     `json:"steer_deg" doc:"How far it stands out of square to the chassis, positive turned left"`
	RollDeg        float64     `json:"roll_deg" doc:"Of the axle against the chassis, positive with its left wheel up: 0 unless it leans on its springs"`
	PinionAngleDeg float64     `json:"pinion_angle_deg" doc:"Elevation of the pinion shaft out of the axle against the chassis, positive up"`
	WheelbaseMM    *float64    `json:"wheelbase_mm" doc:"Null with one axle"`
	Rates          *Rates      `json:"rates" doc:"Rates of motion there; null when the links do not fix the axle"`
	Links          []LinkState `json:"links" nullable:"false" doc:"Each link there"`
}

// LinkState is a link at the design pose.
type LinkState struct {
	Name      string  `json:"name" doc:"Name in the document"`
	Side      string  `json:"side" doc:"left, right, or empty for a single link"`
	LengthMM  float64 `json:"length_mm" doc:"Eye to eye, as the document says it"`
	StretchMM float64 `json:"stretch_mm" doc:"What the link would have to give for the axle to be there: 0 for a linkage that closes"`
}

// An AxlePose is where the axle is at one point of the grid.
type AxlePose struct {
	HeaveMM         float64      `json:"heave_mm" doc:"z against the design pose"`
	RollDeg         float64      `json:"roll_deg" doc:"Against the design pose, positive lifts the left wheel"`
	XMM             float64      `json:"x_mm" doc:"Axle origin in the chassis frame, forward"`
	YMM             float64      `json:"y_mm" doc:"Axle origin in the chassis frame, left"`
	ZMM             float64      `json:"z_mm" doc:"Axle origin in the chassis frame, up"`
	SteerDeg        float64      `json:"steer_deg" doc:"Axle steer, positive turns left"`
	SpinDeg         float64      `json:"spin_deg" doc:"Turn about the wheel axis, positive drops a nose that points forward"`
	PinionAngleDeg  float64      `json:"pinion_angle_deg" doc:"Elevation of the pinion shaft out of the axle against the chassis, positive up"`
	PinionChangeDeg float64      `json:"pinion_change_deg" doc:"Against the design pose"`
	WheelbaseMM     *float64     `json:"wheelbase_mm" doc:"To the other axle at its design pose, along chassis x; null with one axle"`
	LeftWheelZMM    *float64     `json:"left_wheel_z_mm" doc:"Wheel centre against the chassis frame; null without tyres"`
	RightWheelZMM   *float64     `json:"right_wheel_z_mm" doc:"The same on the right"`
	StretchMM       float64      `json:"stretch_mm" doc:"Largest stretch of a link: 0 unless more links than four hold the axle"`
	Shocks          []ShockState `json:"shocks" nullable:"false" doc:"Each shock of this axle there"`
	Shafts          []ShaftState `json:"shafts" nullable:"false" doc:"Each drive shaft of this axle there"`
}

// ShockState is one shock at one pose.
type ShockState struct {
	Name             string   `json:"name" doc:"Name in the document"`
	Side             string   `json:"side" doc:"left, right, or empty for a single shock"`
	LengthMM         float64  `json:"length_mm" doc:"Eye to eye"`
	StrokeLeftMM     *float64 `json:"stroke_left_mm" doc:"Until it is closed; negative when the pose asks for more than it has; null when closed is not given"`
	DroopLeftMM      *float64 `json:"droop_left_mm" doc:"Until it is open"`
	LeanSideDeg      float64  `json:"lean_side_deg" doc:"In side view from upright, positive with the top forward"`
	LeanFrontDeg     float64  `json:"lean_front_deg" doc:"In front view from upright, positive with the top inward"`
	MotionRatio      float64  `json:"motion_ratio" doc:"Shock closing per wheel bump in heave, mm per mm: −dL/dz"`
	RollRateMMPerDeg float64  `json:"roll_rate_mm_per_deg" doc:"Shock closing per degree of axle roll"`
}

// Unreached is a point of the grid that the links do not allow.
type Unreached struct {
	HeaveMM float64 `json:"heave_mm" doc:"z against the design pose"`
	RollDeg float64 `json:"roll_deg" doc:"Against the design pose, positive lifts the left wheel"`
	Why     string  `json:"why" doc:"What keeps the axle from there"`
}

// Rates are the rates of motion at one heave, at the roll of the design pose. Null where the number does not exist or lacks an input.
type Rates struct {
	HeaveMM            float64  `json:"heave_mm" doc:"z against the design pose"`
	SideSlope          float64  `json:"side_slope" doc:"Contact point's travel to the rear (rear axle) or forward (front axle) per unit of bump"`
	AntiSquatPct       *float64 `json:"anti_squat_pct,omitempty" doc:"Rear axle only"`
	AntiLiftPct        *float64 `json:"anti_lift_pct,omitempty" doc:"Front axle only"`
	InstantCenterXMM   *float64 `json:"instant_center_x_mm" doc:"Side view, chassis frame; null when the axle moves without turning"`
	InstantCenterZMM   *float64 `json:"instant_center_z_mm" doc:"Its height in the chassis frame"`
	RollCenterHeightMM *float64 `json:"roll_center_height_mm" doc:"Above the ground; null without tyres"`
	RollAxisDeg        float64  `json:"roll_axis_deg" doc:"Positive when it rises forward"`
	RollSteerDegPerDeg float64  `json:"roll_steer_deg_per_deg" doc:"Degrees the axle steers per degree it rolls, positive turns left with the left wheel up"`
	PlayLateralMM      *float64 `json:"play_lateral_mm" doc:"Sideways freedom with 0.1 mm of slop in every link; null when nothing holds the axle, or more links than four do"`
	PlaySteerDeg       *float64 `json:"play_steer_deg" doc:"Twisting freedom with the same slop"`
}

// ShaftState is one drive shaft at one pose. Room is null where the document gives no limit.
type ShaftState struct {
	Name            string   `json:"name" doc:"Name in the document"`
	LengthMM        float64  `json:"length_mm" doc:"Joint centre to joint centre"`
	InLeftMM        *float64 `json:"in_left_mm" doc:"Until it bottoms; null when closed is not given"`
	OutLeftMM       *float64 `json:"out_left_mm" doc:"Until only the overlap is left that it must keep; null when open is not given"`
	GearboxJointDeg float64  `json:"gearbox_joint_deg" doc:"Angle of the joint at the gearbox, 0 is straight"`
	AxleJointDeg    float64  `json:"axle_joint_deg" doc:"Angle of the joint at the axle"`
	JointLeftDeg    *float64 `json:"joint_left_deg" doc:"At the worse joint, until its limit; null when joint_limit is not given"`
	SlowestPct      float64  `json:"slowest_pct" doc:"Slowest speed of the axle end within a turn, of the mean: 100 when it turns evenly"`
	FastestPct      float64  `json:"fastest_pct" doc:"Fastest speed of the axle end within a turn, of the mean"`
	BestPhaseDeg    float64  `json:"best_phase_deg" doc:"Yoke phase that would turn most evenly at this pose"`
}

// RodEndState is one rod end's swing from square to its bolt.
type RodEndState struct {
	Link       string   `json:"link" doc:"Link that it ends"`
	Side       string   `json:"side" doc:"left, right, or empty for a single link"`
	End        string   `json:"end" enum:"chassis,axle" doc:"chassis or axle"`
	DesignDeg  float64  `json:"design_deg" doc:"Swing at the design pose"`
	LargestDeg float64  `json:"largest_deg" doc:"Largest swing within the limits"`
	HeaveMM    float64  `json:"heave_mm" doc:"Where the largest swing is"`
	RollDeg    float64  `json:"roll_deg" doc:"Where the largest swing is"`
	AllowedDeg *float64 `json:"allowed_deg" doc:"Null when the bin does not say"`
}
