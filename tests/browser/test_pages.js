// The pages in a real browser: node test_pages.js SWATHE SOURCE_DIR [AXE]
// Makes a small study, opens every page of its report, and does what a reader does. Exit 77: there
// is no Chromium. AXE is axe-core's script (npm); without it contrast and labels are not checked.
"use strict";
const assert = require("assert");
const { spawnSync } = require("child_process");
const fs = require("fs");
const os = require("os");
const path = require("path");
const { Browser, findChromium } = require("./browser.js");

const [swathe, source, axe] = process.argv.slice(2);
const MARKUP = "D1 <b>x</b>";

function run(...args) {
  const made = spawnSync(swathe, args, { encoding: "utf8" });
  assert.ok(made.status === 0 || made.status === 1, args.join(" ") + ": " + made.stderr);
  return made.stdout;
}

// Six reference players, a deep one in two sessions, a half shot, a clean one, a broken file.
function makeStudy(folder) {
  const rows = ["file,player,session,group,shot"];
  const add = (file, player, session, group, shot, ...options) => {
    run("generate", "swing", "-o", path.join(folder, file), "--noise", "0.3", ...options);
    rows.push([file, player, session, group, shot].join(","));
  };
  for (let p = 1; p <= 6; p++) {
    for (let s = 1; s <= 2; s++) {
      add(`r${p}_${s}.c3d`, "R" + p, "1", "ref", "full", "--seed", String(10 * p));
    }
  }
  for (let session = 1; session <= 2; session++) {
    for (let s = 1; s <= 3; s++) {
      add(`d${session}_${s}.c3d`, MARKUP, String(session), "new", "full", "--seed", "7", "--fault",
        "deep-early", "--amount", session === 1 ? "1.5" : "0.2");
    }
  }
  add("half.c3d", "H1", "1", "new", "half", "--shot", "0.5");
  add("clean.c3d", "C1", "1", "new", "full");
  fs.writeFileSync(path.join(folder, "broken.c3d"), "no capture");
  rows.push("broken.c3d,X1,1,new,full");
  fs.writeFileSync(path.join(folder, "sheet.csv"), rows.join("\n") + "\n");
  run("run", path.join(folder, "sheet.csv"), "--map", path.join(source, "datasets/maps/demo.ini"),
    "--reference", "ref", "--resamples", "200", "-o", path.join(folder, "out"));
  return path.join(folder, "out", "report");
}

const pause = (ms) => new Promise((resolve) => setTimeout(resolve, ms));

async function opensQuietly(page, file) {
  await page.open(file);
  assert.deepStrictEqual(page.complaints, [], file + ": errors");
  assert.deepStrictEqual(page.requests, [], file + ": requests");
}

async function fits(page, file, width) {
  const wide = await page.get("document.documentElement.scrollWidth");
  assert.ok(wide <= width, `${file}: ${wide} px of content at a width of ${width} px`);
}

async function linksLead(page, file) {
  const dead = await page.get("Array.from(document.querySelectorAll('a[href^=\"#\"]')).filter((a) =>" +
    " !document.getElementById(a.getAttribute('href').slice(1))).map((a) => a.outerHTML)");
  assert.deepStrictEqual(dead, [], file + ": links to nowhere");
  const files = await page.get("Array.from(document.querySelectorAll('a[href]')).map((a) =>" +
    " a.getAttribute('href')).filter((h) => h[0] !== '#')");
  files.forEach((href) => {
    const [name, id] = href.split("#");
    const target = path.join(path.dirname(file), name);
    assert.ok(fs.existsSync(target), file + ": no " + href);
    assert.ok(!id || fs.readFileSync(target, "utf8").includes(`id="${id}"`), file + ": no " + href);
  });
}

async function isAccessible(page, file) {
  if (!axe) {
    return;
  }
  await page.get(fs.readFileSync(axe, "utf8") + "; 0");
  const found = await page.get("axe.run(document, { resultTypes: ['violations'] }).then((r) =>" +
    " r.violations.map((v) => v.id + ': ' + v.nodes[0].html + ' ' + v.nodes[0].failureSummary))");
  assert.deepStrictEqual(found, [], file + ": accessibility");
}

// A figure or a row that is higher than a sheet would be cut. 1 mm = 96 / 25.4 px; margins 12 mm.
async function isNotCutInPrint(page, file) {
  const px = (mm) => Math.round(mm * 96 / 25.4);
  for (const [width, height] of [[210, 297], [215.9, 279.4]]) {
    await page.send("Emulation.setDeviceMetricsOverride",
      { width: px(width - 24), height: px(height - 24), deviceScaleFactor: 1, mobile: false });
    await page.send("Emulation.setEmulatedMedia", { media: "print" });
    await fits(page, file + " in print", px(width - 24));
    const high = await page.get("Array.from(document.querySelectorAll('figure, tr, .lead')).filter(" +
      "(e) => e.getBoundingClientRect().height > innerHeight).map((e) => e.outerHTML.slice(0, 80))");
    assert.deepStrictEqual(high, [], file + ": higher than a sheet");
    const splits = await page.get("Array.from(document.querySelectorAll('figure')).filter((e) =>" +
      " getComputedStyle(e).breakInside !== 'avoid').length");
    assert.strictEqual(splits, 0, file + ": figures that may be split");
    const live = await page.get("Array.from(document.querySelectorAll('canvas, .controls')).filter(" +
      "(e) => e.offsetParent !== null).length");
    assert.strictEqual(live, 0, file + ": controls in print");
    const ways = await page.get("Array.from(document.querySelectorAll('.links')).filter(" +
      "(e) => e.offsetParent !== null).length");
    assert.strictEqual(ways, 0, file + ": ways to other pages in print");
  }
}

async function tablesSort(page, file) {
  const n = await page.get("document.querySelectorAll('table.sort').length");
  for (let t = 0; t < n; t++) {
    const column = (c) => page.get(`Array.from(document.querySelectorAll('table.sort')[${t}]` +
      `.tBodies[0].rows).map((r) => r.cells[${c}].dataset.v || r.cells[${c}].textContent)`);
    const head = (c, what) =>
      page.get(`document.querySelectorAll('table.sort')[${t}].tHead.rows[0].cells[${c}]${what}`);
    const columns = await page.get(
      `document.querySelectorAll('table.sort')[${t}].tHead.rows[0].cells.length`);
    for (let c = 0; c < columns; c++) {
      const byNumber = await head(c, ".classList.contains('n')");
      const before = await column(c);
      await head(c, ".querySelector('button').focus()");
      await page.key("Enter", "Enter");
      await head(c, ".querySelector('button').click()");
      await head(c, ".querySelector('button').click()");
      assert.strictEqual(await head(c, ".getAttribute('aria-sort')"), "ascending");
      const after = await column(c);
      assert.deepStrictEqual([...after].sort(), [...before].sort(), file + ": rows lost");
      if (byNumber) {
        const values = after.map(parseFloat).filter((v) => !isNaN(v));
        assert.deepStrictEqual(values, [...values].sort((a, b) => a - b),
          `${file}: table ${t}, column ${c} is not in order`);
      }
    }
  }
  return n;
}

async function replayReacts(page, file) {
  const at = async (what) => Number(await page.get(`document.querySelector('.replay').dataset.${what}`));
  const press = (selector) => page.get(`document.querySelector(${JSON.stringify(selector)}).click()`);
  const ink = () => page.get("document.querySelector('canvas').toDataURL()");

  assert.ok(await page.get("document.querySelector('.replay').classList.contains('live')"));
  const start = await at("time");
  await press("[data-part=play]");
  await pause(400);
  await press("[data-part=play]");
  const moved = await at("time");
  assert.ok(moved > start + 0.02, "the replay does not move");
  await pause(150);
  assert.strictEqual(await at("time"), moved, "a pause does not hold");

  await press("[data-to='8']"); // club top
  assert.match(await page.get("document.querySelector('[data-part=words]').textContent"), /, at (hands top and )?club top( and hands top)?\./);
  const top = await at("time");
  await page.get("document.querySelector('canvas').focus()");
  await page.key(".", "Period");
  const next = await at("time");
  assert.ok(next > top && next < top + 0.02, "a frame on");
  await page.key("p", "KeyP");
  assert.ok(Math.abs(await at("time") - top) < 1e-3, "back to the event");
  const turn = await at("turn");
  await page.key("ArrowRight", "ArrowRight");
  assert.ok(await at("turn") > turn, "an arrow does not turn");

  await page.get("document.querySelector('canvas').scrollIntoView({ block: 'center' })");
  const box = await page.get("(({ x, y, width, height }) => [x + width / 2, y + height / 2])(" +
    "document.querySelector('canvas').getBoundingClientRect())");
  const before = await at("turn");
  await page.drag(box, [box[0] + 60, box[1]]);
  assert.ok(Math.abs(await at("turn") - before) > 0.3, "the mouse does not turn");
  const touched = await at("turn");
  await page.touch(box, [box[0] - 80, box[1]]);
  assert.ok(Math.abs(await at("turn") - touched) > 0.3, "a finger does not turn");

  for (const part of ["show-tube", "show-group"]) {
    if (await page.get(`!!document.querySelector('[data-part=${part}]')`)) {
      const with_it = await ink();
      await press(`[data-part=${part}]`);
      assert.notStrictEqual(await ink(), with_it, part + " changes nothing");
      await press(`[data-part=${part}]`);
    }
  }

  // the camera's numbers are those that the program wrote
  const written = fs.readFileSync(file, "utf8").match(/<tr data-event=.*?<\/tr>/g).join("");
  const cells = (html) => html.match(/>[^<>]+<\/td>/g).map((c) => c.slice(1, -5));
  const shown = await page.get("Array.from(document.querySelectorAll('tr[data-event]')).map((r) =>" +
    " r.outerHTML).join('')");
  cells(written).forEach((text, i) => {
    const other = cells(shown)[i];
    assert.ok(text === other || Math.abs(Number(text) - Number(other)) <= 1,
      `camera: the page says ${other}, the program ${text}`);
  });
  await press("[data-part=best]");
  const best = await page.get("document.querySelector('[data-part=camera-words]').textContent");
  const promised = fs.readFileSync(file, "utf8").match(/err least, by up to (\d+) mm/)[1];
  assert.ok(Math.abs(Number(best.match(/up to (\d+) mm/)[1]) - Number(promised)) <= 1, best);
}

async function standsWithoutScripts(page, file) {
  await page.send("Emulation.setScriptExecutionDisabled", { value: true });
  await page.open(file);
  await page.send("Emulation.setScriptExecutionDisabled", { value: false });
  assert.ok(await page.get("document.querySelector('.replay > figure').offsetParent !== null"));
  assert.ok(await page.get("document.querySelector('canvas').offsetParent === null"));
}

async function main() {
  const program = findChromium();
  if (!program) {
    console.log("skipped: there is no Chromium to open the pages with");
    process.exit(77);
  }
  if (!axe) {
    console.log("note: without axe-core contrast and labels are not checked");
  }
  const folder = fs.mkdtempSync(path.join(os.tmpdir(), "swathe-pages-"));
  const browser = new Browser(program);
  let sorted = 0;
  try {
    const report = makeStudy(folder);
    const page = await browser.page();
    const files = fs.readdirSync(report).filter((f) => f.endsWith(".html"));
    for (const name of files) {
      const file = path.join(report, name);
      for (const [width, dark] of [[1440, false], [360, true]]) {
        await page.size(width, 900, dark);
        await opensQuietly(page, file);
        await fits(page, file, width);
        await isAccessible(page, file);
      }
      await page.size(1440, 900, false);
      await linksLead(page, file);
      assert.strictEqual(await page.get("document.querySelectorAll('main b').length"), 0,
        file + ": a player's code became markup");
      if (await page.get("!!document.querySelector('canvas')")) {
        await replayReacts(page, file);
      }
      sorted += await tablesSort(page, file);
      await isNotCutInPrint(page, file);
      assert.deepStrictEqual(page.complaints.concat(page.requests), [], file);
    }
    const deep = files.find((f) => /-d1-b-x-b-session-1/.test(f));
    assert.ok(fs.readFileSync(path.join(report, deep), "utf8").includes("D1 &lt;b&gt;x&lt;/b&gt;"));
    await standsWithoutScripts(page, path.join(report, deep));
    assert.ok(sorted >= files.length, "tables that sort: " + sorted);
    console.log(`${files.length} pages, ${sorted} tables that sort`);
  } finally {
    await browser.close();
    fs.rmSync(folder, { recursive: true, force: true });
  }
}

main().catch((error) => {
  console.error(error.stack || error);
  process.exit(1);
});
