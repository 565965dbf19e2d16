// What the tests of the page share: pages made by the program, a browser to open them in, and sums on colours.
import { execFileSync } from "node:child_process";
import { existsSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";

const { SOLOTAXI_PROGRAM: program, SOLOTAXI_ROOT: root, SOLOTAXI_PAGES: folder, SOLOTAXI_BROWSER: needed } = process.env;

/// Ends the run as skipped (77), or as failed where a browser is asked for.
function without(what) {
  console.log(`[skipped] ${what} is missing; tools/check installs it`);
  process.exit(needed === "required" ? 1 : 77);
}

export function chromium() {
  const path = ["/usr/bin/chromium", "/usr/bin/chromium-browser"].find(existsSync);
  if (!path) without("chromium");
  let playwright;
  try {
    playwright = createRequire(join(folder, "package.json"))("playwright-core");
  } catch {
    without("playwright-core");
  }
  return playwright.chromium.launch({ executablePath: path, args: ["--disable-lcd-text", ...(process.getuid() === 0 ? ["--no-sandbox"] : [])] });
}

const demo = join(root, "data/demo/field.geojson");
export const dem = join(root, "data/demo/elevation.tif");
export const wildName = 'A</script><img src=x onerror="window.hit=1"><!--';

/// The demo field with names that try to leave their place.
export function wildField() {
  const field = JSON.parse(readFileSync(demo, "utf8"));
  for (const feature of field.features) {
    if (feature.properties.aeroway === "aerodrome") feature.properties.name = wildName;
    if (feature.properties.ref === "A") feature.properties.ref = wildName;
    if (feature.properties.ref === "12") feature.properties.ref = '12"><svg onload=window.hit=2>';
  }
  const file = join(folder, "wild.geojson");
  writeFileSync(file, JSON.stringify(field));
  return file;
}

/// Runs the program; the text it prints, with the page it wrote.
export function make(name, command, args, field = demo) {
  mkdirSync(folder, { recursive: true });
  const file = join(folder, name + ".html");
  const text = execFileSync(program, [command, field, "--dem", dem, ...args, "--html", file], { encoding: "utf8" });
  return { file, url: "file://" + file, text };
}

export function makeAll() {
  // On taxiways E, H, W, G, R, F, K, N, G, J: nearly 16 km round and round the field.
  const round = ["-31.194721,-24.580496", "-31.194588,-24.596852", "-31.194791,-24.598531", "-31.192784,-24.586411",
    "-31.193684,-24.574662", "-31.196478,-24.567684", "-31.197698,-24.574818", "-31.192782,-24.574888",
    "-31.192784,-24.586411", "-31.189110,-24.595390"];
  return {
    departure: make("departure", "plan", ["--from", "stand:12", "--to", "runway:09", "--queue", "5", "--alternatives", "2"]),
    bridge: make("bridge", "plan", ["--from", "stand:6", "--to", "runway:27"]),
    arrival: make("arrival", "plan", ["--from", "runway:27", "--to", "stand:24", "--units", "us"]),
    route: make("route", "route", ["--from", "stand:23", "--to", "runway:27", "--engines", "left", "--objective", "fuel"]),
    long: make("long", "route", ["--from", "stand:12", "--to", "runway:27", "--engines", "all",
      ...round.flatMap((place) => ["--via", place])]),
    preview: make("preview", "preview", ["--from", "stand:12", "--queue", "5", "--clearance",
      "taxi to holding point A1 runway 09 via M, Q, G, H, A, hold short of runway 14"]),
    wild: make("wild", "plan", ["--from", 'stand:12"><svg onload=window.hit=2>', "--to", "runway:09"], wildField()),
  };
}

/// Opens a page; `heard` collects whatever it asks for or complains of.
export async function open(browser, page, options = {}) {
  const { width = 1400, height = 900, ...more } = options;
  const context = await browser.newContext({ viewport: { width, height }, ...more });
  const tab = await context.newPage();
  const heard = [];
  tab.on("console", (message) => heard.push("console: " + message.text()));
  tab.on("pageerror", (error) => heard.push("error: " + error.message));
  tab.on("request", (request) => { if (request.url() !== page.url) heard.push("request: " + request.url()); });
  tab.on("dialog", (dialog) => { heard.push("dialog"); dialog.dismiss(); });
  await tab.goto(page.url);
  return { tab, heard, close: () => context.close() };
}

export const data = (tab) => tab.evaluate(() => JSON.parse(document.getElementById("data").textContent));

/// Where a place of the way lies on the screen.
export const onMap = (tab, at) => tab.evaluate((m) => {
  const line = JSON.parse(document.getElementById("data").textContent).line;
  let i = 1;
  while (i < line.at.length - 1 && line.at[i] < m) ++i;
  const share = (m - line.at[i - 1]) / (line.at[i] - line.at[i - 1]);
  const chart = document.getElementById("chart");
  const point = chart.createSVGPoint();
  point.x = line.x[i - 1] + share * (line.x[i] - line.x[i - 1]);
  point.y = line.y[i - 1] + share * (line.y[i] - line.y[i - 1]);
  const shown = point.matrixTransform(chart.getScreenCTM());
  return { x: shown.x, y: shown.y };
}, at);

/// Share of the way at which the profile's mark stands, and where the map's mark is on the screen.
export const marks = (tab) => tab.evaluate(() => {
  const box = document.getElementById("here").getBoundingClientRect();
  return {
    live: document.documentElement.classList.contains("live"),
    shares: [...document.querySelectorAll("#profile line.mark")].map((l) => parseFloat(l.getAttribute("x1")) / 100),
    here: { x: box.x + box.width / 2, y: box.y + box.height / 2 },
    readout: document.getElementById("readout").textContent,
  };
});

/// Values of the page's variables of colour.
export const colours = (tab, names) => tab.evaluate((all) => {
  const style = getComputedStyle(document.documentElement);
  return Object.fromEntries(all.map((n) => [n, style.getPropertyValue("--" + n).trim()]));
}, [...new Set(names)]);

/// What runs over the side, and what is too small to read or to press.
export const layout = (tab) => tab.evaluate(() => {
  const px = (e) => parseFloat(getComputedStyle(e).fontSize);
  const words = [...document.querySelectorAll("p, li, dt, dd, th, td, button, h1, h2, h3, label, legend, select, .name, output")];
  const presses = [...document.querySelectorAll("button, label, select")].filter((e) => e.getClientRects().length > 0);
  return {
    over: document.documentElement.scrollWidth - innerWidth,
    small: words.filter((e) => px(e) < 18).map((e) => e.outerHTML.slice(0, 60)),
    signs: Math.min(...[...document.querySelectorAll("svg text")].map(px)),
    low: presses.filter((e) => e.getBoundingClientRect().height < 43.9 || e.getBoundingClientRect().width < 43.9)
      .map((e) => e.outerHTML.slice(0, 60)),
  };
});

/// Pages of a PDF.
export const sheets = (pdf) => (pdf.toString("latin1").match(/\/Type\s*\/Page\b(?!s)/g) || []).length;

const channel = (v) => (v <= 0.03928 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
const luminance = (hex) => {
  const full = hex.length === 4 ? [...hex.slice(1)].map((c) => c + c).join("") : hex.slice(1);
  const [r, g, b] = [0, 2, 4].map((i) => channel(parseInt(full.slice(i, i + 2), 16) / 255));
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
};
/// Contrast of two colours, 1 to 21 [W3C, Web Content Accessibility Guidelines 2.1, relative luminance].
export const contrast = (a, b) => {
  const [high, low] = [luminance(a), luminance(b)].sort((p, q) => q - p);
  return (high + 0.05) / (low + 0.05);
};

/// Presses Tab so many times: what has the focus each time, and how wide an outline shows it.
export async function tabStops(tab, times) {
  const stops = [];
  for (let i = 0; i < times; ++i) {
    await tab.keyboard.press("Tab");
    stops.push(await tab.evaluate(() => {
      const e = document.activeElement, style = getComputedStyle(e);
      return { what: e.outerHTML.slice(0, 120), outline: style.outlineStyle === "none" ? 0 : parseFloat(style.outlineWidth) };
    }));
  }
  return stops;
}
