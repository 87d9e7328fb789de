// The places of a drawing with the keyboard: one stop for Tab, arrows go to the
// nearest place in their direction, Home and End to the first and the last.

const ways: Record<string, [number, number]> = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

export function startPlaces(drawing: HTMLElement): void {
  for (const svg of drawing.querySelectorAll("svg")) {
    rove(svg);
    svg.addEventListener("focusin", (event) => {
      const place = event.target instanceof Element ? event.target.closest<SVGGElement>("g.place") : null;
      if (place) rove(svg, place);
    });
    svg.addEventListener("keydown", (event) => {
      const from = event.target instanceof Element ? event.target.closest<SVGGElement>("g.place") : null;
      if (!from || event.ctrlKey || event.metaKey || event.altKey) return;
      const there = inSight(svg);
      const way = ways[event.key];
      const to = way ? nearest(from, there, way) : event.key === "Home" ? there[0] : event.key === "End" ? there.at(-1) : undefined;
      if (!to) return;
      event.preventDefault();
      to.focus();
    });
  }
}

/** Makes one place the stop for Tab: the given one, or the first in sight. */
export function rove(svg: SVGSVGElement, place?: SVGGElement): void {
  const all = [...svg.querySelectorAll<SVGGElement>("g.place")];
  const chosen = place ?? all.find((p) => !p.hasAttribute("hidden"));
  for (const p of all) p.setAttribute("tabindex", p === chosen ? "0" : "-1");
}

function inSight(svg: SVGSVGElement): SVGGElement[] {
  return [...svg.querySelectorAll<SVGGElement>("g.place")].filter((p) => p.getClientRects().length > 0 && p.getBoundingClientRect().width > 0);
}

function nearest(from: SVGGElement, places: SVGGElement[], [dx, dy]: [number, number]): SVGGElement | undefined {
  const start = middle(from);
  let best: SVGGElement | undefined;
  let least = Infinity;
  for (const place of places) {
    if (place === from) continue;
    const there = middle(place);
    const x = there.x - start.x;
    const y = there.y - start.y;
    const along = x * dx + y * dy;
    const beside = Math.abs(x * dy) + Math.abs(y * dx);
    // Further to the side counts double, so that a row stays a row.
    if (along > 4 && along + 2 * beside < least) {
      least = along + 2 * beside;
      best = place;
    }
  }
  return best;
}

function middle(place: SVGGElement): { x: number; y: number } {
  const spot = (place.querySelector(".spot") ?? place).getBoundingClientRect();
  return { x: spot.left + spot.width / 2, y: spot.top + spot.height / 2 };
}
