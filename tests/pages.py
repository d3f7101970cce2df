"""A client that checks every page it fetches for what every page must have."""

import html5lib
from django.test import Client

_HTML = "{http://www.w3.org/1999/xhtml}"
_REFERENCES = ("aria-labelledby", "aria-describedby", "aria-controls", "aria-owns")
_NOT_FILLED_IN = {"hidden", "submit", "button", "reset", "image"}


class PageClient(Client):
    """Django's client; whatever comes back as a page has passed `check_page`."""

    def request(self, **request):
        response = super().request(**request)
        kind = response.headers.get("Content-Type", "")
        if kind.startswith("text/html") and response.content:
            faults = check_page(response.content.decode())
            policy = response.headers.get("Content-Security-Policy", "")
            if "default-src 'none'" not in policy or "unsafe" in policy:
                faults.append(f"policy for content: {policy!r}")
            assert not faults, f"{request['PATH_INFO']}: " + "; ".join(faults)
        return response


def check_page(text):
    """Every fault of a whole page, in words; empty when it is in order."""
    parser = html5lib.HTMLParser()
    page = parser.parse(text)
    faults = [f"line {place[0]}: {code} {data}" for place, code, data in parser.errors]
    elements = [e for e in page.iter() if isinstance(e.tag, str)]
    ids = [e.get("id") for e in elements if e.get("id")]
    faults += _head_faults(page, elements)
    faults += [f"id {i} is used twice" for i in {i for i in ids if ids.count(i) > 1}]
    faults += _reference_faults(elements, set(ids))
    faults += _label_faults(page, elements, set(ids))
    faults += _inline_faults(elements)
    faults += _form_faults(elements)
    return faults


def words(element):
    """An element's text as a person reads it, white space run together."""
    return " ".join("".join(element.itertext()).split())


def _name(element):
    return element.tag.removeprefix(_HTML)


def _head_faults(page, elements):
    if not page.get("lang"):
        yield "html has no lang"
    headings = [words(e) for e in elements if _name(e) == "h1"]
    title = words(page.find(f"{_HTML}head/{_HTML}title"))
    if len(headings) != 1:
        yield f"{len(headings)} h1 elements, must be 1"
    elif not headings[0] or not title.startswith(headings[0]):
        yield f"title {title!r} does not start with the h1 {headings[0]!r}"
    if sum(_name(e) == "main" for e in elements) != 1:
        yield "must have one main"


def _reference_faults(elements, ids):
    for element in elements:
        for attribute in (
            *_REFERENCES,
            *(["for"] if _name(element) == "label" else []),
        ):
            for target in element.get(attribute, "").split():
                if target not in ids:
                    yield f"{attribute}={target!r} names no element"
        address = element.get("href", "")
        if _name(element) == "a" and address[:1] == "#" and address[1:] not in ids:
            yield f"link to {address}, which is not on the page"


def _label_faults(page, elements, ids):
    labelled = {e.get("for") for e in elements if _name(e) == "label"}
    wrapped = {
        inner
        for label in page.iter(f"{_HTML}label")
        if words(label)
        for inner in label.iter()
    }
    for element in elements:
        if _name(element) not in {"input", "select", "textarea"}:
            if _name(element) in {"button", "a"} and not (
                words(element)
                or element.get("aria-label")
                or element.get("aria-labelledby")
            ):
                yield f"a {_name(element)} has no words"
            continue
        if element.get("type") in _NOT_FILLED_IN:
            continue
        if not (
            element.get("id") in labelled
            or element in wrapped
            or element.get("aria-label")
            or element.get("aria-labelledby")
        ):
            yield f"field {element.get('name')!r} has no label"


def _inline_faults(elements):
    for element in elements:
        name = _name(element)
        is_data = element.get("type") == "application/json"  # a data block, never run
        if name == "style" or (
            name == "script" and not element.get("src") and not is_data
        ):
            yield f"inline <{name}>"
        for attribute, value in element.attrib.items():
            if attribute == "style" or attribute.startswith("on"):
                yield f"inline {attribute} on <{name}>"
            if value.strip().lower().startswith("javascript:"):
                yield f"code in {attribute} of <{name}>"


def _form_faults(elements):
    for form in elements:
        if _name(form) != "form":
            continue
        if form.get("action", "")[:1] not in {"/", "?"}:
            yield f"form action {form.get('action')!r} must be spelt out"
        names = {e.get("name") for e in form.iter()}
        if (
            form.get("method", "get").lower() == "post"
            and "csrfmiddlewaretoken" not in names
        ):
            yield f"form to {form.get('action')} carries no CSRF token"
