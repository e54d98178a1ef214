// Chooses a text file of this machine and hands on its name and content. At most one mebibyte.
export default {
  template: `
    <label class="pick button">
      <span>{{ label }}</span>
      <input type="file" :accept="accept" @change="read" class="sr">
    </label>`,
  props: { label: String, accept: String },
  methods: {
    async read(event) {
      const file = event.target.files[0];
      if (!file) return;
      const text = file.size > 1048576 ? null : await file.text();
      this.$emit("text", { name: file.name, text, size: file.size });
      event.target.value = "";
    },
  },
};
