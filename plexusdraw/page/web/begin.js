// The page begins, of the plexus that its address names.
import { App } from "./app.js";
import { inflate } from "./inflate.js";
import { Injury } from "./injury.js";
import { localise, localiseReport } from "./localise.js";
import { warm } from "./steps.js";

/** The page of another plexus than that of its file. */
function rename(/** @type {string} */ title, /** @type {string} */ caution) {
  document.title = title;
  /** @type {HTMLElement} */ (document.querySelector("footer p")).textContent = caution;
}

/** Begin, and give the results to scripts as `plexusdraw injure --json` and `localise --json` do. */
export async function begin(/** @type {Record<string, any>} */ page, /** @type {() => string} */ pristine) {
  const { address, ...first } = page.first;
  if (address && !location.hash) history.replaceState(null, "", `#${address}`);
  const wanted = new URLSearchParams(location.hash.slice(1)).get("model");
  const at = (page.models || []).findIndex(([id]) => id === wanted), own = at > 0 ? page.more[at - 1] : page;
  const data = JSON.parse(await inflate(own.model));
  const app = new App(data, first, own.scenes, page.models || [[data.id, data.name]], own.figures);
  if (at > 0) rename(app.title, data.caution);
  const { plexus, rule } = app;
  const sites = (ids) => ids.map((id) => plexus.siteById.get(id));
  await app.begin(pristine);
  if (own.limb) await app.beside.unpack(own.limb);
  warm(app);
  return Object.freeze({
    app,
    injure: (ids, partial = false) => new Injury(rule, sites(ids), partial).report(),
    localise: (findings, top = 10) => localiseReport(localise(app.places, findings, top), rule.rules, plexus.data),
  });
}
