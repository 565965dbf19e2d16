// The page in a browser: that it fetches nothing, that map and profile move each other, by hand and by key, that it can be
// read on narrow and wide screens, in both themes, on one printed sheet, and that names stay names.
import assert from "node:assert/strict";
import { after, test } from "node:test";
import { chromium, colours, contrast, data, layout, makeAll, marks, onMap, open, sheets, tabStops } from "./browser.mjs";

const browser = await chromium();
const pages = makeAll();
after(() => browser.close());

const near = (a, b, by, what) => assert.ok(Math.abs(a - b) <= by, `${what}: ${a} is not within ${by} of ${b}`);
const width = (tab) => tab.$eval("#chart", (c) => Number(c.getAttribute("viewBox").split(" ")[2]));

test("every page opens without a request, a complaint or an error", async () => {
  for (const [name, page] of Object.entries(pages)) {
    const { heard, tab, close } = await open(browser, page);
    await tab.mouse.move(700, 400);
    await tab.click("#theme");
    assert.deepEqual(heard, [], name);
    await close();
  }
});

test("pointing at the map moves the mark on the profile", async () => {
  const { tab, heard, close } = await open(browser, pages.departure);
  const { length } = await data(tab);
  assert.equal((await marks(tab)).live, false);
  for (const share of [0.3, 0.55, 0.8]) {
    const at = await onMap(tab, share * length);
    await tab.mouse.move(at.x + 3, at.y - 3);
    const now = await marks(tab);
    assert.equal(now.live, true);
    for (const shown of now.shares) near(shown, share, 0.01, "mark on the profile");
    near(now.here.x, at.x, 5, "mark on the map");
    assert.match(now.readout, /^At [\d,]+\sm, .*: Taxiway .*thrust [\d.]+ needed of [\d.]+\skN, .*kt, fuel .*kg, brakes .*°C\.$/);
  }
  assert.deepEqual(heard, []);
  await close();
});

test("pointing at the profile moves the mark on the map", async () => {
  const { tab, close } = await open(browser, pages.arrival);
  const { length } = await data(tab);
  await tab.locator("#profile").scrollIntoViewIfNeeded();
  const plot = await tab.locator(".track.speed .plot").boundingBox();
  for (const share of [0.2, 0.5, 0.9]) {
    await tab.mouse.move(plot.x + share * plot.width, plot.y + 20);
    const now = await marks(tab);
    const at = await onMap(tab, share * length);
    near(now.here.x, at.x, 3, "mark on the map, across");
    near(now.here.y, at.y, 3, "mark on the map, down");
    near(now.shares[0], share, 0.005, "mark on the profile");
    assert.match(now.readout, /^At [\d,]+\sft/);
    assert.match(now.readout, /lbf.*kt, fuel [\d.,]+\slb/);
  }
  await close();
});

test("keys move the mark, the map and the zoom", async () => {
  const { tab, close } = await open(browser, pages.departure);
  const { length } = await data(tab);
  const value = async () => Number(await tab.getAttribute("#profile", "aria-valuenow"));
  await tab.focus("#profile");
  for (let i = 0; i < 3; ++i) await tab.keyboard.press("ArrowRight");
  assert.equal(await value(), 30);
  await tab.keyboard.press("Shift+ArrowRight");
  assert.equal(await value(), 130);
  await tab.keyboard.press("ArrowLeft");
  assert.equal(await value(), 120);
  await tab.keyboard.press("End");
  near(await value(), length, 1, "end of the way");
  const end = await onMap(tab, length);
  near((await marks(tab)).here.x, end.x, 3, "mark on the map");
  assert.equal(await tab.getAttribute("#profile", "aria-valuetext"), (await marks(tab)).readout);

  await tab.focus("#chart");
  const whole = await tab.getAttribute("#chart", "viewBox");
  await tab.keyboard.press("+");
  near(await width(tab), 0.7 * Number(whole.split(" ")[2]), 1, "zoomed in");
  near((await marks(tab)).here.x, end.x, 3, "zoomed about the mark");
  await tab.keyboard.press("ArrowRight");
  const moved = await tab.getAttribute("#chart", "viewBox");
  await tab.keyboard.press("ArrowLeft");
  assert.ok(Number(moved.split(" ")[0]) > Number((await tab.getAttribute("#chart", "viewBox")).split(" ")[0]));
  await tab.keyboard.press("-");
  await tab.keyboard.press("f");
  assert.equal(await tab.getAttribute("#chart", "viewBox"), whole);
  await tab.keyboard.press(",");
  near(await value(), length - 10, 1, "a step back along the way");
  near((await marks(tab)).shares[0], (length - 10) / length, 0.002, "mark on the profile");

  await tab.focus(".steps button >> nth=3");
  await tab.keyboard.press("Enter");
  near(await value(), Number(await tab.getAttribute(".steps button >> nth=3", "data-at")), 1, "place of a step");
  await close();
});

test("wheel, drag and two fingers move the map, and the scale bar tells the truth", async () => {
  const { tab, close } = await open(browser, pages.departure, { hasTouch: true });
  const bar = () => tab.evaluate(() => {
    const chart = document.getElementById("chart"), path = document.querySelector("#scale path").getBoundingClientRect();
    const metres = Number(chart.getAttribute("viewBox").split(" ")[2]) / chart.getBoundingClientRect().width;
    return { told: Number(document.querySelector("#scale span").textContent.replace(/[^\d.]/g, "")), drawn: path.width * metres };
  });
  const frame = await tab.locator("#chart").boundingBox();
  const middle = { x: frame.x + frame.width / 2, y: frame.y + frame.height / 2 };
  const first = await bar();
  near(first.drawn / first.told, 1, 0.04, "scale bar");
  const whole = await width(tab);
  await tab.mouse.move(middle.x, middle.y);
  await tab.mouse.wheel(0, -600);
  await tab.waitForFunction((w) => Number(document.getElementById("chart").getAttribute("viewBox").split(" ")[2]) < w, whole);
  await tab.mouse.wheel(0, -600);
  await tab.waitForTimeout(50);
  const close_by = await bar();
  near(close_by.drawn / close_by.told, 1, 0.04, "scale bar");
  assert.ok(close_by.told < first.told);
  const before_drag = await tab.getAttribute("#chart", "viewBox");
  await tab.mouse.down();
  await tab.mouse.move(middle.x + 100, middle.y + 40, { steps: 4 });
  await tab.mouse.up();
  const [x0, , w0] = before_drag.split(" ").map(Number);
  const [x1] = (await tab.getAttribute("#chart", "viewBox")).split(" ").map(Number);
  near(x0 - x1, 100 * w0 / frame.width, 0.02 * w0, "dragged");
  await tab.click("[data-do=fit]");
  near(await width(tab), whole, 0.5, "whole way");
  const touch = await tab.context().newCDPSession(tab);
  const fingers = (type, apart) => touch.send("Input.dispatchTouchEvent", { type, touchPoints: apart === null ? [] :
    [{ x: middle.x - apart, y: middle.y, id: 0 }, { x: middle.x + apart, y: middle.y, id: 1 }] });
  await fingers("touchStart", 50);
  for (const apart of [60, 80, 100]) await fingers("touchMove", apart);
  await fingers("touchEnd", null);
  near(await width(tab), whole / 2, 0.1 * whole, "pinched to twice the size");
  await close();
});

test("both themes: as the system asks, and by the button; contrast holds in each", async () => {
  // Text on what it stands on, 4.5; lines and signs on the map and tracks, 3 [W3C, WCAG 2.1, 1.4.3 and 1.4.11].
  const text = [["ink", "paper"], ["ink", "card"], ["ink", "ground"], ["ink", "warn"], ["ink", "band-all"], ["soft", "paper"],
    ["soft", "card"], ["soft", "ground"], ["here", "card"], ["here", "paper"], ["paper", "ink"]];
  const signs = ["standing", "rolling", "carried", "all", "blocked", "push", "here", "toward", "quiet", "focus"]
    .flatMap((name) => [[name, "ground"], [name, "card"]]).concat([["toward-ink", "toward"]]);
  for (const scheme of ["light", "dark"]) {
    const { tab, close } = await open(browser, pages.departure, { colorScheme: scheme });
    const paper = () => tab.evaluate(() => getComputedStyle(document.body).backgroundColor);
    const asked = await paper();
    for (const pressed of [false, true]) {
      if (pressed) await tab.click("#theme");
      const c = await colours(tab, [...text, ...signs].flat());
      for (const [a, b] of text) assert.ok(contrast(c[a], c[b]) >= 4.5, `${scheme} ${pressed}: ${a} on ${b} ${contrast(c[a], c[b])}`);
      for (const [a, b] of signs) assert.ok(contrast(c[a], c[b]) >= 3, `${scheme} ${pressed}: ${a} on ${b} ${contrast(c[a], c[b])}`);
    }
    const other = await paper();
    assert.notEqual(asked, other);
    const light = (rgb) => rgb.match(/\d+/g).map(Number).reduce((a, b) => a + b) > 380;
    assert.equal(light(asked), scheme === "light");
    assert.equal(light(other), scheme === "dark");
    await close();
  }
});

test("nothing runs over the side, and text and buttons are large enough, from phone to wide screen", async () => {
  for (const page of [pages.departure, pages.arrival, pages.long, pages.wild])
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

test("signs on the map do not cover each other, whole and zoomed, and where engines start or stop is always told", async () => {
  const about = () => {
    const shown = [...document.querySelectorAll("#chart .flag .card, #chart .lb")].filter((e) => !e.closest(".hid"));
    const boxes = shown.map((e) => [e.textContent, (e.querySelector("rect") || e).getBoundingClientRect()]);
    const hits = [];
    for (let i = 0; i < boxes.length; ++i)
      for (let j = 0; j < i; ++j) {
        const [a, b] = [boxes[i][1], boxes[j][1]];
        if (a.left < b.right - 2 && b.left < a.right - 2 && a.top < b.bottom - 2 && b.top < a.bottom - 2)
          hits.push(boxes[i][0] + " / " + boxes[j][0]);
      }
    return { hits, shown: shown.length, silent: document.querySelectorAll("#chart .flag.engine.hid").length };
  };
  for (const page of Object.values(pages)) {
    const { tab, close } = await open(browser, page);
    for (const wide of [1400, 768, 400]) {
      await tab.setViewportSize({ width: wide, height: 900 });
      await tab.waitForTimeout(60);  // until the map has seen its new size
      for (const key of ["f", "+", "+"]) {
        await tab.focus("#chart");
        await tab.keyboard.press(key);
        const found = await tab.evaluate(about);
        assert.deepEqual(found.hits, [], `${page.file} at ${wide} after ${key}`);
        if (key !== "f") continue;
        assert.ok(found.shown > 0);
        assert.equal(found.silent, 0, `${page.file} at ${wide}`);
      }
    }
    await close();
  }
});

test("everything that does something can be reached by Tab, and shows that it has the focus", async () => {
  const { tab, close } = await open(browser, pages.departure);
  const wanted = await tab.evaluate(() => document.querySelectorAll("button, #chart, #profile").length);
  const stops = await tabStops(tab, wanted);
  for (const at of stops) assert.ok(at.outline >= 2, at.what + " shows no focus");
  assert.equal(new Set(stops.map((at) => at.what)).size, wanted);
  await close();
});

test("every page prints on one sheet, with nothing cut off, also without script", async () => {
  for (const [name, page] of Object.entries(pages))
    for (const script of [true, false]) {
      const { tab, close } = await open(browser, page, { width: 733, height: 1058, javaScriptEnabled: script });
      const whole = script ? await tab.getAttribute("#chart", "viewBox") : null;
      assert.equal(sheets(await tab.pdf({ preferCSSPageSize: true })), 1, name);
      if (!script) { await close(); continue; }
      assert.equal(await tab.getAttribute("#chart", "viewBox"), whole, "the view on the screen is as it was");
      await tab.emulateMedia({ media: "print" });
      const cut = await tab.evaluate(() => {
        const sheet = document.querySelector(".sheet"), box = sheet.getBoundingClientRect();
        const low = [...sheet.querySelectorAll("p, li, dd, th, td, h2, .row")].filter((e) => {
          const b = e.getBoundingClientRect();
          return b.height > 0 && (b.bottom > box.bottom + 1 || b.right > box.right + 1);
        });
        // What follows below must begin below: nothing was squeezed over its neighbour.
        const column = [".head", ".warnings", ".brief", ".frame", ".legend", "#profile", ".words", "footer"]
          .map((name) => [name, sheet.querySelector(name)]).filter(([, e]) => e).map(([name, e]) => [name, e.getBoundingClientRect()]);
        for (let i = 1; i < column.length; ++i)
          if (column[i][1].top < column[i - 1][1].bottom - 1) low.push({ textContent: column[i - 1][0] + " over " + column[i][0] });
        return { low: low.map((e) => e.textContent.slice(0, 50)), map: document.querySelector(".frame").getBoundingClientRect().height,
                 type: parseFloat(getComputedStyle(document.querySelector(".steps li")).fontSize) * 0.75,
                 words: document.querySelectorAll(".steps li:not(.screen)").length };
      });
      assert.deepEqual(cut.low, [], name);
      assert.ok(cut.map > 140, `${name}: the map is ${cut.map} px high`);
      assert.ok(cut.words > 5);
      assert.ok(cut.type >= 5.6, `${name}: type of ${cut.type} pt`);
      await close();
    }
});

test("without script the page still shows map, profile and words", async () => {
  const { tab, heard, close } = await open(browser, pages.bridge, { javaScriptEnabled: false });
  for (const part of [".way.standing", ".flag rect", ".track .line", ".spread", ".steps li", ".legend li"]) {
    const box = await tab.locator(part).first().boundingBox();
    assert.ok(box && box.width + box.height > 8, part);
  }
  assert.equal(await tab.locator("#theme").isVisible(), false);
  assert.deepEqual(heard, []);
  await close();
});

test("names that try to leave their place stay names", async () => {
  const { tab, heard, close } = await open(browser, pages.wild);
  await tab.focus("#profile");
  await tab.keyboard.press("End");
  for (let i = 0; i < 5; ++i) await tab.keyboard.press("PageDown");
  const found = await tab.evaluate(() => ({
    hit: window.hit, scripts: document.scripts.length, images: document.images.length,
    loading: document.querySelectorAll("svg[onload]").length, title: document.querySelector("h1").textContent,
    readout: document.getElementById("readout").textContent,
  }));
  assert.equal(found.hit, undefined);
  assert.equal(found.scripts, 2);
  assert.equal(found.images, 0);
  assert.equal(found.loading, 0);
  assert.match(found.title, /^A<\/script><img src=x onerror="window\.hit=1"><!--/);
  assert.match(found.readout, /Taxiway A/);
  assert.deepEqual(heard, []);
  await close();
});

test("the figures read at the end of the way are those of the briefing", async () => {
  const { tab, close } = await open(browser, pages.departure);
  await tab.focus("#profile");
  await tab.keyboard.press("End");
  const { readout } = await marks(tab);
  const [, told] = pages.departure.text.match(/In all +[\d,]+.m, .*, ([\d.]+).kg/);
  assert.match(readout, new RegExp(`fuel ${told.replace(".", "\\.")}\\skg`));
  await close();
});
