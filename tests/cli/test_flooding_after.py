"""What may be done about a flooding case, as the command line tells it."""

import pytest
from places import SCENES

from sketcher.cli import main

SCENE = str(SCENES / "marram-forepeak.yaml")
HOLED = ["flood", SCENE, "--holed", "chain locker"]


@pytest.mark.example
def test_a_fill_is_compared_row_by_row(capsys):
    """As it is, then empty, bottles, foam: each with the share that water fills and what she then takes in, less each time."""
    assert main([*HOLED, "--fill", "forward void"]) == 0
    lines = capsys.readouterr().out.splitlines()
    start = next(k for k, line in enumerate(lines) if line.startswith("forward void WITH"))
    rows = [line.replace(", usual", "").split() for line in lines[start + 2 : start + 5]]
    assert [row[:2] for row in rows] == [["empty", "0.95"], ["bottles", "0.55"], ["foam", "0.14"]]
    assert lines[start + 1].startswith("as in the scene  ")
    taken = [float(row[2]) for row in rows]
    assert taken == sorted(taken, reverse=True)


@pytest.mark.example
def test_a_pump_tells_its_minutes_and_what_each_space_keeps(capsys):
    """The pump's own space is emptied; the next keeps what lies under the limber hole between them."""
    assert main([*HOLED, "--pump", "chain locker", "--rate", "40"]) == 0
    out = capsys.readouterr().out
    held = [
        line.split()
        for line in out.splitlines()
        if line.startswith(("chain locker  ", "forward void  ")) and len(line.split()) == 5
    ]
    (locker, void) = held[-2:]
    assert float(locker[3]) == 0
    assert float(void[3]) > 0
    minutes = (float(locker[2]) - float(locker[3]) + float(void[2]) - float(void[3])) / 40
    assert f"takes {minutes:.0f} minutes" in out


@pytest.mark.example
@pytest.mark.parametrize(("size", "called"), [("50", "50 mm"), ("2 in", "51 mm")])
def test_the_time_to_fill_through_a_hole_is_told_as_an_estimate_with_and_without_a_pump(size, called, capsys):
    """A diameter in the scene's unit or in its own; each mark takes longer than the one before, and longer with the pump."""
    assert main(["flood", SCENE, "--holed", "forward void", "--hole", size, "--rate", "20"]) == 0
    text = capsys.readouterr().out.partition("FILLS THROUGH ")[2]
    assert text.startswith(called)
    rows = [line.split()[-3:] for line in text.splitlines()[1:4]]
    minutes, pumped = ([float(row[k]) for row in rows] for k in (1, 2))
    assert minutes == sorted(minutes)
    assert all(slow > fast for fast, slow in zip(minutes, pumped, strict=True))
    assert "An estimate: the hole at the lowest place of forward void" in " ".join(text.split())


@pytest.mark.example
def test_a_hole_that_no_water_stands_over_and_a_boat_that_is_lost_are_said_as_such(capsys):
    """Over the fore cabin's sole stands no water; with the saloon holed the time is that until she is lost."""
    assert main(["flood", SCENE, "--holed", "fore cabin", "--hole", "50"]) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "The hole lies above the water: nothing comes in while she floats level." in out
    assert "FILLS" not in out
    assert main(["flood", SCENE, "--holed", "saloon", "--hole", "50"]) == 0
    assert "that is the time in which she is lost" in " ".join(capsys.readouterr().out.split())


@pytest.mark.property
@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["flood", SCENE, "--hole", "50"], "needs to know what is holed"),
        ([*HOLED, "--hole", "wide"], "is no length"),
        (["flood", SCENE, "--holed", "saloon, chain locker"], "--holed 'saloon' --holed 'chain locker'"),
        ([*HOLED, "--hole", "0"], "less than nothing"),
        ([*HOLED, "--hole", "50", "--rate=-1"], "less than nothing"),
        (["flood", SCENE, "--pump", "saloon"], "needs to know what is holed"),
        ([*HOLED, "--pump", "saloon"], "not flooded"),
        ([*HOLED, "--pump", "chain lockr"], "Did you mean 'chain locker'"),
        ([*HOLED, "--pump", "chain locker", "--rate", "0"], "empties nothing"),
        ([*HOLED, "--fill", "bilges"], "no compartment 'bilges'"),
        ([*HOLED, "--condition", "racing"], "no weight belongs to a condition 'racing'"),
    ],
)
def test_what_cannot_be_is_refused_in_words(arguments, message, capsys):
    """Exit 2, one to three lines, and what to write instead."""
    assert main(arguments) == 2
    said = capsys.readouterr().err
    assert message in said
    assert len(said.splitlines()) <= 3
