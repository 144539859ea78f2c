/* The replay: a stick figure with its club, the way of the hands, the group's corridor as a tube in
 * space and the group's median swing, on a canvas; and what one video camera would see of it.
 *
 * What it draws is in the page as JSON (io/report/replay_data.c): positions in mm in the swing frame
 * (x to the target, y from the ball to the heels, z up), times in s, events by their number, null
 * where something is absent. It loads nothing and sends nothing. */
(function () {
  "use strict";

  var space = swatheSpace, minus = space.minus, dot = space.dot, cross = space.cross;
  var PHASE_STEPS = 25; /* registered samples a phase */

  var holder = document.getElementById("replay-data");
  var root = document.querySelector(".replay");
  var canvas = root && root.querySelector("canvas");
  var pen = canvas && canvas.getContext && canvas.getContext("2d");
  if (!holder || !pen) {
    return; /* the still picture stays */
  }
  var data = JSON.parse(holder.textContent);
  var find = function (name) { return root.querySelector("[data-part=" + name + "]"); };
  var WIDTH = data.points * 3;

  data.swings.forEach(function (swing) { swing.frames = space.unpack(swing.data); });
  if (data.group) {
    data.group.frames = space.unpack(data.group.data);
  }

  var swing = data.swings[0];
  function bodyAt(when) {
    return space.frameAt(swing.frames, data.points, (when - swing.start) * swing.rate);
  }

  /* Registered sample at a time of this swing; null in a phase that it lacks. */
  function sampleAt(time) {
    for (var i = 0; i + 1 < data.boundary.length; i++) {
      var from = swing.event[data.boundary[i]], to = swing.event[data.boundary[i + 1]];
      if (from !== null && to !== null && time >= from && time <= to && to > from) {
        return PHASE_STEPS * (i + (time - from) / (to - from));
      }
    }
    return null;
  }

  /* ---- state ---- */

  var time = swing.event[0] !== null ? swing.event[0] : swing.start;
  var playing = false, lastTick = 0;
  var turn = 0.35, lift = 0.17, zoom = 1; /* view: rad from the target line, rad up */
  var views = { behind: [0, 0.05], facing: [Math.PI / 2, 0.05], above: [0, Math.PI / 2 - 0.001],
                target: [Math.PI, 0.05] };

  function number(part) { return parseFloat(find(part).value); }
  function ticked(part) { var box = find(part); return !!box && box.checked; }
  function lastTime() { return swing.start + (swing.frames.length / WIDTH - 1) / swing.rate; }

  function aimPoint() { return swing.aim[find("aim").value]; }

  /* Hands at the events that a camera is judged by, in metres. */
  function judged() {
    return data.judged.map(function (e) {
      var at = swing.hands[e];
      return { event: e, at: at && at.map(function (mm) { return mm / 1000; }) };
    }).filter(function (item) { return item.at; });
  }

  function theCamera() {
    return space.cameraAt(number("height"), number("distance"), number("angle") * Math.PI / 180,
                    aimPoint());
  }

  /* ---- from space to the canvas ---- */

  var SEEN = 3.3; /* m from top to bottom at the distance of what the camera aims at */
  var MIDDLE = [0, 0.1, 0.95], SPAN = 2.5; /* m: what the free view shows from top to bottom */

  function makeView() {
    var w = canvas.width, h = canvas.height;
    if (ticked("camera")) {
      var c = theCamera(), size = Math.min(h, 1.25 * w) * number("distance") / SEEN;
      return { forward: c.forward, right: c.right, up: c.up,
               put: function (p) {
                 var d = minus(p, c.centre), away = dot(d, c.forward);
                 return away > 0.1 ? [w / 2 + size * dot(d, c.right) / away,
                                      h / 2 - size * dot(d, c.up) / away, away] : null;
               } };
    }
    var forward = [Math.cos(lift) * Math.cos(turn), Math.cos(lift) * Math.sin(turn), -Math.sin(lift)];
    var right = [Math.sin(turn), -Math.cos(turn), 0], up = cross(right, forward);
    var scale = zoom * Math.min(h, 1.25 * w) / SPAN;
    return { forward: forward, right: right, up: up,
             put: function (p) {
               var d = minus(p, MIDDLE);
               return [w / 2 + scale * dot(d, right), h / 2 - scale * dot(d, up), dot(d, forward)];
             } };
  }

  /* ---- drawing ---- */

  var ratio = 1; /* canvas points to a CSS pixel */
  var colour = {};
  function readColours() {
    var style = getComputedStyle(root);
    ["ink", "soft", "paper", "line", "player", "stress", "band"].forEach(function (name) {
      colour[name] = style.getPropertyValue("--" + name).trim();
    });
  }

  function line(view, points, style, width, dash) {
    var open = false;
    pen.beginPath();
    points.forEach(function (p) {
      var at = p && view.put(p);
      if (!at) {
        open = false;
      } else if (open) {
        pen.lineTo(at[0], at[1]);
      } else {
        pen.moveTo(at[0], at[1]);
        open = true;
      }
    });
    pen.setLineDash((dash || []).map(function (d) { return d * ratio; }));
    pen.lineWidth = width * ratio;
    pen.strokeStyle = style;
    pen.stroke();
  }

  /* beside the point, above it, or below it by `drop` pixels */
  function words(view, at, text, style, drop) {
    var p = view.put(at);
    if (p) {
      pen.font = 12 * ratio + "px system-ui, sans-serif";
      pen.fillStyle = style;
      pen.fillText(text, p[0] + 4 * ratio, p[1] + (drop || -4) * ratio);
    }
  }

  function drawFloor(view) {
    for (var i = -2; i <= 2; i++) {
      line(view, [[i / 2, -1, 0], [i / 2, 1, 0]], colour.line, 0.6);
      line(view, [[-1, i / 2, 0], [1, i / 2, 0]], colour.line, 0.6);
    }
    line(view, [[-0.6, 0, 0], [0.6, 0, 0]], colour.soft, 1.4);
    words(view, [0.6, 0, 0], "toe line", colour.soft);
    if (data.heel !== null) {
      line(view, [[-0.6, data.heel / 1000, 0], [0.6, data.heel / 1000, 0]], colour.soft, 1.4, [7, 3]);
      words(view, [-0.6, data.heel / 1000, 0], "heel line", colour.soft);
    }
    line(view, [[0.7, -0.7, 0], [1, -0.7, 0], [0.93, -0.73, 0], [1, -0.7, 0], [0.93, -0.67, 0]],
         colour.soft, 1.4);
    words(view, [0.7, -0.7, 0], "to the target", colour.soft, 15);
  }

  /* The hulls of neighbouring sections in one path, so that the tube is one even area. */
  function drawTube(view, from, to) {
    var CORNERS = 28, cuts = [];
    for (var s = from; s <= to; s++) {
      cuts.push(space.section(data.tube, s, view));
    }
    pen.beginPath();
    for (var i = 0; i + 1 < cuts.length; i++) {
      for (var k = 0; cuts[i] && cuts[i + 1] && k < CORNERS; k++) {
        var angle = 2 * Math.PI * k / CORNERS, x = Math.cos(angle), y = Math.sin(angle);
        var a = view.put(space.edge(data.tube, from + i, cuts[i], view, angle));
        var b = view.put(space.edge(data.tube, from + i + 1, cuts[i + 1], view, angle));
        if (!a || !b) {
          continue;
        }
        var far = b[0] * x - b[1] * y > a[0] * x - a[1] * y ? b : a;
        if (k === 0) {
          pen.moveTo(far[0], far[1]);
        } else {
          pen.lineTo(far[0], far[1]);
        }
      }
      pen.closePath();
    }
    pen.fillStyle = colour.band;
    pen.fill("nonzero");
    line(view, data.tube.centre.slice(from, to + 1).map(function (c) {
      return c && c.map(function (mm) { return mm / 1000; });
    }), colour.soft, 1.2, [6, 4]);
  }

  var WIDTHS = [2.4, 4, 3, 3]; /* trail side, lead side, trunk, club */

  function drawBody(view, body, ghost) {
    var parts = data.lines.filter(function (l) { return body[l[0]] && body[l[1]]; })
      .map(function (l) {
        var a = view.put(body[l[0]]), b = view.put(body[l[1]]);
        return a && b ? { line: l, depth: a[2] + b[2] } : null;
      }).filter(Boolean).sort(function (a, b) { return b.depth - a.depth; });
    parts.forEach(function (part) {
      var ends = [body[part.line[0]], body[part.line[1]]], width = WIDTHS[part.line[2]];
      if (ghost) {
        line(view, ends, colour.soft, 1.3, [4, 3]);
      } else { /* what is nearer cuts what is behind it */
        line(view, ends, colour.paper, width + 3);
        line(view, ends, part.line[2] === 3 ? colour.ink : colour.player, width);
      }
    });
    var head = body[data.head] && view.put(body[data.head]);
    if (head) {
      var above = view.put([body[data.head][0], body[data.head][1], body[data.head][2] + 0.1]);
      var beside = view.put(body[data.head].map(function (v, i) { return v + 0.1 * view.right[i]; }));
      pen.beginPath();
      pen.arc(head[0], head[1], Math.max(Math.hypot(above[0] - head[0], above[1] - head[1]),
                                         Math.hypot(beside[0] - head[0], beside[1] - head[1])),
              0, 2 * Math.PI);
      pen.setLineDash(ghost ? [4 * ratio, 3 * ratio] : []);
      pen.lineWidth = (ghost ? 1.3 : 2.4) * ratio;
      pen.strokeStyle = ghost ? colour.soft : colour.player;
      pen.stroke();
    }
  }

  function drawTrace(view) {
    var ahead = [], done = [], beyond = [], step = 1 / swing.rate, impact = swing.event[data.impact];
    var end = impact !== null ? impact : lastTime();
    for (var t = Math.max(swing.start, swing.event[0] !== null ? swing.event[0] : swing.start);
         t <= end; t += step) {
      var body = bodyAt(t), hands = body && body[data.hands], sample = sampleAt(t);
      var out = data.tube && sample !== null && space.sideRatio(data.tube, sample, hands) > 1;
      ahead.push(hands);
      done.push(t <= time ? hands : null);
      beyond.push(t <= time && out ? hands : null);
    }
    line(view, ahead, colour.player, 0.8);
    line(view, beyond, colour.stress, 7);
    line(view, done, colour.player, 2.6);
  }

  function drawMarks(view) {
    data.judged.forEach(function (e) {
      var at = swing.hands[e], p = at && view.put(at.map(function (mm) { return mm / 1000; }));
      if (p) {
        pen.beginPath();
        pen.setLineDash([]);
        pen.arc(p[0], p[1], 4 * ratio, 0, 2 * Math.PI);
        pen.fillStyle = colour.paper;
        pen.fill();
        pen.lineWidth = 1.6 * ratio;
        pen.strokeStyle = colour.player;
        pen.stroke();
      }
    });
  }

  /* Where the picture says that the hands are: the plumb line through the toes, and the distance. */
  function drawReading(view, body) {
    var hands = body && body[data.hands];
    line(view, [[0, 0, 0], [0, 0, 2]], colour.stress, 1.6, [2, 4]);
    if (hands) {
      line(view, [hands, [hands[0], hands[1], 0]], colour.soft, 1, [2, 4]);
    }
  }

  function draw() {
    var box = canvas.getBoundingClientRect();
    ratio = window.devicePixelRatio || 1;
    canvas.width = Math.max(1, Math.round(box.width * ratio));
    canvas.height = Math.max(1, Math.round(box.height * ratio));
    readColours();
    pen.clearRect(0, 0, canvas.width, canvas.height);
    pen.lineCap = "round";
    pen.lineJoin = "round";
    var view = makeView(), body = bodyAt(time), sample = sampleAt(time);
    var ghost = data.group && sample !== null
      ? space.frameAt(data.group.frames, data.points, sample) : null;
    drawFloor(view);
    if (data.tube && ticked("show-tube")) { /* the half of the swing that is being shown */
      var top = 2 * PHASE_STEPS, down = sample !== null && sample > top;
      drawTube(view, down ? top : 0, down ? top + PHASE_STEPS : top);
    }
    if (ghost && ticked("show-group")) {
      drawBody(view, ghost, true);
    }
    drawTrace(view);
    drawMarks(view);
    if (body) {
      drawBody(view, body, false);
    }
    if (ticked("camera")) {
      drawReading(view, body);
    }
    root.dataset.time = time.toFixed(4);
    root.dataset.turn = turn.toFixed(3);
    root.dataset.lift = lift.toFixed(3);
    tell(body, ghost);
  }

  /* ---- words ---- */

  function mm(value) { return Math.round(1000 * value) + " mm"; }

  function depth(value) {
    return mm(Math.abs(value)) + (value < 0 ? " in front of" : " behind") + " the toe line";
  }

  function moment() {
    var before = null, after = null;
    data.event.forEach(function (name, e) {
      var at = swing.event[e];
      if (at === null) {
        return;
      }
      if (at <= time + 5e-4 && (before === null || at >= swing.event[before])) {
        before = e;
      }
      if (at > time + 5e-4 && (after === null || at < swing.event[after])) {
        after = e;
      }
    });
    var here = data.event.filter(function (name, e) { // hands and club may be at the top together
      return swing.event[e] !== null && Math.abs(swing.event[e] - time) < 5e-4;
    });
    if (here.length > 0) {
      return "at " + here.join(" and ");
    }
    return before === null ? (after === null ? "" : "before " + data.event[after])
      : "after " + data.event[before];
  }

  function tell(body, ghost) {
    var hands = body && body[data.hands], theirs = ghost && ghost[data.hands];
    var origin = swing.event[0] !== null ? swing.event[0] : swing.start;
    var text = (time - origin).toFixed(3) + " s after " +
      (swing.event[0] !== null ? "takeaway" : "the first frame") + ", " + moment() + ".";
    if (hands) {
      text += " The hands are " + depth(hands[1]) + ", " + mm(hands[2]) + " high";
      text += theirs ? "; the group's " + depth(theirs[1]) + ", " + mm(theirs[2]) + " high." : ".";
    }
    find("words").textContent = text;
    var slider = find("time");
    slider.value = Math.round(1000 * (time - swing.start));
    slider.setAttribute("aria-valuetext", text);
  }

  function tellCamera() {
    var camera = theCamera(), items = judged(), worst = null;
    data.judged.forEach(function (e) {
      var row = root.querySelector("[data-event=\"" + e + "\"]");
      var item = items.filter(function (i) { return i.event === e; })[0];
      var seen = item ? space.apparentDepth(camera, item.at) : NaN;
      var off = item ? seen - item.at[1] : NaN;
      if (row) {
        row.cells[1].textContent = item ? Math.round(1000 * item.at[1]) : "-";
        row.cells[2].textContent = isNaN(seen) ? "-" : Math.round(1000 * seen);
        var rounded = Math.round(1000 * off);
        row.cells[3].textContent = isNaN(off) ? "-" : (rounded > 0 ? "+" : "") + (rounded || 0);
      }
      if (!isNaN(off) && (!worst || Math.abs(off) > Math.abs(worst.off))) {
        worst = { off: off, event: e };
      }
    });
    ["height", "distance", "angle"].forEach(function (part) {
      find(part + "-value").textContent =
        part === "angle" ? number(part) + " deg" : number(part).toFixed(2) + " m";
    });
    find("camera-words").textContent = worst === null ? "This camera does not see the hands."
      : "From there the hands look up to " + mm(Math.abs(worst.off)) +
        (worst.off > 0 ? " deeper" : " less deep") + " than they are (at " +
        data.event[worst.event] + ").";
  }

  /* ---- what people do ---- */

  function setTime(value) {
    time = Math.min(lastTime(), Math.max(swing.start, value));
    draw();
  }

  function tick(now) {
    if (!playing) {
      return;
    }
    var next = time + (now - lastTick) / 1000 * number("speed");
    lastTick = now;
    if (next >= lastTime()) {
      play(false);
    }
    setTime(next);
    requestAnimationFrame(tick);
  }

  function play(on) {
    playing = on;
    find("play").textContent = on ? "Pause" : "Play";
    if (on) {
      if (time >= lastTime() - 1e-6) {
        time = swing.start;
      }
      lastTick = performance.now();
      requestAnimationFrame(tick);
    }
  }

  function step(frames) {
    play(false);
    setTime(time + frames / swing.rate);
  }

  function toEvent(direction) {
    var times = swing.event.filter(function (t) { return t !== null; }).sort(function (a, b) {
      return a - b;
    });
    var next = direction > 0 ? times.filter(function (t) { return t > time + 1e-4; })[0]
      : times.filter(function (t) { return t < time - 1e-4; }).pop();
    play(false);
    if (next !== undefined) {
      setTime(next);
    }
  }

  function turnBy(across, up) {
    find("camera").checked = false;
    turn += across;
    lift = Math.min(Math.PI / 2 - 0.001, Math.max(-0.3, lift + up));
    draw();
  }

  function zoomBy(factor) {
    zoom = Math.min(6, Math.max(0.5, zoom * factor));
    draw();
  }

  function chooseSwing(index) {
    swing = data.swings[index];
    find("time").max = Math.round(1000 * (lastTime() - swing.start));
    Array.from(root.querySelectorAll("button[data-to]")).forEach(function (button) {
      button.disabled = swing.event[button.dataset.to] === null;
    });
    tellCamera();
    setTime(swing.event[0] !== null ? swing.event[0] : swing.start);
  }

  var KEYS = {
    ArrowLeft: function () { turnBy(-0.1, 0); }, ArrowRight: function () { turnBy(0.1, 0); },
    ArrowUp: function () { turnBy(0, 0.1); }, ArrowDown: function () { turnBy(0, -0.1); },
    " ": function () { play(!playing); }, ",": function () { step(-1); },
    ".": function () { step(1); }, p: function () { toEvent(-1); }, n: function () { toEvent(1); },
    "+": function () { zoomBy(1.2); }, "=": function () { zoomBy(1.2); },
    "-": function () { zoomBy(1 / 1.2); }
  };
  canvas.addEventListener("keydown", function (key) {
    if (KEYS[key.key] && !key.ctrlKey && !key.metaKey && !key.altKey) {
      key.preventDefault();
      KEYS[key.key]();
    }
  });

  /* One finger or the mouse turns, two fingers zoom; up and down with one finger scrolls the page. */
  var held = new Map();
  canvas.addEventListener("pointerdown", function (e) {
    held.set(e.pointerId, [e.clientX, e.clientY]);
    canvas.setPointerCapture(e.pointerId);
  });
  canvas.addEventListener("pointermove", function (e) {
    var was = held.get(e.pointerId);
    if (!was) {
      return;
    }
    if (held.size === 1) {
      turnBy((e.clientX - was[0]) * 0.01, (e.clientY - was[1]) * 0.01);
    } else if (held.size === 2) {
      var other = Array.from(held).filter(function (h) { return h[0] !== e.pointerId; })[0][1];
      var before = Math.hypot(was[0] - other[0], was[1] - other[1]);
      if (before > 1) {
        zoomBy(Math.hypot(e.clientX - other[0], e.clientY - other[1]) / before);
      }
    }
    held.set(e.pointerId, [e.clientX, e.clientY]);
  });
  ["pointerup", "pointercancel"].forEach(function (name) {
    canvas.addEventListener(name, function (e) { held.delete(e.pointerId); });
  });

  function on(part, name, what) {
    var element = find(part);
    if (element) {
      element.addEventListener(name, what);
    }
  }
  on("play", "click", function () { play(!playing); });
  on("back", "click", function () { step(-1); });
  on("forward", "click", function () { step(1); });
  on("time", "input", function () { play(false); setTime(swing.start + number("time") / 1000); });
  on("swing", "change", function () { chooseSwing(Number(find("swing").value)); });
  on("show-tube", "change", draw);
  on("show-group", "change", draw);
  on("closer", "click", function () { zoomBy(1.2); });
  on("farther", "click", function () { zoomBy(1 / 1.2); });
  on("camera", "change", draw);
  ["height", "distance", "angle", "aim"].forEach(function (part) {
    on(part, "input", function () {
      find("camera").checked = true;
      tellCamera();
      draw();
    });
  });
  on("best", "click", function () {
    var best = space.bestPlace(number("distance"), aimPoint(),
                               judged().map(function (item) { return item.at; }));
    find("height").value = best.height;
    find("angle").value = best.degrees;
    find("camera").checked = true;
    tellCamera();
    draw();
  });
  Array.from(root.querySelectorAll("button[data-to]")).forEach(function (button) {
    button.addEventListener("click", function () {
      play(false);
      setTime(swing.event[button.dataset.to]);
    });
  });
  Array.from(root.querySelectorAll("button[data-view]")).forEach(function (button) {
    button.addEventListener("click", function () {
      var view = views[button.dataset.view];
      find("camera").checked = false;
      turn = view[0];
      lift = view[1];
      draw();
    });
  });
  window.addEventListener("resize", draw);
  if (window.matchMedia) {
    window.matchMedia("(prefers-color-scheme: dark)").addEventListener("change", draw);
  }

  root.classList.add("live");
  chooseSwing(0);
})();
