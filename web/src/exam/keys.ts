// The keyboard: 1, 2, 3 answer the question in focus and go on, 0 takes the
// answer back, j and k go to the next question and the one before, n records the
// block in focus as normal.

export function startKeys(form: HTMLFormElement, changed: () => void): void {
  form.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey || !(event.target instanceof HTMLElement)) return;
    if (event.key === "n" && !isTyping(event.target)) {
      const normal = event.target.closest<HTMLElement>("[data-block]")?.querySelector<HTMLElement>("[data-normal]");
      normal?.click();
      return;
    }
    const choice = event.target.closest<HTMLElement>(".choice");
    if (!choice || isTyping(event.target)) return;
    if (event.key === "j" || event.key === "k") {
      event.preventDefault();
      step(form, choice, event.key === "j" ? 1 : -1);
      return;
    }
    const wanted =
      event.key === "0"
        ? choice.querySelector<HTMLInputElement>(".segment-none input")
        : choice.querySelector<HTMLInputElement>(`input[data-key="${CSS.escape(event.key)}"]`);
    if (!wanted) return;
    event.preventDefault();
    wanted.checked = true;
    wanted.dispatchEvent(new Event("change", { bubbles: true }));
    changed();
    if (event.key !== "0") step(form, choice, 1);
  });
}

function isTyping(target: HTMLElement): boolean {
  return (
    target instanceof HTMLTextAreaElement ||
    target instanceof HTMLSelectElement ||
    (target instanceof HTMLInputElement && target.type !== "radio" && target.type !== "checkbox")
  );
}

function step(form: HTMLFormElement, from: HTMLElement, by: number): void {
  const inSight = [...form.querySelectorAll<HTMLElement>(".choice")].filter((c) => c.offsetParent !== null);
  const next = inSight[inSight.indexOf(from) + by];
  const radio = next?.querySelector<HTMLInputElement>(".segments > .segment input:checked") ?? next?.querySelector("input");
  radio?.focus();
  radio?.scrollIntoView({ block: "nearest" });
}
