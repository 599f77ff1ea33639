import {
  BoxGeometry,
  BufferGeometry,
  CapsuleGeometry,
  CylinderGeometry,
  EdgesGeometry,
  ExtrudeGeometry,
  Float32BufferAttribute,
  Matrix4,
  Shape as Outline,
  Vector3,
} from 'three';
import type { Shape } from '$lib/api/types';
import { tyreGeometry, tyreOutline } from './tyre';

const vec = (a: number[] | undefined): Vector3 => new Vector3(a?.[0] ?? 0, a?.[1] ?? 0, a?.[2] ?? 0);

/** Placement: outer = at + R·inner, inner mirrored at its own x–z plane first when flip is set (as package solid has it). */
export function placement(at: number[], turn: number[], flip = false): Matrix4 {
  const [a = 1, b = 0, c = 0, d = 0, e = 1, f = 0, g = 0, h = 0, i = 1] = turn;
  const s = flip ? -1 : 1;
  const p = vec(at);
  return new Matrix4().set(a, s * b, c, p.x, d, s * e, f, p.y, g, s * h, i, p.z, 0, 0, 0, 1);
}

/** The shape in its own frame, mm. A disc is a tyre: tread, side walls and rim. */
export function geometryOf(shape: Shape): BufferGeometry {
  const size = vec(shape.size_mm);
  switch (shape.kind) {
    case 'box':
      return new BoxGeometry(size.x, size.y, size.z);
    case 'cylinder':
      return new CylinderGeometry(size.y / 2, size.y / 2, size.x, 28).rotateZ(Math.PI / 2);
    case 'capsule':
      return new CapsuleGeometry(size.y / 2, size.x, 4, 14).rotateZ(Math.PI / 2);
    case 'prism': {
      const outline = new Outline();
      (shape.outline_mm ?? []).forEach((p, i) => {
        if (i === 0) outline.moveTo(p?.[0] ?? 0, p?.[1] ?? 0);
        else outline.lineTo(p?.[0] ?? 0, p?.[1] ?? 0);
      });
      outline.closePath();
      return new ExtrudeGeometry(outline, { depth: size.z, bevelEnabled: false }).translate(0, 0, -size.z / 2);
    }
    case 'disc':
      return tyreGeometry(size.x, size.y);
    case 'mesh': {
      const g = new BufferGeometry();
      g.setAttribute('position', new Float32BufferAttribute(floats(shape.triangles ?? ''), 3));
      g.computeVertexNormals();
      return g;
    }
  }
}

/** Little-endian float32 from base64. */
function floats(base64: string): Float32Array {
  const bytes = Uint8Array.from(atob(base64), (c) => c.charCodeAt(0));
  const view = new DataView(bytes.buffer);
  return Float32Array.from({ length: bytes.length >> 2 }, (_, i) => view.getFloat32(4 * i, true));
}

/** The outline of the shape as line segments: what a draughtsman would draw. */
export function edgesOf(shape: Shape, geometry: BufferGeometry): BufferGeometry {
  if (shape.kind === 'disc') return tyreOutline(shape.size_mm[0] ?? 1, shape.size_mm[1] ?? 1);
  return new EdgesGeometry(geometry, 32);
}
