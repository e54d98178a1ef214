// A box for a word to look for; what is typed stays typed whatever the server redraws.
export default {
  template: `
    <label class="search"><span>{{ label }}</span>
      <input type="search" v-model="word" @input="told" autocomplete="off" spellcheck="false"></label>`,
  props: { label: String },
  data: () => ({ word: "", timer: 0 }),
  methods: {
    told() {
      clearTimeout(this.timer);
      this.timer = setTimeout(() => this.$emit("look", this.word), 120);
    },
  },
};
