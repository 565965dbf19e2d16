// Draws data/demo/page.webp, the README's picture of a page of the demo field: `cmake --build BUILD --target page_picture`.
import { execFileSync } from "node:child_process";
import { statSync } from "node:fs";
import { join } from "node:path";
import { chromium, make, onMap, open } from "./browser.mjs";

const browser = await chromium();
const page = make("picture", "plan", ["--from", "stand:12", "--to", "runway:09"]);
const { tab } = await open(browser, page, { width: 1360, height: 1440, colorScheme: "light" });
const at = await onMap(tab, 640);  // on the bridge's ramp, in the stretch that needs every engine
await tab.mouse.move(at.x, at.y);
const shot = join(process.env.SOLOTAXI_PAGES, "picture.png"), file = join(process.env.SOLOTAXI_ROOT, "data/demo/page.webp");
await tab.screenshot({ path: shot });
await browser.close();
execFileSync("gdal_translate", ["-q", "-of", "WEBP", "-co", "LOSSLESS=YES", shot, file]);
const size = statSync(file).size;
console.log(`${file}: ${size} bytes`);
if (size > 200_000) process.exit(1);
