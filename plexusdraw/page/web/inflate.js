// The first of the page: unpacks the rest and runs it, which the policy allows by its hash.

const DIGITS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz!#$%&()*+-;,=>?@^_`{|}~";

const VALUES = new Uint8Array(128);
[...DIGITS].forEach((digit, i) => { VALUES[digit.charCodeAt(0)] = i; });

/** The unpacked text of base 85 of raw deflate. */
export async function inflate(/** @type {string} */ packed) {
  const whole = packed.padEnd(5 * Math.ceil(packed.length / 5), "~");
  const bytes = new DataView(new ArrayBuffer((whole.length / 5) * 4));
  for (let i = 0; i < whole.length; i += 5) {
    let value = 0;
    for (let j = i; j < i + 5; j += 1) value = value * 85 + VALUES[whole.charCodeAt(j)];
    bytes.setUint32((i / 5) * 4, value);
  }
  const stream = new Blob([bytes.buffer.slice(0, bytes.byteLength - whole.length + packed.length)]).stream();
  return new Response(stream.pipeThrough(new DecompressionStream("deflate-raw"))).text();
}

/** Run the packed script; the page as it came is kept, to save it again with other settings. */
export async function load() {
  const holder = /** @type {HTMLElement} */ (document.getElementById("data")), data = holder.textContent || "{}", page = JSON.parse(data);
  holder.textContent = "";
  const shell = `<!doctype html>\n${document.documentElement.outerHTML}`, at = shell.indexOf(">", shell.indexOf('id="data"')) + 1;
  const pristine = () => shell.slice(0, at) + data + shell.slice(at);
  const script = document.createElement("script");
  script.textContent = await inflate(page.script);
  document.body.append(script);
  script.remove();
  return globalThis.plexusdrawBegin(page, pristine);
}
