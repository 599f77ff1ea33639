import CameraControls from 'camera-controls';
import {
  Box3,
  DirectionalLight,
  Group,
  HemisphereLight,
  LineSegments,
  Matrix4,
  Mesh,
  PCFShadowMap,
  PerspectiveCamera,
  PlaneGeometry,
  Quaternion,
  Raycaster,
  Scene,
  ShadowMaterial,
  Sphere,
  Spherical,
  Vector2,
  Vector3,
  Vector4,
  WebGLRenderer,
} from 'three';
import type { AxleState, Carrier, End, RidePose, RocksFrame, Stage } from '$lib/api/types';
import type { Look } from '$lib/state/settings.svelte';
import { gapMarks, type Gap } from './gaps';
import { GhostRig } from './ghost';
import { jointWords } from './joints';
import { Labels, type Label } from './labels';
import { ink, Materials } from './look';
import { grid, scrap, swingMarks, weightMarks, wheelCentre } from './marks';
import { toVec, type Picked } from './moving';
import { Pace } from './pace';
import { ghostOf, RigModel } from './rig';
import { drivenAxles, drivenFrame, drivenMarks, drivenWords, follow, rockOf, upright, type Driven } from './rocks';
import { boardFrame, groundMarks, posedAxles, posedFrame, stanceWords, type Posed } from './stance';
import { stageWords, type Said } from './words';

CameraControls.install({
  THREE: { Vector2, Vector3, Vector4, Quaternion, Matrix4, Spherical, Box3, Sphere, Raycaster },
});

export type View = 'side' | 'front' | 'top' | 'free';

export interface Layers {
  weight: boolean;
  swing: boolean;
  joints: boolean;
  other: boolean;
}

export interface Heard {
  picked(what: Picked | null): void;
  hover(what: Picked | null): void;
  /** A wheel is held and wants to go to bump, mm. */
  pull(axle: End, side: 'left' | 'right', bump: number, both: boolean): void;
}

/** Frees lines that wear a shared material. */
function scrapLines(group: Group): void {
  group.traverse((o) => {
    if (o instanceof LineSegments) o.geometry.dispose();
  });
}

const reduced = matchMedia('(prefers-reduced-motion: reduce)');

/** The picture: draws only when something changed. */
export class StageScene {
  #renderer: WebGLRenderer;
  #pace: Pace;
  #scene = new Scene();
  #camera = new PerspectiveCamera(24, 1, 20, 6000);
  #controls: CameraControls;
  #materials = new Materials();
  #board = new Group(); // what the rig stands on, turned when it is a tilted board
  #world = new Group(); // chassis frame, laid so that the ground is at z = 0 of the board
  #rig: RigModel | null = null;
  #ghost: Group | null = null;
  #other: GhostRig | null = null;
  #marks = new Group(); // in the chassis frame
  #under = new Group(); // in the frame of the board
  #grid: LineSegments | null = null;
  #sun = new DirectionalLight(0xffffff, 2.1);
  #fill = new DirectionalLight(0xffffff, 0.7);
  #sky = new HemisphereLight(0xffffff, 0xffffff, 1.5);
  #shade = new Mesh(new PlaneGeometry(1400, 1000), new ShadowMaterial({ transparent: true, depthWrite: false }));
  #labels: Labels;
  #drawn = 0; // when the last frame was drawn, ms
  #canvas: HTMLCanvasElement;
  #heard: Heard;
  #frame = 0;
  #preparing = false;
  #offering: Carrier | null = null;
  #size = { width: 1, height: 1 };
  #axles: { front: AxleState; rear: AxleState } | null = null;
  #layers: Layers = { weight: false, swing: false, joints: false, other: false };
  #look: Look = 'light';
  #view: View = 'free';
  #said: Said | null = null;
  #pulled: { front: AxleState; rear: AxleState } | null = null;
  #posed: Posed | null = null;
  #driven: Driven | null = null;
  #rock: Group | null = null; // of the run that is shown
  #rockOf: unknown = null;
  #gaps: Gap[] = [];
  #markWords: Label[] = [];
  #hovered: Picked | null = null;
  #drag: { axle: End; side: 'left' | 'right'; y: number; bump: number; scale: number; id: number } | null = null;
  #down: { x: number; y: number } | null = null;
  #both: () => boolean = () => false;
  #stop: (() => void)[] = [];

  constructor(canvas: HTMLCanvasElement, overlay: HTMLElement, heard: Heard, both: () => boolean) {
    this.#canvas = canvas;
    this.#heard = heard;
    this.#both = both;
    this.#labels = new Labels(overlay);
    this.#renderer = new WebGLRenderer({ canvas, antialias: true, alpha: true, powerPreference: 'high-performance' });
    this.#pace = new Pace(this.#renderer.getContext(), () => {
      this.#renderer.shadowMap.needsUpdate = true;
      this.#draw();
    });
    this.#renderer.shadowMap.enabled = true;
    this.#renderer.shadowMap.type = PCFShadowMap;
    this.#renderer.shadowMap.autoUpdate = false;
    this.#camera.up.set(0, 0, 1);
    this.#listenForWheels();
    this.#controls = new CameraControls(this.#camera, canvas);
    this.#controls.updateCameraUp();
    this.#controls.minDistance = 180;
    this.#controls.maxDistance = 3500;
    this.#controls.maxPolarAngle = Math.PI * 0.62;
    this.#controls.dollyToCursor = true;
    this.#controls.smoothTime = 0.16;
    this.#controls.draggingSmoothTime = 0.06;
    for (const moved of ['control', 'update'] as const) {
      this.#controls.addEventListener(moved, () => {
        this.#pace.moved();
        this.#draw();
      });
    }

    this.#sun.castShadow = true;
    this.#sun.shadow.mapSize.set(1024, 1024);
    this.#sun.shadow.radius = 5;
    this.#sun.shadow.bias = -0.0006;
    this.#sun.shadow.normalBias = 0.6;
    this.#sun.position.set(260, -320, 620);
    const s = this.#sun.shadow.camera;
    s.left = s.bottom = -320;
    s.right = s.top = 320;
    s.near = 100;
    s.far = 1300;
    this.#fill.position.set(-400, 350, 240);
    this.#shade.receiveShadow = true;
    this.#shade.raycast = () => undefined;
    this.#scene.add(this.#sky, this.#sun, this.#fill, this.#board);
    this.#board.add(this.#shade, this.#world, this.#under);
    this.#board.matrixAutoUpdate = false;
    this.#world.matrixAutoUpdate = false;
    this.#world.add(this.#marks);

    const watch = new ResizeObserver(() => this.#resize());
    watch.observe(canvas.parentElement ?? canvas);
    this.#stop.push(() => watch.disconnect());
    this.#resize();
  }

  /** Takes a stage; the camera stays unless it is the first one. */
  setStage(stage: Stage, first: boolean): void {
    if (first) this.#pace.moved(); // a coarse picture comes first where drawing is slow
    if (this.#rig?.same(stage)) this.#rig.stage = stage;
    else {
      if (this.#rig) {
        this.#world.remove(this.#rig.root);
        this.#rig.dispose();
      }
      this.#rig = new RigModel(stage, this.#materials);
      this.#world.add(this.#rig.root);
    }
    this.#pulled = stage.axles;
    this.#stand();
    if (first) this.view('free', false);
    if (first) this.#prepare();
  }

  /** Puts chassis, axles and board where they are to be seen: as pulled, or as it stands on its springs. */
  #stand(): void {
    const stage = this.#rig?.stage;
    if (!stage || !this.#pulled) return;
    const p = this.#posed;
    const d = this.#driven;
    this.#layRock(d);
    this.#axles = d ? drivenAxles(stage.axles, d.frame) : p ? posedAxles(stage.axles, p.row.pose) : this.#pulled;
    this.#rig?.place(this.#axles);
    if (d) this.#rig?.steer({ left: d.frame.steer_deg, right: d.frame.steer_deg });
    this.#world.matrix.copy(d ? drivenFrame(d.frame) : p ? posedFrame(p.row.pose, p.home) : this.#designFrame(stage));
    this.#world.matrixWorldNeedsUpdate = true;
    if (d) this.#board.matrix.copy(upright(d.frame));
    else if (p) this.#board.matrix.copy(boardFrame(p.row.pose));
    else this.#board.matrix.identity();
    this.#board.matrixWorldNeedsUpdate = true;
    scrap(this.#under);
    if (d) {
      if (this.#layers.weight) this.#under.add(drivenMarks(d, this.#look));
    } else if (p) this.#under.add(groundMarks(p, this.#axles, this.#look));
    this.#remark();
  }

  /** The rock of a run in the place of the level ground, moved so that the rig stays in the picture. */
  #layRock(d: Driven | null): void {
    const key = d ? `${this.#look}` : null;
    if (this.#rock && (!d || this.#rockOf !== d.course || this.#rock.name !== key)) {
      this.#board.remove(this.#rock);
      scrap(this.#rock);
      this.#rock = null;
    }
    if (d && !this.#rock) {
      this.#rock = rockOf(d.course, this.#look);
      this.#rock.name = key ?? '';
      this.#rockOf = d.course;
      this.#board.add(this.#rock);
    }
    if (d && this.#rock) this.#rock.position.copy(follow(d.frame));
    this.#shade.visible = !d;
    if (this.#grid) this.#grid.visible = !d;
  }

  /** One instant of a run over rock; null for what is shown without. */
  setDriven(driven: Driven | null): void {
    if (!driven && !this.#driven) return;
    const lean = (d: Driven | null): number => (d ? Math.sign(d.course.lean_deg) : 0);
    // Seen from the side that is down: from the other one would look at the rock from below.
    const anew = !this.#driven || !driven || lean(this.#driven) !== lean(driven);
    this.#driven = driven;
    if (!driven) this.#rig?.steer(null);
    if (this.#rig) this.#pace.moved();
    this.#stand();
    if (anew) this.view(this.#view, false);
  }

  #designFrame(stage: Stage): Matrix4 {
    const up = toVec(stage.ground.up);
    const level = new Matrix4().makeRotationFromQuaternion(
      new Quaternion().setFromUnitVectors(
        up.lengthSq() > 0.5 ? up.normalize() : new Vector3(0, 0, 1),
        new Vector3(0, 0, 1),
      ),
    );
    const low = stage.ground.known
      ? toVec(stage.ground.point_mm)
      : new Vector3(0, 0, Math.min(0, stage.ground.below_mm || 0));
    const z = low.applyMatrix4(level).z;
    return new Matrix4().makeTranslation(0, 0, -z).multiply(level);
  }

  /** The rig at rest on its springs; null for the pulled pose. */
  setPosed(posed: Posed | null): void {
    if (!posed && !this.#posed) return;
    this.#posed = posed;
    if (this.#rig) this.#pace.moved();
    this.#stand();
  }

  /** Turns of the front knuckles about their kingpins, degrees. */
  steer(turn: { left: number; right: number } | null): void {
    this.#rig?.steer(turn);
    this.#pace.moved();
    this.#draw();
  }

  setLook(look: Look, gridStep: number): void {
    this.#look = look;
    this.#materials.wear(look);
    this.#sky.color.set(ink[look].sky);
    this.#sky.groundColor.set(ink[look].earth);
    this.#sky.intensity = look === 'dark' ? 1.9 : 1.7;
    (this.#shade.material as ShadowMaterial).opacity = ink[look].shade;
    if (this.#grid) {
      this.#board.remove(this.#grid);
      this.#grid.geometry.dispose();
    }
    this.#grid = grid(gridStep, look);
    this.#board.add(this.#grid);
    this.#grid.visible = !this.#driven;
    this.#stand();
    this.#remark();
  }

  place(axles: { front: AxleState; rear: AxleState }): void {
    this.#pulled = axles;
    if (this.#posed) return;
    this.#pace.moved();
    this.#stand();
  }

  /** The compared build: at its design pose over mine, or, with a pose, standing on its springs on the same board. */
  setGhost(
    stage: Stage | null,
    posed: { pose: RidePose; home: number[] } | null = null,
    driven: { frame: RocksFrame; by: RocksFrame } | null = null,
  ): void {
    if (this.#ghost) {
      this.#world.remove(this.#ghost);
      scrapLines(this.#ghost);
      this.#ghost = null;
    }
    if (this.#other && ((!posed && !driven) || this.#other.stage !== stage)) {
      this.#board.remove(this.#other.root);
      this.#other.dispose();
      this.#other = null;
    }
    if (stage && driven) {
      this.#other ??= new GhostRig(stage, this.#materials);
      this.#board.add(this.#other.root);
      this.#other.place(drivenAxles(stage.axles, driven.frame), drivenFrame(driven.frame, driven.by));
    } else if (stage && posed) {
      this.#other ??= new GhostRig(stage, this.#materials);
      this.#board.add(this.#other.root);
      this.#other.place(posedAxles(stage.axles, posed.pose), posedFrame(posed.pose, posed.home));
    } else if (stage) {
      this.#ghost = ghostOf(stage, this.#rig?.stage ?? null, this.#materials);
      this.#world.add(this.#ghost);
    }
    this.#draw();
  }

  setLayers(layers: Layers): void {
    this.#layers = layers;
    if (this.#driven) this.#stand();
    else this.#remark();
  }

  /** Gaps between things as dimension lines. */
  setGaps(gaps: Gap[]): void {
    this.#gaps = gaps;
    this.#remark();
  }

  /** What the pull and the weights have to say; numbers come written. */
  write(said: Said): void {
    this.#said = said;
    this.#remark();
  }

  light(paths: string[]): void {
    this.#rig?.light(paths);
    this.#draw();
  }

  offer(carrier: Carrier | null): void {
    this.#offering = carrier;
    this.#rig?.offer(carrier);
    this.#draw();
  }

  /** Looks at the whole rig from one side. */
  view(view: View, smooth = true): void {
    this.#view = view;
    const box = new Box3();
    if (this.#rig) {
      this.#board.updateMatrixWorld(true);
      box.setFromObject(this.#rig.root);
    }
    if (box.isEmpty()) box.set(new Vector3(-200, -120, 0), new Vector3(200, 120, 160));
    const centre = box.getCenter(new Vector3());
    const size = box.getSize(new Vector3());
    const y = (this.#driven?.course.lean_deg ?? 0) > 0 ? 1 : -1;
    const direction = { side: [0, y, 0.03], front: [1, 0, 0.03], top: [0, -0.002, 1], free: [0.62, 0.8 * y, 0.42] }[
      view
    ];
    const d = toVec(direction).normalize();
    const half = Math.tan((this.#camera.fov * Math.PI) / 360);
    const aspect = this.#size.width / this.#size.height;
    const wide = { side: size.x, front: size.y, top: size.x, free: Math.hypot(size.x, size.y) * 0.86 }[view];
    const tall = { side: size.z, front: size.z, top: size.y, free: size.z + size.y * 0.5 }[view];
    const deep = { side: size.y, front: size.x, top: size.z, free: size.y }[view];
    const distance = Math.max(wide / 2 / (half * aspect), tall / 2 / half) * 1.16 + deep / 2;
    const eye = centre.clone().addScaledVector(d, distance);
    void this.#controls.setLookAt(eye.x, eye.y, eye.z, centre.x, centre.y, centre.z, smooth && !reduced.matches);
    this.#draw();
  }

  /** Turns and nears the camera by keys: angles in degrees, factor < 1 comes nearer. */
  turn(azimuth: number, polar: number, factor = 1): void {
    const k = Math.PI / 180;
    void this.#controls.rotate(azimuth * k, polar * k, !reduced.matches);
    if (factor !== 1) void this.#controls.dollyTo(this.#controls.distance * factor, !reduced.matches);
    this.#draw();
  }

  get viewName(): View {
    return this.#view;
  }

  dispose(): void {
    cancelAnimationFrame(this.#frame);
    this.#pace.stop();
    for (const s of this.#stop) s();
    this.#controls.dispose();
    this.#rig?.dispose();
    this.#other?.dispose();
    if (this.#ghost) scrapLines(this.#ghost);
    scrap(this.#marks);
    scrap(this.#under);
    if (this.#rock) scrap(this.#rock);
    this.#grid?.geometry.dispose();
    this.#materials.dispose();
    this.#renderer.dispose();
  }

  #remark(): void {
    scrap(this.#marks);
    this.#markWords = [];
    const stage = this.#rig?.stage;
    if (stage && this.#layers.weight && !this.#posed && !this.#driven) this.#marks.add(weightMarks(stage, this.#look));
    if (this.#axles && this.#layers.swing && !this.#driven) {
      const swing = swingMarks(this.#axles, this.#look);
      this.#marks.add(swing.group);
      this.#markWords = swing.labels.map((l) => ({ ...l, tone: 'swing' as const }));
    }
    if (stage && this.#axles && this.#layers.joints && this.#said && !this.#driven) {
      this.#markWords = [
        ...this.#markWords,
        ...jointWords(stage, this.#axles, this.#said.angle, this.#posed?.row.pose ?? null),
      ];
    }
    for (const [i, gap] of (this.#posed || this.#driven ? [] : this.#gaps).entries()) {
      const drawn = gapMarks(gap, this.#look, this.#gaps.length > 1);
      this.#marks.add(drawn.group);
      this.#markWords = [...this.#markWords, { ...drawn.label, key: `gap ${i}` }];
    }
    if (this.#driven && this.#axles) this.#markWords = [...this.#markWords, ...drivenWords(this.#driven, this.#axles)];
    else if (this.#posed && this.#axles)
      this.#markWords = [...this.#markWords, ...stanceWords(this.#posed, this.#axles, this.#layers.weight)];
    if (!this.#pace.coarse) this.#renderer.shadowMap.needsUpdate = true;
    this.#relabel();
  }

  #relabel(): void {
    const words =
      this.#rig && this.#said && !this.#posed && !this.#driven
        ? stageWords(this.#rig.stage, this.#said, this.#layers.weight, (e, s, k) => this.#wheelTop(e, s, k))
        : [];
    this.#labels.set([...words, ...this.#markWords]);
    this.#draw();
  }

  /** Where a wheel's label sits: above (or below) the tyre, chassis frame. */
  #wheelTop(end: End, side: 'left' | 'right', share: number): Vector3 {
    const a = this.#axles?.[end];
    if (!a) return new Vector3();
    return wheelCentre(a, side === 'left' ? 1 : -1).add(new Vector3(0, 0, a.tyre_radius_mm * share));
  }

  #resize(): void {
    const box = (this.#canvas.parentElement ?? this.#canvas).getBoundingClientRect();
    const width = Math.max(1, Math.round(box.width));
    const height = Math.max(1, Math.round(box.height));
    if (width === this.#size.width && height === this.#size.height) return;
    const refit = this.#size.width === 1;
    this.#size = { width, height };
    this.#renderer.setSize(width, height, false);
    this.#camera.aspect = width / height;
    this.#camera.updateProjectionMatrix();
    if (refit) this.view(this.#view, false);
    this.#draw();
  }

  /** Shaders are made beside the page's own work; until they are there nothing is drawn. */
  #prepare(): void {
    this.#preparing = true;
    const go = (): void => {
      this.#preparing = false;
      this.#pace.moved();
      this.#draw();
    };
    this.#renderer.compileAsync(this.#scene, this.#camera).then(go, go);
  }

  #draw(): void {
    if (this.#frame || this.#preparing) return;
    this.#frame = requestAnimationFrame(() => {
      this.#frame = 0;
      const now = performance.now();
      this.#pace.frame(now);
      const ratio = this.#pace.coarse ? 0.5 : Math.min(devicePixelRatio, 2);
      if (this.#renderer.getPixelRatio() !== ratio) this.#renderer.setPixelRatio(ratio);
      const moving = this.#controls.update(Math.min((now - this.#drawn) / 1000, 0.05));
      this.#drawn = now;
      this.#renderer.render(this.#scene, this.#camera);
      if (this.#rig) this.#canvas.dataset['drawn'] = '';
      this.#labels.lay(this.#world.matrixWorld, this.#camera, this.#size.width, this.#size.height);
      if (moving) this.#draw();
    });
  }

  #hit(event: PointerEvent): Picked | null {
    if (!this.#rig) return null;
    const box = this.#canvas.getBoundingClientRect();
    const at = new Vector2(
      ((event.clientX - box.left) / box.width) * 2 - 1,
      1 - ((event.clientY - box.top) / box.height) * 2,
    );
    const ray = new Raycaster();
    ray.setFromCamera(at, this.#camera);
    const hits = ray.intersectObject(this.#rig.root, true);
    const holeOf = (h: (typeof hits)[number]): Picked | undefined =>
      (h.object.userData as { instances?: Picked[] }).instances?.[h.instanceId ?? -1];
    if (this.#offering) {
      // Holes on offer are seen through everything, so they are hit through everything.
      const hole = hits.find((h) => h.object.userData['carrier'] === this.#offering);
      if (hole) return holeOf(hole) ?? null;
    }
    for (const hit of hits) {
      const { picked, finish } = hit.object.userData as { picked?: Picked; finish?: string };
      const what = holeOf(hit) ?? picked;
      // A see-through shell must not hide what is under it from the pointer.
      if (what && finish !== 'body') return what;
    }
    return null;
  }

  #listenForWheels(): void {
    const host = this.#canvas.parentElement ?? this.#canvas;
    const on = <K extends keyof HTMLElementEventMap>(
      type: K,
      f: (e: HTMLElementEventMap[K]) => void,
      capture = false,
    ): void => {
      host.addEventListener(type, f, { capture });
      this.#stop.push(() => host.removeEventListener(type, f, { capture }));
    };
    on(
      'pointerdown',
      (e) => {
        if (e.target !== this.#canvas || e.button !== 0) return;
        this.#down = { x: e.clientX, y: e.clientY };
        const picked = this.#hit(e);
        if (picked?.kind !== 'wheel' || !picked.axle || !this.#axles) return;
        e.stopPropagation(); // the wheel is pulled, the camera stays
        const axle = picked.axle;
        const side = picked.side === 'right' ? 'right' : 'left';
        const a = this.#axles[axle];
        this.#world.updateMatrixWorld();
        const centre = wheelCentre(a, side === 'left' ? 1 : -1).applyMatrix4(this.#world.matrixWorld);
        const distance = centre.distanceTo(this.#camera.position);
        const scale = (2 * distance * Math.tan((this.#camera.fov * Math.PI) / 360)) / this.#size.height;
        this.#drag = {
          axle,
          side,
          y: e.clientY,
          bump: side === 'left' ? a.left_bump_mm : a.right_bump_mm,
          scale,
          id: e.pointerId,
        };
        this.#canvas.setPointerCapture(e.pointerId);
      },
      true,
    );
    on(
      'pointermove',
      (e) => {
        const d = this.#drag;
        if (d) {
          if (e.pointerId !== d.id) return;
          e.stopPropagation();
          const bump = d.bump - (e.clientY - d.y) * d.scale;
          this.#heard.pull(d.axle, d.side, bump, e.shiftKey || this.#both());
          return;
        }
        if (e.pointerType === 'touch' || e.buttons) return;
        const picked = e.target === this.#canvas ? this.#hit(e) : null;
        if (
          picked?.path === this.#hovered?.path &&
          picked?.kind === this.#hovered?.kind &&
          picked?.hole === this.#hovered?.hole &&
          picked?.side === this.#hovered?.side
        )
          return;
        this.#hovered = picked;
        this.#canvas.style.cursor = picked ? (picked.kind === 'wheel' ? 'ns-resize' : 'pointer') : 'grab';
        this.#heard.hover(picked);
      },
      true,
    );
    const let_go = (e: PointerEvent): void => {
      const moved = this.#down && Math.hypot(e.clientX - this.#down.x, e.clientY - this.#down.y) > 4;
      if (this.#drag && e.pointerId === this.#drag.id) {
        e.stopPropagation();
        this.#drag = null;
      }
      if (this.#down && !moved && e.type === 'pointerup') this.#heard.picked(this.#hit(e));
      this.#down = null;
    };
    on('pointerup', let_go, true);
    on('pointercancel', let_go, true);
    on('pointerleave', () => {
      this.#hovered = null;
      this.#heard.hover(null);
    });
  }
}
