// A list of designs in this browser's own storage. Nothing of it is sent anywhere, but the one
// design that is opened. What lies in the storage is read as a stranger's text.

const STORE = "solarsim.projects";
const MOST = 100;
const LONGEST_NAME = 100;

// What is open in a list, while the page around it is drawn anew.
const opened = new WeakMap();

// A text with its braces filled.
function fill(text, values) {
  return text.replace(/\{(\w+)\}/g, (all, key) => values[key] ?? all);
}

function isProject(one) {
  return (
    typeof one === "object" &&
    one !== null &&
    ["name", "code", "saved"].every((key) => typeof one[key] === "string") &&
    one.name.length > 0 &&
    one.name.length <= LONGEST_NAME
  );
}

// The projects, and what is wrong with the storage if anything is, by the name of its text.
function read() {
  let text;
  try {
    text = window.localStorage.getItem(STORE);
  } catch {
    return { projects: [], fault: "blocked" };
  }
  if (text === null) return { projects: [], fault: "" };
  try {
    const found = JSON.parse(text);
    const projects = Array.isArray(found) ? found.filter(isProject).slice(0, MOST) : [];
    const lost = !Array.isArray(found) || projects.length < found.length;
    return { projects, fault: lost ? "lost" : "" };
  } catch {
    return { projects: [], fault: "unread" };
  }
}

// Returns the name of the text of what is wrong; empty where all went well.
function write(projects) {
  try {
    window.localStorage.setItem(STORE, JSON.stringify(projects));
    return "";
  } catch (error) {
    return error?.name === "QuotaExceededError" ? "full" : "blocked";
  }
}

function clean(name) {
  return name.replace(/\p{C}/gu, " ").trim().slice(0, LONGEST_NAME);
}

// A name that no project has yet.
function free(name, projects) {
  const taken = new Set(projects.map((one) => one.name));
  for (let count = 2; ; count += 1) {
    const tried = `${name.slice(0, LONGEST_NAME - 5)} ${count}`;
    if (!taken.has(tried)) return tried;
  }
}

function button(text, about, press) {
  const made = document.createElement("button");
  made.type = "button";
  made.textContent = text;
  made.setAttribute("aria-label", about);
  made.addEventListener("click", press);
  return made;
}

export default function (component) {
  const { parentElement } = component;
  const field = parentElement.querySelector("#project-name");
  const before = opened.get(parentElement);
  if (before) {
    // The page was drawn anew: what is open in the list, or being typed, stays as it is.
    if (field.value === "" || field.value === before.component.data.name) {
      field.value = component.data.name;
    }
    const turned = before.component.data.words.label !== component.data.words.label;
    before.component = component;
    if (turned) before.draw();
    return before.forget;
  }
  // `asks`: which project a question is open for, and which question.
  const held = { component, asks: null, draw, forget: () => {} };
  // In the visitor's language, which may change while the list is open.
  const words = () => held.component.data.words;
  opened.set(parentElement, held);
  const said = parentElement.querySelector(".said");
  const list = parentElement.querySelector(".list");
  field.value = component.data.name;

  // Take a changed list over; the list stays as it was where the storage refuses it.
  function keep(projects, done) {
    const fault = write(projects);
    held.asks = null;
    draw();
    said.textContent = words()[fault] ?? done;
  }

  // `replaced`: the name of the project that somebody has agreed to replace.
  function save(replaced) {
    const { projects } = read();
    const { code, fault } = held.component.data;
    const name = replaced ?? clean(field.value);
    if (!name) {
      said.textContent = words().unnamed;
      return;
    }
    if (!code) {
      said.textContent = fault;
      return;
    }
    const at = projects.findIndex((one) => one.name === name);
    if (at >= 0 && replaced === undefined) {
      held.asks = { name, what: "replace" };
      draw();
      return;
    }
    if (at < 0 && projects.length >= MOST) {
      said.textContent = fill(words().most, { number: MOST });
      return;
    }
    const saved = new Date().toISOString();
    const others = projects.filter((one) => one.name !== name);
    keep([{ name, code, saved }, ...others], fill(words().saved, { name }));
  }

  function duplicate(one) {
    const { projects } = read();
    if (projects.length >= MOST) {
      said.textContent = fill(words().most, { number: MOST });
      return;
    }
    const name = free(one.name, projects);
    const at = projects.findIndex((other) => other.name === one.name);
    projects.splice(at + 1, 0, { ...one, name });
    keep(projects, fill(words().duplicated, { name }));
  }

  function rename(one, given) {
    const { projects } = read();
    const name = clean(given);
    if (!name) {
      said.textContent = words().unnamed;
      return;
    }
    if (name !== one.name && projects.some((other) => other.name === name)) {
      said.textContent = fill(words().taken, { name });
      return;
    }
    keep(
      projects.map((other) => (other.name === one.name ? { ...other, name } : other)),
      fill(words().renamed, { name }),
    );
  }

  function remove(one) {
    const { projects } = read();
    keep(
      projects.filter((other) => other.name !== one.name),
      fill(words().deleted, { name: one.name }),
    );
  }

  function ask(one, what) {
    held.asks = what === null ? null : { name: one.name, what };
    draw();
  }

  function question(text, yes, no, one, act) {
    const row = document.createElement("div");
    row.className = "row";
    const words = document.createElement("p");
    words.className = "said";
    words.textContent = text;
    const refuse = button(no, `${no}: ${one.name}`, () => ask(one, null));
    row.append(words, button(yes, `${yes}: ${one.name}`, act), refuse);
    window.requestAnimationFrame(() => refuse.focus());
    return row;
  }

  function renaming(one) {
    const row = document.createElement("form");
    row.className = "row";
    const box = document.createElement("input");
    box.type = "text";
    box.maxLength = LONGEST_NAME;
    box.value = one.name;
    box.setAttribute("aria-label", fill(words().rename_to, { name: one.name }));
    const take = document.createElement("button");
    take.type = "submit";
    take.textContent = words().take_name;
    const about = fill(words().keep_name, { name: one.name });
    row.append(box, take, button(words().keep_old, about, () => ask(one, null)));
    row.addEventListener("submit", (event) => {
      event.preventDefault();
      rename(one, box.value);
    });
    window.requestAnimationFrame(() => box.focus());
    return row;
  }

  function item(one) {
    const made = document.createElement("li");
    const name = document.createElement("span");
    name.className = "name";
    name.textContent = one.name;
    const saved = document.createElement("span");
    saved.className = "saved";
    const when = new Date(one.saved);
    saved.textContent = Number.isNaN(when.getTime())
      ? ""
      : fill(words().when, {
          when: when.toLocaleString([], { dateStyle: "medium", timeStyle: "short" }),
        });
    made.append(name, saved);
    const what = held.asks?.name === one.name ? held.asks.what : null;
    if (what === "delete") {
      const { ask_delete, delete: yes, keep: no } = words();
      made.append(question(ask_delete, yes, no, one, () => remove(one)));
    } else if (what === "replace") {
      const { ask_replace, replace: yes, leave: no } = words();
      made.append(question(ask_replace, yes, no, one, () => save(one.name)));
    } else if (what === "rename") {
      made.append(renaming(one));
    } else {
      const row = document.createElement("div");
      row.className = "row";
      const about = (key) => fill(words()[key], { name: one.name });
      row.append(
        button(words().open, about("open_it"), () => {
          // What is saved next goes by this name.
          field.value = one.name;
          held.component.setTriggerValue("open", { name: one.name, code: one.code });
        }),
        button(words().duplicate, about("duplicate_it"), () => duplicate(one)),
        button(words().rename, about("rename_it"), () => ask(one, "rename")),
        button(words().delete, about("delete_it"), () => ask(one, "delete")),
      );
      made.append(row);
    }
    return made;
  }

  function draw() {
    const { projects, fault } = read();
    parentElement.querySelector(".save label").textContent = words().label;
    parentElement.querySelector(".save button").textContent = words().save;
    said.textContent = words()[fault] ?? (projects.length ? "" : words().none);
    list.replaceChildren(...projects.map(item));
  }

  parentElement.querySelector(".save").addEventListener("submit", (event) => {
    event.preventDefault();
    save();
  });
  // Another page of this app changed the list.
  const changed = (event) => event.key === STORE && draw();
  window.addEventListener("storage", changed);
  held.forget = () => window.removeEventListener("storage", changed);
  draw();
  return held.forget;
}
