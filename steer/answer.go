package steer

import (
	"lowslung/finding"
	"lowslung/quantity"
	"lowslung/travel"
)

// Options of the question. The zero value asks for the servo's whole travel in steps of 5° and the usual grid of travel.
type Options struct {
	Servo travel.Span     // degrees from the servo's middle
	Heave travel.Span     // mm from the design pose; the zero Span is −25:25:5
	Roll  travel.Span     // degrees; the zero Span is −15:15:5
	Units quantity.System // units of the sentences
}

// An Answer is what the front wheels do. Steer angles are positive to the left (ISO 8855).
type Answer struct {
	Kingpin  *Kingpin          `json:"kingpin" doc:"Geometry of the kingpins, wheels straight ahead; null without kingpin"`
	Middle   *Middle           `json:"middle" doc:"Servo at its middle, at ride height; null when the linkage is not known or cannot be put together"`
	Locks    *Locks            `json:"locks" doc:"As far as the wheels go to either side; null like middle"`
	Sweep    []Point           `json:"sweep" nullable:"false" doc:"One for each servo angle that the linkage reaches, at ride height"`
	Missed   []Missed          `json:"missed" nullable:"false" doc:"Servo angles that the linkage does not reach"`
	Bumps    *Bumps            `json:"bumps" doc:"What the wheels do over bumps with the servo held at its middle; null when the links do not hold the axle"`
	Servo    *Servo            `json:"servo" doc:"Torque to turn the wheels on the spot against the servo's rating: an estimate; null when loads, tyre or horn are not known"`
	Findings []finding.Finding `json:"findings" nullable:"false" doc:"What the builder should know, most urgent first"`
}

// Kingpin is the geometry of the left kingpin against its wheel and the ground, wheels straight ahead; the right one is its mirror
// image.
type Kingpin struct {
	InclinationDeg float64  `json:"inclination_deg" doc:"Lean of the axis seen from ahead, positive with the top inward"`
	CasterDeg      float64  `json:"caster_deg" doc:"Lean of the axis seen from the side, positive with the top to the rear"`
	ScrubRadiusMM  *float64 `json:"scrub_radius_mm" doc:"On the ground, from the kingpin's axis outward to the middle of the tread; null without tyres"`
	TrailMM        *float64 `json:"trail_mm" doc:"On the ground, from the middle of the tread forward to the kingpin's axis; null without tyres"`
	TrackMM        *float64 `json:"track_mm" doc:"Between the two kingpin axes where they meet the ground; null without tyres"`
}

// Middle is the steering with the servo at its middle.
type Middle struct {
	LeftDeg  float64 `json:"left_deg" doc:"Steer angle of the left wheel"`
	RightDeg float64 `json:"right_deg" doc:"Steer angle of the right wheel"`
	ToeInDeg float64 `json:"toe_in_deg" doc:"Right less left steer angle: positive with the wheels' fronts towards each other"`
	Ratio    float64 `json:"ratio_deg_per_deg" doc:"Degrees the wheels turn, mean of both, per degree of servo; positive when a positive servo angle turns left. Without a servo: per degree of the left knuckle"`
}

// Point is the steering at one servo angle. The Ackermann relation is cot(outer) − cot(inner) = kingpin track/wheelbase.
type Point struct {
	ServoDeg        float64  `json:"servo_deg" doc:"From the servo's middle, right-handed about horn.axis; without a servo the left knuckle's own angle"`
	LeftDeg         float64  `json:"left_deg" doc:"Steer angle of the left wheel"`
	RightDeg        float64  `json:"right_deg" doc:"Steer angle of the right wheel"`
	LeftKnuckleDeg  float64  `json:"left_knuckle_deg" doc:"Turn of the left knuckle about its kingpin from straight ahead, positive to the left"`
	RightKnuckleDeg float64  `json:"right_knuckle_deg" doc:"The same of the right one"`
	IdealOuterDeg   *float64 `json:"ideal_outer_deg" doc:"What the Ackermann relation asks of the outer wheel for what the inner one does; null near straight ahead, or without a wheelbase"`
	AckermannOffDeg *float64 `json:"ackermann_error_deg" doc:"How much further the outer wheel turns than the relation asks"`
	AckermannPct    *float64 `json:"ackermann_pct" doc:"Inner less outer angle against what the relation asks: 100 meets it, 0 is parallel"`
	TurningCircleMM *float64 `json:"turning_circle_mm" doc:"Kerb to kerb: diameter that the outer front tyre's outer edge describes, for the mean of the centres that both wheels ask for"`
	DragDeg         *float64 `json:"drag_transmission_deg" doc:"Angle of the drag link to the eye it pulls: 90° pulls square, 0° is a dead centre; null without a servo"`
	HornDeg         *float64 `json:"horn_transmission_deg" doc:"The same at the horn"`
	TieDeg          float64  `json:"tie_transmission_deg" doc:"The same of the tie rod at the knuckle it pulls along"`
	ServoTorqueNMM  *float64 `json:"servo_torque_n_mm" doc:"Torque that the servo needs there on the spot: an estimate; null when loads or tyre are not known"`
	PastStop        bool     `json:"past_stop" doc:"The stop at lock holds the wheels before this servo angle"`
}

// Missed is a servo angle that the linkage does not reach.
type Missed struct {
	ServoDeg float64 `json:"servo_deg" doc:"From the servo's middle"`
	Why      string  `json:"why" doc:"What keeps it from there"`
}

// Locks are the two ends of the steering.
type Locks struct {
	Left  Lock `json:"left" doc:"Turned left"`
	Right Lock `json:"right" doc:"Turned right"`

	LeastClearanceMM *float64 `json:"least_clearance_mm" doc:"Smallest gap at either lock over all that the front axle reaches: 0 when something touches, 5 when nothing comes nearer; null when nothing is measured"`
}

// Lock is one end of the steering, at ride height. Angles are without sign.
type Lock struct {
	ServoDeg        float64  `json:"servo_deg" doc:"Servo angle there"`
	SetBy           string   `json:"set_by" enum:"lock stop,servo travel,drag link over-centre,tie rod over-centre,horn over-centre,end of the search" doc:"What ends it"`
	InnerDeg        float64  `json:"inner_deg" doc:"Steer angle of the inner wheel"`
	OuterDeg        float64  `json:"outer_deg" doc:"Steer angle of the outer wheel"`
	LeftKnuckleDeg  float64  `json:"left_knuckle_deg" doc:"Turn of the left knuckle about its kingpin from straight ahead, positive to the left: with its sign"`
	RightKnuckleDeg float64  `json:"right_knuckle_deg" doc:"The same of the right one"`
	IdealOuterDeg   *float64 `json:"ideal_outer_deg" doc:"What the Ackermann relation asks of the outer wheel"`
	AckermannOffDeg *float64 `json:"ackermann_error_deg" doc:"How much further the outer wheel turns than that"`
	AckermannPct    *float64 `json:"ackermann_pct" doc:"100 meets the relation, 0 is parallel, below 0 the outer wheel turns further than the inner one"`
	TurningCircleMM *float64 `json:"turning_circle_mm" doc:"Kerb to kerb diameter"`
	TransmissionDeg float64  `json:"transmission_deg" doc:"The smallest transmission angle on the way there: 90° pulls square, 0° is over-centre"`
	Weakest         string   `json:"weakest" enum:"drag link,tie rod" doc:"Where that is"`
	ServoShare      *float64 `json:"servo_share" doc:"Share of the servo's travel that brings the inner wheel to the stop: the end point to set; null without a servo, or when the stop is not reached"`

	Clearances []travel.Clearance `json:"clearances" nullable:"false" doc:"What comes nearer than 5 mm to the turned front wheels over all that the front axle reaches, nearest first"`
}

// Bumps are what the wheels do over bumps with the servo held at its middle. The axle's own steer is in all of it.
type Bumps struct {
	ServoOn        string  `json:"servo_on" enum:"chassis,axle,nothing" doc:"What the servo sits on; nothing when it is not known, and the table is of the axle's own steer"`
	PerHeave       float64 `json:"bump_steer_deg_per_mm" doc:"Mean of both wheels per mm of heave at ride height, against the chassis"`
	PerRoll        float64 `json:"roll_steer_deg_per_deg" doc:"Mean of both wheels per degree of axle roll at ride height, positive turns left with the left wheel up"`
	SwingDeg       float64 `json:"swing_deg" doc:"Largest less smallest mean angle over the heaves swept at zero roll that the shocks allow"`
	Poses          []Bump  `json:"poses" nullable:"false" doc:"One for each point of the grid that is reached, heave by heave"`
	LeastTransDeg  float64 `json:"least_transmission_deg" doc:"The smallest transmission angle over the points of the grid that the shocks allow, with the servo at its middle and at both locks of ride height"`
	LeastHeaveMM   float64 `json:"least_at_heave_mm" doc:"Where that is"`
	LeastRollDeg   float64 `json:"least_at_roll_deg" doc:"Where that is"`
	LeastServoDeg  float64 `json:"least_at_servo_deg" doc:"Where that is"`
	Stuck          int     `json:"stuck" doc:"Points of those where the linkage does not reach one of those servo angles"`
	MissedByTravel int     `json:"missed" doc:"Points of the grid where the suspension links do not close"`
	Tried          int     `json:"tried" doc:"Points of the grid that links and shocks allow"`
}

// Bump is the steering at one pose of the axle with the servo at its middle.
type Bump struct {
	HeaveMM      float64 `json:"heave_mm" doc:"z against the design pose"`
	RollDeg      float64 `json:"roll_deg" doc:"Positive lifts the left wheel"`
	LeftDeg      float64 `json:"left_deg" doc:"Steer angle of the left wheel against the chassis"`
	RightDeg     float64 `json:"right_deg" doc:"Steer angle of the right wheel"`
	ChangeDeg    float64 `json:"change_deg" doc:"Mean of both against ride height"`
	AxleSteerDeg float64 `json:"axle_steer_deg" doc:"What the axle itself steers of that"`
	BeyondShocks bool    `json:"beyond_shocks" doc:"A shock does not let the axle come here: the pose counts in no judgement"`
}

// Servo is the torque at standstill: an estimate.
type Servo struct {
	LeftLoadN      float64  `json:"left_load_n" doc:"Load on the left front wheel, standing level"`
	RightLoadN     float64  `json:"right_load_n" doc:"Load on the right front wheel"`
	Friction       float64  `json:"friction" doc:"Coefficient of friction used"`
	FrictionFrom   string   `json:"friction_from" enum:"tyre grip,assumed" doc:"Where it comes from"`
	PatchWidthMM   float64  `json:"patch_width_mm" doc:"Width of the patch used: the tread's"`
	OffsetMM       float64  `json:"offset_mm" doc:"On the ground from the kingpin's axis to the middle of the patch"`
	KingpinsNMM    float64  `json:"kingpins_n_mm" doc:"Moment to turn both wheels on the spot, about their kingpins"`
	NeededNMM      float64  `json:"needed_n_mm" doc:"The largest torque at the servo between the locks, without friction in the joints"`
	NeededServoDeg float64  `json:"needed_at_servo_deg" doc:"Servo angle where that is"`
	MiddleNMM      float64  `json:"middle_n_mm" doc:"Torque at the servo with the wheels about straight ahead"`
	RatedNMM       *float64 `json:"rated_n_mm" doc:"The servo's rating, stalled; null when not given"`
	Margin         *float64 `json:"margin" doc:"Rating over need: below 1 the servo stalls before the tyres turn"`
}
