package solid

import (
	"lowslung/finding"
	"lowslung/rig"
)

// End says which axle: 0 front, 1 rear.
type End int

// The two axles.
const (
	Front End = 0
	Rear  End = 1
)

// String is "front" or "rear", as in documents and answers.
func (e End) String() string {
	if e == Front {
		return "front"
	}
	return "rear"
}

// Other is the other axle.
func (e End) Other() End { return 1 - e }

// Carrier is what a body is fixed to.
type Carrier int8

// The three rigid bodies that carry everything. An axle's carrier is Carrier(end)+1.
const (
	OnChassis Carrier = iota
	OnFront
	OnRear
)

// CarrierOf is the carrier of things fixed to axle e.
func CarrierOf(e End) Carrier { return Carrier(e) + 1 }

// Side tells mirror twins apart.
type Side int8

// Sides: a single thing is Single wherever it sits.
const (
	Single Side = 0
	Left   Side = 1
	Right  Side = -1
)

// String is "", "left" or "right", as in documents and answers.
func (s Side) String() string {
	switch s {
	case Left:
		return "left"
	case Right:
		return "right"
	}
	return ""
}

// A Model is a rig as plain numbers. It is immutable after Resolve and safe to share between goroutines.
type Model struct {
	Name     string
	Bodies   []Body // every placed part, mirror twins included, in document order
	Axles    [2]Axle
	Links    []Link  // every link, mirror twins included; those of a pair are neighbours, left first
	Shocks   []Shock // every shock, mirror twins included, left first
	Shafts   []Shaft
	Bars     []Bar // anti-roll bars, in document order
	Steer    Steer
	Findings []finding.Finding // defaults taken, weights missing, holes mirrored: what resolving noticed
	Doc      *rig.Document     // for what is not numbers yet: mates, drive, targets
	Bins     []*rig.Bin        // the bins that the document names, for what would fit
	Rest     *Rest             // where it stands on its springs; nil until ride.Stand has found that, and when the document lacks what it takes
}

// A Body is one placed part.
type Body struct {
	Name    string  // builder's name
	Path    string  // path in the document: chassis/parts/belly
	Kind    string  // kind of the part
	Side    Side    // of a pair
	Carrier Carrier // what it is fixed to
	Frame   Frame   // its frame in the carrier's frame; a right twin's is mirrored (Frame.Flip)
	Mass    float64 // kg; 0 when HasMass is false
	HasMass bool    // a weight was written, or is estimated because infill was
	Guessed bool    // Mass is an estimate from shape, material and infill
	CG      Vec     // centre of mass in the carrier's frame, mm
	Inertia Sym     // about CG, carrier axes, kg·mm²; zero when it has no shape (a point)
	Shapes  []Shape // convex shapes, placed in the carrier's frame
	Holes   []Hole  // placed in the carrier's frame
	Guess   float64 // kg, estimate from shape and material, 0 when not known; never part of a sum
}

// A Hole is a placed hole.
type Hole struct {
	Name string
	Side Side
	At   Vec // in the carrier's frame, mm
	Axis Vec // unit vector of the bolt; zero when not given
	Bolt string
}

// An Axle is one solid axle.
type Axle struct {
	Present    bool
	Path       string  // front or rear
	Near       Vec     // start for the solver, chassis frame, mm
	TyreRadius float64 // axle to ground as the document has it, mm; 0 when there is no tyre
	TyreWidth  float64 // mm
	HalfTrack  float64 // wheel centre's y in the axle frame, mm; 0 when there is no tyre
	Grip       float64 // coefficient of friction of the tyre on rock, an assumption; 0 when not given
	Pinion     Vec     // joint centre in the axle frame, mm
	PinionAxis Vec     // unit vector out of the axle, axle frame
	HasPinion  bool    // the document gives an output; otherwise PinionAxis is the usual one (−x front, +x rear)
	HasRide    bool
	Ride       float64 // belly plane above the ground at this axle, mm; meaningful when HasRide
	Traction   float64 // share of the tractive force, 0…1
	Wheels     []Wheel // every tyre on it, mirror twins included, left first of a pair
}

// A Wheel is a wheel with its tyre on an axle.
type Wheel struct {
	Name    string
	Path    string  // front/parts/front tyre
	Side    Side    // by its y
	At      Vec     // centre, axle frame, mm
	Radius  float64 // free, mm
	Width   float64 // mm; 0 when not given
	Loaded  float64 // radius as it stands, axle to ground, mm; 0 when not given
	Rate    float64 // radial, N/mm; 0 when not given
	Curve   []Press // radial load over deflection, rising; empty when only a rate is given
	Lateral float64 // N/mm at the ground; 0 when not given
	Grip    float64 // coefficient of friction on rock, an assumption; 0 when not given
}

// A Press is one point of a tyre's measured curve.
type Press struct {
	By   float64 // mm that the wheel's centre comes nearer to the ground
	Load float64 // N
}

// A Link holds an axle at a fixed distance between two eyes.
type Link struct {
	Name             string
	Path             string // links/rear upper
	Side             Side
	Axle             End
	From             Vec     // chassis eye, chassis frame, mm
	To               Vec     // axle eye, axle frame, mm
	Length           float64 // eye to eye, mm
	Pitch            float64 // of the thread at its rod ends, mm; 0 when not known
	Mass             float64 // kg, rod and ends; 0 when HasMass is false
	HasMass          bool
	Width            float64    // diameter, mm; 6 when not given
	Bends            []Vec      // (along, side, rise) of each bend from the chassis eye, mm
	FromHole, ToHole string     // part/hole, as the document has them
	FromBolt, ToBolt Vec        // bolt axis at each eye, chassis and axle frame; zero when not given
	Swing            [2]float64 // allowed swing of the two ends, chassis end first, rad; 0 when not known
}

// An Anchor is where a shock's eye sits: on the chassis, on an axle, or on a link.
type Anchor struct {
	Carrier Carrier
	Link    int     // index into Model.Links, −1 when it is not on a link
	At      Vec     // in the carrier's frame, mm, when Link < 0
	Along   float64 // from the link's chassis eye along the link, mm
	Rise    float64 // perpendicular to the link in the plane of link and chassis z, positive up, mm
	Hole    string  // part/hole, as the document has it
}

// A Shock sits between two anchors.
type Shock struct {
	Name    string
	Path    string // shocks/rear
	Side    Side
	Axle    End
	Top     Anchor
	Bottom  Anchor
	Open    float64 // eye to eye fully open, mm; 0 when not known
	Closed  float64 // eye to eye fully closed, mm; 0 when not known
	Set     float64 // eye to eye at ride height, mm; 0 when not given
	Mass    float64 // kg
	HasMass bool
	Width   float64 // outer diameter, mm; 16 when not given

	Springs []Spring // outer ones, in series
	Above   []Spring // inside the body above the piston, in series: they push the shock open
	Below   []Spring // inside below the piston, in series: they pull it closed
	Collar  float64  // mm that the collar is screwed down from the outer springs being just free when fully open
	Damper  Damper
}

// A Spring is one coil spring.
type Spring struct {
	Item   string  // bin item, "" when there is none
	Rate   float64 // N/mm; 0 when not given
	Free   float64 // mm; 0 when not given
	Travel float64 // free less solid length, mm; 0 when not known
}

// A Damper is what makes a shock slow. Zero is not given.
type Damper struct {
	Oil    float64 // kinematic viscosity at room temperature, mm²/s
	Bore   float64 // of the body, mm
	Rod    float64 // diameter of the piston rod, mm
	Holes  int     // through the piston
	Hole   float64 // diameter of one, mm
	Length float64 // of a hole, the piston's thickness, mm
	Gap    float64 // radial, piston to bore, mm

	Discharge float64   // coefficient of its holes for fast oil
	Valved    [2]OneWay // further holes, open only while the shock closes, and only while it opens
}

// OneWay holes pass oil in one direction only.
type OneWay struct {
	Holes int     // 0 when there are none
	Hole  float64 // diameter of one, mm
}

// A Bar is an anti-roll bar: a wire that twists between two arms, carried by the chassis.
type Bar struct {
	Name     string
	Path     string // bars/rear
	Axle     End
	Wire     float64   // diameter, mm; 0 when not given
	Span     float64   // length that twists, arm to arm, mm; 0 when not given
	Arm      float64   // wire centre to drop-link eye, mm; 0 when not given
	Material string    // spring steel when not given
	Hung     bool      // Eyes are known
	Eyes     [2]Anchor // of the drop links at the axle or at links, left and right
}

// A Shaft is a drive shaft.
type Shaft struct {
	Name                  string
	Path                  string
	Axle                  End
	From                  Vec     // joint centre at the gearbox, chassis frame, mm
	FromAxis              Vec     // unit vector out of the gearbox
	To                    Vec     // joint centre at the axle, axle frame, mm
	ToAxis                Vec     // unit vector out of the axle
	Closed, Open, Overlap float64 // mm; 0 when not known
	Limit                 float64 // rad; 0 when not known
	Phase                 float64 // rad
	CV                    bool
	Mass                  float64
	HasMass               bool
	Width                 float64 // diameter, mm; 6 when not given
}
