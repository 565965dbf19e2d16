// Draws data/demo/page.png, the README's picture of a page of the demo field: `cmake --build BUILD --target page_picture`.
import { execFileSync } from "node:child_process";
import { statSync } from "node:fs";
import { join } from "node:path";
import { chromium, make, onMap, open } from "./browser.mjs";

const browser = await chromium();
const page = make("picture", "preview",
  ["--from", "stand:12", "--clearance", "Taxi to holding point Alpha One, runway 09, via Mike, Kilo, Alpha; hold short of Bravo"]);
const { tab } = await open(browser, page, { width: 1360, height: 1440, colorScheme: "light" });
const at = await onMap(tab, 640);  // on the bridge's ramp, in the stretch that needs every engine
await tab.mouse.move(at.x, at.y);
const shot = join(process.env.SOLOTAXI_PAGES, "picture.png"), file = join(process.env.SOLOTAXI_ROOT, "data/demo/page.png");
await tab.screenshot({ path: shot });
await browser.close();
execFileSync("gdal_translate", ["-q", "-of", "PNG", "-co", "ZLEVEL=9", "-b", "1", "-b", "2", "-b", "3", shot, file]);
const size = statSync(file).size;
console.log(`${file}: ${size} bytes`);
if (size > 400_000) process.exit(1);
