/* The search over all jobs, as it is typed: by reference, title, shell, region, verdict, issue. */
const shellbedFind = (() => {
  const MOST = 50
  const fold = text => text.toLowerCase().normalize("NFD").replace(/[\u0300-\u036f]/g, "").replace(/[’']/g, "")
  const parts = text => fold(text).split(/[^a-z0-9]+/).filter(Boolean)
  /* A reference without signs, and its numbers without leading noughts: QR-0412 and qr 412 are qr412. */
  const bare = text => parts(text).join("").replace(/(^|[^0-9])0+(?=[0-9])/g, "$1")

  /* [ref, title, shell, region, issue, day, [[verdict, count]], moved, link] of each job, ready to be searched. */
  function prepare(jobs) {
    return jobs.map(row => {
      const [ref, title, shell, region, issue, day, verdicts, moved, link] = row
      const sent = issue ? `issue ${issue} sent` : "never not sent unsent"
      const words = `${title} ${shell} ${region} ${verdicts.map(one => one[0]).join(" ")} ${sent} ${day} ${moved ? "would differ" : ""}`
      return { row, ref: bare(ref), words: parts(words), title: parts(title), link }
    })
  }

  /* The jobs that fit all that was typed, the best first. */
  function look(jobs, query) {
    const typed = parts(query)
    if (!typed.length) return []
    const asked = bare(query)
    const rank = job => {
      if (job.ref === asked) return 0
      if (job.ref.startsWith(asked)) return 1
      if (asked.length > 1 && job.ref.includes(asked)) return 2
      if (asked.length > 7 && job.link.startsWith(asked)) return 2
      const fits = word => job.words.some(one => one.startsWith(word)) || job.ref.startsWith(bare(word))
      if (!typed.every(fits)) return null
      return typed.every(word => job.title.some(one => one.startsWith(word))) ? 3 : 4
    }
    return jobs
      .map((job, at) => [rank(job), at])
      .filter(([place]) => place !== null)
      .sort((a, b) => a[0] - b[0] || a[1] - b[1])
      .map(([, at]) => jobs[at].row)
  }

  if (typeof document !== "undefined") addEventListener("DOMContentLoaded", () => {
    const form = document.getElementById("find")
    if (!form || typeof shellbedJobs === "undefined") return
    const jobs = prepare(shellbedJobs)
    const input = document.getElementById("find-what")
    const list = document.getElementById("find-list")
    const count = document.getElementById("find-count")
    const begin = count.textContent
    const make = (tag, text, name) => Object.assign(document.createElement(tag), { textContent: text, className: name || "" })

    function show() {
      const found = look(jobs, input.value)
      const typed = input.value.trim()
      count.textContent = !typed ? begin
        : !found.length ? "No job has that. Try fewer words, or the reference alone."
          : `${found.length} job${found.length === 1 ? "" : "s"}${found.length > MOST ? `, the first ${MOST} here` : ""}`
      list.replaceChildren(...found.slice(0, MOST).map(([ref, title, shell, region, issue, day, verdicts, moved]) => {
        const link = Object.assign(document.createElement("a"), { href: `job/${ref}/index.html` })
        link.append(make("b", ref), title)
        link.append(make("small", `${shell} · ${region} · ${issue ? `issue ${issue}, ${day}` : "not sent"}${moved ? " · today's numbers would differ" : ""}`))
        for (const [verdict, many] of verdicts) {
          link.append(make("span", many ? `${many} ${verdict}` : verdict, `verdict ${verdict.replace(" ", "-")}`))
        }
        const item = document.createElement("li")
        item.append(link)
        return item
      }))
      try { history.replaceState(null, "", typed ? `#${encodeURIComponent(typed)}` : location.pathname) } catch { /* the search is not kept */ }
    }

    form.hidden = false
    try { input.value = decodeURIComponent(location.hash.slice(1)) } catch { /* no search */ }
    input.oninput = show
    form.onsubmit = event => {
      event.preventDefault()
      const first = list.querySelector("a")
      if (first) first.click()
    }
    show()
    input.focus()
  })

  return { prepare, look, bare }
})()
