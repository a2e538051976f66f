// What the tests ask of an open page. Each question is answered with sentences: none where all is well.
(() => {
  const INTERACTIVE = "a[href], button, input, select, textarea, summary, [tabindex], [contenteditable=true], audio[controls], video[controls]";
  // Half a pixel is the rounding of layouts.
  const NEAR = 1;

  const all = (selector) => [...document.querySelectorAll(selector)];
  const words = (text) => (text || "").replace(/\s+/g, " ").trim().slice(0, 40);
  const named = (element) => {
    const of = element.getAttribute("class");
    return `<${element.localName}${of ? ` class="${of}"` : ""}> "${words(element.textContent)}"`;
  };
  const shown = (element) =>
    element.checkVisibility({ visibilityProperty: true }) && element.getClientRects().length > 0;
  // For readers of screens alone: a box of a pixel.
  const forEars = (element) => {
    for (let at = element; at; at = at.parentElement) {
      const box = at.getBoundingClientRect();
      if (box.width <= 1 && box.height <= 1 && getComputedStyle(at).overflow !== "visible") return true;
    }
    return false;
  };
  const isScroller = (element) =>
    element !== document.scrollingElement && element !== document.body &&
    /auto|scroll/.test(getComputedStyle(element).overflowX);
  const scrollerOf = (element) => {
    for (let at = element.parentElement; at; at = at.parentElement) if (isScroller(at)) return at;
    return null;
  };
  const outside = (box, wide) => box.width > 0 && (box.right > wide + NEAR || box.left < -NEAR);
  // A link over the text that comes into view when it has the focus, which the walk looks at.
  const waits = (element) =>
    element.tabIndex >= 0 && element.getBoundingClientRect().right <= 0 && /absolute|fixed/.test(getComputedStyle(element).position);
  // The outermost of many that say the same is enough.
  const outermost = (elements) =>
    elements.filter((one) => !elements.some((other) => other !== one && other.contains(one)));

  const stops = () => all(INTERACTIVE).filter((element) =>
    element.tabIndex >= 0 && !element.disabled && !element.closest("[inert]") && shown(element));
  const nameOf = (element) => {
    const by = (element.getAttribute("aria-labelledby") || "").split(/\s+/).filter(Boolean);
    const labels = element.labels ? [...element.labels] : [];
    const told = [element.getAttribute("aria-label"), element.getAttribute("title"), element.textContent,
      ...by.map((id) => document.getElementById(id)?.textContent), ...labels.map((label) => label.textContent)];
    return told.map(words).find(Boolean) || "";
  };

  return {
    /** What is wider than the page; in print nothing scrolls. */
    sticksOut(inPrint) {
      const wide = document.documentElement.clientWidth;
      const found = [];
      const whole = document.scrollingElement.scrollWidth;
      if (whole > window.innerWidth) found.push(`the page is ${whole} px wide on ${window.innerWidth}`);
      const out = all("body *").filter((element) => {
        if (element.ownerSVGElement || !shown(element) || forEars(element) || waits(element)) return false;
        if (!outside(element.getBoundingClientRect(), wide)) return false;
        return inPrint || !scrollerOf(element);
      });
      outermost(out).forEach((element) => {
        const box = element.getBoundingClientRect();
        found.push(`${named(element)} stands at ${Math.round(box.left)} to ${Math.round(box.right)} of ${wide} px`);
      });
      if (!inPrint) {
        all("body *").filter((element) => isScroller(element) && element.scrollWidth > element.clientWidth + NEAR && shown(element))
          .filter((element) => element.tabIndex < 0 && !element.querySelector(INTERACTIVE))
          .forEach((element) => found.push(`${named(element)} scrolls, but not by the keyboard`));
      }
      return found;
    },

    /** Words that are cut: by a box that hides what is too much, or by the edge of a drawing. */
    cutOff() {
      const found = [];
      all("body *").forEach((element) => {
        if (element.ownerSVGElement || element.localName === "svg" || !shown(element) || forEars(element)) return;
        const style = getComputedStyle(element);
        const hides = /hidden|clip/.test(style.overflowX) && element.scrollWidth > element.clientWidth + NEAR;
        if (hides && element.clientWidth && words(element.innerText)) found.push(`${named(element)} hides a part of its words`);
      });
      all("svg").filter(shown).forEach((drawing) => {
        const edge = drawing.getBoundingClientRect();
        drawing.querySelectorAll("text").forEach((text) => {
          const box = text.getBoundingClientRect();
          const out = box.left < edge.left - NEAR || box.right > edge.right + NEAR ||
            box.top < edge.top - NEAR || box.bottom > edge.bottom + NEAR;
          if (box.width && out) found.push(`"${words(text.textContent)}" is cut by the edge of its drawing`);
        });
      });
      return found;
    },

    /** The frame of a page: its language, title, policy, and headings that are in order. */
    frame() {
      const found = [];
      if (!document.documentElement.lang) found.push("no language is named");
      if (!document.title.trim()) found.push("no title");
      const policy = document.querySelector('meta[http-equiv="Content-Security-Policy"]');
      if (!/default-src 'none'/.test(policy?.content || "")) found.push("no policy against what comes from elsewhere");
      const headings = all("h1, h2, h3, h4, h5, h6, [role=heading]").filter((one) => one.checkVisibility());
      const level = (one) => Number(one.getAttribute("aria-level") || one.localName[1]);
      const first = headings.filter((one) => level(one) === 1);
      if (first.length !== 1) found.push(`${first.length} headings of the first order`);
      if (headings.length && level(headings[0]) !== 1) found.push(`${named(headings[0])} stands before the first heading`);
      headings.slice(1).forEach((one, at) => {
        if (level(one) > level(headings[at]) + 1) found.push(`${named(one)} leaves out an order of headings`);
        if (!words(one.textContent)) found.push(`<${one.localName}> is empty`);
      });
      return found;
    },

    /** Where each link leads, as the page has it: [words, address]. */
    links: () => all("a[href]").map((link) => [words(link.textContent), link.getAttribute("href")]),
    ids: () => all("[id]").map((element) => element.id),

    /** Begin to note what has the focus after each key; answers how often Tab is to be pressed. */
    beginWalk() {
      window.walked = new Map();
      document.activeElement?.blur();
      document.addEventListener("keyup", () => {
        const element = document.activeElement;
        if (!element || element === document.body || window.walked.has(element)) return;
        const style = getComputedStyle(element);
        const ring = (style.outlineStyle !== "none" && parseFloat(style.outlineWidth) > 0) || style.boxShadow !== "none";
        const box = element.getClientRects()[0];
        const [x, y] = [(box.left + box.right) / 2, (box.top + box.bottom) / 2];
        const large = box.width > innerWidth || box.height > innerHeight / 2;
        const there = document.elementFromPoint(x, y);
        const seen = large ? box.top < innerHeight && box.bottom > 0
          : there && (element.contains(there) || there.contains(element));
        window.walked.set(element, { ring, seen });
      });
      return stops().length;
    },
    endWalk() {
      const found = [];
      stops().forEach((element) => {
        const at = window.walked.get(element);
        if (!nameOf(element)) found.push(`${named(element)} has no name`);
        if (!at) found.push(`Tab never reaches ${named(element)}`);
        else if (!at.ring) found.push(`${named(element)} does not show that it has the focus`);
        else if (!at.seen) found.push(`${named(element)} has the focus out of sight`);
      });
      all("svg title").map((title) => title.parentElement)
        .filter((mark) => mark.localName !== "svg" && !mark.closest("[tabindex]"))
        .forEach((mark) => found.push(`<${mark.localName}> "${words(mark.querySelector("title").textContent)}" tells its words to a mouse alone`));
      return found;
    },

    /** What a sheet of paper gives for the width, by the rule of the page; A4 with 10 mm around it if there is none. */
    paperWidth() {
      const rules = [...document.styleSheets].flatMap((sheet) => [...sheet.cssRules]).filter((rule) => rule instanceof CSSPageRule);
      const said = (name, usual) => rules.map((rule) => rule.style.getPropertyValue(name)).filter(Boolean).at(-1) || usual;
      const size = said("size", "a4");
      const sheet = /a5/i.test(size) ? [148, 210] : [210, 297];
      const around = said("margin-right", "10mm");
      const margin = parseFloat(around) * (/cm/.test(around) ? 10 : 1);
      return Math.floor((sheet[/landscape/.test(size) ? 1 : 0] - 2 * margin) * 96 / 25.4);
    },

    /** The colours of all words, to hold beside those of another medium. */
    colours: () => [...new Set(all("body *").filter(shown).map((element) => {
      const style = getComputedStyle(element);
      return `${element.localName}: ${style.color} on ${style.backgroundColor}`;
    }))].sort(),

    /** How many there are of each element, and what could act among them. */
    counted() {
      const counts = {};
      [...document.querySelectorAll("*")].forEach((element) => {
        counts[element.localName] = (counts[element.localName] || 0) + 1;
      });
      return counts;
    },
    acting() {
      const found = [];
      [...document.querySelectorAll("*")].forEach((element) => [...element.attributes].forEach((one) => {
        if (/^on/i.test(one.name) || (/^(href|src|action|xlink:href)$/i.test(one.name) && /^\s*(javascript|data|vbscript):/i.test(one.value))) {
          found.push(`<${element.localName} ${one.name}="${words(one.value)}">`);
        }
      }));
      return found;
    },
  };
})()
