import { parsePlace, writePlace, type Place } from './place';

class Route {
  #place = $state.raw<Place>(parsePlace(location.hash));

  constructor() {
    addEventListener('hashchange', () => {
      this.#place = parsePlace(location.hash);
    });
  }

  get place(): Place {
    return this.#place;
  }

  go(part: Partial<Place>): void {
    const hash = writePlace({ ...this.#place, begin: false, ...part });
    if (hash !== location.hash) location.hash = hash;
    this.#place = parsePlace(hash);
  }
}

export const route = new Route();
