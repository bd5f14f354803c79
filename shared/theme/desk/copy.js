/* Copying a link, and finding a question in a caller's words. Nothing leaves the device. */
const shellbedAsk = (() => {
  /* The questions that fit a caller's words, best first, by the guide's own search: their places among
     [title, the words callers use, what to read out] of each. */
  function look(questions, query) {
    const pages = questions.map((_, at) => [String(at), "", ""])
    const entries = questions.map(([title, words, text], at) => [at, "", title, text, words])
    return shellbedSearch.look(shellbedSearch.prepare([pages, entries]), query).map(one => one.at)
  }

  async function copy(text) {
    try { await navigator.clipboard.writeText(text); return true } catch { /* asked again below */ }
    const box = Object.assign(document.createElement("textarea"), { value: text, readOnly: true })
    document.body.append(box)
    box.select()
    const done = document.execCommand("copy")
    box.remove()
    return done
  }

  if (typeof document !== "undefined") addEventListener("DOMContentLoaded", () => {
    for (const button of document.querySelectorAll("[data-copy]")) {
      const words = button.textContent
      button.onclick = async () => {
        button.textContent = await copy(button.dataset.copy) ? "Copied" : "Not copied: mark it and copy"
        setTimeout(() => { button.textContent = words }, 2000)
      }
    }
    const input = document.getElementById("ask")
    const list = document.getElementById("ask-list")
    if (!input || !list) return
    input.hidden = false
    const all = [...list.querySelectorAll(".question")].map(box => ({
      box,
      home: box.parentNode,
      said: [box.querySelector("summary").textContent, box.dataset.words, [...box.querySelectorAll("p:not(.copies)")].map(line => line.textContent).join(" ")],
    }))
    const top = document.createElement("section")
    list.before(top)
    input.oninput = () => {
      for (const one of all) one.home.append(one.box)
      const query = input.value.trim()
      const found = query ? look(all.map(one => one.said), query) : []
      list.hidden = Boolean(query)
      document.getElementById("ask-none").hidden = !query || found.length > 0
      for (const at of found.slice(0, 12)) top.append(all[at].box)
    }
  })

  return { look }
})()
