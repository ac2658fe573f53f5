// Towns under the field for the place, while it is typed into. The field stays the page's own: what
// is typed and not chosen counts as before.

const WAIT_MS = 150;
const LONGEST = 100;

// What is heard for a list, to be forgotten when the page is drawn anew.
const forgets = new WeakMap();

export default function (component) {
  const { data, parentElement, setTriggerValue } = component;
  const list = parentElement.querySelector("#place-suggestions");
  list.setAttribute("aria-label", data.words);
  const field = () => document.querySelector(`input[aria-label="${data.label}"]`);
  forgets.get(parentElement)?.();
  let timer = null;
  let active = -1;
  let putting = false;

  function mark(number) {
    const options = [...list.children];
    active = options.length ? (number + options.length) % options.length : -1;
    options.forEach((one, at) => one.setAttribute("aria-selected", String(at === active)));
    const chosen = options[active];
    if (chosen) {
      field()?.setAttribute("aria-activedescendant", chosen.id);
      chosen.scrollIntoView({ block: "nearest" });
    }
  }

  function close() {
    clearTimeout(timer);
    list.hidden = true;
    list.replaceChildren();
    active = -1;
    const input = field();
    input?.setAttribute("aria-expanded", "false");
    input?.removeAttribute("aria-activedescendant");
  }

  // Put the town into the field as if it had been typed, and leave the field, which takes it over.
  function choose(choice) {
    const input = field();
    close();
    if (input === null) return;
    const { set } = Object.getOwnPropertyDescriptor(HTMLInputElement.prototype, "value");
    putting = true;
    set.call(input, choice);
    input.dispatchEvent(new Event("input", { bubbles: true }));
    input.blur();
    input.focus();
    putting = false;
  }

  function option(one, at) {
    const made = document.createElement("li");
    made.id = `place-option-${at}`;
    made.setAttribute("role", "option");
    made.setAttribute("aria-selected", "false");
    made.textContent = one.words;
    made.dataset.choice = one.choice;
    // The field keeps the focus: to leave it would take over what is typed so far.
    made.addEventListener("pointerdown", (event) => event.preventDefault());
    made.addEventListener("mousedown", (event) => event.preventDefault());
    made.addEventListener("click", () => choose(one.choice));
    return made;
  }

  function dress(input) {
    input.setAttribute("role", "combobox");
    input.setAttribute("aria-autocomplete", "list");
    input.setAttribute("aria-controls", list.id);
    input.setAttribute("aria-expanded", String(!list.hidden));
  }

  function typed(event) {
    const input = field();
    if (event.target !== input || input === null || putting) return;
    dress(input);
    clearTimeout(timer);
    timer = setTimeout(() => setTriggerValue("typed", input.value.slice(0, LONGEST)), WAIT_MS);
  }

  function pressed(event) {
    if (event.target !== field()) return;
    if (event.key === "Enter") {
      if (active < 0) {
        close();
        return;
      }
      // Or the page would take over what is typed so far.
      event.preventDefault();
      event.stopPropagation();
      choose(list.children[active].dataset.choice);
    } else if (list.hidden) {
      return;
    } else if (event.key === "ArrowDown" || event.key === "ArrowUp") {
      event.preventDefault();
      mark(event.key === "ArrowDown" ? active + 1 : active < 0 ? -1 : active - 1);
    } else if (event.key === "Escape") {
      event.preventDefault();
      close();
    }
  }

  function left(event) {
    if (event.target === field()) close();
  }

  const input = field();
  if (input) dress(input);
  if (input && document.activeElement === input && input.value === data.query) {
    list.replaceChildren(...data.suggestions.map(option));
    list.hidden = data.suggestions.length === 0;
    dress(input);
  } else {
    close();
  }
  const heard = { input: typed, keydown: pressed, focusout: left };
  for (const [kind, act] of Object.entries(heard)) document.addEventListener(kind, act, true);
  const forget = () => {
    clearTimeout(timer);
    for (const [kind, act] of Object.entries(heard)) document.removeEventListener(kind, act, true);
  };
  forgets.set(parentElement, forget);
  return forget;
}
