// The choice ladder: one row per choice, best on top. Dot: the middle; thick: half; thin: nine-tenths; shade: the target.
// Where the numbers of a row come from opens below it, and is asked for when it is opened.
export default {
  template: `
    <table class="ladder">
      <caption class="sr">{{ caption }}</caption>
      <thead><tr>
        <th scope="col">choice</th>
        <th scope="col" class="lift"><span class="sr">lift, knee straight</span>
          <span class="axis" aria-hidden="true"><span v-for="t in ticks" :class="{ between: t.between }" :style="place(t.at)">{{ t.word }}</span></span></th>
        <th scope="col" v-for="h in heads">{{ ticks.length ? h : "" }}</th>
        <th scope="col"><span class="sr">compare and plan</span></th>
      </tr></thead>
      <tbody>
        <template v-for="r in lines" :key="r.id">
        <tr v-if="r.more" class="between"><td :colspan="heads.length + 3"><button type="button" class="button quiet" @click="$emit('more')">{{ more }}</button></td></tr>
        <tr v-else :class="[r.kind, { picked: picked.includes(r.id) }]" :data-id="r.id">
          <th scope="row" :colspan="r.bar ? 1 : 2"><span class="title">{{ r.title }}</span><span class="subtitle">{{ r.subtitle }}</span>
            <span v-if="r.reason && r.bar" class="reason">{{ r.kind === "doubtful" ? "Doubtful: " : "" }}{{ r.reason }}</span></th>
          <template v-if="r.bar">
            <td class="lift" data-head="lift, knee straight">
              <svg viewBox="0 0 100 24" preserveAspectRatio="none" aria-hidden="true">
                <rect class="zone" :x="pos(zone[0])" y="0" :width="pos(zone[1]) - pos(zone[0])" height="24"/>
                <line v-for="t in ticks" class="tick" :class="{ neutral: t.at === 0 }" :x1="pos(t.at)" :x2="pos(t.at)" y1="0" y2="24"/>
                <line class="thin" :x1="pos(r.bar[0])" :x2="pos(r.bar[4])" y1="12" y2="12"/>
                <line class="thick" :x1="pos(r.bar[1])" :x2="pos(r.bar[3])" y1="12" y2="12"/>
              </svg><span class="dot" :style="{ left: at(r.bar[2]) }" aria-hidden="true"></span>
              <span class="said">{{ r.lift[0] }} <small>({{ r.lift[1] }})</small></span>
            </td>
            <td v-for="(c, i) in r.cells" :data-head="heads[i]"><b>{{ c[0] }}</b><small>{{ c[1] }}</small></td>
          </template>
          <td v-else :colspan="heads.length" class="reason">{{ r.word }}: {{ r.reason }}
            <details v-if="r.ways" class="ways-aside"><summary>show the {{ r.ways.length }} ways<span class="sr"> of {{ r.title }}</span></summary><ul><li v-for="w in r.ways">{{ w }}</li></ul></details></td>
          <td class="acts"><template v-if="r.bar">
            <label><input type="checkbox" :checked="picked.includes(r.id)" :disabled="!picked.includes(r.id) && picked.length > 2"
                   @change="$emit('pick', r.id)">compare<span class="sr"> {{ r.title }}, {{ r.subtitle }}</span></label>
            <a :href="base + encodeURIComponent(r.id)">plan<span class="sr"> {{ r.title }}, {{ r.subtitle }}</span></a>
            </template><button v-if="r.reason || r.bar" type="button" class="from" :aria-expanded="open === r.id ? 'true' : 'false'" @click="turn(r.id)">where from<span class="sr">: the numbers of {{ r.title }}, {{ r.subtitle }}</span></button></td>
        </tr>
        <tr v-if="open === r.id" class="notes"><td :colspan="heads.length + 3">
          <p v-if="!notes[r.id]" class="hint" role="status">looking it up</p>
          <div v-else class="origins"><details v-for="n in notes[r.id]"><summary>{{ n.label }}: <b>{{ n.said }}</b></summary><p>{{ n.note }}</p></details></div>
        </td></tr>
        </template>
      </tbody>
    </table>`,
  props: { rows: Array, heads: Array, low: Number, high: Number, zone: Array, picked: Array, base: String, caption: String, notes: Object, more: String },
  emits: ["pick", "source-note", "more"],
  data: () => ({ open: "" }),
  watch: { notes() { if (this.open && !this.notes[this.open]) this.$emit("source-note", this.open); } },
  computed: {
    lines() {  // what else can be done is asked for where it would stand: above those set aside
      const able = this.rows.filter((r) => r.kind !== "set-aside");
      return this.more ? [...able, { id: "more", more: true }, ...this.rows.slice(able.length)] : this.rows;
    },
    ticks() {
      const out = [];
      if (!this.rows.some((r) => r.bar)) return out;
      const first = Math.ceil(this.low / 20) * 20, last = Math.floor(this.high / 20) * 20;
      for (let at = first; at <= last; at += 20) {  // those between an end and neutral need no word of their own
        const between = at !== 0 && at !== first && at !== last;
        out.push({ at, between, word: at === 0 ? "neutral" : Math.abs(at) + "°" + (between ? "" : at > 0 ? " up" : " down") });
      }
      return out;
    },
  },
  methods: {
    pos(v) { return (100 * (Math.min(Math.max(v, this.low), this.high) - this.low)) / (this.high - this.low); },
    at(v) { return this.pos(v) + "%"; },
    place(v) {  // words stay inside their column, whatever stands beside it
      const at = this.pos(v);
      return { left: at + "%", transform: at > 82 ? "translateX(-100%)" : at < 12 ? "none" : "translateX(-50%)" };
    },
    turn(id) {
      this.open = this.open === id ? "" : id;
      if (this.open && !this.notes[id]) this.$emit("source-note", id);
    },
  },
};
