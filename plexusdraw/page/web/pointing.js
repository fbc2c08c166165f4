// What is pointed at or picked in the picture, by mouse, touch and keyboard.
import { CLEAR_PX_PER_MM, READABLE_PX_PER_MM } from "./frame.js";
import { distanceTo } from "./ways.js";

const NEAR_PX = 9;
const TOUCH_PX = 18;
/** Two targets that differ by less are not told apart by a finger. */
const UNSURE_PX = 6;

export class Pointing {
  /** @param {import("./picture.js").Picture} picture */
  constructor(picture) {
    this.picture = picture;
    this.pointed = "";
    this.current = 0;
    this.listen();
  }

  /** Another scene: its first name is the one that the Tab key comes to. */
  start() {
    for (const { element } of this.picture.items) element.setAttribute("tabindex", "-1");
    this.current = 0;
    this.rove(0);
  }

  listen() {
    const { picture } = this, { svg, box } = picture;
    let from = null;
    svg.addEventListener("pointermove", (event) => {
      if (from && event.buttons && event.pointerType === "mouse") {
        const dx = event.clientX - from.x, dy = event.clientY - from.y;
        if (Math.hypot(dx, dy) > 5) from.moved = true;
        if (from.moved) box.scrollTo(from.left - dx, from.top - dy);
      } else if (event.pointerType === "mouse") this.tell(this.hit(event).id);
    });
    svg.addEventListener("pointerleave", () => this.tell(""));
    svg.addEventListener("pointerdown", (event) => {
      from = { x: event.clientX, y: event.clientY, left: box.scrollLeft, top: box.scrollTop, moved: false };
    });
    svg.addEventListener("click", (event) => {
      const moved = from && from.moved;
      from = null;
      if (moved) return;
      const { id, at, unsure } = this.hit(event);
      if (unsure) this.closer(event);
      else if (id) picture.wish.pick(id, at);
    });
    svg.addEventListener("keydown", (event) => this.key(event));
    box.addEventListener("wheel", (event) => {
      if (!event.ctrlKey) return;
      event.preventDefault();
      picture.zoomBy(event.deltaY < 0 ? 1 : -1, this.placeOf(event));
    }, { passive: false });
  }

  tell(/** @type {string} */ id) {
    if (id === this.pointed) return;
    this.pointed = id;
    this.picture.svg.classList.toggle("pointing", Boolean(id));
    this.picture.wish.point(id);
  }

  /** What lies at a place on the screen; *at*: the position on its course, where it is a strand; *unsure*: too close to others. */
  hit(event) {
    const nothing = { id: "", at: null, unsure: false };
    const { svg, view, scale, items, lens } = this.picture, matrix = svg.getScreenCTM();
    if (!matrix || !view) return nothing;
    const x = (event.clientX - matrix.e) / matrix.a, y = (event.clientY - matrix.f) / matrix.d;
    const touch = event.pointerType === "touch", doubt = touch && scale < CLEAR_PX_PER_MM - 0.1 ? UNSURE_PX / scale : 0;
    const far = (touch ? TOUCH_PX : NEAR_PX) / scale, pad = touch ? far / 2 : 0.6;
    const names = items.filter((item) => this.isShown(item.id)).map((item) => [Math.min(...this.boxesOf(item).map((b) => away(b, x, y))), item.id]);
    const label = lens.at(x, y), own = (names.find(([, id]) => id === label) || [0])[0];
    if (label) return { ...nothing, id: label, unsure: doubt > 0 && names.some(([d, id]) => d < own + doubt && lens.isHidden(id)) };
    const [name, other] = names.filter(([d]) => d <= pad + doubt).sort(([a], [b]) => a - b);
    if (name && name[0] <= pad) {
      if (doubt && (lens.tiny.has(name[1]) || (other && other[0] - name[0] < doubt))) return { ...nothing, unsure: true };
      return { ...nothing, id: name[1] };
    }
    const [found, next] = this.nearest(x, y, Math.max(far, 0.8) + doubt);
    if (!found || found.d > Math.max(far, 0.8)) return nothing;
    if (next && next.d - found.d < doubt) return { ...nothing, unsure: true };
    return { ...nothing, id: found.entity, at: this.spotNear(found.entity, x, y) };
  }

  /** A tap between things that stand too close: come nearer, so that the next tap can tell them apart. */
  closer(event) {
    const { picture } = this;
    picture.zoomTo(picture.scale < READABLE_PX_PER_MM ? 1.2 * READABLE_PX_PER_MM : CLEAR_PX_PER_MM, ...this.placeOf(event));
    picture.wish.closer();
  }

  /** Where on the picture it happens, mm. @returns {[number, number]} */
  placeOf({ clientX, clientY }) {
    const matrix = /** @type {DOMMatrix} */ (this.picture.svg.getScreenCTM());
    return [(clientX - matrix.e) / matrix.a, (clientY - matrix.f) / matrix.d];
  }

  boxesOf({ id, box, blank, more }) {
    return this.picture.view.numbers.has(id) ? [blank] : [box, ...more];
  }

  isShown(id) {
    return this.picture.view.entities.get(id) !== "hidden";
  }

  /** The nearest strands of different entities, with their distance, mm. @returns {{entity: string, d: number}[]} */
  nearest(x, y, far) {
    const best = new Map();
    for (const { entity, way } of this.picture.strands) {
      if (!this.isShown(entity)) continue;
      for (let i = 0; i + 1 < way.length; i += 1) {
        const d = distanceTo(way[i], way[i + 1], x, y);
        if (d <= Math.min(far, best.get(entity) ?? far)) best.set(entity, d);
      }
    }
    return [...best].map(([entity, d]) => ({ entity, d })).sort((a, b) => a.d - b.d);
  }

  spotNear(entity, x, y) {
    const spots = this.picture.scene.spots.filter(([id]) => id === entity);
    const far = ([, , sx, sy]) => Math.hypot(sx / 100 - x, sy / 100 - y);
    return spots.length ? spots.reduce((a, b) => (far(b) < far(a) ? b : a))[1] : null;
  }

  // Keyboard: the picture is one stop of the Tab key; arrows go from name to name.

  rove(/** @type {number} */ i) {
    const before = this.picture.items[this.current], now = this.picture.items[i];
    if (before) before.element.setAttribute("tabindex", "-1");
    if (now) now.element.setAttribute("tabindex", "0");
    this.current = i;
  }

  key(event) {
    if (event.ctrlKey || event.altKey || event.metaKey) return;
    const shown = this.picture.items.map((item, i) => [item, i]).filter(([item]) => this.isShown(item.id));
    const here = shown.findIndex(([, i]) => i === this.current);
    const goal = {
      ArrowDown: () => shown[here + 1], ArrowUp: () => shown[here - 1],
      ArrowRight: () => this.beside(shown, 1), ArrowLeft: () => this.beside(shown, -1),
      Home: () => shown[0], End: () => shown[shown.length - 1],
    }[event.key];
    if (goal) {
      const next = goal();
      if (next) next[0].element.focus();
    } else if (event.key === "Enter" || event.key === " ") {
      const item = this.picture.items[this.current];
      if (item) this.picture.wish.pick(item.id, null);
    } else return;
    event.preventDefault();
  }

  /** The nearest name to the right (1) or left (-1). */
  beside(shown, way) {
    const { box } = this.picture.items[this.current];
    const middle = (b) => [b.x + b.w / 2, b.y + b.h / 2];
    const [x, y] = middle(box);
    const cost = ([item]) => {
      const [ox, oy] = middle(item.box);
      return Math.abs(ox - x) + 1.5 * Math.abs(oy - y);
    };
    const there = shown.filter(([item]) => way * (middle(item.box)[0] - x) > 4);
    return there.length ? there.reduce((a, b) => (cost(b) < cost(a) ? b : a)) : null;
  }
}

/** Distance of a place from a box, mm. */
function away(box, x, y) {
  return Math.hypot(Math.max(0, box.x - x, x - box.x - box.w), Math.max(0, box.y - y, y - box.y - box.h));
}
