import type { Camera, Matrix4, Vector3 } from 'three';

export interface Label {
  key: string;
  text: string;
  at: Vector3; // chassis frame
  tone: 'load' | 'stop' | 'watch' | 'swing' | 'hover' | 'mark' | 'ruler';
}

/** Words on the stage: plain elements laid over the picture, pushed apart where they would cover each other. */
export class Labels {
  #host: HTMLElement;
  #shown = new Map<string, HTMLElement>();
  #list: Label[] = [];

  constructor(host: HTMLElement) {
    this.#host = host;
  }

  set(list: Label[]): void {
    this.#list = list;
    const keys = new Set(list.map((l) => l.key));
    for (const [key, element] of this.#shown) {
      if (!keys.has(key)) {
        element.remove();
        this.#shown.delete(key);
      }
    }
    for (const l of list) {
      let element = this.#shown.get(l.key);
      if (!element) {
        element = document.createElement('div');
        this.#host.append(element);
        this.#shown.set(l.key, element);
      }
      if (element.textContent !== l.text) element.textContent = l.text;
      element.className = `label ${l.tone}`;
    }
  }

  /** Moves every label to where its point is seen. */
  lay(root: Matrix4, camera: Camera, width: number, height: number): void {
    const placed: { x: number; y: number; w: number; h: number }[] = [];
    for (const l of this.#list) {
      const element = this.#shown.get(l.key);
      if (!element) continue;
      const p = l.at.clone().applyMatrix4(root).project(camera);
      if (p.z > 1 || Math.abs(p.x) > 3 || Math.abs(p.y) > 3) {
        element.style.visibility = 'hidden';
        continue;
      }
      const w = l.text.length * 7.4 + 18;
      const h = 24;
      const x = Math.min(Math.max(((p.x + 1) / 2) * width, w / 2 + 4), width - w / 2 - 4);
      let y = Math.min(Math.max(((1 - p.y) / 2) * height, h), height - h / 2 - 4);
      for (let tries = 0; tries < 8; tries++) {
        const hit = placed.find((q) => Math.abs(q.x - x) * 2 < q.w + w && Math.abs(q.y - y) * 2 < q.h + h);
        if (!hit) break;
        y = hit.y + (l.at.z < 0 ? 1 : -1) * (h + 1);
        if (y < h) y = hit.y + h + 1;
      }
      placed.push({ x, y, w, h });
      element.style.visibility = 'visible';
      element.style.transform = `translate(${x.toFixed(1)}px, ${y.toFixed(1)}px) translate(-50%, -50%)`;
    }
  }
}
