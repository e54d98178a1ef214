// A slider with its value in a box of words: it is typed with its direction as a word, never with a sign. Moves are told at
// most every 40 ms, the last one always. `ends` narrows the slide, not what can be typed.
export default {
  template: `
    <div class="slider" :class="{ worded }">
      <label :for="uid" class="name">{{ label }}</label>
      <output v-if="worded" class="value sr" :for="uid">{{ words }}</output>
      <input :id="uid" type="range" :min="ends.length ? ends[0] : low" :max="ends.length ? ends[1] : high" :step="step"
             v-model.number="now" :aria-valuetext="words" :aria-describedby="by ? uid + 'b' : null" @input="told" @change="rested">
      <input v-if="worded" type="text" class="typed" :class="by.split(' ')[0]" autocomplete="off" v-model="text"
             :aria-label="label + ', typed'" :aria-invalid="wrong ? 'true' : null" @focus="$event.target.select()" @change="said">
      <input v-else type="number" class="typed" :min="low" :max="high" :step="step" v-model.number="now"
             :aria-label="label + ', typed'" @change="typed">
      <p v-if="by" class="by" :class="[by.split(' ')[0], by.startsWith('chosen') ? 'sr' : '']" :id="uid + 'b'">{{ by }}</p>
      <p v-if="wrong" class="why" role="alert">{{ wrong }}</p>
      <p v-if="note" class="hint">{{ note }}</p>
    </div>`,
  props: {
    label: String, low: Number, high: Number, step: Number, value: Number, ends: Array,
    unit: String, plus: String, minus: String, zero: String, note: String, by: String,
  },
  data() {
    return { now: this.value, uid: "s" + Math.random().toString(36).slice(2), last: 0, timer: 0, busy: false, text: "", wrong: "" };
  },
  created() { this.text = this.words; },
  computed: {
    worded() { return !!(this.unit || this.plus || this.minus); },
    words() {
      const v = this.now;
      if (v === 0 && this.zero) return this.zero;
      const sign = this.plus || this.minus ? (v > 0 ? this.plus : v < 0 ? this.minus : "") : "";
      const size = sign ? Math.abs(v) : v;
      return [size + (this.unit === "°" ? "°" : this.unit ? " " + this.unit : ""), sign].join(" ").trim();
    },
  },
  watch: {
    value(next) { if (!this.busy) this.now = next; },
    words(next) { this.text = next; this.wrong = ""; },
  },
  methods: {
    told() {
      this.busy = true;
      const wait = Math.max(0, 40 - (performance.now() - this.last));
      clearTimeout(this.timer);
      this.timer = setTimeout(() => { this.last = performance.now(); this.$emit("move", this.now); }, wait);
    },
    back() { clearTimeout(this.timer); this.busy = false; this.now = this.value; this.text = this.words; },
    rested() { clearTimeout(this.timer); this.busy = false; this.$emit("move", this.now); this.$emit("rest", this.now); },
    typed() {
      if (typeof this.now !== "number" || Number.isNaN(this.now)) this.now = this.value;
      this.now = Math.min(this.high, Math.max(this.low, this.now));
      this.rested();
    },
    said() {
      const found = this.read(this.text.trim().toLowerCase().replace(",", "."));
      if (found === null || found < this.low || found > this.high) {
        this.wrong = `Write ${this.example(this.high)}${this.minus ? " or " + this.example(this.low) : ""} at most.`;
        return;
      }
      this.wrong = "";
      this.now = found;
      this.text = this.words;
      this.rested();
    },
    // A size, its unit or none, and its direction in words: the first word of it, or its beginning, is enough.
    read(text) {
      if (this.zero && text === this.zero) return 0;
      const found = /^(\d+(?:\.\d+)?)\s*(.*)$/.exec(text);
      if (!found) return null;
      const size = Number(found[1]), word = (this.unit && found[2].startsWith(this.unit) ? found[2].slice(this.unit.length) : found[2]).trim();
      if (size === 0 && !word) return 0;
      if (!word) return this.minus ? null : size;
      if (this.plus && this.plus.startsWith(word)) return size;
      return this.minus && this.minus.startsWith(word) ? -size : null;
    },
    example(value) {
      const sign = value > 0 ? this.plus : this.minus;
      return [Math.abs(value) + (this.unit === "°" ? "°" : this.unit ? " " + this.unit : ""), sign].join(" ").trim();
    },
  },
};
