package drive

import (
	"lowslung/finding"
	"lowslung/quantity"
)

// Options of the question.
type Options struct {
	LedgeMM float64         // height of the ledge of the ledge point; 0 is half a tyre radius
	Units   quantity.System // units of the sentences
}

// An Answer is what the drive line delivers. Everything in it is an estimate.
type Answer struct {
	Stages     []Stage           `json:"stages" nullable:"false" doc:"Gear stages from the motor to the transfer case"`
	Axles      Axles             `json:"axles" doc:"Each driven axle"`
	Motor      *MotorLine        `json:"motor" doc:"The motor with its pack; null when the document lacks one of them"`
	Points     []Point           `json:"points" nullable:"false" doc:"Working points"`
	Pinions    []Pinion          `json:"pinions" nullable:"false" doc:"Every pinion of the bin that meshes with the spur, and the one fitted"`
	Weak       []Margin          `json:"weak" nullable:"false" doc:"What breaks first at the largest torque, weakest first"`
	Heat       []HeatAt          `json:"heat" nullable:"false" doc:"Winding temperature over the run profile"`
	RunTimeMin *float64          `json:"run_time_min" doc:"Over the profile, until the pack is at 20 %; null when its capacity is not given"`
	Findings   []finding.Finding `json:"findings" nullable:"false"`
}

// A Stage is one gear train.
type Stage struct {
	Gears  []string `json:"gears" nullable:"false" doc:"Parts in mesh order"`
	Teeth  []int    `json:"teeth" nullable:"false"`
	Ratio  float64  `json:"ratio" doc:"Turns in per turn out; gears between the first and the last only turn it round"`
	Meshes int      `json:"meshes"`
}

// Axles holds the answer of each driven axle.
type Axles struct {
	Front *Axle `json:"front,omitempty"`
	Rear  *Axle `json:"rear,omitempty"`
}

// An Axle is one driven axle.
type Axle struct {
	TotalRatio         float64  `json:"total_ratio" doc:"Motor turns per wheel turn"`
	Overdrive          float64  `json:"overdrive" doc:"Speed-up of this axle in the transfer case"`
	NoLoadWheelRPM     *float64 `json:"no_load_wheel_rpm"`
	NoLoadSpeedMPerS   *float64 `json:"no_load_speed_m_per_s"`
	SlipWheelTorqueNMM *float64 `json:"slip_wheel_torque_nmm" doc:"Torque at which both wheels of the axle slip on the level; null without weight and tyres"`
}

// MotorLine is the motor as it stands with its pack at nominal voltage.
type MotorLine struct {
	KtNMMPerA       float64  `json:"kt_nmm_per_a"`
	VoltsV          float64  `json:"volts_v" doc:"Nominal voltage of the pack"`
	NoLoadRPM       float64  `json:"no_load_rpm"`
	StallCurrentA   float64  `json:"stall_current_a" doc:"At full throttle, before any limit"`
	StallTorqueNMM  float64  `json:"stall_torque_nmm"`
	LimitA          *float64 `json:"limit_a" doc:"Smallest of the current limits of motor, controller and pack; null when none is given"`
	LimitBy         string   `json:"limit_by"`
	BestEfficiencyA float64  `json:"best_efficiency_a"`
	PeakPowerW      float64  `json:"peak_power_w" doc:"Largest power at the shaft within the limit"`
}

// A Point is one way of working.
type Point struct {
	Name           string  `json:"name"`
	MotorRPM       float64 `json:"motor_rpm" doc:"At full throttle"`
	SpeedMPerS     float64 `json:"speed_m_per_s" doc:"At full throttle"`
	CurrentA       float64 `json:"current_a"`
	WheelTorqueNMM float64 `json:"wheel_torque_nmm" doc:"All wheels together"`
	Efficiency     float64 `json:"efficiency" doc:"Work at the wheels per energy from the pack, at full throttle"`
	WindingC       float64 `json:"winding_c" doc:"After a minute of it from 25 °C air"`
	LimitedBy      string  `json:"limited_by" doc:"grip, motor, controller, pack, or empty when the point is reached"`
	Reached        bool    `json:"reached"`
}

// A Pinion is what a pinion would do.
type Pinion struct {
	Item             string   `json:"item" doc:"Bin item; empty for a fitted pinion of no bin"`
	Teeth            int      `json:"teeth"`
	Fitted           bool     `json:"fitted" doc:"The one on the motor now"`
	Fits             bool     `json:"fits" doc:"Goes on the motor's shaft and meshes with the spur"`
	Why              string   `json:"why" doc:"Why it does not fit"`
	CenterDistanceMM float64  `json:"center_distance_mm" doc:"Between motor and spur axes"`
	MoveMM           float64  `json:"move_mm" doc:"How far the motor moves from where it sits with the fitted pinion"`
	Ratio            float64  `json:"ratio" doc:"Motor turns per turn of the slower axle's wheels"`
	SpeedMPerS       *float64 `json:"speed_m_per_s" doc:"Without load"`
	SlipCurrentA     *float64 `json:"slip_current_a" doc:"When all wheels slip on the level"`
	ClimbCurrentA    *float64 `json:"climb_current_a" doc:"Standing on 45°"`
	ToothMargin      *float64 `json:"tooth_margin" doc:"Strength over bending stress of the weaker gear at slip; below 1 it breaks"`
	ContactRatio     float64  `json:"contact_ratio"`
	Undercut         bool     `json:"undercut" doc:"Fewer teeth than a standard rack cuts clean"`
}

// A Margin is how far one part is from breaking.
type Margin struct {
	Part   string  `json:"part"`
	What   string  `json:"what" doc:"tooth bending, shaft torsion, pin shear"`
	Stress float64 `json:"stress_mpa"`
	Holds  float64 `json:"holds_mpa" doc:"Yield (shear: 0.58 of it), ultimate for plastics"`
	Margin float64 `json:"margin" doc:"Holds over stress"`
}

// HeatAt is one point of the temperature curve.
type HeatAt struct {
	Seconds  float64 `json:"seconds"`
	WindingC float64 `json:"winding_c"`
	Doing    string  `json:"doing" doc:"crawl, climb or dash"`
}
