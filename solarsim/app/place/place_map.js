// A small map from the outlines that come with the program; a click is a place.

const SVG = "http://www.w3.org/2000/svg";

function node(kind, about) {
  const made = document.createElementNS(SVG, kind);
  for (const [name, value] of Object.entries(about)) made.setAttribute(name, value);
  return made;
}

export default function (component) {
  const { data, parentElement, setTriggerValue } = component;
  const svg = parentElement.querySelector("svg");
  const { width, height, squeeze } = data;
  svg.setAttribute("viewBox", `0 0 ${width} ${height}`);
  svg.setAttribute("aria-label", data.words);
  svg.replaceChildren(
    node("path", { class: "coast", d: data.coast }),
    node("path", { class: "border", d: data.border }),
  );
  for (const town of data.towns) {
    svg.append(node("circle", { cx: town.x, cy: town.y, r: 2.5 }));
    const leftward = town.x > 0.7 * width;
    const words = node("text", {
      x: town.x + (leftward ? -5 : 5),
      y: town.y + 4,
      "font-size": 12,
      "text-anchor": leftward ? "end" : "start",
    });
    words.textContent = town.name;
    svg.append(words);
  }
  svg.append(node("circle", { class: "here", cx: data.here[0], cy: data.here[1], r: 7 }));
  svg.onclick = (event) => {
    const spot = new DOMPoint(event.clientX, event.clientY);
    const { x, y } = spot.matrixTransform(svg.getScreenCTM().inverse());
    setTriggerValue("spot", [
      data.north - y / data.per_deg,
      data.west + x / (data.per_deg * squeeze),
    ]);
  };
  for (const [name, by] of [["nearer", 1], ["further", -1]]) {
    const button = parentElement.querySelector(`.${name}`);
    button.textContent = data[name];
    button.disabled = by > 0 ? data.nearest : data.furthest;
    button.onclick = () => setTriggerValue("zoom", by);
  }
}
