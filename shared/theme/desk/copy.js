/* Copying a link, and finding a question in a caller's words. Nothing leaves the device. */
const shellbedAsk = (() => {
  const SMALL = new Set("a an and are at be by can do does for from has have how i in is it its may must my of on or should so than that the their there they this to was we what when where which who why will with would you your".split(" "))
  const fold = text => text.toLowerCase().normalize("NFD").replace(/[\u0300-\u036f]/g, "").replace(/[’']/g, "")
  const parts = text => fold(text).split(/[^a-z0-9]+/).filter(Boolean)
  const stem = word => word.replace(/(?<=...)(?:ings?|ed|es|s|e|y)$/, "")

  /* How well words fit a question: each word that begins one of its words counts, its title's twice. */
  function worth(title, others, query) {
    const typed = parts(query)
    const telling = typed.filter(word => !SMALL.has(word))
    const asked = (telling.length ? telling : typed).map(stem)
    const [inTitle, beside] = [title, others].map(text => parts(text).map(stem))
    let sum = 0
    for (const word of asked) {
      const fits = list => list.some(one => one.startsWith(word))
      sum += fits(inTitle) ? 2 : fits(beside) ? 1 : 0
    }
    return asked.length ? sum / asked.length : 1
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
      box, title: box.querySelector("summary").textContent, words: box.dataset.words, home: box.parentNode,
    }))
    const top = document.createElement("section")
    list.before(top)
    input.oninput = () => {
      for (const one of all) one.home.append(one.box)
      const query = input.value.trim()
      const found = query
        ? all.map((one, at) => [worth(one.title, one.words, query), at]).filter(([sum]) => sum > 0).sort((a, b) => b[0] - a[0] || a[1] - b[1])
        : []
      list.hidden = Boolean(query)
      document.getElementById("ask-none").hidden = !query || found.length > 0
      for (const [, at] of found.slice(0, 12)) top.append(all[at].box)
    }
  })

  return { worth }
})()
