package drive

import "lowslung/finding"

// An Answer is what the drive line delivers. Everything in it is an estimate.
type Answer struct {
	Stages     []Stage           `json:"stages" nullable:"false" doc:"Gear stages from the motor to the transfer case"`
	Axles      Axles             `json:"axles" doc:"Each driven axle"`
	Motor      *MotorLine        `json:"motor" doc:"The motor on its pack; null when the document lacks one of them"`
	Points     []Point           `json:"points" nullable:"false" doc:"Working points"`
	Pinions    []Pinion          `json:"pinions" nullable:"false" doc:"Every pinion of the bin with the spur's pitch, and the one fitted"`
	OtherPitch int               `json:"other_pitch" doc:"Pinions of the bin that are left out, because their pitch is another than the spur's"`
	Weak       []Margin          `json:"weak" nullable:"false" doc:"What breaks first at the largest torque, weakest first"`
	Shafts     []DriveShaft      `json:"shafts" nullable:"false" doc:"Each drive shaft"`
	WindUp     *WindUp           `json:"wind_up" doc:"Between the axles; null unless both are driven and have tyres"`
	Control    *Control          `json:"control" doc:"How finely the throttle sets the speed; null without motor, weight and tyres"`
	Brake      *Brake            `json:"brake" doc:"The drag brake; null when the controller gives none"`
	Heat       []HeatAt          `json:"heat" nullable:"false" doc:"Winding temperature over the run profile, from cold"`
	RunTimeMin *float64          `json:"run_time_min" doc:"Over the profile, until the pack is at 20 %; null when its capacity is not given"`
	Cautions   []string          `json:"cautions" nullable:"false" doc:"What can hurt someone"`
	Findings   []finding.Finding `json:"findings" nullable:"false" doc:"What to know, most urgent first"`
}

// A Stage is one gear train.
type Stage struct {
	Gears  []string `json:"gears" nullable:"false" doc:"Parts in mesh order"`
	Teeth  []int    `json:"teeth" nullable:"false" doc:"Their numbers of teeth"`
	Ratio  float64  `json:"ratio" doc:"Turns in per turn out; gears between the first and the last only turn it round"`
	Meshes []Mesh   `json:"meshes" nullable:"false" doc:"Each pair of gears in mesh"`
}

// A Mesh is two gears in mesh.
type Mesh struct {
	From             string   `json:"from" doc:"Driving gear"`
	To               string   `json:"to" doc:"Driven gear"`
	CenterDistanceMM *float64 `json:"center_distance_mm" doc:"That their pitch circles ask for; null when a pitch is missing or they differ"`
	PlacedMM         *float64 `json:"placed_mm" doc:"Between their axes as placed; null when they are not placed"`
	ContactRatio     *float64 `json:"contact_ratio" doc:"Mean number of pairs of teeth in contact, at the distance as placed where that is known"`
}

// Axles holds the answer of each driven axle.
type Axles struct {
	Front *Axle `json:"front,omitempty" doc:"The front axle, when it is driven"`
	Rear  *Axle `json:"rear,omitempty" doc:"The rear axle, when it is driven"`
}

// An Axle is one driven axle.
type Axle struct {
	TotalRatio         float64  `json:"total_ratio" doc:"Motor turns per wheel turn"`
	Overdrive          float64  `json:"overdrive" doc:"Speed-up of this axle in the transfer case"`
	Efficiency         float64  `json:"efficiency" doc:"Of all meshes from motor to wheel"`
	LoadedRadiusMM     *float64 `json:"loaded_radius_mm" doc:"Wheel's middle above the ground, at which torque works: as it stands on springs and tyres where that is known, otherwise as the document has the tyre; null without tyres"`
	RollingRadiusMM    *float64 `json:"rolling_radius_mm" doc:"Effective rolling radius, at which it rolls on (estimate): between the free and the loaded radius; the document's radius where its stance is not known; null without tyres"`
	NoLoadWheelRPM     *float64 `json:"no_load_wheel_rpm" doc:"Wheel speed without load at full throttle; null without a motor"`
	NoLoadSpeedMPerS   *float64 `json:"no_load_speed_m_per_s" doc:"Speed of the tread then; null without a motor or tyres"`
	SlipWheelTorqueNMM *float64 `json:"slip_wheel_torque_nmm" doc:"Torque at which both wheels of the axle slip on the level; null without weight and tyres"`
	TorqueShare        *float64 `json:"torque_share" doc:"Share of the wheel torque, 0 to 1, that this axle takes when all wheels slip on the level: friction times load times radius"`
	Diff               string   `json:"diff" doc:"What is between left and right: locked, open or one-way; locked when left out"`
	LiftedTorqueNMM    *float64 `json:"lifted_torque_nmm" doc:"Torque it still gives with one wheel off the ground and its load on the other: none when open"`
}

// MotorLine is the motor as it stands with its pack at nominal voltage.
type MotorLine struct {
	KtNMMPerA       float64  `json:"kt_nmm_per_a" doc:"Torque constant: 60/(2π·Kv)"`
	VoltsV          float64  `json:"volts_v" doc:"Nominal voltage of the pack, which all numbers are worked out at"`
	FullV           float64  `json:"full_v" doc:"Voltage of the pack fresh off the charger"`
	CutOffV         float64  `json:"cut_off_v" doc:"Voltage at which the controller is taken to cut off"`
	ResistanceOhm   float64  `json:"resistance_ohm" doc:"Of the winding, cold"`
	SourceOhm       float64  `json:"source_ohm" doc:"Of pack and leads"`
	NoLoadA         float64  `json:"no_load_a" doc:"Current without load"`
	NoLoadRPM       float64  `json:"no_load_rpm" doc:"Speed without load at full throttle"`
	StallCurrentA   float64  `json:"stall_current_a" doc:"At full throttle, before any limit"`
	StallTorqueNMM  float64  `json:"stall_torque_nmm" doc:"At that current"`
	LimitA          *float64 `json:"limit_a" doc:"Largest motor current that motor, controller, pack and slipper allow; null when none is given"`
	LimitBy         string   `json:"limit_by" doc:"What sets it: motor, controller, pack, slipper; empty when none is given"`
	BestEfficiencyA float64  `json:"best_efficiency_a" doc:"Current at which the motor turns most of what it takes into work"`
	PeakPowerW      float64  `json:"peak_power_w" doc:"Largest power at the shaft within the limits"`
	ToAirKPerW      float64  `json:"to_air_k_per_w" doc:"Thermal resistance from winding to air"`
	WarmsInS        float64  `json:"warms_in_s" doc:"Time constant of warming through"`
}

// A Point is one way of working.
type Point struct {
	Name           string   `json:"name" doc:"flat, 30° climb, 45° climb, wheel slip, ledge of …, peak power, best efficiency"`
	MotorRPM       float64  `json:"motor_rpm" doc:"At the throttle given"`
	SpeedMPerS     *float64 `json:"speed_m_per_s" doc:"On the road, of the axle whose tread is slower; null without tyres"`
	Throttle       float64  `json:"throttle" doc:"Share of full throttle: 1 unless the pack's current limit holds it back"`
	CurrentA       float64  `json:"current_a" doc:"In the motor"`
	PackA          float64  `json:"pack_a" doc:"Out of the pack: throttle times motor current"`
	PackV          float64  `json:"pack_v" doc:"At the controller: what is left of the nominal voltage"`
	WheelTorqueNMM float64  `json:"wheel_torque_nmm" doc:"All wheels together"`
	Efficiency     float64  `json:"efficiency" doc:"Work at the wheels per energy from the pack, 0 to 1"`
	Power          Power    `json:"power" doc:"Where the power goes"`
	WindingC       float64  `json:"winding_c" doc:"After a minute of it from 25 °C air; 1085, the melting point of copper, stands for burnt"`
	HoldsS         *float64 `json:"holds_s" doc:"Time from cold until the winding is at 100 °C; null when it never is"`
	LimitedBy      string   `json:"limited_by" doc:"grip, motor, controller, pack or slipper: what ends it; motor heat when it is reached, but not held for a minute; empty when nothing does"`
	Reached        bool     `json:"reached" doc:"False when what ends it comes first: the numbers are those there, but of peak power and best efficiency those of the motor line"`
}

// Power is where the pack's power goes, W. The parts add up to Pack.
type Power struct {
	Pack    float64 `json:"pack_w" doc:"Out of the pack at its nominal voltage"`
	Source  float64 `json:"source_w" doc:"Heat in pack and leads"`
	Winding float64 `json:"winding_w" doc:"Heat in the winding, I²R"`
	Idle    float64 `json:"idle_w" doc:"No-load loss: iron, bearings, brushes"`
	Gears   float64 `json:"gears_w" doc:"Heat in the gears"`
	Wheels  float64 `json:"wheels_w" doc:"Work at the wheels"`
}

// A Pinion is what a pinion would do.
type Pinion struct {
	Item             string   `json:"item" doc:"Bin item; empty for a fitted pinion of no bin"`
	Teeth            int      `json:"teeth" doc:"Number of teeth"`
	Fitted           bool     `json:"fitted" doc:"The one on the motor now"`
	Have             *int     `json:"have" doc:"How many lie in the drawer; null when the bin does not say"`
	Price            *float64 `json:"price" doc:"Of one, in currency; null when the bin does not say"`
	Currency         string   `json:"currency" doc:"ISO 4217; empty when the bin does not say"`
	Fits             bool     `json:"fits" doc:"Goes on the motor's shaft, meshes with the spur, and the mount's slot reaches"`
	Why              string   `json:"why" doc:"Why it does not fit"`
	CenterDistanceMM float64  `json:"center_distance_mm" doc:"Between motor and spur axes"`
	MoveMM           float64  `json:"move_mm" doc:"How far the motor moves from where it sits with the fitted pinion, positive away from the spur"`
	Ratio            float64  `json:"ratio" doc:"Motor turns per wheel turn, of the axle whose tread is slower"`
	SpeedMPerS       *float64 `json:"speed_m_per_s" doc:"Without load at full throttle; null without tyres"`
	StepMPerS        *float64 `json:"step_m_per_s" doc:"Speed per hundredth of the throttle; null without tyres"`
	SlipCurrentA     *float64 `json:"slip_current_a" doc:"Motor current when all wheels slip on the level, limits aside; null without weight and tyres"`
	ClimbCurrentA    *float64 `json:"climb_current_a" doc:"Motor current that holds it on 45°, grip and limits aside; null without weight and tyres"`
	Slips            bool     `json:"slips" doc:"The limits let the wheels slip"`
	WindingC         *float64 `json:"winding_c" doc:"Hottest over the run profile; null without weight and tyres"`
	ToothMargin      *float64 `json:"tooth_margin" doc:"Strength over bending stress of the weaker gear at wheel slip; below 1 it breaks; null without face width, material or weight"`
	ShaftMargin      *float64 `json:"shaft_margin" doc:"Likewise of the motor's shaft in torsion; null when its diameter is not known"`
	ContactRatio     float64  `json:"contact_ratio" doc:"Mean number of pairs of teeth in contact at the standard distance"`
	Undercut         bool     `json:"undercut" doc:"Fewer teeth than a standard rack cuts clean, unless they are cut with profile shift"`
}

// A Margin is how far one part is from breaking.
type Margin struct {
	Part   string  `json:"part" doc:"Part of the document"`
	What   string  `json:"what" doc:"tooth bending, shaft torsion, pin shear, joint torque"`
	Torque float64 `json:"torque_nmm" doc:"Torque there at the worst"`
	Stress float64 `json:"stress_mpa" doc:"Largest stress; 0 for joint torque, which is held against the torque given"`
	Holds  float64 `json:"holds_mpa" doc:"Yield, for shear 0.577 of it; ultimate for plastics; 0 for joint torque"`
	Stuff  string  `json:"material" doc:"Material it is taken to be made of; empty for joint torque"`
	Margin float64 `json:"margin" doc:"What it holds over what it gets; below 1 it gives way"`
}

// A DriveShaft is what a drive shaft has to take.
type DriveShaft struct {
	Shaft          string   `json:"shaft" doc:"Name in the document"`
	Axle           string   `json:"axle" enum:"front,rear" doc:"Axle it drives"`
	TorqueNMM      *float64 `json:"torque_nmm" doc:"Largest, this axle taking all; null without weight and tyres"`
	JointDeg       *float64 `json:"joint_deg" doc:"Angle of its worse joint standing still; null when the axle has no place"`
	JointTorqueNMM *float64 `json:"joint_torque_nmm" doc:"Peak in that joint within a turn: torque over the cosine of a cardan joint's angle"`
	LengthMM       *float64 `json:"length_mm" doc:"Joint centre to joint centre standing still; null when the axle has no place"`
	RPM            *float64 `json:"rpm" doc:"Speed without load at full throttle; null without a motor"`
	CriticalRPM    *float64 `json:"critical_rpm" doc:"First critical speed as a plain round steel shaft on its joints; null without diameter or length"`
}

// WindUp is what two axles locked to each other do to each other.
type WindUp struct {
	LeadPct   float64  `json:"lead_pct" doc:"How much further the front tread runs than the rear one; negative when the rear leads"`
	MMPerM    float64  `json:"mm_per_m" doc:"What one axle's tyres must slip for each metre of road"`
	TorqueNMM *float64 `json:"torque_nmm" doc:"Largest torque at an axle that this can put between them before tyres slip on the level; null without weight"`
	Frees     bool     `json:"frees" doc:"The axle that is overrun is one-way, so nothing winds up driving forward"`
}

// Control is the resolution of the throttle.
type Control struct {
	Steps     int      `json:"steps" doc:"Steps that the throttle is taken to have: an assumption"`
	StepMPerS float64  `json:"step_m_per_s" doc:"Road speed per step without load"`
	StepRPM   float64  `json:"step_wheel_rpm" doc:"Wheel speed per step"`
	FirstStep *int     `json:"first_step" doc:"First step at which it moves off on the flat, without the controller's own start-up help; null when none does"`
	LeastMS   *float64 `json:"least_m_per_s" doc:"Its speed then: the slowest that is held without the brake"`
}

// Brake is what the drag brake does at zero throttle.
type Brake struct {
	Share     float64  `json:"share" doc:"Setting of the drag brake, 0 to 1"`
	Creep30   *float64 `json:"creep_30_m_per_s" doc:"Speed at which it creeps down 30° with the throttle shut, 0 when friction holds it; null when tyres or drive line do not hold it"`
	Creep45   *float64 `json:"creep_45_m_per_s" doc:"Likewise on 45°"`
	Friction  float64  `json:"friction_nmm" doc:"Torque at the wheels that the friction of the motor without current holds by itself"`
	FreeAxles []string `json:"free_axles" nullable:"false" doc:"Axles that the brake does not reach, because they are one-way"`
}

// HeatAt is one point of the temperature curve.
type HeatAt struct {
	Seconds  float64 `json:"seconds" doc:"From the start"`
	WindingC float64 `json:"winding_c" doc:"Temperature of the winding then"`
	Doing    string  `json:"doing" doc:"Phase of the profile that ends there"`
}
