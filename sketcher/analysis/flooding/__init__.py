"""If a space is holed: where does the water stop, how does she float then, and what does it push on?

Way in: `cases.flooding_cases`.

Decided, and what would change it:

- Flooding starts from the loaded boat: `weights` without a condition always count, and `FloodingCase.intact` is the waterline
  she starts from. Would change: owners who want the stated waterline.
- Each case is judged as stated and at its emptiest, and the worse is warned of: a use's usual share is a habit of big ships, and
  stores are eaten. JSON keeps the stated state under its keys. Would change: weights for all that is stowed.
- `compare` floods every space and adjoining pair, since no scene names its cases. Would change: a key for cases.
- Strength, bending and waves are not judged: a designer is told loads and spans. Would change: scantlings in the scene.
- The time to fill takes her rests with a growing share of each flooded space for her way down, and is marked an estimate. Would
  change: holes with a place.
- Capsized beyond 60 degrees of heel, founders beyond 60 of trim: no waterline describes her there. A loll short of that floats
  and is said. Would change: a need for righting curves.
- A safe lid height counts the room that raising it gives the water. Would change: lids that do not rise along their neighbours.
- A cockpit downfloods at its rim; its well never displaces water. Would change: coaming or drain data.
- Twin hulls have no bridge deck, so losing most of one capsizes her. Would change: a bridge-deck shape in the hull file.
- Without the height of the centre of gravity every verdict is unknown, since trim depends on it.
"""
