/* What the replay reckons with: vectors, the packed frames, the group's tube, one video camera. */
var swatheSpace = (function () {
  "use strict";

  var ABSENT = -32768; /* as a coordinate */

  /* ---- vectors ---- */

  function minus(a, b) { return [a[0] - b[0], a[1] - b[1], a[2] - b[2]]; }
  function dot(a, b) { return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]; }
  function cross(a, b) {
    return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
  }
  function unit(a) { var n = Math.sqrt(dot(a, a)); return [a[0] / n, a[1] / n, a[2] / n]; }

  /* ---- packed frames: little-endian 16-bit mm ---- */

  function unpack(text) {
    var bytes = atob(text);
    var out = new Int16Array(bytes.length / 2);
    for (var i = 0; i < out.length; i++) {
      out[i] = bytes.charCodeAt(2 * i) | (bytes.charCodeAt(2 * i + 1) << 8);
    }
    return out;
  }

  /* A frame between two frames: an array of [x, y, z] or null, in metres. */
  function frameAt(frames, points, at) {
    var width = 3 * points, count = frames.length / width, body = [];
    if (!(at >= 0) || at > count - 1) {
      return null;
    }
    var low = Math.floor(at), part = at - low, high = Math.min(low + 1, count - 1);
    for (var p = 0; p < points; p++) {
      var place = [];
      for (var k = 0; k < 3; k++) {
        var a = frames[low * width + 3 * p + k], b = frames[high * width + 3 * p + k];
        if (a === ABSENT || b === ABSENT) {
          place = null;
          break;
        }
        place.push((a + part * (b - a)) / 1000);
      }
      body.push(place);
    }
    return body;
  }

  /* ---- the group's tube ---- */

  /* Covariance of the tube's section as it looks in a direction: the outline of an ellipsoid is an
   * ellipse. Where two axes face the viewer the tube is as wide as the corridor in that plane. */
  function section(tube, sample, view) {
    var c = tube.covariance[sample], f = view.forward;
    if (!c) {
      return null;
    }
    var times = function (v) {
      return [c[0] * v[0] + c[1] * v[1] + c[2] * v[2], c[1] * v[0] + c[3] * v[1] + c[4] * v[2],
              c[2] * v[0] + c[4] * v[1] + c[5] * v[2]];
    };
    var k = tube.side * f[0] * f[0] + tube.front * f[1] * f[1] +
            tube.above * f[2] * f[2];
    var r = times(view.right), u = times(view.up);
    return { k: k, rr: dot(r, view.right), ru: dot(r, view.up), uu: dot(u, view.up) };
  }

  /* The point of a section that lies farthest in a direction of the picture, in space. */
  function edge(tube, sample, cut, view, angle) {
    var x = Math.cos(angle), y = Math.sin(angle);
    var ex = cut.rr * x + cut.ru * y, ey = cut.ru * x + cut.uu * y;
    var size = cut.k / Math.sqrt(Math.max(1e-9, x * ex + y * ey));
    var centre = tube.centre[sample];
    return [0, 1, 2].map(function (i) {
      return (centre[i] + size * (ex * view.right[i] + ey * view.up[i])) / 1000;
    });
  }

  /* Distance of the hands from the corridor's centre seen from the side, in half-widths. */
  function sideRatio(tube, sample, place) {
    var s = Math.round(sample), c = tube && tube.covariance[s];
    if (!c || !place) {
      return NaN;
    }
    var y = 1000 * place[1] - tube.centre[s][1], z = 1000 * place[2] - tube.centre[s][2];
    var det = c[3] * c[5] - c[4] * c[4];
    return Math.sqrt((c[5] * y * y - 2 * c[4] * y * z + c[3] * z * z) / det) / tube.side;
  }

  /* ---- one camera: the formulas of kinematics/camera.h ---- */

  function cameraAt(height, distance, angle, aim) {
    var centre = [aim[0] - distance * Math.cos(angle), aim[1] - distance * Math.sin(angle), height];
    var forward = unit(minus(aim, centre));
    var right = unit(cross(forward, [0, 0, 1]));
    return { centre: centre, forward: forward, right: right, up: cross(right, forward) };
  }

  function apparentDepth(camera, point) {
    var across = function (p) {
      var d = minus(p, camera.centre), away = dot(d, camera.forward);
      return away > 0 ? dot(d, camera.right) / away : NaN;
    };
    var toes = [0, 0, 0];
    return dot(minus(toes, camera.centre), camera.forward) * (across(toes) - across(point));
  }

  /* The greatest error over points, and where the camera should stand for it to be least. */
  function worstError(camera, points) {
    return points.reduce(function (worst, p) {
      return Math.max(worst, Math.abs(apparentDepth(camera, p) - p[1]));
    }, 0);
  }

  function bestPlace(distance, aim, points) {
    var best = null;
    for (var degrees = -30; degrees <= 30; degrees++) {
      for (var cm = 50; cm <= 180; cm += 5) {
        var worst = worstError(cameraAt(cm / 100, distance, degrees * Math.PI / 180, aim), points);
        if (!best || worst < best.worst) {
          best = { worst: worst, degrees: degrees, height: cm / 100 };
        }
      }
    }
    return best;
  }

  return { minus: minus, dot: dot, cross: cross, unpack: unpack, frameAt: frameAt,
           section: section, edge: edge, sideRatio: sideRatio, cameraAt: cameraAt, apparentDepth: apparentDepth, bestPlace: bestPlace };
})();
