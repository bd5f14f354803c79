/* What looks.py and keyboard.py ask an open page. Each gives back its faults as lines. */
(() => {
  const shown = one => one.checkVisibility({ visibilityProperty: true, opacityProperty: true })
  const words = (one, most = 50) => (one.ariaLabel || one.textContent || one.name || "").trim().slice(0, most)
  const tag = one => `${one.tagName.toLowerCase()}${one.id ? `#${one.id}` : ""} ${words(one)}`
  const all = css => [...document.querySelectorAll(css)]

  return {
    /* The page is wider than the window; the first things that stick out. */
    wide() {
      const { scrollWidth, clientWidth } = document.documentElement
      if (scrollWidth <= clientWidth) return []
      const out = all("body *")
        .filter(one => !one.firstElementChild && !one.closest(".wide, svg"))
        .filter(one => one.getBoundingClientRect().right > clientWidth + 1)
      return [`the page is ${scrollWidth} wide on ${clientWidth}`, ...out.slice(0, 5).map(one => `${tag(one)} sticks out`)]
    },

    /* Letters of drawings that are smaller than `least` on this screen. */
    small(least) {
      const size = text => {
        const matrix = text.getScreenCTM()
        return parseFloat(getComputedStyle(text).fontSize) * Math.hypot(matrix.b, matrix.d)
      }
      return all("svg text")
        .filter(text => text.textContent.trim() && text.getClientRects().length && size(text) < least - 0.005)
        .map(text => `${size(text).toFixed(2)} px: ${words(text)}`)
    },

    /* With the page as it is printed: what is no use on paper, and what should be there and is not. */
    paper() {
      const useless = all(".bar, #_contents, .onward, .skip, .headerlink, button, dialog, form").filter(shown)
      const needed = all("main :is(h1, h2, td, figcaption b), .admonition :is(p, li), dl.numbers b, .actions > ol > li, footer p, svg text")
        .filter(one => !one.closest(".no-print, .passed, details:not([open]), [hidden]") && !shown(one))
      return [
        ...useless.map(one => `no use on paper: ${one.tagName.toLowerCase()} ${one.id || one.className}`),
        ...[...needed, ...all(".no-print :is(.admonition, dl.numbers)")].map(one => `not on paper: ${tag(one)}`),
      ]
    },

    /* What stands in the page and cannot be seen, though nothing folds it away. */
    unshown() {
      return all("main :is(h1, h2, h3, p, li, td, th, dt, dd, summary, figcaption, svg)")
        .filter(one => !one.matches("p.words, #dip-form *, details:not([open]) > :not(summary), details:not([open]) > :not(summary) *"))
        .filter(one => one.textContent.trim() && !shown(one))
        .map(one => `not shown: ${tag(one)}`)
    },

    /* In colours the system forces: shapes, edges and letters that have the colour of what is behind. */
    flat() {
      const probe = document.body.appendChild(document.createElement("span"))
      probe.style.color = "Canvas"
      const canvas = getComputedStyle(probe).color
      probe.remove()
      const marked = ".verdict, .admonition-title, .bar .rising, :is(.passed, ul.ticks) input:checked"
      const shapes = all(marked).filter(one => {
        const mark = getComputedStyle(one, "::before")
        return shown(one) && mark.display !== "none" && mark.content !== "none" && mark.backgroundColor === canvas
      })
      const edges = all("button:not(.tick), input:not([type=radio]), textarea").filter(one => {
        const { borderStyle, borderColor } = getComputedStyle(one)
        return shown(one) && !one.closest(".bar") && (borderStyle === "none" || borderColor === canvas)
      })
      const letters = all("svg text").filter(one =>
        getComputedStyle(one).fill === getComputedStyle(one.closest("svg")).backgroundColor)
      return [
        ...shapes.map(one => `its shape is lost: ${tag(one)}`),
        ...edges.map(one => `its edge is lost: ${tag(one)}`),
        ...letters.map(one => `lost in its drawing: ${tag(one)}`),
      ]
    },

    /* Where Tab has led: null at the page's end, else what is wrong with it there. */
    focused() {
      const one = document.activeElement
      if (!one || one === document.body || one === document.documentElement) return null
      const style = getComputedStyle(one)
      const box = one.getBoundingClientRect()
      const bar = document.querySelector(".bar")
      const covered = bar && getComputedStyle(bar).position === "fixed" && !bar.contains(one)
      const bottom = covered ? bar.getBoundingClientRect().top : innerHeight
      one.dataset.reached = "yes"
      const faults = []
      if (style.outlineStyle === "none" || parseFloat(style.outlineWidth) < 2) faults.push(`shows no focus: ${tag(one)}`)
      if (box.bottom <= 0 || box.top >= bottom || box.right <= 0 || box.left >= innerWidth) {
        faults.push(`out of sight when focused: ${tag(one)}`)
      }
      return faults
    },

    /* Controls that Tab has not led to; of a group of round ones it leads to one. */
    unreached() {
      return all("a[href], button, input:not([type=hidden]), textarea, select, summary")
        .filter(one => one.checkVisibility() && !one.disabled && !one.dataset.reached)
        .filter(one => one.type !== "radio" || ![...document.getElementsByName(one.name)].some(other => other.dataset.reached))
        .map(one => `cannot be reached: ${tag(one)}`)
    },

    /* The rules of accessibility that are broken; which are looked at is said as axe.run takes it. */
    async rules(which) {
      const found = await axe.run(document, { resultTypes: ["violations"], preload: false, ...which })
      return found.violations.flatMap(rule => rule.nodes.map(node =>
        `${rule.id}: ${node.html.slice(0, 160)} ${node.failureSummary.replace(/\s+/g, " ").slice(0, 200)}`))
    },
  }
})()
