"use strict";

// Around the terminal's own script: it begins when the font is there, keeps the letters as large as fits, asks before a
// flight is left by accident, and says in words when the connection ends.
(() => {
  const SIZES = [[160, 50, 14], [120, 40, 12], [80, 24, 7]];   // columns, lines, the smallest letters in pixels for them
  const SMALLEST = 6;
  const LARGEST = 40;
  const WIDE = 0.605;     // of a letter, in its size
  const HIGH = 1.33;      // of a line
  const FONT_WAIT_MS = 3000;
  const RESIZED_MS = 150;
  const NOTICES = { 1009: "flood", 4000: "ended", 4001: "full", 4002: "fault", 4003: "stopped", 4004: "flood" };
  const ENTERED = JSON.stringify("\r").slice(1, -1);    // Enter as it is sent
  const FLEW = "drill flew";
  const LETTERS = "drill letters";

  const begin = window.onload;
  window.onload = null;
  const terminal = document.getElementById("terminal");
  let screen = null;      // what the terminal's script has made
  let open = false;
  let entered = false;

  const kept = (storage, name, value) => {    // null where a browser keeps nothing
    try {
      if (value !== undefined) {
        window[storage].setItem(name, value);
      }
      return window[storage].getItem(name);
    } catch {
      return null;
    }
  };

  const [arrived] = performance.getEntriesByType("navigation");
  const again = Boolean(arrived) && arrived.type === "reload" && kept("sessionStorage", FLEW) === "1";
  if (again && location.pathname !== "/board") {
    location.replace("/board#again");    // the flight stands in the list; a new one shall not begin in its place
    return;
  }
  kept("sessionStorage", FLEW, "0");
  document.getElementById("again").hidden = !again && location.hash !== "#again";
  if (location.hash) {
    history.replaceState(null, "", location.pathname);
  }

  const show = (name) => {
    for (const notice of document.querySelectorAll(".notice")) {
      notice.hidden = notice.id !== name;
    }
    const shown = document.getElementById(name);
    const link = shown && shown.querySelector("a");
    if (link) {
      link.focus();
    }
  };

  let steps = Math.trunc(Number(kept("localStorage", LETTERS))) || 0;    // the pilot's own, up or down from what fits

  const fitting = () => {
    const width = terminal.clientWidth;
    const height = terminal.clientHeight;
    for (const [columns, lines, smallest] of SIZES) {
      const size = Math.floor(Math.min(width / (columns * WIDE), height / (lines * HIGH)));
      if (size >= smallest) {
        return size;
      }
    }
    return 12;
  };

  const letters = () => Math.max(SMALLEST, Math.min(fitting() + steps, LARGEST));

  const refit = () => {
    if (screen && screen.terminal && screen.terminal.options.fontSize !== letters()) {
      screen.terminal.options.fontSize = letters();
    }
    if (screen) {
      screen.fit();
    }
  };

  const step = (by) => () => {
    steps = Math.max(SMALLEST - fitting(), Math.min(steps + by, LARGEST - fitting()));
    kept("localStorage", LETTERS, String(steps));
    refit();
    terminal.querySelector("textarea").focus();
  };

  const Plain = window.WebSocket;
  window.WebSocket = class extends Plain {
    constructor(address) {
      super(address);
      this.waiting = [];
      this.addEventListener("open", () => {
        open = true;
        this.waiting.splice(0).forEach((each) => super.send(each));
      });
      this.addEventListener("message", () => show(""), { once: true });
      this.addEventListener("close", (event) => {
        open = false;
        show(NOTICES[event.code] || "lost");
      });
    }

    send(words) {
      if (!entered && words.startsWith("[\"stdin\"") && words.includes(ENTERED)) {
        entered = true;
        kept("sessionStorage", FLEW, "1");
      }
      if (this.readyState === Plain.CONNECTING) {
        this.waiting.push(words);    // keys pressed early are not lost
      } else if (this.readyState === Plain.OPEN) {
        super.send(words);
      }
    }
  };

  window.addEventListener("beforeunload", (event) => {
    if (open && entered) {
      event.preventDefault();
    }
  });

  // The terminal's script keeps what it makes to itself. While it begins, the first thing that it hangs something called
  // fitAddon on is what can be asked to fit again; without that, the letters only stay as they began.
  const begun = () => {
    Object.defineProperty(Object.prototype, "fitAddon", {
      configurable: true,
      set(addon) {
        screen = this;
        Object.defineProperty(this, "fitAddon", { value: addon, writable: true, enumerable: true, configurable: true });
      },
    });
    try {
      begin();
    } finally {
      delete Object.prototype.fitAddon;
    }
  };

  show("opening");

  window.addEventListener("load", async () => {
    const late = new Promise((done) => setTimeout(done, FONT_WAIT_MS));
    const fonts = ["16px", "bold 16px", "italic 16px"].map((each) => document.fonts.load(`${each} "Roboto Mono"`));
    await Promise.race([Promise.allSettled(fonts), late]);
    terminal.dataset.fontSize = letters();
    try {
      begun();
      terminal.querySelector("textarea").focus();
    } catch (error) {
      show("unable");
      throw error;
    }
    if (screen) {
      let soon = 0;
      window.onresize = () => {
        clearTimeout(soon);
        soon = setTimeout(refit, RESIZED_MS);
      };
      for (const [name, by] of [["larger", 1], ["smaller", -1]]) {
        const button = document.getElementById(name);
        button.hidden = false;
        button.addEventListener("click", step(by));
      }
    }
  });
})();
