// Reconnecting: never reload on our own while a form may hold text that has not been sent; ask instead.
(() => {
  const dialog = document.getElementById("components-reconnect-modal");
  const title = document.getElementById("reconnect-title");
  const retryButton = document.getElementById("components-reconnect-button");
  const resumeButton = document.getElementById("components-resume-button");
  if (!dialog) {
    return;
  }

  let isLost = false;
  const show = () => {
    if (!dialog.open) {
      dialog.showModal();
    }
  };
  const lost = () => {
    isLost = true;
    title.textContent = "This page must be opened again";
    retryButton.textContent = "Open it again";
    retryButton.style.display = "inline-flex";
    show();
  };

  dialog.addEventListener("components-reconnect-state-changed", (event) => {
    if (event.detail.state === "show" || event.detail.state === "retrying" || event.detail.state === "paused") {
      show();
    } else if (event.detail.state === "hide") {
      dialog.close();
    } else if (event.detail.state === "rejected" || event.detail.state === "resume-failed") {
      lost();
    }
  });

  const retry = async () => {
    if (isLost) {
      location.reload();
      return;
    }
    try {
      if (!(await Blazor.reconnect())) {
        if (await Blazor.resumeCircuit()) {
          dialog.close();
        } else {
          lost();
        }
      }
    } catch {
      show();
    }
  };
  retryButton.addEventListener("click", retry);
  resumeButton.addEventListener("click", retry);
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible" && dialog.open && !isLost) {
      retry();
    }
  });
})();

// Idle time is counted here, where reading and scrolling are seen; the server counts for itself as well and ends a sign-in without us.
const idle = { timer: 0, lastAt: 0, toldAt: 0, listeners: null };
const idleEvents = ["pointerdown", "keydown", "wheel", "touchstart", "scroll"];

window.caseload = {
  watchIdle: (watch, seconds, warnBefore) => {
    caseload.stopWatchingIdle();
    const dialog = document.getElementById("idle-warning");
    const left = document.getElementById("idle-left");
    const active = () => {
      idle.lastAt = Date.now();
      if (dialog.open) {
        dialog.close();
      }
      if (idle.lastAt - idle.toldAt > 30000) {
        idle.toldAt = idle.lastAt;
        watch.invokeMethodAsync("NoteActivityAsync").catch(() => {});
      }
    };
    // While the warning stands only its button counts: a brushed sleeve is not an answer.
    const seen = () => {
      if (!dialog.open) {
        active();
      }
    };
    document.getElementById("idle-stay").onclick = () => {
      idle.toldAt = 0;
      active();
    };
    idleEvents.forEach((name) => document.addEventListener(name, seen, { passive: true, capture: true }));
    idle.listeners = seen;
    idle.lastAt = Date.now();
    idle.toldAt = Date.now();
    idle.timer = setInterval(() => {
      const remaining = Math.ceil(seconds - (Date.now() - idle.lastAt) / 1000);
      if (remaining <= 0) {
        caseload.stopWatchingIdle();
        // Without a connection the server finds out by its own clock; this screen must be empty either way.
        setTimeout(() => location.assign("account/signed-out?why=idle"), 3000);
        watch.invokeMethodAsync("EndIdleAsync").catch(() => {});
      } else if (remaining <= warnBefore) {
        left.textContent = remaining;
        if (!dialog.open) {
          dialog.showModal();
        }
      }
    }, 1000);
  },
  stopWatchingIdle: () => {
    clearInterval(idle.timer);
    if (idle.listeners) {
      idleEvents.forEach((name) => document.removeEventListener(name, idle.listeners, { capture: true }));
      idle.listeners = null;
    }
  },
  readPreference: (key) => localStorage.getItem("caseload." + key),
  savePreference: (key, value) => localStorage.setItem("caseload." + key, value),
  print: () => window.print(),
  // Handed over whole: a file that is not complete must not look like one.
  saveFile: async (name, stream) => {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([await stream.arrayBuffer()]));
    link.download = name;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60000);
  },
  copy: (text) => navigator.clipboard.writeText(text),
  focus: (id) => document.getElementById(id)?.focus(),
  // Single keys work only while the list has the focus, and never where somebody types or chooses.
  watchKeys: (list, receiver, keys) => {
    list.addEventListener("keydown", (event) => {
      const isEntry = event.target.closest("input:not([type=checkbox]), select, textarea");
      if (isEntry || event.ctrlKey || event.altKey || event.metaKey || !keys.includes(event.key)) {
        return;
      }
      event.preventDefault();
      receiver.invokeMethodAsync("KeyAsync", event.key).catch(() => {});
    });
  },
  scrollTo: (id) => document.getElementById(id)?.scrollIntoView({ block: "start", behavior: "instant" }),
};

// A grid of links is one stop of the Tab key; arrow keys move within it. The cells are plain markup, so this needs no round trip.
(() => {
  const steps = { ArrowLeft: [0, -1], ArrowRight: [0, 1], ArrowUp: [-1, 0], ArrowDown: [1, 0] };
  document.addEventListener("keydown", (event) => {
    const step = steps[event.key];
    const table = event.target.closest?.("[data-cell-grid]") ?? event.target.querySelector?.(":scope > [data-cell-grid]");
    if (!step || !table || event.altKey || event.ctrlKey || event.metaKey) {
      return;
    }
    const rows = table.tBodies[0].rows;
    const cell = event.target.closest("td, th");
    let row = cell ? cell.parentElement.sectionRowIndex : 0;
    let column = cell ? cell.cellIndex : 0;
    let next = cell ? null : rows[0]?.cells[1]?.querySelector("a");
    while (!next) {
      row += step[0];
      column += step[1];
      if (!rows[row]?.cells[column]) {
        return;
      }
      next = rows[row].cells[column].querySelector("a");
    }
    event.preventDefault();
    next.focus();
    next.scrollIntoView({ block: "nearest", inline: "nearest" });
  });

  // The row says which child and the column which item: a cell's address is put together when somebody comes to it.
  const address = (event) => {
    const link = event.target.closest?.("[data-cell-grid] td a:not([href])");
    if (link) {
      const cell = link.parentElement;
      const item = cell.closest("table").tHead.rows[0].cells[cell.cellIndex].dataset.item;
      link.href = `children/${cell.parentElement.dataset.child}?item=${encodeURIComponent(item)}`;
    }
  };
  ["pointerover", "pointerdown", "focusin", "click"].forEach((name) => document.addEventListener(name, address, { capture: true }));
})();
