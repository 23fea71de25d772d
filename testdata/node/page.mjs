// Opens HTML files in headless Chromium and prints, for each, what axe finds and whether it scrolls sideways.
import { readFileSync } from "node:fs";
import { pathToFileURL } from "node:url";
import { join } from "node:path";
import { createRequire } from "node:module";

const [modules, executablePath, ...files] = process.argv.slice(2);
const require = createRequire(pathToFileURL(join(modules, "x.js")));
const puppeteer = (await import(pathToFileURL(require.resolve("puppeteer-core")))).default;
const axe = readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");

const patience = 180_000; // a machine may be busy
const browser = await puppeteer.launch({
  executablePath, timeout: patience, protocolTimeout: patience, headless: true, args: ["--no-sandbox", "--disable-dev-shm-usage", "--disable-gpu"],
});
const views = [
  { width: 320, scheme: "light", scale: 1 },
  { width: 320, scheme: "dark", scale: 1 },
  { width: 320, scheme: "light", scale: 2 },
  { width: 1200, scheme: "light", scale: 1 },
];
const all = [];
for (const file of files) {
  const page = await browser.newPage();
  page.setDefaultTimeout(patience);
  const requests = [];
  page.on("request", (r) => requests.push(r.url()));
  const seen = [];
  for (const view of views) {
    await page.setViewport({ width: view.width, height: 800 });
    await page.emulateMediaFeatures([{ name: "prefers-color-scheme", value: view.scheme }]);
    await page.goto(pathToFileURL(file).href);
    await page.evaluate((scale) => {
      document.documentElement.style.fontSize = scale === 1 ? "" : `${112.5 * scale}%`;
    }, view.scale);
    const width = await page.evaluate(() => document.documentElement.scrollWidth);
    await page.evaluate(axe);
    const result = await page.evaluate(() => axe.run({ resultTypes: ["violations", "incomplete"] }));
    const name = (v) => ({ id: v.id, help: v.help, nodes: v.nodes.slice(0, 3).map((n) => n.html) });
    seen.push({ ...view, scrolls: width > view.width, violations: result.violations.map(name), incomplete: result.incomplete.map((v) => v.id) });
    if (process.env.PAGE_PICTURES) {
      await page.screenshot({ path: `${file}-${view.width}-${view.scheme}-${view.scale}.png`, fullPage: true });
    }
  }
  const scripts = await page.evaluate(() => [...document.querySelectorAll("script,link,img,iframe")].length);
  all.push({ views: seen, scripts, requests: requests.filter((u) => !u.startsWith("file:")) });
  await page.close();
}
await browser.close();
console.log(JSON.stringify(all));
