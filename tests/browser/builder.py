"""Working in the rubric builder by keyboard alone."""

from playwright.sync_api import expect

# What the element in focus is called.
NAME = """() => {
  const it = document.activeElement;
  const label = it.closest("label");
  return it.getAttribute("aria-label")
    || (label?.querySelector(".label") ?? label ?? it).textContent.trim();
}"""
IN_DETAILS = "!!document.activeElement.closest('part-details')"
CHOSEN = "document.activeElement.value"
ADDS = {
    "at_least": "+ at least so many",
    "before": "+ one before another",
    "hazard": "+ hazard",
    "within": "+ time limit",
}
EFFECTS = {"fail": "not yet", "flag": "flag", "cap": "cap", "deduct": "points off"}


def saved(page):
    expect(page.locator("saving-line")).to_have_text("saved")


def type_in(page, *words):
    """Types; a word in angle brackets is a key."""
    for word in words:
        if word.startswith("<"):
            page.keyboard.press(word[1:-1])
        else:
            page.keyboard.type(word)


def tab_to(page, label):
    """Walks by Tab to the field or button called so."""
    for _ in range(80):
        page.keyboard.press("Tab")
        if page.evaluate(NAME) == label:
            return
    raise AssertionError(f"Tab never reaches {label}")


def go_to(page, label):
    """To a field of the details, whichever way it lies."""
    if page.evaluate(NAME) == label:
        return
    for key, other in (("Shift+Tab", "Tab"), ("Tab", "Shift+Tab")):
        for _ in range(40):
            page.keyboard.press(key)
            if page.evaluate(NAME) == label:
                return
            if not page.evaluate(IN_DETAILS):
                page.keyboard.press(other)
                break
    raise AssertionError(f"the details have no {label}")


def fill(page, label, value):
    """Walks to a field and types over what it holds; a choice takes its first letters."""
    tab_to(page, label)
    if page.evaluate("document.activeElement.matches('select')"):
        return type_in(page, value)
    return type_in(page, "<Control+a>", str(value))


def fill_detail(page, label, value):
    if value not in (None, ""):
        go_to(page, label)
        type_in(page, "<Control+a>", str(value))


def fill_effect(page, label, value):
    if value is None:
        return
    kind = value if isinstance(value, str) else next(iter(value))
    fill(page, label, EFFECTS[kind])
    if isinstance(value, dict):
        fill(page, "Percentage points", value[kind])


def fill_levels(page, levels):
    go_to(page, "mark it by levels")
    type_in(page, "<Enter>")
    for n, level in enumerate(levels, 1):
        if n > 2:
            go_to(page, "add a level")
            type_in(page, "<Enter>")
        fill_detail(page, f"Words of level {n}", level["label"])
        fill_detail(page, f"Credit of level {n}, 0 to 1", level["credit"])


def fill_section(page, section):
    """From its title."""
    type_in(page, "<Control+a>", section["title"], "<Control+Enter>")
    fill_detail(page, "Minimum in %", section.get("minimum_percent"))
    fill_detail(page, "Key", section["key"])
    type_in(page, "<Escape>")


def fill_part(page, part):
    """From its text, and back to it."""
    type_in(page, part["text"])
    fill(page, "Technique", part["technique"])
    fill(page, "Points", part["points"])
    fill_effect(page, "If left out", part.get("critical"))
    for label in ("a site", "a side", "an instrument"):
        if names := part.get(f"{label.split()[1]}s"):
            tab_to(page, f"Add {label}")
            type_in(page, ",".join(names), "<Enter>")
    type_in(page, "<Control+Enter>")
    fill_detail(page, "Expects", part.get("expects"))
    fill_detail(page, "Source", part.get("source"))
    fill_detail(page, "Credit for said only", part.get("credit", {}).get("said"))
    if "levels" in part:
        fill_levels(page, part["levels"])
    if "say" in part:
        go_to(page, "Add a spoken word")
        type_in(page, ",".join(part["say"]), "<Enter>")
    if part.get("may_excuse"):
        go_to(page, "The marker may excuse it, with a reason")
        type_in(page, "<Space>")
    fill_detail(page, "Key", part["key"])
    type_in(page, "<Escape>")


def choose(page, selectors):
    """The next list of elements that a rule lacks, from the tree."""
    tab_to(page, "no element yet: choose")
    type_in(page, "<Enter>")
    for selector in selectors:
        for _ in range(40):
            if page.evaluate(CHOSEN) == selector:
                break
            page.keyboard.press("Tab")
        type_in(page, "<Space>")
    tab_to(page, "Take these")
    type_in(page, "<Enter>")


def fill_rule(page, rule):
    tab_to(page, ADDS[rule["kind"]])
    type_in(page, "<Enter>", rule["text"])
    fill_effect(page, "If broken", rule["effect"])
    if "count" in rule:
        fill(page, "How many", rule["count"])
    for field in ("of", "first", "then"):
        if field in rule:
            choose(page, rule[field])
    if "minutes" in rule:
        fill(page, "Minutes", rule["minutes"])
    type_in(page, "<Control+Enter>")
    fill_detail(page, "Key", rule["key"])
    type_in(page, "<Escape>")


def meaning(value):
    """A file without what says nothing: rubrics that mean the same become equal."""
    if isinstance(value, list):
        return [meaning(item) for item in value]
    if not isinstance(value, dict):
        return value
    usual = {"language": "en", "unseen": "exclude", "unseen_limit_percent": 10}
    usual |= {"credit": {"partly": 0.5, "said": 0}}
    kept = {key: meaning(inner) for key, inner in value.items()}
    return {
        key: inner
        for key, inner in kept.items()
        if inner is not False
        and inner not in ("", [], {}, None)
        and inner != usual.get(key)
    }
