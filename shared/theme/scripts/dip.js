/* The look-up of a dip and a pool level in this job's own table, which stands in the page as data.
   It holds no rule about water: every limit and every sentence comes from the table. The same in
   Python, builder/pages/lookup.py, is what a test compares it with. */
const shellbedDip = (() => {
  const SIXTEENTHS = 16000 // parts of an inch: sixteenths and thousandths are both whole
  const PATTERNS = {
    mm: /^([0-9]{1,5}|[1-9][0-9]?,[0-9]{3}) ?(?:mm)?$/,
    m: /^([0-9]{1,2})(?:[.,]([0-9]{1,3}))? ?m?$/,
    in: /^(?:([0-9]{1,2}) ?(?:ft|'|′) ?)?(?:([0-9]{1,3})(?:[.,]([0-9]{1,3}))?)?(?: ?([0-9]{1,2})\/(2|4|8|16))? ?(?:in|"|″)?$/,
  }

  /* Millimetres of what was typed, a part of one counted towards the worse side; null: not a length. */
  function millimetres(text, unit, up) {
    const typed = text.replace(/[ \t\u00a0]+/g, " ").replace(/^ | $/g, "")
    const found = PATTERNS[unit].exec(typed)
    if (!found) return null
    if (unit === "mm") return Number(found[1].replace(",", ""))
    if (unit === "m") return Number(found[1]) * 1000 + Number((found[2] || "").padEnd(3, "0"))
    const [, feet, whole, decimals, over, under] = found
    if (whole === undefined && over === undefined && feet === undefined) return null
    if (decimals !== undefined && over !== undefined) return null
    if (over !== undefined && (Number(over) >= Number(under) || (whole !== undefined && !/[0-9] [0-9]+\//.test(typed)))) return null
    if (feet !== undefined && Number(whole || 0) >= 12) return null
    const parts = (Number(feet || 0) * 12 + Number(whole || 0)) * SIXTEENTHS
      + Number((decimals || "").padEnd(3, "0")) * 16
      + (over === undefined ? 0 : Number(over) * SIXTEENTHS / Number(under))
    const size = parts * 254 / (SIXTEENTHS * 10)
    return up ? Math.ceil(size) : Math.floor(size)
  }

  const fill = (sentence, words) => sentence.replace(/\{([a-z]+)\}/g, (_, name) => words[name])

  /* What to do at this reading: {kind, row, say}. kind "refused": it is not a reading of this tube. */
  function answer(table, mark, unit, dip, pool) {
    const say = table.say
    const refused = sentence => ({ kind: "refused", row: null, say: sentence })
    const from = table.marks[mark]
    if (!from) return refused(say.mark)
    if (!table.units.includes(unit)) return refused(say.unit)
    const down = millimetres(dip, unit, false)
    if (down === null) return refused(say.dip[unit])
    if (down > from.foot) return refused(fill(say.foot, { foot: from.foot_words }))
    const level = millimetres(pool, unit, true)
    if (level === null) return refused(say.pool[unit])
    if (level > table.floor) return refused(fill(say.floor, { floor: table.floor_words }))
    let row = -1
    while (row + 1 < table.rows.length && table.rows[row + 1][mark] <= down) row += 1
    const line = table.rows[row]
    const at = kind => ({ kind, row: row < 0 ? null : row, say: fill(say[kind], { lowest: line ? line.words : "" }) })
    if (row < 0) return at("above")
    if (line.lowest === null) return at("stop")
    if (from.act !== null && down <= from.act) return at("act")
    if (level > line.lowest) return at("raise")
    if (from.watch !== null && down <= from.watch) return at("watch")
    return at("holds")
  }

  if (typeof document !== "undefined") addEventListener("DOMContentLoaded", () => {
    const form = document.getElementById("dip-form")
    const data = document.getElementById("dip-data")
    if (!form || !data) return
    const table = JSON.parse(data.textContent)
    const out = document.getElementById("dip-answer")
    const picked = name => {
      const one = form.querySelector(`[name=${name}]:checked`) || form.querySelector(`[name=${name}]`)
      return one.value
    }
    const rows = document.querySelectorAll("#table ~ .wide tbody")[0]
    const clear = () => {
      out.className = ""
      out.textContent = ""
      if (rows) for (const row of rows.rows) row.classList.remove("yours")
    }
    form.oninput = clear // an answer never stands beside another reading
    form.onsubmit = event => {
      event.preventDefault()
      clear()
      const found = answer(table, picked("mark"), picked("unit"), form.elements.dip.value, form.elements.pool.value)
      out.className = `said ${found.kind}`
      const word = document.createElement("b")
      word.textContent = table.words[found.kind]
      const sentence = document.createElement("p")
      sentence.textContent = found.say
      out.append(word, sentence)
      if (found.row !== null && found.kind !== "refused") {
        const used = document.createElement("small")
        used.textContent = fill(table.say.used, { dip: table.rows[found.row][`${picked("mark")}_words`] })
        out.append(used)
        if (rows && rows.rows[found.row]) rows.rows[found.row].classList.add("yours")
      }
    }
    form.hidden = false
  })

  return { answer, millimetres }
})()
