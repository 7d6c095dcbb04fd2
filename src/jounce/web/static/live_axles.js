// Both axles from the front: the body on its wheels, rubbers on their rods, wheels that lean; what was moved is marked.
const LARGER = 6; // times that camber is drawn; the page says so
const DEGREE = Math.PI / 180;
const MARKED = { rubber: ".live-rubber", damping: ".live-damper", bar: ".live-bar", camber: ".live-tyre" };

export function axlesDrawn(place, levers, values) {
  for (const svg of place.querySelectorAll("svg[data-axle]")) {
    const moved = (what) => {
      const k = levers.findIndex((lever) => lever.key === `${svg.dataset.axle}.${what}`);
      return k < 0 ? 0 : values[k] - levers[k].today;
    };
    const lower = 1000 * moved("height");
    svg.querySelector(".live-frame").setAttribute("transform", `translate(0 ${lower.toFixed(2)})`);
    for (const arm of svg.querySelectorAll(".live-arm")) arm.setAttribute("y2", (lower - Number(svg.dataset.pivot)).toFixed(2));
    for (const rubber of svg.querySelectorAll(".live-rubber"))
      rubber.setAttribute("transform", `translate(0 ${(1000 * Number(rubber.dataset.way) * moved("rubber")).toFixed(2)})`);
    for (const tyre of svg.querySelectorAll(".live-tyre")) {
      const at = Number(tyre.dataset.place);
      const lean = LARGER * (Number(tyre.dataset.camber) + moved("camber") / DEGREE);
      tyre.setAttribute("transform", `rotate(${(Math.sign(at) * lean).toFixed(2)} ${at} 0)`);
    }
    for (const [what, parts] of Object.entries(MARKED))
      for (const part of svg.querySelectorAll(parts)) part.classList.toggle("moved", Math.abs(moved(what)) > 1e-9);
  }
}
