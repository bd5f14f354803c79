/* Ticks that stay on this device: on numbered actions of a step, hold points and tick rows.
   Kept under the job and issue, each by its page and its own words: where a number in the words
   moves, the tick is gone, for what was done then was something else. Nothing leaves the device. */
const shellbedTicks = (() => {
  /* A short name for a tick: FNV-1a over page and words, letters and digits alone. */
  function name(page, words) {
    let hash = 0x811c9dc5
    for (const sign of `${page}|${words.replace(/\s+/g, " ").trim()}`) {
      hash = Math.imul(hash ^ sign.codePointAt(0), 0x01000193) >>> 0
    }
    return hash.toString(36)
  }

  /* The store of one issue of one job: what can't be read or kept is done without. */
  function store(place, kept) {
    let all = {}
    try {
      const read = JSON.parse(kept.getItem(place) || "{}")
      if (read && typeof read === "object" && !Array.isArray(read)) all = read
    } catch { /* denied, or not ours: begin with none */ }
    const keep = () => {
      try {
        if (Object.keys(all).length) kept.setItem(place, JSON.stringify(all))
        else kept.removeItem(place)
        return true
      } catch { return false }
    }
    return {
      all: () => all,
      has: id => id in all,
      set: (id, tick) => { all[id] = tick; return keep() },
      drop: id => { delete all[id]; return keep() },
      clear: () => { all = {}; return keep() },
    }
  }

  /* The ticks as text to send or keep: hold points first, then the rest by page. */
  function summary(job, ticks) {
    const lines = [`${job}: ticked on this device. Not a signed record.`]
    const listed = Object.values(ticks).filter(tick => tick && tick.words).sort((a, b) => a.when < b.when ? -1 : 1)
    for (const [title, kind] of [["Hold points", "hold"], ["Work", "do"], ["Record", "row"]]) {
      const some = listed.filter(tick => tick.kind === kind)
      if (some.length) lines.push("", `${title}:`, ...some.map(tick => `- ${tick.when} ${tick.page}: ${tick.words}`))
    }
    return lines.join("\n")
  }

  if (typeof document !== "undefined") addEventListener("DOMContentLoaded", () => {
    const { job, issue, page } = document.documentElement.dataset
    let storage = null
    try { storage = localStorage } catch { /* denied: ticks last as long as the page */ }
    const ticks = store(`shellbed:${job}:${issue}`, storage)
    const title = document.querySelector("main h1")
    const heading = title ? textOf(title) : page
    const two = number => String(number).padStart(2, "0")
    const today = () => {
      const now = new Date()
      return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())} ${two(now.getHours())}:${two(now.getMinutes())}`
    }
    const watching = []

    function textOf(element) {
      const copy = element.cloneNode(true)
      for (const off of copy.querySelectorAll(".headerlink, input, button, .passed, .admonition")) off.remove()
      return copy.textContent.replace(/\s+/g, " ").trim()
    }

    function bind(kind, words, show, said = words) {
      const id = name(page, words)
      const tell = () => show(ticks.has(id), ticks.all()[id])
      watching.push(tell)
      tell()
      return on => {
        if (on) ticks.set(id, { kind, when: today(), page: heading, words: said.slice(0, 160) })
        else ticks.drop(id)
        watching.forEach(one => one())
      }
    }

    // Numbered actions of a step done once: the numeral is the button.
    if ((page.startsWith("steps/") && page !== "steps/lifts.md") || page === "before-you-dig.md") {
      document.querySelectorAll(".actions > ol > li").forEach((item, at) => {
        const button = document.createElement("button")
        button.type = "button"
        button.className = "tick"
        const number = at + 1
        const words = textOf(item)
        const turn = bind("do", words, on => {
          button.setAttribute("aria-pressed", String(on))
          item.classList.toggle("done", on)
        })
        button.setAttribute("aria-label", `Step ${number} is done`)
        button.onclick = () => turn(button.getAttribute("aria-pressed") !== "true")
        item.prepend(button)
      })
    }

    // A hold point passes as a whole; the one after every lift passes lift by lift.
    const row = (box, words, said, label) => {
      const line = document.createElement("label")
      const input = document.createElement("input")
      const told = document.createElement("span")
      line.className = "passed"
      input.type = "checkbox"
      line.append(input, told)
      const turn = bind("hold", words, (on, tick) => {
        input.checked = on
        told.textContent = on ? `${label}: ${tick.when.replace(/-/g, "\u2011")}` : label
      }, said)
      input.onchange = () => turn(input.checked)
      box.append(line)
    }
    for (const box of document.querySelectorAll(".admonition.hold")) {
      const words = textOf(box.querySelector(".admonition-title"))
      if (page !== "steps/lifts.md") row(box, words, words.replace(/^Hold point: /, ""), "Passed, ticked on this device")
    }
    for (const lift of document.querySelectorAll("main h3[id^=lift-]")) {
      let last = lift
      let words = textOf(lift)
      while (last.nextElementSibling && !/^H[1-3]$/.test(last.nextElementSibling.tagName)) {
        last = last.nextElementSibling
        words += ` ${textOf(last)}`
      }
      const box = document.createElement("div")
      last.after(box)
      row(box, words, textOf(lift), `${textOf(lift)}: water, fill, width and dip are written down`)
    }

    for (const input of document.querySelectorAll("ul.ticks input")) {
      const turn = bind("row", textOf(input.closest("label")), on => { input.checked = on })
      input.onchange = () => turn(input.checked)
    }

    const panel = document.getElementById("_ticked")
    if (panel) {
      const add = (tag, words, parts = {}) => {
        const element = Object.assign(document.createElement(tag), parts)
        element.textContent = words
        panel.append(element)
        return element
      }
      add("h2", "Ticked on this device")
      add("p", storage
        ? "Ticks stay on this device, for this issue alone. Nobody else sees them, and they sign nothing."
        : "This browser keeps no ticks: they are gone when you leave the page.")
      const box = add("textarea", "", { readOnly: true, rows: 7 })
      box.setAttribute("aria-label", "What is ticked on this device, as text")
      const copy = add("button", "Copy as text", { type: "button" })
      const clear = add("button", "Clear all ticks", { type: "button" })
      const tell = () => {
        const some = Object.keys(ticks.all()).length > 0
        box.value = some ? summary(`${job}${issue ? ` issue ${issue}` : ""}`, ticks.all()) : "Nothing is ticked."
        copy.disabled = clear.disabled = !some
        clear.textContent = "Clear all ticks"
      }
      watching.push(tell)
      tell()
      copy.onclick = async () => {
        try { await navigator.clipboard.writeText(box.value) } catch {
          box.select()
          document.execCommand("copy")
        }
        copy.textContent = "Copied"
        setTimeout(() => { copy.textContent = "Copy as text" }, 2000)
      }
      clear.onclick = () => {
        if (clear.textContent === "Clear all ticks") clear.textContent = "Tap again: all ticks are lost"
        else {
          ticks.clear()
          watching.forEach(one => one())
        }
      }
      panel.hidden = false
    }
  })

  return { name, store, summary }
})()
