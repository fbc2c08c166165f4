// Save the picture as SVG or PNG. Nothing leaves the browser.
import { number, svgElement } from "./svg.js";

const PNG_PX_PER_MM = 8;
const FAMILIES = "'Atkinson Hyperlegible', Verdana, Arial, Helvetica, sans-serif";

/** The picture as an SVG file of its own, with the fonts of the page. @param {import("./picture.js").Picture} picture */
export function svgText(picture, title) {
  const { wide, high } = picture;
  const svg = svgElement("svg", {
    width: `${number(wide)}mm`, height: `${number(high)}mm`, viewBox: `0 0 ${number(wide)} ${number(high)}`, role: "img", lang: "en",
  });
  const told = svgElement("title");
  told.textContent = title;
  const fonts = svgElement("style");
  fonts.textContent = (document.getElementById("style")?.textContent || "").split("\n").filter((line) => line.startsWith("@font-face")).join("");
  const body = svgElement("g", { "font-family": FAMILIES });
  body.append(...[...picture.drawing.children].map((node) => node.cloneNode(true)));
  for (const group of body.children) group.removeAttribute("class");
  svg.append(told, fonts, picture.paper.cloneNode(), body);
  return `<?xml version="1.0" encoding="UTF-8"?>\n${new XMLSerializer().serializeToString(svg)}\n`;
}

export function saveSvg(picture, title) {
  download(new Blob([svgText(picture, title)], { type: "image/svg+xml" }), `${fileName(title)}.svg`);
}

/** @returns {Promise<Blob>} */
export async function pngBlob(picture, title) {
  const image = new Image();
  image.src = `data:image/svg+xml;charset=utf-8,${encodeURIComponent(svgText(picture, title))}`;
  await image.decode();
  const canvas = document.createElement("canvas");
  canvas.width = Math.round(picture.wide * PNG_PX_PER_MM);
  canvas.height = Math.round(picture.high * PNG_PX_PER_MM);
  const pen = canvas.getContext("2d");
  if (!pen) throw new Error("no canvas");
  pen.drawImage(image, 0, 0, canvas.width, canvas.height);
  return new Promise((done, fail) => {
    canvas.toBlob((blob) => (blob ? done(blob) : fail(new Error("no picture"))), "image/png");
  });
}

export async function savePng(picture, title) {
  download(await pngBlob(picture, title), `${fileName(title)}.png`);
}

export function fileName(title) {
  return title.toLowerCase().replace(/[^a-z0-9]+/g, "-").replace(/^-|-$/g, "").slice(0, 80) || "plexus";
}

export function download(blob, name) {
  const address = URL.createObjectURL(blob);
  const link = document.createElement("a");
  link.href = address;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(address), 10000);
}
