// "All normal" in one touch: fills in what a block still lacks, says how much,
// and takes it back on request. An answer that is there is never changed.
import { asked, record, recorded } from "./answers";

export function startNormal(form: HTMLFormElement, changed: () => void): void {
  for (const button of form.querySelectorAll<HTMLButtonElement>("[data-normal]")) {
    const note = button.parentElement?.querySelector(":scope > small");
    button.addEventListener("click", (event) => {
      event.preventDefault();
      const wanted = JSON.parse(button.dataset["normal"] ?? "[]") as [string, string][];
      const filled = wanted.filter(([path]) => asked(form, path) && !recorded(form, path));
      for (const [path, value] of filled) record(form, path, value);
      changed();
      if (!note) return;
      note.setAttribute("role", "status");
      note.textContent = filled.length === 1 ? "1 answer recorded. " : `${filled.length} answers recorded. `;
      if (filled.length === 0) return;
      const undo = document.createElement("button");
      undo.type = "button";
      undo.className = "quiet";
      undo.textContent = "Take back";
      undo.addEventListener("click", () => {
        for (const [path] of filled) record(form, path, "");
        note.textContent = "Taken back.";
        button.focus();
        changed();
      });
      note.append(undo);
    });
  }
}
