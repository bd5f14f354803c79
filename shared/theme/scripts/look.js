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
