package rig

import "lowslung/quantity"

// A Document is what a builder wrote down of one rig, merged with its bases and with the bin items it names. Every
// value is in the program's units (package quantity). Pointers are nil where the builder wrote nothing.
//
// Struct tags: `rig:"key"` is the key in the document; `doc:"…"` is the sentence for the JSON Schema and the manual;
// `enum:"a,b"` lists the words allowed; `least:"0"` and `above:"0"` are limits in the bare unit of the document;
// `required:"true"` makes the key one that must be written.
type Document struct {
	Lowslung int              `rig:"lowslung" required:"true" doc:"Version of this format: 1"`
	Name     string           `rig:"name" doc:"What the builder calls this build"`
	Scale    string           `rig:"scale" doc:"Scale as a fraction: 1/10"`
	Notes    string           `rig:"notes" doc:"Free text"`
	Base     string           `rig:"base" doc:"File of the build that this one changes"`
	Bins     []string         `rig:"bins" doc:"Files in which item names are looked up, first hit wins"`
	Ride     *quantity.Length `rig:"ride_height" doc:"Height of the belly plane above the ground at both axles, until ride works it out"`
	Chassis  Assembly         `rig:"chassis" doc:"What the springs carry"`
	Front    *Axle            `rig:"front" doc:"Front axle"`
	Rear     *Axle            `rig:"rear" doc:"Rear axle"`
	Links    Map[Link]        `rig:"links" doc:"Suspension links, transverse rod included"`
	Shocks   Map[Shock]       `rig:"shocks" doc:"Shock absorbers with their springs"`
	Shafts   Map[Shaft]       `rig:"shafts" doc:"Drive shafts"`
	Bars     Map[Bar]         `rig:"bars" doc:"Anti-roll bars"`
	Steer    *Steer           `rig:"steer" doc:"Steering linkage and servo"`
	Drive    *Drive           `rig:"drive" doc:"Motor, gears and battery in the order of the power"`
	Mates    Map[[]Ref]       `rig:"mates" doc:"Which port goes on which: two ports, part/port each"`
	Targets  Map[Target]      `rig:"targets" doc:"What the build should reach, by the name of a number"`
	Search   *Search          `rig:"search" doc:"What search may change, what it must reach and what it prefers"`
	Errors   *Errors          `rig:"errors" doc:"How far things may be off from what is written, for the bands of search and for bench: what 95 of 100 keep"`

	Readings Map[Reading] `rig:"readings" doc:"What was measured on the finished rig, each reading under a name of the builder's own, for bench"`

	Place Place `rig:",place"` // where the document starts
}

// Errors say how far what is made and set may be off from what is written: plus or minus, what 95 of 100 keep.
type Errors struct {
	Drilled *quantity.Length `rig:"drilled" least:"0" doc:"A drilled or milled hole, in each direction; 0.1 mm when left out"`
	Printed *quantity.Length `rig:"printed" least:"0" doc:"A printed hole, in each direction: of parts that are made, of PA12; 0.2 mm when left out"`
	Length  *quantity.Length `rig:"length" least:"0" doc:"A link, eye to eye; 0.25 mm when left out"`
	Turns   *float64         `rig:"turns" least:"0" doc:"Turns of a link's threads, both ends together; 0.25 when left out"`
	Play    *quantity.Length `rig:"play" least:"0" doc:"All the play of one rod end along its link, anywhere in which it may stand; 0.1 mm when left out"`
	Set     *quantity.Length `rig:"set" least:"0" doc:"A shock's set length, or a ride height where that is what is written; 0.5 mm when left out"`
	Tyre    *quantity.Length `rig:"tyre" least:"0" doc:"A tyre's radius, the two of an axle alike; 0.5 mm when left out"`
	Weight  *quantity.Share  `rig:"weight" least:"0" doc:"For bench: a weight that was not weighed; 5 % when left out"`
	Centre  *quantity.Length `rig:"centre" least:"0" doc:"For bench: the centre of mass of a part, in each direction; 3 mm when left out"`
	Rate    *quantity.Share  `rig:"rate" least:"0" doc:"For bench: a spring's rate; 10 % when left out"`
	Collar  *quantity.Length `rig:"collar" least:"0" doc:"For bench: a spring collar's place, which holds the spring's free length too; 0.7 mm when left out"`
	Pressed *quantity.Share  `rig:"tyre_rate" least:"0" doc:"For bench: a tyre's rate; 20 % when left out"`
	Motor   *quantity.Share  `rig:"motor" least:"0" doc:"For bench: a motor's kv and no-load current; 5 % when left out"`
	Place   Place            `rig:",place"`
}

// An Assembly is a set of parts that move together.
type Assembly struct {
	Parts Map[Part] `rig:"parts" doc:"Parts by the builder's own names"`
}

// An Axle is one solid axle: its parts, about where it sits, and how high the rig stands on it.
type Axle struct {
	Near  *Vec             `rig:"near" doc:"About where the axle sits in the chassis frame: a start for the solver, not a constraint"`
	Ride  *quantity.Length `rig:"ride_height" doc:"Height of the belly plane above the ground at this axle"`
	Drive *quantity.Share  `rig:"traction_share" least:"0" doc:"This axle's share of the tractive force; an even split between the driven axles when left out"`
	Parts Map[Part]        `rig:"parts" doc:"Parts fixed to the axle, in the axle frame"`
	Place Place            `rig:",place"`
}

// A Part is one thing with a weight and a place. Items of a bin are parts too.
type Part struct {
	Kind     string          `rig:"kind" enum:"skid,plate,frame,body,gearbox,motor,battery,controller,receiver,servo,axle,portal,tyre,wheel,rod,rod end,shock,spring,shaft,gear,bearing,screw,nut,washer,pin,spacer,bar,mount,plug,other" doc:"What it is"`
	Item     string          `rig:"item" doc:"Id of a bin item whose fields are the defaults here"`
	On       string          `rig:"on" doc:"Part whose frame this one sits in; the assembly's own frame when left out"`
	At       *Vec            `rig:"at" doc:"Origin of the part in that frame: [forward, left, up]"`
	Turn     *Turn           `rig:"turn" doc:"Turned by [roll, pitch, yaw] in that frame"`
	Pair     bool            `rig:"pair" doc:"There is a mirror twin at −y"`
	Steered  bool            `rig:"steered" doc:"Fixed to a knuckle of the front axle, so that it turns with the steering; tyres, wheels and what is mated to them do without being said"`
	Mass     *quantity.Mass  `rig:"mass" least:"0" doc:"Weight of one, as on the kitchen scale"`
	Weighed  bool            `rig:"weighed" doc:"The weight is from a scale, not worked out or from a packet"`
	CG       *Vec            `rig:"cg" doc:"Centre of mass in the part's frame; the middle of its shape, or its origin, when left out"`
	Shape    []Shape         `rig:"shape" doc:"Outline in the part's frame"`
	Holes    Map[Hole]       `rig:"holes" doc:"Holes and eyes it offers to links, shocks and bolts"`
	Outputs  Map[Output]     `rig:"outputs" doc:"Where drive shafts meet it"`
	Ports    Map[Port]       `rig:"ports" doc:"Where it mates with other parts"`
	Material string          `rig:"material" doc:"Material, for an estimate of the weight and for strength: aluminium 6061, aluminium 7075, titanium, steel, alloy steel, spring steel, brass, POM, PA12, PETG, PLA, carbon"`
	Infill   *quantity.Share `rig:"infill" above:"0" doc:"Share of its volume that is material, an assumption: 100 % for a part that is solid. With it, and without mass, the weight is estimated from shape and material and counted"`

	Tyre       *Tyre       `rig:"tyre" doc:"Fields of a tyre"`
	Rod        *Rod        `rig:"rod" doc:"Fields of a link rod"`
	End        *End        `rig:"end" doc:"Fields of a rod end"`
	Damper     *Damper     `rig:"shock" doc:"Fields of a shock, defaults for shocks that name this item"`
	Spring     *Spring     `rig:"spring" doc:"Fields of a spring, defaults for springs that name this item"`
	Shaft      *Coupling   `rig:"shaft" doc:"Fields of a drive shaft, defaults for shafts that name this item"`
	Gear       *Gear       `rig:"gear" doc:"Fields of a gear"`
	Motor      *Motor      `rig:"motor" doc:"Fields of a motor"`
	Pack       *Pack       `rig:"pack" doc:"Fields of a battery pack"`
	Controller *Controller `rig:"controller" doc:"Fields of a speed controller"`
	Servo      *Servo      `rig:"servo" doc:"Fields of a servo"`
	Bearing    *Bearing    `rig:"bearing" doc:"Fields of a bearing"`
	Screw      *Screw      `rig:"screw" doc:"Fields of a screw, nut or washer"`

	Title string   `rig:"title" doc:"What a shop would call it"`
	Price *float64 `rig:"price" least:"0" doc:"Price of one"`
	Money string   `rig:"currency" doc:"Currency of the price, ISO 4217"`
	From  string   `rig:"from" doc:"Where it comes from"`
	Have  *int     `rig:"have" least:"0" doc:"How many lie in the drawer"`
	Made  bool     `rig:"made" doc:"The builder makes this part: cut or printed"`
	Notes string   `rig:"notes" doc:"Free text"`
	Place Place    `rig:",place"`
}

// A Hole is a place a bolt goes through, in the part's frame.
type Hole struct {
	At   Vec              `rig:"at" required:"true" doc:"Centre in the part's frame"`
	Bolt string           `rig:"bolt" doc:"Bolt that goes through: M3"`
	Axis *Dir             `rig:"axis" doc:"Direction of the bolt; any length but zero"`
	Pair bool             `rig:"pair" doc:"There is a mirror twin at −y"`
	Slot *quantity.Length `rig:"slot" above:"0" doc:"Width between the two faces that a rod end sits between"`
	Fastened
	Place Place `rig:",place"`
}

// Fastened says how the bolt of an eye is held: what it goes through beside the eye, and what it holds in.
type Fastened struct {
	Wall   *quantity.Length `rig:"wall" least:"0" doc:"What of the part the bolt goes through on its way to nut or thread, all walls together; 0 when it goes from the eye straight into a thread"`
	Spacer *quantity.Length `rig:"spacer" least:"0" doc:"Spacers and washers on the bolt, all together; none when left out"`
	Grip   *quantity.Length `rig:"grip" above:"0" doc:"Depth of the thread in the part that holds the bolt; a nut does when it is left out"`
	Blind  bool             `rig:"blind" doc:"That thread does not go through"`
	Screw  string           `rig:"screw" doc:"The bolt, a bin item; its weight is not added to the part's"`
	Nut    string           `rig:"nut" doc:"Its nut, a bin item; its weight is not added to the part's"`
}

// An Output is where a drive shaft's joint centre sits, with the direction of its shaft out of the part.
type Output struct {
	At    Vec   `rig:"at" required:"true" doc:"Joint centre in the part's frame"`
	Axis  Dir   `rig:"axis" required:"true" doc:"Direction out of the part; any length but zero"`
	Place Place `rig:",place"`
}

// A Shape is one body; exactly one of the kinds is written. All are convex but plates and meshes.
type Shape struct {
	Box      *Vec     `rig:"box" doc:"Size along x, y, z"`
	Cylinder *Round   `rig:"cylinder" doc:"Round bar or can"`
	Plate    *Plate   `rig:"plate" doc:"Flat outline with a thickness"`
	Capsule  *Capsule `rig:"capsule" doc:"Round-ended bar between two points"`
	Mesh     string   `rig:"mesh" doc:"STL or 3MF file, relative to this one, in the part's frame: an STL's triangles are in mm, a 3MF says its unit"`
	Scale    *float64 `rig:"scale" above:"0" doc:"What the mesh's coordinates are multiplied by: 25.4 for an STL in inches; 1 when left out"`
	At       *Vec     `rig:"at" doc:"Centre in the part's frame; of a mesh, where its origin goes"`
	Turn     *Turn    `rig:"turn" doc:"Turned by [roll, pitch, yaw]"`
	Place    Place    `rig:",place"`
}

// Round is a cylinder about its own axis.
type Round struct {
	Diameter quantity.Length `rig:"diameter" required:"true" above:"0" doc:"Diameter"`
	Length   quantity.Length `rig:"length" required:"true" above:"0" doc:"Length along the axis"`
	Axis     *Dir            `rig:"axis" doc:"Direction of the axis, [1, 0, 0] when left out"`
}

// Plate is a flat outline in the part's x–y plane (or turned), extruded evenly to both sides.
type Plate struct {
	Outline   []Point         `rig:"outline" required:"true" doc:"Corners in order, [x, y] each, at least three"`
	Thickness quantity.Length `rig:"thickness" required:"true" above:"0" doc:"Thickness along z"`
}

// Capsule is a round-ended bar.
type Capsule struct {
	From     Vec             `rig:"from" required:"true" doc:"Centre of one end"`
	To       Vec             `rig:"to" required:"true" doc:"Centre of the other end"`
	Diameter quantity.Length `rig:"diameter" required:"true" above:"0" doc:"Diameter"`
}

// A Tyre is a wheel and tyre as it stands on the ground.
type Tyre struct {
	Diameter quantity.Length  `rig:"diameter" required:"true" above:"0" doc:"Free diameter"`
	Width    quantity.Length  `rig:"width" above:"0" doc:"Tread width"`
	Loaded   *quantity.Length `rig:"loaded_radius" above:"0" doc:"Radius as it stands, axle to ground; half the free diameter when left out"`
	Rate     *quantity.Rate   `rig:"rate" above:"0" doc:"Radial rate"`
	Lateral  *quantity.Rate   `rig:"lateral_rate" above:"0" doc:"Sideways rate"`
	Curve    []Pressed        `rig:"curve" doc:"Radial load over deflection as measured, when one rate does not tell it"`
	Grip     *float64         `rig:"grip" least:"0" doc:"Coefficient of friction on rock: an assumption"`
}

// Pressed is one point of a tyre's curve: how far the wheel's centre comes nearer to the ground under a load.
type Pressed struct {
	Pressed quantity.Length `rig:"pressed" required:"true" above:"0" doc:"How far the wheel's centre comes nearer to the ground"`
	Load    quantity.Force  `rig:"load" required:"true" above:"0" doc:"Load that it takes"`
	Place   Place           `rig:",place"`
}

// A Link holds an axle at a fixed distance between two eyes.
type Link struct {
	Axle   string           `rig:"axle" required:"true" enum:"front,rear" doc:"Axle it holds"`
	Pair   bool             `rig:"pair" doc:"There is a mirror twin at −y"`
	From   Ref              `rig:"from" required:"true" doc:"Chassis eye: part/hole"`
	To     Ref              `rig:"to" required:"true" doc:"Axle eye: part/hole"`
	Length *quantity.Length `rig:"length" above:"0" doc:"Eye to eye; or say rod and ends"`
	Rod    *RodUse          `rig:"rod" doc:"Rod it is made of"`
	Ends   []string         `rig:"ends" doc:"The two rod ends (bin items), chassis end first"`
	Turns  *float64         `rig:"turns" least:"0" doc:"Turns that the rod ends are unscrewed from fully home, both ends together"`
	Mass   *quantity.Mass   `rig:"mass" least:"0" doc:"Weight of the link with its ends"`
	Width  *quantity.Length `rig:"diameter" above:"0" doc:"Diameter, for drawing and clearance"`
	Bend   []Bend           `rig:"bend" doc:"Bends along the link, in order from the chassis eye"`
	Holes  Map[LinkHole]    `rig:"holes" doc:"Holes on the link itself, of a trailing arm"`
	Place  Place            `rig:",place"`
}

// RodUse names the rod of a link, or gives its length.
type RodUse struct {
	Item   string           `rig:"item" doc:"Bin item of kind rod"`
	Length *quantity.Length `rig:"length" above:"0" doc:"Length of the bare rod"`
	Place  Place            `rig:",place"`
}

// A Rod is what a bin says of a link rod.
type Rod struct {
	Length   quantity.Length  `rig:"length" required:"true" above:"0" doc:"Length of the bare rod"`
	Diameter quantity.Length  `rig:"diameter" required:"true" above:"0" doc:"Outer diameter"`
	Bore     *quantity.Length `rig:"bore" least:"0" doc:"Inner diameter of a tube"`
	Thread   string           `rig:"thread" doc:"Thread at both ends: M3, M4"`
}

// An End is what a bin says of a rod end.
type End struct {
	Adds   quantity.Length  `rig:"adds" required:"true" least:"0" doc:"What it adds to the rod, eye centre to rod face, screwed fully home"`
	Out    *quantity.Length `rig:"out" least:"0" doc:"How far it may be unscrewed and still hold"`
	Holds  *quantity.Length `rig:"holds" above:"0" doc:"Thread that is in the rod when screwed fully home"`
	Thread string           `rig:"thread" doc:"Thread: M3, M4"`
	Swing  *quantity.Angle  `rig:"swing" least:"0" doc:"How far the ball may swing from square to its bolt"`
	Bolt   string           `rig:"bolt" doc:"Bolt through the ball: M3"`
	Width  *quantity.Length `rig:"width" above:"0" doc:"Width of the ball between its faces"`
}

// A Bend is one bend of a link.
type Bend struct {
	Along quantity.Length `rig:"along" required:"true" doc:"From the chassis eye along the straight line between the eyes"`
	Rise  quantity.Length `rig:"rise" doc:"Off that line, in the plane of link and chassis z, positive up"`
	Side  quantity.Length `rig:"side" doc:"Off that line sideways, positive left"`
}

// A LinkHole is a hole on a link: along from the chassis eye, rise perpendicular in the plane of link and chassis z.
type LinkHole struct {
	Along quantity.Length `rig:"along" required:"true" doc:"From the chassis eye along the link"`
	Rise  quantity.Length `rig:"rise" doc:"Perpendicular to the link, positive up"`
	Bolt  string          `rig:"bolt" doc:"Bolt that goes through: M3"`
	Fastened
	Place Place `rig:",place"`
}

// A Damper is what a shock body says of itself.
type Damper struct {
	Open   *quantity.Length    `rig:"open" above:"0" doc:"Eye to eye, fully open"`
	Closed *quantity.Length    `rig:"closed" above:"0" doc:"Eye to eye, fully closed"`
	Oil    *quantity.Viscosity `rig:"oil" above:"0" doc:"Oil"`
	Bore   *quantity.Length    `rig:"bore" above:"0" doc:"Bore of the body"`
	Rod    *quantity.Length    `rig:"rod" above:"0" doc:"Diameter of the piston rod"`
	Piston *Piston             `rig:"piston" doc:"Piston"`
	Body   *quantity.Length    `rig:"body" above:"0" doc:"Outer diameter with spring, for drawing and clearance"`
	Ends   *quantity.Angle     `rig:"swing" least:"0" doc:"How far its ends may swing"`
	Eye    *quantity.Length    `rig:"eye" above:"0" doc:"Width of its eyes, or of the balls in them, between the faces"`
	Bolt   string              `rig:"bolt" doc:"Bolt through its eyes: M3"`
}

// A Piston is a damper's piston.
type Piston struct {
	Holes     int              `rig:"holes" least:"0" doc:"Number of holes"`
	Diameter  *quantity.Length `rig:"diameter" above:"0" doc:"Diameter of a hole"`
	Thickness *quantity.Length `rig:"thickness" above:"0" doc:"Length of a hole"`
	Gap       *quantity.Length `rig:"gap" least:"0" doc:"Radial gap to the bore"`
	Discharge *float64         `rig:"discharge" least:"0.2" most:"1" doc:"Discharge coefficient of its holes for fast oil: 0.67 when left out"`
	Closing   *OneWay          `rig:"compression" doc:"Further holes that a valve opens only while the shock closes"`
	Opening   *OneWay          `rig:"rebound" doc:"Further holes that a valve opens only while the shock opens"`
}

// OneWay holes pass oil in one direction only: a thin washer or a ball closes them in the other.
type OneWay struct {
	Holes    int             `rig:"holes" required:"true" least:"1" doc:"Number of holes"`
	Diameter quantity.Length `rig:"diameter" required:"true" above:"0" doc:"Diameter of a hole"`
}

// A Shock sits between two of chassis, axle and link.
type Shock struct {
	Item    string           `rig:"item" doc:"Bin item of kind shock whose fields are the defaults"`
	Axle    string           `rig:"axle" required:"true" enum:"front,rear" doc:"Axle it carries"`
	Pair    bool             `rig:"pair" doc:"There is a mirror twin at −y"`
	Top     Ref              `rig:"top" required:"true" doc:"Upper eye: part/hole"`
	Bottom  Ref              `rig:"bottom" required:"true" doc:"Lower eye: part/hole, or link/hole"`
	Set     *quantity.Length `rig:"set" above:"0" doc:"Eye to eye as it stands: places the axle as long as the document lacks what its springs need; afterwards a wish that the stance is held against"`
	Mass    *quantity.Mass   `rig:"mass" least:"0" doc:"Weight of one with its spring and oil"`
	Springs []Spring         `rig:"springs" doc:"Springs in series on this shock"`
	Above   []Spring         `rig:"above_piston" doc:"Springs inside the body above the piston, in series: they push the shock open once it is closed so far that they touch both ends of their chamber, which is as long as the stroke left"`
	Below   []Spring         `rig:"below_piston" doc:"Springs inside below the piston, in series: they pull the shock closed while it is open so far that they touch both ends of their chamber, which is as long as the stroke used"`
	Collar  *quantity.Length `rig:"collar" least:"0" doc:"How far the collar is screwed down from the springs being just free when fully open"`
	Damper
	Place Place `rig:",place"`
}

// A Spring is one coil spring.
type Spring struct {
	Item  string           `rig:"item" doc:"Bin item of kind spring whose fields are the defaults"`
	Rate  *quantity.Rate   `rig:"rate" above:"0" doc:"Spring rate"`
	Free  *quantity.Length `rig:"free" above:"0" doc:"Free length"`
	Solid *quantity.Length `rig:"solid" above:"0" doc:"Length when coil touches coil"`
	Place Place            `rig:",place"`
}

// A Shaft is a drive shaft between two outputs.
type Shaft struct {
	Item  string          `rig:"item" doc:"Bin item of kind shaft whose fields are the defaults"`
	From  Ref             `rig:"from" required:"true" doc:"Gearbox output: part/output"`
	To    Ref             `rig:"to" required:"true" doc:"Axle pinion: part/output"`
	Phase *quantity.Angle `rig:"phase" doc:"Angle between the two yokes on the shaft; 0 when they are in line"`
	Mass  *quantity.Mass  `rig:"mass" least:"0" doc:"Weight"`
	Coupling
	Place Place `rig:",place"`
}

// A Coupling is what a drive shaft says of itself, wherever it is fitted.
type Coupling struct {
	Closed  *quantity.Length `rig:"closed" above:"0" doc:"Joint centre to joint centre, pushed together"`
	Open    *quantity.Length `rig:"open" above:"0" doc:"Joint centre to joint centre, where the halves part"`
	Overlap *quantity.Length `rig:"overlap" least:"0" doc:"Spline that must stay engaged"`
	Joints  string           `rig:"joints" enum:"cardan,constant velocity" doc:"Kind of joints"`
	Limit   *quantity.Angle  `rig:"joint_limit" above:"0" doc:"Largest angle of a joint, 0 is straight"`
	Width   *quantity.Length `rig:"diameter" above:"0" doc:"Diameter, for drawing and clearance"`
	Torque  *quantity.Torque `rig:"torque" above:"0" doc:"Largest torque that its joints are made for"`
}

// A Bar is an anti-roll bar.
type Bar struct {
	Axle     string           `rig:"axle" required:"true" enum:"front,rear" doc:"Axle it acts on"`
	Wire     *quantity.Length `rig:"wire" above:"0" doc:"Wire diameter"`
	Span     *quantity.Length `rig:"span" above:"0" doc:"Length that twists, arm to arm"`
	Arm      *quantity.Length `rig:"arm" above:"0" doc:"Arm length, wire centre to drop-link eye"`
	Material string           `rig:"material" doc:"Material: spring steel when left out"`
	From     *Ref             `rig:"from" doc:"Left drop link's eye at the axle or link: part/hole"`
	Mass     *quantity.Mass   `rig:"mass" least:"0" doc:"Weight"`
	Place    Place            `rig:",place"`
}

// Steer is the steering of the front axle.
type Steer struct {
	Kingpin  *Kingpin        `rig:"kingpin" doc:"Left kingpin in the axle frame; the right one is its mirror image"`
	Arm      *Vec            `rig:"arm" doc:"Left tie-rod eye on the knuckle, in the axle frame, wheels straight ahead"`
	TieRod   *TieRod         `rig:"tie_rod" alone:"length" doc:"Rod between the two arms, or its length alone; the distance between the arms when left out"`
	DragLink *DragLink       `rig:"drag_link" doc:"Link from the servo horn to the knuckle or tie rod"`
	Servo    *Ref            `rig:"servo" doc:"Part that is the servo"`
	Horn     *Horn           `rig:"horn" doc:"Servo horn"`
	Lock     *quantity.Angle `rig:"lock" above:"0" doc:"Steering angle of the inner wheel at the stop"`
	Place    Place           `rig:",place"`
}

// Kingpin is a knuckle's axis.
type Kingpin struct {
	Upper Vec `rig:"upper" required:"true" doc:"Upper point"`
	Lower Vec `rig:"lower" required:"true" doc:"Lower point"`
}

// TieRod joins the two arms.
type TieRod struct {
	SteerRod
	Bolt  *EyeBolt `rig:"bolt" doc:"How each of its ends is bolted to its arm"`
	Place Place    `rig:",place"`
}

// DragLink joins the horn to a knuckle or to the tie rod.
type DragLink struct {
	To Vec    `rig:"to" required:"true" doc:"Far eye, in the axle frame, wheels straight ahead"`
	On string `rig:"on" enum:"left,right,tie rod" doc:"What the far eye moves with: left or right knuckle, or tie rod; the knuckle on its side of the middle when left out"`
	SteerRod
	Bolt   *EyeBolt `rig:"bolt" doc:"How its far end is bolted on; left out when it sits on the bolt of the tie rod's end"`
	ByHorn *EyeBolt `rig:"horn_bolt" doc:"How its near end is bolted to the horn"`
	Place  Place    `rig:",place"`
}

// SteerRod is what a rod of the steering is made of, in the keys of a link.
type SteerRod struct {
	Length *quantity.Length `rig:"length" above:"0" doc:"Eye to eye; what rod, ends and turns make, or what fits straight ahead, when left out"`
	Rod    *RodUse          `rig:"rod" doc:"Rod it is made of"`
	Ends   []string         `rig:"ends" doc:"The two rod ends (bin items): of a tie rod the left one first, of a drag link that at the horn"`
	Turns  *float64         `rig:"turns" least:"0" doc:"Turns that the rod ends are unscrewed from fully home, both ends together"`
	Mass   *quantity.Mass   `rig:"mass" least:"0" doc:"Weight with its ends; that of rod and ends when left out"`
	Width  *quantity.Length `rig:"diameter" above:"0" doc:"Diameter, for drawing and clearance; that of the rod when left out"`
}

// EyeBolt is the bolt through the end of a steering rod.
type EyeBolt struct {
	Bolt string           `rig:"bolt" doc:"Bolt that goes through: M3"`
	Slot *quantity.Length `rig:"slot" above:"0" doc:"Width between the two faces that the end sits between"`
	Fastened
	Place Place `rig:",place"`
}

// Horn is the servo's arm.
type Horn struct {
	At     Vec             `rig:"at" required:"true" doc:"Centre of the output in the servo's frame"`
	Axis   Dir             `rig:"axis" required:"true" doc:"Direction of the output shaft"`
	Eye    Vec             `rig:"eye" required:"true" doc:"Drag-link eye at the middle position, in the servo's frame"`
	Travel *quantity.Angle `rig:"travel" above:"0" doc:"Travel to one side"`
}

// Drive is the drive line.
type Drive struct {
	Motor      string           `rig:"motor" doc:"Part that is the motor"`
	Battery    string           `rig:"battery" doc:"Part that is the pack"`
	Controller string           `rig:"controller" doc:"Part that is the controller"`
	Stages     [][]string       `rig:"stages" doc:"Gear trains from motor to transfer case: parts of kind gear in mesh order"`
	Front      *Final           `rig:"front" doc:"Front axle's gears"`
	Rear       *Final           `rig:"rear" doc:"Rear axle's gears"`
	Turns      string           `rig:"turns" enum:"clockwise,anticlockwise" doc:"Which way the drive shafts turn when the rig drives forward, seen from behind: it follows from the side of the ring gear"`
	Efficiency *quantity.Share  `rig:"efficiency" above:"0" doc:"Efficiency of one mesh"`
	Slot       *Slot            `rig:"slot" doc:"What the slot of the motor mount allows between motor and spur axes"`
	Slipper    *quantity.Torque `rig:"slipper" above:"0" doc:"Torque at the spur at which the slipper clutch lets go; there is none when left out"`
	Wire       *Lead            `rig:"wire" doc:"Leads between pack and controller"`
	Profile    Map[Phase]       `rig:"profile" doc:"One round of the run over which heat and run time are worked out, its phases in their order"`
	Place      Place            `rig:",place"`
}

// Slot is how far the motor may be from the spur.
type Slot struct {
	From  quantity.Length `rig:"from" required:"true" above:"0" doc:"Smallest distance between the axes"`
	To    quantity.Length `rig:"to" required:"true" above:"0" doc:"Largest distance between the axes"`
	Place Place           `rig:",place"`
}

// Lead is a pair of copper wires.
type Lead struct {
	Gauge  int             `rig:"gauge" required:"true" above:"0" doc:"American wire gauge: 10, 12, 14, 16, 18 or 20"`
	Length quantity.Length `rig:"length" required:"true" above:"0" doc:"From pack to controller, one way"`
	Place  Place           `rig:",place"`
}

// Phase is one part of a run.
type Phase struct {
	Time     quantity.Duration `rig:"time" required:"true" above:"0" doc:"How long it takes each round"`
	Slope    *quantity.Angle   `rig:"slope" doc:"Climb; level when left out"`
	Throttle *quantity.Share   `rig:"throttle" above:"0" doc:"Share of full throttle; full when left out"`
	Slip     bool              `rig:"slip" doc:"All wheels slip meanwhile"`
	Place    Place             `rig:",place"`
}

// Final is the gearing in one axle.
type Final struct {
	Ring      int      `rig:"ring" above:"0" doc:"Teeth of the ring gear"`
	Pinion    int      `rig:"pinion" above:"0" doc:"Teeth of the pinion"`
	Gears     *Toothed `rig:"gears" doc:"Size of ring and pinion, bevel gears with crossing axes; module or pitch at their outer, larger end"`
	Portal    []int    `rig:"portal" doc:"Teeth of the portal gears, upper and lower"`
	Spurs     *Toothed `rig:"portal_gears" doc:"Size of the portal gears"`
	Half      *Axled   `rig:"half_shaft" doc:"The shafts from ring gear to wheel, or to the portal's upper gear, at their thinnest"`
	Stub      *Axled   `rig:"stub" doc:"The shafts that the wheels sit on, with the pin that drives the hex"`
	Overdrive *float64 `rig:"overdrive" above:"0" doc:"Speed-up of this axle against the other in the transfer case"`
	Diff      string   `rig:"diff" enum:"locked,open,one-way" doc:"What is between left and right"`
	Place     Place    `rig:",place"`
}

// Toothed is the size of a pair of gears, for their strength.
type Toothed struct {
	Module   *quantity.Length `rig:"module" above:"0" doc:"Module"`
	DP       *float64         `rig:"diametral_pitch" above:"0" doc:"Diametral pitch, per inch: 32, 48, 64"`
	Face     *quantity.Length `rig:"face" above:"0" doc:"Face width"`
	Material string           `rig:"material" doc:"Material of both: see material of a part"`
	Place    Place            `rig:",place"`
}

// Axled is a shaft within an axle, for its strength.
type Axled struct {
	Diameter *quantity.Length `rig:"diameter" above:"0" doc:"Diameter where it is thinnest"`
	Pin      *quantity.Length `rig:"pin" above:"0" doc:"Diameter of the cross pin through it"`
	Material string           `rig:"material" doc:"Material of shaft and pin: see material of a part; steel when left out"`
	Place    Place            `rig:",place"`
}

// Gear is one gear.
type Gear struct {
	Teeth    int              `rig:"teeth" required:"true" above:"0" doc:"Number of teeth"`
	Module   *quantity.Length `rig:"module" above:"0" doc:"Module"`
	DP       *float64         `rig:"diametral_pitch" above:"0" doc:"Diametral pitch, per inch: 32, 48, 64"`
	Pressure *quantity.Angle  `rig:"pressure_angle" above:"0" doc:"Pressure angle; 20° when left out"`
	Face     *quantity.Length `rig:"face" above:"0" doc:"Face width"`
	Bore     *quantity.Length `rig:"bore" above:"0" doc:"Bore"`
}

// Motor is an electric motor.
type Motor struct {
	Kv         *quantity.Kv         `rig:"kv" above:"0" doc:"Speed constant"`
	Resistance *quantity.Resistance `rig:"resistance" above:"0" doc:"Winding resistance"`
	NoLoad     *quantity.Current    `rig:"no_load_current" least:"0" doc:"Current without load"`
	Can        *quantity.Length     `rig:"can_diameter" above:"0" doc:"Diameter of the can"`
	Length     *quantity.Length     `rig:"can_length" above:"0" doc:"Length of the can"`
	Shaft      *quantity.Length     `rig:"shaft" above:"0" doc:"Diameter of the shaft"`
	ShaftLen   *quantity.Length     `rig:"shaft_length" above:"0" doc:"Length of the shaft out of the can"`
	Poles      int                  `rig:"poles" least:"0" doc:"Number of magnet poles"`
	MaxCurrent *quantity.Current    `rig:"max_current" above:"0" doc:"Largest continuous current"`
	MaxVolts   *quantity.Voltage    `rig:"max_voltage" above:"0" doc:"Largest voltage"`
	ToAir      *float64             `rig:"thermal_resistance" above:"0" doc:"From winding to air, K/W"`
	TimeConst  *quantity.Duration   `rig:"thermal_time" above:"0" doc:"Time constant of warming through"`
}

// Pack is a battery pack.
type Pack struct {
	Cells      int                  `rig:"cells" required:"true" above:"0" doc:"Cells in series"`
	Chemistry  string               `rig:"chemistry" enum:"lithium polymer,lithium ion,nickel metal hydride" doc:"Chemistry"`
	Capacity   *quantity.Charge     `rig:"capacity" above:"0" doc:"Capacity"`
	Resistance *quantity.Resistance `rig:"resistance" above:"0" doc:"Internal resistance of the whole pack"`
	MaxCurrent *quantity.Current    `rig:"max_current" above:"0" doc:"Largest continuous current"`
	Plug       string               `rig:"plug" doc:"Plug"`
}

// Controller is a speed controller.
type Controller struct {
	MaxCurrent *quantity.Current `rig:"max_current" above:"0" doc:"Largest continuous current"`
	CellsFrom  int               `rig:"cells_from" above:"0" doc:"Fewest lithium cells"`
	CellsTo    int               `rig:"cells_to" above:"0" doc:"Most lithium cells"`
	DragBrake  *quantity.Share   `rig:"drag_brake" least:"0" doc:"Drag brake"`
	Plug       string            `rig:"plug" doc:"Plug"`
}

// Servo is a servo's rating.
type Servo struct {
	Torque *quantity.Torque  `rig:"torque" above:"0" doc:"Stall torque at the voltage given"`
	Volts  *quantity.Voltage `rig:"voltage" above:"0" doc:"Supply voltage of the rating"`
	Speed  *float64          `rig:"seconds_per_60" above:"0" doc:"Seconds for 60°"`
}

// Bearing is a ball bearing, ISO 15 sizes.
type Bearing struct {
	Bore  quantity.Length `rig:"bore" required:"true" above:"0" doc:"Bore d"`
	Outer quantity.Length `rig:"outer" required:"true" above:"0" doc:"Outside diameter D"`
	Width quantity.Length `rig:"width" required:"true" above:"0" doc:"Width B"`
}

// Screw is a screw, nut or washer.
type Screw struct {
	Thread string           `rig:"thread" required:"true" doc:"Thread: M3"`
	Length *quantity.Length `rig:"length" above:"0" doc:"Length under the head"`
	Head   string           `rig:"head" enum:"socket,button,countersunk,set,hex" doc:"Head"`
}

// A Port is where two parts meet, with the dimensions that decide whether they go together.
type Port struct {
	Type     string           `rig:"type" required:"true" enum:"shaft,bore,gear,seat,bearing,journal,pin,pin hole,male thread,female thread,clearance hole,pattern,spline,hex,plug,cells" doc:"Type of port"`
	Needed   bool             `rig:"needed" doc:"Something must be mated to it"`
	At       *Vec             `rig:"at" doc:"Place in the part's frame"`
	Axis     *Dir             `rig:"axis" doc:"Direction"`
	Diameter *quantity.Length `rig:"diameter" above:"0" doc:"Diameter"`
	Length   *quantity.Length `rig:"length" above:"0" doc:"Length or depth"`
	Width    *quantity.Length `rig:"width" above:"0" doc:"Width, across flats of a hex"`
	Thread   string           `rig:"thread" doc:"Thread: M3"`
	Flat     bool             `rig:"flat" doc:"Has a flat for a grub screw"`
	Blind    bool             `rig:"blind" doc:"A hole that does not go through"`
	Circle   *quantity.Length `rig:"circle" above:"0" doc:"Bolt circle diameter of a pattern"`
	Holes    int              `rig:"holes" least:"0" doc:"Number of holes of a pattern, teeth of a spline"`
	Room     *quantity.Length `rig:"room" above:"0" doc:"Behind a pattern: the longest motor can that goes in"`
	Around   *quantity.Length `rig:"around" above:"0" doc:"Behind a pattern: the thickest motor can that goes in"`
	Grid     *Point           `rig:"grid" doc:"Distances between the holes of a pattern in a rectangle, as a servo's: [along, across]"`
	Body     *Point           `rig:"body" doc:"What goes through the opening inside such a pattern: [along, across]"`
	Opening  *Point           `rig:"opening" doc:"Opening inside such a pattern: [along, across]"`
	Bearing  string           `rig:"bearing" doc:"Bearing size that a seat takes, bore x outer x width: 5x11x4"`
	Plug     string           `rig:"plug" doc:"Plug"`
	From     *float64         `rig:"from" doc:"Least number of cells"`
	To       *float64         `rig:"to" doc:"Largest number of cells"`
	Material string           `rig:"material" doc:"Material around a thread"`
	Place    Place            `rig:",place"`
}

// A Target is a range that a number should be in. Write about/within, or from, or to, or from and to, in the number's own
// dimension.
type Target struct {
	About  *Quantity `rig:"about" doc:"The wanted value"`
	Within *Quantity `rig:"within" doc:"Half the width of the range about it"`
	From   *Quantity `rig:"from" doc:"Least value"`
	To     *Quantity `rig:"to" doc:"Largest value"`
	Level  string    `rig:"level" enum:"stop,watch" doc:"How bad a miss is; stop when left out"`
	Place  Place     `rig:",place"`
}

// Search says what search may change, what a build must reach besides the targets, and what is better.
type Search struct {
	Vary   Map[Choice] `rig:"vary" doc:"What may change, each choice under a name of the builder's own"`
	Wants  Map[Target] `rig:"wants" doc:"What a build must reach, by the name of a number; besides the targets, which count as wants unless their level is watch, and in place of one of the same name"`
	Prefer Map[string] `rig:"prefer" enum:"lower,higher,middle" doc:"Which way a number is better, by its name, most important first: lower, higher, or near the middle of what is wanted of it; price, then new parts when left out"`
	Most   *float64    `rig:"most" above:"0" doc:"Largest number of combinations to go through; 1000000000 when left out"`
	Place  Place       `rig:",place"`
}

// A Choice is one thing that search may change. Exactly one way to say what it may become is written: among, kind, holes_of, or from,
// to and step. What the document has now is always one of them.
type Choice struct {
	Change string    `rig:"change" required:"true" doc:"Path in the document of what may change: links/rear lower/rod/item"`
	Also   []string  `rig:"also" doc:"Paths that always become the same as it"`
	Among  []Value   `rig:"among" doc:"Values it may become, as they would be written there; a map changes only the keys it has"`
	Kind   string    `rig:"kind" enum:"motor,battery,controller,servo,tyre,wheel,rod,rod end,shock,spring,shaft,gear,bearing,screw,nut,washer,pin,spacer" doc:"Any bin item of this kind"`
	Thread string    `rig:"thread" doc:"Of those only what has this thread: M3"`
	Drawer bool      `rig:"in_drawer" doc:"Of those only what lies in the drawer"`
	Holes  string    `rig:"holes_of" doc:"Any hole of this part"`
	Named  string    `rig:"named" doc:"Of those only what has this in its name"`
	From   *Quantity `rig:"from" doc:"Least value"`
	To     *Quantity `rig:"to" doc:"Largest value"`
	Step   *Quantity `rig:"step" doc:"From one value to the next; without it any value between will do"`
	Place  Place     `rig:",place"`
}

// A Bin is a catalogue of items.
type Bin struct {
	Lowslung int       `rig:"lowslung" required:"true" doc:"Version of this format: 1"`
	Name     string    `rig:"name" doc:"Name of the bin"`
	Notes    string    `rig:"notes" doc:"Free text"`
	Items    Map[Part] `rig:"items" doc:"Items by id"`
	Place    Place     `rig:",place"`
}
