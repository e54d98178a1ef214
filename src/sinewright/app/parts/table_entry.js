// One thing to read or do on the table: a number, its direction as a word, and a large button. No sign to guess.
export default {
  template: `
    <form class="table-entry" @submit.prevent="send">
      <label :for="uid">{{ label }}</label>
      <input :id="uid" inputmode="decimal" autocomplete="off" v-model="text" :aria-describedby="uid + 'u'">
      <span class="unit" :id="uid + 'u'">{{ unit }}</span>
      <div v-if="ways.length" class="ways-of" role="radiogroup" :aria-label="label + ': direction'">
        <label v-for="w in ways" :class="{ on: way === w }"><input type="radio" :name="uid" :value="w" v-model="way">{{ w }}</label>
      </div>
      <button type="submit" class="button main" :disabled="!ready">Enter</button>
    </form>`,
  props: { label: String, unit: String, ways: Array, kind: String },
  data() { return { text: "", way: "", uid: "t" + Math.random().toString(36).slice(2) }; },
  computed: {
    number() { const n = Number(this.text.trim().replace(",", ".")); return this.text.trim() === "" || Number.isNaN(n) || n < 0 ? null : n; },
    ready() { return this.number !== null && (!this.ways.length || this.way || this.number === 0); },
  },
  methods: {
    send() {
      if (!this.ready) return;
      this.$emit("enter", { kind: this.kind, size: this.number, way: this.way });
      this.text = ""; this.way = "";
    },
  },
};
