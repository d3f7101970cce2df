"""Looks at a page as it stands in the browser: what is wrong with it, what it weighs."""

from axe_playwright_python.sync_playwright import Axe

from tests.browser.conftest import sideways

WIDTHS = (360, 820, 1440)
# What axe asks in each theme: the second time only what colour and width may change.
RULES = {
    "light": [
        *("wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"),
    ],
    "dark": ["color-contrast", "link-in-text-block", "target-size"],
}
WEIGHED = {"document": "HTML", "stylesheet": "CSS", "script": "JS"}


TABS = 16
# What is wrong with how the element in focus is seen, or nothing. It may be half under a
# bar that stays, not wholly (WCAG 2.2, 2.4.11). Inside a player or a date the browser
# itself shows which of its own parts is meant.
FOCUS = """() => {
  const it = document.activeElement;
  if (it === document.body) return "";
  const name = it.tagName + " " + it.textContent.trim().slice(0, 30);
  const style = getComputedStyle(it);
  if (it.matches("video, input[type^=date]") && !it.matches(":focus-visible")) return "";
  if (style.outlineStyle === "none" && style.boxShadow === "none")
    return `${name}: focus is not seen`;
  const { left, top, width, height } = it.getBoundingClientRect();
  const seen = [0.1, 0.5, 0.9].some((share) => {
    const there = document.elementFromPoint(left + width * share, top + height * share);
    return it.contains(there) || there?.contains(it) && there !== document.body;
  });
  return seen ? "" : `${name}: focus lies under something`;
}"""


class Look:
    """`open_as` gives a page; `faults(page, name)` what is wrong with where it stands."""

    def __init__(self, site, browser):
        self.site = site
        self.weights = {}
        self._browser = browser

    def open_as(self, email):
        """A page of this person's, None for nobody, whose cache is off."""
        context = self._browser.new_context(reduced_motion="reduce")
        if email:
            session = self.site.make.session_of(email=email)["session"]
            context.add_cookies(
                [{"name": "sessionid", "value": session, "url": self.site.address}]
            )
        page = context.new_page()
        network = context.new_cdp_session(page)
        network.send("Network.enable")
        network.send("Network.setCacheDisabled", {"cacheDisabled": True})
        page.heard, page.came = [], []
        page.on("pageerror", lambda error: page.heard.append(str(error)))
        page.on("console", lambda said: self._hear(page, said))
        page.on("requestfinished", lambda request: page.came.append(request))
        return page

    def go(self, page, address):
        page.heard.clear()
        page.came.clear()
        page.goto(address, wait_until="load")

    def faults(self, page, name):
        """Each as one line; the page is weighed too."""
        self.weights[name] = self._weigh(page)
        found = [f"says {said}" for said in page.heard]
        heads = page.locator("h1").count()
        if heads != 1:
            found.append(f"has {heads} h1")
        for width in WIDTHS:
            self._widen(page, width)
            if over := sideways(page):
                found.append(f"is {over} px too wide at {width}")
        for width, theme in ((1440, "light"), (360, "dark")):
            self._widen(page, width)
            page.emulate_media(color_scheme=theme)
            found += [
                f"at {width}, {theme}: {violation['id']}, {node['target']}: {node['failureSummary']}"
                for violation in self._ask_axe(page, RULES[theme])
                for node in violation["nodes"]
            ]
        found += self._walk(page)
        return [f"{name} {fault}" for fault in found]

    def table(self):
        """What each page weighed: bytes that came over the wire, uncached."""
        lines = [f"{'':52}{'HTML':>9}{'CSS':>9}{'JS':>9}{'all':>9}"]
        for name, weight in sorted(self.weights.items()):
            parts = [weight.get(kind, 0) for kind in WEIGHED]
            shown = "".join(f"{part:>9,}" for part in [*parts, sum(parts)])
            lines.append(f"{name:52}{shown}")
        return "\n".join(lines)

    def _walk(self, page):
        """Where Tab leads from the top of the page."""
        page.evaluate("document.activeElement.blur()")
        found = []
        for _ in range(TABS):
            page.keyboard.press("Tab")
            found.append(page.evaluate(FOCUS))
        return [f"at 360 by Tab: {fault}" for fault in found if fault]

    def _widen(self, page, width):
        """From the top, so that nothing lies half under a head that stays.

        What follows the width by script does so in the next frame.
        """
        page.set_viewport_size({"width": width, "height": 900})
        page.evaluate(
            "scrollTo(0, 0);"
            "new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))"
        )

    def _ask_axe(self, page, rules):
        asked = {"resultTypes": ["violations"], "runOnly": rules}
        return Axe().run(page, options=asked).response["violations"]

    def _weigh(self, page):
        weight = {}
        for request in page.came:
            if request.resource_type in WEIGHED and request.frame == page.main_frame:
                size = request.sizes()["responseBodySize"]
                weight[request.resource_type] = (
                    weight.get(request.resource_type, 0) + size
                )
        return weight

    def _hear(self, page, said):
        """Errors of scripts, of the policy and of what is not there."""
        if said.type == "error":
            page.heard.append(said.text)
