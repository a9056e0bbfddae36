"""Can everybody use it? Every state of the page judged by axe-core, the rules of WCAG 2.2 at level AA and its best practice."""

from __future__ import annotations

import re
import signal
from importlib.resources import files
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest
from contrast import LEAST, contrast
from served import FRAMES, Served, Watched

from sketcher.web.access import KEY_FORM

pytestmark = [pytest.mark.browser, pytest.mark.slow, pytest.mark.gl, pytest.mark.published]

AXE = files("axe_playwright_python").joinpath("axe.min.js").read_text("utf-8")
SIDE, DIALOG = "#side", "dialog"
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
JUDGE = """async ([rules, within]) => {
    const found = await axe.run(within ?? document, { runOnly: rules, resultTypes: ["violations", "incomplete"] });
    const nodes = (told) => told.flatMap((rule) => rule.nodes.map((node) => ({ rule: rule.id, ...node })));
    const groundOf = (element) => {
        const { backgroundColor, stroke } = getComputedStyle(element);
        if (element.nodeName === "text" && stroke !== "none") return stroke;
        return /^rgb\\(/.test(backgroundColor) || !element.parentElement ? backgroundColor : groundOf(element.parentElement);
    };
    const undecided = (node) => {
        const element = document.querySelector(node.target.join(" ")), style = getComputedStyle(element);
        return [node.rule, node.html, element.nodeName === "text" ? style.fill : style.color, groundOf(element)];
    };
    const broken = nodes(found.violations).map((node) => `${node.rule}: ${node.html}: ${node.failureSummary}`);
    return { broken, undecided: nodes(found.incomplete).map(undecided), passed: found.passes.length };
}"""
"""What is broken; and what axe cannot decide, with the colour of its text and of the ground it stands on: its halo, or the
nearest plain ground behind it."""


def judge(page: Watched, state: str, within: str | None = None) -> None:
    """Nothing is broken in this state of the page, and text over the picture is read on its halo.

    within: the part of the page that is other than in a state judged before; None: all of it.
    """
    page.page.evaluate(FRAMES)
    if not page.page.evaluate("'axe' in window"):
        page.page.evaluate(AXE)
    found = page.page.evaluate(JUDGE, [RULES, within])
    assert found["broken"] == [], state
    faint = [each for each in found["undecided"] if each[0] != "color-contrast" or contrast(*map(in_hex, each[2:])) < LEAST]
    assert faint == [], state


def in_hex(colour: str) -> str:
    """`rgb(r, g, b)` as `#rrggbb`."""
    found = re.fullmatch(r"rgb\((\d+), (\d+), (\d+)\)", colour)
    assert found is not None, colour
    return "#" + "".join(f"{int(part):02x}" for part in found.groups())


def select(page: Watched, part: str) -> None:
    page.press(f'#side tr[data-key="part/{part}"] button')
    page.settle()


def show(page: Watched, arrangement: str) -> None:
    page.press(f'#bar button[data-arrangement="{arrangement}"]')
    page.settle()


def type_at(page: Watched, text: str) -> None:
    """Type where the selected bulkhead stands."""
    page.page.fill('input[data-field="at"]', text)
    page.page.press('input[data-field="at"]', "Enter")


def ask(page: Watched, message: dict[str, str]) -> None:
    """Call up a dialog, as a button would; it says its name."""
    page.page.evaluate("message => import('/static/wire.js').then((wire) => wire.send(message))", message)
    page.page.get_by_role("dialog", name=re.compile(r"\w{4}")).wait_for()


def put_away(page: Watched) -> None:
    page.page.keyboard.press("Escape")
    page.page.wait_for_selector("dialog", state="detached")


def work_on_her(page: Watched) -> None:
    """A panel selected, dragged and refused, a lid to be placed, a space holed."""
    judge(page, "as she is opened")
    page.press("#tab-spaces")
    page.settle()
    judge(page, "her spaces", SIDE)
    page.press("#tab-findings")
    page.page.click("#noticed summary >> nth=0")
    judge(page, "a finding opened", SIDE)
    assert page.page.get_by_role("img", name=re.compile("^The boat in three dimensions")).is_visible()
    select(page, "bulkhead/collision")
    judge(page, "a panel selected")
    box = page.page.locator("#grips [data-grip=whole] .hold").bounding_box()
    page.drag((box["x"] + 6, box["y"] + 6), (12, -6), steps=3, drop=False)
    page.page.wait_for_selector("#hand .card")
    judge(page, "while dragging")
    page.page.wait_for_selector(".behind", state="detached")
    page.page.mouse.up()
    page.page.evaluate("document.querySelectorAll('[role=tabpanel] > div, #sheet g').forEach((it) => it.classList.add('behind'))")
    for tab in ("spaces", "findings", "part"):
        page.press(f"#tab-{tab}")
        page.page.evaluate("document.querySelectorAll('[role=tabpanel] > div').forEach((it) => it.classList.add('behind'))")
        judge(page, f"figures that are to follow: {tab}", None if tab == "spaces" else SIDE)
    page.settle()
    type_at(page, "somewhere")
    page.page.wait_for_selector("input[aria-invalid=true]")
    judge(page, "refused", SIDE)
    page.press('#make [data-value="lid"]')
    page.page.wait_for_selector("#hand .card")
    judge(page, "a lid to be placed")
    page.press("#make [popovertarget=more]")
    judge(page, "what else is added", "#make")
    page.page.keyboard.press("Escape")
    page.page.keyboard.press("Escape")
    page.press('#side tr[data-key="compartment/berth space"] button')
    page.press('.selected [data-do="hole"]')
    page.page.wait_for_selector("#side .flood")
    page.settle()
    judge(page, "holed", SIDE)
    page.press('[data-do="close_holes"]')


def compare_her(page: Watched) -> None:
    """Nothing kept yet; then a layout kept as B and A changed: the keyboard stays at what keeps."""
    show(page, "compare")
    judge(page, "nothing to compare with", "#compare")
    page.page.focus("#compare [data-do=keep_beside]")
    page.page.keyboard.press("Enter")
    page.settle()
    assert page.page.evaluate("document.activeElement.dataset.key") == "keep"
    page.press('#compare [data-do="show_beside"]')
    page.press('#bar [data-do="undo"]')
    page.page.wait_for_selector("#compare tbody tr")
    page.settle()
    judge(page, "compared")
    page.press('#bar [data-do="redo"]')
    show(page, "both")


def measure_her(page: Watched) -> None:
    """Her hull's place, a number refused there, and one that is doubtful."""
    show(page, "hull")
    page.page.fill('[data-field="stations.2.points.2.1"]', "4l2")
    page.page.fill('[data-field="stations.4.points.5.1"]', "689")
    page.page.press('[data-field="stations.4.points.5.1"]', "Enter")
    page.page.wait_for_selector("#hull .likely")
    page.page.wait_for_selector("#hull .effects table")
    judge(page, "her hull, a number refused and one doubtful")
    page.press('#bar [data-do="undo"]')
    page.page.wait_for_selector("#hull .likely", state="detached")
    show(page, "both")


def cut_her_panels(page: Watched) -> None:
    """Drawings alone, a pattern with a joint, the build before and after it is worked out."""
    show(page, "drawings")
    judge(page, "drawings")
    show(page, "pattern")
    page.page.select_option("#boards select", index=1)
    page.page.wait_for_selector("#pattern .joint-hold")
    page.settle()
    judge(page, "pattern")
    show(page, "build")
    judge(page, "build")
    page.page.wait_for_selector("#build figure svg")
    judge(page, "build worked out")
    show(page, "both")


def be_asked(page: Watched, scene: Path) -> None:
    """The menu and every question but that of recovered work."""
    page.page.click("#bar button[popovertarget]")
    judge(page, "menu", "#bar")
    page.page.keyboard.press("Escape")
    page.press('#side tr[data-key="compartment/cabin"] button')
    for dialog in ("keys", "title", "steps", "open", "new", "new boat", "name space"):
        ask(page, {"do": "dialog", "name": dialog})
        judge(page, dialog, DIALOG)
        put_away(page)
    ask(page, {"do": "save_as", "file": "quillet-filled.yaml"})
    judge(page, "save as, where there is such a file", DIALOG)
    put_away(page)
    select(page, "bulkhead/main")
    ask(page, {"do": "delete"})
    judge(page, "delete", DIALOG)
    put_away(page)
    ask(page, {"do": "dialog", "name": "open"})
    page.page.click("dialog .choices button:text('quillet-filled')")
    page.page.wait_for_selector("dialog[data-key=leave][open]")
    judge(page, "leave", DIALOG)
    put_away(page)
    scene.write_text(scene.read_text() + "# read elsewhere\n")
    page.page.wait_for_selector("dialog[open]")
    judge(page, "changed elsewhere", DIALOG)
    put_away(page)


def lose_the_sketch(page: Watched, one: Served) -> None:
    """It ends and comes back with a question; another scene is opened, in which more goes in."""
    one.stop(signal.SIGKILL)
    page.page.wait_for_selector("#ended:not([hidden])")
    judge(page, "ended")
    one.start()
    page.page.wait_for_selector('dialog [data-do="recover"]')
    judge(page, "recover", DIALOG)
    page.press('dialog [data-do="recover"][data-take="no"]')
    ask(page, {"do": "dialog", "name": "open"})
    page.page.click("dialog .choices button:text('quillet-filled')")
    page.page.wait_for_selector("[data-figure^=bottles]", state="attached")
    page.press("#tab-spaces")
    page.settle()
    judge(page, "with all that goes in")
    one.scene.with_name("bare.yaml").write_text("scene: Bare\nhull: ../hulls/quillet-21.yaml\nunits: mm\n")
    ask(page, {"do": "dialog", "name": "open"})
    page.page.click("dialog .choices button:text('bare')")
    page.page.wait_for_selector("#steps li")
    page.press('#steps [data-part="waterline/waterline"]')
    page.settle()
    judge(page, "a new scene")


def test_nothing_an_owner_meets_is_hard_to_use(served: Any, open_page: Any) -> None:
    """No state of the page breaks a rule, and judging them asks no other machine for anything."""
    one: Served = served("quillet-forepeak", "--port", "8473")
    page: Watched = open_page(one.address)
    # Colours change at once: half-way between two of them nothing is to be read.
    page.page.emulate_media(reduced_motion="reduce")
    work_on_her(page)
    measure_her(page)
    cut_her_panels(page)
    select(page, "bulkhead/collision")
    type_at(page, "800")
    compare_her(page)
    be_asked(page, one.scene)
    assert page.complaints == []
    lose_the_sketch(page, one)
    page.page.set_content(KEY_FORM.format(message="It was printed where the sketch was started."))
    judge(page, "key")
    assert {urlsplit(url).hostname for url in page.requests if not url.startswith("blob:")} == {"127.0.0.1"}
