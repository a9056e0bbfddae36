"""How many clicks and keys each thing takes that an owner does most, from a bare hull to the printed page; each is done here."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import pytest
from served import Watched

pytestmark = [pytest.mark.browser, pytest.mark.slow, pytest.mark.gl, pytest.mark.example]

MOST = 4
VIEW = '#sheet [data-key="{}"] path[data-part="{}"]'
Spot = tuple[str, str, float, float]
"""A drawing, a part in it, and a place in shares of that part's box."""


@dataclass
class Hand:
    """A hand on the page that counts its clicks and keys; what is typed into a field is not counted, what ends it is."""

    page: Watched
    done: int = 0

    def click(self, selector: str) -> None:
        self.done += 1
        self.page.page.click(selector)
        self.page.settle()

    def click_at(self, spot: Spot) -> None:
        self.done += 1
        self.page.page.mouse.click(*self._place(spot))
        self.page.settle()

    def key(self, key: str) -> None:
        self.done += 1
        self.page.page.keyboard.press(key)
        self.page.settle()

    def types(self, text: str) -> None:
        self.page.page.keyboard.type(text)

    def _place(self, spot: Spot) -> tuple[float, float]:
        kind, part, across, down = spot
        box = self.page.page.locator(VIEW.format(kind, part)).first.bounding_box()
        return box["x"] + across * box["width"], box["y"] + down * box["height"]


def waterline(hand: Hand) -> None:
    hand.click("#steps [data-part='waterline/waterline']")
    hand.click('#selected [data-field="bow"]')
    hand.types("268")
    hand.key("Tab")
    hand.types("262")
    hand.key("Enter")


def added(kind: str, spot: Spot) -> Callable[[Hand], None]:
    def add(hand: Hand) -> None:
        hand.click(f"#make [data-value={kind}]")
        hand.click_at(spot)

    return add


def name(hand: Hand) -> None:
    hand.click_at(("profile", "compartment/bulkhead to bulkhead 2, under lid", 0.5, 0.5))
    hand.click("#selected [data-name='name space']")
    hand.types("void")
    hand.key("Enter")


def hole(hand: Hand) -> None:
    hand.click_at(("profile", "compartment/void", 0.5, 0.6))
    hand.key("f")


def compare(hand: Hand) -> None:
    hand.click("#bar [data-arrangement=compare]")
    hand.click("#compare [data-do=keep_beside]")


def pattern(hand: Hand) -> None:
    hand.click_at(("profile", "bulkhead/bulkhead", 0.5, 0.4))
    hand.click("#bar [data-arrangement=pattern]")


def build(hand: Hand) -> None:
    hand.click("#bar [data-arrangement=build]")
    hand.page.page.wait_for_selector("#build figure svg")


def take(ends: str, link: str) -> Callable[[Hand], None]:
    def away(hand: Hand) -> None:
        with hand.page.page.expect_download() as download:
            hand.click("#bar [popovertarget=menu]")
            hand.click(f"#menu [href='/download/{link}']")
        assert download.value.suggested_filename.endswith(ends)

    return away


JOBS: dict[str, tuple[int, Callable[[Hand], None], str]] = {
    "waterline": (4, waterline, "Set waterline to 268 forward and 262 mm aft"),
    "bulkhead": (2, added("bulkhead", ("profile", "compartment/whole inside", 0.15, 0.5)), "Add bulkhead"),
    "another bulkhead": (2, added("bulkhead", ("profile", "compartment/aft of bulkhead", 0.45, 0.5)), "Add bulkhead 2"),
    "lid": (2, added("lid", ("profile", "compartment/bulkhead to bulkhead 2", 0.5, 0.6)), "Add lid"),
    "berth": (2, added("berth", ("profile", "compartment/bulkhead to bulkhead 2, over lid", 0.5, 0.95)), "Add berth"),
    "hatch 450 x 450": (2, added("opening", ("plan", "compartment/aft of bulkhead 2", 0.2, 0.5)), "Add hatch opening"),
    "name": (3, name, "Name a compartment void"),
    "hole": (2, hole, ""),
    "compare": (2, compare, ""),
    "pattern": (2, pattern, ""),
    "build": (1, build, ""),
    "picture": (2, take(".png", "picture.png"), ""),
    "print": (2, take(".pdf", "page.pdf"), ""),
}
"""Of each: clicks and keys, how it is done, and the step that the history then has last, where it is one."""
SEEN = {
    "waterline": ".steps li:first-child.done",
    "hatch 450 x 450": '#selected [data-field="size"][value="450, 450"]',
    "hole": "#flood .verdict",
    "compare": "#compare dl",
    "pattern": "#pattern svg path",
}
"""What is then on the page besides."""


@pytest.mark.timeout(900)
def test_nothing_that_is_done_most_takes_more_than_four_clicks_and_keys(bare: Watched) -> None:
    """From a bare hull to the printed page, each told by the page; a bulkhead and a lid are tied, a hatch has a person's size."""
    hand, took = Hand(bare), {}
    for job, (_, do, step) in JOBS.items():
        hand.done = 0
        do(hand)
        bare.settle()
        took[job] = hand.done
        assert step in str(bare.page.get_attribute('#bar button[data-do="undo"]', "title")), job
        if job in SEEN:
            bare.page.wait_for_selector(SEEN[job])
    assert took == {job: count for job, (count, _, _) in JOBS.items()}
    assert max(took.values()) <= MOST
    assert bare.complaints == []
