"use strict";
(function () {
  // Axes as in the plans: x forward, y left, z up, all in mm. The eye looks along parallel lines.
  const scene = JSON.parse(document.getElementById("data").textContent);
  const canvas = document.getElementById("view");
  const said = document.getElementById("said");
  const eye = {};
  let state = 0;
  let measuring = false;
  let picked = [];
  const off = new Set();

  // ---- what is shown -------------------------------------------------------------------------------------------

  function shownItems() {
    const here = new Set(scene.states.length ? scene.states[state].items : []);
    return scene.items.map((_, i) => i).filter((i) => (scene.items[i].fixed || here.has(i)) && !off.has(keyOf(i)));
  }

  // A thing that stands elsewhere in another state is another item of the same name; hiding it hides both.
  function keyOf(i) {
    return JSON.stringify([scene.items[i].fixed, scene.items[i].kind, scene.items[i].name]);
  }

  const bounds = (function () {
    const low = [Infinity, Infinity, Infinity];
    const high = [-Infinity, -Infinity, -Infinity];
    for (const item of scene.items) {
      item.points.forEach((value, i) => {
        low[i % 3] = Math.min(low[i % 3], value);
        high[i % 3] = Math.max(high[i % 3], value);
      });
    }
    return low[0] < Infinity ? { low: low, high: high } : { low: [0, 0, 0], high: [1, 1, 1] };
  })();
  const middle = [0, 1, 2].map((i) => (bounds.low[i] + bounds.high[i]) / 2);
  const size = Math.hypot(...[0, 1, 2].map((i) => bounds.high[i] - bounds.low[i])) || 1;

  // ---- the eye -------------------------------------------------------------------------------------------------

  function reset() {
    Object.assign(eye, { turn: Math.PI * 1.22, rise: 0.55, span: size * 1.05, at: middle.slice() });
  }

  function axes() {
    const c = Math.cos(eye.turn), s = Math.sin(eye.turn), cr = Math.cos(eye.rise), sr = Math.sin(eye.rise);
    return { right: [-s, c, 0], up: [-c * sr, -s * sr, cr], back: [c * cr, s * cr, sr] };
  }

  function dot(a, b) {
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
  }

  // What the panel takes of a wide page, in pixels; on a narrow one it lies over the picture.
  function aside() {
    return canvas.clientWidth > 700 ? 280 : 0;
  }

  // Pixels of the page for a mm of the scene.
  function pixels() {
    return Math.min(canvas.clientWidth - aside(), canvas.clientHeight) / eye.span;
  }

  // Where a point is on the page, and how near it is to the eye.
  function project(p, a) {
    const d = [p[0] - eye.at[0], p[1] - eye.at[1], p[2] - eye.at[2]];
    const k = pixels();
    return [(canvas.clientWidth + aside()) / 2 + dot(d, a.right) * k, canvas.clientHeight / 2 - dot(d, a.up) * k, dot(d, a.back)];
  }

  // ---- drawing by WebGL ----------------------------------------------------------------------------------------

  const gl = canvas.getContext("webgl", { antialias: true, alpha: false, preserveDrawingBuffer: true });
  const flat = gl ? null : canvas.getContext("2d");
  const VERTEX =
    "attribute vec3 point; attribute vec3 normal; uniform mat3 turned; uniform vec3 at; uniform vec3 scale;" +
    "uniform vec3 light; uniform float side; uniform float lift; uniform float lit; varying float shade;" +
    "void main() { vec3 p = turned * (point - at); gl_Position = vec4(p.x * scale.x + side, p.y * scale.y, -p.z * scale.z - lift, 1.0);" +
    "shade = mix(1.0, 0.62 + 0.38 * abs(dot(normal, light)), lit); }";
  const FRAGMENT =
    "precision mediump float; uniform vec4 colour; varying float shade;" +
    "void main() { gl_FragColor = vec4(colour.rgb * shade, colour.a); }";
  let program = null;
  let places = null;

  function shader(kind, text) {
    const made = gl.createShader(kind);
    gl.shaderSource(made, text);
    gl.compileShader(made);
    if (!gl.getShaderParameter(made, gl.COMPILE_STATUS)) throw new Error(gl.getShaderInfoLog(made));
    return made;
  }

  function buffer(values) {
    const made = gl.createBuffer();
    gl.bindBuffer(gl.ARRAY_BUFFER, made);
    gl.bufferData(gl.ARRAY_BUFFER, new Float32Array(values), gl.STATIC_DRAW);
    return made;
  }

  function setUp() {
    program = gl.createProgram();
    gl.attachShader(program, shader(gl.VERTEX_SHADER, VERTEX));
    gl.attachShader(program, shader(gl.FRAGMENT_SHADER, FRAGMENT));
    gl.linkProgram(program);
    gl.useProgram(program);
    places = {};
    for (const name of ["point", "normal"]) places[name] = gl.getAttribLocation(program, name);
    for (const name of ["turned", "at", "scale", "light", "side", "lift", "lit", "colour"]) {
      places[name] = gl.getUniformLocation(program, name);
    }
    gl.enable(gl.DEPTH_TEST);
    gl.blendFunc(gl.SRC_ALPHA, gl.ONE_MINUS_SRC_ALPHA);
    for (const item of scene.items) {
      const points = [], normals = [];
      for (let t = 0; t < item.triangles.length; t += 3) {
        const corners = [0, 1, 2].map((k) => pointOf(item, item.triangles[t + k]));
        const n = normalOf(corners);
        for (const corner of corners) {
          points.push(...corner);
          normals.push(...n);
        }
      }
      item.faces = { points: buffer(points), normals: buffer(normals), count: points.length / 3 };
      item.edges = { points: buffer(item.lines), count: item.lines.length / 3 };
    }
  }

  function pointOf(item, i) {
    return [item.points[3 * i], item.points[3 * i + 1], item.points[3 * i + 2]];
  }

  function normalOf(c) {
    const u = [0, 1, 2].map((i) => c[1][i] - c[0][i]), v = [0, 1, 2].map((i) => c[2][i] - c[0][i]);
    const n = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
    const run = Math.hypot(...n) || 1;
    return n.map((x) => x / run);
  }

  function strokes(points, count, colour, lift) {
    gl.disableVertexAttribArray(places.normal);
    gl.vertexAttrib3f(places.normal, 0, 0, 1);
    gl.bindBuffer(gl.ARRAY_BUFFER, points);
    gl.enableVertexAttribArray(places.point);
    gl.vertexAttribPointer(places.point, 3, gl.FLOAT, false, 0, 0);
    gl.uniform1f(places.lit, 0);
    gl.uniform1f(places.lift, lift);
    gl.uniform4fv(places.colour, colour);
    gl.drawArrays(gl.LINES, 0, count);
  }

  function surfaces(item) {
    gl.bindBuffer(gl.ARRAY_BUFFER, item.faces.points);
    gl.enableVertexAttribArray(places.point);
    gl.vertexAttribPointer(places.point, 3, gl.FLOAT, false, 0, 0);
    gl.bindBuffer(gl.ARRAY_BUFFER, item.faces.normals);
    gl.enableVertexAttribArray(places.normal);
    gl.vertexAttribPointer(places.normal, 3, gl.FLOAT, false, 0, 0);
    gl.uniform1f(places.lit, 1);
    gl.uniform1f(places.lift, 0);
    gl.uniform4fv(places.colour, item.colour);
    gl.drawArrays(gl.TRIANGLES, 0, item.faces.count);
  }

  function paint() {
    const a = axes(), w = canvas.clientWidth, h = canvas.clientHeight, k = pixels();
    gl.viewport(0, 0, canvas.width, canvas.height);
    gl.clearColor(1, 1, 1, 1);
    gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
    const m = [0, 1, 2].flatMap((i) => [a.right[i], a.up[i], a.back[i]]);
    gl.uniformMatrix3fv(places.turned, false, m);
    gl.uniform3fv(places.at, eye.at);
    gl.uniform3f(places.scale, (2 * k) / w, (2 * k) / h, 1 / (2 * size));
    gl.uniform1f(places.side, aside() / w);
    gl.uniform3f(places.light, 0.3, 0.48, 0.824);
    const items = shownItems().map((i) => scene.items[i]);
    gl.disable(gl.BLEND);
    for (const item of items.filter((item) => item.colour[3] >= 1)) surfaces(item);
    for (const item of items) strokes(item.edges.points, item.edges.count, item.fixed ? [0.45, 0.45, 0.45, 1] : [0, 0, 0, 1], 0.0004);
    gl.enable(gl.BLEND);
    gl.depthMask(false);
    // Walls are seen from inside only, so that one looks in past the near ones.
    gl.enable(gl.CULL_FACE);
    for (const item of items.filter((item) => item.colour[3] < 1)) surfaces(item);
    gl.disable(gl.CULL_FACE);
    gl.depthMask(true);
    if (picked.length) {
      gl.disable(gl.DEPTH_TEST);
      const made = buffer(measureLines(a));
      strokes(made, measureLines(a).length / 3, [0.75, 0, 0, 1], 0);
      gl.deleteBuffer(made);
      gl.enable(gl.DEPTH_TEST);
    }
  }

  // A cross at every picked corner, and the line between two.
  function measureLines(a) {
    const made = [], arm = 7 / pixels();
    for (const p of picked) {
      for (const [s, t] of [[1, 1], [1, -1]]) {
        for (const sign of [-1, 1]) made.push(...p.map((x, i) => x + sign * arm * (s * a.right[i] + t * a.up[i])));
      }
    }
    if (picked.length === 2) made.push(...picked[0], ...picked[1]);
    return made;
  }

  // ---- drawing without WebGL: pixel by pixel, each with how near to the eye it is ------------------------------

  function paintFlat() {
    const a = axes(), w = canvas.width, h = canvas.height, ratio = w / (canvas.clientWidth || 1);
    const image = flat.createImageData(w, h), depth = new Float32Array(w * h).fill(-Infinity);
    image.data.fill(255);
    const page = { data: image.data, depth: depth, w: w, h: h };
    const on = (p) => { const s = project(p, a); return [s[0] * ratio, s[1] * ratio, s[2]]; };
    const items = shownItems().map((i) => scene.items[i]);
    const fill = function (item) {
      const seen = item.points.length / 3;
      const places = Array.from({ length: seen }, (_, k) => on(pointOf(item, k)));
      for (let t = 0; t < item.triangles.length; t += 3) {
        const ends = [item.triangles[t], item.triangles[t + 1], item.triangles[t + 2]];
        const n = normalOf(ends.map((k) => pointOf(item, k)));
        if (dot(n, a.back) <= 0) continue;
        triangle(page, ends.map((k) => places[k]), item.colour, 0.62 + 0.38 * Math.abs(dot(n, [0.3, 0.48, 0.824])));
      }
    };
    items.filter((item) => item.colour[3] >= 1).forEach(fill);
    for (const item of items) {
      for (let t = 0; t < item.lines.length; t += 6) {
        stroke(page, on(item.lines.slice(t, t + 3)), on(item.lines.slice(t + 3, t + 6)), item.fixed ? 115 : 0, size * 0.002);
      }
    }
    items.filter((item) => item.colour[3] < 1).forEach(fill);
    flat.putImageData(image, 0, 0);
    const marks = measureLines(a);
    flat.strokeStyle = "#bf0000";
    for (let t = 0; t < marks.length; t += 6) {
      const [p, q] = [on(marks.slice(t, t + 3)), on(marks.slice(t + 3, t + 6))];
      flat.beginPath();
      flat.moveTo(p[0], p[1]);
      flat.lineTo(q[0], q[1]);
      flat.stroke();
    }
  }

  function triangle(page, corners, colour, shade) {
    const [p, q, r] = corners;
    const whole = (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0]);
    if (!whole) return;
    const x0 = Math.max(0, Math.floor(Math.min(p[0], q[0], r[0]))), x1 = Math.min(page.w - 1, Math.ceil(Math.max(p[0], q[0], r[0])));
    const y0 = Math.max(0, Math.floor(Math.min(p[1], q[1], r[1]))), y1 = Math.min(page.h - 1, Math.ceil(Math.max(p[1], q[1], r[1])));
    for (let y = y0; y <= y1; y++) {
      for (let x = x0; x <= x1; x++) {
        const s = ((x - p[0]) * (r[1] - p[1]) - (y - p[1]) * (r[0] - p[0])) / whole;
        const t = ((q[0] - p[0]) * (y - p[1]) - (q[1] - p[1]) * (x - p[0])) / whole;
        if (s < 0 || t < 0 || s + t > 1) continue;
        dab(page, y * page.w + x, p[2] + s * (q[2] - p[2]) + t * (r[2] - p[2]), colour.map((c, i) => (i < 3 ? 255 * c * shade : c)));
      }
    }
  }

  function stroke(page, p, q, grey, lift) {
    const steps = Math.max(1, Math.ceil(Math.max(Math.abs(q[0] - p[0]), Math.abs(q[1] - p[1]))));
    for (let k = 0; k <= steps; k++) {
      const [x, y, z] = [0, 1, 2].map((i) => p[i] + ((q[i] - p[i]) * k) / steps);
      const [px, py] = [Math.round(x), Math.round(y)];
      if (px < 0 || py < 0 || px >= page.w || py >= page.h) continue;
      dab(page, py * page.w + px, z + lift, [grey, grey, grey, 1]);
    }
  }

  function dab(page, at, near, colour) {
    if (near < page.depth[at]) return;
    const through = 1 - colour[3];
    for (let i = 0; i < 3; i++) page.data[4 * at + i] = page.data[4 * at + i] * through + colour[i] * colour[3];
    if (!through) page.depth[at] = near;
  }

  let waiting = false;
  function redraw() {
    if (waiting) return;
    waiting = true;
    requestAnimationFrame(function () {
      waiting = false;
      const ratio = window.devicePixelRatio || 1;
      const w = Math.max(1, Math.round(canvas.clientWidth * ratio)), h = Math.max(1, Math.round(canvas.clientHeight * ratio));
      if (canvas.width !== w || canvas.height !== h) [canvas.width, canvas.height] = [w, h];
      gl ? paint() : paintFlat();
    });
  }

  // ---- measuring -----------------------------------------------------------------------------------------------

  // How far toward the eye the scene reaches on the line of sight through a point of the page.
  function nearest(x, y, a) {
    let best = -Infinity;
    for (const i of shownItems()) {
      const item = scene.items[i];
      if (item.colour[3] < 1) continue;
      const seen = item.seen;
      for (let t = 0; t < item.triangles.length; t += 3) {
        const [p, q, r] = [0, 1, 2].map((k) => seen[item.triangles[t + k]]);
        const whole = (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0]);
        if (Math.abs(whole) < 1e-9) continue;
        const s = ((x - p[0]) * (r[1] - p[1]) - (y - p[1]) * (r[0] - p[0])) / whole;
        const u = ((q[0] - p[0]) * (y - p[1]) - (q[1] - p[1]) * (x - p[0])) / whole;
        if (s >= 0 && u >= 0 && s + u <= 1) best = Math.max(best, p[2] + s * (q[2] - p[2]) + u * (r[2] - p[2]));
      }
    }
    return best;
  }

  // The corner that shows and is nearest to a point of the page, within a finger's width of it.
  function cornerAt(x, y) {
    const a = axes(), near = [];
    for (const i of shownItems()) {
      const item = scene.items[i];
      item.seen = [];
      for (let k = 0; k < item.points.length / 3; k++) {
        const seen = project(pointOf(item, k), a);
        item.seen.push(seen);
        const far = Math.hypot(seen[0] - x, seen[1] - y);
        if (far < 24) near.push({ far: far, seen: seen, at: pointOf(item, k) });
      }
    }
    near.sort((p, q) => p.far - q.far || q.seen[2] - p.seen[2]);
    const found = near.find((one) => nearest(one.seen[0], one.seen[1], a) <= one.seen[2] + 2);
    return found ? found.at : null;
  }

  function pick(x, y) {
    const corner = cornerAt(x, y);
    if (!corner) return say("no corner here; press nearer to one");
    picked = picked.length === 2 ? [corner] : [...picked, corner];
    if (picked.length === 1) say("from here to which corner?");
    else say(distance(picked[0], picked[1]));
    redraw();
  }

  function distance(p, q) {
    const d = [0, 1, 2].map((i) => Math.abs(q[i] - p[i]));
    return length(Math.hypot(...d)) + " (along " + length(d[0]) + ", across " + length(d[1]) + ", up " + length(d[2]) + ")";
  }

  // Millimetres to a tenth, or inches to a sixteenth.
  function length(mm) {
    if (scene.units !== "in") return Math.round(mm * 10) / 10 + " mm";
    let parts = Math.round((mm / 25.4) * 16), below = 16;
    const whole = Math.floor(parts / 16);
    parts -= whole * 16;
    while (parts && parts % 2 === 0) [parts, below] = [parts / 2, below / 2];
    return (parts ? (whole ? whole + " " : "") + parts + "/" + below : whole) + '"';
  }

  function say(text) {
    said.textContent = text;
  }

  // ---- hands ---------------------------------------------------------------------------------------------------

  function turn(dx, dy) {
    eye.turn -= dx;
    eye.rise = Math.max(-1.5, Math.min(1.57, eye.rise + dy));
    redraw();
  }

  function move(dx, dy) {
    const a = axes(), k = pixels();
    eye.at = eye.at.map((x, i) => x - (dx * a.right[i]) / k + (dy * a.up[i]) / k);
    redraw();
  }

  function zoom(by) {
    eye.span = Math.max(size / 60, Math.min(size * 4, eye.span * by));
    redraw();
  }

  const fingers = new Map();
  let travelled = 0;

  canvas.addEventListener("pointerdown", function (event) {
    canvas.setPointerCapture(event.pointerId);
    if (!fingers.size) travelled = 0;
    fingers.set(event.pointerId, [event.clientX, event.clientY]);
  });

  canvas.addEventListener("pointermove", function (event) {
    const before = fingers.get(event.pointerId);
    if (!before) return;
    const now = [event.clientX, event.clientY], dx = now[0] - before[0], dy = now[1] - before[1];
    travelled += Math.hypot(dx, dy);
    if (fingers.size === 2) {
      const other = [...fingers].find(([id]) => id !== event.pointerId)[1];
      const was = Math.hypot(before[0] - other[0], before[1] - other[1]), is = Math.hypot(now[0] - other[0], now[1] - other[1]);
      if (was > 0 && is > 0) zoom(was / is);
      move(dx / 2, dy / 2);
    } else if (event.buttons & 6 || event.shiftKey) move(dx, dy);
    else turn(dx * 0.008, dy * 0.008);
    fingers.set(event.pointerId, now);
  });

  function lift(event) {
    const tapped = fingers.size === 1 && travelled < 6 && event.type === "pointerup" && event.button === 0;
    fingers.delete(event.pointerId);
    const box = canvas.getBoundingClientRect();
    if (tapped && measuring) pick(event.clientX - box.left, event.clientY - box.top);
  }
  canvas.addEventListener("pointerup", lift);
  canvas.addEventListener("pointercancel", lift);
  canvas.addEventListener("contextmenu", (event) => event.preventDefault());
  canvas.addEventListener("wheel", function (event) {
    event.preventDefault();
    zoom(Math.exp(Math.max(-100, Math.min(100, event.deltaY)) * 0.0015));
  }, { passive: false });

  canvas.addEventListener("keydown", function (event) {
    const ways = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
    const way = ways[event.key];
    if (way && event.shiftKey) move(-40 * way[0], -40 * way[1]);
    else if (way) turn(0.09 * way[0], 0.09 * way[1]);
    else if (event.key === "+" || event.key === "=") zoom(0.87);
    else if (event.key === "-") zoom(1.15);
    else if (event.key === "0") { reset(); redraw(); }
    else if (event.key === "m") measure(!measuring);
    else if (event.key === "Escape") measure(false);
    else return;
    event.preventDefault();
  });

  // ---- the panel -----------------------------------------------------------------------------------------------

  function button(text, does) {
    const made = document.createElement("button");
    made.type = "button";
    made.textContent = text;
    made.addEventListener("click", () => does(made));
    return made;
  }

  function measure(on) {
    measuring = on;
    picked = [];
    canvas.classList.toggle("measuring", on);
    ruler.setAttribute("aria-pressed", String(on));
    say(on ? "press two corners" : "");
    redraw();
  }

  const states = document.getElementById("states");
  scene.states.forEach(function (one, i) {
    states.append(button(one.name, function () {
      state = i;
      picked = [];
      say("");
      [...states.children].forEach((child, j) => child.setAttribute("aria-pressed", String(i === j)));
      list();
      redraw();
    }));
    states.lastChild.setAttribute("aria-pressed", String(i === 0));
  });

  const ruler = button("measure", () => measure(!measuring));
  ruler.setAttribute("aria-pressed", "false");
  document.getElementById("tools").append(
    ruler,
    button("as at first", function () { reset(); redraw(); }),
    button("from above", function () { Object.assign(eye, { turn: Math.PI, rise: 1.57 }); redraw(); }),
  );

  function tick(text, colour, on, does) {
    const label = document.createElement("label"), box = document.createElement("input");
    box.type = "checkbox";
    box.checked = on;
    box.addEventListener("change", () => does(box.checked));
    label.append(box);
    if (colour) {
      const swatch = document.createElement("span");
      swatch.className = "swatch";
      swatch.style.background = "rgb(" + colour.slice(0, 3).map((x) => Math.round(255 * x)).join(",") + ")";
      label.append(swatch);
    }
    label.append(" " + text);
    return label;
  }

  // Kinds as layers, and under each its things; a thing of this state or of the room.
  function list() {
    const place = document.getElementById("list");
    const here = new Set(scene.states.length ? scene.states[state].items : []);
    const kinds = new Map();
    scene.items.forEach(function (item, i) {
      if (item.fixed || here.has(i)) kinds.set(item.kind, [...(kinds.get(item.kind) || []), i]);
    });
    place.replaceChildren();
    for (const [kind, items] of kinds) {
      const group = document.createElement("fieldset");
      const set = (keys, on) => { keys.forEach((key) => (on ? off.delete(key) : off.add(key))); list(); redraw(); };
      const keys = items.map(keyOf);
      group.append(tick(kind, scene.items[items[0]].colour, keys.some((key) => !off.has(key)), (on) => set(keys, on)));
      if (items.length > 1 || scene.items[items[0]].name !== kind) {
        for (const i of items) {
          const label = tick(scene.items[i].name, null, !off.has(keyOf(i)), (on) => set([keyOf(i)], on));
          label.className = "thing";
          group.append(label);
        }
      }
      place.append(group);
    }
  }

  reset();
  if (gl) setUp();
  list();
  if (window.innerWidth > 700) document.getElementById("shown").open = true;
  window.addEventListener("resize", redraw);
  redraw();
})();
