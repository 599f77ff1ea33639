import { Group, LineSegments, Matrix4, Vector3 } from 'three';
import { mergeGeometries } from 'three/addons/utils/BufferGeometryUtils.js';
import type { Axles, Carrier, Stage } from '$lib/api/types';
import type { Materials } from './look';
import { toVec } from './moving';
import { edgesOf, geometryOf, placement } from './shapes';

/** The compared build as outlines that can be moved: one set of lines for each of chassis and axles, rods and shocks as lines. */
export class GhostRig {
  readonly root = new Group();
  readonly stage: Stage;
  #carriers: Record<Carrier, Group> = { chassis: new Group(), front: new Group(), rear: new Group() };
  #rods: LineSegments;

  constructor(stage: Stage, materials: Materials) {
    this.stage = stage;
    this.root.matrixAutoUpdate = false;
    for (const [carrier, group] of Object.entries(this.#carriers)) {
      group.matrixAutoUpdate = false;
      const pieces = stage.bodies
        .filter((b) => b.carrier === carrier)
        .flatMap((b) =>
          b.shapes.map((shape) => {
            const solid = geometryOf(shape);
            const edges = edgesOf(shape, solid).applyMatrix4(placement(shape.at_mm, shape.turn, shape.flip));
            if (shape.kind !== 'disc') solid.dispose(); // tyres are kept for every rig
            return edges;
          }),
        );
      if (pieces.length) {
        const lines = new LineSegments(mergeGeometries(pieces), materials.ghost);
        lines.raycast = () => undefined;
        group.add(lines);
      }
      this.root.add(group);
    }
    this.#rods = new LineSegments(undefined, materials.ghost);
    this.#rods.raycast = () => undefined;
    this.#rods.frustumCulled = false;
    this.root.add(this.#rods);
  }

  place(axles: Axles, frame: Matrix4): void {
    this.root.matrix.copy(frame);
    const points: Vector3[] = [];
    for (const end of ['front', 'rear'] as const) {
      const m = placement(axles[end].origin_mm, axles[end].turn);
      this.#carriers[end].matrix.copy(m);
      this.#carriers[end].visible = axles[end].present;
      for (const l of this.stage.links)
        if (l.axle === end) points.push(toVec(l.from_mm), toVec(l.to_mm).applyMatrix4(m));
      for (const s of axles[end].shocks ?? []) points.push(toVec(s.top_mm), toVec(s.bottom_mm));
    }
    this.#rods.geometry.setFromPoints(points);
    this.root.matrixWorldNeedsUpdate = true;
    this.root.updateMatrixWorld(true);
  }

  dispose(): void {
    this.root.traverse((o) => {
      if (o instanceof LineSegments) o.geometry.dispose();
    });
  }
}
