// The limb with the plexus: where it stands, how the two share the screen, and its states.
import { inflate } from "./inflate.js";
import { Limb, limbStates } from "./limb.js";
import { split } from "./split.js";

/** Room for the limb beside the plexus, rather than under the result. */
const BESIDE = "(min-width: 75rem)";
/** Height of the words over a figure of the limb; width of its key in one line. */
const WORDS_PX = 20, KEY_PX = 700;

export class Beside {
  /** @param {import("./app.js").App} app @param {{many: number, shape: number} | null} figures what is known of the limb before it is unpacked */
  constructor(app, figures) {
    this.app = app;
    this.figures = figures;
    /** @type {Limb | null} */
    this.limb = null;
    this.shared = false;
    this.box = /** @type {HTMLElement} */ (document.getElementById("limb"));
    this.pictures = /** @type {HTMLElement} */ (document.getElementById("pictures"));
    matchMedia(BESIDE).addEventListener("change", () => this.place());
  }

  /** The limb comes after all else; its place is kept. @param {string} packed */
  async unpack(packed) {
    await new Promise((done) => setTimeout(done, 0));
    const { app } = this;
    this.limb = new Limb(this.box, JSON.parse(await inflate(packed)), { point: (id) => app.point(id), pick: (id) => app.mode.pick(id, null), name: (id) => app.name(id) });
    this.draw(app.mode.request());
  }

  /** It stands with the plexus where there is room, else under the result; on paper under the plexus. */
  place() {
    if (this.app.printing || matchMedia(BESIDE).matches) this.pictures.append(this.box);
    else document.getElementById("content")?.after(this.box);
    this.share();
  }

  /** The screen is shared, so that plexus and limb are as large as can be. */
  share() {
    const { pictures, box, figures } = this, { picture, printing } = this.app;
    this.shared = Boolean(picture.scene);
    const together = figures && !box.hidden && !printing && box.parentElement === pictures && this.shared;
    const { clientWidth: wide, clientHeight: high } = pictures;
    const found = together ? split({ wide, high, screen: innerHeight }, (w, h) => picture.scaleIn(w, h), { ...figures, words: WORDS_PX, key: KEY_PX }) : null;
    pictures.classList.toggle("stacked", Boolean(found?.under));
    for (const [name, value] of [["--limb", found?.size], ["--figure", found?.figure]]) pictures.style.setProperty(String(name), value ? `${value}px` : "");
    pictures.style.setProperty("--columns", String(found?.columns || 2));
    picture.resized();
  }

  /** Not beside blanks, which it would fill in. */
  hide() {
    const { shown, view } = this.app, off = !this.figures || shown.figures === "hidden" || shown.mode === "test" || view.blanks.size > 0;
    if (this.box.hidden === off && this.shared) return;
    this.box.hidden = off;
    this.share();
  }

  /** In the states of the plexus. @param {import("./view.js").Request} request */
  draw(request) {
    const { limb, app } = this;
    if (!limb || this.box.hidden) return;
    app.limbStates = limbStates(app.plexus, limb.ids, request);
    this.injury = request.injury;
    limb.show(app.limbStates, app.look(), app.shown.side, app.latin, (id) => this.wordOf(id));
  }

  /** The state of a muscle or area in words. */
  wordOf(/** @type {string} */ id) {
    const { app, injury } = this, state = app.limbStates?.get(id) || "plain";
    if (state === "highlit") return "lit";
    return !injury || state === "plain" || state === "dimmed" ? "" : app.plexus.data.rules.rowWords[injury.outcome(id).state];
  }
}
