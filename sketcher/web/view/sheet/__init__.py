"""Where do the drawings lie on their sheet, where do they cut the boat, and what does a measure hold to there?

Way in: `panes.panes_on`, `cut_places.cut_places`, `snapping.holds_of`.

Decided, and what would change it:

- Paper is as large as its window at 5 pixels to the millimetre, so that type is at least 11 pixels high; on a small one the
  profile alone is shown, and names leave the left margin before figures do. Lines are told in pixels, alike at any zoom.
- A cut is dragged by a knob beside the boat, not by its line: that lies on the panel that is selected.
- What can be measured is the outline as cut, in metres, not what is drawn. Chains follow the profile's plane and nothing that is
  selected, so that they stay where they are.
"""
