/* Light or dark page. The device decides until the reader does; his choice is kept on this device. */
(() => {
  if (typeof document === "undefined") return
  const root = document.documentElement
  const place = "shellbed:look"
  const dark = matchMedia("(prefers-color-scheme: dark)")
  const now = () => root.dataset.look || (dark.matches ? "dark" : "light")
  try {
    const kept = localStorage.getItem(place)
    if (kept === "dark" || kept === "light") root.dataset.look = kept
  } catch { /* storage is denied: the device decides each time */ }

  addEventListener("DOMContentLoaded", () => {
    const button = document.getElementById("_look")
    const say = () => { button.textContent = now() === "dark" ? "Light page, for the sun" : "Dark page, for the night" }
    say()
    button.hidden = false
    button.onclick = () => {
      root.dataset.look = now() === "dark" ? "light" : "dark"
      try { localStorage.setItem(place, root.dataset.look) } catch { /* for this page only */ }
      say()
    }
    dark.onchange = say

    // A table wider than the screen is scrolled by keyboard too: it takes the focus while it is.
    const reach = () => {
      for (const wide of document.querySelectorAll(".wide")) {
        const names = { tabindex: "0", role: "group", "aria-label": "Wide table, scrolls sideways" }
        const scrolls = wide.scrollWidth > wide.clientWidth
        for (const [name, value] of Object.entries(names)) {
          if (scrolls) wide.setAttribute(name, value)
          else wide.removeAttribute(name)
        }
      }
    }
    reach()
    addEventListener("resize", reach)

    // A link to a number's working opens its fold.
    const open = () => {
      const wanted = document.getElementById(decodeURIComponent(location.hash.slice(1)))
      const fold = wanted && wanted.closest("details")
      if (!fold || fold.open) return
      fold.open = true
      wanted.scrollIntoView()
    }
    open()
    addEventListener("hashchange", open)
  })
})()
