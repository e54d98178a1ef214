// One thing to read or do on the table: a number, its direction as a word, and a large button. No sign to guess.
// What is typed is kept by the browser until the program says that it is stored, so that sleep or a restart loses nothing,
// also when the program comes back in a new tab; an entry carries the moment it was first sent, and is stored once.
const now = () => { const d = new Date(); return new Date(d - d.getTimezoneOffset() * 60000).toISOString().slice(0, 19); };
const SLOW_MS = 6000, LONGEST_MS = 36 * 3600 * 1000;
export default {
  template: `
    <form class="table-entry" :class="{ angle: knee }" @submit.prevent="send">
      <label :for="uid">{{ label }}</label>
      <input :id="uid" inputmode="decimal" autocomplete="off" v-model="text" :aria-describedby="uid + 'u'" @input="changed">
      <span class="unit" :id="uid + 'u'">{{ unit }}</span>
      <div v-if="ways.length" class="ways-of" role="radiogroup" :aria-label="label + ': direction'">
        <label v-for="w in ways" :class="{ on: way === w }"><input type="radio" :name="uid" :value="w" v-model="way" @change="changed">{{ w }}</label>
      </div>
      <button type="submit" class="button main" :disabled="!ready || waiting">{{ waiting ? "Storing" : "Enter" }}</button>
      <div v-if="knee" class="posture">
        <label class="knee"><span>Knee bent</span><input inputmode="decimal" autocomplete="off" v-model="bent" :placeholder="knee"
          :aria-label="label + ': knee bent, degrees; empty means ' + knee" @input="changed"><span class="unit">°</span></label>
        <div v-if="limbs.length" class="ways-of" role="radiogroup" :aria-label="label + ': limb'">
          <label v-for="l in limbs" :class="{ on: limb === l }"><input type="radio" :name="uid + 'l'" :value="l" v-model="limb" @change="changed">{{ l }}</label>
        </div>
      </div>
      <p v-if="told" class="not-yet" role="status">{{ told }}</p>
    </form>`,
  props: { label: String, unit: String, ways: Array, kind: String, knee: String, limbs: Array, keep: String },
  data() {
    const empty = { text: "", way: "", bent: "", limb: this.limbs.length ? this.limbs[0] : "", at: "" };
    return { ...empty, uid: "t" + Math.random().toString(36).slice(2), waiting: false, told: "" };
  },
  computed: {
    place() { return `sinewright-entry ${this.keep} ${this.kind}`; },
    number() { return this.read(this.text); },
    ready() {
      const bent = this.bent.trim() === "" || this.read(this.bent) !== null;
      return bent && this.number !== null && (!this.ways.length || this.way || this.number === 0);
    },
  },
  mounted() {
    try {
      const left = JSON.parse(localStorage.getItem(this.place) || "null");
      if (!left || Date.now() - left.saved > LONGEST_MS) return;
      delete left.saved;
      Object.assign(this, left);
      if (!left.text) return;
      this.told = "Typed before and not yet entered.";
      const fold = this.$el.closest("details");
      if (fold) fold.open = true;
    } catch { /* nothing was left */ }
  },
  unmounted() { clearTimeout(this.slow); },
  methods: {
    read(text) { const n = Number(text.trim().replace(",", ".")); return text.trim() === "" || Number.isNaN(n) || n < 0 ? null : n; },
    remember() {
      const { text, way, bent, limb, at } = this;
      try {
        if (text || way || bent) localStorage.setItem(this.place, JSON.stringify({ text, way, bent, limb, at, saved: Date.now() }));
        else localStorage.removeItem(this.place);
      } catch { /* stays for this page */ }
    },
    changed() { this.at = ""; this.told = ""; this.$nextTick(() => this.remember()); },
    send() {
      if (!this.ready || this.waiting) return;
      this.at ||= now();
      this.waiting = true;
      this.told = "";
      this.remember();
      this.slow = setTimeout(() => {
        this.waiting = false;
        this.told = "Not stored yet: no answer from the program. It stays here; press Enter again, it is stored once.";
      }, SLOW_MS);
      const bent = this.bent.trim() === "" ? null : this.read(this.bent);
      this.$emit("enter", { kind: this.kind, size: this.number, way: this.way, knee: bent, limb: this.limb, at: this.at });
    },
    kept(at) {
      if (at !== this.at) return;
      clearTimeout(this.slow);
      this.waiting = false;
      this.text = this.way = this.at = this.told = "";
      this.remember();
    },
    refused() { clearTimeout(this.slow); this.waiting = false; this.at = ""; this.remember(); },
  },
};
