// A part of the examination to fill in. What is typed stays until the store has it; what is wrong is said beside the field.
const HOW = ["measured", "estimated", "assumed"];

const Cell = {
  template: `
    <div class="cell" :class="[f.kind, { wrong: problem }]">
      <component :is="f.kind === 'list' ? 'span' : 'label'" :for="id" :id="id + 'n'" class="name" :class="{ sr: quiet }">{{ f.label }}<span v-if="quiet && f.whose">, {{ f.whose }}</span></component>
      <div class="entry">
        <input v-if="f.kind === 'number'" :id="id" inputmode="decimal" autocomplete="off" :value="shown" @input="typed($event.target.value)"
               @blur="flush" @keydown.enter="flush" :aria-invalid="problem ? 'true' : null" :aria-describedby="described">
        <input v-else-if="f.kind === 'date'" :id="id" type="date" :value="shown" @change="set($event.target.value || null)"
               :aria-invalid="problem ? 'true' : null" :aria-describedby="described">
        <textarea v-else-if="f.kind === 'text'" :id="id" :rows="f.longest > 200 ? 2 : 1" :value="shown" @input="typed($event.target.value)" @blur="flush"
               :aria-invalid="problem ? 'true' : null" :aria-describedby="described"></textarea>
        <select v-else-if="f.kind === 'word'" :id="id" :value="shown" @change="set($event.target.value === '' ? null : f.options[+$event.target.value])"
               :aria-invalid="problem ? 'true' : null" :aria-describedby="described">
          <option value="">{{ f.blank }}</option>
          <option v-for="(o, i) in f.options" :value="String(i)">{{ f.words[i] }}</option>
        </select>
        <div v-else-if="f.kind === 'list'" class="checks" role="group" :aria-labelledby="id + 'n'">
          <label v-for="(o, i) in f.options"><input type="checkbox" :checked="(now || []).includes(o)" @change="tick(o, $event.target.checked)"><span>{{ f.words[i] }}</span></label>
        </div>
        <span v-if="f.unit" class="unit">{{ f.unit }}</span>
        <select v-if="f.ways" class="updown" :value="way" @change="turn($event.target.value)" :aria-label="f.label + (quiet && f.whose ? ', ' + f.whose : '') + ': direction'">
          <option value="">{{ zero ? f.ways.zero : "which way?" }}</option>
          <option :value="f.ways.plus">{{ f.ways.plus }}</option><option :value="f.ways.minus">{{ f.ways.minus }}</option>
        </select>
        <select v-if="f.finding && now !== null && now !== ''" class="how" :class="known" :value="known" @change="how($event.target.value)" :aria-label="f.label + (quiet && f.whose ? ', ' + f.whose : '') + ': how it is known'">
          <option v-for="h in HOW" :value="h">{{ h }}</option>
        </select>
      </div>
      <p v-if="f.help && !quiet && !bare" class="help" :id="id + 'h'">{{ f.help }}</p>
      <p v-if="problem" class="why" :id="id + 'p'">{{ problem }}</p>
    </div>`,
  props: { f: Object, state: Object, problem: String, quiet: Boolean, bare: Boolean },
  emits: ["edit"],
  data() { return { draft: null, dirty: false, turned: null, timer: 0, HOW }; },
  computed: {
    id() { return "f-" + this.f.path.replace(/[^a-z0-9]+/gi, "-"); },
    now() { return this.state ? this.state.value : null; },
    known() { return (this.state && this.state.known) || "measured"; },
    shown() {
      if (this.dirty) return this.draft;
      if (this.f.ways && typeof this.now === "number") return String(Math.abs(this.now));
      if (this.f.kind === "word") { const i = this.f.options.indexOf(this.now); return i < 0 ? "" : String(i); }
      return this.now === null || this.now === undefined ? "" : String(this.now);
    },
    zero() { return this.now === 0 && !this.dirty; },
    way() {
      if (!this.f.ways) return "";
      if (this.turned !== null) return this.turned;
      if (typeof this.now === "number" && this.now !== 0) return this.now > 0 ? this.f.ways.plus : this.f.ways.minus;
      return this.zero ? "" : this.f.ways.own;
    },
    described() {
      return [this.f.help && !this.quiet && !this.bare ? this.id + "h" : "", this.problem ? this.id + "p" : ""].join(" ").trim() || null;
    },
  },
  watch: {
    // What the store took is shown as it stands there; what was typed since, or was refused, stays as typed.
    state(next) { if (!this.timer && next && next.taken !== undefined && next.taken === this.draft) { this.dirty = false; this.turned = null; } },
  },
  methods: {
    parsed(text) {
      const plain = String(text ?? "").trim();
      return plain === "" ? null : plain;
    },
    typed(text) {
      this.draft = text; this.dirty = true;
      if (this.f.ways && !this.f.ways.own && /^\s*[-\u2212\u2013+]/.test(text)) this.turned = /^\s*\+/.test(text) ? this.f.ways.plus : this.f.ways.minus;
      clearTimeout(this.timer);
      this.timer = setTimeout(this.flush, 350);
    },
    flush() {
      if (!this.timer) return;
      clearTimeout(this.timer); this.timer = 0;
      this.send(this.parsed(this.draft), this.known);
    },
    set(value) { this.send(value, this.known); },
    how(known) { this.send(this.dirty ? this.parsed(this.draft) : this.now, known); },
    turn(word) {
      this.turned = word;
      if (!this.dirty) { this.draft = this.shown; this.dirty = true; }
      if (this.parsed(this.draft) !== null) this.send(this.parsed(this.draft), this.known);
    },
    tick(option, on) {
      const kept = (this.now || []).filter((o) => o !== option);
      this.send(on ? [...kept, option] : kept, null);
    },
    send(value, known) {
      const typed = this.dirty ? this.draft : null;
      this.$emit("edit", { path: this.f.path, value, known: this.f.finding ? known : null, way: this.way, typed });
    },
  },
  beforeUnmount() { this.flush(); },
};

const Rows = {
  components: { Cell },
  template: `
    <div class="rows">
      <fieldset v-for="(row, i) in list" class="group entry-row"><legend>{{ f.one }} {{ i + 1 }}</legend>
        <div class="cells">
          <Cell v-for="inner in f.inner" :key="i + inner.path" :f="{ ...inner, path: f.path + '.' + i + '.' + inner.path }" :state="part(row, inner)"
                :problem="problems[f.path + '.' + i + '.' + inner.path] || ''" @edit="change(i, inner, $event)"/>
        </div>
        <button type="button" class="button quiet" @click="remove(i)">Remove this {{ f.one }}</button>
      </fieldset>
      <button type="button" class="button" @click="more">Add {{ f.one === 'nerve study' ? 'a ' : 'an ' }}{{ f.one }}</button>
      <p v-if="problems[f.path]" class="why">{{ problems[f.path] }}</p>
    </div>`,
  props: { f: Object, state: Object, problems: Object },
  emits: ["edit"],
  data() { return { extra: false }; },
  computed: { list() { const kept = (this.state && this.state.value) || []; return this.extra ? [...kept, {}] : kept; } },
  watch: { state() { this.extra = false; } },
  methods: {
    part(row, inner) {
      const leaf = row[inner.path];
      if (Array.isArray(leaf)) return { value: leaf, known: "" };
      return leaf && typeof leaf === "object" ? leaf : { value: leaf ?? null, known: "measured" };
    },
    change(i, inner, told) {
      const next = this.list.map((row) => ({ ...row }));
      if (told.value === null || (Array.isArray(told.value) && !told.value.length)) delete next[i][inner.path];
      else next[i][inner.path] = inner.finding ? { value: told.value, known: told.known } : told.value;
      this.$emit("edit", { path: this.f.path, value: next.filter((row) => Object.keys(row).length), known: null });
    },
    remove(i) { this.$emit("edit", { path: this.f.path, value: this.list.filter((_, at) => at !== i), known: null }); },
    more() { this.extra = true; },
  },
};

export default {
  components: { Cell, Rows },
  template: `
    <div class="fields">
      <fieldset v-for="g in groups" :key="g.title" class="group" :class="g.shape"><legend>{{ g.title }}</legend>
        <p v-if="g.help" class="hint">{{ g.help }}</p>
        <table v-if="g.shape === 'pair'" class="pair">
          <thead><tr><th scope="col">finding</th><th scope="col" v-for="c in g.columns">{{ c }}</th></tr></thead>
          <tbody><tr v-for="r in g.rows">
            <th scope="row">{{ r.label }}<span class="help">{{ r.help }}</span></th>
            <td v-for="f in r.cells"><Cell :key="f.path" :f="f" quiet :state="values[f.path]" :problem="problems[f.path] || ''" @edit="$emit('edit', $event)"/></td>
          </tr></tbody>
        </table>
        <div v-else class="cells">
          <template v-for="f in g.cells" :key="f.path">
            <Rows v-if="f.kind === 'rows'" :f="f" :state="values[f.path]" :problems="problems" @edit="$emit('edit', $event)"/>
            <Cell v-else :f="f" :bare="g.shape === 'muscle'" :state="values[f.path]" :problem="problems[f.path] || ''" @edit="$emit('edit', $event)"/>
          </template>
        </div>
        <details v-if="g.more && g.more.length" class="more" :open="open(g)"><summary>More about this muscle</summary>
          <div class="cells"><Cell v-for="f in g.more" :key="f.path" :f="f" :state="values[f.path]" :problem="problems[f.path] || ''" @edit="$emit('edit', $event)"/></div>
        </details>
        <details v-if="origins[g.title] && origins[g.title].length" class="more"><summary>Where from<span class="sr">: {{ g.title }}</span></summary>
          <ul class="origins"><li v-for="o in origins[g.title]">{{ o }}</li></ul>
        </details>
      </fieldset>
    </div>`,
  props: { groups: Array, values: Object, problems: Object, origins: { type: Object, default: () => ({}) } },
  emits: ["edit"],
  methods: {
    open(g) { return g.more.some((f) => this.problems[f.path]); },
    async reach(path) {
      await this.$nextTick();
      const found = document.getElementById("f-" + path.replace(/[^a-z0-9]+/gi, "-"));
      if (!found) return;
      const details = found.closest("details"); if (details) details.open = true;
      found.scrollIntoView({ block: "center" }); found.focus({ preventScroll: true });
    },
  },
};
