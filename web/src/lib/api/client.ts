import { away, problemFrom } from './problem';
import type {
  Assembly,
  BinItem,
  Change,
  Channel,
  Check,
  GuideQuestion,
  PullAnswer,
  Revision,
  Rig,
  RigCard,
  Stage,
} from './types';
import type { System } from '$lib/units/units';
import type { CompareAnswer } from './compare';

type Query = Record<string, string | number | undefined>;

async function request<T>(method: string, path: string, query: Query = {}, body?: unknown, etag?: string): Promise<T> {
  const wanted = Object.entries(query).filter(([, v]) => v !== undefined && v !== '');
  const search = new URLSearchParams(wanted.map(([k, v]) => [k, String(v)])).toString();
  const headers: Record<string, string> = {};
  if (body !== undefined) headers['Content-Type'] = 'application/json';
  if (etag !== undefined) headers['If-Match'] = etag;
  let response: Response;
  try {
    response = await fetch(search ? `${path}?${search}` : path, {
      method,
      headers,
      body: body === undefined ? undefined : JSON.stringify(body),
    });
  } catch {
    throw away();
  }
  const data: unknown = response.status === 204 ? null : await response.json().catch(() => null);
  if (!response.ok) throw problemFrom(response.status, data);
  return data as T;
}

/** The tag that a save must carry: revision and the first eight digits of the hash, as the program writes it. */
export const etagOf = (rig: Rig): string => `"${rig.revision}-${rig.hash.slice(0, 8)}"`;

const at = (id: string, rest = ''): string => `/api/rigs/${encodeURIComponent(id)}${rest}`;

/** What a pull asks: wheel bumps in mm against the design pose, positive up. */
export interface Pull {
  axle: 'front' | 'rear';
  left: number;
  right: number;
  other_left: number;
  other_right: number;
}

export const api = {
  rigs: async () => (await request<{ rigs: RigCard[] }>('GET', '/api/rigs')).rigs,
  newRig: (body: { file: string; text?: string; starter?: string; copy_of?: string }) =>
    request<Rig>('POST', '/api/rigs', {}, body),
  rig: (id: string) => request<Rig>('GET', at(id)),
  save: (rig: Rig, text: string, why: string) => request<Rig>('PUT', at(rig.id), {}, { text, why }, etagOf(rig)),
  edit: (rig: Rig, changes: Change[], why: string) =>
    request<Rig>('POST', at(rig.id, '/edit'), {}, { changes, why }, etagOf(rig)),
  undo: (rig: Rig) => request<Rig>('POST', at(rig.id, '/undo'), {}, undefined, etagOf(rig)),
  redo: (rig: Rig) => request<Rig>('POST', at(rig.id, '/redo'), {}, undefined, etagOf(rig)),
  revisions: async (id: string) => (await request<{ revisions: Revision[] }>('GET', at(id, '/revisions'))).revisions,
  revision: (id: string, number: number) => request<Revision & { text: string }>('GET', at(id, `/revisions/${number}`)),
  parts: async (id: string) => (await request<{ assemblies: Assembly[] }>('GET', at(id, '/parts'))).assemblies,
  bins: async (id: string, kind = '', q = '') =>
    (await request<{ items: BinItem[] }>('GET', at(id, '/bins'), { kind, q })).items,
  check: (id: string, units: System) => request<Check>('GET', at(id, '/check'), { units }),
  stage: (id: string) => request<Stage>('GET', at(id, '/stage')),
  pull: (id: string, pull: Pull, units: System) => request<PullAnswer>('GET', at(id, '/pull'), { ...pull, units }),
  /** What the change from one build to the other did. */
  compare: (from: string, to: string, units: System) =>
    request<CompareAnswer>(
      'GET',
      `/api/compare?rig=${encodeURIComponent(from)}&rig=${encodeURIComponent(to)}&units=${units}`,
    ),
  channels: async () => (await request<{ channels: Channel[] }>('GET', '/api/channels')).channels,
  guide: async () => (await request<{ questions: GuideQuestion[] }>('GET', '/api/guide')).questions,
  /** Brings in a zip of documents and bins; says in words what came. */
  bring: async (file: File): Promise<string> => {
    let response: Response;
    try {
      response = await fetch('/api/workshop/import', {
        method: 'POST',
        headers: { 'Content-Type': 'application/zip' },
        body: file,
      });
    } catch {
      throw away();
    }
    if (!response.ok) throw problemFrom(response.status, await response.json().catch(() => null));
    return `${file.name} is in the workshop.`;
  },
  begin: (file: string, name: string, answers: Record<string, string>) =>
    request<Rig>('POST', '/api/guide', {}, { file, name, answers }),
};
