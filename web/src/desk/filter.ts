// Lists that filter as you type: the form's own address is asked and only the
// list is put in place of the old one.

const pause = 200;

export function startFilters(): void {
  for (const form of document.querySelectorAll<HTMLFormElement>("form[data-filter]")) {
    startFilter(form);
  }
}

function startFilter(form: HTMLFormElement): void {
  let clock = 0;
  let asked = new AbortController();
  const ask = async () => {
    asked.abort();
    asked = new AbortController();
    const query = new URLSearchParams();
    for (const [name, value] of new FormData(form)) query.append(name, String(value));
    try {
      const answer = await fetch(`${form.action}?${query}`, { signal: asked.signal });
      if (answer.ok) show(form.dataset["filter"] ?? "", await answer.text());
    } catch {
      // A newer question came, or the network is gone: the old list stays, and
      // the form can still be sent.
    }
  };
  form.addEventListener("input", () => {
    clearTimeout(clock);
    clock = window.setTimeout(() => void ask(), pause);
  });
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    clearTimeout(clock);
    void ask();
  });
}

function show(id: string, html: string): void {
  const fresh = new DOMParser().parseFromString(html, "text/html").getElementById(id);
  document.getElementById(id)?.replaceChildren(...(fresh ? fresh.childNodes : []));
  for (const button of document.querySelectorAll(`#${id} [data-print]`)) {
    button.addEventListener("click", () => print());
  }
}
