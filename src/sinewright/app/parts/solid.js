// The leg as a solid on a canvas: rods and tubes as shaded faces, far ones painted first. Turned by drag, keys, buttons.
// Millimetres, x forward, y up, z to the right of the person; a left leg comes mirrored, nothing is mirrored here.
const RAD = Math.PI / 180;
const PLACES = [["Outer side", 0, 8], ["In front", 90, 12], ["Inner side", 180, 8], ["Behind", 270, 8], ["Above", 60, 70]];
const LOWEST_TOE = 175; // how far below the ankle a foot that points down reaches [mm]
const LOWEST = -15, HIGHEST = 85, STEP = 10, TUBE = 8;

// Axes of the paper for a place of the eye: azimuth 0 looks from the outer side, 90 from in front; then right, up, towards.
export function eyeAt(side, azimuth, height) {
  const out = side === "right" ? 1 : -1, a = azimuth * RAD, h = height * RAD;
  const to = [Math.sin(a) * Math.cos(h), Math.sin(h), out * Math.cos(a) * Math.cos(h)];
  const flat = Math.hypot(to[0], to[2]);
  const right = [to[2] / flat, 0, -to[0] / flat];
  const up = [to[1] * right[2] - to[2] * right[1], to[2] * right[0] - to[0] * right[2], to[0] * right[1] - to[1] * right[0]];
  return { right, up, to };
}
const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const minus = (a, b) => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
const cross = (a, b) => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
const unit = (a) => { const n = Math.hypot(...a) || 1; return [a[0] / n, a[1] / n, a[2] / n]; };
const middle = (ring) => ring.reduce((s, p) => [s[0] + p[0] / ring.length, s[1] + p[1] / ring.length, s[2] + p[2] / ring.length], [0, 0, 0]);

// A point on paper and how near it is: [x to the right, y up, depth].
export function project(point, eye) { return [dot(point, eye.right), dot(point, eye.up), dot(point, eye.to)]; }

// Where the eye is, in words.
export function viewWords(azimuth, height) {
  const names = ["the outer side", "the outer side and in front", "in front", "the inner side and in front", "the inner side",
    "the inner side and behind", "behind", "the outer side and behind"];
  const turned = ((azimuth % 360) + 360) % 360;
  const round = names[Math.round(turned / 45) % 8];
  return height > 55 ? "above, over " + round : height > 25 ? round + ", from above" : height < -5 ? round + ", from below" : "" + round;
}

// Rings of a tube about its middle line, carried along without twist.
export function ringsOf(points, radii) {
  const rings = [];
  let side = null;
  for (let i = 0; i < points.length; i++) {
    const along = unit(minus(points[Math.min(i + 1, points.length - 1)], points[Math.max(i - 1, 0)]));
    if (!side) side = unit(cross(along, Math.abs(along[1]) < 0.9 ? [0, 1, 0] : [1, 0, 0]));
    side = unit(minus(side, along.map((v) => v * dot(side, along))));
    const other = cross(along, side);
    rings.push(Array.from({ length: TUBE }, (_, k) => {
      const t = (2 * Math.PI * k) / TUBE, c = Math.cos(t) * radii[i], s = Math.sin(t) * radii[i];
      return [0, 1, 2].map((d) => points[i][d] + c * side[d] + s * other[d]);
    }));
  }
  return rings;
}

// Faces of a row of rings: corners, outward normal, kind; caps at both ends.
function facesOf(rings, kind, into) {
  const centres = rings.map(middle);
  for (let i = 0; i + 1 < rings.length; i++) {
    const inside = middle([centres[i], centres[i + 1]]);
    for (let k = 0; k < rings[i].length; k++) {
      const n = (k + 1) % rings[i].length;
      put([rings[i][k], rings[i][n], rings[i + 1][n], rings[i + 1][k]], inside, kind, into);
    }
  }
  if (rings.length > 1) {
    put(rings[0], centres[1], kind, into);
    put(rings[rings.length - 1], centres[rings.length - 2], kind, into);
  }
}
function put(corners, inside, kind, into) {
  let normal = unit(cross(minus(corners[2], corners[0]), minus(corners[3 % corners.length], corners[1])));
  if (dot(normal, minus(corners[0], inside)) < 0) normal = normal.map((v) => -v);
  into.push({ corners, normal, kind });
}
function colourOf(text) {
  const found = /^#(..)(..)(..)$/.exec(text.trim());
  return found ? found.slice(1).map((v) => parseInt(v, 16)) : [128, 128, 128];
}

export default {
  template: `
    <div class="solid">
      <canvas ref="paper" tabindex="0" role="img" :aria-label="whole" @keydown="key" @pointerdown="grip" @pointermove="drag"
              @pointerup="free" @pointercancel="free">{{ whole }}</canvas>
      <p class="solid-words">{{ shown }}</p>
      <div class="solid-turns" role="group" aria-label="Turn the solid leg">
        <button type="button" class="button quiet" @click="turn(-STEP, 0)" aria-label="Turn to the left">◀</button>
        <button type="button" class="button quiet" @click="turn(STEP, 0)" aria-label="Turn to the right">▶</button>
        <button type="button" class="button quiet" @click="turn(0, STEP)" aria-label="Look from higher">▲</button>
        <button type="button" class="button quiet" @click="turn(0, -STEP)" aria-label="Look from lower">▼</button>
        <button v-for="p in PLACES" type="button" class="button quiet" @click="go(p[1], p[2])">{{ p[0] }}</button>
      </div>
    </div>`,
  props: { side: String },
  data() { return { azimuth: 35, height: 16, told: "", PLACES, STEP }; },
  computed: {
    shown() { return `${this.side === "right" ? "R  Right" : "L  Left"} leg, seen from ${viewWords(this.azimuth, this.height)}`; },
    whole() { return `Solid leg. ${this.told} Seen from ${viewWords(this.azimuth, this.height)}. Arrow keys turn it, Home goes back.`; },
  },
  created() { this.solid = null; this.top = 300; this.faces = []; this.held = null; this.asked = 0; },
  mounted() {
    this.watcher = new ResizeObserver(() => this.later());
    this.watcher.observe(this.$refs.paper);
    this.looks = new MutationObserver(() => this.later());
    this.looks.observe(document.documentElement, { attributes: true, attributeFilter: ["data-look"] });
    if (this.solid) this.later();
  },
  unmounted() { this.watcher.disconnect(); this.looks.disconnect(); cancelAnimationFrame(this.asked); clearInterval(this.going); },
  methods: {
    show(solid) {
      this.solid = solid;
      this.told = solid.told;
      this.top = Math.max(...solid.rods.flat(2).map((p) => p[1]));
      this.faces = [];
      for (const rings of solid.rods) facesOf(rings, "bone", this.faces);
      for (const [kind, points, radii] of solid.tubes) facesOf(ringsOf(points, radii), kind, this.faces);
      this.later();
    },
    // What a point of the solid is on this paper [CSS pixels]; the tests ask too.
    spot(point) {
      const box = this.$refs.paper, eye = eyeAt(this.side, this.azimuth, this.height);
      const tall = this.top + LOWEST_TOE, scale = Math.min(box.clientWidth / 330, box.clientHeight / (tall + 24));
      const [x, y, depth] = project([point[0] - 55, point[1] - this.top + tall / 2, point[2]], eye);
      return [box.clientWidth / 2 + scale * x, box.clientHeight / 2 - scale * y, depth, scale];
    },
    later() { cancelAnimationFrame(this.asked); this.asked = requestAnimationFrame(() => this.paint()); },
    paint() {
      const box = this.$refs.paper, solid = this.solid;
      if (!box || !solid || !box.clientWidth) return;
      const dense = window.devicePixelRatio || 1, ink = getComputedStyle(box);
      box.width = Math.round(box.clientWidth * dense);
      box.height = Math.round(box.clientHeight * dense);
      const pen = box.getContext("2d");
      pen.scale(dense, dense);
      const eye = eyeAt(this.side, this.azimuth, this.height);
      this.floor(pen, solid, ink);
      const light = unit([0, 1, 2].map((d) => 0.9 * eye.to[d] + 0.7 * eye.up[d] - 0.45 * eye.right[d]));
      const tones = {};
      const seen = this.faces.filter((f) => dot(f.normal, eye.to) > 0.0);
      for (const face of seen) {
        face.flat = face.corners.map((p) => this.spot(p));
        face.depth = face.flat.reduce((s, p) => s + p[2], 0) / face.flat.length;
      }
      seen.sort((a, b) => a.depth - b.depth);
      pen.lineJoin = "round";
      pen.lineWidth = 0.8;
      for (const face of seen) {
        const base = (tones[face.kind] ||= colourOf(ink.getPropertyValue(`--solid-${face.kind}`)));
        const shade = 0.6 + 0.45 * Math.max(0, dot(face.normal, light));
        const tone = `rgb(${base.map((v) => Math.min(255, Math.round(v * shade))).join(",")})`;
        pen.beginPath();
        face.flat.forEach((p, i) => (i ? pen.lineTo(p[0], p[1]) : pen.moveTo(p[0], p[1])));
        pen.closePath();
        pen.fillStyle = pen.strokeStyle = tone;
        pen.fill();
        pen.stroke();
      }
      box.dataset.drawn = String(seen.length);
    },
    floor(pen, solid, ink) {
      const y = solid.floor, line = ink.getPropertyValue("--solid-floor").trim(), out = this.side === "right" ? 1 : -1;
      const rim = [[-85, -70], [225, -70], [225, 70], [-85, 70]].map(([x, z]) => this.spot([x, y, z]));
      pen.beginPath();
      rim.forEach((p, i) => (i ? pen.lineTo(p[0], p[1]) : pen.moveTo(p[0], p[1])));
      pen.closePath();
      pen.strokeStyle = pen.fillStyle = line;
      pen.globalAlpha = 0.16; pen.fill();
      pen.globalAlpha = 0.8; pen.lineWidth = 1; pen.stroke();
      pen.globalAlpha = 0.35;
      for (let x = -50; x < 225; x += 50) this.rule(pen, [x, y, -70], [x, y, 70]);
      for (let z = -50; z <= 50; z += 50) this.rule(pen, [-85, y, z], [225, y, z]);
      pen.globalAlpha = 1;
      pen.fillStyle = ink.getPropertyValue("--soft").trim();
      pen.font = "13px " + ink.fontFamily;
      pen.textAlign = "center";
      pen.textBaseline = "middle";
      const eye = eyeAt(this.side, this.azimuth, this.height), along = Math.abs(eye.right[0]) > 0.5, across = Math.abs(eye.right[2]) > 0.4;
      for (const [word, x, z, clear] of [["outer", 70, 95 * out, across], ["inner", 70, -95 * out, across], ["toes", 246, 0, along], ["heel", -108, 0, along]]) {
        const p = this.spot([x, y, z]);
        if (clear) pen.fillText(word, Math.min(Math.max(p[0], 20), this.$refs.paper.clientWidth - 20), p[1]);
      }
    },
    rule(pen, a, b) {
      const p = this.spot(a), q = this.spot(b);
      pen.beginPath(); pen.moveTo(p[0], p[1]); pen.lineTo(q[0], q[1]); pen.stroke();
    },
    // The eye goes round the leg; "to the right" means that the near side moves to the right of the paper.
    turn(across, up) {
      clearInterval(this.going);
      this.azimuth -= (this.side === "right" ? 1 : -1) * across;
      this.height = Math.min(HIGHEST, Math.max(LOWEST, this.height + up));
      this.later();
    },
    go(azimuth, height) {
      clearInterval(this.going);
      const near = this.azimuth + ((((azimuth - this.azimuth) % 360) + 540) % 360) - 180;
      const steps = matchMedia("(prefers-reduced-motion: reduce)").matches ? 1 : 12;
      const across = (near - this.azimuth) / steps, up = (height - this.height) / steps;
      let left = steps;
      const move = () => {
        this.azimuth = --left ? this.azimuth + across : ((azimuth % 360) + 360) % 360;
        this.height = left ? this.height + up : height;
        this.later();
        if (!left) clearInterval(this.going);
      };
      if (steps > 1) this.going = setInterval(move, 16);
      move();
    },
    key(event) {
      const way = { ArrowLeft: [-STEP, 0], ArrowRight: [STEP, 0], ArrowUp: [0, STEP], ArrowDown: [0, -STEP] }[event.key];
      if (way) this.turn(...way);
      else if (event.key === "Home") this.go(35, 16);
      else return;
      event.preventDefault();
    },
    grip(event) { this.held = [event.clientX, event.clientY]; this.$refs.paper.setPointerCapture(event.pointerId); },
    drag(event) {
      if (!this.held) return;
      this.turn(0.5 * (event.clientX - this.held[0]), 0.4 * (event.clientY - this.held[1]));
      this.held = [event.clientX, event.clientY];
    },
    free() { this.held = null; },
  },
};
