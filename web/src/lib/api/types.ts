/**
 * The shapes of what the program answers, under the names the page uses: taken from the program's own description of itself
 * (schema.d.ts, made by `npm run types`). That description cannot say that a whole object may be missing; here it is said.
 */
import type { components } from './schema';

type Named = components['schemas'];

/** T with null allowed at the keys K: what the program's comments call "null when …". */
type Nullable<T, K extends keyof T> = Omit<T, K> & { [P in K]: T[P] | null };

export type Level = Named['Finding']['level'];
export type End = 'front' | 'rear';
export type Carrier = Named['Body']['carrier'];

export type Finding = Named['Finding'];
export type Mistake = Named['Mistake'];
export type RigCard = Named['Card'];
export type Rig = Named['Rig'];
export type Revision = Named['Revision'];
export type Change = Named['Change'];
export type PartHole = Named['PartHole'];
export type Part = Named['Part'];
export type Assembly = Named['Assembly'];
export type BinItem = Named['Item'];
export type Channel = Named['Channel'];

export type AxlePose = Named['TravelAxlePose'];
export type Rates = Named['TravelRates'];
export type TravelAxle = Omit<Nullable<Named['TravelAxle'], 'limits'>, 'design'> & {
  design: Nullable<Named['TravelDesign'], 'rates'>;
};
export type Travel = Omit<Named['TravelAnswer'], 'axles'> & { axles: Partial<Record<End, TravelAxle>> };

export type Corners = Named['BalanceCorners'];
export type Angles = Named['BalanceAngles'];
export type Sensitivity = Named['BalanceSensitivity'];
export type Balance = Nullable<Named['BalanceAnswer'], 'corner_loads_n' | 'tip_side_deg'>;

export type Joint = Named['MatesJoint'];
export type Unmet = Named['MatesUnmet'];
export type Bolt = Named['MatesBolt'];
export type Piece = Named['MatesPiece'];
export type Step = Named['MatesStep'];
export type Mates = Named['MatesAnswer'];
export type Order = Named['ShopOrder'];
export type Cut = Named['ShopCut'];
export type Templates = Named['ShopTemplates'];
export type Prints = Named['ShopPrints'];
export type Work = Named['ShopWork'];
export type Strength = Named['ShopStrength'];
export type Weighed = Omit<Named['ShopWeighed'], 'center_of_mass_mm'> & {
  center_of_mass_mm: Named['ShopWeighed']['center_of_mass_mm'] | null;
};
export type ExportFormat = Named['ExportFormat'];

export type SteerPoint = Named['SteerPoint'];
export type SteerLock = Named['SteerLock'];
export type Steer = Nullable<Named['SteerAnswer'], 'kingpin' | 'middle' | 'locks' | 'bumps' | 'servo'>;

export type RidePose = Named['RidePose'];
export type RidePoseWheel = Named['RidePoseWheel'];
export type WorkshopMesh = Named['Mesh'];
export type RideRidge = Named['RideRidge'];
export type PoseJoints = Named['RidePoseShaft'];
export type Stance = Named['RideStance'];
export type Tilting = Named['RideTilting'];
export type Tilt = Named['RideTilt'];
export type Leaning = Named['RideLeaning'];
export type Raised = Named['RideRaised'];
export type Ramp = Nullable<Named['RideRamp'], 'right'>;
export type Holding = Named['RideHolding'];
export type Twist = Named['RideTorque'];
export type Damping = Named['RideDamping'];
export type SideViews = Nullable<Named['RideAngles'], 'full_bump'>;
export type RideSetting = Named['RideSetting'];
export type RideWish = Nullable<Named['RideWish'], 'front' | 'rear' | 'oil'>;
export type Ride = Omit<
  Nullable<Named['RideAnswer'], 'stance' | 'tilt' | 'cross_axle' | 'torque'>,
  'ramp' | 'angles' | 'wish'
> & { ramp: Ramp | null; angles: SideViews | null; wish: RideWish | null };

export type WorkingPoint = Named['DrivePoint'];
export type Pinion = Named['DrivePinion'];
export type GearStage = Named['DriveStage'];
export type Drive = Nullable<Named['DriveAnswer'], 'motor' | 'wind_up' | 'control' | 'brake'>;

export type RocksFrame = Named['RocksFrame'];
export type RocksBlock = Named['RocksBlock'];
export type RocksField = Named['RocksField'];
export type RocksEnded = Named['RocksEnded'];
export type RocksLimit = Named['RocksLimit'];
export type RocksCourse = Nullable<Named['RocksCourse'], 'field'>;
export type RocksRun = Omit<Named['RocksRun'], 'course'> & { course: RocksCourse | null };
export type Rocks = Omit<Nullable<Named['RocksAnswer'], 'grip' | 'by_grip'>, 'run' | 'against'> & {
  run: RocksRun | null;
  against: (Omit<Named['RocksAgainst'], 'run'> & { run: RocksRun | null }) | null;
};

export type SearchSection = Named['SearchSection'];
export type SearchOffer = Named['SearchOffer'];
export type SearchRun = Named['RunsRun'];
export type SearchBuild = Named['SearchBuild'];
export type SearchNumber = Named['SearchNumber'];
export type SearchAnswer = Nullable<Named['SearchAnswer'], 'loosen'>;
export type Bands = Named['ToleranceAnswer'];

export type BenchReading = Named['BenchReading'];
export type BenchRow = Named['BenchRow'];
export type BenchSheet = Named['BenchSheet'];
export type BenchAnswer = Nullable<Named['BenchAnswer'], 'agreement' | 'without'>;

export type Lengths = Nullable<Named['Lengths'], 'wish'>;
export type Clearance = Named['TravelClearance'];
export type GapAt = Named['TravelGapAt'];

export type Check = Omit<Named['CheckOutBody'], 'answers'> & {
  answers: { mates: Mates; travel: Travel; steer: Steer; balance: Balance; ride: Ride; drive: Drive };
};
export type CompareAnswer = Named['CompareAnswer'];

export type Shape = Named['Shape'];
export type Body = Named['Body'];
export type StageLink = Named['StageLink'];
export type StageShock = Named['StageShock'];
export type StageShaft = Named['StageShaft'];
export type AxleState = Nullable<Named['AxleState'], 'pose' | 'rates' | 'roll_axis'>;
export type Axles = Record<End, AxleState>;
export type Stage = Omit<Nullable<Named['Stage'], 'corner_loads_n'>, 'axles'> & { axles: Axles };
export type PullAnswer = { axle: AxleState; stopped: Named['Stopped'] | null };

export type GuideQuestion = Named['Question'];
