import type { Assembly, Change, Joint, Unmet } from '$lib/api/types';
import { yamlText } from '$lib/api/yaml';
import { partOf } from './graph';

/**
 * The change of the document that puts a bin item in where something is needed: a part of its own beside the one that needs
 * it, sitting on it. Null when that is no part of an assembly (a link, say): then there is nothing to put it on.
 */
export function putIn(
  assemblies: Assembly[],
  unmet: Unmet,
  item: string,
): { name: string; path: string[]; changes: Change[] } | null {
  const home = assemblies.find((a) => ['chassis', 'front', 'rear'].includes(a.word) && named(a, unmet.part));
  if (!home) return null;
  const taken = new Set(home.parts.map((p) => p.name));
  const plain = `${unmet.part} ${unmet.port}`.replace(/ (seat|hole|shaft)$/, '');
  let name = `${plain} ${item.split('-')[0] ?? 'part'}`;
  for (let n = 2; taken.has(name); n++) name = `${plain} ${item.split('-')[0] ?? 'part'} ${n}`;
  const path = [home.word, 'parts', name];
  const pair = unmet.count === 2 && named(home, unmet.part)?.pair !== true ? ', pair: true' : '';
  return { name, path, changes: [{ path, value: `{item: ${yamlText(item)}, on: ${yamlText(unmet.part)}${pair}}` }] };
}

const named = (a: Assembly, name: string): Assembly['parts'][number] | undefined =>
  a.parts.find((p) => p.name === name);

/** The changes that write the joints which were found under mates, each under a name that is free. */
export function writeJoints(joints: Joint[]): Change[] {
  const taken = new Set(joints.map((j) => j.name));
  return joints
    .filter((j) => j.found)
    .map((j) => {
      const plain = `${partOf(j.b)} in ${partOf(j.a)}`;
      let name = plain;
      for (let n = 2; taken.has(name); n++) name = `${plain} ${n}`;
      taken.add(name);
      return { path: ['mates', name], value: `[${yamlText(j.a)}, ${yamlText(j.b)}]` };
    });
}
