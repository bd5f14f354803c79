/* Search by the reader's own words. The index is fetched when someone first searches, as a script,
   so that it works on a page opened from a folder too. */
const shellbedSearch = (() => {
  const SMALL = new Set("a an and are as at be but by can could did do does for from had has have he her his how i if in into is it its me my no not of off on or our out she should so than that the their them then there these they this to up us was we were what when where which who why will with would you your arent cant didnt doesnt dont hasnt havent im isnt ive theres wasnt wont".split(" "))
  const MOST = 24
  const BEHIND = /^(working|sources|assumptions)\.html/ // pages to check with, not to act by: further down
  const ENDS = /(?<=...)(?:ings?|ed|es|s|e|y)$/ // three letters are left at least

  const fold = text => text.toLowerCase().normalize("NFD").replace(/[\u0300-\u036f]/g, "").replace(/[’']/g, "")
  const stem = word => {
    const cut = word.replace(ENDS, "")
    return cut === word ? word : cut.replace(/([bdgmnprt])\1$/, "$1") // digging, dig
  }
  const parts = text => fold(text).split(/[^a-z0-9]+/).filter(Boolean)
  const stems = text => ` ${parts(text).map(stem).join(" ")} `

  /* [pages, entries]: pages [[address, title, words]], entries [[page, anchor, heading, text, words]]. */
  function prepare([pages, entries]) {
    const times = {}
    for (const entry of entries) times[entry[2]] = (times[entry[2]] || 0) + 1
    return entries.map(([at, anchor, heading, text, words]) => ({
      address: pages[at][0] + (anchor ? `#${anchor}` : ""),
      page: pages[at][1],
      heading: heading || pages[at][1],
      common: times[heading] > 2, // such as "Do this": the page's title tells more
      text,
      first: !anchor,
      at,
      inPage: stems(`${pages[at][1]} ${pages[at][2] || ""}`),
      inHeading: stems(`${heading} ${words || ""}`),
      inText: stems(text),
    }))
  }

  /* The places that fit best, best first. Every word that is found counts; rare ones count more. */
  function look(entries, query) {
    const typed = [...new Set(parts(query))]
    const telling = typed.filter(word => !SMALL.has(word))
    const asked = [...new Set((telling.length ? telling : typed).map(stem))]
    if (!asked.length) return []
    const mean = entries.reduce((sum, entry) => sum + entry.inText.length, 0) / entries.length
    const fits = asked.map(word => entries.map(entry => {
      const begins = text => text.includes(` ${word}`)
      const whole = text => text.includes(` ${word} `)
      let worth = 0
      if (begins(entry.inPage)) worth += (whole(entry.inPage) ? 6 : 3) * (entry.first ? 1.5 : 0.5)
      if (begins(entry.inHeading)) worth += whole(entry.inHeading) ? 8 : 4
      const times = entry.inText.split(` ${word}`).length - 1
      if (times) worth += (whole(entry.inText) ? 5 : 3) * times / (times + 0.5 + entry.inText.length / mean) // long text says many words
      return worth
    }))
    const rare = fits.map(worths => 1 + Math.log(entries.length / (1 + worths.filter(Boolean).length)))
    const scored = entries.map((entry, i) => {
      const found = fits.filter(worths => worths[i]).length
      const sum = fits.reduce((total, worths, word) => total + worths[i] * rare[word], 0)
      return { entry, score: sum * (found / asked.length) ** 2 * (BEHIND.test(entry.address) ? 0.5 : 1) }
    })
    const seen = {}
    const few = name => (seen[name] = (seen[name] || 0) + 1) <= 3
    return scored
      .filter(one => one.score > 0)
      .sort((a, b) => b.score - a.score || a.entry.at - b.entry.at)
      .filter(({ entry }) => few(entry.at) && few(`heading ${entry.heading}`))
      .slice(0, MOST)
      .map(one => one.entry)
  }

  /* A piece of the text round the first word that was found, and the words to mark in it. */
  function piece(text, query) {
    const asked = parts(query).filter(word => !SMALL.has(word)).map(stem)
    const words = text.split(" ")
    const hit = words.map(word => parts(word).some(one => asked.some(ask => stem(one).startsWith(ask))))
    const first = Math.max(0, hit.indexOf(true) - 6)
    return words.slice(first, first + 28).map((word, i) => [word, hit[first + i]])
  }

  if (typeof document !== "undefined") addEventListener("DOMContentLoaded", () => {
    const button = document.getElementById("_find")
    if (!button) return
    const root = document.documentElement.dataset.root
    let entries = null
    let dialog = null

    function make() {
      dialog = document.createElement("dialog")
      dialog.className = "find"
      dialog.setAttribute("aria-label", "Search this guide")
      const form = document.createElement("form")
      form.method = "dialog"
      const input = Object.assign(document.createElement("input"), { type: "search", enterKeyHint: "search", autocomplete: "off" })
      input.setAttribute("aria-label", "What are you looking for?")
      input.placeholder = "In your own words"
      const close = Object.assign(document.createElement("button"), { type: "button", textContent: "Close" })
      close.onclick = () => dialog.close()
      const said = Object.assign(document.createElement("p"), { className: "count" })
      said.setAttribute("aria-live", "polite")
      const list = document.createElement("ol")
      form.append(input, close)
      form.onsubmit = event => { event.preventDefault(); const one = list.querySelector("a"); if (one) one.click() }
      dialog.append(form, said, list)
      dialog.onclick = event => { if (event.target === dialog) dialog.close() }
      input.oninput = () => show(input.value, said, list)
      document.body.append(dialog)
      const index = document.createElement("script")
      index.src = `${root}assets/words.js`
      index.onload = () => { entries = prepare(shellbedWords); show(input.value, said, list) }
      index.onerror = () => { said.textContent = "The list of words did not load. Use the contents." }
      document.head.append(index)
    }

    function show(query, said, list) {
      list.replaceChildren()
      if (!query.trim()) { said.textContent = ""; return }
      if (!entries) { said.textContent = "One moment"; return }
      const found = look(entries, query)
      said.textContent = found.length ? "" : "Nothing found. Try another word, or use the contents."
      for (const entry of found) {
        const link = Object.assign(document.createElement("a"), { href: root + entry.address })
        link.onclick = () => dialog.close()
        const [large, small] = entry.common ? [entry.page, entry.heading] : [entry.heading, entry.page]
        link.append(Object.assign(document.createElement("b"), { textContent: large }))
        if (small !== large) link.append(Object.assign(document.createElement("small"), { textContent: small }))
        const excerpt = document.createElement("span")
        for (const [word, hit] of piece(entry.text, query)) {
          excerpt.append(hit ? Object.assign(document.createElement("mark"), { textContent: word }) : word, " ")
        }
        link.append(excerpt)
        const item = document.createElement("li")
        item.append(link)
        list.append(item)
      }
    }

    const open = () => {
      if (!dialog) make()
      dialog.showModal()
      const input = dialog.querySelector("input")
      input.focus()
      input.select()
    }
    button.hidden = false
    button.onclick = open
    addEventListener("keydown", event => {
      const typing = /^(input|textarea|select)$/i.test(event.target.tagName)
      if (event.key === "/" && !typing && !event.ctrlKey && !event.metaKey) { event.preventDefault(); open() }
    })
  })

  return { prepare, look, piece }
})()
