// The dialog that measures an ulcer on a photo: the picture, its scale, the edge,
// and what it comes to.
import { measure, type Point } from "./geometry";
import { photoBytes, showPhoto } from "./photo";
import { Stage } from "./stage";
import { Tracing, type Marking } from "./tracing";

/** What a tracing gives to the exam. */
export interface Traced {
  outline: Point[];
  unitsPerMM: number;
  /** The photo, if it is to be kept. */
  photo: Uint8Array | null;
}

/** What there is already. */
export interface Before {
  title: string;
  outline: Point[];
  unitsPerMM: number;
  photo: Uint8Array | null;
  /** A photo can be kept here. */
  canKeep: boolean;
}

/** Opens the dialog. Null where it was left without a result. */
export function trace(before: Before): Promise<Traced | null> {
  return new Dialog(before).open();
}

class Dialog {
  readonly #dialog = document.createElement("dialog");
  readonly #tracing = new Tracing();
  readonly #photo = document.createElement("canvas");
  #stage!: Stage;
  #shown = false;

  constructor(readonly before: Before) {
    this.#dialog.className = "trace";
    this.#dialog.setAttribute("aria-labelledby", "trace-title");
    // Every word in it is written here; what comes from outside is set as text.
    this.#dialog.innerHTML = markup;
    this.#at("#trace-title").textContent = before.title;
    this.#at<HTMLElement>("#trace-keep").hidden = !before.canKeep;
    this.#photo.setAttribute("role", "presentation");
  }

  #at<T extends Element = HTMLElement>(selector: string): T {
    const found = this.#dialog.querySelector<T>(selector);
    if (!found) throw new Error(`the dialog has no ${selector}`);
    return found;
  }

  async open(): Promise<Traced | null> {
    document.body.append(this.#dialog);
    this.#stage = new Stage(this.#at("#trace-stage"), this.#photo, this.#tracing, (says) => this.#say(says));
    this.#wire();
    this.#dialog.showModal();
    if (this.before.photo) {
      this.#tracing.takeUp(this.before.outline, this.before.unitsPerMM);
      this.#at<HTMLInputElement>("#trace-keep input").checked = true;
      await this.#show(new Blob([this.before.photo as BlobPart]));
    }
    this.#say("");
    return new Promise((resolve) => {
      this.#dialog.addEventListener("close", () => {
        const done = this.#dialog.returnValue === "use";
        const keep = done && this.#at<HTMLInputElement>("#trace-keep input").checked && this.before.canKeep;
        void (keep ? photoBytes(this.#photo).catch(() => null) : Promise.resolve(null)).then((photo) => {
          const { result: outline, unitsPerMM } = this.#tracing;
          this.#photo.width = this.#photo.height = 0; // the picture is gone from here
          this.#dialog.remove();
          resolve(done ? { outline, unitsPerMM, photo } : null);
        });
      });
    });
  }

  #wire(): void {
    for (const input of this.#dialog.querySelectorAll<HTMLInputElement>('input[type="file"]')) {
      input.addEventListener("change", () => {
        const file = input.files?.[0];
        input.value = "";
        if (file) void this.#show(file);
      });
    }
    const mm = this.#at<HTMLInputElement>("#trace-mm");
    mm.addEventListener("input", () => {
      this.#tracing.setMillimetres(Number(mm.value.replace(",", ".")));
      this.#say("");
    });
    for (const radio of this.#dialog.querySelectorAll<HTMLInputElement>('input[name="-trace"]')) {
      radio.addEventListener("change", () => {
        this.#tracing.marking = radio.value as Marking;
        this.#say("");
      });
    }
    const act: Record<string, () => string> = {
      undo: () => this.#tracing.undo(),
      close: () => this.#tracing.close(),
      clear: () => this.#tracing.clear(),
      nearer: () => this.#zoom(2),
      further: () => this.#zoom(0.5),
    };
    for (const button of this.#dialog.querySelectorAll<HTMLButtonElement>("button[data-act]")) {
      button.addEventListener("click", () => this.#say(act[button.dataset["act"] ?? ""]?.() ?? ""));
    }
    this.#at("#trace-use").addEventListener("click", () => this.#dialog.close("use"));
    this.#at("#trace-cancel").addEventListener("click", () => this.#dialog.close("left"));
    this.#at("#trace-points ol").addEventListener("click", (event) => {
      const button = event.target instanceof Element ? event.target.closest<HTMLButtonElement>("button") : null;
      if (button) this.#say(this.#tracing.remove(Number(button.dataset["corner"])));
    });
    this.#at("#trace-stage").addEventListener("focus", () => this.#stage.paint());
    this.#at("#trace-stage").addEventListener("blur", () => this.#stage.paint());
  }

  #zoom(by: number): string {
    this.#stage.zoom(this.#stage.zoomed * by);
    return `Shown ${this.#stage.zoomed} times as wide.`;
  }

  async #show(file: Blob): Promise<void> {
    try {
      await showPhoto(file, this.#photo);
    } catch (error) {
      this.#say(error instanceof Error ? error.message : String(error));
      return;
    }
    this.#shown = true;
    this.#at<HTMLElement>("#trace-work").hidden = false;
    this.#stage.fresh();
    this.#say("");
    this.#at("#trace-stage").focus({ preventScroll: true });
  }

  /** Says what was done and where it stands. */
  #say(says: string): void {
    this.#stage.paint();
    const t = this.#tracing;
    const measured = t.measured;
    this.#at("#trace-says").textContent = [says, this.#shown ? standing(t) : "Take or choose a photo with a ruler in it."].filter(Boolean).join(" ");
    this.#at("#trace-area").textContent = "problem" in measured ? "" : areaWords(measured.mm2);
    const use = this.#at<HTMLButtonElement>("#trace-use");
    use.disabled = !this.#shown || "problem" in measured;
    for (const radio of this.#dialog.querySelectorAll<HTMLInputElement>('input[name="-trace"]')) radio.checked = radio.value === t.marking;
    const outline = t.outline;
    this.#at("#trace-points summary").textContent = outline.length === 1 ? "1 corner" : `${outline.length} corners`;
    this.#at("#trace-points ol").replaceChildren(...outline.slice(0, 60).map((p, i) => corner(p, i, t.unitsPerMM)));
  }
}

/** Where the tracing stands, in one sentence. */
function standing(t: Tracing): string {
  if (t.unitsPerMM <= 0) {
    if (t.ruler.length < 2) return `Mark the ${t.ruler.length === 0 ? "first" : "second"} point of the ruler.`;
    return "Type how many millimetres lie between the two points.";
  }
  if (t.closed) {
    const measured = measure(t.result, t.unitsPerMM);
    return "problem" in measured ? measured.problem : `Area ${areaWords(measured.mm2)}.`;
  }
  if (t.outline.length === 0) return "Draw along the edge of the wound, or mark its corners.";
  return "Go on round the edge, then close the outline.";
}

/** An area as the pages write it, to the tenth of a square millimetre below 10. */
export function areaWords(mm2: number): string {
  return `${mm2 < 10 ? mm2.toFixed(1) : Math.round(mm2)} mm²`;
}

function corner(p: Point, i: number, unitsPerMM: number): HTMLElement {
  const item = document.createElement("li");
  const [x, y] = unitsPerMM > 0 ? [p.x / unitsPerMM, p.y / unitsPerMM] : [p.x, p.y];
  const unit = unitsPerMM > 0 ? "mm" : "points";
  const words = document.createElement("span");
  words.textContent = `${x.toFixed(1)} ${unit} from the left, ${y.toFixed(1)} from the top`;
  const button = document.createElement("button");
  button.type = "button";
  button.className = "quiet";
  button.dataset["corner"] = String(i);
  button.textContent = "Take out";
  const which = document.createElement("span");
  which.className = "unseen";
  which.textContent = ` corner ${i + 1}`;
  button.append(which);
  item.append(words, " ", button);
  return item;
}

const markup = `
  <h2 id="trace-title"></h2>
  <p class="quiet" id="trace-help">Hold the camera straight above the wound. A ruler lies beside it, in the same plane. The photo stays on this device and is not sent.</p>
  <p class="trace-files">
    <label class="button">Take a photo<input class="unseen" type="file" accept="image/*" capture="environment"></label>
    <label class="button quiet">Choose a photo<input class="unseen" type="file" accept="image/*"></label>
  </p>
  <p id="trace-says" role="status"></p>
  <div id="trace-work" hidden>
    <div class="trace-tools">
      <fieldset class="trace-which">
        <legend>A touch marks</legend>
        <label><input type="radio" name="-trace" value="ruler" checked> the ruler</label>
        <label><input type="radio" name="-trace" value="edge"> the edge</label>
      </fieldset>
      <label>Millimetres between the two points <input id="trace-mm" type="text" inputmode="decimal" size="5" autocomplete="off"></label>
    </div>
    <div class="trace-frame"><div id="trace-stage" class="trace-stage" tabindex="0" role="application" aria-label="The photo" aria-describedby="trace-keys"></div></div>
    <p class="quiet" id="trace-keys">Arrow keys move the mark, with Shift in larger steps. Enter marks a point, Backspace takes it back, c closes the outline. Two fingers move the picture.</p>
    <p class="trace-tools">
      <button type="button" class="button quiet" data-act="undo">Undo</button>
      <button type="button" class="button quiet" data-act="close">Close the outline</button>
      <button type="button" class="button quiet" data-act="clear">Trace anew</button>
      <button type="button" class="button quiet" data-act="nearer">Larger</button>
      <button type="button" class="button quiet" data-act="further">Smaller</button>
    </p>
    <p>Area: <output id="trace-area"></output></p>
    <details id="trace-points" class="more"><summary>0 corners</summary><ol></ol></details>
    <label id="trace-keep"><input type="checkbox"> Keep the photo on this device, locked, until the exam is sent</label>
  </div>
  <p class="strip-do">
    <button type="button" class="button quiet" id="trace-cancel">Leave without measuring</button>
    <button type="button" class="button" id="trace-use" disabled>Use this outline</button>
  </p>`;
