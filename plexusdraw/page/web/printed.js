// What is printed: the picture as its page, or with lists the drawing in what room they leave, its names as large as on a screen.
import { h } from "./widgets.js";

/** Modes that print the picture with lists, on one page. */
const LISTED = ["explore", "injure", "find"];
/** So long after a picture with its table is shown that the one without it, which is printed, gets ready. */
const UNPACK_MS = 300;

/** The detail that is drawn. Beside printed lists the picture needs no table, whose rows would be too small to read. @param {import("./app.js").App} app */
export function detailOf({ shown: { detail, names }, listing, scenes }) {
  return listing && detail === "muscles" && scenes.has(`nerves ${names}`) ? "nerves" : detail;
}

/** Have ready what will be printed in place of a picture with its table: a browser does not wait for it. @param {import("./app.js").App} app */
export function toPrint(app) {
  const key = `nerves ${app.shown.names}`;
  if (app.shown.detail === "muscles" && app.scenesPacked[key]) setTimeout(() => app.scenes.has(key) || app.unpack(key), UNPACK_MS);
}

/** Before and after printing. @param {import("./app.js").App} app @param {boolean} on */
export function onPaper(app, on) {
  const told = on ? app.mode.paper() : [], root = document.documentElement, paper = /** @type {HTMLElement} */ (document.getElementById("paper"));
  app.printing = on;
  app.listing = told.length > 0 && LISTED.includes(app.shown.mode);
  app.picture.printing = on ? "page" : "";
  app.beside.place();
  app.refresh();
  root.classList.toggle("listed", app.listing);
  if (app.listing) app.picture.fitPaper(detailOf(app) !== "muscles");
  paper.replaceChildren(...(told.length ? [h("h1", {}, app.heading), ...told, h("p", { className: "soft" }, app.plexus.data.caution)] : []));
}
