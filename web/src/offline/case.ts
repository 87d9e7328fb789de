// The case: everything beside the answers that one exam needs to go on without
// the practice. The server says it in internal/web/case.go; the page reads only
// what it names here and hands the rest to the kernel.

export interface Case {
  exam: { id: string; revision: number; patient: string; at?: string; amends?: { reason?: string } };
  person: { id: string; family?: string; given?: string };
  background: unknown;
  edition: string;
  "recall-choice": string;
  on: string;
  who: { id?: string; name?: string; role?: string };
}

/** The person's name as the pages write it. */
export function nameOf(person: Case["person"]): string {
  return [person.given, person.family].filter(Boolean).join(" ") || `Person ${person.id}`;
}

/** Fetches the case of a draft. Null where the practice has no such draft any
 *  more; an error where it cannot be reached. */
export async function fetchCase(exam: string): Promise<Case | null> {
  const answer = await fetch(`/exam/${encodeURIComponent(exam)}/case.json`, { headers: { Accept: "application/json" } });
  if (answer.status === 404) return null;
  if (!answer.ok) throw new Error(`the practice answered ${answer.status}`);
  return (await answer.json()) as Case;
}
