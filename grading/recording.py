"""How a recording's link plays: as a file, in a described host's frame, or by itself."""

from __future__ import annotations

import json
import re
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any, Literal
from urllib.parse import urlsplit, urlunsplit

from django.conf import settings
from django.core.exceptions import ImproperlyConfigured, ValidationError
from django.templatetags.static import static

Plays = Literal["file", "frame", "window"]
_FILE = re.compile(r"\.(webm|mp4|m4v|mov|ogv|ogg|mp3|m4a|m3u8)$", re.IGNORECASE)


@dataclass(frozen=True)
class Host:
    """One entry of RECORDING_HOSTS: which links it serves and how they play.

    `pattern` must match the whole link; its named groups fill `address` ({id}). An
    address without a scheme is a static file of this site. `messages` (for frames) is
    handed to the desk's clock as it is: either {"preset": "player.js"} or the message
    for each act and where in its answers the time stands.
    """

    name: str
    pattern: str
    plays: Literal["file", "frame"]
    address: str
    messages: dict[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class Playback:
    """What the page needs to play one link. `origin` is what the CSP must allow."""

    plays: Plays
    address: str
    origin: str | None = None
    messages: dict[str, Any] = field(default_factory=dict)


def hosts() -> list[Host]:
    """The described hosts, checked."""
    try:
        found = [Host(**entry) for entry in settings.RECORDING_HOSTS]
        for host in found:
            re.compile(host.pattern)
    except (TypeError, re.error) as error:
        raise ImproperlyConfigured(f"RECORDING_HOSTS: {error}") from error
    return found


def hosts_for_browser() -> str:
    """Patterns of the hosts as JSON for the hand-in page, in JavaScript's spelling."""
    return json.dumps(
        [
            {
                "pattern": host.pattern.replace("(?P<", "(?<"),
                "plays": host.plays,
                "address": host.address
                if "://" in host.address
                else static(host.address),
            }
            for host in hosts()
        ]
    )


def playback(link: str) -> Playback:
    """How the link plays here."""
    for host in hosts():
        if match := re.fullmatch(host.pattern, link):
            address = host.address.format(**match.groupdict())
            if "://" not in address:
                return Playback(host.plays, static(address))
            return Playback(host.plays, address, _origin(address), host.messages)
    if _FILE.search(urlsplit(link).path):
        return Playback("file", link, _origin(link))
    return Playback("window", link)


def at_moment(link: str, seconds: Decimal | float | None) -> str:
    """The link with a Media Fragments time (W3C, 2012, section 4.2.1), e.g. #t=370."""
    if seconds is None:
        return link
    parts = urlsplit(link)
    return urlunsplit(parts._replace(fragment=f"t={float(seconds):g}"))


def opens_at(link: str, seconds: Decimal | float | None = None) -> str:
    """Where a browser opens the link at a moment: a file from where it plays."""
    found = playback(link)
    return at_moment(found.address if found.plays == "file" else link, seconds)


def check_link(link: str) -> None:
    """Raise ValidationError unless the link may be handed in. It is never opened here."""
    try:
        parts = urlsplit(link)
        port_reads = parts.port is None or parts.port > 0
    except ValueError:
        raise ValidationError("This is not a link that a browser can open.") from None
    if parts.scheme != "https":
        raise ValidationError("The link must begin with https://.")
    if not parts.hostname or not port_reads:
        raise ValidationError("The link names no site: https:// and then the address.")
    if parts.username or parts.password:
        raise ValidationError(
            "The link holds a user name or password. Use a private link without them."
        )


def _origin(address: str) -> str:
    parts = urlsplit(address)
    return f"{parts.scheme}://{parts.netloc}"
