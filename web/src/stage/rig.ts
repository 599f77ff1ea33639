import {
  type BufferGeometry,
  CylinderGeometry,
  Group,
  InstancedMesh,
  LineSegments,
  Matrix4,
  Mesh,
  Quaternion,
  Vector3,
} from 'three';
import { mergeGeometries } from 'three/addons/utils/BufferGeometryUtils.js';
import type { AxleState, Body, Carrier, Shape, Stage } from '$lib/api/types';
import type { Materials } from './look';
import { LinkModel, ShaftModel, ShockModel, toVec, type Picked } from './moving';
import { placed } from './merge';
import { edgesOf, geometryOf, placement } from './shapes';
import { rimGeometry } from './tyre';

/** The rig as things to draw, in the chassis frame. Poses come from the program; here they are only placed. */
export class RigModel {
  readonly root = new Group();
  readonly carriers: Record<Carrier, Group> = { chassis: new Group(), front: new Group(), rear: new Group() };
  stage: Stage;
  readonly holes: InstancedMesh[] = [];
  #holes: Record<Carrier, { at: Vector3; turn: Quaternion; picked: Picked }[]> = { chassis: [], front: [], rear: [] };
  #links: LinkModel[] = [];
  #shocks: ShockModel[] = [];
  #shafts: ShaftModel[] = [];
  #materials: Materials;
  #lit: string[] = [];
  #turned: { side: string; group: Group }[] = []; // front wheels, which steer

  constructor(stage: Stage, materials: Materials) {
    this.stage = stage;
    this.#materials = materials;
    for (const c of Object.values(this.carriers)) {
      c.matrixAutoUpdate = false;
      this.root.add(c);
    }
    for (const body of stage.bodies) this.#addBody(body);
    this.#addHoles();
    for (const l of stage.links) this.#links.push(new LinkModel(l, materials));
    for (const s of stage.shocks) this.#shocks.push(new ShockModel(s, materials));
    for (const s of stage.shafts) this.#shafts.push(new ShaftModel(s, materials));
    for (const k of [...this.#links, ...this.#shocks, ...this.#shafts]) this.root.add(k.group);
    this.place(stage.axles);
  }

  /** Whether everything to draw is as it was: a change of a weight builds nothing anew. */
  same(stage: Stage): boolean {
    return drawn(stage) === drawn(this.stage);
  }

  /** Puts both axles, and all that hangs between them and the chassis, where the program said. */
  place(axles: { front: AxleState; rear: AxleState }): void {
    const frames: Partial<Record<Carrier, Matrix4>> = {};
    for (const end of ['front', 'rear'] as const) {
      const a = axles[end];
      const group = this.carriers[end];
      group.visible = a.present;
      if (!a.present) continue;
      group.matrix.copy(placement(a.origin_mm, a.turn));
      group.matrixWorldNeedsUpdate = true;
      frames[end] = group.matrix;
    }
    const frame = (end: 'front' | 'rear'): Matrix4 => frames[end] ?? new Matrix4();
    for (const l of this.#links) l.place(axles[l.link.axle], frame(l.link.axle));
    for (const s of this.#shocks) s.place(axles[s.shock.axle]);
    for (const s of this.#shafts) s.place(axles[s.shaft.axle], frame(s.shaft.axle));
  }

  /** Turns the front wheels about their kingpins, degrees, positive to the left; null puts them straight ahead. */
  steer(turn: { left: number; right: number } | null): void {
    for (const { side, group } of this.#turned) {
      const pin = this.stage.kingpins.find((k) => k.side === side);
      group.matrix.identity();
      if (turn && pin) {
        const at = toVec(pin.point_mm);
        const angle = ((side === 'left' ? turn.left : turn.right) * Math.PI) / 180;
        group.matrix
          .makeRotationAxis(toVec(pin.axis).normalize(), angle)
          .premultiply(new Matrix4().makeTranslation(at))
          .multiply(new Matrix4().makeTranslation(at.negate()));
      }
      group.matrixWorldNeedsUpdate = true;
    }
  }

  /** Shows which part, link, shock or shaft is meant; "" for none. */
  light(paths: string[]): void {
    this.#lit = paths;
    this.root.traverse((o) => {
      const finish = o.userData['finish'] as string | undefined;
      const picked = o.userData['picked'] as Picked | undefined;
      if (!picked) return;
      const lit = this.#isLit(picked.path);
      if (o instanceof LineSegments) {
        o.material = lit ? this.#materials.edgeLit : this.#materials.edge;
        o.renderOrder = lit ? 8 : 0;
      } else if (finish && o instanceof Mesh) o.material = this.#materials.of(finish, lit);
    });
  }

  #isLit(path: string): boolean {
    return this.#lit.some((p) => p === path || path.startsWith(p + '/') || p.startsWith(path + '/'));
  }

  /** Shows the holes that an eye could go to; null shows them all as they are. */
  offer(carrier: Carrier | null): void {
    const m = new Matrix4();
    for (const mesh of this.holes) {
      const mine = mesh.userData['carrier'] as Carrier;
      const on = carrier === mine;
      this.#holes[mine].forEach((h, i) =>
        mesh.setMatrixAt(i, m.compose(h.at, h.turn, new Vector3().setScalar(on ? 1.9 : 1))),
      );
      mesh.instanceMatrix.needsUpdate = true;
      mesh.computeBoundingSphere();
      mesh.material = on ? this.#materials.offer : this.#materials.of('eye');
      mesh.renderOrder = on ? 7 : 0;
    }
  }

  /** A body is one mesh for each finish and one set of outlines, whatever number of shapes it has. */
  #addBody(body: Body): void {
    let carrier = this.carriers[body.carrier];
    const path = body.path.join('/');
    const wheel = body.carrier !== 'chassis' && body.shapes.some((s) => s.kind === 'disc');
    const axle = body.carrier === 'chassis' ? undefined : body.carrier;
    if ((wheel || body.steered) && body.carrier === 'front' && body.side) {
      const group = new Group();
      group.matrixAutoUpdate = false;
      this.#turned.push({ side: body.side, group });
      carrier.add(group);
      carrier = group;
    }
    const picked: Picked = { kind: wheel ? 'wheel' : 'part', path, name: body.name, side: body.side, axle };
    const solids = new Map<string, BufferGeometry[]>();
    const lines: BufferGeometry[] = [];
    for (const shape of body.shapes) {
      const frame = placement(shape.at_mm, shape.turn, shape.flip);
      const geometry = geometryOf(shape);
      const put = (finish: string, g: BufferGeometry): void => {
        solids.set(finish, [...(solids.get(finish) ?? []), placed(g, frame)]);
      };
      if (shape.kind === 'disc') {
        put('tyre', geometry);
        put('wheel', rimGeometry(shape.size_mm[0] ?? 1, shape.size_mm[1] ?? 1));
      } else {
        put(body.kind, geometry);
        lines.push(edgesOf(shape, geometry).applyMatrix4(frame));
      }
    }
    for (const [finish, list] of solids) {
      const mesh = new Mesh(mergeGeometries(list), this.#materials.of(finish));
      mesh.userData['finish'] = finish;
      mesh.userData['picked'] = picked;
      mesh.castShadow = mesh.receiveShadow = finish !== 'body';
      carrier.add(mesh);
    }
    if (lines.length) {
      const edges = new LineSegments(mergeGeometries(lines), this.#materials.edge);
      edges.userData['picked'] = picked;
      edges.raycast = () => undefined;
      carrier.add(edges);
    }
    for (const hole of body.holes) {
      const axis = toVec(hole.axis);
      if (axis.lengthSq() < 1e-9) axis.set(0, 1, 0);
      this.#holes[body.carrier].push({
        at: toVec(hole.at_mm),
        turn: new Quaternion().setFromUnitVectors(new Vector3(0, 1, 0), axis.normalize()),
        picked: { kind: 'hole', path, name: hole.name, side: hole.side, hole: hole.ref, axle },
      });
    }
  }

  /** All holes of a carrier are one mesh; a hit names its instance. */
  #addHoles(): void {
    for (const carrier of ['chassis', 'front', 'rear'] as const) {
      const list = this.#holes[carrier];
      if (list.length === 0) continue;
      const mesh = new InstancedMesh(holeGeometry, this.#materials.of('eye'), list.length);
      mesh.userData['carrier'] = carrier;
      mesh.userData['instances'] = list.map((h) => h.picked);
      this.holes.push(mesh);
      this.carriers[carrier].add(mesh);
    }
    this.offer(null);
  }

  dispose(): void {
    this.root.traverse((o) => {
      if ((o instanceof Mesh || o instanceof LineSegments) && o.geometry !== holeGeometry) o.geometry.dispose();
    });
  }
}

const drawn = (s: Stage): string => JSON.stringify([s.bodies, s.links, s.shocks, s.shafts]);

const holeGeometry = new CylinderGeometry(1.7, 1.7, 3.4, 12);

/** The compared build, outlines only, at its own design pose; what is the same in both builds is left out. */
export function ghostOf(stage: Stage, mine: Stage | null, materials: Materials): Group {
  const root = new Group();
  const known = new Set(mine ? [...outlines(mine)].map((o) => o.key) : []);
  for (const { key, shape, frame } of outlines(stage)) {
    if (known.has(key)) continue;
    const geometry = geometryOf(shape);
    const lines = new LineSegments(edgesOf(shape, geometry), materials.ghost);
    lines.matrixAutoUpdate = false;
    lines.matrix.copy(frame);
    lines.raycast = () => undefined;
    root.add(lines);
    if (shape.kind !== 'disc') geometry.dispose();
  }
  const rods = new Set(mine ? axes(mine).map(keyOf) : []);
  const points = axes(stage).filter((pair) => !rods.has(keyOf(pair)));
  const g = new LineSegments(undefined, materials.ghost);
  g.geometry.setFromPoints(points.flat());
  g.raycast = () => undefined;
  root.add(g);
  return root;
}

const frameOf = (stage: Stage, carrier: Carrier): Matrix4 | null => {
  if (carrier === 'chassis') return new Matrix4();
  const axle = stage.axles[carrier];
  return axle.present ? placement(axle.origin_mm, axle.turn) : null;
};

/** Every shape where it stands at the design pose, with a key that is the same for the same shape in the same place. */
function* outlines(stage: Stage): Generator<{ key: string; shape: Shape; frame: Matrix4 }> {
  for (const body of stage.bodies) {
    const carrier = frameOf(stage, body.carrier);
    if (!carrier) continue;
    for (const shape of body.shapes) {
      const frame = carrier.clone().multiply(placement(shape.at_mm, shape.turn, shape.flip));
      const size = [shape.kind, ...shape.size_mm, ...(shape.outline_mm ?? []).flat()].join(' ');
      yield {
        key: `${size} ${frame.elements.map((v) => v.toFixed(2).replace('-0.00', '0.00')).join(' ')}`,
        shape,
        frame,
      };
    }
  }
}

type Pair = [Vector3, Vector3];
const keyOf = (p: Pair): string => p.flatMap((v) => v.toArray().map((x) => x.toFixed(1))).join(' ');

/** Links and shocks as lines between their eyes. */
function axes(stage: Stage): Pair[] {
  const out: Pair[] = [];
  for (const l of stage.links) {
    const frame = frameOf(stage, l.axle);
    if (frame) out.push([toVec(l.from_mm), toVec(l.to_mm).applyMatrix4(frame)]);
  }
  for (const end of ['front', 'rear'] as const) {
    for (const s of stage.axles[end].shocks ?? []) out.push([toVec(s.top_mm), toVec(s.bottom_mm)]);
  }
  return out;
}
