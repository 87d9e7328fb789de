// A quiet clock: the time since the page was opened, and the seconds spent in
// each block, kept with the exam. It stops when nothing is touched for a while
// and never warns.

const idleAfter = 90;

export function startClock(form: HTMLFormElement): void {
  const face = document.getElementById("clock");
  let block = "ask";
  let idle = 0;
  const touched = (event: Event) => {
    idle = 0;
    const inside = event.target instanceof Element ? event.target.closest<HTMLElement>("[data-block]") : null;
    block = inside?.dataset["block"] ?? block;
  };
  form.addEventListener("pointerdown", touched);
  form.addEventListener("focusin", touched);
  let total = ["ask", "look", "feel", "test", "teach"].reduce((sum, b) => sum + Number(secondsOf(form, b)?.value ?? 0), 0);
  const tell = () => {
    if (face) face.textContent = `${Math.floor(total / 60)}:${String(total % 60).padStart(2, "0")} so far`;
  };
  if (face) face.hidden = false;
  tell();
  setInterval(() => {
    if (document.hidden || ++idle > idleAfter) return;
    const kept = secondsOf(form, block) ?? addSeconds(form, block);
    kept.value = String(Number(kept.value) + 1);
    total++;
    tell();
  }, 1000);
}

function secondsOf(form: HTMLFormElement, block: string): HTMLInputElement | null {
  return form.querySelector<HTMLInputElement>(`input[name="seconds.${block}"]`);
}

function addSeconds(form: HTMLFormElement, block: string): HTMLInputElement {
  const input = document.createElement("input");
  input.type = "hidden";
  input.name = `seconds.${block}`;
  input.value = "0";
  input.dataset["kind"] = "number";
  form.append(input);
  return input;
}
