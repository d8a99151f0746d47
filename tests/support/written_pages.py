"""Pages of every state, each built and written once for all tests that look at it."""

from functools import cache

from reports import buyer, estimator, owner, start
from reports.markup import write_html
from reports.page import Page
from tests.support.page_frames import STATES

BUILD = {
    "start": start.build,
    "owner": owner.build,
    "estimator": estimator.build,
    "buyer": buyer.build,
}
"""How to build each page, by its name."""


@cache
def built(state: str, name: str) -> Page:
    """Return a page of a state."""
    return BUILD[name](STATES[state]())


@cache
def written(state: str, name: str) -> str:
    """Return a page of a state as HTML."""
    return write_html(built(state, name), "0f")
