const kinds: Record<string, string> = { links: 'link', shocks: 'shock', shafts: 'shaft' };

/** What a path of the document is called on a button, or null when there is nothing of it to show. */
export function aboutName(path: string): string | null {
  const [head, ...rest] = path.split('/');
  if (head === 'chassis' || head === 'front' || head === 'rear') {
    return rest[0] === 'parts' && rest[1] ? rest.slice(1).join('/') : null;
  }
  if (head === 'steer') return rest[0] === 'tie_rod' ? 'tie rod' : rest[0] === 'drag_link' ? 'drag link' : null;
  const kind = head ? kinds[head] : undefined;
  return kind && rest[0] ? `${rest[0]} ${kind}` : null;
}
