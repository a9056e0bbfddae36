"""How is the hull drawn where she is entered, and what of her can be dragged there?

Way in: `hull_lines.hull_lines`.

Decided, and what would change it:

- A ring where a number can be dragged, over drawings made anew with every number. What is held is drawn by the page alone until
  it is let go of; then one edit is made. Would change: a surface that follows within 20 ms.
"""
