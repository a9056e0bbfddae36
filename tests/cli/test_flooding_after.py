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


@pytest.mark.property
@pytest.mark.parametrize(
    ("arguments", "message"),
    [
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
