// <passkey-form ask="address">: a form that asks the person's devices for a passkey before it is sent. It shows itself only where that can
// work: in a browser that knows passkeys, on a secure page whose host has a name.
(() => {
  const isPossible = () =>
    window.isSecureContext &&
    !/^[\d.]+$/.test(location.hostname) &&
    !location.hostname.startsWith("[") &&
    typeof window.PublicKeyCredential?.parseRequestOptionsFromJSON === "function" &&
    typeof window.PublicKeyCredential?.parseCreationOptionsFromJSON === "function";

  const askDevices = async (form, address) => {
    const answer = await fetch(address, { method: "POST", body: new FormData(form), credentials: "same-origin", redirect: "error" });
    const options = await answer.json();
    if (!answer.ok) {
      throw new Error(options.detail);
    }
    const credential = options.rp
      ? await navigator.credentials.create({ publicKey: PublicKeyCredential.parseCreationOptionsFromJSON(options) })
      : await navigator.credentials.get({ publicKey: PublicKeyCredential.parseRequestOptionsFromJSON(options) });
    return JSON.stringify(credential);
  };

  class PasskeyForm extends HTMLElement {
    connectedCallback() {
      if (!isPossible()) {
        return;
      }
      this.hidden = false;
      const form = this.querySelector("form");
      form.addEventListener("submit", async (event) => {
        event.preventDefault();
        const problem = this.querySelector("[data-problem]");
        const button = form.querySelector("button");
        problem.hidden = true;
        button.disabled = true;
        try {
          form.querySelector("[data-credential]").value = await askDevices(form, this.getAttribute("ask"));
          form.submit();
        } catch (failure) {
          const isBrowsers = failure instanceof DOMException || failure instanceof TypeError || !failure.message;
          problem.textContent = isBrowsers ? "No passkey was used: it was cancelled, took too long, or this device has none." : failure.message;
          problem.hidden = false;
          button.disabled = false;
        }
      });
    }
  }

  customElements.define("passkey-form", PasskeyForm);
})();
