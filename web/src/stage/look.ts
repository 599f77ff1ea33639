import { DoubleSide, LineBasicMaterial, MeshBasicMaterial, MeshLambertMaterial, MeshStandardMaterial } from 'three';
import type { Look } from '$lib/state/settings.svelte';

interface Finish {
  colour: number;
  rough: number;
  metal: number;
  clear?: number; // opacity, for shells one should see through
}

const dark: Record<string, Finish> = {
  tyre: { colour: 0x2b2d2f, rough: 0.95, metal: 0 },
  wheel: { colour: 0xb9bfc4, rough: 0.45, metal: 0.25 },
  skid: { colour: 0x59636b, rough: 0.6, metal: 0.15 },
  plate: { colour: 0x6b757c, rough: 0.55, metal: 0.2 },
  frame: { colour: 0x4c5a66, rough: 0.6, metal: 0.15 },
  body: { colour: 0x8fa7b3, rough: 0.4, metal: 0, clear: 0.28 },
  gearbox: { colour: 0x8b9298, rough: 0.5, metal: 0.2 },
  motor: { colour: 0x9a6a45, rough: 0.42, metal: 0.3 },
  battery: { colour: 0x44618f, rough: 0.55, metal: 0 },
  controller: { colour: 0x3e4449, rough: 0.6, metal: 0.05 },
  receiver: { colour: 0x4f4a57, rough: 0.6, metal: 0.05 },
  servo: { colour: 0x35393d, rough: 0.55, metal: 0.05 },
  axle: { colour: 0x7d8893, rough: 0.5, metal: 0.22 },
  portal: { colour: 0x9aa3ab, rough: 0.45, metal: 0.25 },
  link: { colour: 0xa9b2ba, rough: 0.38, metal: 0.3 },
  eye: { colour: 0x3a3f44, rough: 0.6, metal: 0.1 },
  ball: { colour: 0xd8d2bd, rough: 0.3, metal: 0.3 },
  shock: { colour: 0xb8bec3, rough: 0.35, metal: 0.3 },
  rod: { colour: 0xdde1e4, rough: 0.25, metal: 0.35 },
  spring: { colour: 0xc2913a, rough: 0.45, metal: 0.2 },
  shaft: { colour: 0x9aa1a8, rough: 0.4, metal: 0.3 },
  other: { colour: 0x848b91, rough: 0.6, metal: 0.1 },
};

/** Colours of lines and lights, light and dark. */
export const ink: Record<
  Look,
  {
    edge: number;
    edgeClear: number;
    grid: number;
    gridClear: number;
    ghost: number;
    mark: number;
    swing: number;
    sky: number;
    earth: number;
    shade: number;
    board: number;
  }
> = {
  light: {
    edge: 0x1b2422,
    edgeClear: 0.5,
    grid: 0x33443f,
    gridClear: 0.3,
    ghost: 0xb0418a,
    mark: 0x1d4ea8,
    swing: 0x7a3fa0,
    sky: 0xffffff,
    earth: 0xb9c2bd,
    shade: 0.26,
    board: 0xd8c9a8,
  },
  dark: {
    edge: 0xdfe8e4,
    edgeClear: 0.3,
    grid: 0xb8cbc4,
    gridClear: 0.22,
    ghost: 0xf09ad0,
    mark: 0x8db5ff,
    swing: 0xcfa2f2,
    sky: 0xe8f0ff,
    earth: 0x4c5653,
    shade: 0.5,
    board: 0x6b6152,
  },
};

type Finished = MeshLambertMaterial | MeshStandardMaterial;

/** One set of materials for a scene; highlights are twins of the plain ones. */
export class Materials {
  #plain = new Map<string, Finished>();
  #lit = new Map<string, Finished>();
  readonly edge = new LineBasicMaterial({ transparent: true });
  readonly edgeLit = new LineBasicMaterial({ depthTest: false, transparent: true }); // seen through everything
  /** Holes that an eye may go to: seen through everything. */
  readonly offer = new MeshBasicMaterial({ depthTest: false, transparent: true, opacity: 0.9 });
  readonly ghost = new LineBasicMaterial({ transparent: true, opacity: 0.75 });
  #look: Look = 'light';

  wear(look: Look): void {
    this.#look = look;
    const i = ink[look];
    this.edge.color.set(i.edge);
    this.edge.opacity = i.edgeClear;
    this.edgeLit.color.set(i.mark);
    this.ghost.color.set(i.ghost);
    this.offer.color.set(i.mark);
    for (const m of this.#lit.values()) m.emissive.set(i.mark);
  }

  of(kind: string, lit = false): Finished {
    const set = lit ? this.#lit : this.#plain;
    const known = dark[kind] ? kind : 'other';
    let m = set.get(known);
    if (!m) {
      const f = dark[known] as Finish;
      // What has no shine to speak of gets the cheaper shading.
      m =
        f.rough >= 0.55
          ? new MeshLambertMaterial({ color: f.colour })
          : new MeshStandardMaterial({ color: f.colour, roughness: f.rough, metalness: f.metal });
      m.polygonOffset = true; // keeps the outlines in front of their own faces
      m.polygonOffsetFactor = 1;
      m.polygonOffsetUnits = 1;
      if (f.clear !== undefined) {
        m.transparent = true;
        m.opacity = f.clear;
        m.side = DoubleSide;
        m.forceSinglePass = true;
        m.depthWrite = false;
      }
      if (lit) {
        m.emissive.set(ink[this.#look].mark);
        m.emissiveIntensity = 0.55;
        if (m.transparent) m.opacity = Math.min(1, m.opacity + 0.3);
      }
      set.set(known, m);
    }
    return m;
  }

  dispose(): void {
    for (const m of [...this.#plain.values(), ...this.#lit.values(), this.edge, this.edgeLit, this.ghost, this.offer])
      m.dispose();
  }
}
