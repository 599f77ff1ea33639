import type { BufferGeometry, Matrix4 } from 'three';

/** A copy of the geometry where the frame puts it, ready to be merged: indexed, no uv, faces outward also after mirroring. */
export function placed(geometry: BufferGeometry, frame: Matrix4): BufferGeometry {
  const out = geometry.clone().applyMatrix4(frame);
  for (const name of Object.keys(out.attributes))
    if (name !== 'position' && name !== 'normal') out.deleteAttribute(name);
  out.clearGroups();
  const index = out.index
    ? Array.from(out.index.array)
    : Array.from({ length: out.getAttribute('position').count }, (_, i) => i);
  if (frame.determinant() < 0) {
    for (let i = 0; i < index.length; i += 3) [index[i + 1], index[i + 2]] = [index[i + 2] ?? 0, index[i + 1] ?? 0];
  }
  return out.setIndex(index);
}
