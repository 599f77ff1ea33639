/**
 * Drawing that keeps up: a machine whose frames take long gets a coarser picture while something moves, and the fine one as soon
 * as it is still. Machines with a real graphics processor never notice.
 */
export class Pace {
  #slow: boolean;
  #moving = false;
  #last = 0;
  #timer: ReturnType<typeof setTimeout> | undefined;
  #still: () => void;

  /** still is called when a coarse picture should be drawn again, finely. */
  constructor(gl: WebGLRenderingContext | WebGL2RenderingContext, still: () => void) {
    this.#still = still;
    const info = gl.getExtension('WEBGL_debug_renderer_info');
    const name = info ? String(gl.getParameter(info.UNMASKED_RENDERER_WEBGL)) : '';
    this.#slow = /swiftshader|llvmpipe|software|basic render/i.test(name);
  }

  /** Whether the next frame is to be a coarse one. */
  get coarse(): boolean {
    return this.#slow && this.#moving;
  }

  /** Something on the stage moves: the rig or the camera. */
  moved(): void {
    if (!this.#moving) this.#last = 0;
    this.#moving = true;
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => {
      this.#moving = false;
      if (this.#slow) this.#still();
    }, 400);
  }

  /** A frame begins; now in ms. Frames of one movement that come too far apart make the machine a slow one. */
  frame(now: number): void {
    const gap = now - this.#last;
    if (this.#moving && this.#last > 0 && gap > 60 && gap < 200) this.#slow = true;
    this.#last = now;
  }

  stop(): void {
    clearTimeout(this.#timer);
  }
}
