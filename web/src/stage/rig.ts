import { CylinderGeometry, Group, LineSegments, Matrix4, Mesh, Object3D, Quaternion, Vector3 } from 'three';
import type { AxleState, Body, Carrier, Shape, Stage } from '$lib/api/types';
import type { Materials } from './look';
import { LinkModel, ShaftModel, ShockModel, toVec, type Picked } from './moving';
import { edgesOf, geometryOf, placement } from './shapes';
import { rimGeometry } from './tyre';

/** The rig as things to draw, in the chassis frame. Poses come from the program; here they are only placed. */
export class RigModel {
  readonly root = new Group();
  readonly carriers: Record<Carrier, Group> = { chassis: new Group(), front: new Group(), rear: new Group() };
  readonly stage: Stage;
  readonly holes: Mesh[] = [];
  #links: LinkModel[] = [];
  #shocks: ShockModel[] = [];
  #shafts: ShaftModel[] = [];
  #materials: Materials;
  #lit: string[] = [];

  constructor(stage: Stage, materials: Materials) {
    this.stage = stage;
    this.#materials = materials;
    for (const c of Object.values(this.carriers)) {
      c.matrixAutoUpdate = false;
      this.root.add(c);
    }
    for (const body of stage.bodies) this.#addBody(body);
    for (const l of stage.links) this.#links.push(new LinkModel(l, materials));
    for (const s of stage.shocks) this.#shocks.push(new ShockModel(s, materials));
    for (const s of stage.shafts) this.#shafts.push(new ShaftModel(s, materials));
    for (const k of [...this.#links, ...this.#shocks, ...this.#shafts]) this.root.add(k.group);
    this.place(stage.axles);
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

  /** Shows the holes that an eye could go to; null hides what is not needed. */
  offer(carrier: Carrier | null): void {
    for (const h of this.holes) {
      const on = carrier !== null && h.userData['carrier'] === carrier;
      h.scale.setScalar(on ? 1.9 : 1);
      h.material = this.#materials.of('eye', on);
      h.renderOrder = on ? 5 : 0;
    }
  }

  #addBody(body: Body): void {
    const carrier = this.carriers[body.carrier];
    const path = body.path.join('/');
    const wheel = body.carrier !== 'chassis' && body.shapes.some((s) => s.kind === 'disc');
    const picked: Picked = {
      kind: wheel ? 'wheel' : 'part',
      path,
      name: body.name,
      side: body.side,
      axle: body.carrier === 'chassis' ? undefined : body.carrier,
    };
    for (const shape of body.shapes) {
      const geometry = geometryOf(shape);
      const finish = shape.kind === 'disc' ? 'tyre' : body.kind;
      const frame = placement(shape.at_mm, shape.turn, shape.flip);
      const add = (o: Object3D, kind: string | null): void => {
        o.matrixAutoUpdate = false;
        o.matrix.copy(frame);
        if (kind) {
          o.userData['finish'] = kind;
          o.userData['picked'] = picked;
          o.castShadow = kind !== 'body';
          o.receiveShadow = kind !== 'body';
        } else {
          o.userData['picked'] = picked;
          o.raycast = () => undefined;
        }
        carrier.add(o);
      };
      add(new Mesh(geometry, this.#materials.of(finish)), finish);
      if (shape.kind === 'disc') {
        add(new Mesh(rimGeometry(shape.size_mm[0] ?? 1, shape.size_mm[1] ?? 1), this.#materials.of('wheel')), 'wheel');
      } else add(new LineSegments(edgesOf(shape, geometry), this.#materials.edge), null);
    }
    for (const hole of body.holes) {
      const m = new Mesh(holeGeometry, this.#materials.of('eye'));
      const axis = toVec(hole.axis);
      if (axis.lengthSq() < 1e-9) axis.set(0, 1, 0);
      m.quaternion.copy(new Quaternion().setFromUnitVectors(new Vector3(0, 1, 0), axis.normalize()));
      m.position.copy(toVec(hole.at_mm));
      m.userData['finish'] = 'eye';
      m.userData['carrier'] = body.carrier;
      m.userData['picked'] = {
        kind: 'hole',
        path,
        name: hole.name,
        side: hole.side,
        hole: hole.ref,
        axle: body.carrier === 'chassis' ? undefined : body.carrier,
      } satisfies Picked;
      this.holes.push(m);
      carrier.add(m);
    }
  }

  dispose(): void {
    this.root.traverse((o) => {
      if ((o instanceof Mesh || o instanceof LineSegments) && o.geometry !== holeGeometry) o.geometry.dispose();
    });
  }
}

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
