// The page of a screened field in a browser: that map, lists and words say the same, by hand and by key, in both themes, on
// narrow and wide screens and on paper.
import assert from "node:assert/strict";
import { after, test } from "node:test";
import { chromium, colours, contrast, data, layout, make, open, sheets, tabStops, wildField, wildName } from "./browser.mjs";

const browser = await chromium();
after(() => browser.close());
const change = process.env.SOLOTAXI_ROOT + "/tests/data/changes/shortcut.toml";
const pages = {
  plain: make("screen", "screen", ["--queue", "5"]),
  full: make("screen-full", "screen", ["--queue", "5", "--what-if", change, "--standard-routes", "--units", "us"]),
  wild: make("screen-wild", "screen", ["--mend", "1"], wildField()),
};
const readout = (tab) => tab.textContent("#readout");
const shown = (tab, selector) => tab.$$eval(selector, (all) => all.filter((e) => e.getClientRects().length > 0).length);

test("every page opens without a request, a complaint or an error", async () => {
  for (const [name, page] of Object.entries(pages)) {
    const { tab, heard, close } = await open(browser, page);
    await tab.mouse.move(900, 500);
    await tab.click("#theme");
    assert.deepEqual(heard, [], name);
    await close();
  }
});

test("every segment used and every stand is on the map, in the class its figures ask for", async () => {
  const { tab, close } = await open(browser, pages.plain);
  const { cases } = await data(tab);
  const [one] = cases;
  for (const measure of ["lost", "share", "use"]) {
    await tab.check(`input[value=${measure}]`);
    const classes = await tab.$$eval(".net .seg", (all) => all.map((e) => e.getAttribute("class")));
    assert.equal(classes.length, one.segments.use.length);
    classes.forEach((c, i) => assert.equal(c, "seg c" + one.classes[measure][i]));
    assert.equal(await shown(tab, `[data-legend=${measure}]`), 1);
  }
  // Share: four classes of a quarter each.
  one.segments.use.forEach((use, i) => {
    const part = use > 0 ? one.segments.forced[i] / use : one.segments.kept[i] / one.segments.pairs[i];
    const letter = part === 0 ? "0" : String(Math.min(4, Math.ceil(4 * part - 0.01)));
    assert.equal(one.classes.share[i], letter, `${part}`);
  });
  // Lost: told of stretches, more in a higher class.
  const lost = [...one.classes.lost].map((c, i) => [c, one.segments.stretch[i] < 0 ? 0 : one.stretches[one.segments.stretch[i]].lost]);
  for (const [c, kg] of lost) assert.equal("1234".includes(c), kg !== null && kg >= 0.5, c);
  for (let k = 1; k < 4; ++k) {
    const of = (d) => lost.filter(([c]) => c === String(d)).map(([, kg]) => kg);
    if (of(k).length && of(k + 1).length) assert.ok(Math.max(...of(k)) < Math.min(...of(k + 1)));
  }
  assert.equal(await tab.locator("#chart .st").count(), 43);
  await tab.check("input[value=saving]");
  assert.equal(await shown(tab, "[data-legend=saving]"), 1);
  assert.equal(await shown(tab, "[data-legend=plan]"), 0);
  await close();
});

test("the list of segments worth mending points at the map, and its figures are the briefing's", async () => {
  const { tab, close } = await open(browser, pages.plain);
  const rows = tab.locator("button[data-stretch]");
  await rows.nth(0).click();
  assert.match(await readout(tab), /^1 of \d+: K, .*forces every engine \(grade\); [\d,]+.kg of fuel are lost a year/);
  const told = pages.plain.text.match(/ K +[\d,]+.m +[\d,]+ +([\d,]+.kg)/)[1];
  const plain = (text) => text.replace(/\s/g, " ");
  assert.ok(plain(await readout(tab)).includes(plain(told)), told);
  assert.ok((await tab.locator(".seg.sel").count()) > 0);
  assert.equal(await tab.locator("tr[aria-current]").count(), 1);
  const here = await tab.locator("#here").boundingBox(), frame = await tab.locator("#chart").boundingBox();
  assert.ok(here.x > frame.x && here.x < frame.x + frame.width && here.y > frame.y && here.y < frame.y + frame.height);
  // What was pointed at can be pressed on the map: the same stretch.
  const line = await tab.locator(".seg.sel").first().elementHandle();
  await rows.nth(1).click();
  await tab.locator("#chart").scrollIntoViewIfNeeded();
  const at = await line.evaluate((path) => {
    const p = path.getPointAtLength(path.getTotalLength() / 3).matrixTransform(path.getScreenCTM());
    return { x: p.x, y: p.y };
  });
  await tab.mouse.click(at.x, at.y);
  assert.match(await readout(tab), /^Taxiway K, .* movements a year lead over it, .*forced to run every engine \(grade/);
  assert.match(await tab.textContent("tr[aria-current]"), /^1\. K/);
  await close();
});

test("stands can be chosen on the map and in their list, and say the same", async () => {
  const { tab, close } = await open(browser, pages.plain);
  const button = tab.locator("button[data-stand]").nth(5);
  const name = (await button.textContent()).trim();
  await button.click();
  const words = await readout(tab);
  assert.ok(words.startsWith(`Stand ${name}: out, `), words);
  const row = await tab.textContent("tr[aria-current]");
  assert.ok(row.includes(words.match(/out, (\d+ of \d+)/)[1]), row);
  const here = await tab.locator("#here").boundingBox();
  await tab.locator("button[data-stretch]").first().click();
  await tab.locator("#chart").scrollIntoViewIfNeeded();
  const spot = await tab.locator("#chart .st").nth(5).boundingBox();
  await tab.mouse.click(spot.x + spot.width / 2, spot.y + spot.height / 2);
  assert.equal(await readout(tab), words);
  assert.ok(here.width > 0);
  await close();
});

test("as it is and changed, aircraft and routes: what is chosen is what is shown", async () => {
  const { tab, heard, close } = await open(browser, pages.full);
  const { cases, nets } = await data(tab);
  assert.equal(cases.length, 2);
  assert.equal(nets.length, 2);
  assert.ok(nets[1].name.includes("Taxiway Z") && !nets[0].name.includes("Taxiway Z"));
  assert.equal(await shown(tab, ".net[data-net='1'] .seg:not(.hid)"), 0);
  await tab.selectOption("#case", "1");
  assert.ok((await shown(tab, ".net[data-net='1'] .seg:not(.hid)")) > 20);
  assert.equal(await shown(tab, ".net[data-net='0'] .seg"), 0);
  assert.match(await readout(tab), /changed/);
  const buttons = tab.locator("[data-case='1'] button[data-route]");
  assert.equal(await buttons.count(), cases[1].routes.length);
  await buttons.nth(2).click();
  assert.equal(await readout(tab), cases[1].routes[2].text);
  assert.equal(await tab.locator("#routes path:not(.hid)").count(), 1);
  assert.equal(await tab.locator("#chart .st.of").count(), cases[1].routes[2].stands.length);
  await tab.locator("[data-case='1'] button[data-stretch]").first().click();
  assert.equal(await tab.locator("#routes path:not(.hid)").count(), 0);
  await tab.check("input[value=routes]");
  assert.ok((await shown(tab, ".net[data-net='1'] .seg:not(.hid)")) > 5);
  assert.deepEqual(heard, []);
  await close();
});

test("keys move the map and go through the list", async () => {
  const { tab, close } = await open(browser, pages.plain);
  await tab.focus("#chart");
  const whole = await tab.getAttribute("#chart", "viewBox");
  await tab.keyboard.press("+");
  await tab.keyboard.press("ArrowRight");
  assert.notEqual(await tab.getAttribute("#chart", "viewBox"), whole);
  await tab.keyboard.press("f");
  assert.equal(await tab.getAttribute("#chart", "viewBox"), whole);
  await tab.keyboard.press(".");
  assert.match(await readout(tab), /^1 of /);
  await tab.keyboard.press(".");
  assert.match(await readout(tab), /^2 of /);
  await tab.keyboard.press(",");
  await tab.keyboard.press(",");
  assert.match(await readout(tab), /^(\d+) of \1:/);
  await close();
});

test("everything that does something can be reached by Tab, and shows that it has the focus", async () => {
  const { tab, close } = await open(browser, pages.plain);
  const wanted = await tab.evaluate(() => [...document.querySelectorAll("button, #chart, select")]
    .filter((e) => e.getClientRects().length > 0).length + 2);  // two groups of choices
  const stops = await tabStops(tab, wanted);
  for (const at of stops) assert.ok(at.outline >= 2, at.what + " shows no focus");
  assert.equal(new Set(stops.map((at) => at.what)).size, wanted);
  await close();
});

test("both themes: lines and signs stand out from the ground", async () => {
  // Lines and signs on the map, 3 [W3C, WCAG 2.1, 1.4.11].
  const signs = ["low", "mid", "high", "most", "lost1", "lost2", "lost3", "lost4", "standing", "all", "here", "soft"];
  for (const scheme of ["light", "dark"]) {
    const { tab, close } = await open(browser, pages.plain, { colorScheme: scheme });
    for (const pressed of [false, true]) {
      if (pressed) await tab.click("#theme");
      const c = await colours(tab, [...signs, "ground"]);
      for (const s of signs) assert.ok(contrast(c[s], c.ground) >= 3, `${scheme} ${pressed}: ${s} ${contrast(c[s], c.ground)}`);
    }
    await close();
  }
});

test("nothing runs over the side, text and buttons are large enough, from phone to wide screen", async () => {
  for (const page of Object.values(pages))
    for (const wide of [400, 768, 1400]) {
      const { tab, close } = await open(browser, page, { width: wide, height: 900 });
      const found = await layout(tab);
      assert.ok(found.over <= 0, `${page.file} at ${wide}: ${found.over} px over the side`);
      assert.deepEqual(found.small, []);
      assert.ok(found.signs >= 15);
      assert.deepEqual(found.low, []);
      await close();
    }
});

test("labels on the map do not cover each other", async () => {
  const { tab, close } = await open(browser, pages.plain);
  for (const keys of [["f"], [".", "+", "+"], ["+", "+"]]) {
    await tab.focus("#chart");
    for (const key of keys) await tab.keyboard.press(key);
    const { hits, many } = await tab.evaluate(() => {
      const boxes = [...document.querySelectorAll("#chart .lb")].filter((e) => !e.classList.contains("hid"))
        .map((e) => [e.textContent, e.getBoundingClientRect()]);
      const over = [];
      boxes.forEach(([a, p], i) => boxes.slice(0, i).forEach(([b, q]) => {
        if (p.left < q.right - 2 && q.left < p.right - 2 && p.top < q.bottom - 2 && q.top < p.bottom - 2) over.push(a + " / " + b);
      }));
      return { hits: over, many: boxes.length };
    });
    assert.deepEqual(hits, []);
    assert.ok(many > 0);
  }
  await close();
});

test("the page prints on few A4 sheets, map and list included, also without script", async () => {
  for (const script of [true, false]) {
    const { tab, close } = await open(browser, pages.plain, { width: 733, height: 1058, javaScriptEnabled: script });
    assert.ok(sheets(await tab.pdf({ preferCSSPageSize: true })) <= 2);
    await tab.emulateMedia({ media: "print" });
    const found = await tab.evaluate(() => {
      const sheet = document.querySelector(".sheet").getBoundingClientRect();
      return {
        over: [...document.querySelectorAll(".sheet p, .sheet li, .sheet td, .sheet th")]
          .filter((e) => e.getBoundingClientRect().right > sheet.right + 1).map((e) => e.textContent.slice(0, 40)),
        map: document.querySelector(".frame").getBoundingClientRect().height,
        rows: [...document.querySelectorAll("button[data-stretch]")].filter((e) => e.getClientRects().length).length,
        cautions: document.body.innerText.includes("not for navigation"),
      };
    });
    assert.deepEqual(found.over, []);
    assert.ok(found.map > 300);
    assert.ok(found.rows > 5);
    assert.ok(found.cautions);
    await close();
  }
});

test("without script the first screen is shown, with its map, legend, lists and cautions", async () => {
  const { tab, heard, close } = await open(browser, pages.full, { javaScriptEnabled: false });
  for (const part of [".net .seg.c0", ".st.c2 circle", ".legend li", "button[data-stretch]", ".figures td"]) {
    const box = await tab.locator(part).first().boundingBox();
    assert.ok(box && box.width + box.height > 8, part);
  }
  assert.equal(await tab.locator("#choose").isVisible(), false);
  assert.match(await tab.textContent("body"), /Planning aid, not for navigation/);
  assert.deepEqual(heard, []);
  await close();
});

test("names that try to leave their place stay names", async () => {
  const { tab, heard, close } = await open(browser, pages.wild);
  const i = (await data(tab)).stands.findIndex((name) => name.startsWith('12"'));
  await tab.locator(`button[data-stand="${i}"]`).click();
  assert.match(await readout(tab), /^Stand 12"><svg onload=window.hit=2>: /);
  const found = await tab.evaluate(() => ({ hit: window.hit, scripts: document.scripts.length, images: document.images.length,
    loading: document.querySelectorAll("svg[onload]").length, title: document.querySelector("h1").textContent }));
  assert.equal(found.hit, undefined);
  assert.equal(found.scripts, 2);
  assert.equal(found.images, 0);
  assert.equal(found.loading, 0);
  assert.ok(found.title.startsWith(wildName));
  assert.deepEqual(heard, []);
  await close();
});
