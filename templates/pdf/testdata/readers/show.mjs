// Types into a field and tells what is shown meanwhile: node show.mjs MODULES BROWSER_MODULES CHROMIUM FORMS.json
// FORMS is [{file, field, words}]. Printed is, for each, {pdfium, pdfjs}: of every letter a digest of the picture of the
// field with it; the sign "" is the field without one, and "\u0378" with a code that is no letter. With READER_PICTURES
// set to a folder, pictures of the whole words are put there.
import { createHash } from "node:crypto";
import { createServer } from "node:http";
import { readFileSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { basename, join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { start, Form } from "./pdfium.mjs";

const [modules, browserModules, executablePath, list] = process.argv.slice(2);
const forms = JSON.parse(readFileSync(list, "utf8"));
const pictures = process.env.READER_PICTURES;
const patience = 180_000; // a machine may be busy
const digest = (data) => createHash("sha256").update(data).digest("hex").slice(0, 16);

// lettersOf are the letters of words, and what to type for each: between two m, and a mark behind its letter.
function lettersOf(words) {
  const out = new Map([["", "mm"], ["\u0378", "m\u0378m"]]);
  Array.from(words).forEach((c, i, all) => {
    if (c.trim()) out.set(c, (/\p{M}/u.test(c) ? all[i - 1] : "m") + c + "m");
  });
  return [...out];
}

function cropped({ width, height, grey }, field, scale) {
  const left = Math.floor(field.left * scale), right = Math.ceil(field.right * scale);
  const first = height - Math.ceil(field.top * scale), last = height - Math.floor(field.bottom * scale);
  const rows = [];
  for (let y = first; y < last; y++) rows.push(grey.subarray(y * width + left, y * width + right));
  return { width: right - left, height: last - first, grey: Buffer.concat(rows) };
}

async function inPdfium({ file, field: name, words }) {
  const form = new Form(await start(modules), readFileSync(file));
  const field = form.fields().find((f) => f.name === name), scale = 2;
  const shown = (text) => {
    form.empty(field);
    form.enter(field, text);
    return cropped(form.painted(field.number, scale), field, scale);
  };
  const out = Object.fromEntries(lettersOf(words).map(([c, text]) => [c, digest(shown(text).grey)]));
  if (pictures) {
    const { width, height, grey } = shown(words);
    writeFileSync(join(pictures, basename(file) + "-pdfium.pgm"), Buffer.concat([Buffer.from(`P5 ${width} ${height} 255\n`), grey]));
  }
  return { page: field.number + 1, letters: out };
}

// page is the smallest page that shows a page of a file with its fields, as pdf.js lays them over it.
const page = `<!doctype html><meta charset="utf-8"><link rel="stylesheet" href="/web/pdf_viewer.css">
<style>body { margin: 0; --scale-factor: 1.5 } #layer { position: relative } textarea { caret-color: transparent }</style>
<div id="layer" class="annotationLayer"></div>
<script type="module">
import * as pdfjs from "/build/pdf.mjs";
pdfjs.GlobalWorkerOptions.workerSrc = "/build/pdf.worker.mjs";
const [, number, data] = location.pathname.match(/^\\/show\\/(\\d+)\\/(\\d+)$/);
const doc = await pdfjs.getDocument("/form/" + data).promise;
const page = await doc.getPage(Number(number));
const viewport = page.getViewport({ scale: 1.5, dontFlip: false }).clone({ dontFlip: true });
const div = document.getElementById("layer");
const layer = new pdfjs.AnnotationLayer({ div, page, viewport });
await layer.render({ annotations: await page.getAnnotations(), renderForms: true, annotationStorage: doc.annotationStorage, linkService: {} });
document.title = "ready";
</script>`;

function serve() {
  const types = { css: "text/css", mjs: "text/javascript" };
  const server = createServer((request, response) => {
    const path = decodeURIComponent(request.url);
    try {
      if (path.startsWith("/show/")) return response.setHeader("Content-Type", "text/html").end(page);
      if (path.startsWith("/form/")) return response.end(readFileSync(forms[Number(path.slice(6))].file));
      response.setHeader("Content-Type", types[path.split(".").pop()] ?? "application/octet-stream");
      response.end(readFileSync(join(resolve(modules), "pdfjs-dist", path)));
    } catch {
      response.writeHead(404).end();
    }
  });
  return new Promise((done) => server.listen(0, "127.0.0.1", () => done(server)));
}

async function inPdfjs(browser, port, index, { file, field, words }, number) {
  const tab = await browser.newPage();
  await tab.setViewport({ width: 950, height: 1300 });
  await tab.goto(`http://127.0.0.1:${port}/show/${number}/${index}`);
  await tab.waitForFunction(() => document.title === "ready", { timeout: patience });
  const area = await tab.$(`[name="${field}"]`);
  await area.focus();
  const shown = async (text) => {
    await area.evaluate((e) => (e.value = ""));
    await tab.keyboard.sendCharacter(text);
    return area.screenshot();
  };
  const out = {};
  for (const [c, text] of lettersOf(words)) out[c] = digest(await shown(text));
  if (pictures) writeFileSync(join(pictures, basename(file) + "-pdfjs.png"), await shown(words));
  await tab.close();
  return out;
}

const require = createRequire(pathToFileURL(join(resolve(browserModules), "x.js")));
const puppeteer = (await import(pathToFileURL(require.resolve("puppeteer-core")))).default;
const server = await serve();
const browser = await puppeteer.launch({
  executablePath, timeout: patience, protocolTimeout: patience, headless: true, args: ["--no-sandbox", "--disable-dev-shm-usage", "--disable-gpu"],
});
const all = [];
for (const [index, form] of forms.entries()) {
  const { page: number, letters } = await inPdfium(form);
  all.push({ pdfium: letters, pdfjs: await inPdfjs(browser, server.address().port, index, form, number) });
}
await browser.close();
server.close();
process.stdout.write(JSON.stringify(all), () => process.exit(0));
