"""What is written in the picture, and where: captions, key, and the places at which each space is seen?

Way in: `picture_sheet.PictureSheet`; `visible_spaces.visible_spaces` for where names may stand.

Decided: a name stands on its own space or on the paper, never on another space. Where each is seen is found on a coarse grid,
since only names need it, and only while nothing moves.
"""
