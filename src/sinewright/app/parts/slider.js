// A slider with its value in words, and a box to type the number. Moves are told at most every 40 ms, the last one always.
export default {
  template: `
    <div class="slider">
      <label :for="uid" class="name">{{ label }}</label>
      <output v-if="unit || plus || minus" class="value" :for="uid">{{ words }}</output>
      <input :id="uid" type="range" :min="low" :max="high" :step="step" v-model.number="now"
             :aria-valuetext="words" :aria-describedby="by ? uid + 'b' : null" @input="told" @change="rested">
      <input type="number" class="typed" :min="low" :max="high" :step="step" v-model.number="now"
             :aria-label="label + ', typed'" @change="typed">
      <p v-if="by" class="by" :class="by.split(' ')[0]" :id="uid + 'b'">{{ by }}</p>
      <p v-if="note" class="hint">{{ note }}</p>
    </div>`,
  props: {
    label: String, low: Number, high: Number, step: Number, value: Number,
    unit: String, plus: String, minus: String, zero: String, note: String, by: String,
  },
  data() {
    return { now: this.value, uid: "s" + Math.random().toString(36).slice(2), last: 0, timer: 0, busy: false };
  },
  computed: {
    words() {
      const v = this.now;
      if (v === 0 && this.zero) return this.zero;
      const sign = this.plus || this.minus ? (v > 0 ? this.plus : v < 0 ? this.minus : "") : "";
      const size = sign ? Math.abs(v) : v;
      return [size + (this.unit === "°" ? "°" : this.unit ? " " + this.unit : ""), sign].join(" ").trim();
    },
  },
  watch: { value(next) { if (!this.busy) this.now = next; } },
  methods: {
    told() {
      this.busy = true;
      const wait = Math.max(0, 40 - (performance.now() - this.last));
      clearTimeout(this.timer);
      this.timer = setTimeout(() => { this.last = performance.now(); this.$emit("move", this.now); }, wait);
    },
    back() { clearTimeout(this.timer); this.busy = false; this.now = this.value; },
    rested() { clearTimeout(this.timer); this.busy = false; this.$emit("move", this.now); this.$emit("rest", this.now); },
    typed() {
      if (typeof this.now !== "number" || Number.isNaN(this.now)) this.now = this.value;
      this.now = Math.min(this.high, Math.max(this.low, this.now));
      this.rested();
    },
  },
};
