// A page of an exam without the practice: the empty page that the service
// worker keeps is filled with what the kernel draws from the vault, which is
// what the server would have drawn.
import type { Case } from "./case";
import type { KeptDraft } from "./draft";
import { canJudge, drawExam, drawSign } from "./kernel";
import type { Vault } from "./vault";

/** What a filled page was drawn from. */
export interface Filled {
  page: "edit" | "sign";
  of: Case;
  answers: string;
}

/** Fills the empty page, or says on it why it stays empty. */
export async function fillShell(shell: HTMLElement, vault: Vault | null): Promise<Filled | null> {
  const [, id = "", page = ""] = /^\/exam\/([^/]+)\/(edit|sign)$/.exec(location.pathname) ?? [];
  const exam = decodeURIComponent(id);
  if (!vault) {
    say(shell, "Nobody is signed in on this device", "What it keeps is locked. Sign in as soon as the practice is in reach again; nothing is lost until then.");
    return null;
  }
  if (!canJudge()) {
    say(shell, "This browser needs the network for an exam", "What was recorded is kept on this device and opens again with a connection.");
    return null;
  }
  const of = (await vault.get<Case>("case", exam))?.value;
  if (!of) {
    say(shell, "This exam is not on this device", "Only an exam that was opened here before can be opened without a connection.");
    return null;
  }
  const answers = (await vault.get<KeptDraft>("draft", exam))?.value.answers ?? "";
  try {
    put(page === "sign" ? await drawSign(of, answers) : await drawExam(of, answers));
  } catch {
    say(shell, "The page could not be drawn here", "What was recorded is kept on this device. Open the exam again with a connection.");
    return null;
  }
  return { page: page === "sign" ? "sign" : "edit", of, answers };
}

/** Puts a drawn page in the place of the empty one. */
function put(html: string): void {
  const drawn = new DOMParser().parseFromString(html, "text/html");
  document.title = drawn.title;
  document.body.replaceChildren(...drawn.body.childNodes);
  document.documentElement.dataset["drawn"] = "here";
}

function say(shell: HTMLElement, title: string, words: string): void {
  const heading = shell.querySelector("h1");
  const lead = shell.querySelector(".lead");
  if (heading) heading.textContent = title;
  if (lead) lead.textContent = words;
}
