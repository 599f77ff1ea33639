import createClient, { type FetchResponse } from 'openapi-fetch';
import type { System } from '$lib/units/units';
import { away, problemFrom } from './problem';
import type { paths } from './schema';
import type {
  Bands,
  BenchAnswer,
  BenchSheet,
  Change,
  Check,
  CompareAnswer,
  Cut,
  End,
  GapAt,
  ExportFormat,
  Lengths,
  Mates,
  Order,
  Prints,
  PullAnswer,
  Ride,
  Rig,
  Rocks,
  SearchAnswer,
  SearchRun,
  SearchSection,
  Stage,
  Steer,
  Templates,
  Strength,
  Weighed,
  WorkshopMesh,
  Work,
} from './types';

const http = createClient<paths>();

/** The answer, or a Problem thrown: nobody there, or refused with a reason. */
async function answer<T extends Record<string | number, unknown>, O, M extends `${string}/${string}`>(
  asked: Promise<FetchResponse<T, O, M>>,
): Promise<NonNullable<FetchResponse<T, O, M>['data']>> {
  let got: FetchResponse<T, O, M>;
  try {
    got = await asked;
  } catch {
    throw away();
  }
  if (got.data === undefined || got.data === null) throw problemFrom(got.response.status, got.error);
  return got.data;
}

/** For what is answered without a body. */
async function done<T extends Record<string | number, unknown>, O, M extends `${string}/${string}`>(
  asked: Promise<FetchResponse<T, O, M>>,
): Promise<void> {
  let got: FetchResponse<T, O, M>;
  try {
    got = await asked;
  } catch {
    throw away();
  }
  if (got.error) throw problemFrom(got.response.status, got.error);
}

/** The tag that a change must carry: revision and the first eight digits of the hash, as the program writes it. */
const tag = (rig: Rig): { 'If-Match': string } => ({ 'If-Match': `"${rig.revision}-${rig.hash.slice(0, 8)}"` });

const of = (id: string): { path: { id: string } } => ({ path: { id } });
const from = (rig: Rig): { path: { id: string }; header: { 'If-Match': string } } => ({
  ...of(rig.id),
  header: tag(rig),
});

/** Wheel bumps of one axle, mm. */
interface Wheels {
  left: number;
  right: number;
}

/** What a pull asks: wheel bumps in mm against the design pose, positive up. */
export interface Pull {
  axle: End;
  left: number;
  right: number;
}

export const api = {
  /** What the program was started with. */
  workshop: () => answer(http.GET('/api/workshop')),
  rigs: async () => (await answer(http.GET('/api/rigs'))).rigs,
  newRig: (body: { file: string; text?: string; starter?: string; copy_of?: string; points?: string }): Promise<Rig> =>
    answer(http.POST('/api/rigs', { body })),
  rig: (id: string): Promise<Rig> => answer(http.GET('/api/rigs/{id}', { params: of(id) })),
  save: (rig: Rig, text: string, why: string): Promise<Rig> =>
    answer(http.PUT('/api/rigs/{id}', { params: from(rig), body: { text, why } })),
  edit: (rig: Rig, changes: Change[], why: string): Promise<Rig> =>
    answer(http.POST('/api/rigs/{id}/edit', { params: from(rig), body: { changes, why } })),
  undo: (rig: Rig): Promise<Rig> => answer(http.POST('/api/rigs/{id}/undo', { params: from(rig) })),
  redo: (rig: Rig): Promise<Rig> => answer(http.POST('/api/rigs/{id}/redo', { params: from(rig) })),
  revisions: async (id: string) => (await answer(http.GET('/api/rigs/{id}/revisions', { params: of(id) }))).revisions,
  revision: (id: string, number: number) =>
    answer(http.GET('/api/rigs/{id}/revisions/{number}', { params: { path: { id, number } } })),
  parts: async (id: string) => (await answer(http.GET('/api/rigs/{id}/parts', { params: of(id) }))).assemblies,
  bins: async (id: string, kind = '', q = '') =>
    (await answer(http.GET('/api/rigs/{id}/bins', { params: { ...of(id), query: { kind, q } } }))).items,
  check: (id: string, units: System): Promise<Check> =>
    answer(http.GET('/api/rigs/{id}/check', { params: { ...of(id), query: { units } } })),
  stage: (id: string): Promise<Stage> => answer(http.GET('/api/rigs/{id}/stage', { params: of(id) })),
  /** All pairs that are near each other with the wheels of both axles there, mm. */
  gaps: async (id: string, at: { front: Wheels; rear: Wheels }): Promise<GapAt[]> =>
    (
      await answer(
        http.GET('/api/rigs/{id}/gaps', {
          params: {
            ...of(id),
            query: {
              front_left: at.front.left,
              front_right: at.front.right,
              rear_left: at.rear.left,
              rear_right: at.rear.right,
            },
          },
        }),
      )
    ).gaps,
  pull: (id: string, pull: Pull): Promise<PullAnswer> =>
    answer(http.GET('/api/rigs/{id}/pull', { params: { ...of(id), query: pull } })),
  /** Joints, needs and lists against the build as it was: the base, or another that is named. */
  mates: (id: string, units: System, against = ''): Promise<Mates> =>
    answer(
      http.GET('/api/rigs/{id}/mates', { params: { ...of(id), query: against ? { units, against } : { units } } }),
    ),
  /** The shopping list against the build as it was. */
  order: (id: string, against = ''): Promise<Order> =>
    answer(http.GET('/api/rigs/{id}/order', { params: { ...of(id), query: against ? { against } : {} } })),
  /** What each link is made of and set to. */
  cut: (id: string): Promise<Cut> => answer(http.GET('/api/rigs/{id}/shop/cut', { params: of(id) })),
  /** Templates at true size; mirror twins once or both. */
  templates: (id: string, twins: 'once' | 'both'): Promise<Templates> =>
    answer(http.GET('/api/rigs/{id}/shop/templates', { params: { ...of(id), query: { twins } } })),
  /** Helpers to print; a tolerance or lengths may be asked for. */
  prints: (id: string, units: System, query: { tolerance?: string; length?: string[] } = {}): Promise<Prints> =>
    answer(http.GET('/api/rigs/{id}/shop/prints', { params: { ...of(id), query: { units, ...query } } })),
  /** The order of work, with what to check on the way. */
  steps: (id: string, units: System, against = ''): Promise<Work> =>
    answer(
      http.GET('/api/rigs/{id}/shop/steps', { params: { ...of(id), query: against ? { units, against } : { units } } }),
    ),
  /** What links and rod ends stand. */
  strength: (id: string, units: System, query: { strike?: string; push?: string } = {}): Promise<Strength> =>
    answer(http.GET('/api/rigs/{id}/shop/strength', { params: { ...of(id), query: { units, ...query } } })),
  /** A part's mesh, read and weighed without being kept. */
  weighMesh: (
    file: Blob,
    query: { units: System; infill?: string; scale?: string; material?: string; file?: string },
  ): Promise<Weighed> =>
    answer(
      http.POST('/api/shop/weigh', {
        params: { query },
        body: file as unknown as string,
        bodySerializer: (b: unknown) => b as Blob,
        headers: { 'Content-Type': 'application/octet-stream' },
      }),
    ),
  meshes: async (): Promise<WorkshopMesh[]> => (await answer(http.GET('/api/meshes'))).meshes,
  /** Brings in an STL or 3MF by its name in the workshop. */
  bringMesh: (file: string, mesh: Blob) =>
    answer(
      http.POST('/api/meshes', {
        params: { query: { file } },
        body: mesh as unknown as string,
        bodySerializer: (b: unknown) => b as Blob,
        headers: { 'Content-Type': 'application/octet-stream' },
      }),
    ),
  removeMesh: (file: string): Promise<void> => done(http.DELETE('/api/meshes', { params: { query: { file } } })),
  /** Formats that the rig can be written in, and what of it each does not hold. */
  exports: async (id: string): Promise<ExportFormat[]> =>
    (await answer(http.GET('/api/rigs/{id}/export', { params: of(id) }))).formats,
  /** The steering at every servo angle of a span, from:to:step in degrees. */
  steer: (id: string, units: System, servo: string): Promise<Steer> =>
    answer(http.GET('/api/rigs/{id}/steer', { params: { ...of(id), query: { units, servo } } })),
  /** How it stands, flexes and tips: the options of the command. With poses, everything that a drawing of it needs. */
  ride: async (
    id: string,
    units: System,
    query: { step?: string; ramp?: string; height?: string; sag?: string; damping?: string; poses?: boolean } = {},
  ): Promise<Ride> =>
    (await answer(http.GET('/api/rigs/{id}/ride', { params: { ...of(id), query: { units, ...query } } }))) as Ride,
  /** What it climbs: the options of the command; empty ones are the program's usual. */
  rocks: async (
    id: string,
    units: System,
    query: {
      obstacle?: string;
      height?: string;
      angle?: string;
      grip?: string;
      speed?: string;
      throttle?: string;
      seed?: string;
      against?: string;
      frames?: boolean;
    },
  ): Promise<Rocks> => {
    const { seed, ...rest } = query;
    const asked = { units, ...rest, ...(seed ? { seed: Number(seed) } : {}) };
    return (await answer(http.GET('/api/rigs/{id}/rocks', { params: { ...of(id), query: asked } }))) as Rocks;
  },
  /** A run over a map of heights. */
  rocksMap: async (
    id: string,
    units: System,
    body: { map: string; grip?: string; speed?: string; throttle?: string; against?: string; frames?: boolean },
  ): Promise<Rocks> =>
    (await answer(http.POST('/api/rigs/{id}/rocks/map', { params: { ...of(id), query: { units } }, body }))) as Rocks,
  /** Link lengths for a wish, and what one turn of each rod end does. */
  lengths: (id: string, axle: End, wish: { wheelbase?: string; pinion?: string; link?: string[] }): Promise<Lengths> =>
    answer(http.GET('/api/rigs/{id}/lengths', { params: { ...of(id), query: { axle, ...wish } } })),
  /** What the change from one build to the other did. */
  compare: (first: string, second: string, units: System): Promise<CompareAnswer> =>
    answer(http.GET('/api/compare', { params: { query: { rig: [first, second], units } } })),
  /** The readings of the document against what the model predicts. */
  bench: async (id: string, units: System): Promise<BenchAnswer> =>
    answer(http.GET('/api/rigs/{id}/bench', { params: { ...of(id), query: { units } } })),
  /** What to measure, in the order of the work. */
  benchSheet: (id: string, units: System): Promise<BenchSheet> =>
    answer(http.GET('/api/rigs/{id}/bench/sheet', { params: { ...of(id), query: { units } } })),
  /** How far the numbers of the build as it is spread. */
  bands: (id: string, units: System): Promise<Bands> =>
    answer(http.GET('/api/rigs/{id}/search/bands', { params: { ...of(id), query: { units } } })),
  /** What the document says of a search, and what it could say. */
  searchSection: (id: string, units: System): Promise<SearchSection> =>
    answer(http.GET('/api/rigs/{id}/search', { params: { ...of(id), query: { units } } })),
  searches: async (id: string): Promise<SearchRun[]> =>
    (await answer(http.GET('/api/rigs/{id}/searches', { params: of(id) }))).searches,
  beginSearch: (id: string, units: System): Promise<SearchRun> =>
    answer(http.POST('/api/rigs/{id}/searches', { params: { ...of(id), query: { units } }, body: { builds: 20 } })),
  stopSearch: (run: string): Promise<SearchRun> =>
    answer(http.POST('/api/searches/{run}/stop', { params: { path: { run } } })),
  continueSearch: (run: string): Promise<SearchRun> =>
    answer(http.POST('/api/searches/{run}/continue', { params: { path: { run } } })),
  deleteSearch: async (run: string): Promise<void> => {
    await done(http.DELETE('/api/searches/{run}', { params: { path: { run } } }));
  },
  found: (run: string): Promise<SearchAnswer> =>
    answer(http.GET('/api/searches/{run}/answer', { params: { path: { run } } })),
  foundStage: (run: string, build: number): Promise<Stage> =>
    answer(http.GET('/api/searches/{run}/builds/{build}/stage', { params: { path: { run, build } } })),
  foundBands: (run: string, build: number, units: System): Promise<Bands> =>
    answer(
      http.GET('/api/searches/{run}/builds/{build}/bands', { params: { path: { run, build }, query: { units } } }),
    ),
  foundOrder: (run: string, build: number): Promise<Order> =>
    answer(http.GET('/api/searches/{run}/builds/{build}/order', { params: { path: { run, build } } })),
  channels: async () => (await answer(http.GET('/api/channels'))).channels,
  guide: async () => (await answer(http.GET('/api/guide'))).questions,
  begin: (file: string, name: string, answers: Record<string, string>): Promise<Rig> =>
    answer(http.POST('/api/guide', { body: { file, name, answers } })),
  /** Brings in a zip of documents and bins. */
  bring: async (zip: Blob) =>
    (
      await answer(
        http.POST('/api/workshop/import', {
          body: zip as never, // the description calls it a binary text
          bodySerializer: (b) => b,
          headers: { 'Content-Type': 'application/zip' },
        }),
      )
    ).files,
};
