/* Search without a server: a browser starts no worker for a page opened as a file, so the
   worker's script runs in a hidden frame and talks through the same messages. */
"use strict";

if (location.protocol === "file:") {
  window.Worker = class FrameWorker extends EventTarget {
    constructor(address) {
      super();
      this.waiting = [];
      this.frame = document.createElement("iframe");
      this.frame.hidden = true;
      this.frame.title = "Search";
      this.frame.addEventListener("load", () => this.start(address), { once: true });
      document.body.append(this.frame);
    }

    start(address) {
      const inner = this.frame.contentWindow;
      inner.postMessage = (data) => {
        queueMicrotask(() => this.dispatchEvent(new MessageEvent("message", { data })));
      };
      const script = inner.document.createElement("script");
      script.src = new URL(address, location.href).href;
      script.addEventListener("load", () => {
        const waiting = this.waiting;
        this.waiting = null;
        for (const data of waiting) this.postMessage(data);
      });
      inner.document.body.append(script);
    }

    postMessage(data) {
      if (this.waiting) {
        this.waiting.push(data);
        return;
      }
      const inner = this.frame.contentWindow;
      queueMicrotask(() => inner.dispatchEvent(new inner.MessageEvent("message", { data })));
    }

    terminate() {
      this.frame.remove();
    }
  };
}
