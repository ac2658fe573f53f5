// The roof from above, to scale in centimetres. Panels and what stands there are dragged by mouse,
// pen or thumb, or moved with the arrow keys, in whole centimetres. A place where a thing has no room
// is refused here at once; the program checks what is left by its own rules.

const SVG = "http://www.w3.org/2000/svg";
const AROUND = 12;
const INCH = 2.54;

// How lengths are said, and how far one step goes: the program itself knows centimetres alone.
function measure({ inches, comma }) {
  const signs = (text) => (comma ? text.replace(".", ",") : text);
  const place = (cm) => signs((inches ? cm / INCH : cm / 100).toFixed(inches ? 1 : 2));
  return {
    step: inches ? INCH / 2 : 1,
    unit: inches ? "in" : "m",
    place,
    gap: (cm) => (inches ? `${place(cm)} in` : `${signs(String(cm))} cm`),
  };
}

// A text with its braces filled.
function fill(text, values) {
  return text.replace(/\{(\w+)\}/g, (all, key) => values[key] ?? all);
}

const opened = new WeakMap();

function node(kind, about) {
  const made = document.createElementNS(SVG, kind);
  for (const [name, value] of Object.entries(about)) made.setAttribute(name, value);
  return made;
}

// Whether two boxes come closer than `gap`; what is below a tenth of a millimetre is rounding.
function closer(one, other, gap) {
  const along = Math.max(other.x - one.x - one.length, one.x - other.x - other.length);
  const across = Math.max(other.y - one.y - one.width, one.y - other.y - other.width);
  return along < gap - 0.01 && across < gap - 0.01;
}

// Why a thing cannot stand where it is; empty where it can.
function refusal(thing, things, roof, said) {
  const margin = thing.kind === "panel" ? roof.margin : 0;
  if (
    thing.x < margin - 0.01 ||
    thing.y < margin - 0.01 ||
    thing.x + thing.length > roof.length - margin + 0.01 ||
    thing.y + thing.width > roof.width - margin + 0.01
  ) {
    return margin ? fill(said.edge, { gap: said.gap(roof.margin) }) : said.beside;
  }
  if (thing.kind === "panel" && roof.walkway) {
    const [from, to] = roof.walkway;
    if (thing.y < to - 0.01 && thing.y + thing.width > from + 0.01) return said.walkway;
  }
  for (const other of things) {
    if (other === thing) continue;
    const panels = [thing, other].filter((one) => one.kind === "panel").length;
    // Panels that the program lays out make way for what is moved.
    if (panels === 1 && thing.kind !== "panel" && !roof.by_hand) continue;
    const clearance = thing.kind === "panel" ? other.clearance : thing.clearance;
    const gap = [0, clearance, roof.gap][panels];
    if (closer(thing, other, gap)) {
      const { name } = other;
      return gap ? fill(said.closer, { gap: said.gap(gap), name }) : fill(said.over, { name });
    }
  }
  return "";
}

// A place on whole steps, within the roof; what is hardly moved stays to the millimetre.
function shifted(by, from, most, step) {
  if (Math.round(by / step) === 0) return from;
  const last = Math.max(Math.floor(most / step), 0);
  return Math.min(Math.max(Math.round((from + by) / step), 0), last) * step;
}

function drawn(thing) {
  const group = node("g", {
    class: `thing ${thing.kind}`,
    tabindex: "0",
    role: "button",
    "data-thing": `${thing.kind} ${thing.index}`,
  });
  const box = node("rect", {});
  const words = node("text", {});
  words.textContent = thing.kind === "panel" ? String(thing.index + 1) : thing.name;
  group.append(box, words);
  return { group, box, words, rest: { ...thing } };
}

// Put a thing's shape where the thing is.
function put(thing, shape, words) {
  const { x, y, length, width } = thing;
  for (const [name, value] of Object.entries({ x, y, width: length, height: width })) {
    shape.box.setAttribute(name, value);
  }
  shape.words.setAttribute("x", x + length / 2);
  shape.words.setAttribute("y", y + width / 2);
  const size = Math.min(22, (1.8 * length) / Math.max(shape.words.textContent.length, 3));
  shape.words.setAttribute("font-size", Math.max(size, 6));
  const { place: at, unit } = words;
  const place = fill(words.where, { x: `${at(x)} ${unit}`, y: `${at(y)} ${unit}` });
  shape.group.setAttribute("aria-label", `${thing.name}: ${place}`);
}

export default function (component) {
  const { data, parentElement, setTriggerValue } = component;
  const words = { ...data.words, ...measure(data.units) };
  const svg = parentElement.querySelector("svg");
  const said = parentElement.querySelector(".said");
  const held = opened.get(parentElement) ?? { mark: "" };
  opened.set(parentElement, held);
  const focused = parentElement.activeElement?.dataset.thing;
  // A theme that changes draws the page anew too, and nobody has moved a thing.
  const mark = JSON.stringify(data);
  if (mark !== held.mark) said.textContent = words.hint;
  held.mark = mark;
  const { roof } = data;
  const things = data.things.map((one) => ({ ...one }));

  svg.setAttribute("aria-label", words.about);
  svg.setAttribute(
    "viewBox",
    `${-AROUND} ${-AROUND} ${roof.length + 2 * AROUND} ${roof.width + 2 * AROUND}`,
  );
  const outline = roof.corners.map((corner) => corner.join(",")).join(" ");
  svg.replaceChildren(node("polygon", { class: "roof", points: outline }));
  if (roof.walkway) {
    const [from, to] = roof.walkway;
    svg.append(node("rect", { class: "free", x: 0, y: from, width: roof.length, height: to - from }));
  }

  function say(thing, shape) {
    const why = refusal(thing, things, roof, words);
    shape.group.classList.toggle("blocked", why !== "");
    const place = `x ${words.place(thing.x)}, y ${words.place(thing.y)} ${words.unit}`;
    const { name } = thing;
    said.textContent = why ? fill(words.no_room, { name, place, why }) : `${name}: ${place}`;
    return why;
  }

  // Put a thing back to where it last stood.
  function back(thing, shape) {
    Object.assign(thing, shape.rest);
    put(thing, shape, words);
    shape.group.classList.remove("blocked");
  }

  // Take the new place over, or put the thing back.
  function settle(thing, shape) {
    if (["x", "y", "length", "width"].every((key) => thing[key] === shape.rest[key])) return;
    if (say(thing, shape)) {
      back(thing, shape);
      said.textContent += ` ${words.back}`;
      return;
    }
    const turned = thing.length !== shape.rest.length;
    shape.rest = { ...thing };
    const { kind, index, x, y } = thing;
    setTriggerValue("moved", { kind, index, x_cm: x, y_cm: y, turned });
  }

  function dragged(thing, shape) {
    const { group } = shape;
    let start = null;
    group.addEventListener("pointerdown", (event) => {
      if (event.button !== 0) return;
      const scale = svg.getScreenCTM().a;
      start = { at: [event.clientX, event.clientY], scale, from: { ...thing } };
      group.setPointerCapture(event.pointerId);
      group.classList.add("held");
    });
    group.addEventListener("pointermove", (event) => {
      if (start === null) return;
      const moved = [event.clientX - start.at[0], event.clientY - start.at[1]];
      const [x, y] = moved.map((pixels) => pixels / start.scale);
      thing.x = shifted(x, start.from.x, roof.length - thing.length, words.step);
      thing.y = shifted(y, start.from.y, roof.width - thing.width, words.step);
      put(thing, shape, words);
      say(thing, shape);
    });
    // The page scrolls by a thumb beside a thing, not on it; touch-action alone does not reach here.
    group.addEventListener("touchstart", (event) => event.preventDefault(), { passive: false });
    for (const end of ["pointerup", "pointercancel"]) {
      group.addEventListener(end, () => {
        if (start === null) return;
        start = null;
        group.classList.remove("held");
        if (end === "pointerup") {
          settle(thing, shape);
        } else {
          back(thing, shape);
          said.textContent = words.hint;
        }
      });
    }
  }

  function movedByKeys(thing, shape) {
    shape.group.addEventListener("blur", () => settle(thing, shape));
    shape.group.addEventListener("keydown", (event) => {
      const by = words.step * (event.shiftKey ? 10 : 1);
      const steps = {
        ArrowLeft: [-by, 0],
        ArrowRight: [by, 0],
        ArrowUp: [0, -by],
        ArrowDown: [0, by],
      };
      if (event.key in steps) {
        const [x, y] = steps[event.key];
        thing.x = shifted(x, thing.x, roof.length - thing.length, words.step);
        thing.y = shifted(y, thing.y, roof.width - thing.width, words.step);
      } else if (event.key.toLowerCase() === "r" && thing.kind === "panel") {
        [thing.length, thing.width] = [thing.width, thing.length];
      } else if (event.key === "Escape") {
        back(thing, shape);
        said.textContent = words.hint;
        return;
      } else if (event.key === "Enter") {
        settle(thing, shape);
        return;
      } else {
        return;
      }
      event.preventDefault();
      put(thing, shape, words);
      say(thing, shape);
    });
  }

  for (const thing of things) {
    const shape = drawn(thing);
    put(thing, shape, words);
    dragged(thing, shape);
    movedByKeys(thing, shape);
    svg.append(shape.group);
    if (focused === shape.group.dataset.thing) shape.group.focus({ preventScroll: true });
  }
}
