// A headless Chromium driven over its debugging pipe: no package is needed beside Node and Chromium.
"use strict";
const { spawn, spawnSync } = require("child_process");
const fs = require("fs");
const os = require("os");
const path = require("path");

// The program, or null: CHROMIUM in the environment, else what is on the path.
function findChromium() {
  for (const name of [process.env.CHROMIUM, "chromium", "chromium-browser"]) {
    if (name && spawnSync(name, ["--version"], { stdio: "ignore" }).status === 0) {
      return name;
    }
  }
  return null;
}

class Browser {
  constructor(program) {
    this.profile = fs.mkdtempSync(path.join(os.tmpdir(), "swathe-browser-"));
    this.process = spawn(program, ["--headless", "--no-sandbox", "--disable-gpu", "--no-first-run",
      "--disable-quic", "--disable-background-networking", "--disable-component-update",
      "--disable-dev-shm-usage", "--hide-scrollbars", "--remote-debugging-pipe",
      "--user-data-dir=" + this.profile],
    { stdio: ["ignore", "ignore", "ignore", "pipe", "pipe"] });
    this.waiting = new Map();
    this.listeners = [];
    this.next = 1;
    let rest = Buffer.alloc(0);
    this.process.stdio[4].on("data", (bytes) => { // messages end with a NUL
      rest = Buffer.concat([rest, bytes]);
      for (let end = rest.indexOf(0); end >= 0; end = rest.indexOf(0)) {
        const message = JSON.parse(rest.subarray(0, end).toString());
        rest = rest.subarray(end + 1);
        this.take(message);
      }
    });
  }

  take(message) {
    const call = this.waiting.get(message.id);
    if (!call) {
      this.listeners.forEach((listener) => listener(message));
      return;
    }
    this.waiting.delete(message.id);
    if (message.error) {
      call.reject(new Error(call.method + ": " + message.error.message));
    } else {
      call.resolve(message.result);
    }
  }

  send(method, params, sessionId) {
    const id = this.next++;
    return new Promise((resolve, reject) => {
      this.waiting.set(id, { resolve, reject, method });
      this.process.stdio[3].write(JSON.stringify({ id, method, params, sessionId }) + "\0");
    });
  }

  async page() {
    const { targetId } = await this.send("Target.createTarget", { url: "about:blank" });
    const { sessionId } = await this.send("Target.attachToTarget", { targetId, flatten: true });
    const page = new Page(this, sessionId);
    for (const domain of ["Page", "Runtime", "Network", "Log"]) {
      await page.send(domain + ".enable");
    }
    return page;
  }

  async close() {
    const gone = new Promise((resolve) => this.process.on("exit", resolve));
    this.send("Browser.close").catch(() => {});
    await gone;
    fs.rmSync(this.profile, { recursive: true, force: true, maxRetries: 5 });
  }
}

class Page {
  constructor(browser, sessionId) {
    this.browser = browser;
    this.sessionId = sessionId;
    this.complaints = []; // errors of scripts and of the console, blocked content
    this.requests = []; // addresses asked for, but the page's own and data URIs
    this.loaded = null;
    browser.listeners.push((message) => {
      if (message.sessionId === sessionId) {
        this.hear(message.method, message.params);
      }
    });
  }

  hear(event, params) {
    if (event === "Runtime.exceptionThrown") {
      const details = params.exceptionDetails;
      this.complaints.push(details.exception ? details.exception.description : details.text);
    } else if (event === "Runtime.consoleAPICalled" && params.type === "error") {
      this.complaints.push(params.args.map((a) => a.value || a.description).join(" "));
    } else if (event === "Log.entryAdded" && params.entry.level === "error") {
      this.complaints.push(params.entry.text);
    } else if (event === "Network.requestWillBeSent") {
      if (params.request.url !== this.address && !params.request.url.startsWith("data:")) {
        this.requests.push(params.request.url);
      }
    } else if (event === "Page.loadEventFired" && this.loaded) {
      this.loaded();
    }
  }

  send(method, params) {
    return this.browser.send(method, params, this.sessionId);
  }

  async size(width, height, dark) {
    await this.send("Emulation.setDeviceMetricsOverride",
      { width, height, deviceScaleFactor: 1, mobile: false });
    await this.send("Emulation.setEmulatedMedia",
      { media: "", features: [{ name: "prefers-color-scheme", value: dark ? "dark" : "light" }] });
  }

  async open(file) {
    this.address = "file://" + file;
    this.complaints = [];
    this.requests = [];
    const loaded = new Promise((resolve) => { this.loaded = resolve; });
    await this.send("Page.navigate", { url: this.address });
    await loaded;
  }

  // Value of an expression in the page; a promise is waited for.
  async get(expression) {
    const answer = await this.send("Runtime.evaluate",
      { expression, returnByValue: true, awaitPromise: true });
    if (answer.exceptionDetails) {
      throw new Error(expression.slice(0, 80) + ": " +
        answer.exceptionDetails.exception.description);
    }
    return answer.result.value;
  }

  async key(key, code) {
    const text = key === "Enter" ? "\r" : key.length === 1 ? key : undefined;
    await this.send("Input.dispatchKeyEvent", { type: "keyDown", key, code, text });
    await this.send("Input.dispatchKeyEvent", { type: "keyUp", key, code });
  }

  async drag(from, to) {
    const mouse = (type, at) => this.send("Input.dispatchMouseEvent",
      { type, x: at[0], y: at[1], button: "left", buttons: 1, clickCount: 1 });
    await mouse("mousePressed", from);
    await mouse("mouseMoved", to);
    await mouse("mouseReleased", to);
  }

  async touch(from, to) {
    const touch = (type, points) => this.send("Input.dispatchTouchEvent",
      { type, touchPoints: points.map((p) => ({ x: p[0], y: p[1] })) });
    await touch("touchStart", [from]);
    for (let i = 1; i <= 4; i++) {
      await touch("touchMove", [from.map((v, k) => v + (to[k] - v) * i / 4)]);
    }
    await touch("touchEnd", []);
  }

  async picture(file, whole) {
    const shot = await this.send("Page.captureScreenshot", { captureBeyondViewport: !!whole });
    fs.writeFileSync(file, Buffer.from(shot.data, "base64"));
  }

  async pdf(paperWidth, paperHeight) {
    const made = await this.send("Page.printToPDF",
      { paperWidth, paperHeight, preferCSSPageSize: false, printBackground: true });
    return Buffer.from(made.data, "base64");
  }
}

module.exports = { Browser, findChromium };
