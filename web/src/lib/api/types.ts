/** The shapes of what the program answers, under the names the page uses. All keys carry their units. */

export type Level = 'stop' | 'watch' | 'note' | 'ok';
export type End = 'front' | 'rear';
export type Vec3 = number[];

export interface Finding {
  code: string;
  level: Level;
  sentence: string;
  about?: string[];
  cure?: string;
}

export interface RigCard {
  id: string;
  file: string;
  name: string;
  base: string;
  revision: number;
  saved_at: string;
  worst: Level;
}

export interface Rig {
  id: string;
  file: string;
  name: string;
  base: string;
  text: string;
  revision: number;
  hash: string;
  can_undo: boolean;
  can_redo: boolean;
  saved_at: string;
  why: string;
}

export interface Revision {
  number: number;
  saved_at: string;
  why: string;
  hash: string;
  current: boolean;
}

export interface Change {
  path: string[];
  value?: string;
  remove?: boolean;
}

export interface PartHole {
  name: string;
  at_mm: Vec3;
  pair: boolean;
  bolt: string;
}

export interface Part {
  path: string[];
  name: string;
  kind: string;
  item: string;
  pair: boolean;
  mass_g: number | null;
  mass_from: 'document' | 'item' | 'none';
  at_mm: Vec3 | null;
  on: string;
  holes: PartHole[];
  inherited: boolean;
  text: { mass?: string; at?: string; [key: string]: string | undefined };
}

export interface Assembly {
  word: string;
  mass_g: number;
  parts: Part[];
}

export interface BinItem {
  bin: string;
  id: string;
  title: string;
  kind: string;
  mass_g: number | null;
  price: number | null;
  currency: string;
  have: number | null;
  text: string;
}

export interface LinkState {
  name: string;
  side: string;
  length_mm: number;
  stretch_mm: number;
}

export interface Design {
  source: string;
  solved: boolean;
  x_mm: number;
  y_mm: number;
  z_mm: number;
  pinion_angle_deg: number;
  wheelbase_mm: number | null;
  links: LinkState[];
}

export interface ShockState {
  name: string;
  side: string;
  length_mm: number;
  stroke_left_mm: number | null;
  droop_left_mm: number | null;
  lean_side_deg: number;
  lean_front_deg: number;
  motion_ratio: number;
  roll_rate_mm_per_deg: number;
}

export interface AxlePose {
  heave_mm: number;
  roll_deg: number;
  x_mm: number;
  y_mm: number;
  z_mm: number;
  steer_deg: number;
  spin_deg: number;
  pinion_angle_deg: number;
  pinion_change_deg: number;
  wheelbase_mm: number | null;
  left_wheel_z_mm: number | null;
  right_wheel_z_mm: number | null;
  stretch_mm: number;
  shocks: ShockState[];
}

export interface Rates {
  heave_mm: number;
  side_slope: number;
  anti_squat_pct?: number | null;
  anti_lift_pct?: number | null;
  instant_center_x_mm: number | null;
  instant_center_z_mm: number | null;
  roll_center_height_mm: number | null;
  roll_axis_deg: number;
  roll_steer_deg_per_deg: number;
  play_lateral_mm: number;
  play_steer_deg: number;
}

export interface TravelAxle {
  design: Design;
  poses: AxlePose[];
  unreached: { heave_mm: number; roll_deg: number; why: string }[];
  rates: Rates[];
}

export interface Travel {
  axles: { front?: TravelAxle; rear?: TravelAxle };
  findings: Finding[];
}

export interface Corners {
  front_left: number;
  front_right: number;
  rear_left: number;
  rear_right: number;
}

export interface Angles {
  left_deg: number;
  right_deg: number;
  nose_up_deg: number;
  nose_down_deg: number;
}

export interface Weight {
  path: string;
  name: string;
  mass_g: number;
  at_mm: Vec3;
  sprung: number;
}

export interface Sensitivity {
  path: string;
  name: string;
  add_10_g: Angles;
  forward_5_mm: Angles;
  left_5_mm: Angles;
  down_5_mm: Angles;
}

export interface Balance {
  mass_kg: number;
  sprung_mass_kg: number;
  unsprung_mass_kg: number;
  center_of_mass_mm: Vec3;
  center_of_mass_height_mm: number | null;
  inertia_kg_mm2: number[];
  wheelbase_mm: number | null;
  ground_pitch_deg: number | null;
  front_share: number | null;
  corner_loads_n: Corners | null;
  static_stability_factor: number | null;
  tip_side_deg: { left: number; right: number } | null;
  tip_nose_up_deg: number | null;
  tip_nose_down_deg: number | null;
  weightless: { path: string; name: string; estimate_g: number | null; estimate_of: string }[];
  parts: Weight[];
  sensitivity: Sensitivity[];
  findings: Finding[];
}

export interface NumberAnswer {
  name: string;
  word: string;
  value: number;
  unit: string;
  text: string;
}

export interface Check {
  answers: { travel: Travel; balance: Balance };
  findings: Finding[];
  numbers: NumberAnswer[];
  words: { word: string; worst: Level; count: number }[];
}

export interface Shape {
  kind: 'box' | 'cylinder' | 'prism' | 'capsule' | 'disc';
  at_mm: Vec3;
  turn: number[];
  flip: boolean;
  size_mm: Vec3;
  outline_mm?: number[][] | null;
}

export type Carrier = 'chassis' | 'front' | 'rear';

export interface StageHole {
  name: string;
  ref: string;
  side: string;
  at_mm: Vec3;
  axis: Vec3;
  bolt: string;
}

export interface Body {
  path: string[];
  name: string;
  kind: string;
  side: string;
  carrier: Carrier;
  shapes: Shape[];
  holes: StageHole[];
}

export interface StageLink {
  name: string;
  path: string[];
  side: string;
  axle: End;
  from_mm: Vec3;
  to_mm: Vec3;
  from: string;
  to: string;
  diameter_mm: number;
  length_mm: number;
  bends: number[][];
}

export interface StageShock {
  name: string;
  path: string[];
  side: string;
  axle: End;
  diameter_mm: number;
  open_mm: number;
  closed_mm: number;
}

export interface StageShaft {
  name: string;
  path: string[];
  axle: End;
  from_mm: Vec3;
  to_mm: Vec3;
  diameter_mm: number;
}

export interface ShockPlace {
  name: string;
  side: string;
  top_mm: Vec3;
  bottom_mm: Vec3;
  length_mm: number;
  stroke_left_mm: number | null;
  droop_left_mm: number | null;
}

export interface AxleState {
  present: boolean;
  solved: boolean;
  origin_mm: Vec3;
  turn: number[];
  half_track_mm: number;
  tyre_radius_mm: number;
  tyre_width_mm: number;
  pose: AxlePose | null;
  rates: Rates | null;
  instant_center_mm: number[] | null;
  roll_axis: { point_mm: Vec3; direction: Vec3 } | null;
  shocks: ShockPlace[];
  left_bump_mm: number;
  right_bump_mm: number;
  stopped_by: string;
}

export interface Stage {
  name: string;
  tyres: boolean;
  ground: { known: boolean; pitch_deg: number; below_mm: number; point_mm: Vec3; up: Vec3 };
  bodies: Body[];
  links: StageLink[];
  shocks: StageShock[];
  shafts: StageShaft[];
  center_of_mass_mm: Vec3 | null;
  mass_g: number;
  corner_loads_n: Corners | null;
  axles: { front: AxleState; rear: AxleState };
}

export interface PullAnswer {
  axle: AxleState;
  stopped: { asked_left_mm: number; asked_right_mm: number; why: string } | null;
}

export interface Channel {
  name: string;
  word: string;
  unit: string;
  unit_us: string;
  digits: number;
  doc: string;
  sense: 'higher' | 'lower' | '' | string;
}

export interface GuideQuestion {
  key: string;
  ask: string;
  help: string;
  unit: string;
  least: number;
  most: number;
  usual: number;
  drawing: string;
}

export interface Mistake {
  message: string;
  location?: string;
  file?: string;
  line?: number;
  column?: number;
  code?: string;
}
