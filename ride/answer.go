package ride

import (
	"lowslung/balance"
	"lowslung/finding"
)

// An Answer is how the rig sits and moves on its springs. What lacks an input is null, and a finding says what is missing.
type Answer struct {
	Stance    *Stance           `json:"stance" doc:"Standing level on its springs and tyres"`
	Tilt      *Tilt             `json:"tilt" doc:"On the tilt board, in four directions"`
	Ramp      *Ramp             `json:"ramp" doc:"One front wheel up a ramp until another wheel lifts"`
	CrossAxle *CrossAxle        `json:"cross_axle" doc:"Two opposite corners raised on blocks until a wheel lifts"`
	Torque    *Torque           `json:"torque" doc:"Nose up on a slope, held by its drive: what the torque in the shafts does"`
	Damping   []Damping         `json:"damping" nullable:"false" doc:"Each damper: an estimate from its oil and piston"`
	Angles    *Angles           `json:"angles" doc:"Approach, departure and breakover in side view, with real shapes"`
	Wish      *Wish             `json:"wish" doc:"What collar, spring or oil would do what was asked for"`
	Findings  []finding.Finding `json:"findings" nullable:"false" doc:"What the builder should know, most urgent first"`
}

// Stance is the rig at rest on level ground.
type Stance struct {
	MassKG           float64         `json:"mass_kg" doc:"Sum of all weights given"`
	BellyClearanceMM float64         `json:"belly_clearance_mm" doc:"Height of the belly plane above the ground midway between the axles"`
	LowestMM         *float64        `json:"lowest_mm" doc:"Lowest point of the chassis above the ground; null without shapes"`
	LowestPart       string          `json:"lowest_part" doc:"Part that it belongs to"`
	ChassisPitchDeg  float64         `json:"chassis_pitch_deg" doc:"Of the belly plane against the ground, positive nose down"`
	ChassisRollDeg   float64         `json:"chassis_roll_deg" doc:"Positive with the left side up"`
	CornerLoadsN     balance.Corners `json:"corner_loads_n" doc:"Load on each wheel"`
	BellyN           float64         `json:"belly_n" doc:"What the belly carries, when it rests on the ground"`
	FrontRollShare   *float64        `json:"front_roll_share" doc:"Front axle's share of the roll stiffness of both, springs, bars and tyres, 0 to 1"`
	Axles            StanceAxles     `json:"axles" doc:"Each axle"`
	Shocks           []StanceShock   `json:"shocks" nullable:"false" doc:"Each shock, mirror twins apart"`
	Steps            int             `json:"steps" doc:"Steps that the search for rest took"`
	UnrestN          float64         `json:"unrest_n" doc:"Largest force out of balance where it ended; moments count per 100 mm"`
	Pose             *Pose           `json:"pose,omitempty" doc:"Where everything is then; only when poses are asked for"`
}

// StanceAxles holds both axles.
type StanceAxles struct {
	Front StanceAxle `json:"front" doc:"Front axle"`
	Rear  StanceAxle `json:"rear" doc:"Rear axle"`
}

// StanceAxle is one axle at rest, and how it is sprung there.
type StanceAxle struct {
	HeaveMM        float64  `json:"heave_mm" doc:"Against where set, ride_height or near would put it, positive up: the chassis sits lower"`
	RollDeg        float64  `json:"roll_deg" doc:"Of the axle against the chassis, positive with its left wheel up"`
	RideHeightMM   float64  `json:"ride_height_mm" doc:"Belly plane above the ground at this axle"`
	PinionAngleDeg float64  `json:"pinion_angle_deg" doc:"Elevation of the pinion shaft out of the axle against the chassis, positive up, as it sits"`
	ClearanceMM    *float64 `json:"clearance_mm" doc:"Lowest point of the axle, tyres left out, above the ground; null without shapes"`
	SprungMassKG   float64  `json:"sprung_mass_kg" doc:"What its springs carry"`
	WheelRate      float64  `json:"wheel_rate_n_per_mm" doc:"Force per bump at each wheel, both wheels together up, from springs and bars at their motion ratios"`
	TyreRate       float64  `json:"tyre_rate_n_per_mm" doc:"Radial rate of one tyre at its load"`
	RollStiffness  float64  `json:"roll_stiffness_nmm_per_deg" doc:"Moment per degree of roll between ground and chassis: springs and bars, and the tyres in series"`
	RollSprings    float64  `json:"roll_springs_nmm_per_deg" doc:"Of springs and bars alone, axle against chassis"`
	RollTyres      float64  `json:"roll_tyres_nmm_per_deg" doc:"Of the two tyres alone"`
	FrequencyHz    *float64 `json:"frequency_hz" doc:"Bounce of the sprung mass on springs and tyres in series, undamped; null when nothing springs"`
	DampingRatio   *float64 `json:"damping_ratio" doc:"Of that bounce: 1 just does not swing; null when a damper is not known; an estimate"`
}

// StanceShock is a shock at rest.
type StanceShock struct {
	Name     string   `json:"name" doc:"Name in the document"`
	Side     string   `json:"side" enum:"left,right," doc:"left, right, or empty for a single one"`
	LengthMM float64  `json:"length_mm" doc:"Eye to eye"`
	SagMM    *float64 `json:"sag_mm" doc:"Stroke used, from fully open; null without open"`
	SagShare *float64 `json:"sag_share" doc:"Share of the stroke used, 0 to 1; null without open and closed"`
	ForceN   float64  `json:"force_n" doc:"With which it pushes its eyes apart"`
	At       string   `json:"at" enum:"springs,open,closed,coil bind,nothing" doc:"What it rests on: its springs, the stop fully open, the stop fully closed, coils that touch, or nothing"`

	axle string
}

// Tilt is the board turned in four directions, contacts sticking, the lower wheels on a batten, wheels held against their axles.
type Tilt struct {
	LeftDown  Tilting `json:"left_down" doc:"Left side down"`
	RightDown Tilting `json:"right_down" doc:"Right side down"`
	NoseUp    Tilting `json:"nose_up" doc:"Facing uphill"`
	NoseDown  Tilting `json:"nose_down" doc:"Facing downhill"`
}

// Tilting is one direction. Angles are of the board.
type Tilting struct {
	RigidDeg      float64   `json:"rigid_deg" doc:"Where it would tip if nothing gave, from where it stands"`
	FirstLightDeg *float64  `json:"first_light_deg" doc:"Where the first wheel carries nothing any more; null when it tips with all wheels on the ground"`
	FirstLight    string    `json:"first_light" doc:"That wheel"`
	TipDeg        *float64  `json:"tip_deg" doc:"Where it tips; null when it does not as far as the board turns"`
	LockedTipDeg  *float64  `json:"locked_tip_deg" doc:"Where it would tip with its shocks locked: what the tyres alone take off the rigid angle; null when not asked for"`
	GripNeeded    *float64  `json:"grip_needed" doc:"Coefficient of friction, all wheels alike, without which it slides before it tips: the tangent of the tip angle"`
	Sweep         []Leaning `json:"sweep" nullable:"false" doc:"At rest on the way there"`
}

// Leaning is the rig at rest on the board.
type Leaning struct {
	AngleDeg        float64         `json:"angle_deg" doc:"Of the board"`
	LoadsN          balance.Corners `json:"loads_n" doc:"Load on each wheel, square to the board"`
	LeanDeg         float64         `json:"lean_deg" doc:"How far the chassis has leaned downhill against the board since level"`
	ChassisRollDeg  float64         `json:"chassis_roll_deg" doc:"Against the board, positive with the left side up"`
	ChassisPitchDeg float64         `json:"chassis_pitch_deg" doc:"Against the board, positive nose down"`
	Pose            *Pose           `json:"pose,omitempty" doc:"Where everything is then; only when poses are asked for"`
}

// Ramp is one front wheel up a ramp, rolled there and held.
type Ramp struct {
	Index     float64   `json:"index" doc:"Ramp travel index of the left front wheel: distance along the ramp over wheelbase, times 1000"`
	HeightMM  float64   `json:"height_mm" doc:"Of the place where the tyre touches then, above the ground"`
	AlongMM   float64   `json:"along_mm" doc:"From the ramp's foot along it to that place"`
	EndedBy   string    `json:"ended_by" doc:"What ends it: the wheel that lifts"`
	SlopeDeg  float64   `json:"slope_deg" doc:"Of the ramp"`
	Wheelbase float64   `json:"wheelbase_mm" doc:"Between the places where the tyres touch, as it stands, mean of both sides"`
	Right     *RampSide `json:"right" doc:"The same with the right front wheel; null when not asked for"`
	Sweep     []Raised  `json:"sweep" nullable:"false" doc:"On the way up, left front wheel"`
}

// RampSide is the other wheel's result.
type RampSide struct {
	Index    float64  `json:"index" doc:"Ramp travel index"`
	HeightMM float64  `json:"height_mm" doc:"Height of the place where the tyre touches then"`
	EndedBy  string   `json:"ended_by" doc:"What ends it"`
	AlongMM  float64  `json:"along_mm" doc:"From the ramp's foot along it to that place"`
	Sweep    []Raised `json:"sweep" nullable:"false" doc:"On the way up; only when poses are asked for"`
}

// Raised is the rig at rest with a wheel, or two, raised.
type Raised struct {
	ByMM           float64         `json:"by_mm" doc:"Distance along the ramp, or height of the blocks"`
	LoadsN         balance.Corners `json:"loads_n" doc:"Load on each wheel, square to what it stands on"`
	FrontRollDeg   float64         `json:"front_roll_deg" doc:"Front axle against the chassis, positive with its left wheel up"`
	RearRollDeg    float64         `json:"rear_roll_deg" doc:"Rear axle against the chassis"`
	ChassisRollDeg float64         `json:"chassis_roll_deg" doc:"Positive with the left side up"`
	BellyN         float64         `json:"belly_n" doc:"What the belly carries, when it rests on the level ground"`
	Pose           *Pose           `json:"pose,omitempty" doc:"Where everything is then; only when poses are asked for"`
}

// CrossAxle is both pairs of opposite corners.
type CrossAxle struct {
	FrontLeftUp  Crossing `json:"front_left_up" doc:"Front left and rear right wheel on blocks"`
	FrontRightUp Crossing `json:"front_right_up" doc:"Front right and rear left wheel on blocks"`
}

// Crossing is one pair of opposite corners raised.
type Crossing struct {
	HeightMM float64  `json:"height_mm" doc:"Of the blocks when the first wheel lifts"`
	TwistDeg float64  `json:"twist_deg" doc:"Of the axles against each other then"`
	EndedBy  string   `json:"ended_by" doc:"What ends it: the wheel that lifts"`
	Sweep    []Raised `json:"sweep" nullable:"false" doc:"On the way up"`
}

// Torque is the drive holding the rig on a slope.
type Torque struct {
	Turns         string    `json:"turns" enum:"clockwise,anticlockwise" doc:"How the shafts turn to drive forward, seen from behind"`
	FrontRatio    *float64  `json:"front_ratio" doc:"Turns of the shaft for one of the front wheels; null when not known"`
	RearRatio     *float64  `json:"rear_ratio" doc:"Turns of the shaft for one of the rear wheels; null when not known"`
	FirstLightDeg *float64  `json:"first_light_deg" doc:"Slope at which the first wheel carries nothing any more; null when it tips with all wheels on the ground"`
	FirstLight    string    `json:"first_light" doc:"That wheel"`
	TipDeg        *float64  `json:"tip_deg" doc:"Slope at which it tips"`
	Sweep         []Holding `json:"sweep" nullable:"false" doc:"Slope by slope"`
	Remedies      []Remedy  `json:"remedies" nullable:"false" doc:"The steepest of these slopes again with one thing changed at a time"`
}

// Remedy is what one change does to the drive's twist.
type Remedy struct {
	Change   string   `json:"change" doc:"What is changed, in words; a bar that is tried is an assumption"`
	SlopeDeg float64  `json:"slope_deg" doc:"Nose up"`
	ShiftedN *float64 `json:"shifted_n" doc:"Load that the torque then moves from the right wheels to the left ones; null when the rig does not come to rest there"`
	RollDeg  *float64 `json:"roll_deg" doc:"What the torque then rolls the chassis, positive with the left side up; null when the rig does not come to rest there"`
}

// Holding is the rig held by its drive on one slope.
type Holding struct {
	SlopeDeg      float64         `json:"slope_deg" doc:"Nose up"`
	DriveForceN   float64         `json:"drive_force_n" doc:"Along the slope, all wheels together"`
	FrontShaftNMM float64         `json:"front_shaft_nmm" doc:"Torque in the front shaft"`
	RearShaftNMM  float64         `json:"rear_shaft_nmm" doc:"Torque in the rear shaft"`
	LoadsN        balance.Corners `json:"loads_n" doc:"Load on each wheel, square to the slope"`
	ShiftedN      float64         `json:"shifted_n" doc:"Load that the torque has moved from the right wheels to the left ones; negative the other way"`
	RollDeg       float64         `json:"roll_deg" doc:"What the torque has rolled the chassis, positive with the left side up"`
	Pose          *Pose           `json:"pose,omitempty" doc:"Where everything is then; only when poses are asked for"`
}

// Damping is a damper with its oil.
type Damping struct {
	Shock     string         `json:"shock" doc:"Name in the document; of a pair one stands for both"`
	OilCSt    float64        `json:"oil_cst" doc:"Oil, at 25 °C"`
	RateNSM   float64        `json:"rate_ns_per_m" doc:"Force over speed of the shock, slow: oil through holes and gap, mean of closing and opening"`
	Closing   DampingStroke  `json:"compression" doc:"While the shock closes"`
	Opening   DampingStroke  `json:"rebound" doc:"While the shock opens"`
	GapShare  float64        `json:"gap_share" doc:"Share of the oil that goes past the piston when slow and closing, 0 to 1"`
	Curve     []DampingPoint `json:"curve" nullable:"false" doc:"Force over speed, with what it takes to bring the oil to speed in the holes"`
	Weather   []DampingAt    `json:"weather" nullable:"false" doc:"The slow rate at other temperatures, silicone oil: an estimate"`
	WheelRate float64        `json:"wheel_rate_ns_per_m" doc:"The slow rate at the wheel: times the motion ratio squared"`
}

// DampingStroke is one direction of a damper.
type DampingStroke struct {
	RateNSM  float64  `json:"rate_ns_per_m" doc:"Free-flow branch: force over speed, slow"`
	PackFrom *float64 `json:"pack_from_mm_per_s" doc:"Speed from which the holes no longer pass the oil freely: the force is twice that of free flow there; null when it never is"`
}

// DampingPoint is a force at a speed.
type DampingPoint struct {
	SpeedMMS float64 `json:"speed_mm_per_s" doc:"Of the shock"`
	ForceN   float64 `json:"force_n" doc:"Against it while the shock closes, both branches"`
	FreeN    float64 `json:"free_n" doc:"What free flow alone would take of that; the rest is the pack branch"`
	ReboundN float64 `json:"rebound_n" doc:"Against it while the shock opens, both branches"`
	ReFreeN  float64 `json:"rebound_free_n" doc:"What free flow alone would take of that"`
}

// DampingAt is a rate at a temperature.
type DampingAt struct {
	Celsius float64 `json:"temperature_c" doc:"Of the oil, °C"`
	RateNSM float64 `json:"rate_ns_per_m" doc:"Slow rate of the shock"`
}

// Angles are those of a side view.
type Angles struct {
	Standing SideView  `json:"standing" doc:"As it stands; only parts with a shape count"`
	FullBump *SideView `json:"full_bump" doc:"With both axles bumped until their shocks are closed; null when closed is not known"`
}

// SideView is one set of angles.
type SideView struct {
	ApproachDeg  float64 `json:"approach_deg" doc:"Steepest plane that the front tyres meet first; 90 when nothing sticks out ahead of them"`
	ApproachBy   string  `json:"approach_by" doc:"Part that would touch first"`
	DepartureDeg float64 `json:"departure_deg" doc:"The same behind the rear tyres"`
	DepartureBy  string  `json:"departure_by" doc:"Part that would touch first"`
	BreakoverDeg float64 `json:"breakover_deg" doc:"Angle between the planes under front and rear tyres that meet at the lowest part between them"`
	BreakoverBy  string  `json:"breakover_by" doc:"That part"`
	Ridge        *Ridge  `json:"ridge" doc:"The two planes of the breakover angle, from the ground up to where they meet: the sharpest ridge it stands over; null when nothing is between the tyres"`
}

// Ridge is a ridge across the rig's way, in side view.
type Ridge struct {
	ApexMM  []float64 `json:"apex_mm" nullable:"false" doc:"Where its flanks meet, at the part: forward and up, in the frame of the board that poses have"`
	FrontMM float64   `json:"front_mm" doc:"Where its front flank, which touches the front tyres from below, comes to the ground: forward"`
	RearMM  float64   `json:"rear_mm" doc:"Where its rear flank does"`
}

// Wish is what would do what was asked for.
type Wish struct {
	Want   string   `json:"want" doc:"What was asked for, in words"`
	Front  *Setting `json:"front" doc:"Front shocks; null when no collar does it"`
	Rear   *Setting `json:"rear" doc:"Rear shocks; null when no collar does it"`
	Oil    *WishOil `json:"oil" doc:"Oil for the damping ratio asked for; null when none was"`
	Failed string   `json:"failed" doc:"Why there is no setting; empty when there is"`
}

// Setting is what the shocks of an axle would need, one or the other.
type Setting struct {
	CollarMM   float64        `json:"collar_mm" doc:"Collar, with the springs as they are; below 0 no collar does it"`
	Shocks     []SettingShock `json:"shocks" nullable:"false" doc:"The collar of each shock, as the document would say it"`
	RateNPerMM *float64       `json:"spring_rate_n_per_mm" doc:"Rate of the outer springs together, with the collar as it is"`
	Item       string         `json:"item" doc:"Spring of the bins with the nearest rate; empty when there is none"`
	ItemRate   *float64       `json:"item_rate_n_per_mm" doc:"Its rate"`
}

// SettingShock is a shock of a Setting.
type SettingShock struct {
	Name     string  `json:"name" doc:"Name in the document"`
	CollarMM float64 `json:"collar_mm" doc:"Its collar; below 0 no collar does it"`
}

// WishOil is oil for a damping ratio.
type WishOil struct {
	DampingRatio float64  `json:"damping_ratio" doc:"Asked for"`
	FrontCSt     *float64 `json:"front_cst" doc:"Oil of the front shocks, at 25 °C; null when a damper is not known"`
	RearCSt      *float64 `json:"rear_cst" doc:"Oil of the rear shocks"`
}
