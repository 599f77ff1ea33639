import {
  BufferGeometry,
  CatmullRomCurve3,
  CurvePath,
  CylinderGeometry,
  Group,
  LineCurve3,
  Matrix4,
  Mesh,
  Object3D,
  SphereGeometry,
  TorusGeometry,
  TubeGeometry,
  Vector3,
} from 'three';
import type { AxleState, StageLink, StageShaft, StageShock } from '$lib/api/types';
import { mergeGeometries } from 'three/addons/utils/BufferGeometryUtils.js';
import type { Materials } from './look';
import { placed } from './merge';

/** What a click on the stage means. */
export interface Picked {
  kind: 'part' | 'wheel' | 'link' | 'eye' | 'shock' | 'shaft' | 'hole';
  path: string;
  name: string;
  side: string;
  axle?: 'front' | 'rear' | undefined;
  end?: 'from' | 'to' | undefined;
  hole?: string | undefined;
}

const up = new Vector3(0, 0, 1);

/** Basis of a rod: x along it, z across it as near to up as can be, y to the left; at its first point. */
export function along(from: Vector3, to: Vector3): Matrix4 {
  const e = to.clone().sub(from).normalize();
  let n = up.clone().addScaledVector(e, -up.dot(e));
  if (n.lengthSq() < 1e-12) n = new Vector3(-1, 0, 0).addScaledVector(e, e.x);
  n.normalize();
  return new Matrix4().makeBasis(e, n.clone().cross(e), n).setPosition(from);
}

/**
 * Whether y of that basis is the side that a link's bends count to: the left, or, for a link that runs across the car, the front
 * (as the document has it).
 */
export function leftward(from: Vector3, to: Vector3): boolean {
  const y = new Vector3().setFromMatrixColumn(along(from, to), 1);
  return !(y.y < -0.5 || (Math.abs(y.y) <= 0.5 && y.x < 0));
}

export const toVec = (a: number[] | null | undefined): Vector3 => new Vector3(a?.[0] ?? 0, a?.[1] ?? 0, a?.[2] ?? 0);

function tag(o: Object3D, kind: string, picked: Picked): void {
  o.userData['finish'] = kind;
  o.userData['picked'] = picked;
}

function mesh(m: Materials, g: BufferGeometry, kind: string, picked: Picked): Mesh {
  const out = new Mesh(g, m.of(kind));
  out.castShadow = true;
  tag(out, kind, picked);
  return out;
}

/** A link: rod, bends and two eyes. */
export class LinkModel {
  readonly group = new Group();
  readonly link: StageLink;
  #rod = new Group();
  #far = new Group();

  constructor(link: StageLink, m: Materials) {
    this.link = link;
    const path = link.path.join('/');
    const what = (kind: 'link' | 'eye', end?: 'from' | 'to'): Picked => ({
      kind: link.from ? kind : 'link', // a drag link's eyes are on no hole of a part
      path,
      name: link.name,
      side: link.side,
      axle: link.axle,
      end,
      hole: end === 'from' ? link.from : end === 'to' ? link.to : undefined,
    });
    const d = link.diameter_mm || 6;
    const length = Math.max(link.length_mm, 1);
    let rod: BufferGeometry;
    if (link.bends?.length) {
      const points = [[0, 0, 0], ...link.bends, [length, 0, 0]].map((p) => toVec(p));
      const curve = new CurvePath<Vector3>();
      points.slice(1).forEach((p, i) => curve.add(new LineCurve3(points[i] as Vector3, p)));
      rod = new TubeGeometry(curve as never, points.length * 14, d / 2, 12);
    } else {
      rod = new CylinderGeometry(d / 2, d / 2, length, 16).rotateZ(-Math.PI / 2).translate(length / 2, 0, 0);
    }
    this.#rod.add(mesh(m, rod, 'link', what('link')));
    this.group.add(this.#rod);
    for (const end of ['from', 'to'] as const) {
      const eye = end === 'to' ? this.#far : new Group();
      const s = end === 'from' ? 1 : -1;
      const pieces: BufferGeometry[] = [new TorusGeometry(d * 0.72, d * 0.3, 5, 14).rotateX(Math.PI / 2)];
      if (!link.bends?.length) {
        pieces.push(
          new CylinderGeometry(d * 0.58, d * 0.58, d * 2.2, 6).rotateZ(Math.PI / 2).translate(s * d * 1.9, 0, 0),
        );
      }
      const still = new Matrix4();
      eye.add(mesh(m, mergeGeometries(pieces.map((g) => placed(g, still))), 'eye', what('eye', end)));
      eye.add(mesh(m, new SphereGeometry(d * 0.56, 10, 7), 'ball', what('eye', end)));
      this.group.add(eye);
    }
    this.group.matrixAutoUpdate = false;
  }

  place(axle: AxleState, frame: Matrix4): void {
    if (!axle.present) return;
    const from = toVec(this.link.from_mm);
    const to = toVec(this.link.to_mm).applyMatrix4(frame);
    const length = from.distanceTo(to);
    this.group.matrix.copy(along(from, to));
    this.group.matrixWorldNeedsUpdate = true;
    this.#rod.scale.x = length / Math.max(this.link.length_mm, 1);
    this.#rod.scale.y = leftward(from, to) ? 1 : -1;
    this.#far.position.x = length;
  }
}

/** A shock: body at its top eye, rod at its bottom eye, the spring between two collars. */
export class ShockModel {
  readonly group = new Group();
  readonly shock: StageShock;
  #rod: Mesh;
  #spring: Mesh;
  #foot = new Group();
  #bodyLength: number;

  constructor(shock: StageShock, m: Materials) {
    this.shock = shock;
    const picked: Picked = {
      kind: 'shock',
      path: shock.path.join('/'),
      name: shock.name,
      side: shock.side,
      axle: shock.axle,
    };
    const d = shock.diameter_mm || 16;
    const open = shock.open_mm || 90;
    const closed = shock.closed_mm || open * 0.7;
    this.#bodyLength = Math.max(closed - 14, closed * 0.62);
    const b = this.#bodyLength;
    const eye = (): Mesh => mesh(m, new CylinderGeometry(4, 4, 6, 18), 'eye', picked);
    const body = new CylinderGeometry(d * 0.36, d * 0.36, b - 8, 24)
      .rotateZ(Math.PI / 2)
      .translate(8 + (b - 8) / 2, 0, 0);
    const cap = new CylinderGeometry(d * 0.42, d * 0.3, 7, 24).rotateZ(Math.PI / 2).translate(7, 0, 0);
    const collar = new CylinderGeometry(d * 0.52, d * 0.52, 3, 28).rotateZ(Math.PI / 2).translate(b * 0.32, 0, 0);
    this.group.add(
      eye(),
      mesh(m, body, 'shock', picked),
      mesh(m, cap, 'eye', picked),
      mesh(m, collar, 'shock', picked),
    );
    this.#rod = mesh(m, new CylinderGeometry(1.5, 1.5, 1, 12).rotateZ(Math.PI / 2).translate(0.5, 0, 0), 'rod', picked);
    const cup = mesh(
      m,
      new CylinderGeometry(d * 0.52, d * 0.46, 3, 28).rotateZ(Math.PI / 2).translate(-7, 0, 0),
      'shock',
      picked,
    );
    const stem = mesh(m, new CylinderGeometry(2.6, 2.6, 6, 12).rotateZ(Math.PI / 2).translate(-4, 0, 0), 'eye', picked);
    this.#foot.add(eye(), cup, stem);
    const wire = Math.max(1.1, d * 0.075);
    const turns = 7;
    const points: Vector3[] = [];
    for (let i = 0; i <= turns * 14; i++) {
      const a = (i / 14) * 2 * Math.PI;
      points.push(new Vector3(i / (turns * 14), Math.cos(a) * (d / 2 - wire), Math.sin(a) * (d / 2 - wire)));
    }
    this.#spring = mesh(m, new TubeGeometry(new CatmullRomCurve3(points), turns * 14, 1, 5), 'spring', picked);
    this.#shapeWire(wire);
    this.group.add(this.#rod, this.#spring, this.#foot);
    this.group.matrixAutoUpdate = false;
  }

  /** The helix is one unit long and is stretched; its wire was made of radius 1 along x too, so x is redone here. */
  #shapeWire(wire: number): void {
    const g = this.#spring.geometry;
    const p = g.getAttribute('position');
    const n = g.getAttribute('normal');
    const nominal = 55; // mm: about as long as the spring is drawn
    for (let i = 0; i < p.count; i++) {
      const x = p.getX(i) - n.getX(i);
      p.setXYZ(
        i,
        x + (n.getX(i) * wire) / nominal,
        p.getY(i) - n.getY(i) * (1 - wire),
        p.getZ(i) - n.getZ(i) * (1 - wire),
      );
    }
    p.needsUpdate = true;
    g.computeBoundingSphere();
  }

  place(axle: AxleState): void {
    const s = axle.shocks?.find((k) => k.name === this.shock.name && k.side === this.shock.side);
    this.group.visible = !!s;
    if (!s) return;
    const top = toVec(s.top_mm);
    const bottom = toVec(s.bottom_mm);
    const length = top.distanceTo(bottom);
    this.group.matrix.copy(along(top, bottom));
    this.group.matrixWorldNeedsUpdate = true;
    this.#foot.position.x = length;
    this.#rod.position.x = this.#bodyLength - 4;
    this.#rod.scale.x = Math.max(1, length - this.#bodyLength);
    const start = this.#bodyLength * 0.32 + 2;
    this.#spring.position.x = start;
    this.#spring.scale.x = Math.max(4, length - 8 - start);
  }
}

/** A drive shaft: two halves that slide into each other, a joint at each end. */
export class ShaftModel {
  readonly group = new Group();
  readonly shaft: StageShaft;
  #inner: Mesh;
  #outer: Mesh;
  #far: Group;

  constructor(shaft: StageShaft, m: Materials) {
    this.shaft = shaft;
    const picked: Picked = { kind: 'shaft', path: shaft.path.join('/'), name: shaft.name, side: '', axle: shaft.axle };
    const d = shaft.diameter_mm || 6;
    const bar = (r: number): Mesh =>
      mesh(m, new CylinderGeometry(r, r, 1, 18).rotateZ(Math.PI / 2).translate(0.5, 0, 0), 'shaft', picked);
    this.#inner = bar(d * 0.36);
    this.#outer = bar(d * 0.55);
    const joint = (s: number): Group => {
      const g = new Group();
      g.add(
        mesh(
          m,
          new CylinderGeometry(d * 0.75, d * 0.75, d * 1.5, 18).rotateZ(Math.PI / 2).translate(s * d * 0.75, 0, 0),
          'eye',
          picked,
        ),
      );
      g.add(mesh(m, new CylinderGeometry(1.2, 1.2, d * 1.9, 10), 'rod', picked));
      return g;
    };
    this.#far = joint(-1);
    this.group.add(this.#inner, this.#outer, joint(1), this.#far);
    this.group.matrixAutoUpdate = false;
  }

  place(axle: AxleState, frame: Matrix4): void {
    this.group.visible = axle.present;
    if (!axle.present) return;
    const from = toVec(this.shaft.from_mm);
    const to = toVec(this.shaft.to_mm).applyMatrix4(frame);
    const length = from.distanceTo(to);
    this.group.matrix.copy(along(from, to));
    this.group.matrixWorldNeedsUpdate = true;
    this.#inner.scale.x = length;
    this.#outer.scale.x = length * 0.55;
    this.#far.position.x = length;
  }
}
