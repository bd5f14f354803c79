/* The four boxes of a job's page, answered from what the page holds as data. It holds no rule about
   water: every limit and every sentence comes from there. The dip itself is looked up by the guide's
   own script. The same in Python, builder/desk/boxes.py, is what a test compares it with. */
const shellbedBoxes = (() => {
  const RAIN = /^([0-9]{1,3})(?:[.,]([0-9]{1,2}))? ?(?:mm)?$/
  const DRY = /^dry( to( the)? foot)?$/
  const MOST_RAIN = 1000
  const FILLING = ["holds", "watch", "raise", "act", "stop", "above"]

  const fill = (sentence, words) => sentence.replace(/\{([a-z]+)\}/g, (_, name) => words[name])
  const part = (kind, means, say) => ({ kind, means, say })
  const dry = given => DRY.test(given.dip.trim().toLowerCase())

  /* Whole millimetres of rain, a part of one counted up; null: not a reading. */
  function rainMillimetres(text, unit) {
    if (unit === "in") return shellbedDip.millimetres(text, "in", true)
    const found = RAIN.exec(text.replace(/[ \t\u00a0]+/g, " ").replace(/^ | $/g, ""))
    return found ? Number(found[1]) + (Number(found[2] || 0) ? 1 : 0) : null
  }

  /* The dip in whole millimetres, the foot for a dry tube; null: not a reading of this tube. */
  function dipOf(boxes, given) {
    const foot = boxes.marks[given.mark].foot
    if (dry(given)) return foot
    const down = shellbedDip.millimetres(given.dip, given.unit, false)
    return down === null || down > foot ? null : down
  }

  function reading(boxes, given, down) {
    const { say, dip: dips } = boxes
    if (!dips) return [part("cannot", "", boxes.no_dip)]
    if (down === null) return [part("refused", "", shellbedDip.answer(dips, given.mark, given.unit, given.dip, "0").say)]
    let level = "0" // the pool at the rim: what holds only there depends on the level
    const asked = given.pool.trim()
    if (asked) {
      const found = shellbedDip.millimetres(given.pool, given.unit, true)
      if (found === null) return [part("refused", "", dips.say.pool[given.unit])]
      level = String(found)
    }
    const found = shellbedDip.answer(dips, given.mark, "mm", String(down), level)
    let { kind, say: told } = found
    if (kind === "refused") return [part("refused", "", told)]
    let means = boxes.means[dry(given) ? "dry" : kind]
    if (!asked) {
      if (["stop", "above", "act"].includes(kind)) told = `${told} ${say.sure}`
      else {
        kind = "ask"
        told = fill(say.pool, { lowest: dips.rows[found.row].words })
        means = dry(given) ? boxes.means.dry : ""
      }
    }
    const lift = next(boxes, given)
    if (lift && FILLING.includes(kind)) told = whileFilling(boxes, kind, found.row, lift)
    if (dry(given)) told += ` ${fill(say.dry, { foot: boxes.marks[given.mark].foot_words })}`
    return [part(kind, means, told)]
  }

  /* What to do at a dip while the fill holds only so much water. */
  function whileFilling(boxes, kind, row, lift) {
    const { say } = boxes
    const names = { ...lift, ...boxes.with }
    if (kind === "holds" || kind === "watch") return say.enough
    if (kind === "raise" && row !== null) {
      const line = boxes.dip.rows[row]
      return fill(line.lowest >= lift.most_mm ? boxes.dip.say.raise : say.more, { ...names, lowest: line.words })
    }
    return fill(say.most, names)
  }

  function next(boxes, given) {
    return /^[0-9]{1,3}$/.test(given.lift) ? boxes.lifts[Number(given.lift)] || null : null
  }

  function lifted(boxes, given, down) {
    const { say } = boxes
    if (given.lift === "done") {
      const lines = boxes.marks[given.mark]
      return [part("lines", "", fill(say.done, { watch: lines.watch.words, act: lines.act.words }))]
    }
    const lift = next(boxes, given)
    const stop = lift.stops[given.mark]
    const hold = lift.hold[given.mark]
    const names = { ...lift, ...boxes.with, stop: stop.words, hold: hold.words }
    names.act = fill(say[lift.act], names)
    const parts = []
    if (down !== null && hold.mm !== null && down < hold.mm) parts.push(part("lift-pump", "", fill(say.pump, names)))
    else if (down !== null && down <= stop.mm) parts.push(part("lift-stop", "", fill(say.stop, names)))
    const level = given.pool.trim() ? shellbedDip.millimetres(given.pool, given.unit, true) : null
    if (level !== null && level > lift.before_mm) parts.push(part("lift-low", "", fill(say.low, names)))
    if (level !== null && level < lift.most_mm) parts.push(part("lift-high", "", fill(say.high, names)))
    const means = fill(say.next, names) + (hold.mm === null ? "" : ` ${fill(say.held, names)}`)
    return [...parts, part("lift", means, fill(say.filling, names))]
  }

  function rained(boxes, given, down) {
    const { say, rain } = boxes
    const unit = given.unit === "in" ? "in" : "mm"
    const fell = rainMillimetres(given.rain, unit)
    if (fell === null) return part("refused", "", fill(say["not-rain"], { such: boxes.such_rain[unit] }))
    if (fell > MOST_RAIN) return part("refused", "", say["again-rain"])
    if (fell === 0) return part("rain", "", say.none)
    if (!rain.rows.length) return part("cannot", "", rain.none)
    const row = rain.rows.find(one => fell <= one.most)
    const lift = next(boxes, given)
    if (!row || row.fills) {
      return part("rain-act", row ? fill(say.fills, row) : say["too-much"], fill(say[lift ? "filling-full" : "full"], boxes.with))
    }
    const means = fill(say.rise, row)
    if (down === null) {
      if (rain.to_watch !== null && fell >= rain.to_watch) return part("rain-watch", means, `${rain.to_watch_words} ${say["no-dip"]}`)
      return part("ask", means, say["no-dip"])
    }
    const lines = boxes.marks[given.mark]
    const reach = down - row.rise_mm
    if (lift) {
      const stopped = reach <= lift.stops[given.mark].mm
      return part(stopped ? "rain-act" : "rain", means, fill(say[stopped ? "to-stop" : "short-lift"], { ...boxes.with, name: lift.name }))
    }
    if (reach <= lines.ground) return part("rain-act", means, fill(say["to-ground"], boxes.with))
    if (lines.act.mm !== null && reach <= lines.act.mm) return part("rain-act", means, fill(say["to-act"], boxes.with))
    if (lines.watch.mm === null) return part("cannot", means, say["no-line"])
    if (reach <= lines.watch.mm) return part("rain-watch", means, say["to-watch"])
    return part("rain", means, say.short)
  }

  /* What to say of {mark, unit, dip, pool, lift, rain} as typed: parts {kind, means, say}, the worst first. */
  function answers(boxes, given) {
    const { say } = boxes
    if (!boxes.marks[given.mark]) return [part("refused", "", say.mark)]
    if (!boxes.units.includes(given.unit)) return [part("refused", "", say.unit)]
    if (given.lift !== "" && given.lift !== "done" && !next(boxes, given)) {
      return [boxes.lifts.length ? part("refused", "", fill(say.which, boxes.with)) : part("lift-none", boxes.no_lifts, say["no-plan"])]
    }
    const down = dipOf(boxes, given)
    const parts = given.dip.trim() ? reading(boxes, given, down) : []
    if (given.lift) parts.push(...lifted(boxes, given, down))
    else if (parts.length) parts.push(part("ask", "", fill(say.which, boxes.with)))
    if (given.rain.trim()) parts.push(rained(boxes, given, down))
    if (!parts.length) return [part("refused", "", say.nothing)]
    return parts.sort((a, b) => boxes.order.indexOf(a.kind) - boxes.order.indexOf(b.kind))
  }

  if (typeof document !== "undefined") addEventListener("DOMContentLoaded", () => {
    const form = document.getElementById("boxes-form")
    const data = document.getElementById("boxes-data")
    if (!form || !data) return
    const boxes = JSON.parse(data.textContent)
    const out = document.getElementById("boxes-answer")
    const picked = name => {
      const one = form.querySelector(`[name=${name}]:checked`) || form.querySelector(`[name=${name}]`)
      return one ? one.value : ""
    }
    form.oninput = () => out.replaceChildren() // an answer never stands beside another reading
    form.onsubmit = event => {
      event.preventDefault()
      out.replaceChildren()
      const given = { mark: picked("mark"), unit: picked("unit"), lift: form.elements.lift ? form.elements.lift.value : "" }
      for (const name of ["dip", "pool", "rain"]) given[name] = form.elements[name].value
      for (const { kind, means, say } of answers(boxes, given)) {
        const box = Object.assign(document.createElement("div"), { className: `said ${boxes.shapes[kind]}` })
        box.append(Object.assign(document.createElement("b"), { textContent: boxes.words[kind] }))
        if (means) box.append(Object.assign(document.createElement("p"), { className: "means", textContent: means }))
        box.append(Object.assign(document.createElement("p"), { textContent: say }))
        out.append(box)
      }
      out.scrollIntoView({ block: "nearest" })
    }
    form.onreset = () => out.replaceChildren()
    form.hidden = false
  })

  return { answers, rainMillimetres }
})()
