// The sheet over the lower part of a small screen: dragged, or enlarged by its handle; and the menus.

const SHARES = [22, 42, 82];
/** While an answer is typed to what the picture asks. */
const ASKED = 66;

/** @param {HTMLElement} grip the handle @param {() => void} resized */
export function makeSheet(grip, resized) {
  const root = document.documentElement, main = /** @type {HTMLElement} */ (document.querySelector("main"));
  let share = SHARES[1], from = null;
  const set = (wish) => {
    share = Math.max(SHARES[0], Math.min(SHARES[2], wish));
    root.style.setProperty("--sheet", `${share.toFixed(1)}%`);
    const large = share > 60;
    grip.setAttribute("aria-expanded", String(large));
    grip.textContent = large ? "Make smaller" : "Enlarge";
    resized();
  };
  grip.addEventListener("pointerdown", (event) => {
    from = { y: event.clientY, share: (100 * /** @type {HTMLElement} */ (grip.parentElement).offsetHeight) / main.clientHeight, moved: false };
    grip.setPointerCapture(event.pointerId);
  });
  grip.addEventListener("pointermove", (event) => {
    if (!from) return;
    const by = from.y - event.clientY;
    if (Math.abs(by) > 4) from.moved = true;
    if (from.moved) set(from.share + (100 * by) / main.clientHeight);
  });
  grip.addEventListener("click", () => {
    const { moved } = from || { moved: false };
    from = null;
    if (!moved) set(share > 60 ? SHARES[1] : SHARES[2]);
  });
  // A keyboard on the screen takes its lower half: what is typed and offered stands above it, as long as one types.
  const panel = /** @type {HTMLElement} */ (grip.parentElement), touch = matchMedia("(pointer: coarse)"), typed = (event) => touch.matches && event.target.matches("input[type=text]");
  let before = 0;
  panel.addEventListener("focusin", (event) => {
    if (!typed(event) || before) return;
    before = share;
    set(event.target.closest(".typed") ? ASKED : SHARES[2]);
  });
  panel.addEventListener("focusout", (event) => {
    if (!typed(event) || !before) return;
    set(before);
    before = 0;
  });
  grip.addEventListener("keydown", (event) => {
    const step = { ArrowUp: 10, ArrowDown: -10 }[event.key];
    if (!step) return;
    event.preventDefault();
    set(share + step);
  });
}

/** Menus that close at Escape, at a press elsewhere, and when another opens. */
export function makeMenus() {
  const menus = /** @type {HTMLDetailsElement[]} */ ([...document.querySelectorAll("details.menu")]);
  const close = (kept) => menus.filter((menu) => menu !== kept).forEach((menu) => { menu.open = false; });
  addEventListener("pointerdown", (event) => close(menus.find((menu) => menu.contains(/** @type {Node} */ (event.target)))));
  menus.forEach((menu) => {
    menu.addEventListener("toggle", () => menu.open && close(menu));
    menu.addEventListener("focusout", (event) => { if (event.relatedTarget && !menu.contains(/** @type {Node} */ (event.relatedTarget))) menu.open = false; });
    menu.addEventListener("keydown", (event) => {
      if (event.key !== "Escape" || !menu.open) return;
      menu.open = false;
      menu.querySelector("summary")?.focus();
    });
  });
}
