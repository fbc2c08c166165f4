// What a reader got wrong comes back: after a few questions, then after 1, 3 and 7 days. It is kept on the device only if the reader asks.

const STORE = "plexusdraw-results";
const DAY_MS = 86400000;
const DAYS = [1, 3, 7];
const MOST_LINES = 2000;

/** @typedef {{when: number, kind: string, about: string, prompt: string, right: string, given: string, verdict: string}} Line */

export class Memory {
  /** @param {string} plexus id, since each plexus has a memory of its own */
  constructor(plexus) {
    this.key = `${STORE}-${plexus}`;
    this.now = () => Date.now();
    const found = stored("localStorage", this.key);
    const fine = found && Array.isArray(found.lines) && Array.isArray(found.due);
    this.on = Boolean(fine);
    /** @type {Line[]} */
    this.lines = fine ? found.lines.filter((line) => line && typeof line.prompt === "string") : [];
    /** @type {{kind: string, about: string, step: number, due: number}[]} */
    this.due = fine ? found.due.filter((item) => item && typeof item.kind === "string" && typeof item.about === "string" && DAYS[item.step]) : [];
  }

  get right() {
    return this.lines.filter(({ verdict }) => verdict !== "wrong").length;
  }

  /** @param {Line} line */
  add(line) {
    this.lines = [...this.lines, line].slice(-MOST_LINES);
    const { kind, about } = line, known = this.due.find((item) => item.kind === kind && item.about === about);
    const rest = this.due.filter((item) => item !== known), now = this.now();
    const put = (step) => rest.push({ kind, about, step, due: now + DAYS[step] * DAY_MS });
    if (line.verdict === "wrong") put(0);
    else if (known && known.due > now) rest.push(known);
    else if (known && known.step + 1 < DAYS.length) put(known.step + 1);
    this.due = rest;
    this.save();
  }

  /** What should be asked again now. */
  ripe() {
    const now = this.now();
    return this.due.filter(({ due }) => due <= now);
  }

  keep(/** @type {boolean} */ on) {
    this.on = on;
    if (!on) {
      this.lines = [];
      this.due = [];
    }
    this.save();
  }

  /** Whether it could be kept: a browser may refuse. */
  save() {
    this.on = store("localStorage", this.key, this.on ? { lines: this.lines, due: this.due } : null) && this.on;
    return this.on;
  }
}

/** @returns {any} what is kept, or null */
export function stored(/** @type {"localStorage" | "sessionStorage"} */ where, /** @type {string} */ key) {
  try {
    return JSON.parse(window[where].getItem(key) || "null");
  } catch {
    return null;
  }
}

/** Keep a value, or nothing; whether the browser did. */
export function store(/** @type {"localStorage" | "sessionStorage"} */ where, /** @type {string} */ key, value) {
  try {
    if (value) window[where].setItem(key, JSON.stringify(value));
    else window[where].removeItem(key);
    return true;
  } catch {
    return false;
  }
}

/** Rows as CSV (RFC 4180); a cell that a spreadsheet would take for a formula is marked as text. */
export function csv(/** @type {string[][]} */ rows) {
  const cell = (text) => {
    const safe = /^[=+\-@\t\r]/.test(text) ? `'${text}` : text;
    return /[",\n\r]/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
  };
  return rows.map((row) => `${row.map(cell).join(",")}\r\n`).join("");
}
