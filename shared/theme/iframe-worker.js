/* Search on a page that was opened from a folder.

   A page with a file:// address may not start a worker. There, and only there, Worker is replaced by
   one that runs the same script in a hidden frame. The frame is empty, so it belongs to this page and
   needs no inline script. Messages that come before the script has loaded wait for it. */
if (location.protocol === "file:") {
  window.Worker = class extends EventTarget {
    constructor(address) {
      super()
      this.waiting = []
      this.frame = document.createElement("iframe")
      this.frame.hidden = true
      this.frame.title = "Search"
      document.documentElement.append(this.frame)
      this.inside = this.frame.contentWindow
      this.inside.postMessage = data => this.dispatchEvent(new MessageEvent("message", { data }))
      this.inside.importScripts = (...sources) => Promise.all(sources.map(source => this.load(source)))
      this.load(address).then(() => {
        const early = this.waiting
        this.waiting = undefined
        early.forEach(data => this.hand(data))
      }, () => this.dispatchEvent(new ErrorEvent("error", { message: `${address} did not load` })))
    }

    load(source) {
      return new Promise((done, failed) => {
        const script = this.inside.document.createElement("script")
        script.src = new URL(source, location)
        script.onload = done
        script.onerror = failed
        this.inside.document.head.append(script)
      })
    }

    hand(data) {
      this.inside.dispatchEvent(new MessageEvent("message", { data }))
    }

    postMessage(data) {
      if (this.waiting) this.waiting.push(data)
      else this.hand(data)
    }

    terminate() {
      this.frame.remove()
    }
  }
}
