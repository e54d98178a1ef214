// The ladder, one rung for each donor. Ring: the typical leg; thick: half of the legs; thin: nine in ten; shade: toes clear.
// Words of the axis are measured and left out where they would touch.
const Bar = {
  template: `
    <svg class="lift-bar" width="100%" aria-hidden="true" focusable="false">
      <rect class="zone" :x="at(zone[0])" y="0" :width="(pos(zone[1]) - pos(zone[0])) + '%'" height="100%"/>
      <line v-for="t in ticks" class="tick" :class="{ neutral: t === 0 }" :x1="at(t)" :x2="at(t)" y1="0" y2="100%"/>
      <template v-if="row.bar">
        <line class="nine" :x1="at(row.bar[0])" :x2="at(row.bar[4])" y1="50%" y2="50%"/>
        <line class="half" :x1="at(row.bar[1])" :x2="at(row.bar[3])" y1="50%" y2="50%"/>
        <svg v-if="row.other !== null && row.other !== undefined" :x="at(row.other)" y="50%" class="other"><path d="M0 -13V13"/></svg>
        <circle class="ring" :cx="at(row.bar[2])" cy="50%" :r="thin ? 5.5 : 8.5"/>
      </template>
    </svg>`,
  props: { row: Object, low: Number, high: Number, zone: Array, ticks: Array, thin: Boolean },
  methods: {
    pos(v) { return (100 * (Math.min(Math.max(v, this.low), this.high) - this.low)) / (this.high - this.low); },
    at(v) { return this.pos(v) + "%"; },
  },
};
const TRIANGLE = `<svg class="tri" width="18" height="16" viewBox="0 0 18 16" aria-hidden="true"><path class="sign" d="M9 1.2L16.8 15H1.2Z"/><path class="on" d="M9 5.8V10.4"/><circle class="dot" cx="9" cy="12.6" r="1.1"/></svg>`;

export default {
  components: { Bar },
  template: `
    <div class="rungs"><div>
      <div class="rung-top" aria-hidden="true">
        <p class="h2">One rung per donor</p>
        <div class="picture"><div class="axis" ref="axis">
          <span v-for="l in labels" :key="l.at" :class="{ neutral: l.at === 0 }" :style="{ left: l.left + 'px' }">{{ l.word }}</span>
          <span v-if="clear" class="toes" :style="{ left: clear + 'px' }">toes clear</span>
        </div><span class="typical">typical</span></div>
        <p>clear the floor, of 100</p><p>what it costs</p><p>donors left if it fails</p>
      </div>
      <ol :aria-label="caption">
        <li v-for="r in rungs" :key="r.id" :data-id="r.id">
          <div class="rung" :class="{ tied: r.tied || (open[r.id] && r.ways.some((w) => w.tied)) }">
            <div class="donor"><a :href="base + encodeURIComponent(r.id)"><span class="number">{{ r.number }}</span>{{ r.title }}<span class="sr">: plan it</span></a>
              <p class="route"><span class="by">{{ r.way }} </span><button v-if="r.ways.length" type="button" class="fold" :aria-expanded="open[r.id] ? 'true' : 'false'" @click="open[r.id] = !open[r.id]">{{ r.more }}<span class="sr"> with {{ r.title }}</span></button></p></div>
            <div class="picture"><Bar :row="r" :low="low" :high="high" :zone="zone" :ticks="ticks"/>
              <b class="typical"><span class="sr">lift, knee straight: </span>{{ r.lift }}<span class="sr">, nine in ten {{ r.range }}</span></b></div>
            <p class="clears"><span class="sr">clears the floor </span><b>{{ r.clears || "–" }}</b><span class="of"> of 100</span><small v-if="r.clear_range">{{ r.clear_range }}</small></p>
            <p class="cost"><span>{{ r.price }}</span><span v-for="d in r.dangers" class="alarm" :title="d.advice"><span class="sign-of" v-html="triangle"></span>{{ d.word }}<span class="sr">: {{ d.advice }}</span></span></p>
            <p class="after"><span>{{ r.left }}</span><small v-if="r.best">{{ r.best }}</small></p>
          </div>
          <ol v-if="open[r.id]" class="further" :aria-label="'Other ways with ' + r.title">
            <li v-for="w in r.ways" :key="w.id" class="rung thin" :class="{ tied: w.tied }">
              <div class="donor"><a :href="base + encodeURIComponent(w.id)"><span class="number">{{ w.number }}</span>{{ w.way }}<span class="sr">: plan it</span></a></div>
              <div class="picture"><Bar :row="w" :low="low" :high="high" :zone="zone" :ticks="ticks" thin/>
                <span class="typical">{{ w.lift }}<span class="sr">, nine in ten {{ w.range }}</span></span></div>
              <p class="clears"><span class="sr">clears the floor </span><b>{{ w.clears || "–" }}</b><span class="of"> of 100</span> <small>{{ w.clear_range }}</small></p>
            </li>
          </ol>
        </li>
      </ol></div>
      <details class="more"><summary>how to read it</summary><ul class="rung-key">
        <li v-if="rungs.some((r) => r.tied)"><i class="k tie"></i>too close to call</li>
        <li><svg width="20" height="18" aria-hidden="true"><circle class="ring" cx="10" cy="9" r="6.5"/></svg>typical leg</li>
        <li><svg width="30" height="18" aria-hidden="true"><path class="half" d="M0 9H30"/></svg>half of the legs</li>
        <li><svg width="30" height="18" aria-hidden="true"><path class="nine" d="M0 9H30"/></svg>9 of 10</li>
        <li v-if="others && rungs.some((r) => r.other !== null)"><svg width="6" height="18" aria-hidden="true" class="other"><path d="M3 0V18"/></svg>typical, {{ others }}</li>
      </ul></details>
      <template v-if="outs.length"><p class="out-of">Ruled out</p><ul class="outs"><li v-for="o in outs"><span>{{ o.title }}</span><span><span class="sr">ruled out: </span>{{ o.reason }}</span></li></ul></template>
    </div>`,
  props: { rungs: Array, outs: Array, low: Number, high: Number, zone: Array, base: String, caption: String, others: String },
  data: () => ({ open: {}, room: 0, triangle: TRIANGLE }),
  computed: {
    ticks() {
      const out = [];
      for (let at = Math.ceil(this.low / 10) * 10; at <= this.high; at += 10) out.push(at);
      return out;
    },
    labels() {  // neutral first, then the ends, then twenties, then tens: each only where it touches none before it
      const ends = [this.ticks[0], this.ticks[this.ticks.length - 1]];
      const rank = (t) => (t === 0 ? 0 : ends.includes(t) ? 1 : t % 20 === 0 ? 2 : 3);
      const said = (t) => (t === 0 ? "neutral" : Math.abs(t) + (ends.includes(t) ? "°" + (t > 0 ? " up" : " down") : ""));
      const put = [];
      for (const at of [...this.ticks].sort((a, b) => rank(a) - rank(b))) {
        const box = this.boxed(said(at), at);
        if (box && put.every((p) => box.left > p.right + 8 || box.right < p.left - 8)) put.push({ at, word: said(at), ...box });
      }
      return put;
    },
    clear() {
      const box = this.boxed("toes clear", Math.min(10, this.high / 2));
      return box ? Math.max(0, box.left) : 0;
    },
  },
  methods: {
    boxed(word, at) {
      if (!this.room) return null;
      const pen = (this.pen ??= document.createElement("canvas").getContext("2d"));
      pen.font = "700 14px 'Plain Zero', sans-serif";
      const wide = Math.ceil(pen.measureText(word).width) + 2;
      const middle = (this.room * (at - this.low)) / (this.high - this.low);
      const left = Math.round(Math.min(Math.max(0, middle - wide / 2), this.room - wide));
      return { left, right: left + wide };
    },
    measure() { this.room = this.$refs.axis ? this.$refs.axis.clientWidth : 0; },
  },
  mounted() {
    this.seen = new ResizeObserver(() => this.measure());
    this.seen.observe(this.$refs.axis);
    document.fonts.ready.then(() => { this.room = 0; this.measure(); });
  },
  unmounted() { this.seen.disconnect(); },
};
