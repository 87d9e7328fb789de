// Signing on a device: the document is sealed here, exactly as it stands on the
// page, put in the queue, and sent from there; with the network or without it.
import { fetchCase, type Case } from "./case";
import type { KeptDraft } from "./draft";
import { deviceAddress } from "./exam";
import { canJudge, sealed, warm } from "./kernel";
import type { Queue } from "./queue";
import type { Vault } from "./vault";

/** The review page of the practice: signs what it shows. */
export async function startSigning(form: HTMLFormElement, vault: Vault, queue: Queue): Promise<void> {
  const exam = decodeURIComponent(/^\/exam\/([^/]+)\/sign$/.exec(new URL(form.action).pathname)?.[1] ?? "");
  if (!exam || !canJudge()) return;
  if (await queue.of(exam)) {
    location.replace("/device");
    return;
  }
  const kept = await vault.get<KeptDraft>("draft", exam);
  if (kept?.value.unsent) {
    // The practice shows an older draft than the one that was touched last.
    location.replace(deviceAddress(exam, "sign"));
    return;
  }
  try {
    const of = await fetchCase(exam);
    if (!of) return;
    await vault.put("case", exam, of);
    await warm();
    signWith(form, queue, of, "");
  } catch {
    // The form signs as it would without a script.
  }
}

/** Makes the form sign through the queue. answers are those on the page, or ""
 *  for the draft as the case has it. */
export function signWith(form: HTMLFormElement, queue: Queue, of: Case, answers: string): void {
  let signing = false;
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    if (signing) return;
    signing = true;
    const reason = form.querySelector<HTMLTextAreaElement>('[name="reason"]')?.value ?? "";
    try {
      await queue.sign(of, await sealed(of, answers, reason));
    } catch (error) {
      signing = false;
      refuse(form, error instanceof Error ? error.message : String(error));
      return;
    }
    const outcomes = await queue.send();
    const sent = outcomes.get(of.exam.id) === "sent";
    location.assign(sent ? `/exam/${encodeURIComponent(of.exam.id)}` : "/device");
  });
}

function refuse(form: HTMLFormElement, why: string): void {
  let says = form.querySelector<HTMLElement>(".problem");
  if (!says) {
    says = document.createElement("p");
    says.className = "problem";
    says.setAttribute("role", "alert");
    form.prepend(says);
  }
  says.textContent = `Not signed: ${why}.`;
}
