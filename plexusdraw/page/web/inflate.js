// The first of the page: unpacks the rest and runs it, which the policy allows by its hash.

const DIGITS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz!#$%&()*+-;,=>?@^_`{|}~";

/** The unpacked text of base 85 of raw deflate. */
export async function inflate(/** @type {string} */ packed) {
  const values = new Map([...DIGITS].map((digit, i) => [digit, i]));
  const whole = packed.padEnd(5 * Math.ceil(packed.length / 5), "~");
  const bytes = new DataView(new ArrayBuffer((whole.length / 5) * 4));
  for (let i = 0; i < whole.length; i += 5) {
    let value = 0;
    for (let j = i; j < i + 5; j += 1) value = value * 85 + values.get(whole[j]);
    bytes.setUint32((i / 5) * 4, value);
  }
  const stream = new Blob([bytes.buffer.slice(0, bytes.byteLength - whole.length + packed.length)]).stream();
  return new Response(stream.pipeThrough(new DecompressionStream("deflate-raw"))).text();
}

/** Run the packed script; the page as it came is kept, to save it again with other settings. */
export async function load() {
  const page = JSON.parse(document.getElementById("data")?.textContent || "{}");
  const pristine = `<!doctype html>\n${document.documentElement.outerHTML}`;
  const script = document.createElement("script");
  script.textContent = await inflate(page.script);
  document.body.append(script);
  script.remove();
  return globalThis.plexusdrawBegin(page, pristine);
}
