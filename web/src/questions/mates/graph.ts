import type { Joint, Unmet } from '$lib/api/types';

/**
 * Parts and their joints as rows of a tree: what holds most comes first, what is joined to it hangs below, faults before the
 * rest. Joints that close a ring are drawn beside the rows. Only a drawing: which joints there are, and whether they fit, is
 * what the program answered.
 */
export interface Row {
  part: string;
  missing: string; // what is needed and absent: the row stands for it instead of a part
  depth: number;
  parent: number; // row, −1 for the first of a group
  joints: Joint[]; // with the parent
  last: boolean; // of its parent
}

export interface Ring {
  upper: number;
  lower: number;
  lane: number;
  joints: Joint[];
}

export interface Graph {
  rows: Row[];
  rings: Ring[];
  lanes: number;
}

/** The part that a port belongs to: "gearbox/top shaft" is of gearbox, "rear lower, axle end" of rear lower. */
export const partOf = (port: string): string => port.split('/')[0]?.replace(/, (chassis|axle) end$/, '') ?? port;

interface Edge {
  a: string;
  b: string;
  joints: Joint[];
}

const faulty = (e: Edge): boolean => e.joints.some((j) => !j.ok);

export function graphOf(joints: Joint[], unmet: Unmet[]): Graph {
  const edges = new Map<string, Edge>();
  const around = new Map<string, Edge[]>();
  const near = (part: string): Edge[] => {
    const list = around.get(part) ?? [];
    around.set(part, list);
    return list;
  };
  for (const j of joints) {
    const [a, b] = [partOf(j.a), partOf(j.b)];
    const key = [a, b].toSorted().join('\n');
    const known = edges.get(key);
    if (known) {
      known.joints.push(j);
      continue;
    }
    const edge = { a, b, joints: [j] };
    edges.set(key, edge);
    near(a).push(edge);
    if (b !== a) near(b).push(edge);
  }
  const needs = new Map<string, Unmet[]>();
  for (const u of unmet) {
    near(u.part);
    needs.set(u.part, [...(needs.get(u.part) ?? []), u]);
  }
  const bad = (part: string): number => near(part).filter(faulty).length + (needs.get(part)?.length ?? 0);

  const rows: Row[] = [];
  const at = new Map<string, number>();
  const drawn = new Set<Edge>();
  // Breadth first, so that no part hangs deeper than it must; then written out branch by branch.
  const parts = [...around.keys()].toSorted((p, q) => near(q).length - near(p).length || p.localeCompare(q));
  const groups: { root: string; below: Map<string, Edge[]>; bad: number; size: number }[] = [];
  const seen = new Set<string>();
  for (const root of parts) {
    if (seen.has(root)) continue;
    seen.add(root);
    const below = new Map<string, Edge[]>();
    const queue = [root];
    for (let part = queue.shift(); part !== undefined; part = queue.shift()) {
      for (const e of near(part)) {
        const other = e.a === part ? e.b : e.a;
        if (seen.has(other)) continue;
        seen.add(other);
        drawn.add(e);
        below.set(part, [...(below.get(part) ?? []), e]);
        queue.push(other);
      }
    }
    const all = [root, ...[...below.entries()].flatMap(([p, list]) => list.map((e) => (e.a === p ? e.b : e.a)))];
    groups.push({ root, below, bad: all.reduce((n, p) => n + bad(p), 0), size: all.length });
  }
  groups.sort((p, q) => Number(q.bad > 0) - Number(p.bad > 0) || q.size - p.size);

  for (const group of groups) {
    const troubled = (part: string): number =>
      bad(part) + (group.below.get(part) ?? []).reduce((n, e) => n + troubled(e.a === part ? e.b : e.a), 0);
    const write = (part: string, parent: number, depth: number, joined: Joint[], last: boolean): void => {
      const row = rows.length;
      at.set(part, row);
      rows.push({ part, missing: '', depth, parent, joints: joined, last });
      const needed = needs.get(part) ?? [];
      const below = (group.below.get(part) ?? [])
        .map((e) => ({ e, other: e.a === part ? e.b : e.a }))
        .toSorted(
          (p, q) =>
            Number(faulty(q.e)) - Number(faulty(p.e)) || Number(troubled(q.other) > 0) - Number(troubled(p.other) > 0),
        );
      needed.forEach((u, i) => {
        const end = i === needed.length - 1 && below.length === 0;
        rows.push({ part, missing: u.needs, depth: depth + 1, parent: row, joints: [], last: end });
      });
      below.forEach(({ e, other }, i) => write(other, row, depth + 1, e.joints, i === below.length - 1));
    };
    write(group.root, -1, 0, [], true);
  }

  const rings: Ring[] = [];
  for (const e of edges.values()) {
    const [a, b] = [at.get(e.a), at.get(e.b)];
    if (drawn.has(e) || a === undefined || b === undefined || a === b) continue;
    rings.push({ upper: Math.min(a, b), lower: Math.max(a, b), lane: 0, joints: e.joints });
  }
  rings.sort((p, q) => p.lower - p.upper - (q.lower - q.upper));
  const lanes: Ring[][] = [];
  for (const r of rings) {
    const free = lanes.findIndex((lane) => lane.every((o) => o.lower < r.upper || o.upper > r.lower));
    r.lane = free < 0 ? lanes.length : free;
    (lanes[r.lane] ??= []).push(r);
  }
  return { rows, rings, lanes: lanes.length };
}
