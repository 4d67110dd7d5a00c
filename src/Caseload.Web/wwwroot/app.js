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

window.caseload = {
  readPreference: (key) => localStorage.getItem("caseload." + key),
  savePreference: (key, value) => localStorage.setItem("caseload." + key, value),
  print: () => window.print(),
  copy: (text) => navigator.clipboard.writeText(text),
  scrollTo: (id) => document.getElementById(id)?.scrollIntoView({ block: "start", behavior: "instant" }),
};
